//! The dates of a plant's year at a place: those of zone 7, moved by zone and hemisphere.

use chrono::{Datelike, Days, NaiveDate, TimeDelta};

use super::Case;
use crate::almanac::{Anchor, MonthDay, SEASON_DAYS_MAX, zone_shift_days};
use crate::garden::Hemisphere;
use crate::risk::DateRange;

/// Days from a season in the north to the same season in the south.
const HALF_YEAR_DAYS: u64 = 184;

/// The span from one anchor to another that holds today, or the next one to come.
///
/// None when the kind has no such event, or when at this place the span would end before it starts, as it can far
/// outside of the zones in which the kind winters.
pub(super) fn span(case: &Case<'_>, from: Anchor, to: Anchor) -> Option<DateRange> {
    let year = case.today.year();
    (year - 2..=year + 2)
        .filter_map(|year| span_of(case, from, to, year))
        .find(|span| case.today <= span.to)
}

fn span_of(case: &Case<'_>, from: Anchor, to: Anchor, year: i32) -> Option<DateRange> {
    let start = date_of(case, from, year)?;
    let end = [year, year + 1]
        .into_iter()
        .filter_map(|year| date_of(case, to, year))
        .find(|end| *end >= start)?;
    let is_span = (end - start).num_days() <= i64::from(SEASON_DAYS_MAX);
    is_span.then_some(DateRange {
        from: start,
        to: end,
    })
}

/// The date of an anchor in the season that belongs to a year of the north.
fn date_of(case: &Case<'_>, anchor: Anchor, year: i32) -> Option<NaiveDate> {
    let (day, days_per_zone) = case.cut.kind.zone_7_day(anchor.event)?;
    // Where the zone is not known the dates stay those of zone 7, and the finding says so.
    let by_zone = case.climate.map_or(0, |climate| {
        zone_shift_days(climate.hardiness_zone(), days_per_zone)
    });
    let north =
        on(day, year)?.checked_add_signed(TimeDelta::days(i64::from(by_zone + anchor.days)))?;
    match case.hemisphere {
        Hemisphere::North => Some(north),
        Hemisphere::South => north.checked_add_days(Days::new(HALF_YEAR_DAYS)),
    }
}

fn on(day: MonthDay, year: i32) -> Option<NaiveDate> {
    // 29 February only exists in some years; the day before it stands for it.
    NaiveDate::from_ymd_opt(year, day.month, day.day)
        .or_else(|| NaiveDate::from_ymd_opt(year, day.month, day.day.saturating_sub(1)))
}
