//! `backtest` holds the chance of frost against the past years of a record.

mod options;
mod text;

use std::io::Write;
use std::path::{Path, PathBuf};

use anyhow::Context;
use clap::Args;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use serde::Serialize;

use super::Exit;
use crate::backtest::{Figures, Plan, Series, figures, page, rows_csv, run};
use crate::climate::DailyRecord;
use options::PlanArgs;

/// Hold the chance of frost against the past years of a record: what would have been said, and what came.
///
/// Each season is tested with the years before it alone. Forecasts of the past are rarely kept, so they are made up from
/// what came, with errors that are stated; a file of real ones can be given.
#[derive(Debug, Clone, Args)]
pub(super) struct BacktestArgs {
    /// Daily records: GHCN-Daily (.dly or CSV), or a table with date, tmin, tmax.
    #[arg(value_name = "RECORD", required = true)]
    records: Vec<PathBuf>,
    #[command(flatten)]
    plan: PlanArgs,
    /// Write one row a decision day, so that anyone can score them.
    #[arg(long, value_name = "FILE")]
    csv: Option<PathBuf>,
    /// Write the report as one HTML page.
    #[arg(long, value_name = "FILE")]
    report: Option<PathBuf>,
    /// Print the figures as JSON.
    #[arg(long)]
    json: bool,
}

/// What is printed as JSON.
#[derive(Serialize)]
struct Told<'a> {
    question: &'a str,
    forecasts: String,
    seed: u64,
    records: &'a [Figures],
    together: &'a Figures,
}

pub(super) fn backtest(args: &BacktestArgs) -> anyhow::Result<()> {
    let plan = args.plan.plan(args.records.len())?;
    let records = args
        .records
        .iter()
        .map(|path| super::record::read(path))
        .collect::<anyhow::Result<Vec<_>>>()?;
    let all = test(&records, &plan)?;
    let of_each: Vec<Figures> = all
        .iter()
        .filter_map(|series| figures(&series.name, &[series], &plan))
        .collect();
    let everything: Vec<&Series> = all.iter().collect();
    let together = figures("all records", &everything, &plan).context("nothing was tested")?;
    if let Some(path) = &args.csv {
        write(path, &rows_csv(&all))?;
    }
    if let Some(path) = &args.report {
        write(path, &page(&plan, &all, &of_each, &together))?;
    }
    let mut out = std::io::stdout().lock();
    if args.json {
        let told = Told {
            question: &plan.question.words,
            forecasts: plan.source.title(),
            seed: plan.seed,
            records: &of_each,
            together: &together,
        };
        serde_json::to_writer_pretty(&mut out, &told)?;
        writeln!(out)?;
        return Ok(());
    }
    Ok(text::print(&mut out, &plan, &of_each, &together)?)
}

/// Tests each record; the bar shows on a terminal only.
fn test(records: &[(String, DailyRecord)], plan: &Plan) -> anyhow::Result<Vec<Series>> {
    let bar = ProgressBar::with_draw_target(Some(0), ProgressDrawTarget::stderr());
    if let Ok(style) = ProgressStyle::with_template("{msg:20} {wide_bar} {pos}/{len} seasons") {
        bar.set_style(style);
    }
    let test = |(name, record): &(String, DailyRecord)| {
        bar.set_message(name.clone());
        let mut on_season = |done: usize, all: usize| {
            bar.set_length(u64::try_from(all).unwrap_or(0));
            bar.set_position(u64::try_from(done).unwrap_or(0));
        };
        run(record, name, plan, &mut on_season)
            .map_err(|error| Exit::Usage(format!("cannot test {name}: {error}")).into())
    };
    let all = records.iter().map(test).collect();
    bar.finish_and_clear();
    all
}

fn write(path: &Path, text: &str) -> Result<(), Exit> {
    std::fs::write(path, text).map_err(|source| Exit::Write {
        what: path.display().to_string(),
        source,
    })
}
