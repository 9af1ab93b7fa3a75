//! Words for how much may go in a year.

use chrono::{Datelike, NaiveDate};

use super::Row;
use crate::locale::{Locale, say};
use crate::rules::{PacingFacts, Stage};

pub(super) fn reason(facts: &PacingFacts, today: NaiveDate, locale: Locale) -> String {
    let most = facts.share_max;
    match facts.stage {
        Stage::Third { .. } | Stage::ThirdDone { .. } => renewal(facts.stage, today, locale),
        Stage::ThinAfter { on } => {
            say!(locale, "pacing-thin-after", day = locale.date(on, today))
        }
        Stage::Taken { share } => say!(
            locale,
            "pacing-taken",
            share = share,
            most = most,
            left = most.saturating_sub(share)
        ),
        Stage::Full { share } => say!(locale, "pacing-full", share = share, most = most),
    }
}

/// The part of a renewal that is due, or when the last was cut, in a word or two.
pub(super) fn part(stage: Stage, locale: Locale) -> Option<String> {
    match stage {
        Stage::Third { year, of } => Some(say!(locale, "renewal-part", year = year, of = of)),
        Stage::ThirdDone { on, .. } => Some(say!(locale, "renewal-done", year = on.year())),
        Stage::ThinAfter { .. } | Stage::Taken { .. } | Stage::Full { .. } => None,
    }
}

/// How far a renewal by thirds has come; of other stages nothing.
pub(super) fn renewal(stage: Stage, today: NaiveDate, locale: Locale) -> String {
    match stage {
        Stage::Third { year, of } if year == of => {
            say!(locale, "renewal-last", year = year, of = of)
        }
        Stage::Third { year, of } => say!(locale, "renewal-third", year = year, of = of),
        Stage::ThirdDone { year, of, on } if year == of => {
            say!(
                locale,
                "renewal-last-done",
                of = of,
                day = locale.date(on, today)
            )
        }
        Stage::ThirdDone { year, of, on } => say!(
            locale,
            "renewal-third-done",
            year = year,
            of = of,
            day = locale.date(on, today)
        ),
        Stage::ThinAfter { .. } | Stage::Taken { .. } | Stage::Full { .. } => String::new(),
    }
}

pub(super) fn numbers(facts: &PacingFacts, locale: Locale) -> Vec<Row> {
    let most = say!(locale, "share-of-growth", share = facts.share_max);
    let mut rows = vec![(say!(locale, "row-share-max"), most)];
    if facts.untold {
        let untold = say!(locale, "cuts-untold");
        rows.push((say!(locale, "row-not-counted"), untold));
    }
    rows
}
