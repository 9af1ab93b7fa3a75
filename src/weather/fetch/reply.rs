//! What an answer that is no use means: misread, refused, busy and for how long.
//!
//! In: status, headers and what was wrong with the body. Out: a [`WeatherError`]. Does not decide what is done about
//! it.

use std::time::Duration;

use chrono::DateTime;
use reqwest::StatusCode;
use reqwest::header::{DATE, HeaderMap, HeaderName, RETRY_AFTER};

use crate::weather::error::WeatherError;
use crate::weather::question::ReplyError;

/// The longest pause that a service is granted.
const PAUSE_MAX: Duration = Duration::from_hours(24);

/// What it means that an answer with a good status cannot be read.
pub(super) fn misread(service: String, status: StatusCode, problem: ReplyError) -> WeatherError {
    match problem {
        ReplyError::NotCovered => WeatherError::NotCovered { service },
        ReplyError::Said { reason, .. } => WeatherError::Refused {
            service,
            status: status.as_u16(),
            reason,
        },
        problem @ (ReplyError::CutOff
        | ReplyError::WebPage
        | ReplyError::NotJson(_)
        | ReplyError::Several(_)
        | ReplyError::Field { .. }
        | ReplyError::Record(_)) => WeatherError::Unreadable { service, problem },
    }
}

/// What a status other than success means, with the words that the body has for it.
pub(super) fn refused(
    service: String,
    status: StatusCode,
    headers: &HeaderMap,
    problem: Option<ReplyError>,
) -> WeatherError {
    let (reason, quota) = match problem {
        Some(ReplyError::NotCovered) => return WeatherError::NotCovered { service },
        Some(ReplyError::Said { reason, quota }) => (reason, quota),
        Some(
            ReplyError::CutOff
            | ReplyError::WebPage
            | ReplyError::NotJson(_)
            | ReplyError::Several(_)
            | ReplyError::Field { .. }
            | ReplyError::Record(_),
        )
        | None => ("no reason given".to_owned(), None),
    };
    let passes = [StatusCode::TOO_MANY_REQUESTS, StatusCode::REQUEST_TIMEOUT];
    if status.is_server_error() || passes.contains(&status) {
        WeatherError::Busy {
            service,
            status: status.as_u16(),
            reason,
            after: pause(headers, quota),
        }
    } else {
        WeatherError::Refused {
            service,
            status: status.as_u16(),
            reason,
        }
    }
}

/// How long the service asks to be left alone: by its header, else until the quota's next period begins.
///
/// Moments are counted from the service's own date, so that a wrong clock here does no harm.
fn pause(headers: &HeaderMap, quota: Option<Duration>) -> Option<Duration> {
    let text = |name: HeaderName| headers.get(name)?.to_str().ok();
    let moment = |text: &str| DateTime::parse_from_rfc2822(text).ok();
    let date = text(DATE).and_then(moment);
    let asked = text(RETRY_AFTER).and_then(|value| {
        let until = || (moment(value)? - date?).to_std().ok();
        let seconds = value.trim().parse().ok();
        seconds.map(Duration::from_secs).or_else(until)
    });
    let next_period = || {
        let period = quota?;
        let gone = date.map_or(0, |date| {
            u64::try_from(date.timestamp()).unwrap_or(0) % period.as_secs().max(1)
        });
        Some(period.saturating_sub(Duration::from_secs(gone)))
    };
    asked.or_else(next_period).map(|span| span.min(PAUSE_MAX))
}

/// How long a service asks to be left alone by its two headers; for the fuzz targets.
#[cfg(fuzzing)]
pub fn pause_of(date: &[u8], retry_after: &[u8]) -> Option<Duration> {
    let mut headers = HeaderMap::new();
    for (name, value) in [(DATE, date), (RETRY_AFTER, retry_after)] {
        headers.insert(name, value.try_into().ok()?);
    }
    pause(&headers, None)
}
