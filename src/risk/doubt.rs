//! The doubt about a spot as a law of chance, fast enough to be asked for every future and cutting day.

use std::sync::OnceLock;

use statrs::distribution::{Continuous, ContinuousCDF, Normal};

use crate::units::{CelsiusStep, count};

/// Excesses further than this many standard deviations from zero are decided; Φ(-8) is below 1e-15.
const DECIDED: f64 = 8.0;

/// Steps of the table in one standard deviation; between them a cubic through values and slopes is as near to Φ as the
/// library's own is, which errs by up to 5e-11.
const STEPS: f64 = 512.0;

/// The chance that an excess over the damaging temperature is in truth none.
#[derive(Debug, Clone, Copy)]
pub(super) struct Doubt {
    /// Excesses from here on are decided, in kelvin.
    decided: f64,
    /// Steps of the table in one kelvin.
    per_kelvin: f64,
    table: &'static [(f64, f64)],
}

impl Doubt {
    /// A doubt of so many kelvin as a standard deviation.
    pub(super) fn of(doubt: CelsiusStep) -> Self {
        static TABLE: OnceLock<Vec<(f64, f64)>> = OnceLock::new();
        Self {
            decided: DECIDED * doubt.kelvin(),
            per_kelvin: STEPS / doubt.kelvin(),
            table: TABLE.get_or_init(table),
        }
    }

    /// Φ(-excess/σ); without doubt 1 for an excess of nothing or less, else 0.
    pub(super) fn chance(self, excess: f64) -> f64 {
        if excess.abs() >= self.decided {
            return if excess <= 0.0 { 1.0 } else { 0.0 };
        }
        let place = excess * self.per_kelvin + DECIDED * STEPS;
        // The place is above zero, so that to cut off its fraction is to round it down, without a call.
        let start = position(place);
        let at = |step: usize| self.table.get(step).copied().unwrap_or((0.0, 0.0));
        cubic(at(start), at(start + 1), place - count(start))
    }
}

/// Value and slope (by one step) of Φ(-x) for x from -[`DECIDED`] to [`DECIDED`].
fn table() -> Vec<(f64, f64)> {
    let law = Normal::standard();
    let steps = position(2.0 * DECIDED * STEPS);
    (0..=steps + 1)
        .map(|step| {
            let x = count(step) / STEPS - DECIDED;
            (law.cdf(-x), -law.pdf(x) / STEPS)
        })
        .collect()
}

/// The cubic between two points that has their values and slopes (Hermite).
fn cubic((left, left_slope): (f64, f64), (right, right_slope): (f64, f64), t: f64) -> f64 {
    let rise = right - left;
    let bend = (left_slope - rise) * (1.0 - t) + (rise - right_slope) * t;
    left + t * rise + t * (1.0 - t) * bend
}

#[allow(
    clippy::as_conversions,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a number from 0 to some thousands, of which the whole part is wanted; `as` saturates"
)]
fn position(step: f64) -> usize {
    step as usize
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn without_doubt_the_damaging_temperature_itself_does_damage() {
        let sure = Doubt::of(CelsiusStep::new(0.0));
        assert!(sure.chance(0.0) > 0.5 && sure.chance(-3.0) > 0.5);
        assert!(sure.chance(1e-9) < 0.5);
    }

    #[test]
    fn doubt_is_the_normal_law_to_ten_digits() {
        let (doubt, law) = (Doubt::of(CelsiusStep::new(0.7)), Normal::standard());
        for step in -56_000..=56_000_i32 {
            let excess = f64::from(step) / 9_973.0;
            let difference = doubt.chance(excess) - law.cdf(-excess / 0.7);
            assert!(difference.abs() < 1e-10, "{excess}: {difference}");
        }
    }

    #[test]
    fn doubt_spreads_the_edge_evenly() {
        let doubt = Doubt::of(CelsiusStep::new(1.0));
        assert!((doubt.chance(0.0) - 0.5).abs() < 1e-12);
        // Φ(-1.96) = 0.0249979: Abramowitz & Stegun 1964, table 26.1.
        assert!((doubt.chance(1.96) - 0.024_997_9).abs() < 1e-7);
    }
}
