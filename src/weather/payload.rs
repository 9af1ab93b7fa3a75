//! Replies that are already at hand as bytes, read without asking anyone.

use chrono::{DateTime, Utc};

use super::question::ReplyError;
use super::run::{Run, Service};
use super::{files, met_norway, nws, open_meteo};
use crate::forecast::Forecast;

/// What some bytes are said to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Payload {
    /// A forecast of Open-Meteo.
    OpenMeteoForecast,
    /// An ensemble of Open-Meteo.
    OpenMeteoEnsemble,
    /// Past days of Open-Meteo's archive.
    OpenMeteoArchive,
    /// A model's page of Open-Meteo that tells when its newest run came.
    OpenMeteoFreshness,
    /// A height of Open-Meteo.
    OpenMeteoElevation,
    /// A forecast of MET Norway.
    MetNorway,
    /// A point of the US National Weather Service.
    NwsPoint,
    /// A grid cell of the US National Weather Service.
    NwsGrid,
    /// Alerts of the US National Weather Service.
    NwsAlerts,
    /// A station file of GHCN-Daily.
    GhcnStation,
}

impl Payload {
    /// Every one.
    pub const ALL: [Self; 10] = [
        Self::OpenMeteoForecast,
        Self::OpenMeteoEnsemble,
        Self::OpenMeteoArchive,
        Self::OpenMeteoFreshness,
        Self::OpenMeteoElevation,
        Self::MetNorway,
        Self::NwsPoint,
        Self::NwsGrid,
        Self::NwsAlerts,
        Self::GhcnStation,
    ];

    /// Reads the bytes: the forecast that they hold, whole and with its conditions; none where they hold something else
    /// than a main run. Data that do not tell their age are as old as `received_at`.
    ///
    /// # Errors
    /// When they cannot be read.
    pub fn read(
        self,
        body: &[u8],
        received_at: DateTime<Utc>,
    ) -> Result<Option<Forecast>, ReplyError> {
        let main = |run, service| whole(run, service, received_at).map(Some);
        match self {
            Self::OpenMeteoForecast => main(open_meteo::read_run(body)?, open_meteo::SERVICE),
            Self::MetNorway => main(met_norway::read(body)?, met_norway::SERVICE),
            Self::NwsGrid => main(nws::read_grid(body)?, nws::SERVICE),
            Self::OpenMeteoEnsemble => open_meteo::read_members(body).map(|_| None),
            Self::OpenMeteoArchive => open_meteo::read_record(body).map(|_| None),
            Self::OpenMeteoFreshness => open_meteo::read_freshness(body).map(|_| None),
            Self::OpenMeteoElevation => open_meteo::read_elevation(body).map(|_| None),
            Self::NwsPoint => nws::read_point(body).map(|_| None),
            Self::NwsAlerts => nws::read_alerts(body).map(|_| None),
            Self::GhcnStation => files::read_ghcn(body).map(|_| None),
        }
    }
}

fn whole(
    mut run: Run,
    service: Service,
    received_at: DateTime<Utc>,
) -> Result<Forecast, ReplyError> {
    let conditions = run.take_conditions()?;
    let data_at = run.made_at.unwrap_or(received_at);
    Ok(Forecast {
        conditions,
        ..run.into_forecast(service.name.to_owned(), service.attribution, data_at)
    })
}
