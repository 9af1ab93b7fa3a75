//! Where a record was measured, or for which point of a grid it was made.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::garden::Place;
use crate::science::sphere::great_circle_km;
use crate::units::Metres;

/// The site of a record.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Site {
    /// Degrees north.
    pub latitude: f64,
    /// Degrees east.
    pub longitude: f64,
    /// Height above the sea, where it is known.
    pub elevation: Option<Metres>,
}

/// Where a site lies, seen from a place.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct FromHere {
    /// How far away.
    pub distance: Metres,
    /// How much higher; below 0 when it lies lower, none when one of the heights is not known.
    pub above: Option<Metres>,
}

impl Site {
    /// Where it lies, seen from a place.
    pub fn from(&self, place: &Place) -> FromHere {
        let (here, there) = (
            (place.latitude(), place.longitude()),
            (self.latitude, self.longitude),
        );
        let heights = self.elevation.zip(place.elevation);
        FromHere {
            distance: Metres(1000.0 * great_circle_km(here, there)),
            above: heights.map(|(site, place)| Metres(site.0 - place.0)),
        }
    }
}
