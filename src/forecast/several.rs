//! Several sources at once: which of their forecasts are used, and whether one only says again what it said before.
//!
//! In: the newest forecast of each source. Out: those that count, and those that are out of step with the rest.

use chrono::{DateTime, TimeDelta, Utc};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Forecast, Freshness, Hours};
use crate::units::{Celsius, CelsiusStep};

/// A source that is further than this from the others over the next night is out of order: forecasts of one night
/// that are right differ by a few kelvin (estimate).
pub const ODD_BY: CelsiusStep = CelsiusStep::new(8.0);

/// The time in which the next night lies, whatever the hour now.
const NEXT_NIGHT: TimeDelta = TimeDelta::hours(24);

/// So many hours in common tell that two runs are the same one; no two runs agree on each of them by chance.
const SAME_HOURS: usize = 24;

/// The forecasts of several sources, sorted out.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Several {
    /// Those that count, in the keeper's order.
    pub used: Vec<Forecast>,
    /// The fresh ones that are left out.
    pub odd: Vec<Odd>,
}

/// A source that is out of step with the others.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Odd {
    /// Which.
    pub source: String,
    /// Its lowest temperature over the next night.
    pub lowest: Celsius,
    /// That of the others.
    pub others: Celsius,
}

impl Several {
    /// Sorts out the newest forecast of each source, with the age up to which it is fresh.
    ///
    /// Every fresh one counts. Where none is, the youngest of the old ones does: it can hold a cut and releases none.
    /// A source that is more than [`ODD_BY`] from the middle one of the fresh is left out; of two that are so far
    /// apart nobody knows which is wrong, and the warmer is left out, since a wrong hold does less harm.
    pub fn of(all: Vec<(Forecast, TimeDelta)>, now: DateTime<Utc>) -> Self {
        let is_fresh = |(forecast, fresh_for): &(Forecast, TimeDelta)| {
            forecast.freshness(now, *fresh_for) == Freshness::Fresh
        };
        let (fresh, old): (Vec<_>, Vec<_>) = all.into_iter().partition(is_fresh);
        if fresh.is_empty() {
            let old = old.into_iter().map(|(forecast, _)| forecast);
            let youngest = old.reduce(|a, b| if b.data_at > a.data_at { b } else { a });
            return Self {
                used: youngest.into_iter().collect(),
                odd: Vec::new(),
            };
        }
        let lowest = |forecast: &Forecast| forecast.run.lowest(now, now + NEXT_NIGHT);
        let mut lows: Vec<Celsius> = fresh.iter().filter_map(|(one, _)| lowest(one)).collect();
        lows.sort_by(|a, b| a.degrees().total_cmp(&b.degrees()));
        // Of an even number the colder of the two in the middle.
        let middle = lows.get(lows.len().saturating_sub(1) / 2).copied();
        let mut several = Self::default();
        for (forecast, _) in fresh {
            let apart = lowest(&forecast).zip(middle);
            let is_odd = |(own, middle): &(Celsius, Celsius)| {
                (own.degrees() - middle.degrees()).abs() > ODD_BY.kelvin()
            };
            match apart.filter(is_odd) {
                Some((lowest, others)) => several.odd.push(Odd {
                    source: forecast.source,
                    lowest,
                    others,
                }),
                None => several.used.push(forecast),
            }
        }
        several
    }

    /// The one that is coldest over the next two nights: for frost it rules.
    pub fn coldest(&self, now: DateTime<Utc>) -> Option<&Forecast> {
        let cold = |forecast: &Forecast| {
            let lowest = forecast.run.lowest(now, now + NEXT_NIGHT + NEXT_NIGHT);
            lowest.map_or(f64::INFINITY, Celsius::degrees)
        };
        let all = self.used.iter();
        all.reduce(|a, b| if cold(b) < cold(a) { b } else { a })
    }

    /// One forecast alone.
    pub fn only(forecast: Option<Forecast>) -> Self {
        Self {
            used: forecast.into_iter().collect(),
            odd: Vec::new(),
        }
    }
}

impl Hours {
    /// The instant after the last hour.
    fn end(&self) -> DateTime<Utc> {
        let hours = i64::try_from(self.temperature.len()).unwrap_or_default();
        self.start + TimeDelta::hours(hours)
    }

    /// The lowest temperature from one instant on until before another; none where no hour has one.
    fn lowest(&self, start: DateTime<Utc>, end: DateTime<Utc>) -> Option<Celsius> {
        let hours = self.between(start, end).temperature.into_iter().flatten();
        hours.min_by(|a, b| a.degrees().total_cmp(&b.degrees()))
    }
}

impl Forecast {
    /// Whether every hour to come that this run and an earlier one of its source both have is the same, so that the
    /// service has no newer data, whatever it says of their age.
    pub fn repeats(&self, earlier: &Self, now: DateTime<Utc>) -> bool {
        let end = self.run.end().min(earlier.run.end());
        let ahead = |run: &Self| run.run.between(now, end).temperature;
        let (mine, before) = (ahead(self), ahead(earlier));
        let known = mine.iter().flatten().count();
        self.source == earlier.source && known >= SAME_HOURS && mine == before
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn now() -> DateTime<Utc> {
        "2027-04-12T06:00:00Z".parse().unwrap()
    }

    /// A source whose every hour of four days has one temperature, made so many hours ago.
    fn forecast(source: &str, degrees: f64, age: i64) -> Forecast {
        Forecast {
            source: source.to_owned(),
            attribution: String::new(),
            data_at: now() - TimeDelta::hours(age),
            elevation: None,
            run: Hours {
                start: now() - TimeDelta::hours(6),
                temperature: vec![Some(Celsius::new(degrees)); 96],
            },
            members: Vec::new(),
            conditions: None,
            spans: Vec::new(),
        }
    }

    /// The sources that count and those that are out of step, of sources with temperature and age in hours.
    fn sorted(all: &[(&str, f64, i64)]) -> (Vec<String>, Vec<String>) {
        let all = all.iter().map(|(name, degrees, age)| {
            let forecast = forecast(name, *degrees, *age);
            (forecast, TimeDelta::hours(12))
        });
        let several = Several::of(all.collect(), now());
        let used = several.used.into_iter().map(|one| one.source);
        let odd = several.odd.into_iter().map(|one| one.source);
        (used.collect(), odd.collect())
    }

    fn names(used: &[&str], odd: &[&str]) -> (Vec<String>, Vec<String>) {
        let owned = |names: &[&str]| names.iter().map(|&name| name.to_owned()).collect();
        (owned(used), owned(odd))
    }

    #[test]
    fn every_fresh_source_counts_and_an_old_one_only_where_none_is_fresh() {
        let three = [("a", 3.0, 1), ("b", -1.0, 13), ("c", 4.0, 12)];
        assert_eq!(sorted(&three), names(&["a", "c"], &[]));
        let old = [("a", 3.0, 20), ("b", -1.0, 13)];
        assert_eq!(sorted(&old), names(&["b"], &[]));
        assert_eq!(sorted(&[]), names(&[], &[]));
    }

    #[test]
    fn a_source_more_than_eight_kelvin_from_the_middle_is_left_out() {
        let hot = [("a", 2.0, 1), ("b", 10.1, 1), ("c", 0.0, 1)];
        assert_eq!(sorted(&hot), names(&["a", "c"], &["b"]));
        let cold = [("a", 2.0, 1), ("b", -8.1, 1), ("c", 0.0, 1)];
        assert_eq!(sorted(&cold), names(&["a", "c"], &["b"]));
        let near = [("a", 2.0, 1), ("b", 10.0, 1), ("c", -6.0, 1)];
        assert_eq!(sorted(&near), names(&["a", "b", "c"], &[]));
    }

    #[test]
    fn of_two_that_are_far_apart_the_warmer_is_left_out() {
        assert_eq!(
            sorted(&[("a", 9.0, 1), ("b", 0.9, 1)]),
            names(&["b"], &["a"])
        );
        assert_eq!(
            sorted(&[("a", 8.0, 1), ("b", 0.0, 1)]),
            names(&["a", "b"], &[])
        );
    }

    #[test]
    fn the_coldest_rules_for_frost() {
        let all = [forecast("a", 2.0, 1), forecast("b", -1.0, 1)];
        let all = all.map(|one| (one, TimeDelta::hours(12)));
        let several = Several::of(all.to_vec(), now());
        assert_eq!(several.coldest(now()).unwrap().source, "b");
    }

    #[test]
    fn a_run_that_says_the_same_of_every_hour_to_come_is_no_newer() {
        let mut earlier = forecast("a", 2.0, 1);
        let mut later = forecast("a", 2.0, 0);
        // What is past by now is none of it.
        later.run.temperature[3] = Some(Celsius::new(-4.0));
        later.run.start += TimeDelta::hours(2);
        assert!(later.repeats(&earlier, now()));
        earlier.run.temperature[50] = Some(Celsius::new(2.1));
        assert!(!later.repeats(&earlier, now()));
        // Too little in common tells nothing.
        earlier.run.temperature.truncate(29);
        assert!(!later.repeats(&earlier, now()));
        assert!(!later.repeats(&forecast("b", 2.0, 1), now()));
    }
}
