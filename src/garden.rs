//! What the owner has, wants and did: the place, the spots in it, the planted kinds, the cuts that are planned, those
//! that were made, the events that were seen.
//!
//! In: settings that [`crate::config`] has checked. Out: a [`Garden`] that every later stage trusts.
//! Does not read files, does not know the weather.

mod answer;
mod choices;
mod deed;
mod letters;
mod place;
mod planting;
mod zone;

use std::sync::Arc;

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;

use crate::almanac::{Cut, CutKind, Kind, Sourced, Tender};
use crate::locale::Locale;
use crate::units::{CelsiusStep, Chance};

pub use answer::{Answer, LATER_DAYS};
pub use choices::{
    Birch, Bleeders, BoxwoodHardCut, Cherry, Choices, Named, NestRegion, Nests, OakRegion,
    OvergrownBloomers, StemBees, Stubble,
};
pub use deed::{Deed, Sighting};
pub use letters::{LetterDay, LetterTimes, Quiet};
pub use place::{Hemisphere, Place, PlaceError};
pub use planting::{Mark, Planting};
pub use zone::{Zone, ZoneError, zone_data_version};

/// One garden: its place and the cuts that its keeper wants to make.
#[derive(Debug, Clone)]
pub struct Garden {
    /// Short name in kebab-case, unique in the file; part of every address and message id.
    pub name: String,
    /// The name as people say it.
    pub title: String,
    /// Where it lies.
    pub place: Place,
    /// How its keeper reads: language, units, style of dates.
    pub locale: Locale,
    /// Where its mails go, to each address one of its own; none means that nothing is mailed.
    pub mail_to: Vec<String>,
    /// When they may go.
    pub letters: LetterTimes,
    /// A sentence that stands under every mail and page of this garden, such as "invented weather".
    pub remark: Option<String>,
    /// What its owner chooses where published practices differ.
    pub choices: Choices,
    /// The cuts that are wanted, in the order of the file.
    pub cuts: Vec<PlannedCut>,
    /// The plantings that need no cut, in the order of the file.
    pub uncut: Vec<Uncut>,
}

/// A planting that needs no cut.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Uncut {
    /// The planting in the keeper's own words.
    pub planting: String,
    /// The kind of plant, as people say it.
    pub kind: String,
    /// What the almanac knows of it.
    #[serde(skip)]
    pub of: Arc<Kind>,
    /// Why it is left alone.
    pub why: Sourced,
}

/// One cut that the keeper wants to make on one planting.
#[derive(Debug, Clone)]
pub struct PlannedCut {
    /// Name in kebab-case, unique in the garden: planting and cut.
    pub name: String,
    /// The planting in the keeper's own words.
    pub planting: String,
    /// What else is known of the planting.
    pub facts: Arc<Planting>,
    /// What the almanac knows of the kind.
    pub kind: Arc<Kind>,
    /// Which of the kind's cuts.
    pub cut: Arc<Cut>,
    /// Where in the garden it stands.
    pub spot: Spot,
    /// The day on which the keeper would like to cut; none means "as soon as it is safe".
    pub wished: Option<NaiveDate>,
    /// The chance of damage that the keeper accepts.
    pub tolerance: Chance,
}

impl PlannedCut {
    /// Which cut it is.
    pub fn cut_kind(&self) -> CutKind {
        self.cut.cut
    }

    /// What it leaves tender, and where; none where nothing is.
    pub fn tender(&self) -> Option<(&Tender, &Spot)> {
        Some((self.cut.tender.as_ref()?, &self.spot))
    }

    /// The short name of the planting, as names of cuts begin.
    pub fn short(&self) -> &str {
        let short = self.name.strip_suffix(self.cut_kind().name());
        short.map_or(&self.name, |short| short.trim_end_matches('-'))
    }

    /// The name of the yearly check of the planting, as a deed has it.
    pub fn check_name(&self) -> String {
        format!("{}-check", self.short())
    }
}

/// A spot in the garden, by how much colder or warmer its clear nights are than the place's.
#[derive(Debug, Clone, PartialEq)]
pub struct Spot {
    /// The keeper's name for it.
    pub name: String,
    /// Added to every night minimum; below zero in a frost pocket.
    pub offset: CelsiusStep,
    /// How far that offset may be wrong, as a standard deviation.
    pub doubt: CelsiusStep,
}
