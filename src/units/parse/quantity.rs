//! The units of each kind of quantity, how they are spelled, and which values occur.

use std::ops::RangeInclusive;

use super::AIR_RANGE;
use crate::units::{Celsius, CelsiusStep};

/// A kind of quantity as people write it; the first unit is the one in which it is kept.
pub(super) struct Quantity {
    pub(super) units: &'static [Unit],
    pub(super) range: RangeInclusive<f64>,
    pub(super) example: &'static str,
}

pub(super) struct Unit {
    pub(super) symbol: &'static str,
    /// Other spellings that are accepted.
    pub(super) also: &'static [&'static str],
    /// Spellings that are not accepted but tell what was meant.
    pub(super) meant: &'static [&'static str],
    /// From this unit to the one in which the quantity is kept.
    pub(super) keep: fn(f64) -> f64,
}

const CELSIUS: Unit = Unit {
    symbol: "°C",
    also: &["C", "degC"],
    meant: &[
        "celsius",
        "deg c",
        "degrees c",
        "degrees celsius",
        "centigrade",
    ],
    keep: |degrees| degrees,
};

const FAHRENHEIT: Unit = Unit {
    symbol: "°F",
    also: &["F", "degF"],
    meant: &["fahrenheit", "deg f", "degrees f", "degrees fahrenheit"],
    keep: |degrees| Celsius::from_fahrenheit(degrees).degrees(),
};

pub(super) const TEMPERATURE: Quantity = Quantity {
    units: &[CELSIUS, FAHRENHEIT],
    range: AIR_RANGE,
    example: "-2.2 °C",
};

pub(super) const STEP: Quantity = Quantity {
    units: &[
        Unit {
            symbol: "K",
            also: &[],
            meant: &["kelvin", "kelvins", "°K", "degK"],
            keep: |kelvin| kelvin,
        },
        CELSIUS,
        Unit {
            keep: |degrees| CelsiusStep::from_fahrenheit(degrees).kelvin(),
            ..FAHRENHEIT
        },
    ],
    range: -50.0..=50.0,
    example: "-2 K",
};

pub(super) const LENGTH: Quantity = Quantity {
    units: &[
        Unit {
            symbol: "m",
            also: &[],
            meant: &["metre", "metres", "meter", "meters"],
            keep: |metres| metres,
        },
        Unit {
            symbol: "ft",
            also: &[],
            meant: &["foot", "feet", "'"],
            keep: |feet| feet * 0.3048,
        },
    ],
    // From below the Dead Sea's shore to above Mount Everest.
    range: -500.0..=9000.0,
    example: "143 m",
};

pub(super) const WATER: Quantity = Quantity {
    units: &[
        Unit {
            symbol: "mm",
            also: &[],
            meant: &["millimetre", "millimetres", "millimeter", "millimeters"],
            keep: |millimetres| millimetres,
        },
        Unit {
            symbol: "in",
            also: &[],
            meant: &["inch", "inches", "\""],
            keep: |inches| inches * 25.4,
        },
    ],
    // The most rain of one day on record is 1825 mm (WMO archive of weather and climate extremes; from memory).
    range: 0.0..=2000.0,
    example: "5 mm",
};

pub(super) const THICKNESS: Quantity = Quantity {
    units: &[
        Unit {
            symbol: "cm",
            also: &[],
            meant: &["centimetre", "centimetres", "centimeter", "centimeters"],
            keep: |centimetres| centimetres,
        },
        Unit {
            symbol: "in",
            also: &[],
            meant: &["inch", "inches", "\""],
            keep: |inches| inches * 2.54,
        },
    ],
    // No trunk is thicker: the stoutest on record is about 14 m through (Taxodium at Tule; from memory).
    range: 0.0..=1500.0,
    example: "10 cm",
};

pub(super) const MASS: Quantity = Quantity {
    units: &[
        Unit {
            symbol: "kg",
            also: &[],
            meant: &["kilo", "kilos", "kilogram", "kilograms"],
            keep: |kilograms| kilograms,
        },
        Unit {
            symbol: "lb",
            also: &["lbs"],
            meant: &["pound", "pounds", "#"],
            keep: |pounds| pounds * 0.453_592_37,
        },
    ],
    // Heavier than any branch (estimate).
    range: 0.0..=100_000.0,
    example: "90 kg",
};

pub(super) const SPEED: Quantity = Quantity {
    units: &[
        Unit {
            symbol: "m/s",
            also: &[],
            meant: &["ms", "mps", "metres per second", "meters per second"],
            keep: |metres| metres,
        },
        Unit {
            symbol: "km/h",
            also: &[],
            meant: &["kmh", "kph", "kilometres per hour", "kilometers per hour"],
            keep: |kilometres| kilometres / 3.6,
        },
        Unit {
            symbol: "mph",
            also: &[],
            meant: &["mp/h", "mi/h", "miles per hour"],
            keep: |miles| miles * 0.44704,
        },
    ],
    // The strongest gust on record is 113 m/s (WMO archive of weather and climate extremes; from memory).
    range: 0.0..=150.0,
    example: "3 m/s",
};
