//! Sources of weather that differ, in words.

use chrono::{DateTime, Utc};

use super::basis::hours;
use super::capital;
use crate::forecast::{Odd, SourceState};
use crate::rules::SourcesFacts;
use crate::units::UnitSystem;

/// What the sources say, and which of them rules.
pub(super) fn reason(facts: &SourcesFacts, units: UnitSystem) -> String {
    let differ = || {
        let rules = facts.rules.as_ref()?;
        let rules = source_name(rules);
        let names = |names: &[String]| {
            let names: Vec<String> = names.iter().map(|name| source_name(name)).collect();
            listed(&names)
        };
        let (go, not_go) = (names(&facts.go)?, names(&facts.not_go)?);
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
        let source = source_name(source);
        let (lowest, others) = (units.temperature(*lowest), units.temperature(*others));
        format!("{source} is left out, since it has {lowest} for the next night where the others have {others}")
    });
    let said: Vec<String> = differ().into_iter().chain(odd).collect();
    said.join("; ")
}

/// A source as people call it.
pub fn source_name(source: &str) -> String {
    match source {
        "open-meteo" => "Open-Meteo".to_owned(),
        "met-norway" => "MET Norway".to_owned(),
        "nws" => "the US National Weather Service".to_owned(),
        other => other.replacen("files: ", "the file ", 1),
    }
}

/// What is known of a source as it stood at a moment, which `when` writes as a clock at the garden shows it.
pub fn source_state(
    state: &SourceState,
    at: DateTime<Utc>,
    when: impl Fn(DateTime<Utc>) -> String,
) -> String {
    let name = capital(&source_name(&state.source));
    let old = |instant: DateTime<Utc>| hours((at - instant).num_hours().max(0));
    let heard = state.heard.as_ref().map_or_else(
        || format!("{name}: no forecast yet"),
        |heard| {
            format!(
                "{name}: fetched {} before, its data {} old; fresh for {}",
                old(heard.fetched_at),
                old(heard.data_at),
                hours(state.fresh_for_hours)
            )
        },
    );
    let silent = state.silent_since.map_or_else(String::new, |since| {
        format!("; silent since {}", when(since))
    });
    let odd = if state.is_odd {
        "; out of step with the others and left out"
    } else {
        ""
    };
    let credit = state
        .heard
        .as_ref()
        .map_or_else(String::new, |heard| format!(". {}", heard.attribution));
    format!("{heard}{silent}{odd}{credit}")
}

/// Names in a row, the last one after "and"; none where there is none.
pub fn listed(names: &[String]) -> Option<String> {
    let (last, first) = names.split_last()?;
    if first.is_empty() {
        return Some(last.clone());
    }
    Some(format!("{} and {last}", first.join(", ")))
}
