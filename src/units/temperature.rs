//! Temperatures, differences of temperatures, and heat sums.

use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// An air or plant temperature in degrees Celsius.
///
/// Two of them can be subtracted (that gives a [`CelsiusStep`]) but not added.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct Celsius(f64);

/// A difference of two temperatures in kelvin.
#[derive(
    Debug, Clone, Copy, PartialEq, PartialOrd, Default, Serialize, Deserialize, JsonSchema,
)]
#[serde(transparent)]
pub struct CelsiusStep(f64);

/// A heat sum in degree days (°C·d).
#[derive(
    Debug, Clone, Copy, PartialEq, PartialOrd, Default, Serialize, Deserialize, JsonSchema,
)]
#[serde(transparent)]
pub struct DegreeDays(f64);

impl Celsius {
    /// A temperature of `degrees` °C.
    pub const fn new(degrees: f64) -> Self {
        Self(degrees)
    }

    /// A temperature given in degrees Fahrenheit.
    pub fn from_fahrenheit(degrees: f64) -> Self {
        Self((degrees - 32.0) / 1.8)
    }

    /// The number of degrees Celsius.
    pub const fn degrees(self) -> f64 {
        self.0
    }

    /// The same temperature in degrees Fahrenheit.
    pub fn fahrenheit(self) -> f64 {
        self.0 * 1.8 + 32.0
    }

    /// The colder of the two.
    #[must_use]
    pub fn min(self, other: Self) -> Self {
        Self(self.0.min(other.0))
    }

    /// The warmer of the two.
    #[must_use]
    pub fn max(self, other: Self) -> Self {
        Self(self.0.max(other.0))
    }
}

impl CelsiusStep {
    /// A difference of `kelvin`.
    pub const fn new(kelvin: f64) -> Self {
        Self(kelvin)
    }

    /// A difference given in Fahrenheit degrees.
    pub fn from_fahrenheit(degrees: f64) -> Self {
        Self(degrees / 1.8)
    }

    /// The number of kelvin.
    pub const fn kelvin(self) -> f64 {
        self.0
    }

    /// The same difference in Fahrenheit degrees.
    pub fn fahrenheit(self) -> f64 {
        self.0 * 1.8
    }
}

impl DegreeDays {
    /// No heat at all.
    pub const ZERO: Self = Self(0.0);

    /// A heat sum of `sum` °C·d.
    pub const fn new(sum: f64) -> Self {
        Self(sum)
    }

    /// The number of °C·d.
    pub const fn sum(self) -> f64 {
        self.0
    }
}

impl Sub for Celsius {
    type Output = CelsiusStep;
    fn sub(self, other: Self) -> CelsiusStep {
        CelsiusStep(self.0 - other.0)
    }
}

impl Add<CelsiusStep> for Celsius {
    type Output = Self;
    fn add(self, step: CelsiusStep) -> Self {
        Self(self.0 + step.0)
    }
}

impl Sub<CelsiusStep> for Celsius {
    type Output = Self;
    fn sub(self, step: CelsiusStep) -> Self {
        Self(self.0 - step.0)
    }
}

impl Add for CelsiusStep {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for CelsiusStep {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Neg for CelsiusStep {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Mul<f64> for CelsiusStep {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self(self.0 * factor)
    }
}

impl Div<f64> for CelsiusStep {
    type Output = Self;
    fn div(self, divisor: f64) -> Self {
        Self(self.0 / divisor)
    }
}

impl Div for CelsiusStep {
    type Output = f64;
    fn div(self, other: Self) -> f64 {
        self.0 / other.0
    }
}

impl Add for DegreeDays {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl AddAssign for DegreeDays {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl Sub for DegreeDays {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}
