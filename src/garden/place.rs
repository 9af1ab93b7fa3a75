//! A point on the earth with its time zone.

use thiserror::Error;

use super::Zone;
use crate::units::Metres;

/// Where a garden lies.
#[derive(Debug, Clone)]
pub struct Place {
    latitude: f64,
    longitude: f64,
    /// Height above the sea, where known.
    pub elevation: Option<Metres>,
    /// The zone in which its keeper's clock runs.
    pub zone: Zone,
}

/// Which half of the year is summer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hemisphere {
    /// Summer about July.
    North,
    /// Summer about January.
    South,
}

/// A coordinate that is not on the earth.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum PlaceError {
    /// The latitude is outside -90..=90 degrees.
    #[error("latitude {0} is outside -90 to 90 degrees")]
    Latitude(f64),
    /// The longitude is outside -180..=180 degrees.
    #[error("longitude {0} is outside -180 to 180 degrees")]
    Longitude(f64),
}

impl Place {
    /// A place from degrees north and east.
    ///
    /// # Errors
    /// When a coordinate is not a number on the earth.
    pub fn new(
        latitude: f64,
        longitude: f64,
        elevation: Option<Metres>,
        zone: Zone,
    ) -> Result<Self, PlaceError> {
        if !(-90.0..=90.0).contains(&latitude) {
            return Err(PlaceError::Latitude(latitude));
        }
        if !(-180.0..=180.0).contains(&longitude) {
            return Err(PlaceError::Longitude(longitude));
        }
        Ok(Self {
            latitude,
            longitude,
            elevation,
            zone,
        })
    }

    /// Degrees north of the equator.
    pub fn latitude(&self) -> f64 {
        self.latitude
    }

    /// Degrees east of Greenwich.
    pub fn longitude(&self) -> f64 {
        self.longitude
    }

    /// Which half of the year is summer here; the equator counts as north.
    pub fn hemisphere(&self) -> Hemisphere {
        if self.latitude < 0.0 {
            Hemisphere::South
        } else {
            Hemisphere::North
        }
    }
}
