//! Words for how much may go in a year.

use chrono::{Datelike, NaiveDate};

use super::date;
use crate::rules::{PacingFacts, Stage};

pub(super) fn reason(facts: &PacingFacts, today: NaiveDate) -> String {
    let most = facts.share_max;
    match facts.stage {
        Stage::Third { .. } | Stage::ThirdDone { .. } => renewal(facts.stage, today),
        Stage::ThinAfter { on } => format!(
            "it was cut hard {}: thin the new shoots to the strongest, so that light and air reach the inside",
            date(on, today)
        ),
        Stage::Taken { share } => format!(
            "{share} of 100 parts of its growth are gone this season, and {most} may go: at most {} more",
            most.saturating_sub(share)
        ),
        Stage::Full { share } => format!(
            "{share} of 100 parts of its growth are gone this season, and no more than {most} may go"
        ),
    }
}

/// The part of a renewal that is due, or when the last was cut, in a word or two.
pub(super) fn part(stage: Stage) -> Option<String> {
    match stage {
        Stage::Third { year, of } => Some(format!("year {year} of {of}")),
        Stage::ThirdDone { on, .. } => Some(format!("done in {}", on.year())),
        Stage::ThinAfter { .. } | Stage::Taken { .. } | Stage::Full { .. } => None,
    }
}

/// How far a renewal by thirds has come; of other stages nothing.
pub(super) fn renewal(stage: Stage, today: NaiveDate) -> String {
    match stage {
        Stage::Third { year, of } if year == of => format!(
            "year {year} of {of}: take the last of the old stems to the ground or to a strong side shoot"
        ),
        Stage::Third { year, of } => format!(
            "year {year} of {of}: take a third of the oldest stems to the ground or to a strong side shoot, and leave the \
             rest for the next years"
        ),
        Stage::ThirdDone { year, of, on } if year == of => format!(
            "the last of {of} thirds was cut {}: let it rest, and only thin the new shoots",
            date(on, today)
        ),
        Stage::ThirdDone { year, of, on } => format!(
            "year {year} of {of} was cut {}: the next third is next year's",
            date(on, today)
        ),
        Stage::ThinAfter { .. } | Stage::Taken { .. } | Stage::Full { .. } => String::new(),
    }
}

pub(super) fn numbers(facts: &PacingFacts) -> Vec<(&'static str, String)> {
    let mut rows = vec![(
        "may go in a season",
        format!("{} of 100 parts of its live growth", facts.share_max),
    )];
    if facts.untold {
        rows.push((
            "not counted",
            "cuts of which nobody told how much they took".to_owned(),
        ));
    }
    rows
}
