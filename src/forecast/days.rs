//! From UTC hours to the local days of a garden.

use std::collections::BTreeMap;

use chrono::{DateTime, NaiveDate, TimeDelta, Timelike, Utc};

use super::{Forecast, Hours, Span};
use crate::garden::Zone;
use crate::units::Celsius;

/// Fewest hours with a value from which a day's extremes are taken (20 of 24; common practice, no source).
pub const HOURS_MIN: usize = 20;

/// How many of the hours from midnight to 08:59 have to be there, since dawn brings the minimum; all but one, since
/// the clock skips one in spring.
pub const NIGHT_HOURS_MIN: usize = 8;

/// The last hour that counts as night.
const NIGHT_UNTIL: u32 = 8;

/// Lowest and highest temperature of one local day.
pub type Extremes = (Celsius, Celsius);

/// One local day as one forecast sees it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ForecastDay {
    /// Lowest and highest of the main run; none when too many hours are missing.
    pub run: Option<Extremes>,
    /// Lowest and highest of each member, in the order of the members.
    pub members: Vec<Option<Extremes>>,
}

impl ForecastDay {
    /// Whether the run or a member has the day.
    pub fn is_known(&self) -> bool {
        self.run.is_some() || self.members.iter().any(Option::is_some)
    }
}

/// The local days that a forecast touches.
pub fn local_days(forecast: &Forecast, zone: &Zone) -> BTreeMap<NaiveDate, ForecastDay> {
    let mut days: BTreeMap<NaiveDate, ForecastDay> = BTreeMap::new();
    for (date, extremes) in day_extremes(&forecast.run, &forecast.spans, zone) {
        days.entry(date).or_default().run = extremes;
    }
    for (position, member) in forecast.members.iter().enumerate() {
        for (date, extremes) in day_extremes(member, &[], zone) {
            let members = &mut days.entry(date).or_default().members;
            members.resize(position, None);
            members.push(extremes);
        }
    }
    days
}

/// The local days whose hours were past when the forecast was made: an analysis more than a forecast.
pub fn past_days(forecast: &Forecast, zone: &Zone) -> BTreeMap<NaiveDate, Extremes> {
    let past = forecast
        .run
        .between(DateTime::<Utc>::MIN_UTC, forecast.data_at);
    day_extremes(&past, &[], zone)
        .into_iter()
        .filter_map(|(date, extremes)| Some((date, extremes?)))
        .collect()
}

/// The extremes of each local day that hours and spans touch; none on a day with too few of them.
fn day_extremes(
    hours: &Hours,
    spans: &[Span],
    zone: &Zone,
) -> BTreeMap<NaiveDate, Option<Extremes>> {
    let mut days: BTreeMap<NaiveDate, DayHours> = BTreeMap::new();
    for (at, temperature) in hours.iter() {
        let local = zone.local(at);
        let day = days.entry(local.date()).or_default();
        if let Some(temperature) = temperature {
            day.see(at, local.hour());
            day.widen((temperature, temperature));
        }
    }
    for span in spans {
        for (date, inside) in span.days(zone) {
            let day = days.entry(date).or_default();
            day.widen(span.extremes());
            for (at, hour) in inside {
                day.see(at, hour);
            }
        }
    }
    days.into_iter()
        .map(|(date, day)| (date, day.extremes()))
        .collect()
}

/// The hours of one local day as they come in.
#[derive(Default)]
struct DayHours {
    /// A bit for each full UTC hour, by its number from 1970 on; a day has fewer than there are bits.
    seen: u64,
    /// A bit for each hour of the night, by the clock.
    night_seen: u16,
    extremes: Option<Extremes>,
}

impl DayHours {
    /// An hour of which something is known, alone or within a span.
    fn see(&mut self, at: DateTime<Utc>, hour: u32) {
        self.seen |= 1 << at.timestamp().div_euclid(3600).rem_euclid(64);
        if hour <= NIGHT_UNTIL {
            self.night_seen |= 1 << hour;
        }
    }

    fn widen(&mut self, (low, high): Extremes) {
        let (min, max) = self.extremes.unwrap_or((low, high));
        self.extremes = Some((min.min(low), max.max(high)));
    }

    fn extremes(self) -> Option<Extremes> {
        let has = |bits: u32, least: usize| usize::try_from(bits).is_ok_and(|bits| bits >= least);
        let day = has(self.seen.count_ones(), HOURS_MIN);
        let night = has(self.night_seen.count_ones(), NIGHT_HOURS_MIN);
        self.extremes.filter(|_| day && night)
    }
}

impl Hours {
    /// Every hour with its instant.
    pub fn iter(&self) -> impl Iterator<Item = (DateTime<Utc>, Option<Celsius>)> + '_ {
        let instants = std::iter::successors(Some(self.start), |at| {
            at.checked_add_signed(TimeDelta::hours(1))
        });
        instants.zip(self.temperature.iter().copied())
    }

    /// The hours from one instant on until before another.
    #[must_use]
    pub fn between(&self, start: DateTime<Utc>, end: DateTime<Utc>) -> Self {
        let index = |at: DateTime<Utc>| {
            let seconds = (at - self.start).num_seconds().max(0).unsigned_abs();
            usize::try_from(seconds.div_ceil(3600)).unwrap_or(usize::MAX)
        };
        let all = self.temperature.len();
        let (first, after) = (index(start).min(all), index(end).min(all));
        let part = self.temperature.get(first..after).unwrap_or_default();
        Self {
            start: self.start + TimeDelta::hours(i64::try_from(first).unwrap_or(0)),
            temperature: part.to_vec(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn run_days(
        start: &str,
        temperatures: impl IntoIterator<Item = Option<f64>>,
    ) -> Vec<Option<Extremes>> {
        let run = Hours {
            start: start.parse().unwrap(),
            temperature: temperatures
                .into_iter()
                .map(|t| t.map(Celsius::new))
                .collect(),
        };
        let zone = Zone::named("America/New_York").unwrap();
        day_extremes(&run, &[], &zone).into_values().collect()
    }

    #[test]
    fn days_are_local_days() {
        // 05:00 UTC is midnight in New York in winter; the cold hour is 04:00 UTC, still the day before.
        let days = run_days(
            "2025-12-29T00:00:00Z",
            (0..53_i32).map(|h| Some(if h == 4 { -9.0 } else { f64::from(h) })),
        );
        let whole_day = Some((Celsius::new(5.0), Celsius::new(28.0)));
        assert_eq!(
            days,
            [
                None,
                whole_day,
                Some((Celsius::new(29.0), Celsius::new(52.0)))
            ]
        );
    }

    #[test]
    fn a_day_without_its_dawn_is_a_gap() {
        let without =
            |gap: std::ops::Range<i32>| (0..24).map(move |h| (!gap.contains(&h)).then_some(1.0));
        assert!(
            run_days("2025-12-29T05:00:00Z", without(9..12))
                .iter()
                .all(Option::is_some)
        );
        assert_eq!(run_days("2025-12-29T05:00:00Z", without(4..6)), [None]);
    }

    #[test]
    fn spans_of_six_hours_make_a_day_where_no_hours_are() {
        let zone = Zone::named("America/New_York").unwrap();
        let hours = Hours {
            start: "2026-04-01T06:00:00Z".parse().unwrap(),
            temperature: vec![Some(Celsius::new(3.0))],
        };
        // 02:00, 08:00, 14:00 and 20:00 on 1 April, then 02:00 on the second.
        let lows = [-2.0, 1.0, 6.0, 2.0, 0.5];
        let spans: Vec<Span> = (0..)
            .zip(lows)
            .map(|(index, low)| Span {
                start: hours.start + TimeDelta::hours(6 * index),
                hours: 6,
                min: Celsius::new(low),
                max: Celsius::new(low + 4.0),
            })
            .collect();
        let extremes = |spans: &[Span]| -> Vec<Option<Extremes>> {
            day_extremes(&hours, spans, &zone).into_values().collect()
        };
        let first = Some((Celsius::new(-2.0), Celsius::new(10.0)));
        // The two hours after midnight of 1 April are not there, and seven of nine night hours are too few.
        assert_eq!(extremes(&spans), [None, None]);
        let earlier = Span {
            start: hours.start - TimeDelta::hours(6),
            ..spans[3]
        };
        let all = [&[earlier], spans.as_slice()].concat();
        assert_eq!(extremes(&all), [None, first, None]);
    }

    #[test]
    fn a_spring_day_of_23_hours_counts() {
        let days = run_days("2026-03-08T05:00:00Z", (0..23).map(|_| Some(1.0)));
        assert!(matches!(days.as_slice(), [Some(_)]));
    }
}
