//! `check` tells what was understood of the garden file.

mod understood;

use std::io::Write;

use chrono::{DateTime, Utc};
use clap::Args;

use super::board::print_wrapped;
use super::once::open;
use super::{Exit, FileArgs};
use crate::climate::freeze::FreezeDates;
use crate::climate::{Climate, DailyRecord};
use crate::config::{
    ConfigErrors, ForecastSettings, ForecastSource, GardenSettings, HistorySettings, MailRoute,
    Settings,
};
use crate::daemon::{House, Reach};
use crate::garden::{Garden, zone_data_version};
use crate::locale::Locale;
use crate::message::words;
use crate::units::Celsius;
use understood::{OneGarden, Refused, Understood};

/// Read the garden file and tell what was understood.
#[derive(Debug, Clone, Args)]
pub(super) struct CheckArgs {
    #[command(flatten)]
    file: FileArgs,
    /// As JSON; of a file that is wrong its faults, each with file, line and column.
    #[arg(long)]
    json: bool,
}

/// A hard freeze: 28 °F or less (US National Weather Service offices, growing-season pages).
const HARD_FREEZE_F: f64 = 28.0;

/// How many coming cycles are shown.
const CYCLES_SHOWN: usize = 3;

pub(super) async fn check(args: &CheckArgs) -> anyhow::Result<()> {
    if args.json {
        return as_json(&args.file).await;
    }
    let (house, now, _) = open(&args.file.config, None)?;
    let mut out = std::io::stdout().lock();
    let left_out = &house.settings.left_out;
    let file = args.file.config.display();
    if left_out.is_empty() {
        writeln!(out, "{file} is valid.")?;
    } else {
        writeln!(
            out,
            "{file} is valid, {} of its garden files are not:",
            left_out.len()
        )?;
        for left in left_out {
            writeln!(out, "{}", left.faults)?;
        }
    }
    for warning in &house.settings.warnings {
        print_wrapped(&mut out, &format!("Warning: {warning}"), 0)?;
    }
    tell_edges(&mut out, &house.settings)?;
    for garden in house.gardens() {
        let weather = house.gather(garden, now, Reach::Here).await?;
        writeln!(out)?;
        tell_garden(&mut out, garden, &house.settings, now)?;
        for state in house.source_states(garden).await? {
            let zone = &garden.garden.place.zone;
            let locale = read_in(&garden.garden);
            let clock = |at| locale.near_moment(zone.local(at));
            let told = words::source_state(&state, now, clock, locale);
            print_wrapped(&mut out, &format!("{told}."), 2)?;
        }
        tell_record(&mut out, garden, weather.record())?;
    }
    all_used(&house)
}

/// Whether every file of gardens can be used.
fn all_used(house: &House) -> anyhow::Result<()> {
    if house.settings.left_out.is_empty() {
        Ok(())
    } else {
        Err(Exit::LeftOut.into())
    }
}

async fn as_json(file: &FileArgs) -> anyhow::Result<()> {
    let opened = open(&file.config, None);
    let mut out = std::io::stdout().lock();
    if let Err(error) = &opened
        && let Some(faults) = error.downcast_ref::<ConfigErrors>()
    {
        serde_json::to_writer_pretty(&mut out, &Refused::of(faults))?;
        writeln!(out)?;
    }
    let (house, now, _) = opened?;
    let mut understood = Understood::of(&house.settings);
    for garden in house.gardens() {
        let weather = house.gather(garden, now, Reach::Here).await?;
        let known = (house.source_states(garden).await?, weather.record());
        let garden = OneGarden::of(garden, &house.settings, known, now);
        understood.gardens.push(garden);
    }
    serde_json::to_writer_pretty(&mut out, &understood)?;
    writeln!(out)?;
    all_used(&house)
}

fn tell_edges(out: &mut impl Write, settings: &Settings) -> std::io::Result<()> {
    let route = match &settings.mail.route {
        MailRoute::Folder(folder) => format!("written as files to {}", folder.display()),
        MailRoute::Smtp { host, port, .. } => format!("sent through {host}, port {port}"),
    };
    writeln!(out, "Mails from {} are {route}.", settings.mail.from)?;
    writeln!(
        out,
        "Store: {}. Page: http://{}/",
        settings.store.name(),
        settings.web.listen
    )?;
    writeln!(out, "Time zone rules: {}.", zone_data_version())
}

/// What is told of the file is English, whatever the keeper of the garden reads.
fn read_in(garden: &Garden) -> Locale {
    Locale::english(garden.locale.units)
}

fn tell_garden(
    out: &mut impl Write,
    settings: &GardenSettings,
    all: &Settings,
    now: DateTime<Utc>,
) -> std::io::Result<()> {
    let garden = &settings.garden;
    let place = &garden.place;
    let height = place.elevation.map_or_else(
        || "height not known".to_owned(),
        |height| garden.locale.units.length(height),
    );
    writeln!(out, "{} ({})", garden.title, garden.name)?;
    writeln!(
        out,
        "  at {:.4}, {:.4}; {height}; {}",
        place.latitude(),
        place.longitude(),
        place.zone.name()
    )?;
    let forecasts: Vec<String> = settings.forecasts.iter().map(source).collect();
    writeln!(out, "  forecast from {}", forecasts.join(", then "))?;
    let mut due = Some(now);
    let cycles: Vec<String> = std::iter::from_fn(|| {
        due = all.schedule.next_after(due?, &place.zone);
        due.map(|at| place.zone.local(at).format("%a %-d %b %H:%M").to_string())
    })
    .take(CYCLES_SHOWN)
    .collect();
    writeln!(out, "  looks at the weather next on {}", cycles.join(", "))?;
    let to = if garden.mail_to.is_empty() {
        "nobody".to_owned()
    } else {
        garden.mail_to.join(" and ")
    };
    writeln!(
        out,
        "  mails go to {to}; {} cuts are watched:",
        garden.cuts.len()
    )?;
    for cut in &garden.cuts {
        let wished = cut
            .wished
            .map(|day| format!(", wished for {day}"))
            .unwrap_or_default();
        let limit = cut.tolerance.in_hundred();
        writeln!(
            out,
            "    {:<40} {}, limit {limit:.0} of 100{wished}",
            cut.name,
            words::to_do(cut.cut_kind(), read_in(garden))
        )?;
    }
    Ok(())
}

fn tell_record(
    out: &mut impl Write,
    settings: &GardenSettings,
    record: Option<&DailyRecord>,
) -> std::io::Result<()> {
    let Some(record) = record else {
        let why = match settings.history {
            HistorySettings::None => "the file names none: no go will be given",
            HistorySettings::OpenMeteo { .. } => "not fetched yet; the first cycle does",
            HistorySettings::GhcnFile(_) | HistorySettings::ArchiveFile(_) => {
                "the file cannot be read: no go will be given"
            }
        };
        return writeln!(out, "  record of past years: {why}");
    };
    let Some(climate) = Climate::of(record) else {
        return writeln!(
            out,
            "  record of past years: {} has too few whole years: no go will be given",
            record.origin
        );
    };
    let garden = &settings.garden;
    tell_site(out, garden, (record, &climate))?;
    writeln!(
        out,
        "  hardiness zone about {:.1}",
        climate.hardiness_zone()
    )?;
    let limit = Celsius::from_fahrenheit(HARD_FREEZE_F);
    let told = |record: &DailyRecord| {
        words::freeze_dates(
            &FreezeDates::of(record, limit, garden.place.hemisphere()),
            read_in(garden),
        )
    };
    let nights = format!(
        "nights of {} or less: {}",
        garden.locale.units.temperature(limit),
        told(&climate.record)
    );
    print_wrapped(out, &nights, 2)?;
    let Some((trend, now)) = climate.trend_per_decade().zip(climate.record_of_now()) else {
        return Ok(());
    };
    let trend = garden.locale.units.fine_step(trend);
    print_wrapped(
        out,
        &format!(
            "with the nights' trend, {trend} a decade, taken in: {}",
            told(&now)
        ),
        2,
    )
}

/// Where a record was measured, and how well it knows a chance.
fn tell_site(
    out: &mut impl Write,
    garden: &Garden,
    (record, climate): (&DailyRecord, &Climate),
) -> std::io::Result<()> {
    let site = climate.site.map(|site| site.from(&garden.place));
    let unsaid = if site.is_none() {
        "; where it was measured the file does not say: give latitude, longitude and elevation in [garden.history]"
    } else {
        ""
    };
    let title = format!(
        "record of past years: {}{}{unsaid}",
        climate.title(),
        words::site(site, read_in(garden))
    );
    print_wrapped(out, &title, 2)?;
    let known = format!(
        "its days run over {} years, {} of which are whole enough to use: a chance of 10 of 100 is known to about {:.0} \
         of 100 either way",
        years_between(record),
        climate.years,
        words::off_by(climate.years)
    );
    print_wrapped(out, &known, 2)
}

/// Years from the first to the last day of a record, begun ones counted.
fn years_between(record: &DailyRecord) -> u32 {
    let whole = record.last().years_since(record.first());
    whole.unwrap_or_default() + 1
}

/// A source of forecasts, in words.
fn source(source: &ForecastSource) -> String {
    match &source.from {
        ForecastSettings::OpenMeteo {
            ensemble_model: Some(model),
            ..
        } => format!("Open-Meteo with the ensemble {model}"),
        ForecastSettings::OpenMeteo {
            ensemble_model: None,
            ..
        } => "Open-Meteo".to_owned(),
        ForecastSettings::MetNorway { .. } => "MET Norway".to_owned(),
        ForecastSettings::Nws { .. } => "the US National Weather Service".to_owned(),
        ForecastSettings::Files { forecast, .. } => forecast.display().to_string(),
    }
}
