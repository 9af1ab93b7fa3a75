//! The figures in plain columns, at most 88 wide.

use std::io::Write;

use crate::backtest::{By, Figure, Figures, Plan, Prior, Take, Teller, mean_brier};

/// Prints everything.
///
/// # Errors
/// When the terminal or pipe does not take it.
pub(super) fn print(
    out: &mut impl Write,
    plan: &Plan,
    of_each: &[Figures],
    together: &Figures,
) -> std::io::Result<()> {
    head(out, plan)?;
    records(out, of_each)?;
    if of_each.len() > 1 {
        writeln!(
            out,
            "\nAll records together; a year is one sample, whatever its records."
        )?;
    }
    figures(out, &together.figures)?;
    scores(out, together)?;
    reliability(out, together)?;
    decisions(out, plan, together)
}

fn head(out: &mut impl Write, plan: &Plan) -> std::io::Result<()> {
    writeln!(out, "Question: {}?", plan.question.words)?;
    writeln!(
        out,
        "Forecasts: {}; seed {}.",
        plan.source.title(),
        plan.seed
    )?;
    writeln!(
        out,
        "Skill at first: {}; {}.",
        prior(&plan.prior),
        lessons(plan)
    )?;
    writeln!(
        out,
        "Each season is tested with the years before it alone; at least {} of them.",
        plan.past_years
    )
}

fn prior(prior: &Prior) -> &'static str {
    match prior {
        Prior::Default => "that of a place where nothing was verified",
        Prior::Table => "the usual table, without bias",
        Prior::Errors(_) => "the errors as they are",
        Prior::Perfect(_) => "perfect",
    }
}

const fn lessons(plan: &Plan) -> &'static str {
    if plan.learns {
        "learned from then on"
    } else {
        "nothing is learned"
    }
}

/// One line a record, and their mean.
fn records(out: &mut impl Write, of_each: &[Figures]) -> std::io::Result<()> {
    writeln!(out, "\nBrier score by record")?;
    write!(
        out,
        "  {:<18}{:>10}{:>6}{:>6}",
        "record", "years", "days", "came"
    )?;
    for teller in Teller::CHANCES {
        write!(out, "{:>9}", short(teller))?;
    }
    writeln!(out)?;
    for one in of_each {
        let years = format!("{}-{}", one.span.0, one.span.1);
        let name: String = one.name.chars().take(17).collect();
        write!(
            out,
            "  {name:<18}{years:>10}{:>6}{:>6.2}",
            one.days, one.came
        )?;
        for teller in Teller::CHANCES {
            write!(out, "{}", cell(one.brier(teller), 9, 4))?;
        }
        writeln!(out)?;
    }
    if of_each.len() > 1 {
        write!(out, "  {:<40}", "mean")?;
        for teller in Teller::CHANCES {
            write!(out, "{}", cell(mean_brier(of_each, teller), 9, 4))?;
        }
        writeln!(out)?;
    }
    Ok(())
}

const fn short(teller: Teller) -> &'static str {
    match teller {
        Teller::Budward => "budward",
        Teller::Fewer => "fewer f.",
        Teller::Climate => "climate",
        Teller::Frequency => "freq.",
        Teller::Parts => "parts",
        Teller::PerfectWeek => "perf.wk",
        Teller::SevenNights => "7 nights",
        Teller::Calendar => "15 April",
        Teller::MeanDate => "mean d.",
        Teller::LateDate => "late d.",
    }
}

fn figures(out: &mut impl Write, figures: &[Figure]) -> std::io::Result<()> {
    writeln!(out, "\n{:<44}{:>10}   95 % limits, by years", "Figure", "")?;
    for figure in figures {
        let limits = figure.limits.map_or_else(String::new, limits);
        writeln!(
            out,
            "  {:<42}{}   {limits}",
            figure.name,
            cell(figure.value, 10, 3)
        )?;
    }
    Ok(())
}

fn scores(out: &mut impl Write, together: &Figures) -> std::io::Result<()> {
    writeln!(out, "\n{:<14}{:>7}   95 % limits     by", "Brier score", "")?;
    for score in &together.scores {
        let limits = score.brier.limits.map_or_else(String::new, limits);
        let value = cell(score.brier.value, 8, 4);
        writeln!(
            out,
            "  {:<13}{value}  {limits:<15} {}",
            score.teller, score.words
        )?;
    }
    Ok(())
}

fn reliability(out: &mut impl Write, together: &Figures) -> std::io::Result<()> {
    writeln!(out, "\nReliability, in ways of 100")?;
    writeln!(
        out,
        "  chance       days  years  mean chance  came  if right, 95 %  95 % limits, by years"
    )?;
    for bin in &together.reliability {
        let range = format!("{:.0}-{:.0}", bin.from * 100.0, bin.to * 100.0);
        let of = |(low, high): (f64, f64)| format!("{:.1} to {:.1}", low * 100.0, high * 100.0);
        let (right, limits) = (of(bin.consistent), of(bin.limits));
        writeln!(
            out,
            "  {range:<10}{:>7}{:>7}{:>13.1}{:>6.1}  {right:<16}{limits}",
            bin.days,
            bin.years,
            bin.chance * 100.0,
            bin.observed * 100.0
        )?;
    }
    Ok(())
}

fn decisions(out: &mut impl Write, plan: &Plan, together: &Figures) -> std::io::Result<()> {
    if together.decisions.is_empty() {
        return writeln!(out, "\nDays taken are scored in spring and in autumn only.");
    }
    let first = Take::of(plan.season) == Some(Take::First);
    let (title, lost) = if first {
        ("Who cuts on the first go of a spring", "earlier")
    } else {
        ("Who cuts on the last go of an autumn", "later")
    };
    writeln!(out, "\n{title}")?;
    writeln!(
        out,
        "  limit  by           seasons no go  frost came  95 % limits      lost  gained  flips"
    )?;
    for one in &together.decisions {
        let limits = one.hit_limits.map_or_else(String::new, limits);
        let gained = one
            .gained
            .map_or_else(|| "-".to_owned(), |days| format!("{days:+.1}"));
        writeln!(
            out,
            "  {:>3.0} %  {:<13}{:>8}{:>6}{:>10.1} %  {limits:<15}{:>6.1}{gained:>8}{:>5.1}/{}",
            one.tolerance * 100.0,
            one.teller,
            one.seasons,
            one.never,
            one.hit_share * 100.0,
            one.lost,
            one.flips,
            one.flips_max
        )?;
    }
    letters(out, together)?;
    writeln!(
        out,
        "  budward: as the program releases; two-runs: its chance by the rule of the others.\n  \
         lost: days from the best one on the safe side, mean; gained: days {lost} than the\n  \
         calendar date of no more damage, by hindsight; flips: mean/most a season."
    )
}

/// The letters on the cut that each limit brings by the program's own releases.
fn letters(out: &mut impl Write, together: &Figures) -> std::io::Result<()> {
    let mine = together.decisions.iter();
    for one in mine.filter(|one| one.teller == By::Release.name()) {
        writeln!(
            out,
            "  letters at {:.0} %: {:.1} a season, {} of all taken back within 72 hours",
            one.tolerance * 100.0,
            one.letters,
            one.taken_back
        )?;
    }
    Ok(())
}

fn limits((lower, upper): (f64, f64)) -> String {
    format!("{lower:.3} to {upper:.3}")
}

fn cell(value: Option<f64>, width: usize, decimals: usize) -> String {
    value.map_or_else(
        || format!("{:>width$}", "-"),
        |value| format!("{value:>width$.decimals$}"),
    )
}
