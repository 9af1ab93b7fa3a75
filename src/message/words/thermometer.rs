//! What the garden's own thermometer taught, in words: the same on page and terminal.

use crate::locale::Locale;
use crate::thermometer::{OwnOffset, OwnThermometer};
use crate::units::CelsiusStep;

/// The offset with its nights, and what was refused.
pub fn thermometer(own: &OwnThermometer, locale: Locale) -> String {
    let refused = if own.refused.total() == 0 {
        String::new()
    } else {
        format!(" Readings not believed: {}.", own.refused)
    };
    format!("{}{refused}", taught(own, locale))
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
        return format!(
            "Own thermometer ({spot}): no night to learn from yet; its nights are taken {guess} than the place's, as \
             the garden file says."
        );
    };
    let nights = if *nights == 1 {
        "1 night".to_owned()
    } else {
        format!("{nights} nights")
    };
    let ignored = match ignored {
        0 => String::new(),
        n => format!(", {n} more left out as wrong beyond belief"),
    };
    format!(
        "Own thermometer ({spot}): {nights} since {}, {clear_nights} of them clear and still{ignored}. Nights that \
         freeze are taken {} than the place's, give or take {} (clear and still ones {}, others {}; the garden file \
         says {guess}).",
        since.format("%-d %B %Y"),
        side(*offset, locale),
        locale.fine_step(*doubt),
        side(*clear_still, locale),
        side(*other, locale),
    )
}

fn side(step: CelsiusStep, locale: Locale) -> String {
    let size = CelsiusStep::new(step.kelvin().abs());
    let side = if step.kelvin() > 0.0 {
        "warmer"
    } else {
        "colder"
    };
    format!("{} {side}", locale.fine_step(size))
}
