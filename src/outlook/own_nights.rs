//! The nights of the garden's own thermometer beside those of the place, each with its kind.

use std::collections::BTreeMap;

use chrono::{NaiveDate, NaiveTime, TimeDelta};

use super::{MeasuredDays, WarmBias};
use crate::climate::DailyRecord;
use crate::forecast::{Condition, Conditions};
use crate::garden::Zone;
use crate::thermometer::{NightKind, OwnNight};
use crate::units::{Celsius, count};

/// The kind of each night that is known, by the date of its morning.
pub type NightKinds = BTreeMap<NaiveDate, NightKind>;

/// A night with less cloud and less wind at 10 m, in m/s, on the mean is clear and still. Snyder & de Melo-Abreu, Frost
/// Protection, FAO 2005, name wind below 2 m/s and no cloud for frosts by radiation; a little more lets in nights that
/// clear up or calm down (estimate).
const CLOUD_BELOW: f64 = 0.4;
const WIND_BELOW: f64 = 2.5;

/// The night is from 21:00 to 07:00 local time, and so many of its hours have to be known.
const FROM: NaiveTime = match NaiveTime::from_hms_opt(21, 0, 0) {
    Some(time) => time,
    None => NaiveTime::MIN,
};
const HOURS: i64 = 10;
const HOURS_MIN: usize = 8;

/// The kinds of the nights that the conditions cover.
pub fn night_kinds(conditions: &Conditions, zone: &Zone) -> NightKinds {
    let by_hour: BTreeMap<_, _> = conditions.iter().collect();
    let dates = by_hour.keys().map(|at| zone.date(*at));
    let mut dates: Vec<NaiveDate> = dates.collect();
    dates.dedup();
    let kind = |morning: NaiveDate| {
        let start = zone.instant(morning.pred_opt()?.and_time(FROM));
        let hours = by_hour.range(start..start + TimeDelta::hours(HOURS));
        kind_of(hours.map(|(_, hour)| *hour))
    };
    dates
        .into_iter()
        .filter_map(|date| Some((date, kind(date)?)))
        .collect()
}

fn kind_of<'a>(hours: impl Iterator<Item = &'a Condition>) -> Option<NightKind> {
    let known: Vec<(f64, f64)> = hours
        .filter_map(|hour| Some((hour.cloud?, hour.wind?.0)))
        .collect();
    let n = count(known.len());
    let cloud = known.iter().map(|(cloud, _)| cloud).sum::<f64>() / n;
    let wind = known.iter().map(|(_, wind)| wind).sum::<f64>() / n;
    let is_clear = cloud < CLOUD_BELOW && wind < WIND_BELOW;
    let kind = if is_clear {
        NightKind::ClearStill
    } else {
        NightKind::Other
    };
    (known.len() >= HOURS_MIN).then_some(kind)
}

/// The thermometer's nights beside those of the place.
///
/// A night of the place is the record's where it has the date. Else it is the model's own analysis less the bias that
/// is taken off its forecasts too: the offset is added to nights without bias, and must not hold it again.
pub fn own_nights(
    minima: &BTreeMap<NaiveDate, Celsius>,
    kinds: &NightKinds,
    (record, measured): (Option<&DailyRecord>, &MeasuredDays),
    bias: WarmBias,
) -> Vec<OwnNight> {
    let place = |date: NaiveDate| {
        let recorded = record.and_then(|record| record.day(date).min);
        recorded.or_else(|| measured.get(&date).map(|(min, _)| *min - bias.all))
    };
    minima
        .iter()
        .filter_map(|(date, own)| {
            Some(OwnNight {
                date: *date,
                own: *own,
                place: place(*date)?,
                kind: kinds.get(date).copied(),
            })
        })
        .collect()
}
