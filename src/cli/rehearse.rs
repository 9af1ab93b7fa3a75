//! `rehearse` walks a garden through a year on record.

mod text;

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::{Args, ValueEnum};
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use super::{Exit, FileArgs};
use crate::backtest::{Source, USUAL_ERRORS};
use crate::config::Settings;
use crate::rehearsal::{Plan, Rehearsal, rehearse as walk};
use crate::risk::DateRange;

/// Walk a garden through a year on record, a look a day: what would have been told, and when each window opened.
///
/// The years before it are the past that is known. Forecasts are made up from what came. Nothing is mailed or kept.
#[derive(Debug, Clone, Args)]
pub(super) struct RehearseArgs {
    /// Which garden; may be left out when the file has one.
    #[arg(long, value_name = "NAME")]
    garden: Option<String>,
    /// A daily record: GHCN-Daily (.dly or CSV), or a table with date, tmin, tmax.
    #[arg(long, value_name = "FILE")]
    record: PathBuf,
    /// The year.
    #[arg(long, value_name = "YEAR", value_parser = clap::value_parser!(i32).range(1800..=2199))]
    year: i32,
    /// What the forecasts are.
    #[arg(long, value_enum, default_value = "noise")]
    forecast: Forecasts,
    /// The seed of the forecasts' errors.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// As JSON.
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    file: FileArgs,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Forecasts {
    /// What came, with the usual errors of a single run, for seven days.
    Noise,
    /// What came, for seven days.
    Perfect,
}

pub(super) fn rehearse(args: &RehearseArgs) -> anyhow::Result<()> {
    let settings = Settings::read(&args.file.config)?;
    let gardens = super::find::gardens(&settings.gardens, args.garden.as_deref())?;
    let [garden] = gardens.as_slice() else {
        let what = "the file has several gardens: say which with --garden NAME";
        return Err(Exit::Usage(what.to_owned()).into());
    };
    let (name, record) = super::record::read(&args.record)?;
    let forecasts = args.forecast.source();
    let plan = Plan {
        garden: &garden.garden,
        fresh_for: garden.fresh_for,
        record: &record,
        days: whole(args.year)?,
        forecasts: &forecasts,
        seed: args.seed,
    };
    let rehearsal = under_bar(&plan).map_err(|error| {
        Exit::Usage(format!("cannot rehearse {} of {name}: {error}", args.year))
    })?;
    let mut out = std::io::stdout().lock();
    if args.json {
        serde_json::to_writer_pretty(&mut out, &rehearsal)?;
        return Ok(std::io::Write::write_all(&mut out, b"\n")?);
    }
    Ok(text::print(&mut out, &rehearsal, garden.garden.locale)?)
}

/// Walks; the bar shows on a terminal only.
fn under_bar(plan: &Plan<'_>) -> Result<Rehearsal, crate::rehearsal::RehearsalError> {
    let bar = ProgressBar::with_draw_target(Some(0), ProgressDrawTarget::stderr());
    if let Ok(style) = ProgressStyle::with_template("{msg:20} {wide_bar} {pos}/{len} days") {
        bar.set_style(style);
    }
    bar.set_message(plan.garden.name.clone());
    let rehearsal = walk(plan, &mut |done, all| {
        bar.set_length(u64::try_from(all).unwrap_or(0));
        bar.set_position(u64::try_from(done).unwrap_or(0));
    });
    bar.finish_and_clear();
    rehearsal
}

fn whole(year: i32) -> Result<DateRange, Exit> {
    let first = NaiveDate::from_ymd_opt(year, 1, 1);
    let days = first.zip(NaiveDate::from_ymd_opt(year, 12, 31));
    days.map(|(from, to)| DateRange { from, to })
        .ok_or_else(|| Exit::Usage(format!("there is no year {year}")))
}

impl Forecasts {
    fn source(self) -> Source {
        match self {
            Self::Noise => Source::Noise {
                errors: USUAL_ERRORS.to_vec(),
            },
            Self::Perfect => Source::Perfect {
                days: USUAL_ERRORS.len(),
            },
        }
    }
}
