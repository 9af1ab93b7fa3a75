//! Lengths, thicknesses, masses, speeds, amounts of water, pressure, humidity, radiation, chances.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A length in metres.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct Metres(pub f64);

/// A depth of water in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct Millimetres(pub f64);

/// A thickness in centimetres.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct Centimetres(pub f64);

/// A mass in kilograms.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct Kilograms(pub f64);

/// A speed in metres per second.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct MetresPerSecond(pub f64);

impl MetresPerSecond {
    /// Metres per second in one mile per hour (international yard and pound agreement, 1959: exact).
    const MILE_PER_HOUR: f64 = 0.447_04;

    /// A speed given in miles per hour.
    pub fn from_miles_per_hour(speed: f64) -> Self {
        Self(speed * Self::MILE_PER_HOUR)
    }

    /// A speed given in kilometres per hour.
    pub fn from_kilometres_per_hour(speed: f64) -> Self {
        Self(speed / 3.6)
    }

    /// The same speed in miles per hour.
    pub fn miles_per_hour(self) -> f64 {
        self.0 / Self::MILE_PER_HOUR
    }

    /// The same speed in kilometres per hour.
    pub fn kilometres_per_hour(self) -> f64 {
        self.0 * 3.6
    }
}

/// A pressure in kilopascals: of the air, or of the water vapour in it.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Kilopascals(pub f64);

/// Radiant energy that a square metre receives or gives off in a day, in megajoules.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct MegajoulesPerSquareMetre(pub f64);

impl MegajoulesPerSquareMetre {
    /// An energy given in watt hours: the sum of the hourly means of the radiation in W/m².
    pub fn from_watt_hours(sum: f64) -> Self {
        Self(sum * 0.0036)
    }
}

/// Relative humidity over liquid water, at frost too; always within 0..=100 percent.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize)]
#[serde(transparent)]
pub struct RelativeHumidity(f64);

impl RelativeHumidity {
    /// A humidity of so many percent; none outside 0..=100.
    pub fn of_percent(percent: f64) -> Option<Self> {
        (0.0..=100.0).contains(&percent).then_some(Self(percent))
    }

    /// The number of percent.
    pub const fn percent(self) -> f64 {
        self.0
    }

    /// The share of 1.
    pub fn share(self) -> f64 {
        self.0 / 100.0
    }
}

/// A probability; always within 0..=1.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize, JsonSchema)]
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
