//! What else the trade knows of a kind: heat sums, pace, what it bears, weather, disease, wildlife, sap.
//!
//! In: nothing. Out: plain types, named in the data files in kebab-case. Does not judge: the rules do.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Event;
use crate::units::{Celsius, DegreeDays};

/// A published heat sum at which an event comes.
///
/// | value | meaning | unit |
/// |---|---|---|
/// | `sum` | degree days from 1 January, in the south from 1 July | °C·d |
/// | `base` | temperature above which heat counts | °C |
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct HeatSum {
    /// The event.
    pub event: Event,
    /// The heat until then.
    pub sum: DegreeDays,
    /// The base.
    pub base: Celsius,
    /// How each day's heat is taken.
    pub method: HeatMethod,
    /// Where the sum comes from.
    pub source: String,
}

/// How the heat of a day is taken from its extremes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum HeatMethod {
    /// Mean of maximum and minimum less the base, and nothing when that is below zero (the Ohio list).
    MeanFloored,
}

/// How fast a kind grows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Pace {
    /// Less than about 12 in (30 cm) a year.
    Slow,
    /// About 12-24 in (30-60 cm) a year.
    Medium,
    /// More than about 24 in (60 cm) a year.
    Fast,
}

/// What a kind bears of a hard cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum HardCut {
    /// The whole plant in one go.
    Whole,
    /// A third a year for three years.
    Staged,
    /// Green leaves or needles have to stay below every cut.
    NotIntoBareWood,
    /// None at all.
    No,
    /// Its top dies back each year anyway.
    DiesBack,
}

/// Weather in which a kind is not cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum WeatherHold {
    /// Wet leaves.
    WetFoliage,
    /// Rain within 48 hours.
    #[serde(rename = "rain-48h")]
    Rain48h,
    /// Days of 90 °F (32 °C) or more.
    Heat,
    /// Bright sun on what the cut bares.
    BrightSun,
    /// Drought.
    Drought,
    /// Warm wet days with open flowers.
    FireBlightWeather,
    /// A cool wet spell while new leaves are soft.
    CoolWetFlush,
    /// Wood that is frozen.
    FrozenWood,
}

/// A disease or pest that a cut can bring or spread.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs, reason = "the names are the trade's own")]
pub enum Disease {
    BacterialBlight,
    BacterialCanker,
    BacterialGall,
    BarkBorer,
    Botrytis,
    BoxwoodBlight,
    Canker,
    CrownGall,
    DutchElmDisease,
    FireBlight,
    HostaVirus,
    IrisBorer,
    LeafBeetle,
    LeafSpot,
    LeafScorch,
    OakWilt,
    PetalBlight,
    PowderyMildew,
    RootRot,
    RoseRosette,
    SilverLeaf,
    TipBlight,
    Verticillium,
    WoollyAdelgid,
}

/// Who lives in a kind or feeds on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Wildlife {
    /// Birds nest in it.
    NestCover,
    /// Bees nest in its hollow or pithy stems.
    HollowStems,
    /// Birds eat its fruit.
    WinterBerries,
    /// Birds eat its seed.
    WinterSeed,
    /// It feeds the first bees.
    EarlyNectar,
    /// It feeds bees, butterflies or hummingbirds in summer.
    SummerNectar,
    /// It feeds bees before winter.
    LateNectar,
    /// Caterpillars of some butterflies live on it alone.
    HostPlant,
    /// Small animals winter in its standing top.
    WinterShelter,
}

/// What the sap of a kind does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Sap {
    /// It drips from cuts in late winter; unsightly, not harmful.
    Bleeds,
    /// It hurts skin or eyes.
    Irritant,
    /// The plant is poisonous when eaten.
    PoisonousEaten,
    /// Its smoke is poisonous.
    PoisonousSmoke,
}
