//! The events of a year from which seasons are counted, and their day in the middle of zone 7.
//!
//! In: a kind with its dates. Out: the day of each event in zone 7 and how it moves with the zone.
//! Does not know this year's weather: what it says is the calendar that stands in where no better date is known.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Kind, MonthDay, ZoneDates};

/// A day counted from an event of the year.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Anchor {
    /// The event.
    pub event: Event,
    /// Days after it; below zero before it.
    pub days: i32,
}

/// An event in the year of a plant or a place.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Event {
    /// The buds open; of a perennial, the first growth from the ground; of a pine, the candles rise.
    BudBreak,
    /// The first flowers open.
    BloomBegin,
    /// The flowers fade.
    BloomEnd,
    /// The leaves are out in full.
    FullLeaf,
    /// The first flush of growth has hardened.
    FlushEnd,
    /// Next season's flower buds begin to form.
    BudSet,
    /// The leaves drop.
    LeafFall,
    /// The last night of spring at or below 32 °F (0 °C).
    LastFreeze,
    /// The first night of autumn at or below 32 °F (0 °C).
    FirstFreeze,
    /// The first five days in a row with a maximum of 50 °F (10 °C) or more (estimate: sources name five, seven
    /// and ten days).
    WarmSpell,
    /// The first killing frost, 28 °F (-2.2 °C) or colder: tops die.
    HardFrost,
    /// The middle of winter: 15 January in the north, 15 July in the south.
    MidWinter,
    /// The middle of summer: 1 July in the north, 1 January in the south.
    MidSummer,
}

/// The events of a place in the middle of zone 7: month, day, days later for each zone colder (estimate).
const PLACE: [(Event, MonthDay, i32); 6] = [
    (Event::LastFreeze, MonthDay { month: 4, day: 15 }, 12),
    (Event::FirstFreeze, MonthDay { month: 10, day: 31 }, -12),
    (Event::WarmSpell, MonthDay { month: 3, day: 10 }, 12),
    (Event::HardFrost, MonthDay { month: 11, day: 12 }, -12),
    (Event::MidWinter, MonthDay { month: 1, day: 15 }, 0),
    (Event::MidSummer, MonthDay { month: 7, day: 1 }, 0),
];

impl Kind {
    /// The day of an event in the middle of zone 7, and by how many days it is later for each zone colder.
    ///
    /// None when the kind has no such event.
    pub fn zone_7_day(&self, event: Event) -> Option<(MonthDay, i32)> {
        let first = |dates: ZoneDates| (dates.from, dates.days_per_zone);
        let last = |dates: ZoneDates| (dates.to, dates.days_per_zone);
        match event {
            Event::BudBreak => self.bud_break.map(first),
            Event::BloomBegin => self.bloom.map(first),
            Event::BloomEnd => self.bloom.map(last),
            Event::FullLeaf => self.full_leaf.map(first),
            Event::FlushEnd => self.flush_end.map(first),
            Event::BudSet => self.bud_set.map(first),
            Event::LeafFall => self.leaf_fall.map(first),
            Event::LastFreeze
            | Event::FirstFreeze
            | Event::WarmSpell
            | Event::HardFrost
            | Event::MidWinter
            | Event::MidSummer => {
                let found = PLACE.into_iter().find(|(one, _, _)| *one == event);
                found.map(|(_, day, days_per_zone)| (day, days_per_zone))
            }
        }
    }
}

impl Event {
    /// Every event.
    pub const ALL: [Self; 13] = [
        Self::BudBreak,
        Self::BloomBegin,
        Self::BloomEnd,
        Self::FullLeaf,
        Self::FlushEnd,
        Self::BudSet,
        Self::LeafFall,
        Self::LastFreeze,
        Self::FirstFreeze,
        Self::WarmSpell,
        Self::HardFrost,
        Self::MidWinter,
        Self::MidSummer,
    ];

    /// Name in kebab-case, as the data files give it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::BudBreak => "bud-break",
            Self::BloomBegin => "bloom-begin",
            Self::BloomEnd => "bloom-end",
            Self::FullLeaf => "full-leaf",
            Self::FlushEnd => "flush-end",
            Self::BudSet => "bud-set",
            Self::LeafFall => "leaf-fall",
            Self::LastFreeze => "last-freeze",
            Self::FirstFreeze => "first-freeze",
            Self::WarmSpell => "warm-spell",
            Self::HardFrost => "hard-frost",
            Self::MidWinter => "mid-winter",
            Self::MidSummer => "mid-summer",
        }
    }
}
