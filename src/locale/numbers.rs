//! Quantities in the keeper's units, with the decimal mark of the language.

use super::{Language, Locale};
use crate::units::{
    Celsius, CelsiusStep, Centimetres, DegreeDays, Kilograms, Metres, MetresPerSecond, Millimetres,
};

impl Locale {
    /// A temperature: `-2.2 °C` to the tenth, `28 °F` to the whole degree.
    pub fn temperature(self, temperature: Celsius) -> String {
        self.marked(self.units.temperature(temperature))
    }

    /// A temperature as a number of [`Self::degree`].
    pub fn degrees(self, temperature: Celsius) -> f64 {
        self.units.degrees(temperature)
    }

    /// The unit of temperatures.
    pub const fn degree(self) -> &'static str {
        self.units.degree()
    }

    /// A heat sum as a number of degree days in [`Self::degree`].
    pub fn degree_days(self, heat: DegreeDays) -> f64 {
        self.units.degree_days(heat)
    }

    /// A difference of temperatures: `-2.2 K` to the tenth, `-4 °F` to the whole degree.
    pub fn step(self, step: CelsiusStep) -> String {
        self.marked(self.units.step(step))
    }

    /// A difference of temperatures for those who want it finer, to the tenth.
    pub fn fine_step(self, step: CelsiusStep) -> String {
        self.marked(self.units.fine_step(step))
    }

    /// A heat sum to the whole unit.
    pub fn heat(self, heat: DegreeDays) -> String {
        self.units.heat(heat)
    }

    /// A height or length to the whole unit.
    pub fn length(self, length: Metres) -> String {
        self.units.length(length)
    }

    /// A distance between places to the whole unit.
    pub fn distance(self, distance: Metres) -> String {
        self.units.distance(distance)
    }

    /// A thickness to the whole unit.
    pub fn thickness(self, thickness: Centimetres) -> String {
        self.units.thickness(thickness)
    }

    /// A mass to the whole unit.
    pub fn mass(self, mass: Kilograms) -> String {
        self.units.mass(mass)
    }

    /// A depth of water: `5 mm` to the tenth, `0.2 in` to the hundredth.
    pub fn water(self, water: Millimetres) -> String {
        self.marked(self.units.water(water))
    }

    /// A speed to the whole unit.
    pub fn speed(self, speed: MetresPerSecond) -> String {
        self.units.speed(speed)
    }

    /// A number with so many decimals.
    pub fn number(self, value: f64, decimals: usize) -> String {
        self.marked(format!("{value:.decimals$}"))
    }

    /// A number that has a decimal point, with the mark of the language.
    fn marked(self, number: String) -> String {
        match self.language {
            Language::English => number,
            Language::German => number.replace('.', ","),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::UnitSystem;

    #[test]
    fn german_has_a_decimal_comma_in_either_units() {
        let german = |units| Locale::new(Language::German, units);
        let metric = german(UnitSystem::Metric);
        assert_eq!(metric.temperature(Celsius::new(-2.2)), "-2,2 °C");
        assert_eq!(metric.fine_step(CelsiusStep::new(1.5)), "1,5 K");
        assert_eq!(metric.number(0.75, 2), "0,75");
        assert_eq!(german(UnitSystem::Us).water(Millimetres(5.08)), "0,2 in");
    }
}
