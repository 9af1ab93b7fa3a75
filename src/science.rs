//! Formulas: numbers in, numbers out, each with its published source.
//!
//! In: quantities. Out: quantities. Does not know plants, places, clocks or services.

pub mod degree_days;
pub mod dice;
pub mod scores;
pub mod sun;
