//! What was understood of a garden file, as values for other programs.

use chrono::{DateTime, FixedOffset, NaiveDate, TimeDelta, Utc};
use serde::Serialize;

use super::{CYCLES_SHOWN, HARD_FREEZE_F, read_in, source};
use crate::climate::freeze::FreezeDates;
use crate::climate::{Climate, DailyRecord};
use crate::config::{ConfigErrors, GardenSettings, MailRoute, Remark, Settings};
use crate::forecast::SourceState;
use crate::garden::{PlannedCut, zone_data_version};
use crate::message::words;
use crate::units::{Celsius, Chance};

/// A garden file that can be used.
#[derive(Debug, Serialize)]
pub(super) struct Understood<'a> {
    valid: bool,
    /// What may not be meant.
    warnings: &'a [Remark],
    /// Files of gardens that cannot be used, and why.
    left_out: Vec<&'a Remark>,
    store: String,
    listen: String,
    mail: Mail<'a>,
    zone_rules: String,
    pub(super) gardens: Vec<OneGarden<'a>>,
}

/// A garden file that cannot be used.
#[derive(Debug, Serialize)]
pub(super) struct Refused<'a> {
    valid: bool,
    faults: &'a [Remark],
}

#[derive(Debug, Serialize)]
struct Mail<'a> {
    from: &'a str,
    folder: Option<String>,
    host: Option<&'a str>,
    port: Option<u16>,
}

#[derive(Debug, Serialize)]
pub(super) struct OneGarden<'a> {
    name: &'a str,
    title: &'a str,
    latitude: f64,
    longitude: f64,
    elevation_m: Option<f64>,
    time_zone: &'a str,
    mail_to: &'a [String],
    forecast_from: Vec<String>,
    next_looks: Vec<DateTime<FixedOffset>>,
    sources: Vec<SourceState>,
    cuts: Vec<OneCut<'a>>,
    record: Option<Record>,
}

#[derive(Debug, Serialize)]
struct OneCut<'a> {
    cut: &'a str,
    planting: &'a str,
    kind: &'a str,
    to_do: String,
    /// The chance of frost that the keeper accepts.
    limit: Chance,
    wished: Option<NaiveDate>,
}

/// The past years that are known.
#[derive(Debug, Serialize)]
struct Record {
    origin: String,
    first: NaiveDate,
    last: NaiveDate,
    /// The years that are whole enough to use; without any no go is given.
    whole_years: usize,
    hardiness_zone: Option<f64>,
    hard_freeze: Option<String>,
}

impl<'a> Understood<'a> {
    /// What the settings say, without their gardens.
    pub(super) fn of(settings: &'a Settings) -> Self {
        let (folder, host, port) = match &settings.mail.route {
            MailRoute::Folder(folder) => (Some(folder.display().to_string()), None, None),
            MailRoute::Smtp { host, port, .. } => (None, Some(host.as_str()), Some(*port)),
        };
        let left_out = settings.left_out.iter();
        Self {
            valid: settings.left_out.is_empty(),
            warnings: &settings.warnings,
            left_out: left_out.flat_map(|left| &left.faults.0).collect(),
            store: settings.store.name(),
            listen: settings.web.listen.to_string(),
            mail: Mail {
                from: &settings.mail.from,
                folder,
                host,
                port,
            },
            zone_rules: zone_data_version().to_string(),
            gardens: Vec::new(),
        }
    }
}

impl<'a> Refused<'a> {
    /// All faults of a file.
    pub(super) fn of(faults: &'a ConfigErrors) -> Self {
        Self {
            valid: false,
            faults: &faults.0,
        }
    }
}

impl<'a> OneGarden<'a> {
    /// A garden with the states of its sources and its past years.
    pub(super) fn of(
        settings: &'a GardenSettings,
        all: &Settings,
        (sources, record): (Vec<SourceState>, Option<&DailyRecord>),
        now: DateTime<Utc>,
    ) -> Self {
        let garden = &settings.garden;
        let place = &garden.place;
        let mut due = Some(now);
        let looks = std::iter::from_fn(|| {
            due = all.schedule.next_after(due?, &place.zone);
            due.map(|at| stamped(at, place.zone.local(at) - at.naive_utc()))
        });
        let cut = |cut: &'a PlannedCut| OneCut {
            cut: &cut.name,
            planting: &cut.planting,
            kind: &cut.kind.id,
            to_do: words::to_do(cut.cut_kind(), read_in(garden)),
            limit: cut.tolerance,
            wished: cut.wished,
        };
        Self {
            name: &garden.name,
            title: &garden.title,
            latitude: place.latitude(),
            longitude: place.longitude(),
            elevation_m: place.elevation.map(|height| height.0),
            time_zone: place.zone.name(),
            mail_to: &garden.mail_to,
            forecast_from: settings.forecasts.iter().map(source).collect(),
            next_looks: looks.flatten().take(CYCLES_SHOWN).collect(),
            sources,
            cuts: garden.cuts.iter().map(cut).collect(),
            record: record.map(|record| Record::of(settings, record)),
        }
    }
}

/// A moment on the clock of a place that is so much ahead of UTC.
fn stamped(at: DateTime<Utc>, ahead: TimeDelta) -> Option<DateTime<FixedOffset>> {
    let seconds = i32::try_from(ahead.num_seconds()).ok()?;
    FixedOffset::east_opt(seconds).map(|offset| at.with_timezone(&offset))
}

impl Record {
    fn of(settings: &GardenSettings, record: &DailyRecord) -> Self {
        let climate = Climate::of(record);
        let garden = &settings.garden;
        let limit = Celsius::from_fahrenheit(HARD_FREEZE_F);
        let freeze = |climate: &Climate| {
            let dates = FreezeDates::of(&climate.record, limit, garden.place.hemisphere());
            words::freeze_dates(&dates, read_in(garden))
        };
        Self {
            origin: record.origin.clone(),
            first: record.first(),
            last: record.last(),
            whole_years: climate.as_ref().map_or(0, |climate| climate.years),
            hardiness_zone: climate.as_ref().map(Climate::hardiness_zone),
            hard_freeze: climate.as_ref().map(freeze),
        }
    }
}
