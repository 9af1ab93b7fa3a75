//! What the weather lets foresee at one place on one day: futures, sums over them, seasons. It is worked out when somebody
//! first asks for it, and once for all gardens under the same sky.
//!
//! In: what an outlook and the events are made of. Out: a [`Foresight`], from a [`Shelf`] where gardens share one. Does not
//! know cuts, and judges nothing.

mod shelf;

use std::sync::OnceLock;

use crate::almanac::Kind;
use crate::events::{Ground, HeatYear, Seasons};
use crate::outlook::{Inputs, NightFan, Outlook};
use crate::risk::Sums;
use crate::units::Chance;

pub use shelf::{Asked, Shared, Shelf};

/// So many of the coming nights are told of: as far as any forecast reaches, and a week of what follows.
const NIGHTS: usize = 21;

/// All that is foreseen from the same past years and the same forecast. Whoever asks brings what it is made of, which has
/// to be the same each time.
#[derive(Debug, Default)]
pub struct Foresight {
    outlook: OnceLock<Outlook>,
    sums: Sums,
    seasons: OnceLock<Seasons>,
    heat: OnceLock<Option<HeatYear>>,
    nights: OnceLock<Vec<NightFan>>,
    freezing: OnceLock<Vec<Chance>>,
}

impl Foresight {
    /// The futures.
    pub fn outlook(&self, inputs: &Inputs<'_>) -> &Outlook {
        self.outlook_by(|| Outlook::of(inputs))
    }

    /// The futures, made in another way.
    pub fn outlook_by(&self, make: impl FnOnce() -> Outlook) -> &Outlook {
        self.outlook.get_or_init(make)
    }

    /// The sums over the futures.
    pub const fn sums(&self) -> &Sums {
        &self.sums
    }

    /// The seasons, with what some kinds need of them.
    pub fn seasons(&self, ground: &Ground<'_>, kinds: &[&Kind]) -> &Seasons {
        let seasons = self.seasons.get_or_init(|| Seasons::of(ground, kinds));
        seasons.prepare(ground, kinds);
        seasons
    }

    /// The heat of the season at hand.
    pub fn heat(&self, ground: &Ground<'_>) -> Option<&HeatYear> {
        self.heat.get_or_init(|| HeatYear::of(ground)).as_ref()
    }

    /// The coming nights.
    pub fn nights(&self, outlook: &Outlook) -> &[NightFan] {
        self.nights.get_or_init(|| outlook.fan(NIGHTS))
    }

    /// How often the nights to come freeze.
    pub fn freezing(&self, outlook: &Outlook) -> &[Chance] {
        self.freezing.get_or_init(|| outlook.freezing())
    }
}
