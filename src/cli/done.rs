//! `done` notes a cut that was made.

use std::io::Write;
use std::sync::Arc;

use chrono::NaiveDate;
use clap::Args;
use serde::Serialize;

use super::board::print_wrapped;
use super::tell::TellArgs;
use super::{Exit, find};
use crate::config::GardenSettings;
use crate::daemon::{House, Reach, look};
use crate::garden::{Deed, PlannedCut};
use crate::locale::{Locale, say};
use crate::message::words;
use crate::watch::Watch;

/// Note a cut that was made; from then on the plant is watched until what the cut left tender is firm.
#[derive(Debug, Clone, Args)]
pub(super) struct DoneArgs {
    /// The cut, such as box-edging-shear, or the planting when it has a single cut; GARDEN/ before it where needed.
    /// A check of a planting ends with -check, such as old-ash-check.
    #[arg(value_name = "PLANTING OR CUT")]
    cut: String,
    /// How much of the live growth was taken, in percent.
    #[arg(long, value_name = "N%", value_parser = share)]
    share: Option<u8>,
    /// What else to remember.
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
    #[command(flatten)]
    tell: TellArgs,
}

/// What was noted, or taken back.
#[derive(Debug, Serialize)]
struct Noted<'a> {
    garden: &'a str,
    deed: Deed,
    undone: bool,
    watch: Option<Watch>,
}

pub(super) async fn done(args: &DoneArgs) -> anyhow::Result<()> {
    let (house, now, _) = super::once::open(&args.tell.file.config, None)?;
    let (garden, cut, what) = meant(house.gardens(), &args.cut)?;
    let today = garden.garden.place.zone.date(now);
    let day = args.tell.day(today)?;
    let name = garden.garden.name.clone();
    let deed = if args.tell.undo {
        let deed = last(&house, garden, &what, day).await?;
        let (cut, on) = (deed.cut.clone(), deed.on);
        house
            .keeper
            .with(move |store| store.undo_deed(&name, (&cut, on), now))
            .await?;
        deed
    } else {
        let deed = Deed {
            cut: what,
            planting: cut.planting.clone(),
            on: day.unwrap_or(today),
            share: args.share,
            note: args.note.clone(),
        };
        let noted = deed.clone();
        house
            .keeper
            .with(move |store| store.note_deed(&name, &noted, now))
            .await?;
        deed
    };
    // What is watched from now on, by the weather that is at hand.
    let weather = house.gather(garden, now, Reach::Here).await?;
    let watches = look(garden, &weather, now).watches;
    let noted = Noted {
        garden: &garden.garden.name,
        watch: watches.into_iter().find(|watch| watch.deed == deed),
        deed,
        undone: args.tell.undo,
    };
    let mut out = std::io::stdout().lock();
    if args.tell.json {
        serde_json::to_writer_pretty(&mut out, &noted)?;
        writeln!(out)?;
        return Ok(());
    }
    Ok(show(&mut out, &noted, cut, (today, garden.garden.locale))?)
}

/// The cut, or the check of a planting, that is meant: a cut of the planting, and the name of what was done.
fn meant<'a>(
    gardens: &'a [Arc<GardenSettings>],
    written: &str,
) -> Result<(&'a GardenSettings, &'a PlannedCut, String), Exit> {
    let checked = written.strip_suffix("-check");
    if let Some(Ok((garden, cut))) = checked.map(|planting| find::planting(gardens, planting)) {
        return Ok((garden, cut, cut.check_name()));
    }
    let (garden, cut) = find::cut(gardens, written)?;
    Ok((garden, cut, cut.name.clone()))
}

/// What was done on a day, or the last time, as it was noted.
async fn last(
    house: &House,
    garden: &GardenSettings,
    what: &str,
    day: Option<NaiveDate>,
) -> anyhow::Result<Deed> {
    let name = garden.garden.name.clone();
    let mut deeds = house.keeper.with(move |store| store.deeds(&name)).await?;
    deeds.retain(|deed| deed.cut == what);
    let days: Vec<String> = deeds.iter().map(|deed| deed.on.to_string()).collect();
    let is_meant = |deed: &Deed| day.is_none_or(|day| deed.on == day);
    deeds.into_iter().rfind(is_meant).ok_or_else(|| {
        let noted = if days.is_empty() {
            "nothing is noted of it".to_owned()
        } else {
            format!("noted are: {}", days.join(", "))
        };
        let when = day.map_or_else(String::new, |day| format!(" on {day}"));
        Exit::Usage(format!("no {what}{when} to take back\n{noted}")).into()
    })
}

fn show(
    out: &mut impl Write,
    noted: &Noted<'_>,
    cut: &PlannedCut,
    (today, locale): (NaiveDate, Locale),
) -> std::io::Result<()> {
    let Noted { deed, watch, .. } = noted;
    let share = deed.share;
    let share = share.map(|share| say!(locale, "note-share", share = share));
    let is_check = deed.cut != cut.name;
    let work = if is_check {
        say!(locale, "note-check")
    } else {
        words::work(cut.cut_kind(), locale)
    };
    let what = say!(
        locale,
        "note-deed",
        planting = &deed.planting,
        work = work,
        day = locale.weekday(deed.on, today),
        share = share.unwrap_or_default()
    );
    if noted.undone {
        return print_wrapped(out, &say!(locale, "note-taken-back", what = what), 0);
    }
    print_wrapped(out, &say!(locale, "note-noted", what = what), 0)?;
    if is_check {
        return Ok(());
    }
    let next = match watch {
        Some(watch) if !watch.is_over() => {
            let lasts = words::watched::lasts(watch, today, locale);
            say!(locale, "note-watched", lasts = lasts)
        }
        Some(_) => say!(locale, "note-firm"),
        None if cut.cut.tender.is_none() => say!(locale, "frost-no-matter"),
        None => say!(locale, "note-not-watched"),
    };
    print_wrapped(out, &next, 0)
}

fn share(text: &str) -> Result<u8, String> {
    let number = text.trim().trim_end_matches('%').trim_end();
    let share = number
        .parse()
        .ok()
        .filter(|share| (1..=100).contains(share));
    share.ok_or_else(|| "allowed: 1 to 100 percent, such as 30%".to_owned())
}
