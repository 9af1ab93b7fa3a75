//! `why` explains one cut.

use std::io::Write;

use chrono::NaiveDate;
use clap::Args;

use super::board::{print_watch, print_wrapped};
use super::logging::Form;
use super::{Exit, FileArgs, MomentArgs, find};
use crate::config::GardenSettings;
use crate::daemon::{look, moved};
use crate::garden::PlannedCut;
use crate::locale::{Locale, say};
use crate::message::words;
use crate::risk::Sensitivity;
use crate::thermometer::OwnThermometer;
use crate::verdict::Verdict;

/// Where the values of a finding stand.
const VALUE_COLUMN: usize = 33;

/// Explain one cut: every finding with its numbers and sources.
#[derive(Debug, Clone, Args)]
pub(super) struct WhyArgs {
    /// The cut, such as museum/box-edging-shear; the garden may be left out when no other has a cut of that name.
    #[arg(value_name = "GARDEN/CUT")]
    cut: String,
    #[command(flatten)]
    file: FileArgs,
    #[command(flatten)]
    moment: MomentArgs,
    /// Show how the dates move when a parameter moves by its uncertainty.
    #[arg(long)]
    sensitivity: bool,
    /// As JSON, temperatures in °C.
    #[arg(long)]
    json: bool,
}

pub(super) async fn why(args: &WhyArgs) -> anyhow::Result<()> {
    let (house, now, reach) = super::once::open(&args.file.config, args.moment.at)?;
    let (garden, cut) = find::cut(house.gardens(), &args.cut)?;
    let weather = house.gather(garden, now, reach).await?;
    let seen = look(garden, &weather, now);
    let watch = seen.watches.iter().find(|watch| watch.deed.cut == cut.name);
    let verdict = seen
        .verdicts
        .into_iter()
        .find(|verdict| verdict.cut == cut.name)
        .ok_or_else(|| Exit::Usage(format!("no verdict on {}", args.cut)))?;
    let mut out = std::io::stdout().lock();
    if args.sensitivity {
        let rows = moved(garden, cut, &weather, now);
        return show_moved(
            &mut out,
            &rows,
            if args.json { Form::Json } else { Form::Text },
            garden.garden.locale,
        );
    }
    if args.json {
        serde_json::to_writer_pretty(&mut out, &verdict)?;
        writeln!(out)?;
        return Ok(());
    }
    explain(&mut out, garden, cut, &verdict)?;
    if let Some(watch) = watch {
        writeln!(out)?;
        print_watch(&mut out, watch, garden.garden.locale)?;
        print_wrapped(
            &mut out,
            &words::sourced(&watch.source, garden.garden.locale),
            6,
        )?;
    }
    let own = seen.thermometer.as_ref();
    Ok(background(&mut out, (garden, own), cut, &verdict)?)
}

/// The table of moved dates.
fn show_moved(
    out: &mut impl Write,
    rows: &[Sensitivity],
    form: Form,
    locale: Locale,
) -> anyhow::Result<()> {
    if form == Form::Json {
        serde_json::to_writer_pretty(&mut *out, rows)?;
        writeln!(out)?;
        return Ok(());
    }
    if rows.is_empty() {
        writeln!(out, "{}", say!(locale, "frost-no-matter"))?;
        return Ok(());
    }
    writeln!(
        out,
        "{:<34} {:<19} {:<13} {}",
        say!(locale, "moved-when"),
        say!(locale, "moved-chance"),
        say!(locale, "moved-first-go"),
        say!(locale, "moved-last-call")
    )?;
    let day = |day: Option<NaiveDate>| {
        day.map_or_else(|| say!(locale, "moved-none"), |day| locale.short(day))
    };
    for row in rows {
        let chance = words::in_hundred(row.chance, locale);
        writeln!(
            out,
            "{:<34} {chance:<19} {:<13} {}",
            words::shift(row.shift, locale),
            day(row.first_go),
            day(row.last_call)
        )?;
    }
    Ok(())
}

fn explain(
    out: &mut impl Write,
    garden: &GardenSettings,
    cut: &PlannedCut,
    verdict: &Verdict,
) -> std::io::Result<()> {
    let locale = garden.garden.locale;
    let head = format!(
        "{}, {}: {}",
        verdict.planting,
        words::to_do(verdict.cut_kind, locale),
        words::state(verdict.state, locale)
    );
    writeln!(out, "{head} ({})", words::when(verdict, locale))?;
    let kind = words::kinds::name(&cut.kind, locale);
    writeln!(out, "{kind} ({})", cut.kind.botanical)?;
    for finding in &verdict.findings {
        writeln!(out)?;
        print_wrapped(
            out,
            &format!(
                "{}.",
                words::capital(&words::reason(finding, verdict.today, locale))
            ),
            0,
        )?;
        for (name, value) in words::numbers(finding, verdict.today, locale) {
            let value = words::wrapped(&value, VALUE_COLUMN);
            write!(out, "  {name:<30} {}", value.trim_start())?;
        }
        print_wrapped(out, &words::sourced(&finding.source, locale), 2)?;
    }
    if !verdict.basis.missing.is_empty() {
        writeln!(out)?;
        print_wrapped(
            out,
            &format!(
                "{}.",
                words::capital(&words::missing(&verdict.basis.missing, locale))
            ),
            0,
        )?;
    }
    Ok(())
}

/// How it is done, what the plant asks of whoever does it, and what the numbers rest on.
fn background(
    out: &mut impl Write,
    (garden, own): (&GardenSettings, Option<&OwnThermometer>),
    cut: &PlannedCut,
    verdict: &Verdict,
) -> std::io::Result<()> {
    let locale = garden.garden.locale;
    writeln!(out)?;
    let how = words::kinds::text(&cut.cut.how, locale);
    let mut lines = vec![say!(
        locale,
        "why-how",
        how = how,
        source = words::sourced(&cut.cut.source, locale)
    )];
    lines.extend(cut.cut.tender.as_ref().map(|tender| {
        let source = words::sourced(&tender.source, locale);
        say!(
            locale,
            "why-tender",
            why = words::kinds::text(&tender.why, locale),
            source = source
        )
    }));
    lines.extend(words::about(&cut.kind, locale));
    let caution = words::caution(locale);
    lines.push(say!(locale, "why-every-cut", caution = caution));
    lines.push(words::counted_over(&verdict.basis, locale));
    lines.extend(own.map(|own| words::thermometer(own, locale)));
    lines.extend(words::credits(&verdict.basis, locale));
    lines.extend(garden.garden.remark.clone());
    lines
        .iter()
        .try_for_each(|line| print_wrapped(out, line, 0))
}
