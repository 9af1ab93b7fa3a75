//! `almanac` lists the kinds of plants, searches them by name, and shows one whole with its sources.

mod show;

use std::io::Write;
use std::path::PathBuf;
use std::sync::Arc;

use clap::Args;
use serde::Serialize;

use super::Exit;
use super::logging::Form;
use crate::almanac::{self, Almanac, Habit, Kind};
use crate::config::Settings;
use crate::locale::Locale;
use crate::message::words::{self, WIDTH};

/// Look a kind of plant up: its cuts with their windows, what it bears, cautions, and the source of each.
#[derive(Debug, Clone, Args)]
pub(super) struct AlmanacArgs {
    /// Names to look for, botanical or everyday, spelt about right; none lists all kinds.
    #[arg(value_name = "WORDS")]
    words: Vec<String>,
    /// A garden file, whose own kinds and changes are taken in.
    #[arg(short, long, value_name = "FILE", env = "BUDWARD_CONFIG")]
    config: Option<PathBuf>,
    /// As JSON, temperatures in °C.
    #[arg(long)]
    json: bool,
}

/// A kind as lists have it.
#[derive(Debug, Serialize)]
struct Line<'a> {
    id: &'a str,
    common: &'a str,
    botanical: &'a str,
    habit: Habit,
}

/// Columns for the name and for the everyday name of a kind.
const ID_WIDTH: usize = 24;
const COMMON_WIDTH: usize = 26;

/// So many kinds are named when nothing matches.
const NEAREST_MAX: usize = 5;

pub(super) fn almanac(args: &AlmanacArgs) -> anyhow::Result<()> {
    let (almanac, locale) = match &args.config {
        Some(file) => {
            let settings = Settings::read(file)?;
            let locale = settings.locale();
            (settings.almanac, locale)
        }
        None => (Arc::new(almanac::embedded()?), Locale::default()),
    };
    let form = if args.json { Form::Json } else { Form::Text };
    let mut out = std::io::stdout().lock();
    let written = args.words.join(" ");
    if written.trim().is_empty() {
        let all: Vec<&Arc<Kind>> = almanac.kinds.iter().collect();
        return list(&mut out, &all, (form, locale));
    }
    let hits = almanac.search(&written);
    match (named(&almanac, &written), hits.as_slice()) {
        (Some(kind), _) => {
            let others: Vec<&str> = hits
                .iter()
                .filter(|hit| hit.id != kind.id)
                .map(|hit| hit.id.as_str())
                .collect();
            show::show(&mut out, kind, &others, (form, locale))
        }
        (None, [kind]) => show::show(&mut out, kind, &[], (form, locale)),
        (None, []) => Err(not_found(&almanac, &written).into()),
        (None, hits) => list(&mut out, hits, (form, locale)),
    }
}

/// The kind that has exactly that name.
fn named<'a>(almanac: &'a Almanac, written: &str) -> Option<&'a Kind> {
    let plain = |text: &str| text.to_lowercase().replace('-', " ");
    let written = plain(written.trim());
    let is_it = |kind: &&Arc<Kind>| {
        let german = kind.german().map(|names| &names.common);
        let names = [&kind.id, &kind.common].into_iter().chain(german);
        names.into_iter().any(|name| plain(name) == written)
    };
    almanac.kinds.iter().find(is_it).map(Arc::as_ref)
}

/// What is said when no kind has such a name: the kinds whose names have the likest word.
fn not_found(almanac: &Almanac, written: &str) -> Exit {
    let near: Vec<String> = almanac
        .alike(written)
        .iter()
        .take(NEAREST_MAX)
        .map(|kind| kind.id.clone())
        .collect();
    Exit::NotFound(format!(
        "no kind of plant is called \"{written}\"\nnearest: {}\n\"budward almanac\" lists all {}",
        near.join(", "),
        almanac.kinds.len()
    ))
}

/// The kinds in columns by habit.
fn list(
    out: &mut impl Write,
    kinds: &[&Arc<Kind>],
    (form, locale): (Form, Locale),
) -> anyhow::Result<()> {
    if form == Form::Json {
        let lines: Vec<Line<'_>> = kinds.iter().map(|kind| line(kind)).collect();
        serde_json::to_writer_pretty(&mut *out, &lines)?;
        writeln!(out)?;
        return Ok(());
    }
    let mut is_first = true;
    for habit in Habit::ALL {
        let of_habit = kinds.iter().filter(|kind| kind.habit == habit);
        for (position, kind) in of_habit.enumerate() {
            if position == 0 {
                let gap = if is_first { "" } else { "\n" };
                writeln!(out, "{gap}{}", words::kinds::habits(habit, locale))?;
                is_first = false;
            }
            let id = fitted(&kind.id, ID_WIDTH);
            let common = fitted(words::kinds::name(kind, locale), COMMON_WIDTH);
            let head = format!("  {id:<ID_WIDTH$} {common:<COMMON_WIDTH$} ");
            let rest = WIDTH.saturating_sub(head.chars().count());
            writeln!(out, "{head}{}", fitted(&kind.botanical, rest))?;
        }
    }
    Ok(())
}

fn line(kind: &Kind) -> Line<'_> {
    Line {
        id: &kind.id,
        common: &kind.common,
        botanical: &kind.botanical,
        habit: kind.habit,
    }
}

/// Names that fit into a column, the whole ones of a list that do; dots stand for what does not.
fn fitted(text: &str, width: usize) -> String {
    let fits = |text: &str| text.chars().count() <= width;
    if fits(text) {
        return text.to_owned();
    }
    let ends = text.rmatch_indices(", ").map(|(at, _)| at);
    let mut whole = ends.filter_map(|at| Some(format!("{} ...", text.get(..at)?)));
    whole.find(|shorter| fits(shorter)).unwrap_or_else(|| {
        let kept: String = text.chars().take(width.saturating_sub(3)).collect();
        format!("{}...", kept.trim_end())
    })
}
