//! Distances on the earth.

/// Mean radius of the earth in kilometres: the mean of the three semi-axes of the GRS 80 ellipsoid (Moritz, Geodetic
/// Reference System 1980, Journal of Geodesy 74, 2000, R1; from memory).
const RADIUS_KM: f64 = 6371.0088;

/// The distance between two points of the earth, taken as a sphere.
///
/// - Shape: two points.
/// - Unit: degrees north and east in; kilometres out.
/// - Domain: the whole earth.
/// - Accuracy: within 0.6 % of the distance on the ellipsoid, since the earth is flattened by 1 in 298.
/// - Source: the haversine formula (Sinnott, Virtues of the haversine, Sky and Telescope 68, 1984, 159; from memory).
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
