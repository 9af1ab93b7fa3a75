//! The time zone of a place, from its coordinates.
//!
//! The borders come with the crate tzf-rs, from the time zone boundaries of OpenStreetMap (ODbL 1.0).

use std::sync::LazyLock;

use tzf_rs::EmbeddedFinder;

use crate::garden::Zone;

static FINDER: LazyLock<EmbeddedFinder> = LazyLock::new(EmbeddedFinder::new);

/// The time zone in which a place lies; none when it is not on the earth or its zone is not known.
pub fn find_zone(latitude: f64, longitude: f64) -> Option<Zone> {
    zone_names(latitude, longitude)
        .first()
        .and_then(|name| Zone::named(name).ok())
}

/// Every zone that claims a place; more than one where peoples keep different clocks.
pub(super) fn zone_names(latitude: f64, longitude: f64) -> Vec<&'static str> {
    if !(latitude.is_finite() && longitude.is_finite()) {
        return Vec::new();
    }
    // Longitude first.
    let first = FINDER.get_tz_name(longitude, latitude);
    let mut names = FINDER.get_tz_names(longitude, latitude);
    names.retain(|name| *name != first && !name.is_empty());
    if !first.is_empty() {
        names.insert(0, first);
    }
    names
}

/// Whether a zone is one of the open sea.
pub(super) fn at_sea(zone: &str) -> bool {
    zone.starts_with("Etc/")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_has_the_zone_of_its_clocks() {
        // Madison, Indiana and Sankt Pölten, Austria (IANA zone1970.tab, areas in its comments).
        for (latitude, longitude, zone) in [
            (38.74, -85.38, "America/Indiana/Indianapolis"),
            (48.2, 15.62, "Europe/Vienna"),
        ] {
            let found = find_zone(latitude, longitude).unwrap();
            assert_eq!(found.name(), zone);
        }
    }

    #[test]
    fn the_open_sea_is_told_from_land() {
        let found = find_zone(45.0, -30.0).unwrap();
        assert!(at_sea(found.name()), "{}", found.name());
        assert!(!at_sea("Europe/Vienna"));
    }

    #[test]
    fn no_number_is_no_place() {
        assert_eq!(find_zone(f64::NAN, 10.0), None);
    }
}
