//! The edge where forecasts and records of past years come from: services on the net and files on disk.
//!
//! In: a place, and where to ask. Out: a [`Forecast`], a [`DailyRecord`] or a height, or a [`WeatherError`] that says
//! what may be done next. Does not judge what came, and asks a service one thing at a time.

mod error;
mod fetch;
mod files;
mod hours;
mod open_meteo;
mod quantity;
mod question;

use std::fmt;
use std::path::PathBuf;

use chrono::{DateTime, Utc};

use crate::climate::DailyRecord;
use crate::forecast::Forecast;
use crate::garden::Place;
use crate::units::Metres;

pub use error::{NextStep, WeatherError};
pub use fetch::{BODY_CAP, Fetcher, Patience};
pub use question::ReplyError;

/// Where the forecast comes from.
#[derive(Clone, PartialEq, Eq)]
pub enum ForecastFrom {
    /// Open-Meteo or a server that speaks as it does.
    OpenMeteo {
        /// Whole address of the forecast endpoint; a query in it, such as an API key, is kept.
        url: String,
        /// Whole address of the ensemble endpoint.
        ensemble_url: String,
        /// Which ensemble to ask for, such as icon_seamless; none means the main run only.
        ensemble_model: Option<String>,
    },
    /// Recorded Open-Meteo replies.
    Files {
        /// The forecast reply.
        forecast: PathBuf,
        /// The ensemble reply, if there is one.
        ensemble: Option<PathBuf>,
        /// When the data were made; none means the first hour of the reply, since the file's own date says nothing.
        data_at: Option<DateTime<Utc>>,
    },
}

/// Where the record of past years comes from.
#[derive(Clone, PartialEq, Eq)]
pub enum HistoryFrom {
    /// Open-Meteo's archive or a server that speaks as it does.
    OpenMeteo {
        /// Whole address of the archive endpoint; a query in it, such as an API key, is kept.
        url: String,
        /// How many years to ask for.
        years: u32,
    },
    /// A GHCN-Daily station file (`.dly`).
    GhcnFile(PathBuf),
    /// A recorded reply of Open-Meteo's archive.
    ArchiveFile(PathBuf),
}

impl Fetcher {
    /// The newest forecast for the place.
    ///
    /// A service that does not tell when its data were made is taken to have made them when
    /// they first came. An ensemble that does
    /// not come, and hourly conditions that cannot be read, are warned about in the log and left out: the temperatures
    /// of the main run stand alone.
    ///
    /// # Errors
    /// When the main run does not come or cannot be read; for files also when the ensemble's or the conditions cannot.
    pub async fn forecast(
        &self,
        from: &ForecastFrom,
        place: &Place,
        now: DateTime<Utc>,
    ) -> Result<Forecast, WeatherError> {
        match from {
            ForecastFrom::OpenMeteo {
                url,
                ensemble_url,
                ensemble_model,
            } => {
                let question = open_meteo::forecast(place);
                let (mut run, came_at) = self.ask_dated(url, &question, now).await?;
                let members = match ensemble_model {
                    Some(model) => self
                        .ask(ensemble_url, &open_meteo::ensemble(place, model), now)
                        .await
                        .unwrap_or_else(|error| {
                            tracing::warn!(%error, model, "the forecast goes on without its ensemble");
                            Vec::new()
                        }),
                    None => Vec::new(),
                };
                let conditions = run.take_conditions().unwrap_or_else(|error| {
                    tracing::warn!(%error, "the forecast goes on without its hourly conditions");
                    None
                });
                Ok(Forecast {
                    members,
                    conditions,
                    ..run.into_forecast(open_meteo::NAME.to_owned(), came_at)
                })
            }
            ForecastFrom::Files {
                forecast,
                ensemble,
                data_at,
            } => files::forecast(forecast, ensemble.as_deref(), *data_at).await,
        }
    }

    /// The record of past years at the place, as it stands `now`.
    ///
    /// # Errors
    /// When it does not come or cannot be read.
    pub async fn history(
        &self,
        from: &HistoryFrom,
        place: &Place,
        now: DateTime<Utc>,
    ) -> Result<DailyRecord, WeatherError> {
        match from {
            HistoryFrom::OpenMeteo { url, years } => {
                let question = open_meteo::archive(place, *years, place.zone.date(now));
                self.ask(url, &question, now).await
            }
            HistoryFrom::GhcnFile(path) => files::ghcn(path).await,
            HistoryFrom::ArchiveFile(path) => files::archive(path).await,
        }
    }

    /// The height of the place, from the elevation endpoint at `url`.
    ///
    /// # Errors
    /// When it does not come or cannot be read.
    pub async fn elevation(
        &self,
        url: &str,
        place: &Place,
        now: DateTime<Utc>,
    ) -> Result<Metres, WeatherError> {
        self.ask(url, &open_meteo::elevation(place), now).await
    }
}

impl ForecastFrom {
    /// The name of the source, as [`Forecast::source`] has it.
    pub fn name(&self) -> String {
        match self {
            Self::OpenMeteo { .. } => open_meteo::NAME.to_owned(),
            Self::Files { forecast, .. } => files::name(forecast),
        }
    }

    /// Whether it is a service, which is asked with care; a file may be read at any time.
    pub const fn is_service(&self) -> bool {
        match self {
            Self::OpenMeteo { .. } => true,
            Self::Files { .. } => false,
        }
    }
}

/// In words, without the addresses: these may hold a key.
impl fmt::Display for ForecastFrom {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OpenMeteo {
                ensemble_model: None,
                ..
            } => f.write_str(open_meteo::NAME),
            Self::OpenMeteo {
                ensemble_model: Some(model),
                ..
            } => write!(f, "{} with ensemble {model}", open_meteo::NAME),
            Self::Files { forecast, .. } => write!(f, "file {}", forecast.display()),
        }
    }
}

/// In words, without the address: it may hold a key.
impl fmt::Display for HistoryFrom {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OpenMeteo { years, .. } => {
                write!(f, "{} archive, {years} years", open_meteo::NAME)
            }
            Self::GhcnFile(path) => write!(f, "station file {}", path.display()),
            Self::ArchiveFile(path) => write!(f, "archive file {}", path.display()),
        }
    }
}

impl fmt::Debug for ForecastFrom {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl fmt::Debug for HistoryFrom {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}
