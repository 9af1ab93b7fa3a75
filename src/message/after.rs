//! The letters after a cut: cover tonight, and what to do when frost was faster.

use chrono::{DateTime, NaiveDate, Timelike, Utc};

use super::Message;
use super::letter::{Letter, Part};
use super::words::{self, watched};
use crate::garden::Garden;
use crate::notice::{Alarm, Below, Cover, Shown};
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

impl Message {
    /// The mail that asks to cover plants in a coming night; none when the garden has no address.
    pub fn cover(cover: &Cover<'_>, garden: &Garden, now: DateTime<Utc>) -> Option<Self> {
        let (first, _, _) = cover.plants.first()?;
        let today = first.basis.today;
        let units = garden.units;
        let names = cover.plants.iter().map(|(watch, _, _)| *watch);
        let night = words::weekday(cover.night, today);
        let plants = cover.plants.iter().map(|(watch, night, threat)| {
            let deed = watched::deed(watch, today);
            let threat = watched::threat(night, *threat, units);
            let lasts = watched::lasts(watch, today);
            format!("{deed}: {threat}. {lasts}.")
        });
        let eve = cover.night.pred_opt().unwrap_or(cover.night);
        let opening = if eve == today {
            let by = if garden.place.zone.local(now).hour() < DUSK {
                "before dusk"
            } else {
                "now"
            };
            format!("tonight, the night to {night}, can hurt what was cut lately. Cover it {by}.")
        } else {
            format!(
                "the night to {night} can hurt what was cut lately. Cover it before dusk on {}.",
                words::weekday(eve, today)
            )
        };
        let when = if eve == today {
            "Cover tonight"
        } else {
            "Cover"
        };
        let letter = Letter {
            subject: format!("{when} (night to {night}): {}", named(names)),
            parts: vec![
                Part::Say(words::capital(&opening)),
                Part::List("Cover", plants.collect()),
                Part::Say(HOW.to_owned()),
                Part::Small(small_print(first, garden, now)),
            ],
        };
        let key = (first.deed.cut.as_str(), Alarm::CoverTonight, cover.night);
        Self::after(&letter, garden, &key)
    }

    /// The mail that tells that frost has caught plants after a cut; none when the garden has no address.
    pub fn frost_seen(
        frosts: &[(&Watch, &PastFrost)],
        garden: &Garden,
        now: DateTime<Utc>,
    ) -> Option<Self> {
        let (first, frost) = frosts.first()?;
        let today = first.basis.today;
        let plants = frosts.iter().map(|(watch, frost)| {
            let deed = watched::deed(watch, today);
            format!("{deed}: {}", watched::frost(frost, today, garden.units))
        });
        let is_boxwood = frosts
            .iter()
            .any(|(watch, _)| watch.kind.contains("boxwood"));
        let leave = if is_boxwood {
            format!("{LEAVE} {LEAVE_BOXWOOD}")
        } else {
            LEAVE.to_owned()
        };
        let letter = Letter {
            subject: format!(
                "Frost after the cut: {}: leave it, judge later",
                named(frosts.iter().map(|(watch, _)| *watch))
            ),
            parts: vec![
                Part::Say(
                    "A night since the cut was cold enough to hurt what it left tender.".to_owned(),
                ),
                Part::List("What was seen", plants.collect()),
                Part::Say(leave),
                Part::Small(small_print(first, garden, now)),
            ],
        };
        let key = (first.deed.cut.as_str(), Alarm::FrostSeen, frost.date);
        Self::after(&letter, garden, &key)
    }

    /// The mail that tells that the garden's own thermometer shows now what damages plants; none without an address.
    pub fn below_now(
        (night, below): (NaiveDate, &[Below<'_>]),
        shown: &Shown<'_>,
        now: DateTime<Utc>,
    ) -> Option<Self> {
        let first = below.first()?;
        let (garden, today) = (shown.garden, first.watch.basis.today);
        let units = garden.units;
        let plants = below.iter().map(|below| {
            format!(
                "{}: {} at the plant; from {} down it hurts what the cut left tender.",
                watched::deed(below.watch, today),
                units.temperature(below.at_plant),
                units.temperature(below.damage_at)
            )
        });
        let local = garden.place.zone.local(shown.reading.at);
        let opening = format!(
            "at {} your own thermometer showed {}. That already hurts what was cut lately; it may get colder until \
             sunrise. Cover it now if you can do so safely; what is covered late is still kept from the worst of it.",
            local.format("%H:%M"),
            units.temperature(shown.reading.temperature)
        );
        let letter = Letter {
            subject: format!(
                "Already below: {}",
                named(below.iter().map(|below| below.watch))
            ),
            parts: vec![
                Part::Say(words::capital(&opening)),
                Part::List("Cold now", plants.collect()),
                Part::Say(HOW.to_owned()),
                Part::Small(small_print(first.watch, garden, now)),
            ],
        };
        let key = (first.watch.deed.cut.as_str(), Alarm::BelowNow, night);
        Self::after(&letter, garden, &key)
    }

    fn after(
        letter: &Letter,
        garden: &Garden,
        (cut, alarm, night): &(&str, Alarm, NaiveDate),
    ) -> Option<Self> {
        Some(Self {
            key: format!("{}.{cut}.{}.{night}", garden.name, alarm.name()),
            to: garden.mail_to.clone()?,
            subject: letter.subject.clone(),
            text: letter.plain(),
            html: letter.html(),
        })
    }
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

fn small_print(watch: &Watch, garden: &Garden, now: DateTime<Utc>) -> Vec<String> {
    let mut lines = vec![
        words::CAUTION.to_owned(),
        format!(
            "Tender time and damage: {}. How to cover: common practice, no source.",
            watch.source
        ),
        format!("Counted over {}.", words::basis(&watch.basis)),
    ];
    lines.extend(words::credits(&watch.basis, garden.units));
    lines.extend(garden.remark.clone());
    let local = garden.place.zone.local(now).format("%-d %B %Y, %H:%M");
    lines.push(format!("{}, {local}", garden.title));
    lines
}
