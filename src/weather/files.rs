//! Forecasts and records from files on disk.

use std::io;
use std::path::Path;

use chrono::{DateTime, Utc};

use super::error::WeatherError;
use super::open_meteo;
use super::question::ReplyError;
use crate::climate::{DailyRecord, RecordError, ghcn};
use crate::forecast::Forecast;

/// How large a file may be; the longest station record with every element has about 20 MB.
const FILE_CAP: u64 = 64 * 1024 * 1024;

/// A forecast from recorded replies; made at the first of its hours where nobody says when.
pub(super) async fn forecast(
    forecast: &Path,
    ensemble: Option<&Path>,
    data_at: Option<DateTime<Utc>>,
) -> Result<Forecast, WeatherError> {
    let mut run = read(forecast, open_meteo::read_run).await?;
    let conditions = run
        .take_conditions()
        .map_err(|problem| WeatherError::BadFile {
            path: forecast.to_owned(),
            problem,
        })?;
    let members = match ensemble {
        Some(path) => read(path, open_meteo::read_members).await?,
        None => Vec::new(),
    };
    let source = name(forecast);
    let data_at = data_at.unwrap_or(run.hours.start);
    Ok(Forecast {
        members,
        conditions,
        ..run.into_forecast(source, open_meteo::SERVICE.attribution, data_at)
    })
}

/// The name of a file as a source of forecasts.
pub(super) fn name(forecast: &Path) -> String {
    let name = forecast.file_name().unwrap_or(forecast.as_os_str());
    format!("files: {}", name.display())
}

/// A record from a station file.
pub(super) async fn ghcn(path: &Path) -> Result<DailyRecord, WeatherError> {
    read(path, read_ghcn).await
}

/// A record from a recorded archive reply.
pub(super) async fn archive(path: &Path) -> Result<DailyRecord, WeatherError> {
    read(path, open_meteo::read_record).await
}

pub(super) fn read_ghcn(content: &[u8]) -> Result<DailyRecord, ReplyError> {
    let text = str::from_utf8(content)
        .map_err(|error| RecordError::Format(format!("not a text file: {error}")))?;
    Ok(ghcn::parse(text)?)
}

async fn read<T>(
    path: &Path,
    reader: fn(&[u8]) -> Result<T, ReplyError>,
) -> Result<T, WeatherError> {
    let content = content(path).await.map_err(|cause| WeatherError::NoFile {
        path: path.to_owned(),
        cause,
    })?;
    reader(&content).map_err(|problem| WeatherError::BadFile {
        path: path.to_owned(),
        problem,
    })
}

/// The bytes of an ordinary file: a device or a pipe may have no end.
async fn content(path: &Path) -> io::Result<Vec<u8>> {
    let about = tokio::fs::metadata(path).await?;
    if !about.is_file() {
        return Err(io::Error::other("it is not an ordinary file"));
    }
    if about.len() > FILE_CAP {
        return Err(io::Error::other(format!(
            "it is larger than {FILE_CAP} bytes"
        )));
    }
    tokio::fs::read(path).await
}
