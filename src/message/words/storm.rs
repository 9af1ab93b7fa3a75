//! Words for broken wood and lost leaders.

use crate::locale::{Locale, say};
use crate::rules::{Leader, Repair, StormFacts};

pub(super) fn reason(facts: StormFacts, locale: Locale) -> String {
    let repair = facts.repair.map(|repair| match repair {
        Repair::Bare => say!(locale, "storm-repair-bare"),
        Repair::Painted => say!(locale, "storm-repair-painted"),
    });
    let leader = facts.leader.map(|leader| self::leader(leader, locale));
    let parts = repair.into_iter().chain(leader);
    parts.collect::<Vec<_>>().join("; ")
}

fn leader(leader: Leader, locale: Locale) -> String {
    match leader {
        Leader::Conifer => say!(locale, "leader-conifer"),
        Leader::Broadleaf => say!(locale, "leader-broadleaf"),
        Leader::Shrub => say!(locale, "leader-shrub"),
    }
}
