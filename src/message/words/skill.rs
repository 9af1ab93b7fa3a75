//! How far forecasts have been verified, in words: the same on page and terminal.

use crate::locale::Locale;
use crate::outlook::{LeadEvidence, Learned, SourceSkill, WarmBias};
use crate::units::CelsiusStep;

/// The heads of the columns of [`skill_row`].
pub const SKILL_HEADS: [&str; 5] = [
    "days ahead",
    "nights",
    "correlation",
    "error SD",
    "too warm by",
];

/// What is said of a place for which no forecast was kept.
pub const NOTHING_KEPT: &str = "No forecast was kept yet: published figures are used.";

/// What a source's forecasts were held against and what is made of it, in one sentence.
pub fn skill(skill: &SourceSkill, locale: Locale) -> String {
    let learned = &skill.learned;
    let source = &skill.source;
    let bias = correction(learned.skill.bias, locale);
    let ignored = ignored(learned.ignored);
    let Some(since) = learned.since else {
        return format!(
            "No night of {source} verified yet{ignored}: published figures are used; {bias}."
        );
    };
    format!(
        "{} of {source} verified since {}, {}{ignored}; {bias}.",
        nights(learned.nights),
        since.format("%-d %B %Y"),
        held_against(learned)
    )
}

/// One lead as a row of a table: published figures stand before the arrow, those in use after it.
pub fn skill_row(lead: &LeadEvidence, locale: Locale) -> [String; 5] {
    let step = |step: Option<CelsiusStep>| {
        step.map_or_else(|| "-".to_owned(), |step| locale.fine_step(step))
    };
    [
        lead.lead.to_string(),
        lead.nights.to_string(),
        format!(
            "{:.2} -> {:.2}",
            lead.prior.correlation, lead.used.correlation
        ),
        step(lead.error_spread),
        step(lead.bias),
    ]
}

fn nights(n: usize) -> String {
    if n == 1 {
        "1 night".to_owned()
    } else {
        format!("{n} nights")
    }
}

fn held_against(learned: &Learned) -> String {
    let analysis = "the model's own analysis, which flatters it and counts half";
    match learned.by_record {
        0 => format!("held against {analysis}"),
        n if n == learned.nights => "held against the record".to_owned(),
        n => format!("{n} of them held against the record, the others against {analysis}"),
    }
}

fn ignored(n: usize) -> String {
    match n {
        0 => String::new(),
        1 => ", 1 left out as wrong beyond belief".to_owned(),
        n => format!(", {n} left out as wrong beyond belief"),
    }
}

/// What is taken off the forecast nights.
fn correction(bias: WarmBias, locale: Locale) -> String {
    let [cold, other] = [bias.cold, bias.other].map(|step| {
        let size = CelsiusStep::new(step.kelvin().abs());
        let side = if step.kelvin() < 0.0 {
            "warmer"
        } else {
            "colder"
        };
        format!("{} {side}", locale.fine_step(size))
    });
    if cold == other {
        format!("nights are taken {other} than forecast")
    } else {
        format!("nights are taken {other} than forecast, cold ones {cold}")
    }
}
