//! What a request shows to prove who sends it: `Authorization` (RFC 9110, 11.6.2).
//!
//! In: the headers of a request. Out: the secret in them, and whether it is the right one. Does not know which one is.

use axum::http::HeaderMap;
use axum::http::header::AUTHORIZATION;
use base64::Engine;
use base64::prelude::BASE64_STANDARD;
use secrecy::{ExposeSecret, SecretString};
use subtle::ConstantTimeEq;

/// A secret longer than this is none of ours.
const SECRET_MAX: usize = 4096;

/// The token of `Bearer` (RFC 6750, 2.1).
pub(super) fn bearer(headers: &HeaderMap) -> Option<&[u8]> {
    after_scheme(headers, b"Bearer ")
}

/// The password of `Basic` (RFC 7617, 2), whatever the name before it.
pub(super) fn password(headers: &HeaderMap) -> Option<Vec<u8>> {
    let pair = BASE64_STANDARD
        .decode(after_scheme(headers, b"Basic ")?)
        .ok()?;
    let mut parts = pair.splitn(2, |byte| *byte == b':');
    parts.nth(1).map(<[u8]>::to_vec)
}

/// Whether what was shown is the secret, in a time that does not tell how much of it fits.
pub(super) fn fits(secret: &SecretString, shown: &[u8]) -> bool {
    secret.expose_secret().as_bytes().ct_eq(shown).into()
}

fn after_scheme<'a>(headers: &'a HeaderMap, scheme: &[u8]) -> Option<&'a [u8]> {
    let shown = headers.get(AUTHORIZATION)?.as_bytes();
    let (begin, rest) = shown.split_at_checked(scheme.len())?;
    let is_meant = begin.eq_ignore_ascii_case(scheme) && rest.len() <= SECRET_MAX;
    is_meant.then_some(rest)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn headers(authorization: &str) -> HeaderMap {
        let mut headers = HeaderMap::new();
        headers.insert(AUTHORIZATION, authorization.parse().unwrap());
        headers
    }

    #[test]
    fn the_examples_of_the_standards_are_read() {
        // RFC 6750, 2.1; RFC 7617, 2 and 2.1 (the pound sign in UTF-8).
        let token = headers("Bearer mF_9.B5f-4.1JqM");
        assert_eq!(bearer(&token), Some("mF_9.B5f-4.1JqM".as_bytes()));
        assert_eq!(password(&token), None);
        let basic = headers("Basic QWxhZGRpbjpvcGVuIHNlc2FtZQ==");
        assert_eq!(password(&basic), Some(b"open sesame".to_vec()));
        assert_eq!(bearer(&basic), None);
        let pound = headers("basic dGVzdDoxMjPCow==");
        assert_eq!(password(&pound), Some("123\u{a3}".as_bytes().to_vec()));
        for broken in ["Basic", "Basic !", "Basic QWxhZGRpbg==", "Bearer", "x"] {
            assert_eq!(password(&headers(broken)), None, "{broken}");
        }
    }

    #[test]
    fn only_the_whole_secret_fits() {
        let secret = SecretString::from("open sesame");
        assert!(fits(&secret, b"open sesame"));
        for wrong in ["", "open", "open sesame ", "open sesamE"] {
            assert!(!fits(&secret, wrong.as_bytes()), "{wrong}");
        }
    }
}
