//! Quantities with their unit in the type: a temperature, a temperature difference, a heat sum, a chance.
//!
//! In: plain numbers and text. Out: values that cannot be mixed up, and text in the unit a person likes.
//! Does not know plants, weather or time.

mod amounts;
mod display;
mod parse;
mod temperature;

pub use amounts::{
    Centimetres, Chance, Kilograms, Kilopascals, MegajoulesPerSquareMetre, Metres, MetresPerSecond,
    Millimetres, RelativeHumidity, count,
};
pub use display::UnitSystem;
pub use parse::{AIR_RANGE, UnitError};
pub use temperature::{Celsius, CelsiusStep, DegreeDays};
