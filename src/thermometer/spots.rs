//! Where the thermometer hangs, and what its offset makes of the spots of the garden.

use serde::{Deserialize, Serialize};

use super::{OwnOffset, Reading, Refused};
use crate::garden::{Garden, Spot};

/// Where a thermometer hangs.
#[derive(Debug, Clone, PartialEq)]
pub enum Hung {
    /// In the open garden: what it teaches holds for every spot.
    Garden(Spot),
    /// In one of its spots: what it teaches holds for that alone.
    Spot(Spot),
}

/// What the thermometer of a garden shows and taught.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OwnThermometer {
    /// The spot in which it hangs.
    pub spot: String,
    /// What its nights make of the guess.
    pub own: OwnOffset,
    /// Its last reading.
    pub last: Option<Reading>,
    /// The readings that were not believed.
    pub refused: Refused,
}

impl Hung {
    /// The spot as the keeper guessed it.
    pub const fn guess(&self) -> &Spot {
        match self {
            Self::Garden(spot) | Self::Spot(spot) => spot,
        }
    }

    /// A spot by what the thermometer there taught, or near by.
    ///
    /// A spot without a thermometer of its own keeps its distance to the open garden, and its doubt.
    fn taught(&self, spot: &Spot, own: &OwnOffset) -> Spot {
        if spot.name == self.guess().name {
            return Spot {
                offset: own.offset,
                doubt: own.doubt,
                ..spot.clone()
            };
        }
        match self {
            Self::Garden(_) => Spot {
                offset: spot.offset + own.moved(),
                ..spot.clone()
            },
            Self::Spot(_) => spot.clone(),
        }
    }

    /// The garden with its spots as the thermometer has taught.
    pub fn garden(&self, garden: &Garden, own: &OwnOffset) -> Garden {
        let mut taught = garden.clone();
        for cut in &mut taught.cuts {
            cut.spot = self.taught(&cut.spot, own);
        }
        taught
    }
}
