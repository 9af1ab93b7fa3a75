//! A small frame for diagrams: from values to places on the picture.

/// The width of every picture; text stays readable where this many points are shown at 328 CSS pixels.
pub(super) const WIDTH: f64 = 340.0;

/// A line from one value range to places.
#[derive(Debug, Clone, Copy)]
pub(super) struct Scale {
    pub(super) values: (f64, f64),
    pub(super) places: (f64, f64),
}

impl Scale {
    /// The place of a value, kept within the frame, in tenths of a point.
    pub(super) fn at(&self, value: f64) -> f64 {
        let (low, high) = self.values;
        let (from, to) = self.places;
        let share = ((value - low) / (high - low)).clamp(0.0, 1.0);
        ((from + share * (to - from)) * 10.0).round() / 10.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_linear_and_stay_in_the_frame() {
        let scale = Scale {
            values: (0.0, 0.5),
            places: (10.0, 110.0),
        };
        let places = [0.0, 0.25, 0.5, 0.7].map(|value| scale.at(value));
        assert!(
            places
                .iter()
                .zip([10.0, 60.0, 110.0, 110.0])
                .all(|(a, b)| (a - b).abs() < 1e-9)
        );
    }
}
