//! Words for birds on their nests.

use chrono::NaiveDate;

use crate::garden::NestRegion;
use crate::locale::{Locale, say};
use crate::rules::NestingFacts;

pub(super) fn reason(facts: &NestingFacts, today: NaiveDate, locale: Locale) -> String {
    let end = locale.date(facts.season.to, today);
    if !facts.holds {
        return say!(locale, "nests-search-first", end = end);
    }
    match facts.region {
        NestRegion::Germany => say!(locale, "nests-by-law", end = end),
        NestRegion::UnitedKingdom
        | NestRegion::UnitedStates
        | NestRegion::SouthernCalifornia
        | NestRegion::OtherNorth
        | NestRegion::South => say!(locale, "nests-by-choice", end = end),
    }
}
