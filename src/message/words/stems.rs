//! Words for old stems and who lives in them.

use chrono::NaiveDate;

use super::Row;
use crate::garden::{StemBees, Stubble};
use crate::locale::{Locale, say};
use crate::rules::{Stand, StemsFacts};
use crate::units::{Celsius, UnitSystem};

pub(super) fn reason(facts: &StemsFacts, stand: &Stand, locale: Locale) -> String {
    let warm = locale.temperature(Celsius::new(10.0));
    let who = match (facts.hollow, facts.seed) {
        (true, true) => "bees nest in its stems and birds eat its seed",
        (true, false) => "bees nest in its stems",
        (false, true) => "birds eat its seed",
        (false, false) => "small animals winter in its stems",
    };
    let when = match facts.practice {
        StemBees::UntilGrowth => {
            "stems and leaves stay until the plants have started to grow".to_owned()
        }
        StemBees::FirstWinter => {
            "stems of the past season are empty in their first winter and may go then; stubs are never cut again before \
             their second summer"
                .to_owned()
        }
        StemBees::WarmDays5 | StemBees::WarmDays7 | StemBees::WarmDays10 => {
            let days = facts.practice.warm_days().unwrap_or_default();
            match stand {
                Stand::Clear { .. } => format!("the {days} days in a row of {warm} have come"),
                Stand::Hold { .. }
                | Stand::Shut { .. }
                | Stand::Unknown { .. }
                | Stand::Professional => {
                    format!("stems stay until {days} days in a row have reached {warm}")
                }
            }
        }
        StemBees::LeaveAll => "you chose to leave all stems standing".to_owned(),
    };
    let mut parts = vec![format!("{who}: {when}")];
    if facts.practice != StemBees::LeaveAll {
        let stubs = stubble(facts.stubble, locale);
        parts.extend(stubs.map(|height| format!("leave stubs of {height}")));
        parts.push("lay what is cut loosely in a corner".to_owned());
        parts.push("sources differ on time and height".to_owned());
    }
    parts.join("; ")
}

pub(super) fn numbers(facts: &StemsFacts, today: NaiveDate, locale: Locale) -> Vec<Row> {
    let mut rows: Vec<_> = stubble(facts.stubble, locale)
        .map(|height| (say!(locale, "row-stubble"), height))
        .into_iter()
        .collect();
    rows.extend(
        facts
            .warm_since
            .map(|day| (say!(locale, "row-warm-since"), locale.date(day, today))),
    );
    rows
}

fn stubble(stubble: Stubble, locale: Locale) -> Option<String> {
    let (us, metric) = match stubble {
        Stubble::Low => ("8 in", "20 cm"),
        Stubble::LowVaried => ("8 to 12 in", "20 to 30 cm"),
        Stubble::Varied => (
            "8 to 24 in at varied heights",
            "20 to 60 cm at varied heights",
        ),
        Stubble::Tall => ("12 to 18 in", "30 to 45 cm"),
        Stubble::TallEven => ("15 in", "40 cm"),
        Stubble::None => return None,
    };
    let height = match locale.units {
        UnitSystem::Us => us,
        UnitSystem::Metric => metric,
    };
    Some(height.to_owned())
}
