//! Settings: one TOML file, checked whole.
//!
//! In: the text of the file, the almanac, the environment. Out: [`Settings`] that every other part trusts, or all
//! faults of the file with their lines. Does not open a forecast, a record or the store, and does not know the time.

mod check;
mod choices;
mod duration;
mod faults;
mod folder;
mod garden;
mod history;
mod kinds;
mod letters;
mod mail;
mod new_file;
mod paid;
mod place;
mod planting;
mod plants;
mod raw;
mod schedule;
mod secret;
mod shape;
mod slug;
mod sources;
mod store;
mod supervisor;
mod syntax;
mod thermometer;
mod web;
mod wish;
mod zone;

use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use chrono::{DateTime, TimeDelta, Utc};
use secrecy::SecretString;

use crate::almanac::{self, Almanac};
use crate::climate::Site;
use crate::garden::Garden;
use crate::locale::{Language, Locale};
use crate::thermometer::{Hung, Layout};
use crate::units::UnitSystem;

use check::{Checker, Stated};
use faults::{Checked, Faults, START};
use raw::RawFile;

pub use faults::{ConfigErrors, Remark, Warning};
pub use folder::LeftOut;
pub use garden::{DOUBT, TOLERANCE};
pub use history::{ARCHIVE_URL, HISTORY_YEARS};
pub use new_file::{NewFileError, NewGarden, NewPlant, new_file, write_new};
pub use schedule::{LocalTimes, ScheduleError};
pub use sources::{ENSEMBLE_URL, FORECAST_URL, MET_NORWAY_URL, NWS_URL, TIMEOUT};
pub use store::{DatabaseSettings, StoreSettings};
pub use supervisor::notify_socket;
pub use wish::Wish;
pub use zone::find_zone;

/// The store of a file that names none.
pub const STORE: &str = "budward.sqlite3";
/// The address of a file that names none: this machine alone.
pub const LISTEN: SocketAddr = SocketAddr::new(IpAddr::V4(Ipv4Addr::LOCALHOST), 8427);
/// The schedule of a file that names none: before the day's work and before the evening.
pub const CYCLE: &str = "30 5,14 * * *";

/// Everything that the file sets.
#[derive(Debug, Clone)]
pub struct Settings {
    /// The language of pages that belong to no garden, and of gardens that name none.
    pub language: Language,
    /// Where the store is kept.
    pub store: StoreSettings,
    /// Where the page is served, and whom it answers.
    pub web: WebSettings,
    /// When the weather is looked at, on the local clock of each garden.
    pub schedule: LocalTimes,
    /// How mails leave.
    pub mail: MailSettings,
    /// What all weather services are told.
    pub weather: WeatherSettings,
    /// The almanac with the kinds that the file adds or changes.
    pub almanac: Arc<Almanac>,
    /// The gardens in the order of the file, then those of the folder.
    pub gardens: Vec<Arc<GardenSettings>>,
    /// The folder of further files with gardens.
    pub garden_folder: Option<PathBuf>,
    /// The files of the folder that cannot be used.
    pub left_out: Vec<LeftOut>,
    /// What is legal and may not be meant, in the order of the file.
    pub warnings: Vec<Warning>,
    /// The wished days with their places in the file, for [`Settings::check_wishes`].
    pub wishes: Vec<Wish>,
}

impl Settings {
    /// How the pages that belong to no garden are read.
    pub fn locale(&self) -> Locale {
        Locale::new(self.language, UnitSystem::default())
    }
}

/// Where the page is served, and whom it answers.
#[derive(Debug, Clone)]
pub struct WebSettings {
    /// Where it is served.
    pub listen: SocketAddr,
    /// Where it is reached from outside, for the links in mails; none for mails without links.
    pub address: Option<String>,
    /// What a reader has to show; none where everybody who reaches it may read.
    pub token: Option<SecretString>,
    /// Names under which it may be asked for, beside those of this machine and of `address`.
    pub hosts: Vec<String>,
    /// The proxies that are believed when they say for whom they ask.
    pub proxies: Vec<IpAddr>,
}

/// What all weather services are told.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WeatherSettings {
    /// A mail or web address of whoever runs this; empty when no garden asks a service.
    pub contact: String,
    /// How long one answer may take.
    pub timeout: Duration,
}

/// One garden and where its weather comes from.
#[derive(Debug, Clone)]
pub struct GardenSettings {
    /// The file in which it stands.
    pub file: PathBuf,
    /// The garden.
    pub garden: Garden,
    /// Where its forecasts come from, in the keeper's order.
    pub forecasts: Vec<ForecastSource>,
    /// Where its past years come from.
    pub history: HistorySettings,
    /// How old a forecast may be and still support a go.
    pub fresh_for: TimeDelta,
    /// Its own thermometer, if it has one.
    pub thermometer: Option<ThermometerSettings>,
}

/// A garden's own thermometer.
#[derive(Debug, Clone)]
pub struct ThermometerSettings {
    /// Where it hangs.
    pub hung: Hung,
    /// The file that its station writes.
    pub station: Option<StationFile>,
    /// What whoever posts readings has to show; none when nobody may.
    pub token: Option<SecretString>,
}

/// The file of a weather station.
#[derive(Debug, Clone, PartialEq)]
pub struct StationFile {
    /// Where it is.
    pub path: PathBuf,
    /// How it is written.
    pub layout: Layout,
}

/// One of the sources of a garden's forecasts.
#[derive(Debug, Clone)]
pub struct ForecastSource {
    /// Where it comes from.
    pub from: ForecastSettings,
    /// How old its data may be and still support a go.
    pub fresh_for: TimeDelta,
}

/// Where a forecast comes from.
#[derive(Debug, Clone)]
pub enum ForecastSettings {
    /// The service of Open-Meteo, or one with the same interface.
    OpenMeteo {
        /// Address of the forecast.
        url: String,
        /// Address of the ensemble.
        ensemble_url: String,
        /// Which ensemble; none leaves it to the program.
        ensemble_model: Option<String>,
        /// Address of the page that tells when a model's newest run came.
        freshness_url: Option<String>,
        /// The key of a paid plan.
        key: Option<SecretString>,
    },
    /// MET Norway's Locationforecast.
    MetNorway {
        /// Address of the complete product.
        url: String,
    },
    /// The US National Weather Service.
    Nws {
        /// Address before the path.
        url: String,
    },
    /// Files in the same format, for trials and for places without a line.
    Files {
        /// The forecast.
        forecast: PathBuf,
        /// The ensemble.
        ensemble: Option<PathBuf>,
        /// When it was computed; none leaves it to the file.
        data_at: Option<DateTime<Utc>>,
    },
}

/// Where the past years of a place come from.
#[derive(Debug, Clone)]
pub enum HistorySettings {
    /// The archive of Open-Meteo, or one with the same interface.
    OpenMeteo {
        /// Address of the archive.
        url: String,
        /// How many past years.
        years: u32,
        /// The key of a paid plan.
        key: Option<SecretString>,
    },
    /// A station file of GHCN-Daily.
    GhcnFile(HistoryFile),
    /// An answer of the archive, kept as a file.
    ArchiveFile(HistoryFile),
    /// None at all.
    None,
}

/// A file of past years.
#[derive(Debug, Clone, PartialEq)]
pub struct HistoryFile {
    /// Where it is.
    pub path: PathBuf,
    /// Where it was measured, if the keeper says so.
    pub site: Option<Site>,
}

/// How mails leave.
#[derive(Debug, Clone)]
pub struct MailSettings {
    /// The sender's address.
    pub from: String,
    /// The way out.
    pub route: MailRoute,
}

/// The way out for mails.
#[derive(Debug, Clone)]
pub enum MailRoute {
    /// Each mail becomes a file.
    Folder(PathBuf),
    /// A mail server.
    Smtp {
        /// Its name.
        host: String,
        /// Its port.
        port: u16,
        /// How the line is kept secret.
        security: Security,
        /// Name and password, where it wants them.
        login: Option<Login>,
        /// The name with which to greet it; none leaves it to the program.
        hello: Option<String>,
    },
}

/// How the line to a mail server is kept secret.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Security {
    /// Encrypted after a plain greeting; not without.
    StartTls,
    /// Encrypted from the first byte.
    Tls,
    /// Not at all; only to this machine.
    Plain,
}

/// Name and password at a mail server.
#[derive(Debug, Clone)]
pub struct Login {
    /// The name.
    pub user: String,
    /// The password.
    pub password: SecretString,
}

impl Settings {
    /// The settings of a file.
    ///
    /// # Errors
    /// When it cannot be read or has faults: all of them.
    pub fn read(file: &Path) -> Result<Self, ConfigErrors> {
        let on_file = |what: String| ConfigErrors(vec![Remark::on_file(file, what)]);
        let text = std::fs::read_to_string(file)
            .map_err(|error| on_file(format!("cannot read the settings: {error}")))?;
        let almanac = almanac::embedded()
            .map_err(|error| on_file(format!("cannot read the built-in almanac: {error}")))?;
        #[allow(
            clippy::disallowed_methods,
            reason = "the one place that reads the environment"
        )]
        let env = |name: &str| std::env::var(name).ok();
        let settings = Self::parse(&text, file, &almanac, &env)?;
        match settings.garden_folder.clone() {
            Some(folder) => settings.with_folder((file, &folder), &env),
            None => Ok(settings),
        }
    }

    /// The settings in a text that lies in `file`, without the gardens of its `garden_folder`; relative paths are taken
    /// from its folder.
    ///
    /// # Errors
    /// When it has faults: all of them, in line order.
    pub fn parse(
        text: &str,
        file: &Path,
        almanac: &Almanac,
        env: &dyn Fn(&str) -> Option<String>,
    ) -> Result<Self, ConfigErrors> {
        let mut faults = Faults::new(file, text);
        let raw = shape::read::<RawFile>(&mut faults);
        let mut checker = Checker {
            faults,
            folder: file.parent().unwrap_or(Path::new("")),
            almanac: Arc::new(almanac.clone()),
            env,
            wishes: Vec::new(),
            stated: Stated::new(),
        };
        let settings = raw.and_then(|raw| checker.settings(&raw));
        let (settings, warnings) = checker.faults.close(settings)?;
        Ok(Self {
            warnings,
            ..settings
        })
    }
}

impl Checker<'_> {
    fn settings(&mut self, raw: &RawFile) -> Checked<Settings> {
        let store = self.store(raw.store.as_ref().map(toml::Spanned::get_ref));
        let web = self.web(raw.web.as_ref());
        let cycle = raw
            .schedule
            .as_ref()
            .and_then(|raw| raw.get_ref().cycle.as_ref());
        let schedule = match cycle {
            Some(value) => self.schedule(value.get_ref(), &value.span()),
            None => self.schedule(CYCLE, &START),
        };
        let mail = self.mail(raw.mail.as_ref());
        let weather = self.weather(raw.weather.as_ref(), &raw.garden);
        self.kinds(&raw.kind);
        let language = raw.language.as_ref().map(|value| self.language(value));
        let language = language.unwrap_or(Ok(Language::default()));
        let folder = raw.garden_folder.as_ref();
        let folder = folder.map(|folder| self.path(("garden_folder", folder)));
        let gardens = if raw.garden.is_empty() && folder.is_some() {
            Ok(Vec::new())
        } else {
            self.gardens(&raw.garden, language)
        };
        Ok(Settings {
            language: language?,
            store: store?,
            web: web?,
            schedule: schedule?,
            mail: mail?,
            weather: weather?,
            almanac: Arc::clone(&self.almanac),
            gardens: gardens?,
            garden_folder: folder.transpose()?,
            left_out: Vec::new(),
            warnings: Vec::new(),
            wishes: std::mem::take(&mut self.wishes),
        })
    }

    fn schedule(&mut self, text: &str, span: &Range<usize>) -> Checked<LocalTimes> {
        LocalTimes::parse(text).map_err(|error| {
            let (allowed, hint) = error.remedy();
            let fault = self.faults.remark(span, format!("cycle {error}"));
            self.tell(fault.allowed(allowed).hint(hint))
        })
    }
}
