//! Sources of weather that differ, in words.

use crate::forecast::Odd;
use crate::rules::SourcesFacts;
use crate::units::UnitSystem;

/// What the sources say, and which of them rules.
pub(super) fn reason(facts: &SourcesFacts, units: UnitSystem) -> String {
    let differ = || {
        let rules = facts.rules.as_ref()?;
        let (go, not_go) = (listed(&facts.go)?, listed(&facts.not_go)?);
        Some(format!(
            "the forecasts differ: by {go} it would be go, by {not_go} it is not; {rules} is the most careful and rules"
        ))
    };
    let odd = facts.odd.iter().map(|odd| {
        let Odd {
            source,
            lowest,
            others,
        } = odd;
        let (lowest, others) = (units.temperature(*lowest), units.temperature(*others));
        format!("{source} is left out, since it has {lowest} for the next night where the others have {others}")
    });
    let said: Vec<String> = differ().into_iter().chain(odd).collect();
    said.join("; ")
}

fn listed(names: &[String]) -> Option<String> {
    let (last, first) = names.split_last()?;
    if first.is_empty() {
        return Some(last.clone());
    }
    Some(format!("{} and {last}", first.join(", ")))
}
