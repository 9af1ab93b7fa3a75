//! The demo in German: board, pages, calendar, plan, reasons and mails without an English sentence.

use std::collections::BTreeSet;
use std::process::Command;

use budward::almanac::german;
use budward::garden::Garden;
use budward::locale::{Language, Locale};
use budward::message::{Beside, Message, SourceNews, words};
use budward::notice::WeatherNews;
use budward::units::UnitSystem;
use chrono::{DateTime, TimeDelta, Utc};

use crate::mail_route::letters;
use crate::web_pages::demo::Demo;
use crate::work_weather::every_kind;

const GERMAN: Locale = Locale::new(Language::German, UnitSystem::Metric);

/// Fixed words of an English text that are long enough to be told from names.
const LONG: usize = 14;

/// The English sentences that must not be seen: the texts and those of the almanac.
fn english() -> Vec<String> {
    let texts = super::read("en");
    let fixed = texts.into_values().flat_map(|text| text.words);
    let almanac = german().unwrap().texts.keys().cloned();
    let all = fixed.chain(almanac).map(|words| plain(&words));
    let german: BTreeSet<String> = super::read("de")
        .into_values()
        .flat_map(|text| text.words)
        .map(|words| plain(&words))
        .collect();
    // What is the same in both languages is no English sentence.
    all.filter(|words| words.chars().count() >= LONG && words.contains(' '))
        .filter(|words| !german.iter().any(|german| german.contains(words.as_str())))
        .collect()
}

/// Words with single blanks between them, as they are read.
fn plain(text: &str) -> String {
    let text = text
        .replace("&quot;", "\"")
        .replace("&#39;", "'")
        .replace("&amp;", "&")
        .replace("&lt;", "<");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A mail's parts as they are read (quoted-printable, RFC 2045, section 6.7).
fn decoded(mail: &str) -> String {
    let joined = mail.replace("=\r\n", "");
    let mut bytes = Vec::new();
    let mut rest = joined.as_bytes();
    while let [first, others @ ..] = rest {
        let code = others
            .get(..2)
            .and_then(|code| std::str::from_utf8(code).ok());
        let code = code.and_then(|code| u8::from_str_radix(code, 16).ok());
        if let Some(byte) = code.filter(|_| *first == b'=') {
            bytes.push(byte);
            rest = &others[2..];
        } else {
            bytes.push(*first);
            rest = others;
        }
    }
    String::from_utf8(bytes).unwrap()
}

fn left(from: &str, text: &str, english: &[String]) -> Vec<String> {
    let text = plain(text);
    let found = english.iter().filter(|words| text.contains(words.as_str()));
    let mut left: Vec<String> = found.map(|words| format!("{from}: {words}")).collect();
    if text.contains("{$") || text.contains("{ $") {
        left.push(format!("{from}: an argument is missing"));
    }
    left
}

#[tokio::test]
async fn the_pages_of_the_demo_have_no_english_sentence() {
    let english = english();
    assert!(english.len() > 500, "the English texts were not found");
    let demo = Demo::start_in("de");
    let mut seen = BTreeSet::from(["/".to_owned()]);
    let mut queue = vec!["/".to_owned()];
    let mut wrong = Vec::new();
    while let Some(path) = queue.pop() {
        let page = demo.text(&path).await;
        let is_page = page.starts_with("<!DOCTYPE html>");
        let is_calendar = page.starts_with("BEGIN:VCALENDAR");
        if !is_page && !is_calendar {
            continue;
        }
        wrong.extend(left(&path, &page, &english));
        if is_page && !page.contains("<html lang=\"de\">") {
            wrong.push(format!("{path}: does not say that it is German"));
        }
        for link in crate::web_pages::demo::links(&page) {
            if seen.insert(link.clone()) {
                queue.push(link);
            }
        }
    }
    assert!(seen.len() > 100, "{seen:?}");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_board_and_the_mails_of_the_demo_have_no_english_sentence() {
    let english = english();
    let mails = tempfile::tempdir().unwrap();
    let run = Command::new(env!("CARGO_BIN_EXE_budward"))
        .args([
            "demo",
            "--exit",
            "--language",
            "de",
            "--listen",
            "127.0.0.1:0",
            "--mails",
        ])
        .arg(mails.path())
        .output()
        .unwrap();
    let board = String::from_utf8(run.stdout).unwrap();
    assert!(board.contains("möglichen Wetterverläufen"), "{board}");
    let mut wrong = left("board", &board, &english);
    let files: Vec<_> = std::fs::read_dir(mails.path()).unwrap().collect();
    assert!(!files.is_empty());
    for file in files {
        let path = file.unwrap().path();
        let mail = decoded(&std::fs::read_to_string(&path).unwrap());
        assert!(mail.contains("Content-Language: de"), "{mail}");
        assert!(mail.contains("möglichen Wetterverläufen"), "{mail}");
        wrong.extend(left(&path.display().to_string(), &mail, &english));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn no_finding_on_any_kind_has_an_english_sentence() {
    let garden = Garden {
        locale: GERMAN,
        ..every_kind::garden()
    };
    let mut said = BTreeSet::new();
    for weather in every_kind::weathers() {
        for verdict in every_kind::verdicts(&garden, &weather) {
            said.insert(words::main_reason(&verdict, GERMAN));
            for finding in &verdict.findings {
                said.insert(words::reason(finding, verdict.today, GERMAN));
                said.insert(words::change(finding, verdict.today, GERMAN));
                let rows = words::numbers(finding, verdict.today, GERMAN);
                said.extend(
                    rows.into_iter()
                        .map(|(name, value)| format!("{name}: {value}")),
                );
            }
        }
    }
    said.extend(
        garden
            .cuts
            .iter()
            .flat_map(|cut| words::about(&cut.kind, GERMAN)),
    );
    assert!(said.len() > 1_000, "{}", said.len());
    let said: Vec<String> = said.into_iter().collect();
    let wrong = left("a finding", &said.join("\n"), &english());
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn no_kind_of_letter_has_an_english_sentence() {
    let garden = Garden {
        locale: GERMAN,
        ..letters::garden()
    };
    let now: DateTime<Utc> = letters::EVENING.parse().unwrap();
    let seen = letters::seen(&garden);
    let since = now - TimeDelta::days(2);
    let of_source = [WeatherNews::Lost { since }, WeatherNews::Back { since }].map(|news| {
        let about = SourceNews {
            source: "nws".to_owned(),
            others: vec!["open-meteo".to_owned()],
            news,
        };
        (
            "a source",
            Message::source(&about, &garden, now, &Beside::NOTHING).unwrap(),
        )
    });
    let matters = letters::matters(&seen, &garden).into_iter();
    let of_matters = matters.map(|(kind, matters)| {
        let board = &seen.verdicts;
        let letter = Message::letter(&matters, board, &garden, now, &Beside::NOTHING);
        (kind, letter.unwrap())
    });
    let test = Message::test(&garden, "keeper@example.org", seen.verdicts[0].today);
    let all = of_matters.chain(of_source).chain([("a test", test)]);
    let english = english();
    let mut wrong = Vec::new();
    for (kind, letter) in all {
        for form in [&letter.subject, &letter.text, &letter.html] {
            wrong.extend(left(kind, form, &english));
        }
        assert!(letter.html.contains("<html lang=\"de\">"), "{kind}");
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn an_english_sentence_is_seen() {
    let english = english();
    let seen = |text: &str| !left("x", text, &english).is_empty();
    assert!(seen(
        "about 6 of 100 ways the weather can\n go bring a night of 28 °F or less"
    ));
    assert!(seen("what {$ways} brings"));
    assert!(!seen("in etwa 6 von 100 möglichen Wetterverläufen"));
}
