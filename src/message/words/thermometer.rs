//! What the garden's own thermometer taught, in words: the same on page and terminal.

use crate::locale::{Locale, say};
use crate::thermometer::{OwnOffset, OwnThermometer, Refusal, Refused};
use crate::units::CelsiusStep;

/// The offset with its nights, and what was refused.
pub fn thermometer(own: &OwnThermometer, locale: Locale) -> String {
    let taught = taught(own, locale);
    if own.refused.total() == 0 {
        return taught;
    }
    let refused = say!(
        locale,
        "thermometer-refused",
        refused = refused(&own.refused, locale)
    );
    format!("{taught} {refused}")
}

/// Each reason for which readings were refused, with how often.
fn refused(refused: &Refused, locale: Locale) -> String {
    let word = |why| match why {
        Refusal::Unreadable => say!(locale, "refusal-unreadable"),
        Refusal::UnclearTime => say!(locale, "refusal-unclear-time"),
        Refusal::OutOfRange => say!(locale, "refusal-out-of-range"),
        Refusal::Future => say!(locale, "refusal-future"),
        Refusal::Duplicate => say!(locale, "refusal-duplicate"),
        Refusal::Spike => say!(locale, "refusal-spike"),
        Refusal::Stuck => say!(locale, "refusal-stuck"),
    };
    let each = refused
        .each()
        .map(|(why, times)| format!("{times} {}", word(why)));
    each.collect::<Vec<_>>().join(", ")
}

fn taught(thermometer: &OwnThermometer, locale: Locale) -> String {
    let OwnOffset {
        guess,
        clear_still,
        other,
        offset,
        doubt,
        nights,
        clear_nights,
        ignored,
        since,
    } = &thermometer.own;
    let (spot, guess) = (&thermometer.spot, side(*guess, locale));
    let Some(since) = since else {
        return say!(locale, "thermometer-no-night", spot = spot, guess = guess);
    };
    let ignored = match ignored {
        0 => String::new(),
        more => say!(locale, "thermometer-ignored", nights = more),
    };
    say!(
        locale,
        "thermometer-taught",
        spot = spot,
        nights = nights,
        since = locale.full(*since),
        clear = clear_nights,
        ignored = ignored,
        offset = side(*offset, locale),
        doubt = locale.fine_step(*doubt),
        still = side(*clear_still, locale),
        others = side(*other, locale),
        guess = guess
    )
}

fn side(step: CelsiusStep, locale: Locale) -> String {
    let size = locale.fine_step(CelsiusStep::new(step.kelvin().abs()));
    if step.kelvin() > 0.0 {
        say!(locale, "step-warmer", step = size)
    } else {
        say!(locale, "step-colder", step = size)
    }
}
