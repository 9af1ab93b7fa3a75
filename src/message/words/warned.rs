//! Official warnings of frost and freeze in words.

use chrono::{NaiveDate, NaiveDateTime};

use super::Row;
use crate::forecast::LocalWarning;
use crate::locale::{Locale, say};
use crate::rules::WarnedFacts;

/// What there is to say of the warnings.
pub(super) fn sentence(facts: &WarnedFacts, today: NaiveDate, locale: Locale) -> String {
    let told = facts.warnings.iter().map(|one| warning(one, today, locale));
    let told: Vec<String> = told.collect();
    say!(locale, "warned", warnings = told.join("; "))
}

fn warning(one: &LocalWarning, today: NaiveDate, locale: Locale) -> String {
    let from = hour(one.from, today, locale);
    let until = hour(one.until, today, locale);
    if one.sender.is_empty() {
        return say!(
            locale,
            "warning",
            event = &one.event,
            from = from,
            until = until
        );
    }
    say!(
        locale,
        "warning-by",
        event = &one.event,
        sender = &one.sender,
        from = from,
        until = until
    )
}

fn hour(at: NaiveDateTime, today: NaiveDate, locale: Locale) -> String {
    format!("{} {}", locale.weekday(at.date(), today), locale.clock(at))
}

/// The warnings in the words of who gave them.
pub(super) fn rows(facts: &WarnedFacts, locale: Locale) -> Vec<Row> {
    let told = facts.warnings.iter().filter(|one| !one.headline.is_empty());
    told.map(|one| (say!(locale, "row-official-warning"), one.headline.clone()))
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
            sentence(&facts, "2027-04-15".parse().unwrap(), Locale::default()),
            "Freeze Warning by NWS Anytown, Fri 16 April 02:00 to Fri 16 April 09:00: wait until it has passed"
        );
        assert_eq!(
            rows(&facts, Locale::default()),
            [(
                "official warning".to_owned(),
                "Freeze Warning until 9 AM".to_owned()
            )]
        );
    }
}
