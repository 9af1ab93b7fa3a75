//! Words for work that is a licensed arborist's.

use chrono::NaiveDate;

use super::date;
use crate::rules::{Danger, ProfessionalFacts};
use crate::units::{Centimetres, Metres, UnitSystem};

pub(super) fn reason(facts: &ProfessionalFacts, today: NaiveDate, units: UnitSystem) -> String {
    if facts.dangers.is_empty() {
        return limits(facts, units);
    }
    let mut parts = vec![deferral(&facts.dangers, units)];
    parts.extend(facts.check_due.map(|due| check(facts, due, today)));
    parts.join("; ")
}

/// What is dangerous about a cut, and whose work it is for that.
pub(super) fn deferral(dangers: &[Danger], units: UnitSystem) -> String {
    let told: Vec<String> = dangers
        .iter()
        .map(|danger| self::danger(danger, units))
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

pub(super) fn numbers(
    facts: &ProfessionalFacts,
    today: NaiveDate,
    units: UnitSystem,
) -> Vec<(&'static str, String)> {
    let mut rows = vec![
        ("professional above", units.length(Metres(6.096))),
        ("branches from", units.thickness(Centimetres(10.16))),
        ("clear of lines by", units.length(Metres(3.048))),
    ];
    rows.extend(
        facts
            .height
            .map(|height| ("height told", units.length(height))),
    );
    rows.extend(facts.check_due.map(|due| ("check due", date(due, today))));
    rows
}

/// The limits, for a cut that is within them as far as is known.
fn limits(facts: &ProfessionalFacts, units: UnitSystem) -> String {
    let height = match facts.height {
        Some(_) => "",
        None => "; its height is not told in the garden file",
    };
    format!(
        "from the ground and without a saw overhead only: above {}, with branches over {}, or within {} of power lines it is \
         a licensed arborist's work, and local codes go first{height}",
        units.length(Metres(6.096)),
        units.thickness(Centimetres(10.16)),
        units.length(Metres(3.048)),
    )
}

fn danger(danger: &Danger, units: UnitSystem) -> String {
    match danger {
        Danger::Tall { height } => format!("it is {} tall", units.length(*height)),
        Danger::Thick { branch } => {
            format!("the cut takes a branch {} thick", units.thickness(*branch))
        }
        Danger::Heavy { branch } => format!("the cut takes a branch of {}", units.mass(*branch)),
        Danger::Lines { distance } => format!("power lines are {} away", units.length(*distance)),
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
fn check(facts: &ProfessionalFacts, due: NaiveDate, today: NaiveDate) -> String {
    let last = facts.checked.map_or_else(
        || "no check is on record".to_owned(),
        |on| format!("the last was {}", date(on, today)),
    );
    let when = if due <= today {
        "one is due now".to_owned()
    } else {
        format!("the next is due {}", date(due, today))
    };
    format!(
        "have a professional check once a year that it stands firm ({last}, {when}); nobody works or sits below it until then"
    )
}
