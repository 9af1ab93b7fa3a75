//! A rehearsed year in plain columns.

use std::io::Write;

use crate::locale::Locale;
use crate::message::words;
use crate::rehearsal::{CutYear, MOST_OPENINGS, Rehearsal, Told};
use crate::verdict::State;

/// The states that have a column; what is left stands in the last one.
const STATES: [State; 4] = [State::Go, State::Closing, State::Wait, State::Closed];

/// Prints everything.
///
/// # Errors
/// When the terminal or pipe does not take it.
pub(super) fn print(
    out: &mut impl Write,
    rehearsal: &Rehearsal,
    locale: Locale,
) -> std::io::Result<()> {
    let days = rehearsal.days;
    writeln!(
        out,
        "{}, {} to {} rehearsed",
        rehearsal.garden, days.from, days.to
    )?;
    writeln!(
        out,
        "Weather: {}; {} past years known, hardiness zone {:.1}.",
        rehearsal.origin, rehearsal.past_years, rehearsal.zone
    )?;
    writeln!(
        out,
        "Forecasts: {}; one look a day; nothing is cut.",
        rehearsal.forecasts
    )?;
    letters(out, rehearsal)?;
    told(out, rehearsal, locale)?;
    windows(out, &rehearsal.cuts, locale)?;
    summary(out, rehearsal)
}

fn letters(out: &mut impl Write, rehearsal: &Rehearsal) -> std::io::Result<()> {
    writeln!(out, "\nThe letters")?;
    for letter in &rehearsal.letters {
        writeln!(
            out,
            "  {} {}",
            letter.at.format("%Y-%m-%d %a"),
            letter.subject
        )?;
    }
    Ok(())
}

fn told(out: &mut impl Write, rehearsal: &Rehearsal, locale: Locale) -> std::io::Result<()> {
    writeln!(out, "\nWhat would have been told")?;
    for told in &rehearsal.told {
        writeln!(
            out,
            "  {} {:<8} {:<28} {:<22} {}",
            told.date,
            told.news.name(),
            told.planting,
            words::to_do(told.work, locale),
            told.why
        )?;
    }
    Ok(())
}

fn windows(out: &mut impl Write, cuts: &[CutYear], locale: Locale) -> std::io::Result<()> {
    writeln!(
        out,
        "\nDays in each state, and how often the window opened and shut\n  {:<28} {:<22}  go closing wait closed other  opened shut",
        "planting", "work"
    )?;
    for cut in cuts {
        let days = |state: State| cut.days.get(state.name()).copied().unwrap_or(0);
        let [go, closing, wait, closed] = STATES.map(days);
        let other = cut.days.values().sum::<u32>() - (go + closing + wait + closed);
        let opened = cut.changes.iter().filter(|change| change.open).count();
        let shut = cut.changes.len() - opened;
        let (planting, work) = (&cut.planting, words::to_do(cut.work, locale));
        writeln!(
            out,
            "  {planting:<28} {work:<22} {go:>3} {closing:>7} {wait:>4} {closed:>6} {other:>5} {opened:>7} {shut:>4}"
        )?;
    }
    Ok(())
}

fn summary(out: &mut impl Write, rehearsal: &Rehearsal) -> std::io::Result<()> {
    let most = rehearsal.cuts.iter().map(CutYear::flips).max().unwrap_or(0);
    writeln!(
        out,
        "\nLetters: {}, with {} news; {} more were no longer true when their letter went",
        rehearsal.letters.len(),
        rehearsal.told.len(),
        rehearsal.dropped
    )?;
    let named = |told: &Told| format!("{} on {} ({})", told.cut, told.date, told.news.name());
    let repeated: Vec<String> = rehearsal.repeated().map(named).collect();
    writeln!(out, "Told again within 72 hours: {}", list(&repeated))?;
    let taken_back: Vec<String> = rehearsal.taken_back().map(named).collect();
    writeln!(out, "Taken back within 72 hours: {}", list(&taken_back))?;
    writeln!(out, "Most openings or shuttings of one window: {most}")?;
    let flipping: Vec<String> = rehearsal
        .flipping()
        .map(|cut| format!("{} ({})", cut.cut, cut.flips()))
        .collect();
    writeln!(
        out,
        "Windows that opened or shut more than {MOST_OPENINGS} times: {}",
        list(&flipping)
    )?;
    let hardly: Vec<String> = rehearsal
        .hardly_open()
        .into_iter()
        .map(str::to_owned)
        .collect();
    writeln!(
        out,
        "Plantings that could be cut on less than a week of days, and without a word: {}",
        list(&hardly)
    )?;
    let silent: Vec<String> = rehearsal.silent().into_iter().map(str::to_owned).collect();
    writeln!(out, "Plantings without a word: {}", list(&silent))
}

fn list(names: &[String]) -> String {
    if names.is_empty() {
        "none".to_owned()
    } else {
        names.join(", ")
    }
}
