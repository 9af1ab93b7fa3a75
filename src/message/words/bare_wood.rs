//! Words for what a kind bears of a hard cut.

use crate::garden::{BoxwoodHardCut, OvergrownBloomers};
use crate::locale::{Locale, say};
use crate::rules::{BareWoodFacts, Bears};

pub(super) fn reason(facts: BareWoodFacts, locale: Locale) -> String {
    let bears = match facts.bears {
        Bears::WholeAccepted => say!(locale, "bears-whole-accepted"),
        Bears::WholeOrThirds => say!(locale, "bears-whole-or-thirds"),
        Bears::ThirdsOnly => say!(locale, "bears-thirds-only"),
        Bears::GreenOnly => say!(locale, "bears-green-only"),
        Bears::SingleStems => say!(locale, "bears-single-stems"),
    };
    let mut parts = vec![bears];
    parts.extend(facts.boxwood.map(|time| boxwood(time, locale)));
    parts.extend(facts.overgrown_bloomer.map(|time| bloomer(time, locale)));
    parts.join("; ")
}

fn boxwood(time: BoxwoodHardCut, locale: Locale) -> String {
    match time {
        BoxwoodHardCut::LateWinter => say!(locale, "boxwood-late-winter"),
        BoxwoodHardCut::AfterLastFreeze => say!(locale, "boxwood-after-last-freeze"),
        BoxwoodHardCut::LateSpring => say!(locale, "boxwood-late-spring"),
    }
}

fn bloomer(time: OvergrownBloomers, locale: Locale) -> String {
    match time {
        OvergrownBloomers::AfterBloom => say!(locale, "bloomer-after-bloom"),
        OvergrownBloomers::LateWinter => say!(locale, "bloomer-late-winter"),
    }
}
