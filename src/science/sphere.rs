//! Distances on the earth.

/// Mean radius of the earth in kilometres: the arithmetic mean of the semi-axes of the GRS 80 ellipsoid (Moritz, 2000,
/// Geodetic Reference System 1980, Journal of Geodesy 74, R1 = 6371.0088 km with the WGS 84 flattening).
const RADIUS_KM: f64 = 6371.0088;

/// The distance in kilometres between two points on a sphere, each as degrees north and east.
///
/// The haversine formula (Sinnott, 1984, Virtues of the haversine, Sky and Telescope 68, 159). The earth's flattening
/// makes it wrong by 0.5 % at the most.
pub fn great_circle_km((north, east): (f64, f64), (other_north, other_east): (f64, f64)) -> f64 {
    let half_square = |degrees: f64| (degrees.to_radians() / 2.0).sin().powi(2);
    let haversine = half_square(other_north - north)
        + north.to_radians().cos()
            * other_north.to_radians().cos()
            * half_square(other_east - east);
    2.0 * RADIUS_KM * haversine.clamp(0.0, 1.0).sqrt().asin()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn arcs_of_great_circles_have_their_lengths() {
        let quarter = RADIUS_KM * std::f64::consts::FRAC_PI_2;
        for (one, other, arc) in [
            ((0.0, 0.0), (90.0, 77.0), quarter),
            ((0.0, 170.0), (0.0, -100.0), quarter),
            ((-90.0, 0.0), (90.0, 0.0), 2.0 * quarter),
            // Over the pole from 60 degrees north to 60 degrees north.
            ((60.0, 10.0), (60.0, -170.0), quarter * 2.0 / 3.0),
            ((51.5, -0.25), (51.5, -0.25), 0.0),
        ] {
            let km = great_circle_km(one, other);
            assert!((km - arc).abs() < 1e-6, "{one:?} {other:?}: {km}");
        }
    }
}
