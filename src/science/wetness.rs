//! Whether leaves are wet, from the weather alone.
//!
//! In: hours of temperature, dew point and rain. Out: which hours are wet, and the spells they make. Does not know
//! plants, shade or the time of day.

use super::humidity::{relative_humidity, saturation_over_water};
use crate::units::{Celsius, Millimetres, count};

/// The weather of one hour as far as it wets leaves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeafHour {
    /// Of the air.
    pub temperature: Celsius,
    /// None where it is not known.
    pub dew_point: Option<Celsius>,
    /// What fell in the hour; none where it is not known.
    pub rain: Option<Millimetres>,
}

/// A number of hours without a break in which leaves are wet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WetSpell {
    /// The place of its first hour among all hours.
    pub start: usize,
    /// How many hours.
    pub hours: usize,
    /// Mean temperature of the air in it.
    pub mean: Celsius,
}

/// Whether leaves get wet in an hour: by rain, or by dew.
///
/// - Shape: one hour.
/// - Unit: °C and mm in.
/// - Domain: none where it does not rain and the dew point is not known.
/// - Accuracy: the limit of humidity finds 87 to 92 hours of 100 right at four sites, and of the hours that it calls wet
///   up to 31 of 100 are dry (Sentelhas et al., congress paper).
/// - Source: 90 % of relative humidity: Sentelhas et al., Agric. For. Meteorol. 148, 2008, 392-400 (pages from memory); 2 K between air and
///   dew point: Gillespie, Srivastava & Pitblado, J. Appl. Meteor. 32, 1993, 567-573 (limits from memory); 0.1 mm is the
///   least rain that gauges measure (common practice, no source).
pub fn wets(hour: &LeafHour) -> Option<bool> {
    const HUMID: f64 = 90.0;
    const DEW_WITHIN: f64 = 2.0;
    if rains(hour) {
        return Some(true);
    }
    let dew_point = hour.dew_point?;
    let humidity = relative_humidity(hour.temperature, saturation_over_water(dew_point))?;
    let depression = (hour.temperature - dew_point).kelvin();
    Some(humidity.percent() >= HUMID || depression <= DEW_WITHIN)
}

fn rains(hour: &LeafHour) -> bool {
    const MEASURED: f64 = 0.1;
    hour.rain.is_some_and(|rain| rain.0 >= MEASURED)
}

/// Hour by hour whether leaves are wet: they get wet as [`wets`] says and stay so until the air is dry enough.
///
/// - Shape: hours one after another.
/// - Unit: °C and mm in.
/// - Domain: none for an hour that [`wets`] cannot tell; the hour after it starts dry.
/// - Accuracy: about an hour at each end of a spell (estimate); hedges shorn dense stay wet inside for longer.
/// - Source: dry again when the dew point is more than 3.8 K below the air: Gillespie, Srivastava & Pitblado, J. Appl.
///   Meteor. 32, 1993, 567-573 (from memory).
pub fn leaf_wetness(hours: &[LeafHour]) -> Vec<Option<bool>> {
    const DRY_BEYOND: f64 = 3.8;
    let mut was_wet = false;
    let state = |hour: &LeafHour| {
        let now = wets(hour).map(|wets| wets || was_wet && !dries(hour, DRY_BEYOND));
        was_wet = now == Some(true);
        now
    };
    hours.iter().map(state).collect()
}

fn dries(hour: &LeafHour, beyond: f64) -> bool {
    hour.dew_point
        .is_some_and(|dew_point| (hour.temperature - dew_point).kelvin() > beyond)
}

/// The spells of [`leaf_wetness`], oldest first; an hour that cannot be told ends a spell.
///
/// - Shape: hours one after another.
/// - Unit: °C and mm in; places, hours and °C out.
/// - Domain: any hours.
/// - Accuracy: that of [`leaf_wetness`].
/// - Source: as [`leaf_wetness`].
pub fn wet_spells(hours: &[LeafHour]) -> Vec<WetSpell> {
    let mut spells: Vec<WetSpell> = Vec::new();
    for (at, (hour, wet)) in hours.iter().zip(leaf_wetness(hours)).enumerate() {
        if wet != Some(true) {
            continue;
        }
        match spells.last_mut() {
            Some(spell) if spell.start + spell.hours == at => {
                spell.hours += 1;
                spell.mean = spell.mean + (hour.temperature - spell.mean) / count(spell.hours);
            }
            Some(_) | None => spells.push(WetSpell {
                start: at,
                hours: 1,
                mean: hour.temperature,
            }),
        }
    }
    spells
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hour(temperature: f64, depression: Option<f64>, rain: Option<f64>) -> LeafHour {
        LeafHour {
            temperature: Celsius::new(temperature),
            dew_point: depression.map(|kelvin| Celsius::new(temperature - kelvin)),
            rain: rain.map(Millimetres),
        }
    }

    #[test]
    fn rain_or_damp_air_wets() {
        assert_eq!(wets(&hour(15.0, Some(8.0), Some(0.1))), Some(true));
        assert_eq!(wets(&hour(15.0, None, Some(0.1))), Some(true));
        assert_eq!(wets(&hour(15.0, Some(8.0), Some(0.05))), Some(false));
        assert_eq!(wets(&hour(15.0, Some(2.0), None)), Some(true));
        assert_eq!(wets(&hour(15.0, Some(2.1), None)), Some(false));
        assert_eq!(wets(&hour(15.0, None, None)), None);
        assert_eq!(wets(&hour(15.0, None, Some(0.0))), None);
        assert_eq!(wets(&hour(f64::NAN, Some(1.0), None)), None);
    }

    #[test]
    fn leaves_stay_wet_until_the_air_is_dry_enough() {
        let depressions = [5.0, 3.0, 2.0, 3.0, 3.7, 3.9, 3.0];
        let hours: Vec<LeafHour> = depressions
            .iter()
            .map(|depression| hour(15.0, Some(*depression), None))
            .collect();
        let wet = [false, false, true, true, true, false, false].map(Some);
        assert_eq!(leaf_wetness(&hours), wet);
    }

    #[test]
    fn an_unknown_hour_ends_a_spell() {
        let hours = [
            hour(10.0, Some(1.0), None),
            hour(13.0, Some(1.0), None),
            hour(13.0, None, None),
            hour(13.0, Some(3.0), None),
            hour(16.0, Some(1.0), None),
        ];
        let spell = |start, hours, mean| WetSpell {
            start,
            hours,
            mean: Celsius::new(mean),
        };
        assert_eq!(wet_spells(&hours), [spell(0, 2, 11.5), spell(4, 1, 16.0)]);
        assert!(wet_spells(&[]).is_empty());
    }
}
