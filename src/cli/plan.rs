//! `plan` prints the plan of a year.

use std::io::Write;
use std::ops::RangeInclusive;
use std::path::PathBuf;

use chrono::Datelike;
use clap::Args;

use super::{Exit, FileArgs, MomentArgs};
use crate::climate::Climate;
use crate::daemon::Reach;
use crate::locale::Locale;
use crate::message::{Detail, plan_page};
use crate::plan::{Known, YearPlan, storms, year_plan};

/// Years of which a plan can be asked.
const YEARS: RangeInclusive<i32> = 1900..=2199;

/// Print the plan of a year: what to cut when, why and how; asks no service.
#[derive(Debug, Clone, Args)]
pub(super) struct PlanArgs {
    /// The year; this one, if left out.
    #[arg(long, value_name = "YEAR")]
    year: Option<i32>,
    /// Only this garden.
    #[arg(long, value_name = "NAME")]
    garden: Option<String>,
    /// A daily record to plan by instead of the garden's own: GHCN-Daily (.dly or CSV), or a table with date, tmin, tmax.
    #[arg(long, value_name = "FILE")]
    record: Option<PathBuf>,
    /// Only what and when, without why and how.
    #[arg(long)]
    brief: bool,
    #[command(flatten)]
    file: FileArgs,
    #[command(flatten)]
    moment: MomentArgs,
    /// As JSON.
    #[arg(long)]
    json: bool,
}

pub(super) async fn plan(args: &PlanArgs) -> anyhow::Result<()> {
    if let Some(year) = args.year.filter(|year| !YEARS.contains(year)) {
        return Err(Exit::Usage(format!(
            "--year {year} is out of range\nallowed: {} to {}",
            YEARS.start(),
            YEARS.end()
        ))
        .into());
    }
    let (house, now, _) = super::once::open(&args.file.config, args.moment.at)?;
    let mut plans: Vec<(YearPlan, Locale)> = Vec::new();
    let record = args.record.as_deref().map(super::record::read);
    let record = record.transpose()?.map(|(_, record)| record);
    for garden in super::find::gardens(house.gardens(), args.garden.as_deref())? {
        let weather = house.gather(garden, now, Reach::Here).await?;
        let climate = record.as_ref().or(weather.record());
        let climate = climate.and_then(Climate::of);
        let year = args
            .year
            .unwrap_or(garden.garden.place.zone.date(now).year());
        let runs = &weather.forecasts.used;
        let known = Known {
            climate: climate.as_ref(),
            deeds: &weather.deeds,
            sightings: &weather.sightings,
            storms: &storms(runs, &garden.garden.place.zone),
            shared: None,
        };
        plans.push((
            year_plan(&garden.garden, &known, year),
            garden.garden.locale,
        ));
    }
    let mut out = std::io::stdout().lock();
    if args.json {
        let plans: Vec<&YearPlan> = plans.iter().map(|(plan, _)| plan).collect();
        serde_json::to_writer_pretty(&mut out, &plans)?;
        writeln!(out)?;
        return Ok(());
    }
    let detail = if args.brief {
        Detail::Table
    } else {
        Detail::Whole
    };
    let pages = plans.iter();
    let pages: Vec<String> = pages
        .map(|(plan, locale)| plan_page(plan, *locale, detail))
        .collect();
    Ok(write!(out, "{}", pages.join("\n\n"))?)
}
