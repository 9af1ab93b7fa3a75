//! The board in the terminal: two lines a cut, the nearest decision first, 80 columns.

use std::io::Write;
use std::sync::Arc;

use super::logging::is_coloured;
use crate::locale::{Locale, say};
use crate::message::words::{self, watched};
use crate::verdict::{State, Verdict};
use crate::watch::Watch;
use crate::web::GardenSnapshot;

const NAME_WIDTH: usize = 38;
const STATE_WIDTH: usize = 11;

/// Whether to colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Colour {
    On,
    Off,
}

impl Colour {
    pub(super) fn of_stdout() -> Self {
        if is_coloured(&std::io::stdout()) {
            Self::On
        } else {
            Self::Off
        }
    }

    fn paint(self, state: State, text: &str) -> String {
        let code = match state {
            State::Go => "1;32",
            State::Closing => "1;33",
            State::Wait => "1",
            State::CallAPro => "1;35",
            State::Closed | State::Unknown => "2",
        };
        match self {
            Self::On => format!("\x1b[{code}m{text}\x1b[0m"),
            Self::Off => text.to_owned(),
        }
    }
}

/// Prints the board of each garden.
///
/// # Errors
/// When the terminal or pipe does not take it.
pub(super) fn print(
    out: &mut impl Write,
    gardens: &[Arc<GardenSnapshot>],
    colour: Colour,
) -> std::io::Result<()> {
    for (position, garden) in gardens.iter().enumerate() {
        if position > 0 {
            writeln!(out)?;
        }
        print_garden(out, garden, colour)?;
    }
    Ok(())
}

fn print_garden(
    out: &mut impl Write,
    garden: &GardenSnapshot,
    colour: Colour,
) -> std::io::Result<()> {
    let when = garden
        .looked_at
        .as_ref()
        .map(|when| format!(", {when}"))
        .unwrap_or_default();
    writeln!(out, "{}{when}", garden.title)?;
    for verdict in &garden.verdicts {
        print_cut(out, verdict, garden.locale, colour)?;
    }
    for watch in &garden.watches {
        print_watch(out, watch, garden.locale)?;
    }
    let locale = garden.locale;
    for uncut in &garden.uncut {
        let planting = words::capital(&uncut.planting);
        let no_cut = say!(locale, "board-no-cut");
        writeln!(out, "  {planting:<NAME_WIDTH$} {no_cut}")?;
        print_wrapped(out, &words::uncut(uncut, locale), 6)?;
    }
    if let Some(verdict) = garden.verdicts.first() {
        print_wrapped(out, &words::counted_over(&verdict.basis, locale), 2)?;
        for credit in words::credits(&verdict.basis, locale) {
            print_wrapped(out, &credit, 2)?;
        }
    }
    for source in garden
        .sources
        .iter()
        .filter(|source| !source.words.is_empty())
    {
        print_wrapped(out, &format!("{}.", source.words), 2)?;
    }
    garden
        .remark
        .as_ref()
        .map_or(Ok(()), |remark| print_wrapped(out, remark, 2))
}

/// A cut that was made and is watched.
pub(super) fn print_watch(
    out: &mut impl Write,
    watch: &Watch,
    locale: Locale,
) -> std::io::Result<()> {
    let deed = watched::deed(watch, watch.basis.today, locale);
    writeln!(
        out,
        "  {deed:<NAME_WIDTH$} {}",
        watched::tonight(watch, locale)
    )?;
    print_wrapped(out, &watched::outlook(watch, locale).join(" "), 6)
}

fn print_cut(
    out: &mut impl Write,
    verdict: &Verdict,
    locale: Locale,
    colour: Colour,
) -> std::io::Result<()> {
    let name = format!(
        "{}, {}",
        verdict.planting,
        words::to_do(verdict.cut_kind, locale)
    );
    let state = format!("{:<STATE_WIDTH$}", words::state(verdict.state, locale));
    let head = format!("  {name:<NAME_WIDTH$} ");
    let when = words::when(verdict, locale);
    let parts = [&head, &state, &when];
    let width: usize = parts.iter().map(|part| part.chars().count()).sum();
    let state = colour.paint(verdict.state, &state);
    if width < words::WIDTH {
        writeln!(out, "{head}{state} {when}")?;
    } else {
        // What does not fit beside a long name or in a wordy language stands below.
        writeln!(out, "{head}{state}")?;
        print_wrapped(out, &when, 6)?;
    }
    print_wrapped(out, &words::main_reason(verdict, locale), 6)
}

/// Prints a text broken between words so that it stays within the width.
pub(super) fn print_wrapped(
    out: &mut impl Write,
    text: &str,
    indent: usize,
) -> std::io::Result<()> {
    write!(out, "{}", words::wrapped(text, indent))
}
