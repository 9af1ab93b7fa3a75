//! Words for what would change a finding.

use chrono::NaiveDate;

use super::{one_missing, range, spread};
use crate::locale::{Locale, say};
use crate::risk::WITHDRAWN_ABOVE;
use crate::rules::{Facts, Finding, FrostFacts, Stand};
use crate::units::Chance;

/// What would change what a finding says, as a sentence without its full stop.
pub fn change(finding: &Finding, today: NaiveDate, locale: Locale) -> String {
    if let Facts::FrostWhileTender(facts) = &finding.facts {
        return frost(facts, &finding.stand, today, locale);
    }
    match &finding.stand {
        Stand::Clear { until: Some(until) } => {
            say!(locale, "change-ends", day = locale.date(*until, today))
        }
        Stand::Clear { until: None } => say!(locale, "change-nothing-in-sight"),
        Stand::Hold { opens: Some(opens) } => {
            say!(locale, "change-over", opens = range(*opens, today, locale))
        }
        Stand::Hold { opens: None } => say!(locale, "change-better-day"),
        Stand::Shut { opens: Some(opens) } => {
            say!(
                locale,
                "change-season",
                opens = range(*opens, today, locale)
            )
        }
        Stand::Shut { opens: None } => say!(locale, "change-not-this-year"),
        Stand::Unknown { missing } => {
            let lacks = missing.iter().map(|what| one_missing(*what, locale));
            let lacks = lacks.collect::<Vec<_>>().join("; ");
            say!(locale, "change-to-know", missing = lacks)
        }
        Stand::Professional => say!(locale, "change-ask-an-arborist"),
    }
}

/// The chance has to fall to the limit, or to rise far above it.
fn frost(facts: &FrostFacts, stand: &Stand, today: NaiveDate, locale: Locale) -> String {
    if matches!(stand, Stand::Clear { .. }) {
        let withdrawn = Chance::of(WITHDRAWN_ABOVE * facts.tolerance.share()).in_hundred();
        return match facts.last_call.map(|day| locale.date(day, today)) {
            Some(day) => say!(
                locale,
                "change-withdrawn-or-last-call",
                ways = withdrawn,
                day = day
            ),
            None => say!(locale, "change-withdrawn", ways = withdrawn),
        };
    }
    let limit = facts.tolerance.in_hundred();
    let first_go = facts.first_go.as_ref();
    match first_go.map(|go| spread(go, today, locale)) {
        Some(when) => say!(locale, "change-looks-agree-by", ways = limit, when = when),
        None => say!(locale, "change-looks-agree", ways = limit),
    }
}
