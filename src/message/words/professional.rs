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
    let told: Vec<String> = dangers
        .iter()
        .map(|danger| self::danger(danger, locale))
        .collect();
    let mut parts = vec![format!(
        "{}: this is a licensed arborist's work, and local codes go first",
        told.join("; ")
    )];
    let is_lines = |danger: &Danger| matches!(danger, Danger::Lines { .. });
    if dangers.iter().any(is_lines) {
        parts.push("call the utility before anybody goes near the lines".to_owned());
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
    let height = match facts.height {
        Some(_) => "",
        None => "; its height is not told in the garden file",
    };
    format!(
        "from the ground and without a saw overhead only: above {}, with branches over {}, or within {} of power lines it is \
         a licensed arborist's work, and local codes go first{height}",
        locale.length(Metres(6.096)),
        locale.thickness(Centimetres(10.16)),
        locale.length(Metres(3.048)),
    )
}

fn danger(danger: &Danger, locale: Locale) -> String {
    match danger {
        Danger::Tall { height } => format!("it is {} tall", locale.length(*height)),
        Danger::Thick { branch } => {
            format!("the cut takes a branch {} thick", locale.thickness(*branch))
        }
        Danger::Heavy { branch } => format!("the cut takes a branch of {}", locale.mass(*branch)),
        Danger::Lines { distance } => format!("power lines are {} away", locale.length(*distance)),
        Danger::Overhead => "a dead or hanging branch is overhead".to_owned(),
        Danger::SawOverhead => "it wants a saw overhead or on a ladder".to_owned(),
        Danger::Dead => "it is dead, and dead wood gives way without warning".to_owned(),
        Danger::StandingDeadTrunk => "a dead trunk stands".to_owned(),
        Danger::Leaning => "it leans".to_owned(),
        Danger::Cracked => "it is cracked".to_owned(),
        Danger::OverTarget => "people or buildings are below it".to_owned(),
    }
}

/// The yearly look at a standing dead trunk.
fn check(facts: &ProfessionalFacts, due: NaiveDate, today: NaiveDate, locale: Locale) -> String {
    let last = facts.checked.map_or_else(
        || "no check is on record".to_owned(),
        |on| format!("the last was {}", locale.date(on, today)),
    );
    let when = if due <= today {
        "one is due now".to_owned()
    } else {
        format!("the next is due {}", locale.date(due, today))
    };
    format!(
        "have a professional check once a year that it stands firm ({last}, {when}); nobody works or sits below it until then"
    )
}
