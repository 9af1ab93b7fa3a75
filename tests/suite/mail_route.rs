//! From a message to a mail: what a strict reader finds in it, and what lies in a folder.

mod every_kind;
pub(crate) mod letters;
mod matrix;
mod peer;
mod scene;
mod smtp;
mod stages;

use std::fs;

use budward::mail::{MailError, NextStep, Postman, Route, compose};
use budward::message::{Enclosed, Message};
use chrono::{DateTime, Utc};
use proptest::prelude::*;

use peer::read;

const FROM: &str = "Der Garten S\u{fc}d <budward@Garden.Example>";

fn at(text: &str) -> DateTime<Utc> {
    text.parse().unwrap()
}

fn decided() -> DateTime<Utc> {
    at("2027-04-22T06:05:04Z")
}

/// News about a planting of that name.
fn message(planting: &str) -> Message {
    Message {
        key: "museum.box-edging-shear.now-go.2027-04-22".to_owned(),
        to: "Gärtnerei Weiher <keeper@example.org>".to_owned(),
        subject: format!("{planting}: shear from today (Thu 22 April)"),
        text: format!("{planting}\n\n6 of 100 futures, -2.2 \u{b0}C \u{2212} firm about 29 May.\n"),
        html: format!("<!doctype html><p>{planting}</p>\n<p>6 of 100 futures, -2.2 \u{b0}C</p>\n"),
        enclosed: Enclosed::default(),
    }
}

fn bytes(message: &Message) -> Vec<u8> {
    compose(message, FROM, decided()).unwrap().formatted()
}

#[test]
fn a_strict_reader_finds_both_parts_and_every_header_once() {
    let Some(mail) = read(&bytes(&message("Box edging"))) else {
        return;
    };
    assert_eq!(mail.subject, "Box edging: shear from today (Thu 22 April)");
    assert_eq!(mail.from, ["Der Garten Süd <budward@Garden.Example>"]);
    assert_eq!(mail.to, ["Gärtnerei Weiher <keeper@example.org>"]);
    assert_eq!(
        mail.message_id,
        "<museum.box-edging-shear.now-go.2027-04-22@garden.example>"
    );
    assert_eq!(mail.date, "2027-04-22T06:05:04+00:00");
    for part in [&mail.text, &mail.html] {
        assert!(part.contains("Box edging"), "{part}");
        assert!(part.contains("6 of 100 futures, -2.2 \u{b0}C"), "{part}");
    }
    assert!(mail.text.contains('\u{2212}'));
    assert_eq!(mail.headers.len(), 9, "{:?}", mail.headers);
}

#[test]
fn no_name_breaks_a_mail_or_adds_a_header() {
    let long = "Hortensienweg am Teich, ".repeat(40);
    let unbroken = "x".repeat(2000);
    for planting in [
        "Rosa 'Dauphin\u{e9}' \u{2014} \"the long one\"",
        "box\r\nBcc: x@y",
        "box\nBcc: x@y\n\n<p>injected</p>",
        "box\rX-Bad: 1\u{b}\u{0}\u{7f}\u{85}\u{2028}\u{2029}end",
        "=?utf-8?q?Bcc:_x@y?=",
        "\u{1f339}\u{200d}\u{1f33f} \u{5d2}\u{5df} \u{202e}box",
        "--=_budward_part--",
        ".\r\n.\r\nQUIT",
        "",
        &long,
        &unbroken,
    ] {
        let message = message(planting);
        let Some(mail) = read(&bytes(&message)) else {
            return;
        };
        let spaced = |c: char| c.is_control() || matches!(c, '\u{2028}' | '\u{2029}');
        let subject = message.subject.replace(spaced, " ").replace("=?", "= ?");
        let given = mail.subject.trim_end_matches('\u{2026}').trim_end();
        assert!(subject.starts_with(given), "{planting:?}: {given:?}");
        assert!(
            given.chars().count() >= subject.trim_end().chars().count().min(199),
            "{planting:?}"
        );
        let lines = |text: &str| text.replace("\r\n", "\n").replace('\r', "\n");
        assert_eq!(
            lines(&mail.text).trim_end(),
            lines(&message.text).trim_end(),
            "{planting:?}"
        );
        assert_eq!(
            lines(&mail.html).trim_end(),
            lines(&message.html).trim_end(),
            "{planting:?}"
        );
        assert_eq!(mail.headers.len(), 9, "{:?}", mail.headers);
        assert!(mail.longest <= 998);
    }
}

#[test]
fn the_same_message_makes_the_same_mail_to_the_last_byte() {
    assert_eq!(bytes(&message("box")), bytes(&message("box")));
}

#[test]
fn an_address_is_one_address() {
    let to = |to: &str| Message {
        to: to.to_owned(),
        ..message("box")
    };
    for address in [
        "a@example.org",
        " Ann <a@example.org> ",
        "\"B, A\" <a@example.org>",
    ] {
        let mail = compose(&to(address), FROM, decided()).unwrap();
        assert_eq!(mail.envelope().to().len(), 1, "{address}");
    }
    for address in [
        "",
        "nobody",
        "a@example.org, b@example.org",
        "a@example.org b@example.org",
        "a@example.org\r\nBcc: b@example.org",
        "\"A\r\nBcc: b@example.org\" <a@example.org>",
        "<a@example.org>\n",
    ] {
        let error = compose(&to(address), FROM, decided()).unwrap_err();
        assert_eq!(error.next_step(), NextStep::GiveUp, "{address}");
        assert!(!error.to_string().contains('\n'), "{error}");
        let error = compose(&message("box"), address, decided()).unwrap_err();
        assert_eq!(error.next_step(), NextStep::AskHuman, "{address}");
    }
}

#[test]
fn a_date_that_no_mail_can_bear_becomes_the_nearest_one() {
    for (at, date) in [
        (DateTime::<Utc>::MIN_UTC, "1970-01-01T00:00:00+00:00"),
        (DateTime::<Utc>::MAX_UTC, "9999-12-31T23:59:59+00:00"),
    ] {
        let mail = compose(&message("box"), FROM, at).unwrap().formatted();
        let Some(mail) = read(&mail) else { return };
        assert_eq!(mail.date, date);
    }
}

#[tokio::test]
async fn a_folder_gets_a_file_for_each_key() {
    let home = tempfile::tempdir().unwrap();
    let folder = home.path().join("mail-out");
    let postman = Postman::new(FROM.to_owned(), Route::Folder(folder.clone()));
    let keys = [
        "museum.box",
        "museum.BOX",
        "museum/box",
        "../museum.box",
        "museum..box",
        ".museum",
        "m\u{fc}seum \"box\"\n",
    ];
    for key in keys {
        for _again in 0..2 {
            let message = Message {
                key: key.to_owned(),
                ..message(key)
            };
            let sent = postman.send(&message, decided()).await.unwrap();
            let path = sent.reply.strip_prefix("written to ").unwrap();
            assert_eq!(fs::read(path).unwrap(), bytes(&message), "{key}");
        }
    }
    let mut names: Vec<_> = fs::read_dir(&folder)
        .unwrap()
        .map(|entry| {
            entry
                .unwrap()
                .file_name()
                .into_string()
                .unwrap()
                .to_lowercase()
        })
        .collect();
    names.sort();
    names.dedup();
    assert_eq!(names.len(), keys.len(), "{names:?}");
    let is_mail = |name: &String| {
        name.strip_suffix(".eml")
            .is_some_and(|key| !key.starts_with('.'))
    };
    assert!(names.iter().all(is_mail), "{names:?}");
    assert_eq!(fs::read_dir(home.path()).unwrap().count(), 1);
}

#[tokio::test]
async fn a_folder_that_cannot_be_one_asks_for_a_human() {
    let home = tempfile::tempdir().unwrap();
    let file = home.path().join("file");
    fs::write(&file, "kept").unwrap();
    let error = Postman::new(FROM.to_owned(), Route::Folder(file.clone()))
        .send(&message("box"), decided())
        .await
        .unwrap_err();
    assert!(matches!(error, MailError::Folder { .. }), "{error}");
    assert_eq!(error.next_step(), NextStep::AskHuman);
    assert_eq!(fs::read(&file).unwrap(), b"kept");
}

proptest! {
    #[test]
    fn any_words_make_a_mail_of_nine_headers(
        key in "\\PC{1,20}", subject in any::<String>(), text in any::<String>(), html in any::<String>()
    ) {
        let message = Message { key, subject, text, html, to: "keeper@example.org".to_owned(), enclosed: Enclosed::default() };
        let mail = String::from_utf8(bytes(&message)).unwrap();
        prop_assert!(mail.is_ascii());
        let (head, _) = mail.split_once("\r\n\r\n").unwrap();
        let headers = head.split("\r\n").filter(|line| !line.starts_with([' ', '\t']));
        prop_assert_eq!(headers.count(), 9);
        prop_assert!(mail.split("\r\n").all(|line| line.len() <= 998 && !line.contains(['\r', '\n'])));
    }
}
