//! Lengths, thicknesses, masses, speeds, amounts of water, chances.

use serde::{Deserialize, Serialize};

/// A length in metres.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Metres(pub f64);

/// A depth of water in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Millimetres(pub f64);

/// A thickness in centimetres.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Centimetres(pub f64);

/// A mass in kilograms.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Kilograms(pub f64);

/// A speed in metres per second.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct MetresPerSecond(pub f64);

/// A probability; always within 0..=1.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Chance(f64);

impl Chance {
    /// It cannot happen.
    pub const NEVER: Self = Self(0.0);

    /// The chance nearest to `share`; not a number counts as certain, since an unknown danger is no safety.
    pub fn of(share: f64) -> Self {
        if share.is_nan() {
            Self(1.0)
        } else {
            Self(share.clamp(0.0, 1.0))
        }
    }

    /// The share of 1.
    pub const fn share(self) -> f64 {
        self.0
    }

    /// How many ways in a hundred, rounded to whole ways.
    pub fn in_hundred(self) -> f64 {
        (self.0 * 100.0).round()
    }
}

/// A count as a number to calculate with; exact up to 2^53.
#[allow(
    clippy::as_conversions,
    clippy::cast_precision_loss,
    reason = "the one place where counts become numbers"
)]
pub fn count(n: usize) -> f64 {
    n as f64
}
