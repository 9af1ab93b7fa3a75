//! Words for rest before a hard cut.

use chrono::NaiveDate;

use super::range;
use crate::locale::{Locale, say};
use crate::rules::{DormancyFacts, Stand};

pub(super) fn reason(
    facts: &DormancyFacts,
    stand: &Stand,
    today: NaiveDate,
    locale: Locale,
) -> String {
    let rest = range(facts.rest, today, locale);
    match (stand, facts.evergreen) {
        (Stand::Clear { .. }, false) => say!(locale, "rest-now", rest = rest),
        (Stand::Clear { .. }, true) => say!(locale, "rest-now-evergreen", rest = rest),
        (_, false) => say!(locale, "rest-later", rest = rest),
        (_, true) => say!(locale, "rest-later-evergreen", rest = rest),
    }
}
