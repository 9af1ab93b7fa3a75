//! Words for old stems and who lives in them.

use chrono::NaiveDate;

use super::Row;
use crate::garden::{StemBees, Stubble};
use crate::locale::{Locale, say};
use crate::rules::{Stand, StemsFacts};
use crate::units::{Celsius, UnitSystem};

pub(super) fn reason(facts: &StemsFacts, stand: &Stand, locale: Locale) -> String {
    let who = match (facts.hollow, facts.seed) {
        (true, true) => say!(locale, "stems-bees-and-birds"),
        (true, false) => say!(locale, "wildlife-hollow-stems"),
        (false, true) => say!(locale, "stems-birds"),
        (false, false) => say!(locale, "stems-small-animals"),
    };
    let mut parts = vec![format!("{who}: {}", when(facts, stand, locale))];
    if facts.practice != StemBees::LeaveAll {
        let stubs = stubble(facts.stubble, locale);
        parts.extend(stubs.map(|height| say!(locale, "stems-stubs", height = height)));
        parts.push(say!(locale, "stems-corner"));
        parts.push(say!(locale, "stems-differ"));
    }
    parts.join("; ")
}

/// Until when they stay, by the practice that the keeper chose.
fn when(facts: &StemsFacts, stand: &Stand, locale: Locale) -> String {
    match facts.practice {
        StemBees::UntilGrowth => say!(locale, "stems-until-growth"),
        StemBees::FirstWinter => say!(locale, "stems-first-winter"),
        StemBees::WarmDays5 | StemBees::WarmDays7 | StemBees::WarmDays10 => {
            let days = facts.practice.warm_days().unwrap_or_default();
            let warm = locale.temperature(Celsius::new(10.0));
            match stand {
                Stand::Clear { .. } => {
                    say!(locale, "stems-warm-days-came", days = days, warm = warm)
                }
                Stand::Hold { .. }
                | Stand::Shut { .. }
                | Stand::Unknown { .. }
                | Stand::Professional => {
                    say!(locale, "stems-warm-days", days = days, warm = warm)
                }
            }
        }
        StemBees::LeaveAll => say!(locale, "stems-leave-all"),
    }
}

pub(super) fn numbers(facts: &StemsFacts, today: NaiveDate, locale: Locale) -> Vec<Row> {
    let stubs = stubble(facts.stubble, locale);
    let stubs = stubs.map(|height| (say!(locale, "row-stubble"), height));
    let warm = facts.warm_since;
    let warm = warm.map(|day| (say!(locale, "row-warm-since"), locale.date(day, today)));
    stubs.into_iter().chain(warm).collect()
}

/// Heights as the sources give them, rounded in either unit.
fn stubble(stubble: Stubble, locale: Locale) -> Option<String> {
    let (us, metric) = match stubble {
        Stubble::Low => ([8, 8], [20, 20]),
        Stubble::LowVaried => ([8, 12], [20, 30]),
        Stubble::Varied => ([8, 24], [20, 60]),
        Stubble::Tall => ([12, 18], [30, 45]),
        Stubble::TallEven => ([15, 15], [40, 40]),
        Stubble::None => return None,
    };
    let ([low, high], unit) = match locale.units {
        UnitSystem::Us => (us, "in"),
        UnitSystem::Metric => (metric, "cm"),
    };
    Some(match stubble {
        Stubble::Varied => say!(
            locale,
            "stubble-varied",
            low = low,
            high = high,
            unit = unit
        ),
        _ if low == high => format!("{high} {unit}"),
        Stubble::Low | Stubble::LowVaried | Stubble::Tall | Stubble::TallEven | Stubble::None => {
            say!(locale, "stubble", low = low, high = high, unit = unit)
        }
    })
}
