//! What is known of one planting beyond its kind: its size, what stands near, in what state it is.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use crate::units::{Centimetres, Kilograms, Metres};

/// One planting; what the keeper did not tell is none or not marked.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Planting {
    /// The planting in the keeper's own words.
    pub name: String,
    /// How tall it is.
    pub height: Option<Metres>,
    /// How far the nearest power line is from it.
    pub near_lines: Option<Metres>,
    /// How thick the thickest branch is that a cut takes off.
    pub thickest_branch: Option<Centimetres>,
    /// How heavy the heaviest branch is that a cut takes off.
    pub heaviest_branch: Option<Kilograms>,
    /// What else matters.
    pub marks: BTreeSet<Mark>,
}

/// Something that matters to whoever cuts a planting.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Mark {
    /// It is dead.
    Dead,
    /// A dead trunk is left standing.
    StandingDeadTrunk,
    /// It leans.
    Leaning,
    /// It is cracked.
    Cracked,
    /// People, buildings or cars are below it.
    OverTarget,
    /// A dead or hanging branch is overhead.
    BranchOverhead,
    /// The cut cannot be reached without a ladder.
    OffLadder,
    /// The cut wants a chain saw.
    ChainSaw,
    /// It has lost its leading shoot.
    LostLeader,
    /// It is overgrown.
    Overgrown,
    /// The owner accepts that it may die of a cut to the ground all at once.
    RiskAccepted,
    /// It is watered when it does not rain.
    Watered,
}

impl Planting {
    /// A planting of which nothing is known but its name.
    pub fn named(name: &str) -> Self {
        Self {
            name: name.to_owned(),
            ..Self::default()
        }
    }

    /// Whether the keeper has marked it so.
    pub fn is(&self, mark: Mark) -> bool {
        self.marks.contains(&mark)
    }
}

impl Mark {
    /// Every mark with its name in the garden file.
    pub const ALL: [(&'static str, Self); 12] = [
        ("dead", Self::Dead),
        ("standing-dead-trunk", Self::StandingDeadTrunk),
        ("leaning", Self::Leaning),
        ("cracked", Self::Cracked),
        ("over-target", Self::OverTarget),
        ("branch-overhead", Self::BranchOverhead),
        ("off-ladder", Self::OffLadder),
        ("chain-saw", Self::ChainSaw),
        ("lost-leader", Self::LostLeader),
        ("overgrown", Self::Overgrown),
        ("risk-accepted", Self::RiskAccepted),
        ("watered", Self::Watered),
    ];
}
