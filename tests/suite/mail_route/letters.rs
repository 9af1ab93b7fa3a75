//! Every kind of letter over a real relay to strict readers: no defect, valid HTML, the same figures in both forms, and
//! a calendar that two libraries read alike.

use std::path::Path;

use budward::almanac;
use budward::climate::{Climate, DailyRecord, PastYears, read_record};
use budward::config::Settings;
use budward::forecast::{FRESH_FOR, Forecast, Hours, Several};
use budward::garden::{Deed, Garden};
use budward::look::{FreshFor, Seen, View, Weather};
use budward::mail::{Postman, SmtpSecurity, compose};
use budward::message::{Beside, Message, Picture};
use budward::notice::{
    Below, CutMatter, Matter, Moment, News, Said, Shown, WeatherNews, covers, cut_matters, frosts,
};
use budward::thermometer::Reading;
use budward::units::{Celsius, CelsiusStep};
use chrono::{DateTime, TimeDelta, Utc};

use super::peer::{Peer, Read, read_letter};
use super::{FROM, at};
use crate::support::project;

/// A mail larger than this is cut off or kept back by some programs (the limit that the project sets itself).
const BYTES_MAX: usize = 150_000;

/// The smallest PNG: one grey pixel.
const PIXEL: [u8; 67] = [
    0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0x00, 0x00, 0x00, 0x0d, 0x49, 0x48, 0x44, 0x52,
    0x00, 0x00, 0x00, 0x01, 0x00, 0x00, 0x00, 0x01, 0x08, 0x00, 0x00, 0x00, 0x00, 0x3a, 0x7e, 0x9b,
    0x55, 0x00, 0x00, 0x00, 0x0a, 0x49, 0x44, 0x41, 0x54, 0x78, 0x9c, 0x63, 0x68, 0x00, 0x00, 0x00,
    0x82, 0x00, 0x81, 0x77, 0xcd, 0x72, 0xb6, 0x00, 0x00, 0x00, 0x00, 0x49, 0x45, 0x4e, 0x44, 0xae,
    0x42, 0x60, 0x82,
];

/// The spring evening of these letters, with a cold night ahead and one behind.
pub(crate) const EVENING: &str = "2002-04-20T18:30:00Z";

pub(crate) fn garden() -> Garden {
    let text = r#"
[mail]
from = "budward <garden@example.org>"
folder = "mails"

[[garden]]
name = "quarry"
title = "Quarry & mill garden"
latitude = 43.67
longitude = -79.40
time_zone = "America/Toronto"
mail_to = "keeper@example.org"
forecast = { source = "files", forecast = "forecast.json" }
history = { source = "none" }
plant = [
    { name = "box <edging>", kind = "boxwood" },
    { name = "Old lilac", kind = "common-lilac" },
    { name = "Catmint", kind = "catmint" },
    { name = "Smooth hydrangea", kind = "smooth-hydrangea" },
]
"#;
    let almanac = almanac::embedded().unwrap();
    let settings = Settings::parse(text, Path::new("garden.toml"), &almanac, &|_| None).unwrap();
    settings.gardens[0].garden.clone()
}

fn record() -> DailyRecord {
    let file = project().join("tests/data/ghcn/CA006158350_1969-2003.dly");
    let record = read_record(&std::fs::read_to_string(file).unwrap(), "Toronto").unwrap();
    let (from, to) = ("1985-01-01", "2002-04-19");
    record
        .between(from.parse().unwrap(), to.parse().unwrap())
        .unwrap()
}

/// Ten days of hours from two days before; the coming night is cold.
fn forecast(now: DateTime<Utc>) -> Forecast {
    let start = now - TimeDelta::minutes(30) - TimeDelta::hours(54);
    let temperature = |hour: i64| {
        let at = start + TimeDelta::hours(hour);
        let is_tonight = (at - now).num_hours() > 2 && (at - now).num_hours() < 18;
        let is_night = (4..12).contains(&(at.timestamp() / 3600 % 24));
        Some(Celsius::new(match (is_tonight, is_night) {
            (true, true) => -5.0,
            (false, true) => 4.0,
            (_, false) => 14.0,
        }))
    };
    Forecast {
        source: "invented".to_owned(),
        attribution: "invented weather".to_owned(),
        data_at: now,
        elevation: None,
        run: Hours {
            start,
            temperature: (0..240).map(temperature).collect(),
        },
        members: Vec::new(),
        conditions: None,
        spans: Vec::new(),
    }
}

/// A look at the garden with a box that was sheared on the 10th; a cold night is in the record since.
pub(crate) fn seen(garden: &Garden) -> Seen {
    let now = at(EVENING);
    let record = record();
    let climate = Climate::of(&record);
    let deed = Deed {
        cut: "box-edging-shear".to_owned(),
        planting: "box <edging>".to_owned(),
        on: "2002-04-02".parse().unwrap(),
        share: Some(20),
        note: None,
    };
    let weather = Weather {
        past: Some(std::sync::Arc::new(PastYears::of(record))),
        forecasts: Several::only(Some(forecast(now))),
        deeds: vec![deed],
        ..Weather::default()
    };
    let view = View {
        garden,
        fresh_for: &FreshFor::all(FRESH_FOR),
        climate: climate.as_ref(),
        hung: None,
        shelf: None,
    };
    view.look(&weather, now)
}

/// A reading of the garden's own thermometer that damages what was cut.
fn below<'a>(seen: &'a Seen, garden: &'a Garden) -> Matter<'a> {
    let temperature = Celsius::new(-4.4);
    let reading = Reading {
        at: at(EVENING),
        temperature,
    };
    let below = Below {
        watch: &seen.watches[0],
        at_plant: temperature,
        damage_at: Celsius::new(-2.2),
    };
    Matter::Below {
        plants: vec![below],
        shown: Shown {
            reading,
            offset: CelsiusStep::new(0.0),
            garden,
        },
    }
}

/// A matter of each kind, with its name.
pub(crate) fn matters<'a>(
    seen: &'a Seen,
    garden: &'a Garden,
) -> Vec<(&'static str, Vec<Matter<'a>>)> {
    let now = at(EVENING);
    let told = Said {
        news: News::NowGo,
        at: now - TimeDelta::days(30),
        wished: None,
    };
    let of_cut = |news: News, allows: bool| {
        let mut cuts = seen.verdicts.iter().zip(&garden.cuts);
        let (verdict, cut) = cuts.find(|(one, _)| one.state.allows() == allows).unwrap();
        Matter::Cut(CutMatter {
            news,
            verdict,
            cut,
            last: Some(told),
            since: Some(now - TimeDelta::days(2)),
        })
    };
    let moment = Moment {
        now,
        next: Some(now + TimeDelta::hours(15)),
        zone: &garden.place.zone,
    };
    let covers = covers(&seen.watches, &[], &moment);
    let frosts = frosts(&seen.watches, &[]);
    let since = now - TimeDelta::days(2);
    let weather = |news| Matter::Weather { news, silent: &[] };
    let all = cut_matters(
        (&seen.verdicts, &garden.cuts),
        &vec![Some(told); garden.cuts.len()],
        &[],
        &[],
    );
    vec![
        ("go", vec![of_cut(News::NowGo, true)]),
        ("put off", vec![of_cut(News::PutOff, false)]),
        ("closing", vec![of_cut(News::Closing, true)]),
        ("cover", covers.into_iter().map(Matter::Cover).collect()),
        ("frost", vec![Matter::Frosts(frosts)]),
        ("below", vec![below(seen, garden)]),
        ("lost", vec![weather(WeatherNews::Lost { since })]),
        ("back", vec![weather(WeatherNews::Back { since })]),
        ("all", all.into_iter().map(Matter::Cut).collect()),
    ]
}

fn chart() -> Picture {
    Picture {
        alt: "The chance of frost falls from 40 of 100 today to 10 of 100 on 5 May".to_owned(),
        cid: "risk.box-edging-shear".to_owned(),
        png: PIXEL.to_vec(),
    }
}

/// The numbers of a text in order of size, as often as they stand there.
fn figures(text: &str) -> Vec<String> {
    let mut found: Vec<String> = text
        .split(|sign: char| !(sign.is_ascii_digit() || sign == '.'))
        .map(|number| number.trim_matches('.').to_owned())
        .filter(|number| !number.is_empty())
        .collect();
    found.sort();
    found
}

fn words_of(text: &str) -> Vec<&str> {
    let is_mark = |word: &&str| !["-", "--", "Picture:"].contains(word) && !word.starts_with("==");
    let words = text.split_whitespace().filter(is_mark);
    words.map(|word| word.trim_end_matches(':')).collect()
}

/// Whether the reader found the letter that was written, the same in both forms.
fn is_whole(kind: &str, letter: &Message, read: &Read) {
    assert_eq!(read.subject, letter.subject, "{kind}");
    assert_eq!(figures(&read.text), figures(&read.visible), "{kind}");
    let mut text = words_of(&read.text);
    let mut shown = words_of(&read.visible);
    text.sort_unstable();
    shown.sort_unstable();
    assert_eq!(text, shown, "{kind}");
    assert_eq!(read.values["Auto-Submitted"], "auto-generated");
    assert_eq!(read.values["Content-Language"], "en");
}

#[tokio::test]
async fn every_kind_of_letter_arrives_over_a_real_relay_without_a_defect() {
    let garden = garden();
    let seen = seen(&garden);
    for (kind, matters) in matters(&seen, &garden) {
        assert!(!matters.is_empty(), "{kind}");
        let letter = Message::letter(
            &matters,
            &[],
            &garden,
            at(EVENING),
            &Beside {
                draw: &|_| Some(chart()),
                links: None,
            },
        )
        .unwrap();
        let Some(mut peer) = Peer::start("accept") else {
            return;
        };
        let postman = Postman::new(FROM.to_owned(), peer.route(SmtpSecurity::Plain));
        postman.send(&letter, at(EVENING)).await.unwrap();
        let bytes = peer.file("mail.eml");
        assert!(bytes.len() < BYTES_MAX, "{kind}: {} bytes", bytes.len());
        let Some(read) = read_letter(&bytes, "") else {
            return;
        };
        is_whole(kind, &letter, &read);
        let is_of_cuts = matches!(matters[0], Matter::Cut(_));
        assert_eq!(
            !read.events.is_empty(),
            is_of_cuts,
            "{kind}: {:?}",
            read.events
        );
        let threads = read.values.contains_key("In-Reply-To");
        assert_eq!(
            threads,
            matters.len() == 1 && matters[0].task().is_some(),
            "{kind}"
        );
        assert_eq!(
            read.values.get("References"),
            read.values.get("In-Reply-To")
        );
        assert!(
            !read.values.contains_key("List-Unsubscribe"),
            "no address is set"
        );
    }
}

#[test]
fn mails_on_one_task_make_one_thread_and_its_window_is_changed_and_not_doubled() {
    let garden = garden();
    let seen = seen(&garden);
    let kinds = matters(&seen, &garden);
    let of = |kind: &str| &kinds.iter().find(|(name, _)| *name == kind).unwrap().1[0];
    let Matter::Cut(go) = of("go") else { panic!() };
    let mut later = go.verdict.clone();
    later.at += TimeDelta::days(2);
    later.today += TimeDelta::days(2);
    later.state = budward::verdict::State::Wait;
    let off = Matter::Cut(CutMatter {
        news: News::PutOff,
        verdict: &later,
        ..*go
    });
    let read = |matter: &Matter<'_>, now: DateTime<Utc>| {
        let letter = Message::letter(
            std::slice::from_ref(matter),
            &[],
            &garden,
            now,
            &Beside::NOTHING,
        );
        read_letter(
            &compose(&letter.unwrap(), FROM, now).unwrap().formatted(),
            "",
        )
    };
    let Some((first, second)) = read(of("go"), at(EVENING)).zip(read(&off, later.at)) else {
        return;
    };
    assert_ne!(first.message_id, second.message_id);
    assert_eq!(first.values["References"], second.values["References"]);
    let ([open], [gone]) = (first.events.as_slice(), second.events.as_slice()) else {
        panic!("{:?} {:?}", first.events, second.events);
    };
    assert_eq!((&open.0, open.2.as_str()), (&gone.0, "CONFIRMED"));
    assert_eq!(gone.2, "CANCELLED");
    assert!(gone.1 > open.1, "{} after {}", gone.1, open.1);
}

#[test]
fn a_one_click_end_is_offered_when_there_is_an_address_for_it() {
    let garden = garden();
    let seen = seen(&garden);
    let (_, go) = matters(&seen, &garden).remove(0);
    let mut letter = Message::letter(&go, &[], &garden, at(EVENING), &Beside::NOTHING).unwrap();
    for (address, is_offered) in [
        ("https://garden.example/end/abc", true),
        ("https://garden.example/end/\r\nBcc: x@y", false),
    ] {
        letter.enclosed.unsubscribe = Some(address.to_owned());
        let bytes = compose(&letter, FROM, at(EVENING)).unwrap().formatted();
        let Some(read) = read_letter(&bytes, "") else {
            return;
        };
        let header = read.values.get("List-Unsubscribe");
        assert_eq!(
            header.map(String::as_str),
            is_offered.then_some("<https://garden.example/end/abc>")
        );
        let post = read.values.get("List-Unsubscribe-Post");
        assert_eq!(post.is_some(), is_offered);
    }
}

#[test]
fn a_letter_says_the_most_urgent_first_and_each_number_with_how_many_were_counted() {
    let garden = garden();
    let seen = seen(&garden);
    let kinds = matters(&seen, &garden);
    let (_, all) = kinds.last().unwrap();
    let letter =
        Message::letter(all, &seen.verdicts, &garden, at(EVENING), &Beside::NOTHING).unwrap();
    let more = format!(", and {} more", all.len() - 1);
    assert!(letter.subject.ends_with(&more), "{}", letter.subject);
    for part in [
        "Also in this letter:",
        "How all cuts stand:",
        "Counted over",
        "licensed",
    ] {
        assert!(
            letter.text.contains(part),
            "no {part:?} in\n{}",
            letter.text
        );
    }
    let (_, put_off) = &kinds[1];
    let letter = Message::letter(put_off, &[], &garden, at(EVENING), &Beside::NOTHING).unwrap();
    assert!(
        letter.text.contains("This has held since Thu 18 April"),
        "{}",
        letter.text
    );
}

#[test]
fn a_first_letter_of_a_large_garden_stays_small() {
    let file = project().join("tests/gardens/zone-6.toml");
    let settings = Settings::read(&file).unwrap();
    let garden = &settings.gardens[0].garden;
    let seen = seen(garden);
    let cuts = seen.verdicts.iter().zip(&garden.cuts);
    let matters: Vec<Matter<'_>> = cuts
        .map(|(verdict, cut)| {
            Matter::Cut(CutMatter {
                news: News::NowGo,
                verdict,
                cut,
                last: None,
                since: None,
            })
        })
        .collect();
    let picture = |_: &Matter<'_>| {
        let mut png = PIXEL.to_vec();
        png.resize(30_000, 0);
        Some(Picture { png, ..chart() })
    };
    let letter = Message::letter(
        &matters,
        &seen.verdicts,
        garden,
        at(EVENING),
        &Beside {
            draw: &picture,
            links: None,
        },
    )
    .unwrap();
    let bytes = compose(&letter, FROM, at(EVENING)).unwrap().formatted();
    assert!(matters.len() > 80);
    assert!(bytes.len() < BYTES_MAX, "{} bytes", bytes.len());
}
