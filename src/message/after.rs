//! After a cut: cover tonight, and what to do when frost was faster.

use chrono::{DateTime, Timelike, Utc};

use super::letter::{Mark, Part, Section};
use super::words::{self, watched};
use crate::garden::Garden;
use crate::notice::{Below, Cover, Shown};
use crate::risk::PastFrost;
use crate::watch::Watch;

/// How to cover (common practice, no source).
const HOW: &str = "Lay fleece, old sheets or sacking over the plant and down to the ground, on stakes where \
     it would press on soft shoots, and weigh the edges down. Plastic only where it touches no leaf. Take it off in \
     the morning as soon as it is above freezing.";

/// What to do after a frost.
const LEAVE: &str = "Leave it as it is. Browned growth shelters what is below, and a cut now starts new growth that the \
     next freeze takes. Judge it when the plant has leafed out or the last freeze is over, and cut then back to live \
     wood (Alabama Extension, 2014; UC Master Gardeners of Santa Clara County).";

/// The same of boxwood, of which a source speaks by name.
const LEAVE_BOXWOOD: &str = "Boxwood: when that time has come, shear just under the dead layer, and touch it up in early \
     summer (University of Illinois Extension, 2007).";

/// From this hour on it is dusk (estimate).
const DUSK: u32 = 18;

/// So many plants stand in the subject; the rest as a number.
const NAMED: usize = 2;

/// Plants to cover in a coming night.
pub(super) fn cover(cover: &Cover<'_>, garden: &Garden, now: DateTime<Utc>) -> Option<Section> {
    let (first, _, _) = cover.plants.first()?;
    let (today, locale) = (first.basis.today, garden.locale);
    let names = cover.plants.iter().map(|(watch, _, _)| *watch);
    let night = locale.weekday(cover.night, today);
    let plants = cover.plants.iter().map(|(watch, night, threat)| {
        let deed = watched::deed(watch, today, locale);
        let threat = watched::threat(night, *threat, locale);
        let lasts = watched::lasts(watch, today, locale);
        format!("{deed}: {threat}. {lasts}.")
    });
    let eve = cover.night.pred_opt().unwrap_or(cover.night);
    let (when, opening) = if eve == today {
        let by = if garden.place.zone.local(now).hour() < DUSK {
            "before dusk"
        } else {
            "now"
        };
        let opening =
            format!("Tonight, the night to {night}, can hurt what was cut lately. Cover it {by}.");
        ("Cover tonight", opening)
    } else {
        let eve = locale.weekday(eve, today);
        let opening = format!(
            "The night to {night} can hurt what was cut lately. Cover it before dusk on {eve}."
        );
        ("Cover", opening)
    };
    Some(Section {
        subject: format!("{when} (night to {night}): {}", named(names)),
        mark: Mark::Stop,
        opening,
        parts: vec![
            Part::List("Cover", plants.collect()),
            Part::Say(HOW.to_owned()),
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
        format!("{deed}: {}", watched::frost(frost, today, garden.locale))
    });
    let is_boxwood = |(watch, _): &(&Watch, &PastFrost)| watch.kind.contains("boxwood");
    let leave = if frosts.iter().any(is_boxwood) {
        format!("{LEAVE} {LEAVE_BOXWOOD}")
    } else {
        LEAVE.to_owned()
    };
    Some(Section {
        subject: format!(
            "Frost after the cut: {}: leave it, judge later",
            named(frosts.iter().map(|(watch, _)| *watch))
        ),
        mark: Mark::Stop,
        opening: "A night since the cut was cold enough to hurt what it left tender.".to_owned(),
        parts: vec![
            Part::List("What was seen", plants.collect()),
            Part::Say(leave),
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
        format!(
            "{}: {} at the plant; from {} down it hurts what the cut left tender.",
            watched::deed(below.watch, today, locale),
            locale.temperature(below.at_plant),
            locale.temperature(below.damage_at)
        )
    });
    let local = garden.place.zone.local(shown.reading.at);
    let opening = format!(
        "At {} your own thermometer showed {}. That already hurts what was cut lately; it may get colder until \
         sunrise. Cover it now if you can do so safely; what is covered late is still kept from the worst of it.",
        local.format("%H:%M"),
        locale.temperature(shown.reading.temperature)
    );
    Some(Section {
        subject: format!(
            "Already below: {}",
            named(below.iter().map(|below| below.watch))
        ),
        mark: Mark::Stop,
        opening,
        parts: vec![
            Part::List("Cold now", plants.collect()),
            Part::Say(HOW.to_owned()),
        ],
        small: small_print(first.watch, garden),
        picture: None,
        links: Vec::new(),
    })
}

/// The plantings in a few words.
fn named<'a>(watches: impl Iterator<Item = &'a Watch>) -> String {
    let mut names: Vec<&str> = watches.map(|watch| watch.deed.planting.as_str()).collect();
    names.dedup();
    let more = names.len().saturating_sub(NAMED);
    names.truncate(NAMED);
    let names = names.join(", ");
    if more == 0 {
        names
    } else {
        format!("{names} and {more} more")
    }
}

fn small_print(watch: &Watch, garden: &Garden) -> Vec<String> {
    let locale = garden.locale;
    let mut lines = vec![
        format!(
            "Tender time and damage: {}. How to cover: common practice, no source.",
            watch.source
        ),
        format!("Counted over {}.", words::basis(&watch.basis, locale)),
    ];
    lines.extend(words::credits(&watch.basis, garden.locale));
    lines
}
