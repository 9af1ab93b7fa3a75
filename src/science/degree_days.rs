//! Degree days of one day from its lowest and highest temperature.
//!
//! In: the day's extremes and the thresholds of development. Out: [`DegreeDays`]. Does not add up days.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::units::{Celsius, DegreeDays};

/// The lower threshold above which the growth that a cut forces is counted.
///
/// 5 °C is the base in common use for the growth of woody plants of cool climates (common practice, no source).
pub const GROWTH_BASE: Celsius = Celsius::new(5.0);

/// What happens to development above the upper threshold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cutoff {
    /// It goes on at the rate of the upper threshold.
    Horizontal,
    /// It slows at the rate at which it rose.
    Intermediate,
    /// It stops.
    Vertical,
}

/// Thresholds of development.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thresholds {
    /// No development below.
    pub lower: Celsius,
    /// Where development no longer speeds up, and what then happens; none when there is no such limit.
    pub upper: Option<(Celsius, Cutoff)>,
}

/// The degree days of a day whose temperature follows one sine wave between its extremes.
///
/// - Shape: one day's extremes and the thresholds.
/// - Unit: °C in, °C·d out.
/// - Domain: lowest not above highest; otherwise no number.
/// - Accuracy: exact for the sine; against 24 hourly samples of it within 0.025 °C·d.
/// - Source: Zalom, Goodell, Wilson, Barnett & Bentley, Degree-days: the calculation and use of heat units in pest
///   management, UC DANR leaflet 21373, 1983, the six cases of the single sine; cutoffs as in the same leaflet.
///
/// With m the mean and a half the range, the sum above one threshold th is
/// `[(m - th)(π/2 - s) + a cos s]/π`, s = asin((th - m)/a), where the wave crosses it. The intermediate cutoff takes
/// the sum above the upper threshold off twice; it has no floor, so a day hotter than 2 upper - lower can count
/// against development.
///
/// ```
/// use budward::science::degree_days::{Cutoff, Thresholds, single_sine};
/// use budward::units::Celsius;
///
/// // 50 to 101 °F between 55 and 90 °F: 18.95 °F·d (Zalom et al. 1983, table 7, case 6).
/// let thresholds = Thresholds {
///     lower: Celsius::from_fahrenheit(55.0),
///     upper: Some((Celsius::from_fahrenheit(90.0), Cutoff::Horizontal)),
/// };
/// let day = single_sine(Celsius::from_fahrenheit(50.0), Celsius::from_fahrenheit(101.0), thresholds);
/// assert!((day.unwrap().sum() * 1.8 - 18.95).abs() < 0.005);
/// ```
pub fn single_sine(min: Celsius, max: Celsius, thresholds: Thresholds) -> Option<DegreeDays> {
    let above = |threshold: Celsius| sine_above(min, max, threshold);
    let lower = above(thresholds.lower)?;
    let Some((upper, cutoff)) = thresholds.upper else {
        return Some(DegreeDays::new(lower.sum));
    };
    let over = above(upper)?;
    let sum = match cutoff {
        Cutoff::Horizontal => lower.sum - over.sum,
        Cutoff::Intermediate => lower.sum - 2.0 * over.sum,
        Cutoff::Vertical => lower.sum - over.sum - (upper - thresholds.lower).kelvin() * over.share,
    };
    Some(DegreeDays::new(sum))
}

/// The running sum of [`single_sine`] at the end of each day, added to a list that may hold other sums before it.
///
/// - Shape: the extremes of consecutive days and the thresholds; as many sums as there are days with both extremes.
/// - Unit: °C in, °C·d out.
/// - Domain: a day whose lowest temperature is above its highest, or none, adds nothing.
/// - Accuracy: that of the single sine, added up in the order of the days.
/// - Source: Zalom et al. 1983, as [`single_sine`].
///
/// ```
/// use budward::science::degree_days::{Thresholds, running_sums};
/// use budward::units::Celsius;
///
/// let [low, high] = [[3.0, 6.0], [9.0, 16.0]].map(|days| days.map(Celsius::new));
/// let mut sums = Vec::new();
/// running_sums(&low, &high, Thresholds { lower: Celsius::new(2.0), upper: None }, &mut sums);
/// // Means of 6 and 11 °C, both days above 2 °C throughout: 4, and 9 more.
/// assert!((sums[0] - 4.0).abs() < 1e-12 && (sums[1] - 13.0).abs() < 1e-12);
/// ```
pub fn running_sums(min: &[Celsius], max: &[Celsius], thresholds: Thresholds, sums: &mut Vec<f64>) {
    let mut sum = 0.0;
    let days = min.iter().zip(max);
    sums.extend(days.map(|(min, max)| {
        sum += single_sine(*min, *max, thresholds).map_or(0.0, DegreeDays::sum);
        sum
    }));
}

/// The degree days of a day by the plain average of its extremes.
///
/// - Shape: one day's extremes and the thresholds; the cutoff is horizontal whatever they say.
/// - Unit: °C in, °C·d out.
/// - Domain: lowest not above highest; otherwise no number.
/// - Accuracy: exact by definition; below the sine on days that cross the lower threshold.
/// - Source: McMaster & Wilhelm, Growing degree-days: one equation, two interpretations, Agric. For. Meteorol. 87,
///   1997, 291-300, method 1.
///
/// ```
/// use budward::science::degree_days::{Thresholds, simple_average};
/// use budward::units::Celsius;
///
/// // Highest 8, lowest -2, base 0: 3 (McMaster & Wilhelm 1997, table 1).
/// let thresholds = Thresholds { lower: Celsius::new(0.0), upper: None };
/// let day = simple_average(Celsius::new(-2.0), Celsius::new(8.0), thresholds);
/// assert!((day.unwrap().sum() - 3.0).abs() < 1e-12);
/// ```
pub fn simple_average(min: Celsius, max: Celsius, thresholds: Thresholds) -> Option<DegreeDays> {
    let range = max - min;
    if range.kelvin().is_nan() || range.kelvin() < 0.0 {
        return None;
    }
    let mean = min + range / 2.0;
    let mean = thresholds.upper.map_or(mean, |(upper, _)| mean.min(upper));
    Some(DegreeDays::new((mean - thresholds.lower).kelvin().max(0.0)))
}

/// The part of a sine day above one threshold.
struct Above {
    /// Degree days above it.
    sum: f64,
    /// Share of the day above it.
    share: f64,
}

fn sine_above(min: Celsius, max: Celsius, threshold: Celsius) -> Option<Above> {
    let half_range = (max - min).kelvin() / 2.0;
    if half_range.is_nan() || half_range < 0.0 {
        return None;
    }
    let mean_over = (min - threshold).kelvin() + half_range;
    if max <= threshold {
        return Some(Above {
            sum: 0.0,
            share: 0.0,
        });
    }
    if min >= threshold {
        return Some(Above {
            sum: mean_over,
            share: 1.0,
        });
    }
    let sine = -mean_over / half_range;
    let (s, cosine) = (sine.asin(), (1.0 - sine * sine).sqrt());
    Some(Above {
        sum: (mean_over * (FRAC_PI_2 - s) + half_range * cosine) / PI,
        share: 0.5 - s / PI,
    })
}
