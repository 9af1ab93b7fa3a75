//! The season of a cut in the days of one year, between the middle dates of its events.

use chrono::{NaiveDate, TimeDelta};
use serde::Serializer;

use crate::almanac::{Anchor, SEASON_DAYS_MAX, Season};
use crate::events::Events;
use crate::risk::{DateRange, Risk};
use crate::units::Chance;

/// The first and the last day of a year.
pub(super) fn whole(year: i32) -> DateRange {
    let day = |month, day| NaiveDate::from_ymd_opt(year, month, day).unwrap_or(NaiveDate::MIN);
    DateRange {
        from: day(1, 1),
        to: day(12, 31),
    }
}

/// The seasons of a cut that touch the days of a year, whole; one without dates when the plant bears it at any time.
pub(super) fn of_year(season: Season, events: &Events, days: DateRange) -> Vec<Option<DateRange>> {
    let Season::Between(from, to) = season else {
        return vec![None];
    };
    let touches = |season: &DateRange| season.from <= days.to && season.to >= days.from;
    let seasons = events
        .years()
        .filter_map(|year| span(events, (from, to), year));
    seasons.filter(touches).map(Some).collect()
}

/// The season that opens in one season of the events; none when it would end before it starts at this place.
fn span(events: &Events, (from, to): (Anchor, Anchor), year: i32) -> Option<DateRange> {
    let date = |anchor: Anchor, year: i32| {
        let event = events.in_season(anchor.event, year)?.middle;
        event.checked_add_signed(TimeDelta::days(i64::from(anchor.days)))
    };
    let start = date(from, year)?;
    let ends = [year, year + 1].into_iter();
    let end = ends
        .filter_map(|year| date(to, year))
        .find(|end| *end >= start)?;
    let is_season = (end - start).num_days() <= i64::from(SEASON_DAYS_MAX);
    is_season.then_some(DateRange {
        from: start,
        to: end,
    })
}

/// What times have in common with a span.
pub(super) fn shared(times: &[DateRange], span: DateRange) -> impl Iterator<Item = DateRange> + '_ {
    let part = move |time: &DateRange| DateRange {
        from: time.from.max(span.from),
        to: time.to.min(span.to),
    };
    times.iter().map(part).filter(|part| part.from <= part.to)
}

/// The least risky day of a span, as far as it lies in the days of a risk.
pub(super) fn least(risk: &Risk, span: DateRange) -> Option<(NaiveDate, Chance)> {
    let days = risk.curve.iter().enumerate();
    days.map(|(index, chance)| (risk.basis.date(index), *chance))
        .filter(|(day, _)| span.from <= *day && *day <= span.to)
        .min_by(|(_, a), (_, b)| a.share().total_cmp(&b.share()))
}

/// A season for reading by programs.
pub(super) fn serialize<S: Serializer>(season: &Season, to: S) -> Result<S::Ok, S::Error> {
    let ends = match season {
        Season::AnyTime => None,
        Season::Between(from, to) => Some([from, to]),
    };
    serde::Serialize::serialize(&ends, to)
}
