//! Words for what a kind asks of whoever cuts it: cautions, sap, hygiene, who lives in it; and for kinds left alone.

use super::{capital, sap};
use crate::almanac::{Kind, Sourced, Wildlife};
use crate::garden::Uncut;

/// What to know of a kind before cutting it, a paragraph each with its source.
pub fn about(kind: &Kind) -> Vec<String> {
    let source = |of: &str| {
        let note = kind.sources.iter().find(|note| note.of == of);
        note.map_or("common practice, no source", |note| note.source.as_str())
    };
    let mut told: Vec<String> = kind
        .cautions
        .iter()
        .map(|caution| format!("Mind: {} Source: {}.", caution.text, caution.source))
        .collect();
    let sap: Vec<&str> = kind.sap.iter().map(|sap| sap::caution(*sap)).collect();
    if !sap.is_empty() {
        told.push(format!(
            "Sap: {}. Source: {}.",
            sap.join("; "),
            source("sap")
        ));
    }
    let hygiene = kind.hygiene.as_ref();
    let hygiene = hygiene.filter(|said| !kind.cautions.iter().any(|one| tells(one, said)));
    told.extend(hygiene.map(|said| format!("Hygiene: {} Source: {}.", said.text, said.source)));
    let lives: Vec<&str> = kind
        .wildlife
        .iter()
        .filter_map(|one| wildlife(*one))
        .collect();
    if !lives.is_empty() {
        told.push(format!(
            "Wildlife: {}. Source: {}.",
            lives.join("; "),
            source("wildlife")
        ));
    }
    told
}

/// Whether one sentence has every longer word of another, so that the other adds nothing.
fn tells(one: &Sourced, other: &Sourced) -> bool {
    let longer = |word: &&str| word.chars().count() >= LONGER;
    let mut words = other.text.split(|sign: char| !sign.is_alphabetic());
    words.all(|word| !longer(&word) || one.text.to_lowercase().contains(&word.to_lowercase()))
}

/// Words of so many letters carry a sentence (estimate).
const LONGER: usize = 5;

/// Why a planting needs no cut, and who says so.
pub fn uncut(uncut: &Uncut) -> String {
    let kind = capital(&uncut.kind);
    format!("{kind}: {} Source: {}.", uncut.why.text, uncut.why.source)
}

/// Who lives in it; nests are the matter of a rule and of the caution at every cut.
const fn wildlife(one: Wildlife) -> Option<&'static str> {
    match one {
        Wildlife::NestCover => None,
        Wildlife::HollowStems => Some("bees nest in its stems"),
        Wildlife::WinterBerries => Some("birds eat its fruit in winter"),
        Wildlife::WinterSeed => Some("birds eat its seed in winter"),
        Wildlife::EarlyNectar => Some("its flowers feed the first bees"),
        Wildlife::SummerNectar => Some("its flowers feed bees and butterflies in summer"),
        Wildlife::LateNectar => Some("its flowers feed bees before winter"),
        Wildlife::HostPlant => Some("caterpillars of some butterflies live on it alone"),
        Wildlife::WinterShelter => Some("small animals winter in its standing top"),
    }
}
