//! The times for which values hold: ISO 8601 intervals.

use chrono::{DateTime, TimeDelta, Utc};
use jiff::{Span, SpanRelativeTo};

use crate::weather::run::possible_instant;

const HOUR_SECONDS: i64 = 3600;

/// From one instant until before another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Interval {
    pub(super) start: DateTime<Utc>,
    pub(super) end: DateTime<Utc>,
}

impl Interval {
    /// Reads `start/duration`, `start/end` or `duration/end`.
    ///
    /// Years and months have no length of their own and are refused, and so is the word NOW: a reply is read the same
    /// way at any time.
    pub(super) fn parse(text: &str) -> Result<Self, String> {
        let wrong =
            || format!("has '{text}', expected a time such as 2027-04-01T05:00:00+00:00/PT1H");
        let (first, second) = text.split_once('/').ok_or_else(wrong)?;
        let both = match (instant(first), instant(second)) {
            (Some(start), Some(end)) => Some((start, end)),
            (Some(start), None) => duration(second)
                .and_then(|length| start.checked_add_signed(length))
                .map(|end| (start, end)),
            (None, Some(end)) => duration(first)
                .and_then(|length| end.checked_sub_signed(length))
                .map(|start| (start, end)),
            (None, None) => None,
        };
        both.filter(|(start, end)| start <= end && is_possible(*start) && is_possible(*end))
            .map(|(start, end)| Self { start, end })
            .ok_or_else(wrong)
    }

    /// The full UTC hours that it touches.
    pub(super) fn hours(&self) -> impl Iterator<Item = DateTime<Utc>> + use<> {
        let end = self.end.timestamp();
        let first = self.start.timestamp().div_euclid(HOUR_SECONDS) * HOUR_SECONDS;
        std::iter::successors(Some(first), |at| Some(at + HOUR_SECONDS))
            .take_while(move |at| *at < end)
            .filter_map(|at| DateTime::from_timestamp(at, 0))
    }

    /// Which share of it lies in the hour from an instant on.
    pub(super) fn share(&self, hour: DateTime<Utc>) -> f64 {
        let seconds = |length: TimeDelta| length.as_seconds_f64();
        let begin = hour.max(self.start);
        let until = self.end.min(hour + TimeDelta::hours(1));
        seconds((until - begin).max(TimeDelta::zero())) / seconds(self.end - self.start)
    }
}

fn is_possible(at: DateTime<Utc>) -> bool {
    possible_instant(at, "").is_ok()
}

fn instant(text: &str) -> Option<DateTime<Utc>> {
    let at = DateTime::parse_from_rfc3339(text).ok()?;
    Some(at.with_timezone(&Utc))
}

fn duration(text: &str) -> Option<TimeDelta> {
    let span: Span = text.starts_with('P').then(|| text.parse().ok())??;
    let length = span.to_duration(SpanRelativeTo::days_are_24_hours()).ok()?;
    TimeDelta::try_seconds(length.as_secs())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_ways_of_writing_one_interval() {
        for text in [
            "2027-04-01T00:00:00+00:00/P1DT2H",
            "2027-03-31T20:00:00-04:00/PT26H",
            "2027-04-01T00:00:00Z/2027-04-02T02:00:00Z",
            "P1DT2H/2027-04-02T02:00:00Z",
        ] {
            let interval = Interval::parse(text).unwrap();
            assert_eq!(interval.hours().count(), 26, "{text}");
            assert_eq!(interval.start.to_rfc3339(), "2027-04-01T00:00:00+00:00");
        }
    }

    #[test]
    fn what_has_no_length_of_its_own_is_refused() {
        for text in [
            "",
            "2027-04-01T00:00:00Z",
            "2027-04-01T00:00:00Z/P1M",
            "2027-04-01T00:00:00Z/P1Y",
            "2027-04-01T00:00:00Z/-PT1H",
            "2027-04-01T00:00:00Z/1h",
            "2027-04-01T00:00:00Z/2027-03-01T00:00:00Z",
            "NOW/PT1H",
            "PT1H/PT1H",
            "2027-04-01T00:00:00Z/P99999999999D",
            "9999-12-31T00:00:00Z/PT1H",
        ] {
            assert!(Interval::parse(text).is_err(), "{text}");
        }
    }

    #[test]
    fn half_hours_share_their_hours() {
        let interval = Interval::parse("2027-04-01T00:30:00Z/PT2H").unwrap();
        let shares: Vec<f64> = interval.hours().map(|hour| interval.share(hour)).collect();
        assert_eq!(shares, [0.25, 0.5, 0.25]);
    }
}
