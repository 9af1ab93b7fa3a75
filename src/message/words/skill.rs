//! How far forecasts have been verified, in words: the same on page and terminal.

use crate::locale::{Locale, say};
use crate::outlook::{LeadEvidence, Learned, SourceSkill, WarmBias};
use crate::units::CelsiusStep;

/// The heads of the columns of [`skill_row`].
pub fn skill_heads(locale: Locale) -> [String; 5] {
    [
        say!(locale, "skill-days-ahead"),
        say!(locale, "skill-nights"),
        say!(locale, "skill-correlation"),
        say!(locale, "skill-error"),
        say!(locale, "skill-too-warm"),
    ]
}

/// What is said of a place for which no forecast was kept.
pub fn nothing_kept(locale: Locale) -> String {
    say!(locale, "skill-nothing-kept")
}

/// What a source's forecasts were held against and what is made of it, in one sentence.
pub fn skill(skill: &SourceSkill, locale: Locale) -> String {
    let learned = &skill.learned;
    let source = &skill.source;
    let bias = correction(learned.skill.bias, locale);
    let ignored = match learned.ignored {
        0 => String::new(),
        nights => say!(locale, "skill-ignored", nights = nights),
    };
    let Some(since) = learned.since else {
        return say!(
            locale,
            "skill-not-verified",
            source = source,
            ignored = ignored,
            bias = bias
        );
    };
    say!(
        locale,
        "skill-verified",
        nights = learned.nights,
        source = source,
        since = locale.full(since),
        held = held_against(learned, locale),
        ignored = ignored,
        bias = bias
    )
}

/// One lead as a row of a table: published figures stand before the arrow, those in use after it.
pub fn skill_row(lead: &LeadEvidence, locale: Locale) -> [String; 5] {
    let step = |step: Option<CelsiusStep>| {
        step.map_or_else(|| "-".to_owned(), |step| locale.fine_step(step))
    };
    let [prior, used] = [&lead.prior, &lead.used].map(|run| locale.number(run.correlation, 2));
    [
        lead.lead.to_string(),
        lead.nights.to_string(),
        format!("{prior} -> {used}"),
        step(lead.error_spread),
        step(lead.bias),
    ]
}

fn held_against(learned: &Learned, locale: Locale) -> String {
    match learned.by_record {
        0 => say!(locale, "held-against-analysis"),
        all if all == learned.nights => say!(locale, "held-against-record"),
        some => say!(locale, "held-against-both", nights = some),
    }
}

/// What is taken off the forecast nights.
fn correction(bias: WarmBias, locale: Locale) -> String {
    let [cold, other] = [bias.cold, bias.other].map(|step| {
        let size = locale.fine_step(CelsiusStep::new(step.kelvin().abs()));
        if step.kelvin() < 0.0 {
            say!(locale, "step-warmer", step = size)
        } else {
            say!(locale, "step-colder", step = size)
        }
    });
    if cold == other {
        say!(locale, "correction", step = other)
    } else {
        say!(locale, "correction-cold-apart", step = other, cold = cold)
    }
}
