//! From a message in words to the bytes of an e-mail.

use std::time::SystemTime;

use chrono::{DateTime, Utc};
use lettre::address::AddressError;
use lettre::message::header::{
    ContentDisposition, ContentTransferEncoding, ContentType, HeaderName, HeaderValue,
};
use lettre::message::{Attachment, Mailbox, Mailboxes, MultiPart, SinglePart};

use super::MailError;
use crate::message::{Message, Picture};

/// Says that a POST to the address is enough (RFC 8058, section 3.1).
const ONE_CLICK: &str = "List-Unsubscribe=One-Click";

/// Ends a part; "=_" cannot occur in text encoded as quoted-printable (RFC 2045, section 6.7).
const BOUNDARY: &str = "=_budward_part";

/// The most characters of a subject; more is not shown anywhere (estimate).
const SUBJECT_MAX: usize = 200;

/// 9999-12-31T23:59:59Z in seconds from 1970: the last date that a mail can bear.
const LATEST: i64 = 253_402_300_799;

/// Composes a mail: the text and the same in HTML, with its pictures in place and its calendar beside them, and a
/// Message-ID that depends on the key alone.
///
/// # Errors
/// When the sender or the recipient is not one address.
pub fn compose(
    message: &Message,
    from: &str,
    at: DateTime<Utc>,
) -> Result<lettre::Message, MailError> {
    let from = one_mailbox(from).map_err(|cause| MailError::Sender {
        found: one_line(from),
        cause,
    })?;
    let to = one_mailbox(&message.to).map_err(|cause| MailError::Recipient {
        found: one_line(&message.to),
        cause,
    })?;
    let domain = token(&from.email.domain().to_lowercase());
    let id = |name: &str| format!("<{}@{domain}>", token(name));
    let enclosed = &message.enclosed;
    let mut mail = lettre::Message::builder()
        .from(from)
        .to(to)
        .subject(subject(&message.subject))
        .date(date(at))
        .message_id(Some(id(&message.key)))
        // Tells answering machines not to answer (RFC 3834, section 5).
        .raw_header(raw("Auto-Submitted", "auto-generated"))
        .raw_header(raw("Content-Language", enclosed.language.tag()));
    if let Some(task) = &enclosed.thread {
        // No mail bears this id: it stands for the task, so that each mail on it is found without knowing the others.
        let root = id(task);
        mail = mail.in_reply_to(root.clone()).references(root);
    }
    if let Some(address) = enclosed
        .unsubscribe
        .as_deref()
        .filter(|address| is_plain(address))
    {
        mail = mail
            .raw_header(raw("List-Unsubscribe", &format!("<{address}>")))
            .raw_header(raw("List-Unsubscribe-Post", ONE_CLICK));
    }
    Ok(mail.multipart(body(message))?)
}

/// Text and HTML as two forms of the same, and what goes with them.
fn body(message: &Message) -> MultiPart {
    let enclosed = &message.enclosed;
    let text = part(ContentType::TEXT_PLAIN, &message.text);
    let html = part(ContentType::TEXT_HTML, &message.html);
    let forms = MultiPart::alternative().boundary(BOUNDARY).singlepart(text);
    let forms = if enclosed.pictures.is_empty() {
        forms.singlepart(html)
    } else {
        let related = MultiPart::related()
            .boundary(format!("{BOUNDARY}_shown"))
            .singlepart(html);
        let pictures = enclosed.pictures.iter().map(picture);
        forms.multipart(pictures.fold(related, MultiPart::singlepart))
    };
    match &enclosed.calendar {
        Some(file) => MultiPart::mixed()
            .boundary(format!("{BOUNDARY}_whole"))
            .multipart(forms)
            .singlepart(calendar(file)),
        None => forms,
    }
}

/// A picture that the HTML shows by its name.
fn picture(picture: &Picture) -> SinglePart {
    let png = ContentType::parse("image/png").unwrap_or(ContentType::TEXT_PLAIN);
    Attachment::new_inline(picture.cid.clone()).body(picture.png.clone(), png)
}

/// A calendar file (RFC 5545; its type with its method as RFC 6047, section 2.4, has it).
fn calendar(file: &str) -> SinglePart {
    let calendar = ContentType::parse("text/calendar; charset=utf-8; method=PUBLISH");
    SinglePart::builder()
        .header(calendar.unwrap_or(ContentType::TEXT_PLAIN))
        .header(ContentDisposition::attachment("garden.ics"))
        .header(ContentTransferEncoding::QuotedPrintable)
        .body(file.to_owned())
}

/// Exactly one address, with or without a name; a list would reach people who were not meant together.
fn one_mailbox(text: &str) -> Result<Mailbox, AddressError> {
    if text.contains(is_break) {
        return Err(AddressError::InvalidInput);
    }
    let mut found = text.trim().parse::<Mailboxes>()?.into_iter();
    match (found.next(), found.next()) {
        (Some(mailbox), None) => Ok(mailbox),
        (None | Some(_), _) => Err(AddressError::Unbalanced),
    }
}

fn part(content_type: ContentType, text: &str) -> SinglePart {
    SinglePart::builder()
        .header(content_type)
        .header(ContentTransferEncoding::QuotedPrintable)
        .body(text.to_owned())
}

/// A subject that is read as it was written, the end of a very long one aside.
///
/// A word that looks encoded would be decoded by its reader; a word without end would make a line without end.
fn subject(text: &str) -> String {
    let mut subject = one_line(text).replace("=?", "= ?");
    if let Some((end, _)) = subject.char_indices().nth(SUBJECT_MAX) {
        subject.truncate(end);
        subject.push('\u{2026}');
    }
    subject
}

/// A header that the library does not know.
fn raw(name: &'static str, value: &str) -> HeaderValue {
    HeaderValue::new(HeaderName::new_from_ascii_str(name), value.to_owned())
}

/// Whether an address can stand in a header as it is.
fn is_plain(address: &str) -> bool {
    address
        .chars()
        .all(|sign| sign.is_ascii_graphic() && !matches!(sign, '<' | '>'))
}

fn date(at: DateTime<Utc>) -> SystemTime {
    let latest = DateTime::from_timestamp(LATEST, 0).unwrap_or(DateTime::UNIX_EPOCH);
    at.clamp(DateTime::UNIX_EPOCH, latest).into()
}

/// A text without anything that could end a header: each control character and line separator becomes a space.
pub(super) fn one_line(text: &str) -> String {
    text.replace(is_break, " ")
}

fn is_break(character: char) -> bool {
    character.is_control() || matches!(character, '\u{2028}' | '\u{2029}')
}

/// A key as a word for ids and file names; two keys never give the same word, not even where case does not count.
///
/// Small ASCII letters, digits, '-', '_' and single inner dots stay; each other byte becomes '=' and its number.
pub(super) fn token(key: &str) -> String {
    let bytes = key.as_bytes();
    let is_inner = |position: Option<usize>| {
        position
            .and_then(|position| bytes.get(position))
            .is_some_and(|byte| *byte != b'.')
    };
    let word = |(position, byte): (usize, &u8)| {
        let stays = match byte {
            b'a'..=b'z' | b'0'..=b'9' | b'-' | b'_' => true,
            b'.' => is_inner(position.checked_sub(1)) && is_inner(position.checked_add(1)),
            _ => false,
        };
        if stays {
            char::from(*byte).to_string()
        } else {
            format!("={byte:02x}")
        }
    };
    bytes.iter().enumerate().map(word).collect()
}
