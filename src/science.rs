//! Formulas: numbers in, numbers out, each with its published source.
//!
//! In: quantities. Out: quantities. Does not know plants, places, clocks or services.

pub mod degree_days;
pub mod dice;
pub mod evaporation;
pub mod exposure;
pub mod humidity;
pub mod infection;
pub mod leaf;
pub mod scores;
pub mod sphere;
pub mod sun;
pub mod wetness;
