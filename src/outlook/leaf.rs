//! How much colder the leaves are in a coming night than in the usual freeze.
//!
//! The temperatures at which tender growth is damaged come from field experience, told by the air temperature of the
//! station or the forecast (28 °F for new growth, for one). In a usual freeze the leaves were colder than that air
//! already, so that the damaging air temperature holds the usual difference, and to take off all of it would count it
//! twice. What is not in it is the night that differs: a clear, still and dry one, whose leaves are colder yet. So the
//! difference of the night is taken less [`USUAL`]. The other way round, that a cloudy or windy night spares the
//! leaves, nothing is given: no source says how much of the difference a damaging temperature holds, and a guess must
//! not release a cut.

use std::collections::BTreeMap;

use chrono::{DateTime, NaiveDate, Timelike, Utc};

use crate::forecast::{Condition, Conditions, NIGHT_HOURS_MIN};
use crate::garden::Zone;
use crate::science::leaf::leaf_below_air;
use crate::units::{Celsius, CelsiusStep};

/// By how much the leaves are colder than the air in the usual freeze, in kelvin: seven nights in ten are clear and
/// still, with 2 K as the middle of the 1 to 3 K of Leuning & Cremer (Agric. For. Meteorol. 42, 1988), the others have
/// 0.3 K (estimate).
const USUAL: f64 = -1.5;

/// The hours from midnight to 08:59 bring the minimum.
const NIGHT_UNTIL: u32 = 8;

/// With more sun than this, in W/m², a leaf is warmed (estimate).
const SUN_UP: f64 = 20.0;

/// What the leaves of each coming night lack to those of the usual freeze: nothing, or some tenths of a kelvin to
/// below a kelvin and a half. A night of which cloud, wind, dew point or temperature is not known is not in the answer.
pub(super) fn colder_than_usual(
    conditions: &Conditions,
    zone: &Zone,
) -> BTreeMap<NaiveDate, CelsiusStep> {
    let mut nights: BTreeMap<NaiveDate, Vec<(Celsius, Celsius)>> = BTreeMap::new();
    for (at, hour) in conditions.iter() {
        if let Some((date, pair)) = in_night(at, hour, zone) {
            nights.entry(date).or_default().push(pair);
        }
    }
    nights
        .into_iter()
        .filter(|(_, hours)| hours.len() >= NIGHT_HOURS_MIN)
        .filter_map(|(date, hours)| {
            let air = hours.iter().map(|(air, _)| *air).reduce(Celsius::min)?;
            let leaf = hours.iter().map(|(_, leaf)| *leaf).reduce(Celsius::min)?;
            let below = (leaf - air).kelvin() - USUAL;
            Some((date, CelsiusStep::new(below.min(0.0))))
        })
        .collect()
}

/// Air and leaf in an hour of the night, by the night's date.
fn in_night(
    at: DateTime<Utc>,
    hour: &Condition,
    zone: &Zone,
) -> Option<(NaiveDate, (Celsius, Celsius))> {
    let local = zone.local(at);
    let (air, dew_point) = (hour.temperature?, hour.dew_point?);
    let below = leaf_below_air(air, dew_point, hour.cloud?, hour.wind?);
    let is_sunny = hour.radiation_w_m2.is_some_and(|sun| sun > SUN_UP);
    let leaf = if is_sunny { air } else { air + below };
    (local.hour() <= NIGHT_UNTIL).then_some((local.date(), (air, leaf)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::MetresPerSecond;

    fn step(dryness: f64, cloud: f64, wind: f64) -> f64 {
        let hour = |hour: i32| Condition {
            temperature: Some(Celsius::new(2.0 - f64::from(hour) * 0.4)),
            dew_point: Some(Celsius::new(2.0 - f64::from(hour) * 0.4 - dryness)),
            cloud: Some(cloud),
            wind: Some(MetresPerSecond(wind)),
            ..Condition::default()
        };
        let conditions = Conditions {
            start: "2027-04-10T00:00:00Z".parse().unwrap(),
            hours: (0..9).map(hour).collect(),
        };
        let nights = colder_than_usual(&conditions, &Zone::utc());
        nights.into_values().next().unwrap().kelvin()
    }

    #[test]
    fn a_clear_still_dry_night_costs_up_to_a_kelvin_and_a_half_and_no_other_gives_anything() {
        assert!((-1.5..-0.5).contains(&step(6.0, 0.0, 0.5)));
        assert!((-0.6..=0.0).contains(&step(0.5, 0.1, 1.5)));
        for (cloud, wind) in [(1.0, 0.5), (0.0, 8.0), (1.0, 10.0)] {
            assert!(step(4.0, cloud, wind).abs() < 1e-12, "{cloud} {wind}");
        }
    }

    #[test]
    fn a_night_with_a_gap_is_not_judged() {
        let hour = Condition {
            temperature: Some(Celsius::new(0.0)),
            ..Condition::default()
        };
        let conditions = Conditions {
            start: "2027-04-10T00:00:00Z".parse().unwrap(),
            hours: vec![hour; 24],
        };
        assert!(colder_than_usual(&conditions, &Zone::utc()).is_empty());
    }
}
