//! Quantities as text in the units that a person reads.

use serde::{Deserialize, Serialize};

/// The units in which a garden's keeper reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum UnitSystem {
    /// °C, mm, m.
    #[default]
    Metric,
    /// °F, in, ft.
    Us,
}
impl UnitSystem {
    /// temp
    pub fn temperature(self, t: super::Celsius) -> String { format!("{:.1} C", t.degrees()) }
    /// temp
    pub fn step(self, t: super::CelsiusStep) -> String { format!("{:.1} K", t.kelvin()) }
}
