//! The season of a cut in the days of one year: the calendar of a usual year, by zone and hemisphere.

use chrono::{Datelike, Days, NaiveDate, TimeDelta};
use serde::Serializer;

use crate::almanac::{Anchor, MonthDay, SEASON_DAYS_MAX, Season};
use crate::climate::Calendar;
use crate::garden::{Hemisphere, PlannedCut};
use crate::risk::{DateRange, Risk};
use crate::units::Chance;

/// Days from a season in the north to the same season in the south.
const HALF_YEAR_DAYS: u64 = 184;

/// What of a place moves the dates of the almanac.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place<'a> {
    pub(super) hemisphere: Hemisphere,
    /// How the place moves dates; where it is not known they stay those of zone 7.
    pub(super) calendar: Option<&'a Calendar>,
}

/// The first and the last day of a year.
pub(super) fn whole(year: i32) -> DateRange {
    let day = |month, day| NaiveDate::from_ymd_opt(year, month, day).unwrap_or(NaiveDate::MIN);
    DateRange {
        from: day(1, 1),
        to: day(12, 31),
    }
}

/// The seasons of a cut that touch the days of a year, whole; one without dates when the plant bears it at any time.
pub(super) fn of_year(
    cut: &PlannedCut,
    place: &Place<'_>,
    days: DateRange,
) -> Vec<Option<DateRange>> {
    let Season::Between(from, to) = cut.cut.season else {
        return vec![None];
    };
    let year = days.from.year();
    let mut seasons: Vec<DateRange> = (year - 2..=year + 1)
        .filter_map(|year| span(cut, place, (from, to), year))
        .filter(|season| season.from <= days.to && season.to >= days.from)
        .collect();
    seasons.dedup();
    seasons.into_iter().map(Some).collect()
}

/// The season that starts in the year of the north; none when it would end before it starts at this place.
fn span(
    cut: &PlannedCut,
    place: &Place<'_>,
    (from, to): (Anchor, Anchor),
    year: i32,
) -> Option<DateRange> {
    let start = date(cut, place, from, year)?;
    let end = [year, year + 1]
        .into_iter()
        .filter_map(|year| date(cut, place, to, year))
        .find(|end| *end >= start)?;
    let is_season = (end - start).num_days() <= i64::from(SEASON_DAYS_MAX);
    is_season.then_some(DateRange {
        from: start,
        to: end,
    })
}

fn date(cut: &PlannedCut, place: &Place<'_>, anchor: Anchor, year: i32) -> Option<NaiveDate> {
    let (day, days_per_zone) = cut.kind.zone_7_day(anchor.event)?;
    let by_zone = place.calendar.map_or(0, |calendar| {
        calendar.shift_days(anchor.event, day, days_per_zone)
    });
    let moved = TimeDelta::days(i64::from(by_zone + anchor.days));
    let north = on(day, year)?.checked_add_signed(moved)?;
    match place.hemisphere {
        Hemisphere::North => Some(north),
        Hemisphere::South => north.checked_add_days(Days::new(HALF_YEAR_DAYS)),
    }
}

fn on(day: MonthDay, year: i32) -> Option<NaiveDate> {
    // 29 February only exists in some years; the day before it stands for it.
    NaiveDate::from_ymd_opt(year, day.month, day.day)
        .or_else(|| NaiveDate::from_ymd_opt(year, day.month, day.day.saturating_sub(1)))
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
