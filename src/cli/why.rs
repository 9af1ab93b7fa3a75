//! `why` explains one cut.

use std::io::Write;

use chrono::NaiveDate;
use clap::Args;

use super::board::print_wrapped;
use super::logging::Form;
use super::{Exit, FileArgs, MomentArgs, find};
use crate::config::GardenSettings;
use crate::daemon::{look, moved};
use crate::garden::PlannedCut;
use crate::message::words;
use crate::risk::Sensitivity;
use crate::verdict::Verdict;

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
            verdict.today,
            if args.json { Form::Json } else { Form::Text },
        );
    }
    if args.json {
        serde_json::to_writer_pretty(&mut out, &verdict)?;
        writeln!(out)?;
        return Ok(());
    }
    explain(&mut out, garden, cut, &verdict)?;
    if let Some(own) = &seen.thermometer {
        print_wrapped(&mut out, &words::thermometer(own, garden.garden.units), 0)?;
    }
    garden
        .garden
        .remark
        .as_ref()
        .map_or(Ok(()), |remark| Ok(print_wrapped(&mut out, remark, 0)?))
}

/// The table of moved dates.
fn show_moved(
    out: &mut impl Write,
    rows: &[Sensitivity],
    today: NaiveDate,
    form: Form,
) -> anyhow::Result<()> {
    if form == Form::Json {
        serde_json::to_writer_pretty(&mut *out, rows)?;
        writeln!(out)?;
        return Ok(());
    }
    if rows.is_empty() {
        writeln!(out, "Frost is no matter to this cut.")?;
        return Ok(());
    }
    writeln!(
        out,
        "{:<34} {:<20} {:<17} last call",
        "when", "chance today", "first go"
    )?;
    let day = |day: Option<NaiveDate>| {
        day.map_or_else(|| "none".to_owned(), |day| words::date(day, today))
    };
    for row in rows {
        let chance = words::in_hundred(row.chance);
        writeln!(
            out,
            "{:<34} {chance:<20} {:<17} {}",
            words::shift(row.shift),
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
    let units = garden.garden.units;
    let head = format!(
        "{}, {}: {}",
        verdict.planting,
        words::to_do(verdict.cut_kind),
        verdict.state.name()
    );
    writeln!(out, "{head} ({})", words::when(verdict))?;
    writeln!(out, "{} ({})", cut.kind.common, cut.kind.botanical)?;
    for finding in &verdict.findings {
        writeln!(out)?;
        print_wrapped(
            out,
            &format!(
                "{}.",
                words::capital(&words::reason(finding, verdict.today, units))
            ),
            0,
        )?;
        for (name, value) in words::numbers(finding, verdict.today, units) {
            writeln!(out, "  {name:<30} {value}")?;
        }
        print_wrapped(out, &format!("Source: {}.", finding.source), 2)?;
    }
    if !verdict.basis.missing.is_empty() {
        writeln!(out)?;
        print_wrapped(
            out,
            &format!(
                "{}.",
                words::capital(&words::missing(&verdict.basis.missing))
            ),
            0,
        )?;
    }
    writeln!(out)?;
    print_wrapped(out, &format!("How: {}", cut.cut.how), 0)?;
    for caution in &cut.kind.cautions {
        print_wrapped(
            out,
            &format!("Mind: {} Source: {}.", caution.text, caution.source),
            0,
        )?;
    }
    print_wrapped(
        out,
        &format!("Counted over {}.", words::basis(&verdict.basis)),
        0,
    )?;
    for credit in words::credits(&verdict.basis) {
        print_wrapped(out, &credit, 0)?;
    }
    Ok(())
}
