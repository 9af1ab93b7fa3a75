//! Invented things to keep: a record, a forecast, verdicts, news.

use budward::climate::{DailyRecord, DayExtremes};
use budward::forecast::{Forecast, Hours};
use budward::message::{Enclosed, Message, Picture};
use budward::notice::{News, Said};
use budward::store::{Letter, Round, Told};
use budward::units::{Celsius, Metres};
use budward::verdict::{State, Verdict};
use chrono::{DateTime, NaiveDate, Utc};
use serde_json::json;

/// Names that would break text put together by hand.
pub(super) const AWKWARD_NAMES: [&str; 6] = [
    "museum",
    "it's \"quoted\"",
    "x'); DROP TABLE outbox; --",
    "two\nlines\r\nand\ta tab",
    "Hortensie \u{1f33c}\u{200d}\u{2b1b} \u{5d2}\u{5df}",
    "",
];

/// Every state of a verdict.
pub(super) const STATES: [State; 6] = [
    State::Go,
    State::Closing,
    State::Wait,
    State::Closed,
    State::CallAPro,
    State::Unknown,
];

pub(crate) fn at(text: &str) -> DateTime<Utc> {
    text.parse().unwrap()
}

pub(crate) fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

/// A record with a gap of a day, gaps of one extreme and numbers that are no short decimals.
pub(super) fn record() -> DailyRecord {
    let days = [
        ("2020-02-28", Some(-1.0 / 3.0), Some(5.1)),
        ("2020-02-29", None, Some(0.1 + 0.2)),
        ("2020-03-02", Some(-0.0), None),
    ];
    let celsius = |degrees: Option<f64>| degrees.map(Celsius::new);
    DailyRecord::from_days(
        "invented station \"Am Weiher\"",
        days.map(|(date, min, max)| {
            (
                day(date),
                DayExtremes {
                    min: celsius(min),
                    max: celsius(max),
                },
            )
        }),
    )
    .unwrap()
}

/// A forecast with gaps and a member.
pub(super) fn forecast() -> Forecast {
    let start = at("2027-04-22T00:00:00Z");
    let hours = |degrees: [Option<f64>; 3]| Hours {
        start,
        temperature: degrees.map(|degrees| degrees.map(Celsius::new)).to_vec(),
    };
    Forecast {
        spans: Vec::new(),
        source: "invented".to_owned(),
        attribution: "invented weather".to_owned(),
        data_at: start,
        elevation: Some(Metres(140.25)),
        run: hours([Some(0.1 + 0.2), None, Some(-2.0 / 3.0)]),
        members: vec![hours([None, Some(1e-9), Some(31.5)])],
        conditions: None,
    }
}

/// A verdict, written as the store keeps it.
pub(crate) fn verdict(garden: &str, cut: &str, state: State) -> Verdict {
    let season = json!({ "from": "2027-04-18", "to": "2027-04-27" });
    let verdict = json!({
        "garden": garden, "cut": cut, "planting": "box edging \u{2014} \"the long one\"", "cut_kind": "shear",
        "at": "2027-04-22T06:00:00Z", "today": "2027-04-22", "state": state.name(),
        "opens": season, "closes": null, "wished": "2027-04-10",
        "findings": [{
            "stand": { "is": "unknown", "missing": [{ "what": "fresh-forecast", "age_hours": 40 }] },
            "facts": {
                "rule": "flowering-wood", "wood": "old", "season": season, "zone": 6.4,
                "outside": "flower buds sit on last year's wood",
            },
            "source": "invented",
        }],
        "basis": {
            "today": "2027-04-22", "futures": 30, "years": 30, "members": 1, "forecast_days": 15,
            "missing": [{ "what": "history" }],
        },
    });
    serde_json::from_value(verdict).unwrap()
}

/// The news that a cut is go.
pub(crate) fn told(cut: &str, date: &str) -> Told {
    Told {
        cut: cut.to_owned(),
        said: Said {
            news: News::NowGo,
            at: at(&format!("{date}T06:00:00Z")),
            wished: Some(day("2027-04-10")),
        },
        before: None,
        line: format!("{cut}: from today ({date})"),
    }
}

/// The mail that tells news, with a key of garden, cut and date.
pub(crate) fn mail(garden: &str, told: &Told) -> Message {
    let date = told.said.at.date_naive();
    Message {
        key: format!("{garden}.{}.now-go.{date}", told.cut),
        to: "garden@example.org".to_owned(),
        subject: told.line.clone(),
        text: "6 of 100 futures\n".to_owned(),
        html: "<html><body><p>6 of 100 futures</p></body></html>".to_owned(),
        enclosed: Enclosed {
            calendar: Some("BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n".to_owned()),
            pictures: vec![Picture {
                alt: "a chart".to_owned(),
                cid: "risk".to_owned(),
                png: vec![0x89, b'P', 0, 255],
            }],
            ..Enclosed::default()
        },
    }
}

/// A round with a verdict in each state, and a letter when something is told.
pub(crate) fn round(garden: &str, when: &str, told: Vec<Told>) -> Round {
    let verdicts = STATES.map(|state| verdict(garden, state.name(), state));
    let letter = told.first().map(|first| Letter {
        message: mail(garden, first),
        goes_at: at(when),
        until: None,
    });
    Round {
        verdicts: verdicts.to_vec(),
        told,
        letter,
        ..Round::at(at(when))
    }
}
