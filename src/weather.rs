//! The edge where forecasts and records of past years come from: services on the net and files on disk.
//!
//! In: a place, and where to ask. Out: a [`Forecast`], a [`DailyRecord`](crate::climate::DailyRecord) or a height, or a [`WeatherError`] that says
//! what may be done next. Does not judge what came, and asks a service one thing at a time.

mod asked;
mod error;
mod fetch;
mod files;
mod history;
mod hours;
mod json;
mod met_norway;
mod nws;
mod open_meteo;
mod payload;
mod quantity;
mod question;
mod rows;
mod run;

use std::fmt;
use std::path::PathBuf;

use chrono::{DateTime, TimeDelta, Utc};
use secrecy::SecretString;

use crate::forecast::{Forecast, FrostWarning};
use crate::garden::Place;
use crate::units::Metres;

use history::door;
use run::{Run, Service, cell};

pub use error::{NextStep, WeatherError};
#[cfg(fuzzing)]
pub use fetch::pause_of;
pub use fetch::{BODY_CAP, Fetcher, Patience};
pub use history::ArchiveFrom;
pub use payload::Payload;
pub use question::ReplyError;

/// How far the clock of a service may be ahead of ours; data from later than that are not what they say.
const CLOCKS_APART: TimeDelta = TimeDelta::hours(1);

/// Where the forecast comes from.
#[derive(Clone)]
pub enum ForecastFrom {
    /// Open-Meteo or a server that speaks as it does.
    OpenMeteo {
        /// Whole address of the forecast endpoint; a query in it, such as an API key, is kept.
        url: String,
        /// Whole address of the ensemble endpoint.
        ensemble_url: String,
        /// Which ensemble to ask for, such as icon_seamless; none means the main run only.
        ensemble_model: Option<String>,
        /// Whole address of the page that tells when a model's newest run came, `.../data/<model>/static/meta.json`;
        /// none takes the data to be as new as the reply.
        freshness_url: Option<String>,
        /// The key of a paid plan.
        key: Option<SecretString>,
    },
    /// MET Norway's Locationforecast.
    MetNorway {
        /// Whole address of the complete product.
        url: String,
    },
    /// The US National Weather Service.
    Nws {
        /// The address before `/points`, `/gridpoints` and `/alerts`.
        url: String,
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
                freshness_url,
                key,
            } => {
                let key = key.as_ref();
                // Asked first: a run that comes in between is then newer than it is taken for, not older.
                let made_at = match freshness_url {
                    Some(page) => Some(
                        self.ask(page, &open_meteo::freshness().with_key(key), now)
                            .await?,
                    ),
                    None => None,
                };
                let question = open_meteo::forecast(place).with_key(key);
                let (run, came_at) = self.ask_dated(url, &question, now).await?;
                let members = match ensemble_model {
                    Some(model) => self
                        .ask(
                            ensemble_url,
                            &open_meteo::ensemble(place, model).with_key(key),
                            now,
                        )
                        .await
                        .unwrap_or_else(|error| {
                            tracing::warn!(%error, model, "the forecast goes on without its ensemble");
                            Vec::new()
                        }),
                    None => Vec::new(),
                };
                let made_at = Some(made_at.unwrap_or(came_at));
                let run = Run { made_at, ..run };
                let forecast = received(run, open_meteo::SERVICE, now)?;
                Ok(Forecast {
                    members,
                    ..forecast
                })
            }
            ForecastFrom::MetNorway { url } => {
                let run = self.ask(url, &met_norway::forecast(place), now).await?;
                received(run, met_norway::SERVICE, now)
            }
            ForecastFrom::Nws { url } => {
                let run = self.nws(url, place, now).await?;
                received(run, nws::SERVICE, now)
            }
            ForecastFrom::Files {
                forecast,
                ensemble,
                data_at,
            } => {
                let files = (forecast.as_path(), ensemble.as_deref());
                self.files.forecast(files, *data_at).await
            }
        }
    }

    /// The official warnings of frost and freeze at the place; none when the source gives no warnings at all.
    ///
    /// # Errors
    /// When they do not come or cannot be read.
    pub async fn warnings(
        &self,
        from: &ForecastFrom,
        place: &Place,
        now: DateTime<Utc>,
    ) -> Result<Option<Vec<FrostWarning>>, WeatherError> {
        match from {
            ForecastFrom::Nws { url } => self.nws_warnings(url, place, now).await.map(Some),
            ForecastFrom::OpenMeteo { .. }
            | ForecastFrom::MetNorway { .. }
            | ForecastFrom::Files { .. } => Ok(None),
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
            Self::OpenMeteo { .. } => open_meteo::SERVICE.name.to_owned(),
            Self::MetNorway { .. } => met_norway::SERVICE.name.to_owned(),
            Self::Nws { .. } => nws::SERVICE.name.to_owned(),
            Self::Files { forecast, .. } => files::name(forecast),
        }
    }

    /// What tells its forecasts of a place from any others, in the zone in which their days are read: what is asked, without
    /// query and key.
    pub fn question(&self, place: &Place) -> String {
        let [latitude, longitude] = cell(place);
        let zone = place.zone.name();
        let at = format!("{latitude},{longitude} {zone}");
        let name = self.name();
        match self {
            Self::OpenMeteo {
                url,
                ensemble_url,
                ensemble_model,
                freshness_url,
                key: _,
            } => {
                let model = ensemble_model.as_ref();
                let ensemble = model.map(|model| format!(" {}:{model}", door(ensemble_url)));
                let freshness = freshness_url
                    .as_ref()
                    .map(|page| format!(" {}", door(page)));
                let [ensemble, freshness] = [ensemble, freshness].map(Option::unwrap_or_default);
                format!("{name} {}{ensemble}{freshness} {at}", door(url))
            }
            Self::MetNorway { url } => {
                let height = place
                    .elevation
                    .map_or_else(String::new, met_norway::altitude);
                format!("{name} {} {at} {height}", door(url))
            }
            Self::Nws { url } => {
                let at = nws::at(place);
                format!("{name} {} {at} {zone}", door(url))
            }
            // When the data of a file were made is told anew with each that takes its place.
            Self::Files {
                forecast,
                ensemble,
                data_at: _,
            } => {
                let ensemble = ensemble.as_ref();
                let ensemble = ensemble.map(|file| format!(" {}", file.display()));
                let ensemble = ensemble.unwrap_or_default();
                format!("file {}{ensemble} {zone}", forecast.display())
            }
        }
    }

    /// Whether it is a service, which is asked with care; a file may be read at any time.
    pub const fn is_service(&self) -> bool {
        match self {
            Self::OpenMeteo { .. } | Self::MetNorway { .. } | Self::Nws { .. } => true,
            Self::Files { .. } => false,
        }
    }
}

/// What a service gave, as a forecast; conditions that cannot be read are left out.
fn received(mut run: Run, service: Service, now: DateTime<Utc>) -> Result<Forecast, WeatherError> {
    let made_at = run.made_at.unwrap_or(now);
    if made_at > now + CLOCKS_APART {
        let what = format!("is {made_at}, later than now ({now})");
        return Err(WeatherError::Unreadable {
            service: service.name.to_owned(),
            problem: ReplyError::field("the time of the data", what),
        });
    }
    let conditions = run.take_conditions().unwrap_or_else(|error| {
        tracing::warn!(%error, "the forecast goes on without its hourly conditions");
        None
    });
    let name = service.name.to_owned();
    Ok(Forecast {
        conditions,
        ..run.into_forecast(name, service.attribution, made_at.min(now))
    })
}

/// In words, without the addresses: these may hold a key.
impl fmt::Display for ForecastFrom {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OpenMeteo {
                ensemble_model: None,
                ..
            } => f.write_str(open_meteo::SERVICE.name),
            Self::OpenMeteo {
                ensemble_model: Some(model),
                ..
            } => write!(f, "{} with ensemble {model}", open_meteo::SERVICE.name),
            Self::MetNorway { .. } => f.write_str(met_norway::SERVICE.name),
            Self::Nws { .. } => f.write_str(nws::SERVICE.name),
            Self::Files { forecast, .. } => write!(f, "file {}", forecast.display()),
        }
    }
}

impl fmt::Debug for ForecastFrom {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}
