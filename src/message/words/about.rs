//! Words for what a kind asks of whoever cuts it: cautions, sap, hygiene, who lives in it; and for kinds left alone.

use super::{capital, cited, kinds, sap};
use crate::almanac::{Kind, Sourced, Wildlife};
use crate::garden::Uncut;
use crate::locale::{Locale, say};

/// What to know of a kind before cutting it, a paragraph each with its source.
pub fn about(kind: &Kind, locale: Locale) -> Vec<String> {
    let source = |of: &str| {
        let note = kind.sources.iter().find(|note| note.of == of);
        note.map_or_else(
            || say!(locale, "about-no-source"),
            |note| cited(&note.source, locale),
        )
    };
    let cautions = kind.cautions.iter();
    let mut told: Vec<String> = cautions
        .map(|one| {
            let (text, source) = sentence(one, locale);
            say!(locale, "about-mind", text = text, source = source)
        })
        .collect();
    let sap: Vec<String> = kind
        .sap
        .iter()
        .map(|sap| sap::caution(*sap, locale))
        .collect();
    if !sap.is_empty() {
        let (text, source) = (sap.join("; "), source("sap"));
        told.push(say!(locale, "about-sap", text = text, source = source));
    }
    let hygiene = kind.hygiene.as_ref();
    let hygiene = hygiene.filter(|said| !kind.cautions.iter().any(|one| tells(one, said)));
    told.extend(hygiene.map(|said| {
        let (text, source) = sentence(said, locale);
        say!(locale, "about-hygiene", text = text, source = source)
    }));
    let lives: Vec<String> = kind
        .wildlife
        .iter()
        .filter_map(|one| wildlife(*one, locale))
        .collect();
    if !lives.is_empty() {
        let (text, source) = (lives.join("; "), source("wildlife"));
        told.push(say!(locale, "about-wildlife", text = text, source = source));
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
pub fn uncut(uncut: &Uncut, locale: Locale) -> String {
    let kind = capital(kinds::name(&uncut.of, locale));
    let (why, source) = sentence(&uncut.why, locale);
    say!(locale, "uncut", kind = kind, why = why, source = source)
}

/// A sentence of the almanac and its source.
fn sentence(one: &Sourced, locale: Locale) -> (&str, String) {
    (kinds::text(&one.text, locale), cited(&one.source, locale))
}

/// Who lives in it; nests are the matter of a rule and of the caution at every cut.
fn wildlife(one: Wildlife, locale: Locale) -> Option<String> {
    match one {
        Wildlife::NestCover => None,
        Wildlife::HollowStems => Some(say!(locale, "wildlife-hollow-stems")),
        Wildlife::WinterBerries => Some(say!(locale, "wildlife-winter-berries")),
        Wildlife::WinterSeed => Some(say!(locale, "wildlife-winter-seed")),
        Wildlife::EarlyNectar => Some(say!(locale, "wildlife-early-nectar")),
        Wildlife::SummerNectar => Some(say!(locale, "wildlife-summer-nectar")),
        Wildlife::LateNectar => Some(say!(locale, "wildlife-late-nectar")),
        Wildlife::HostPlant => Some(say!(locale, "wildlife-host-plant")),
        Wildlife::WinterShelter => Some(say!(locale, "wildlife-winter-shelter")),
    }
}
