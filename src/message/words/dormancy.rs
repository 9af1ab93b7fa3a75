//! Words for rest before a hard cut.

use chrono::NaiveDate;

use super::range;
use crate::locale::Locale;
use crate::rules::{DormancyFacts, Stand};

pub(super) fn reason(
    facts: &DormancyFacts,
    stand: &Stand,
    today: NaiveDate,
    locale: Locale,
) -> String {
    let rest = range(facts.rest, today, locale);
    match (stand, facts.evergreen) {
        (Stand::Clear { .. }, false) => {
            format!("the plant is at rest, the time for a hard cut: {rest}")
        }
        (Stand::Clear { .. }, true) => {
            format!("just before growth an evergreen bears a hard cut best: {rest}")
        }
        (_, false) => format!(
            "a hard cut waits until the leaves are down and it is really cold, and ends when the buds break: {rest}"
        ),
        (_, true) => format!(
            "an evergreen is cut hard in the last weeks before growth, so that no bare stub stands through the cold: {rest}"
        ),
    }
}
