//! `seen` notes an event that came.

use std::io::Write;

use chrono::NaiveDate;
use clap::Args;
use serde::Serialize;

use super::board::print_wrapped;
use super::tell::TellArgs;
use super::{Exit, find};
use crate::almanac::Event;
use crate::daemon::House;
use crate::garden::Sighting;
use crate::locale::say;
use crate::message::words;

/// Note an event that was seen, such as the first flowers.
#[derive(Debug, Clone, Args)]
pub(super) struct SeenArgs {
    /// The planting, such as "old lilac" or old-lilac; GARDEN/ before it where needed.
    #[arg(value_name = "PLANTING")]
    planting: String,
    /// What came: bud-break, bloom-begin, bloom-end, full-leaf and so on.
    #[arg(value_name = "EVENT")]
    event: String,
    #[command(flatten)]
    tell: TellArgs,
}

/// What was noted, or taken back.
#[derive(Debug, Serialize)]
struct Noted<'a> {
    garden: &'a str,
    seen: &'a Sighting,
    undone: bool,
}

pub(super) async fn seen(args: &SeenArgs) -> anyhow::Result<()> {
    let (house, now, _) = super::once::open(&args.tell.file.config, None)?;
    let (garden, cut) = find::planting(house.gardens(), &args.planting)?;
    let event = event(&args.event)?;
    let today = garden.garden.place.zone.date(now);
    let day = args.tell.day(today)?;
    let name = garden.garden.name.clone();
    let of = |on| Sighting {
        planting: cut.planting.clone(),
        event,
        on,
    };
    let undo = args.tell.undo;
    let seen = if undo {
        last(&house, &name, &of(today), day).await?
    } else {
        of(day.unwrap_or(today))
    };
    let one = seen.clone();
    house
        .keeper
        .with(move |store| {
            if undo {
                store.undo_sighting(&name, &one, now).map(|_| ())
            } else {
                store.note_sighting(&name, &one, now)
            }
        })
        .await?;
    let mut out = std::io::stdout().lock();
    if args.tell.json {
        let noted = Noted {
            garden: &garden.garden.name,
            seen: &seen,
            undone: undo,
        };
        serde_json::to_writer_pretty(&mut out, &noted)?;
        writeln!(out)?;
        return Ok(());
    }
    let locale = garden.garden.locale;
    let what = say!(
        locale,
        "note-seen",
        planting = &seen.planting,
        event = words::kinds::data_name(event.name(), locale),
        day = locale.weekday(seen.on, today)
    );
    let told = if undo {
        say!(locale, "note-taken-back", what = what)
    } else {
        say!(locale, "note-noted", what = what)
    };
    Ok(print_wrapped(&mut out, &told, 0)?)
}

/// Such an event at such a planting, of a day or the last one, as it was noted.
async fn last(
    house: &House,
    garden: &str,
    such: &Sighting,
    day: Option<NaiveDate>,
) -> anyhow::Result<Sighting> {
    let name = garden.to_owned();
    let mut noted = house
        .keeper
        .with(move |store| store.sightings(&name))
        .await?;
    noted.retain(|one| one.planting == such.planting && one.event == such.event);
    let days: Vec<String> = noted.iter().map(|one| one.on.to_string()).collect();
    let is_meant = |one: &Sighting| day.is_none_or(|day| one.on == day);
    noted.into_iter().rfind(is_meant).ok_or_else(|| {
        let days = if days.is_empty() {
            "none".to_owned()
        } else {
            days.join(", ")
        };
        let (event, planting) = (such.event.name(), &such.planting);
        Exit::Usage(format!(
            "no {event} at {planting} to take back\nnoted are: {days}"
        ))
        .into()
    })
}

/// The event of that name; those that the calendar alone makes cannot be seen.
fn event(written: &str) -> Result<Event, Exit> {
    let can_be_seen = |event: &Event| !matches!(event, Event::MidWinter | Event::MidSummer);
    let events: Vec<Event> = Event::ALL.into_iter().filter(can_be_seen).collect();
    let name = written.trim().to_lowercase().replace([' ', '_'], "-");
    let found = events.iter().find(|event| event.name() == name);
    found.copied().ok_or_else(|| {
        let names: Vec<&str> = events.iter().map(|event| event.name()).collect();
        Exit::none_of(("event", "allowed"), written, &names)
    })
}
