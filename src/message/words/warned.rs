//! Official warnings of frost and freeze in words.

use chrono::{NaiveDate, NaiveDateTime};

use super::{Row, weekday};
use crate::forecast::LocalWarning;
use crate::rules::WarnedFacts;

/// What there is to say of the warnings.
pub(super) fn sentence(facts: &WarnedFacts, today: NaiveDate) -> String {
    let told = facts.warnings.iter().map(|one| warning(one, today));
    let told: Vec<String> = told.collect();
    format!("{}: wait until it has passed", told.join("; "))
}

fn warning(one: &LocalWarning, today: NaiveDate) -> String {
    let from = hour(one.from, today);
    let until = hour(one.until, today);
    if one.sender.is_empty() {
        return format!("{}, {from} to {until}", one.event);
    }
    format!("{} by {}, {from} to {until}", one.event, one.sender)
}

fn hour(at: NaiveDateTime, today: NaiveDate) -> String {
    format!("{} {}", weekday(at.date(), today), at.format("%H:%M"))
}

/// The warnings in the words of who gave them.
pub(super) fn rows(facts: &WarnedFacts) -> Vec<Row> {
    let told = facts.warnings.iter().filter(|one| !one.headline.is_empty());
    told.map(|one| ("official warning", one.headline.clone()))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_warning_is_told_with_who_gave_it_and_its_hours() {
        let at = |text: &str| text.parse().unwrap();
        let facts = WarnedFacts {
            warnings: vec![LocalWarning {
                event: "Freeze Warning".to_owned(),
                sender: "NWS Anytown".to_owned(),
                headline: "Freeze Warning until 9 AM".to_owned(),
                from: at("2027-04-16T02:00:00"),
                until: at("2027-04-16T09:00:00"),
            }],
        };
        assert_eq!(
            sentence(&facts, "2027-04-15".parse().unwrap()),
            "Freeze Warning by NWS Anytown, Fri 16 April 02:00 to Fri 16 April 09:00: wait until it has passed"
        );
        assert_eq!(
            rows(&facts),
            [("official warning", "Freeze Warning until 9 AM".to_owned())]
        );
    }
}
