//! What the trade knows of each kind of plant: habit, wood, bloom, and its cuts with their season and tender period.
//!
//! In: the data files under `config/almanac/`, embedded at build. Out: an [`Almanac`], checked row by row.
//! Does not know a place or the weather: its dates are those of hardiness zone 7 and are moved by
//! [`crate::rules`] to the garden's own.

mod books;
mod cuts;
mod dates;
mod error;
mod event;
mod facts;
mod german;
mod groups;
mod kinds;
mod load;
mod raw;
mod search;
mod season;
mod sources;
mod tender;

use std::sync::Arc;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::units::{Celsius, DegreeDays};

pub use dates::{HardyZones, MonthDay, ZoneDates, zone_shift_days};
pub use error::AlmanacError;
pub use event::{Anchor, Event};
pub use facts::{Disease, HardCut, HeatMethod, HeatSum, Pace, Sap, WeatherHold, Wildlife};
pub use german::{
    German, GermanNames, german, german_names, german_source, german_text, german_word,
};
pub use load::{DataFile, embedded};
pub use raw::RawKind;
pub use search::nearest;
pub use season::SEASON_DAYS_MAX;

/// All kinds of plants that the program knows.
#[derive(Debug, Clone)]
pub struct Almanac {
    /// The kinds in the order of the files.
    pub kinds: Vec<Arc<Kind>>,
    /// What the rows of a garden file may refer to.
    books: Arc<books::Books>,
}

/// One kind of plant.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Kind {
    /// Name in kebab-case, as the garden file gives it.
    pub id: String,
    /// Botanical name.
    pub botanical: String,
    /// Everyday name.
    pub common: String,
    /// Other everyday names that a search should find.
    pub also: Vec<String>,
    /// How it grows.
    pub habit: Habit,
    /// On which wood it flowers.
    pub wood: Wood,
    /// Where it winters outdoors.
    pub zones: HardyZones,
    /// From when to when it flowers in zone 7.
    pub bloom: Option<ZoneDates>,
    /// From when to when it sets the flower buds of the next season in zone 7.
    pub bud_set: Option<ZoneDates>,
    /// When its buds break in zone 7.
    pub bud_break: Option<ZoneDates>,
    /// When its leaves are out in full in zone 7.
    pub full_leaf: Option<ZoneDates>,
    /// When the first flush of growth has hardened in zone 7.
    pub flush_end: Option<ZoneDates>,
    /// When it drops its leaves in zone 7.
    pub leaf_fall: Option<ZoneDates>,
    /// Published heat sums of its events.
    pub heat: Vec<HeatSum>,
    /// How fast it grows.
    pub pace: Pace,
    /// What it bears of a hard cut.
    pub hard_cut: HardCut,
    /// Percent of its live growth that may go in one season outside of a planned hard cut, 1 to 100.
    pub share_max: u8,
    /// Weather in which it is not cut.
    pub holds: Vec<WeatherHold>,
    /// Diseases and pests that a cut can bring or spread.
    pub diseases: Vec<Disease>,
    /// Who lives in it or feeds on it.
    pub wildlife: Vec<Wildlife>,
    /// What its sap does.
    pub sap: Vec<Sap>,
    /// How blades and clippings are kept clean.
    pub hygiene: Option<Sourced>,
    /// Why it is left alone, for kinds that need no cut.
    pub needs_no_cut: Option<Sourced>,
    /// Cautions for whoever cuts it: thorns, sap, disease, nests.
    pub cautions: Vec<Sourced>,
    /// The cuts that it takes.
    pub cuts: Vec<Arc<Cut>>,
    /// Where each group of values comes from.
    pub sources: Vec<SourceNote>,
}

/// How a kind grows, as far as its cutting is concerned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Habit {
    /// Evergreen with small leaves that hide a shear's cut.
    SmallLeavedEvergreen,
    /// Evergreen whose large leaves show every cut.
    LargeLeavedEvergreen,
    /// Shrub that drops its leaves.
    DeciduousShrub,
    /// Tree.
    Tree,
    /// Needled or scaled evergreen.
    Conifer,
    /// Perennial that dies back.
    Perennial,
    /// Ornamental grass.
    Grass,
    /// Climber.
    Climber,
}

/// On which wood a kind flowers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Wood {
    /// On last season's wood.
    Old,
    /// On this season's shoots.
    New,
    /// On both.
    Both,
    /// Flowers do not matter to its cutting.
    Indifferent,
}

/// A kind of cut, in the words of the trade.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum CutKind {
    /// Clipping the outside to a shape.
    Shear,
    /// Taking single shoots back to where they start.
    ThinningCut,
    /// Cutting old stems hard, all or a share of them.
    Renewal,
    /// Taking off spent flowers.
    Deadhead,
    /// Cutting the whole top down.
    CutBack,
    /// Taking off the lowest limbs to lift the crown.
    LimbUp,
    /// Nipping soft tips, so that side shoots come.
    Pinch,
    /// Cutting broken wood clean, back to a collar or a live side branch.
    StormRepair,
}

/// One cut of one kind.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cut {
    /// Which cut.
    pub cut: CutKind,
    /// When in the year the plant bears it, frost aside.
    pub season: Season,
    /// Why it is not made outside the season, in words for the keeper.
    pub outside: Option<String>,
    /// How tender it leaves the plant; none means that frost is no reason to wait.
    pub tender: Option<Tender>,
    /// How it is done, in a sentence or two.
    pub how: String,
    /// Where the season comes from.
    pub source: String,
}

/// When in the year a kind bears a cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Season {
    /// At any time.
    AnyTime,
    /// From one event to another, both days included.
    Between(Anchor, Anchor),
}

/// How long a cut leaves a plant tender, and how cold is too cold in each part of that time.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Tender {
    /// Name of the tender class.
    pub class: String,
    /// Why it is tender so long and at that temperature, in a sentence.
    pub why: String,
    /// The cut edges.
    pub edges: Option<Edges>,
    /// The growth that the cut forces.
    pub growth: Option<Growth>,
    /// What a cut before winter takes of the wood's hardiness.
    pub unhardened: Option<Unhardened>,
    /// Where the figures come from.
    pub source: String,
}

/// The time in which the cut edges themselves can be hurt.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Edges {
    /// Nights after the cut.
    pub days: u32,
    /// A night this cold or colder does damage.
    pub damage_at: Celsius,
}

/// Wood that a cut before winter keeps from hardening fully; days are counted from the coldest day of the year.
///
/// | value | meaning | unit |
/// |---|---|---|
/// | `cut_from`, `cut_to` | first and last day before mid-winter on which a cut does that | d |
/// | `until` | days after mid-winter until the wood is as hardy as any | d |
/// | `damage_at` | a night this cold or colder does damage | °C |
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Unhardened {
    /// First cutting day, in days before mid-winter.
    pub cut_from: u32,
    /// Last cutting day, in days before mid-winter.
    pub cut_to: u32,
    /// Last tender night, in days after mid-winter.
    pub until: u32,
    /// A night this cold or colder does damage.
    pub damage_at: Celsius,
}

/// The time from the start of the forced growth until it is firm; heat is counted above
/// [`crate::science::degree_days::GROWTH_BASE`].
///
/// | value | meaning | unit |
/// |---|---|---|
/// | `starts_after` | heat sum since the cut at which growth shows | °C·d |
/// | `firm_after` | further heat sum at which it is firm | °C·d |
/// | `days_min`, `days_max` | limits on the days from start to firm | d |
/// | `damage_at` | a night this cold or colder does damage | °C |
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Growth {
    /// Heat since the cut at which growth shows.
    pub starts_after: DegreeDays,
    /// Further heat at which it is firm.
    pub firm_after: DegreeDays,
    /// Fewest days from start to firm.
    pub days_min: u32,
    /// Most days from start to firm.
    pub days_max: u32,
    /// A night this cold or colder does damage.
    pub damage_at: Celsius,
}

/// A sentence with its source.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Sourced {
    /// The sentence.
    pub text: String,
    /// Where it comes from, or "common practice, no source", or "estimate".
    pub source: String,
}

/// Where a group of values comes from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SourceNote {
    /// Which values.
    pub of: String,
    /// Where they come from, or "common practice, no source", or "estimate".
    pub source: String,
}

impl Almanac {
    /// The kind of that name.
    pub fn kind(&self, id: &str) -> Option<&Arc<Kind>> {
        self.kinds.iter().find(|kind| kind.id == id)
    }
}

impl Kind {
    /// The cut of that kind, if the plant takes it.
    pub fn cut(&self, cut: CutKind) -> Option<&Arc<Cut>> {
        self.cuts.iter().find(|one| one.cut == cut)
    }
}

impl Habit {
    /// Every habit, in the order in which lists show them.
    pub const ALL: [Self; 8] = [
        Self::SmallLeavedEvergreen,
        Self::LargeLeavedEvergreen,
        Self::Conifer,
        Self::DeciduousShrub,
        Self::Climber,
        Self::Tree,
        Self::Perennial,
        Self::Grass,
    ];
}

impl CutKind {
    /// Every cut, in the order in which lists show them.
    pub const ALL: [Self; 8] = [
        Self::Shear,
        Self::ThinningCut,
        Self::Renewal,
        Self::Deadhead,
        Self::CutBack,
        Self::LimbUp,
        Self::Pinch,
        Self::StormRepair,
    ];

    /// Name in kebab-case, as the garden file gives it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Shear => "shear",
            Self::ThinningCut => "thinning-cut",
            Self::Renewal => "renewal",
            Self::Deadhead => "deadhead",
            Self::CutBack => "cut-back",
            Self::LimbUp => "limb-up",
            Self::Pinch => "pinch",
            Self::StormRepair => "storm-repair",
        }
    }
}
