//! Words for what would change a finding.

use chrono::NaiveDate;

use super::{one_missing, range, spread};
use crate::locale::Locale;
use crate::risk::WITHDRAWN_ABOVE;
use crate::rules::{Facts, Finding, FrostFacts, Stand};
use crate::units::Chance;

/// What would change what a finding says, as a sentence without its full stop.
pub fn change(finding: &Finding, today: NaiveDate, locale: Locale) -> String {
    if let Facts::FrostWhileTender(facts) = &finding.facts {
        return frost(facts, &finding.stand, today, locale);
    }
    match &finding.stand {
        Stand::Clear { until: Some(until) } => format!("it ends on {}", locale.date(*until, today)),
        Stand::Clear { until: None } => "nothing in sight".to_owned(),
        Stand::Hold { opens: Some(opens) } => {
            format!("it is likely over {}", range(*opens, today, locale))
        }
        Stand::Hold { opens: None } => "a better day, of which none is known yet".to_owned(),
        Stand::Shut { opens: Some(opens) } => {
            format!("the next season, {}", range(*opens, today, locale))
        }
        Stand::Shut { opens: None } => "nothing this year".to_owned(),
        Stand::Unknown { missing } => {
            let lacks: Vec<String> = missing
                .iter()
                .map(|what| one_missing(*what, locale))
                .collect();
            format!("to know what is missing: {}", lacks.join("; "))
        }
        Stand::Professional => "nothing in the weather: ask a licensed arborist".to_owned(),
    }
}

/// The chance has to fall to the limit, or to rise far above it.
fn frost(facts: &FrostFacts, stand: &Stand, today: NaiveDate, locale: Locale) -> String {
    let limit = facts.tolerance.in_hundred();
    if matches!(stand, Stand::Clear { .. }) {
        let withdrawn = Chance::of(WITHDRAWN_ABOVE * facts.tolerance.share()).in_hundred();
        let end = facts
            .last_call
            .map(|day| format!(", and the last call on {}", locale.date(day, today)))
            .unwrap_or_default();
        return format!(
            "a chance above {withdrawn:.0} of 100, or a forecast frost within two days{end}"
        );
    }
    let when = facts
        .first_go
        .as_ref()
        .map(|go| format!(", likely {}", spread(go, today, locale)))
        .unwrap_or_default();
    format!("two looks at the weather that agree on {limit:.0} of 100 or fewer{when}")
}
