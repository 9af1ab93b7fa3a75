//! After a cut: cover tonight, and what to do when frost was faster.

use chrono::{DateTime, Timelike, Utc};

use super::letter::{Mark, Part, Section};
use super::words::{self, watched};
use crate::garden::Garden;
use crate::locale::{Locale, say};
use crate::notice::{Below, Cover, Shown};
use crate::risk::PastFrost;
use crate::watch::Watch;

/// From this hour on it is dusk (estimate).
const DUSK: u32 = 18;

/// So many plants stand in the subject; the rest as a number.
const NAMED: usize = 2;

/// Plants to cover in a coming night.
pub(super) fn cover(cover: &Cover<'_>, garden: &Garden, now: DateTime<Utc>) -> Option<Section> {
    let (first, _, _) = cover.plants.first()?;
    let (today, locale) = (first.basis.today, garden.locale);
    let plants = cover.plants.iter().map(|(watch, night, threat)| {
        let deed = watched::deed(watch, today, locale);
        let threat = watched::threat(night, *threat, locale);
        let lasts = watched::lasts(watch, today, locale);
        format!("{deed}: {threat}. {lasts}.")
    });
    let names = named(cover.plants.iter().map(|(watch, _, _)| *watch), locale);
    let night = locale.weekday(cover.night, today);
    let eve = cover.night.pred_opt().unwrap_or(cover.night);
    let (subject, opening) = if eve == today {
        let opening = if garden.place.zone.local(now).hour() < DUSK {
            say!(locale, "cover-before-dusk", night = &night)
        } else {
            say!(locale, "cover-now", night = &night)
        };
        let subject = say!(
            locale,
            "subject-cover-tonight",
            night = &night,
            names = names
        );
        (subject, opening)
    } else {
        let eve = locale.weekday(eve, today);
        let opening = say!(locale, "cover-on", night = &night, eve = eve);
        let subject = say!(locale, "subject-cover", night = &night, names = names);
        (subject, opening)
    };
    Some(Section {
        subject,
        mark: Mark::Stop,
        opening,
        parts: vec![
            Part::List(say!(locale, "cover-heading"), plants.collect()),
            Part::Say(say!(locale, "how-to-cover")),
        ],
        small: small_print(first, garden),
        picture: None,
        links: Vec::new(),
    })
}

/// Plants that frost has caught after a cut.
pub(super) fn frosts(frosts: &[(&Watch, &PastFrost)], garden: &Garden) -> Option<Section> {
    let locale = garden.locale;
    let (first, _) = frosts.first()?;
    let today = first.basis.today;
    let plants = frosts.iter().map(|(watch, frost)| {
        let deed = watched::deed(watch, today, locale);
        format!("{deed}: {}", watched::frost(frost, today, locale))
    });
    let is_boxwood = |(watch, _): &(&Watch, &PastFrost)| watch.kind.contains("boxwood");
    let boxwood = frosts.iter().any(is_boxwood);
    let boxwood = boxwood.then(|| say!(locale, "leave-boxwood"));
    let leave = std::iter::once(say!(locale, "leave-it")).chain(boxwood);
    let names = named(frosts.iter().map(|(watch, _)| *watch), locale);
    Some(Section {
        subject: say!(locale, "subject-frost", names = names),
        mark: Mark::Stop,
        opening: say!(locale, "frost-opening"),
        parts: vec![
            Part::List(say!(locale, "frost-heading"), plants.collect()),
            Part::Say(leave.collect::<Vec<_>>().join(" ")),
        ],
        small: small_print(first, garden),
        picture: None,
        links: Vec::new(),
    })
}

/// Plants of which the garden's own thermometer shows now what damages them.
pub(super) fn below(below: &[Below<'_>], shown: &Shown<'_>) -> Option<Section> {
    let first = below.first()?;
    let (garden, today) = (shown.garden, first.watch.basis.today);
    let locale = garden.locale;
    let plants = below.iter().map(|below| {
        say!(
            locale,
            "cold-now",
            deed = watched::deed(below.watch, today, locale),
            degrees = locale.temperature(below.at_plant),
            mark = locale.temperature(below.damage_at)
        )
    });
    let names = named(below.iter().map(|below| below.watch), locale);
    Some(Section {
        subject: say!(locale, "subject-below", names = names),
        mark: Mark::Stop,
        opening: say!(
            locale,
            "below-opening",
            time = locale.clock(garden.place.zone.local(shown.reading.at)),
            degrees = locale.temperature(shown.reading.temperature)
        ),
        parts: vec![
            Part::List(say!(locale, "below-heading"), plants.collect()),
            Part::Say(say!(locale, "how-to-cover")),
        ],
        small: small_print(first.watch, garden),
        picture: None,
        links: Vec::new(),
    })
}

/// The plantings in a few words.
fn named<'a>(watches: impl Iterator<Item = &'a Watch>, locale: Locale) -> String {
    let mut names: Vec<&str> = watches.map(|watch| watch.deed.planting.as_str()).collect();
    names.dedup();
    let more = names.len().saturating_sub(NAMED);
    names.truncate(NAMED);
    let names = names.join(", ");
    if more == 0 {
        names
    } else {
        say!(locale, "names-and-more", names = names, more = more)
    }
}

fn small_print(watch: &Watch, garden: &Garden) -> Vec<String> {
    let locale = garden.locale;
    let mut lines = vec![
        say!(
            locale,
            "tender-source",
            source = words::cited(&watch.source, locale)
        ),
        words::counted_over(&watch.basis, locale),
    ];
    lines.extend(words::credits(&watch.basis, locale));
    lines
}
