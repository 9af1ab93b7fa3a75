//! Signed links: what a keeper may answer by following one.
//!
//! In: a [`Slip`], one answer to one cut until a moment, and the store's key. Out: a token for a link, and the slip of
//! a token that is whole and not over. Does not act, does not know whether a slip was used before.
//!
//! A token is `1.BODY.TAG`: the body is the slip in base64url, the tag its HMAC-SHA-256 (RFC 2104, FIPS 180-4), cut to
//! its first 16 bytes. Whoever has a token can do the one thing that it says, and nothing else.

use std::fmt;

use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use chrono::{DateTime, Utc};
use ring::hmac;
use thiserror::Error;

use crate::garden::Answer;

/// Bytes of a key.
pub const KEY_BYTES: usize = 32;

/// Bytes of a tag: 128 bits, which nobody guesses.
const TAG_BYTES: usize = 16;

/// The form of the tokens.
const VERSION: &str = "1";

/// A longer token is none of ours.
const TOKEN_MAX: usize = 1024;

/// Where the page takes answers; the token follows.
pub const PATH: &str = "/answer/";

/// One answer that may be given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Slip {
    /// The garden's short name.
    pub garden: String,
    /// The cut's name in that garden; empty for an answer about the whole garden.
    pub cut: String,
    /// The answer.
    pub answer: Answer,
    /// The reader's address, for an answer that holds for one reader alone; empty for any other.
    pub reader: String,
    /// Until when it may be given, to the second.
    pub until: DateTime<Utc>,
}

/// Why a token is refused. Strangers are told the same of each.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum LinkError {
    /// It is not whole, or was not made here.
    #[error("the link is not whole")]
    Broken,
    /// Its time is over.
    #[error("the link is over")]
    Over,
}

/// Makes and reads tokens with the key of one store.
#[derive(Clone)]
pub struct Signer {
    key: hmac::Key,
}

impl fmt::Debug for Signer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Signer").finish_non_exhaustive()
    }
}

impl Signer {
    /// With a key from a source of true chance.
    pub fn new(key: &[u8; KEY_BYTES]) -> Self {
        Self {
            key: hmac::Key::new(hmac::HMAC_SHA256, key),
        }
    }

    /// The token of a slip; the same for the same slip.
    pub fn token(&self, slip: &Slip) -> String {
        let until = slip.until.timestamp();
        let mut body = format!(
            "{}\n{}\n{}\n{until}",
            slip.garden,
            slip.cut,
            slip.answer.name()
        );
        if !slip.reader.is_empty() {
            body = format!("{body}\n{}", slip.reader);
        }
        let body = format!("{VERSION}.{}", URL_SAFE_NO_PAD.encode(body));
        let tag = self.tag(&body);
        format!("{body}.{}", URL_SAFE_NO_PAD.encode(tag))
    }

    /// The slip of a token.
    ///
    /// # Errors
    /// [`LinkError::Broken`] for anything that [`Signer::token`] did not make with this key, [`LinkError::Over`] for
    /// what it made and whose time is over.
    pub fn read(&self, token: &str, now: DateTime<Utc>) -> Result<Slip, LinkError> {
        if token.len() > TOKEN_MAX {
            return Err(LinkError::Broken);
        }
        let (body, tag) = token.rsplit_once('.').ok_or(LinkError::Broken)?;
        let shown = URL_SAFE_NO_PAD.decode(tag).map_err(|_| LinkError::Broken)?;
        // In a time that does not tell how much of the tag fits.
        let fits: bool = subtle::ConstantTimeEq::ct_eq(self.tag(body).as_slice(), &shown).into();
        let slip = slip_of(body).filter(|_| fits).ok_or(LinkError::Broken)?;
        if slip.until < now {
            return Err(LinkError::Over);
        }
        Ok(slip)
    }

    /// What tells a token from all others, without being of use to whoever reads it.
    pub fn mark(token: &str) -> String {
        let digest = ring::digest::digest(&ring::digest::SHA256, token.as_bytes());
        hex(digest.as_ref())
    }

    fn tag(&self, body: &str) -> Vec<u8> {
        let tag = hmac::sign(&self.key, body.as_bytes());
        tag.as_ref().iter().take(TAG_BYTES).copied().collect()
    }
}

/// Makes the links of letters and pages.
#[derive(Debug, Clone)]
pub struct Links {
    signer: Signer,
    /// Where the page is reached from outside, without a slash at its end; none where letters bear no links.
    address: Option<String>,
}

impl Links {
    /// The links of a page that is reached under an address, if it is.
    pub fn new(signer: Signer, address: Option<&str>) -> Self {
        Self {
            signer,
            address: address.map(|address| address.trim_end_matches('/').to_owned()),
        }
    }

    /// What reads the tokens.
    pub const fn signer(&self) -> &Signer {
        &self.signer
    }

    /// The link of a slip within the page.
    pub fn path(&self, slip: &Slip) -> String {
        format!("{PATH}{}", self.signer.token(slip))
    }

    /// The link of a slip for a letter; none where the page is not reached from outside.
    pub fn address(&self, slip: &Slip) -> Option<String> {
        let address = self.address.as_ref()?;
        Some(format!("{address}{}", self.path(slip)))
    }
}

fn hex(bytes: &[u8]) -> String {
    const DIGITS: [char; 16] = [
        '0', '1', '2', '3', '4', '5', '6', '7', '8', '9', 'a', 'b', 'c', 'd', 'e', 'f',
    ];
    let digit = |half: u8| DIGITS.get(usize::from(half)).copied();
    let halves = bytes.iter().flat_map(|byte| [byte >> 4, byte & 15]);
    halves.filter_map(digit).collect()
}

fn slip_of(body: &str) -> Option<Slip> {
    let body = body.strip_prefix(VERSION)?.strip_prefix('.')?;
    let body = String::from_utf8(URL_SAFE_NO_PAD.decode(body).ok()?).ok()?;
    let mut lines = body.split('\n');
    let mut line = || lines.next();
    let (garden, cut, answer) = (line()?, line()?, line()?);
    let slip = Slip {
        garden: garden.to_owned(),
        cut: cut.to_owned(),
        answer: Answer::named(answer)?,
        until: DateTime::from_timestamp(line()?.parse().ok()?, 0)?,
        reader: line().unwrap_or_default().to_owned(),
    };
    line().is_none().then_some(slip)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn slip() -> Slip {
        Slip {
            garden: "quarry".to_owned(),
            cut: "box-edging-shear".to_owned(),
            answer: Answer::Done,
            reader: String::new(),
            until: "2027-06-01T00:00:00Z".parse().unwrap(),
        }
    }

    fn now() -> DateTime<Utc> {
        "2027-04-22T06:00:00Z".parse().unwrap()
    }

    #[test]
    fn a_token_gives_its_slip_until_its_time_is_over() {
        let signer = Signer::new(&[7; KEY_BYTES]);
        let token = signer.token(&slip());
        assert_eq!(signer.read(&token, now()), Ok(slip()));
        assert_eq!(signer.read(&token, slip().until), Ok(slip()));
        let after = slip().until + chrono::TimeDelta::seconds(1);
        assert_eq!(signer.read(&token, after), Err(LinkError::Over));
        let is_plain = |c: char| c.is_ascii_alphanumeric() || "-_.".contains(c);
        assert!(token.chars().all(is_plain), "{token}");
    }

    #[test]
    fn the_tag_is_the_one_of_the_standard() {
        // RFC 4231, test case 2: key "Jefe", data "what do ya want for nothing?".
        let signer = Signer {
            key: hmac::Key::new(hmac::HMAC_SHA256, b"Jefe"),
        };
        let tag = signer.tag("what do ya want for nothing?");
        assert_eq!(hex(&tag), "5bdcc146bf60754e6a042426089575c7");
    }

    #[test]
    fn no_changed_token_is_read() {
        let signer = Signer::new(&[7; KEY_BYTES]);
        let token = signer.token(&slip());
        let broken = Err(LinkError::Broken);
        for place in 0..token.len() {
            for other in ['A', 'z', '.', '0'] {
                let mut changed: Vec<char> = token.chars().collect();
                if changed[place] == other {
                    continue;
                }
                changed[place] = other;
                let changed: String = changed.into_iter().collect();
                // The last sign of base64 may hold bits that stand for nothing; a strict reader refuses them.
                assert_eq!(signer.read(&changed, now()), broken, "{changed}");
            }
        }
        for end in 0..token.len() {
            let begun: String = token.chars().take(end).collect();
            assert_eq!(signer.read(&begun, now()), broken);
        }
        assert_eq!(Signer::new(&[8; KEY_BYTES]).read(&token, now()), broken);
        assert_eq!(signer.read(&"1.".repeat(2000), now()), broken);
    }
}
