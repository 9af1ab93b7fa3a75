//! What a service can do wrong, as a table: what it answers, how often it may be asked, and what has to be written down.

use chrono::{DateTime, Utc};

use super::payload;
use super::services::{Product, Spoil};
use super::stand_in::{Answer, ok, whole};

/// What a fault may lead to.
pub(super) struct Fault {
    pub(super) name: &'static str,
    /// What is answered; none where a product cannot have the fault.
    pub(super) answer: fn(Product, DateTime<Utc>) -> Option<Answer>,
    /// How many requests one look may cost, and how many seconds each of them takes.
    pub(super) tries: (usize, f64),
    /// How long, in minutes, until the loop may ask again; none where it waits for its schedule.
    pub(super) again: Option<i64>,
    /// What the log and the journal say; empty where it depends on the product.
    pub(super) says: &'static str,
}

/// Three tries at once, and after ten minutes again.
const RETRIED: (usize, Option<i64>) = (3, Some(10));
/// One try, and the next one at the next look of the schedule.
const SCHEDULED: (usize, Option<i64>) = (1, None);

fn fault(
    name: &'static str,
    (tries, again): (usize, Option<i64>),
    says: &'static str,
    answer: fn(Product, DateTime<Utc>) -> Option<Answer>,
) -> Fault {
    Fault {
        name,
        answer,
        tries: (tries, 0.0),
        again,
        says,
    }
}

fn status(line: &'static str, headers: &[&str]) -> Answer {
    whole(line, headers, b"")
}

/// Faults of the way there, and statuses.
pub(super) fn refusals() -> Vec<Fault> {
    let mut all = busy();
    all.extend([
        Fault {
            tries: (3, 20.0),
            ..fault("drip-fed", RETRIED, "no whole answer", |_, _| {
                Some(Answer::Drip)
            })
        },
        fault("breaks off", RETRIED, "cannot reach", |_, _| {
            Some(Answer::BreaksOff)
        }),
        fault("304 to nothing", SCHEDULED, "status 304", |_, _| {
            Some(status("304 Not Modified", &[]))
        }),
        fault("400", SCHEDULED, "status 400", |_, _| {
            Some(status("400 Bad Request", &[]))
        }),
        fault("401", (1, None), "status 401", |_, _| {
            Some(status("401 Unauthorized", &[]))
        }),
        fault("408", RETRIED, "status 408", |_, _| {
            Some(status("408 Request Timeout", &[]))
        }),
        fault("410", SCHEDULED, "status 410", |_, _| {
            Some(status("410 Gone", &[]))
        }),
        fault("403", (1, None), "status 403", |_, _| {
            Some(status("403 Forbidden", &[]))
        }),
        fault("404", SCHEDULED, "status 404", |_, _| {
            Some(status("404 Not Found", &[]))
        }),
        fault("500", RETRIED, "status 500", |_, _| {
            Some(status("500 Internal Server Error", &[]))
        }),
        fault("502 with a page", RETRIED, "status 502", |_, _| {
            Some(whole("502 Bad Gateway", &[], &payload("web_page.html")))
        }),
        fault("a circle", (4, None), "too many redirects", |product, _| {
            let to = format!("Location: {}", product.path());
            Some(status("302 Found", &[&to]))
        }),
        fault("another host", SCHEDULED, "another host", |_, _| {
            let away = "Location: http://192.0.2.1/v1/forecast?apikey=quince";
            Some(status("302 Found", &[away]))
        }),
    ]);
    all
}

/// Services that ask to be left alone.
fn busy() -> Vec<Fault> {
    vec![
        fault("429 for two hours", (1, Some(120)), "status 429", |_, _| {
            Some(status("429 Too Many Requests", &["Retry-After: 7200"]))
        }),
        fault("429 without more", (1, Some(10)), "status 429", |_, _| {
            Some(status("429 Too Many Requests", &[]))
        }),
        fault("429 in words", (1, Some(10)), "status 429", |_, _| {
            Some(status("429 Too Many Requests", &["Retry-After: soon"]))
        }),
        fault(
            "429 for ten days",
            (1, Some(24 * 60)),
            "status 429",
            |_, _| Some(status("429 Too Many Requests", &["Retry-After: 864000"])),
        ),
        fault("503 for a while", (1, Some(30)), "status 503", |_, _| {
            Some(status("503 Service Unavailable", &["Retry-After: 1800"]))
        }),
    ]
}

/// Answers with a good status that are no good.
pub(super) fn nonsense() -> Vec<Fault> {
    let spoilt = |name, answer| fault(name, SCHEDULED, "", answer);
    vec![
        fault("a page", RETRIED, "web page", |_, _| {
            Some(ok(&payload("web_page.html")))
        }),
        fault("truncated", RETRIED, "breaks off", |product, now| {
            let good = product.good(now);
            Some(ok(&good[..good.len() - 1]))
        }),
        fault("empty", RETRIED, "breaks off", |_, _| Some(ok(b""))),
        fault("not JSON", SCHEDULED, "not JSON", |_, _| {
            Some(ok(b"[sunny]"))
        }),
        fault("nested", SCHEDULED, "not JSON", |_, _| {
            Some(ok(&[b"{\"a\":".repeat(1000), b"1".to_vec()].concat()))
        }),
        spoilt("bare nan", |product, now| {
            product.spoiled(Spoil::Nan, now).map(|body| ok(&body))
        }),
        spoilt("nulls", |product, now| {
            product.spoiled(Spoil::Nulls, now).map(|body| ok(&body))
        }),
        spoilt("absurd", |product, now| {
            product.spoiled(Spoil::Absurd, now).map(|body| ok(&body))
        }),
        spoilt("no layer", |product, now| {
            product.spoiled(Spoil::Missing, now).map(|body| ok(&body))
        }),
        spoilt("another unit", |product, now| {
            product.spoiled(Spoil::Unit, now).map(|body| ok(&body))
        }),
        fault(
            "another place",
            SCHEDULED,
            "expected one within",
            |product, now| product.spoiled(Spoil::Elsewhere, now).map(|body| ok(&body)),
        ),
        fault("a bomb", SCHEDULED, "larger than", |_, _| {
            let bomb = payload("nine_mebibytes_of_blanks.gz");
            Some(whole("200 OK", &["Content-Encoding: gzip"], &bomb))
        }),
        fault("endless", SCHEDULED, "larger than", |_, _| {
            Some(Answer::Endless)
        }),
    ]
}
