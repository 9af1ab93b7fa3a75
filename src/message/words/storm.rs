//! Words for broken wood and lost leaders.

use crate::rules::{Leader, Repair, StormFacts};

pub(super) fn reason(facts: StormFacts) -> String {
    let mut parts = Vec::new();
    if let Some(repair) = facts.repair {
        parts.push(
            "broken wood may be cut clean on any day: back to the branch collar or a live side branch, no stub and no cut \
             flush with the trunk",
        );
        parts.push(match repair {
            Repair::Bare => "no paint or sealer, which holds fungus under it",
            Repair::Painted => {
                "no paint on other trees, but an oak's cuts are painted within minutes now, for the beetles of oak wilt"
            }
        });
        parts.push("do not top it, and wait a season before judging or shaping it");
        parts.push(
            "wood under tension, hung up, near lines or out of reach from the ground is a licensed arborist's, and local codes \
             go first",
        );
    }
    parts.extend(facts.leader.map(leader));
    parts.join("; ")
}

const fn leader(leader: Leader) -> &'static str {
    match leader {
        Leader::Conifer => {
            "it lost its leader: tie the best shoot of the top whorl upright to a cane and shorten its rivals, or let it go on \
             with a flat top"
        }
        Leader::Broadleaf => {
            "it lost its leader: choose one upright side branch to take over and shorten its rivals by degrees, or let it go on \
             without one as a wide crown; both live"
        }
        Leader::Shrub => "it lost its leading shoot and needs none: let it fill in from the side",
    }
}
