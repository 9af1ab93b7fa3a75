//! Words for work that is a licensed arborist's.

use chrono::NaiveDate;

use super::Row;
use crate::locale::{Locale, say};
use crate::rules::{Danger, ProfessionalFacts};
use crate::units::{Centimetres, Metres};

pub(super) fn reason(facts: &ProfessionalFacts, today: NaiveDate, locale: Locale) -> String {
    if facts.dangers.is_empty() {
        return limits(facts, locale);
    }
    let mut parts = vec![deferral(&facts.dangers, locale)];
    parts.extend(facts.check_due.map(|due| check(facts, due, today, locale)));
    parts.join("; ")
}

/// What is dangerous about a cut, and whose work it is for that.
pub(super) fn deferral(dangers: &[Danger], locale: Locale) -> String {
    let told = dangers.iter().map(|danger| self::danger(danger, locale));
    let told: Vec<String> = told.collect();
    let mut parts = vec![say!(locale, "deferral", dangers = told.join("; "))];
    let is_lines = |danger: &Danger| matches!(danger, Danger::Lines { .. });
    if dangers.iter().any(is_lines) {
        parts.push(say!(locale, "deferral-lines"));
    }
    parts.join("; ")
}

pub(super) fn numbers(facts: &ProfessionalFacts, today: NaiveDate, locale: Locale) -> Vec<Row> {
    let mut rows = vec![
        (
            say!(locale, "row-professional-above"),
            locale.length(Metres(6.096)),
        ),
        (
            say!(locale, "row-branches-from"),
            locale.thickness(Centimetres(10.16)),
        ),
        (
            say!(locale, "row-clear-of-lines"),
            locale.length(Metres(3.048)),
        ),
    ];
    rows.extend(
        facts
            .height
            .map(|height| (say!(locale, "row-height"), locale.length(height))),
    );
    rows.extend(
        facts
            .check_due
            .map(|due| (say!(locale, "row-check-due"), locale.date(due, today))),
    );
    rows
}

/// The limits, for a cut that is within them as far as is known.
fn limits(facts: &ProfessionalFacts, locale: Locale) -> String {
    let limits = say!(
        locale,
        "professional-limits",
        height = locale.length(Metres(6.096)),
        branch = locale.thickness(Centimetres(10.16)),
        lines = locale.length(Metres(3.048))
    );
    match facts.height {
        Some(_) => limits,
        None => format!("{limits}; {}", say!(locale, "professional-no-height")),
    }
}

fn danger(danger: &Danger, locale: Locale) -> String {
    match danger {
        Danger::Tall { height } => say!(locale, "danger-tall", height = locale.length(*height)),
        Danger::Thick { branch } => {
            say!(locale, "danger-thick", branch = locale.thickness(*branch))
        }
        Danger::Heavy { branch } => say!(locale, "danger-heavy", branch = locale.mass(*branch)),
        Danger::Lines { distance } => {
            say!(locale, "danger-lines", distance = locale.length(*distance))
        }
        Danger::Overhead => say!(locale, "danger-overhead"),
        Danger::SawOverhead => say!(locale, "danger-saw-overhead"),
        Danger::Dead => say!(locale, "danger-dead"),
        Danger::StandingDeadTrunk => say!(locale, "danger-standing-dead-trunk"),
        Danger::Leaning => say!(locale, "danger-leaning"),
        Danger::Cracked => say!(locale, "danger-cracked"),
        Danger::OverTarget => say!(locale, "danger-over-target"),
    }
}

/// The yearly look at a standing dead trunk.
fn check(facts: &ProfessionalFacts, due: NaiveDate, today: NaiveDate, locale: Locale) -> String {
    let last = facts.checked.map_or_else(
        || say!(locale, "check-none"),
        |on| say!(locale, "check-last", day = locale.date(on, today)),
    );
    let when = if due <= today {
        say!(locale, "check-due-now")
    } else {
        say!(locale, "check-due", day = locale.date(due, today))
    };
    say!(locale, "check-yearly", last = last, when = when)
}
