//! Weather in which a fungus or a bacterium gets into a plant.
//!
//! In: wet spells, hours of temperature and rain. Out: whether the weather would let it in. Does not know whether the
//! disease is about, nor which plant it takes.

use super::wetness::WetSpell;
use crate::units::{Celsius, Millimetres, count};

/// Whether a wet spell lets a fungus in, where it is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Infection {
    /// The spell is too short, too cold or too hot.
    None,
    /// It is enough for some.
    Possible,
    /// It is long and warm enough for much.
    Likely,
}

/// Whether a wet spell lets boxwood blight in.
///
/// - Shape: one wet spell.
/// - Unit: hours and °C in.
/// - Domain: spells of [`super::wetness::wet_spells`].
/// - Accuracy: limits of experiments on cut leaves, not a forecast; a spell broken by a dry hour counts as two. Cool is
///   not safe: some strains did more harm at 15 than at 25 °C (Weiland et al., USDA-ARS, 2022).
/// - Source: 5 hours for any disease, steepest rise from 12 hours: Kodati, Allan-Perkins, Cowles & LaMondia, Effect of
///   temperature, leaf wetness period, and cultivar susceptibility on boxwood blight, Connecticut Agricultural
///   Experiment Station; from 5 to 30 °C: AGES, Austria; most active at 18 to 25 °C: Virginia Boxwood Blight Task Force.
///
/// ```
/// use budward::science::infection::{Infection, boxwood_blight};
/// use budward::science::wetness::WetSpell;
/// use budward::units::Celsius;
///
/// let spell = |hours, mean| WetSpell { start: 0, hours, mean: Celsius::new(mean) };
/// assert_eq!(boxwood_blight(&spell(4, 22.0)), Infection::None);
/// assert_eq!(boxwood_blight(&spell(5, 22.0)), Infection::Possible);
/// assert_eq!(boxwood_blight(&spell(12, 22.0)), Infection::Likely);
/// ```
pub fn boxwood_blight(spell: &WetSpell) -> Infection {
    const SHORTEST: usize = 5;
    const STEEPEST_FROM: usize = 12;
    let mean = spell.mean.degrees();
    if spell.hours < SHORTEST || !(5.0..=30.0).contains(&mean) {
        Infection::None
    } else if spell.hours >= STEEPEST_FROM && (18.0..=25.0).contains(&mean) {
        Infection::Likely
    } else {
        Infection::Possible
    }
}

/// The weather of one day in which flowers are open.
#[derive(Debug, Clone, PartialEq)]
pub struct BlossomDay {
    /// Temperatures at even steps through the day, one an hour.
    pub temperatures: Vec<Celsius>,
    /// What fell that day.
    pub rain: Millimetres,
    /// Hours in which leaves were wet, by dew too.
    pub wet_hours: usize,
}

/// What fire blight of open flowers needs of the weather, and how much of it there is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FireBlight {
    /// Warmth for the bacteria on the flowers, as a share of what they need: 1 is enough.
    pub growth: f64,
    /// Mean temperature of the day.
    pub mean: Celsius,
    /// Rain or dew washes the bacteria in.
    pub wetted: bool,
}

impl FireBlight {
    /// The least mean temperature of a day of infection: 60 °F.
    pub fn least_mean() -> Celsius {
        Celsius::from_fahrenheit(60.0)
    }

    /// Whether all of it is met, so that open flowers are infected where the bacterium is about.
    pub fn infects(&self) -> bool {
        self.growth >= 1.0 && self.mean >= Self::least_mean() && self.wetted
    }
}

/// How long an apple flower stays fit for the bacteria, in °F·d above 40 °F (44 °C·d above 4.4 °C); crab apple, hawthorn
/// and their kin with it. Pear has 120 (Steiner).
pub const APPLE_FLOWER: f64 = 80.0;

/// Whether the weather of the last of some days lets fire blight into open flowers.
///
/// - Shape: days one after another since the first flower opened, the day in question last, and the life of a flower.
/// - Unit: °C, mm and hours in, life in °F·d above 40 °F; shares and °C out.
/// - Domain: at least one day, each with a temperature; otherwise nothing. Flowers are taken to be open.
/// - Accuracy: as the rule it is: it takes the bacterium to be about. A day counts whole as long as the warmth after it
///   is less than a flower's life.
/// - Source: Steiner, Predicting apple blossom infections by Erwinia amylovora using the Maryblyt model, Acta Hort. 273,
///   1990, 139-148: 198 °F·h above 65 °F (110 °C·h above 18.3 °C), a mean of 60 °F (15.6 °C), and dew or 0.2 mm of rain
///   or 2.5 mm the day before (title from memory, numbers as quoted by extension services); two wet hours as dew:
///   University of Maine.
pub fn fire_blight(days: &[BlossomDay], flower: f64) -> Option<FireBlight> {
    const NEEDED: f64 = 198.0;
    const RAIN_TODAY: f64 = 0.2;
    const RAIN_BEFORE: f64 = 2.5;
    const DEW_HOURS: usize = 2;
    let (today, before) = days.split_last()?;
    if days.iter().any(|day| day.temperatures.is_empty()) {
        return None;
    }
    let mut warmth_after = 0.0;
    let mut degree_hours = 0.0;
    for day in days.iter().rev().take_while(|day| {
        let counts = warmth_after < flower;
        warmth_after += mean_over(day, 40.0);
        counts
    }) {
        degree_hours += 24.0 * mean_over(day, 65.0);
    }
    let wet_before = before.last().is_some_and(|day| day.rain.0 >= RAIN_BEFORE);
    Some(FireBlight {
        growth: degree_hours / NEEDED,
        mean: mean(today),
        wetted: today.rain.0 >= RAIN_TODAY || today.wet_hours >= DEW_HOURS || wet_before,
    })
}

/// Mean excess of a day's temperatures over a threshold, both in °F.
fn mean_over(day: &BlossomDay, threshold: f64) -> f64 {
    let over = |temperature: &Celsius| (temperature.fahrenheit() - threshold).max(0.0);
    day.temperatures.iter().map(over).sum::<f64>() / count(day.temperatures.len())
}

fn mean(day: &BlossomDay) -> Celsius {
    let sum: f64 = day.temperatures.iter().map(|at| at.degrees()).sum();
    Celsius::new(sum / count(day.temperatures.len()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn boxwood_blight_needs_five_wet_hours_between_five_and_thirty_degrees() {
        let spell = |hours, mean| {
            boxwood_blight(&WetSpell {
                start: 0,
                hours,
                mean: Celsius::new(mean),
            })
        };
        assert_eq!(spell(100, 4.9), Infection::None);
        assert_eq!(spell(5, 5.0), Infection::Possible);
        assert_eq!(spell(5, 30.0), Infection::Possible);
        assert_eq!(spell(100, 30.1), Infection::None);
        assert_eq!(spell(11, 25.0), Infection::Possible);
        assert_eq!(spell(12, 25.0), Infection::Likely);
        assert_eq!(spell(12, 25.1), Infection::Possible);
        assert_eq!(spell(12, 17.9), Infection::Possible);
        assert_eq!(spell(12, f64::NAN), Infection::None);
    }

    /// A day with so many hours at one temperature in °F, the others at 40 °F.
    fn day(hours: usize, fahrenheit: f64, rain: f64, wet_hours: usize) -> BlossomDay {
        let at = |hour| Celsius::from_fahrenheit(if hour < hours { fahrenheit } else { 40.0 });
        BlossomDay {
            temperatures: (0..24).map(at).collect(),
            rain: Millimetres(rain),
            wet_hours,
        }
    }

    #[test]
    fn the_warmth_of_eight_hours_at_22_degrees_is_the_published_share() {
        // 8 h at 22 °C make 29.6 °C·h above 18.3 °C (29.33 above 65 °F exactly), of 110 needed.
        let found = fire_blight(&[day(8, 71.6, 0.0, 0)], APPLE_FLOWER).unwrap();
        assert!((found.growth - 8.0 * (71.6 - 65.0) / 198.0).abs() < 1e-12);
        assert!((found.growth * 110.0 - 29.333).abs() < 0.001);
    }

    #[test]
    fn flowers_are_infected_when_warmth_wet_and_mean_come_together() {
        // 24 h at 73.25 °F are 198 °F·h above 65 °F.
        let infects = |days: &[BlossomDay]| fire_blight(days, APPLE_FLOWER).unwrap().infects();
        assert!(infects(&[day(24, 73.26, 0.2, 0)]));
        assert!(!infects(&[day(24, 73.24, 0.2, 0)]));
        assert!(!infects(&[day(24, 73.26, 0.19, 1)]));
        assert!(infects(&[day(24, 73.26, 0.0, 2)]));
        assert!(infects(&[day(24, 73.26, 2.5, 0), day(24, 60.1, 0.0, 0)]));
        assert!(!infects(&[day(24, 73.26, 2.4, 0), day(24, 60.1, 0.0, 0)]));
        assert!(!infects(&[day(24, 73.26, 2.5, 0), day(24, 59.9, 0.0, 0)]));
    }

    #[test]
    fn warmth_older_than_a_flower_does_not_count() {
        // A day at 65 °F gives 25 °F·d above 40 °F: four of them outlive a flower of 80, three do not.
        let days = |mild: usize| {
            let mut days = vec![day(24, 80.0, 0.0, 0)];
            days.extend(std::iter::repeat_n(day(24, 65.0, 0.0, 0), mild));
            fire_blight(&days, APPLE_FLOWER).unwrap().growth
        };
        let hot = 24.0 * 15.0 / 198.0;
        assert!((days(3) - hot).abs() < 1e-9);
        assert!(days(4).abs() < 1e-9);
    }

    #[test]
    fn without_days_or_temperatures_nothing_is_said() {
        assert_eq!(fire_blight(&[], APPLE_FLOWER), None);
        let empty = BlossomDay {
            temperatures: Vec::new(),
            rain: Millimetres(1.0),
            wet_hours: 9,
        };
        assert_eq!(
            fire_blight(&[empty, day(24, 70.0, 0.0, 0)], APPLE_FLOWER),
            None
        );
    }
}
