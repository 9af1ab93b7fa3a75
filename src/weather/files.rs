//! Forecasts and records from files on disk.

use std::collections::VecDeque;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

use chrono::{DateTime, Utc};

use super::error::WeatherError;
use super::open_meteo;
use super::question::ReplyError;
use crate::climate::{DailyRecord, RecordError, ghcn};
use crate::forecast::Forecast;

/// How large a file may be; the longest station record with every element has about 20 MB.
const FILE_CAP: u64 = 64 * 1024 * 1024;

/// So many forecasts are remembered: gardens of one place are looked at one after the other.
const KEPT: usize = 16;

/// Forecasts as they were read last from files: the gardens of one place name the same ones.
#[derive(Debug, Clone, Default)]
pub(super) struct ReadFiles(Arc<Mutex<VecDeque<ReadFile>>>);

#[derive(Debug)]
struct ReadFile {
    /// The files and when their data were made.
    from: Named,
    /// What the files held.
    contents: [Vec<u8>; 2],
    forecast: Forecast,
}

/// A forecast's file, that of its ensemble, and when their data were made, where somebody says.
type Named = (PathBuf, Option<PathBuf>, Option<DateTime<Utc>>);

impl ReadFiles {
    /// A forecast from recorded replies; made at the first of its hours where nobody says when.
    pub(super) async fn forecast(
        &self,
        (forecast, ensemble): (&Path, Option<&Path>),
        data_at: Option<DateTime<Utc>>,
    ) -> Result<Forecast, WeatherError> {
        let from = (forecast.to_owned(), ensemble.map(Path::to_owned), data_at);
        let runs = content(forecast).await?;
        let members = match ensemble {
            Some(path) => content(path).await?,
            None => Vec::new(),
        };
        let contents = [runs, members];
        if let Some(known) = self.known(&from, &contents) {
            return Ok(known);
        }
        let read = read_forecast(&from, &contents)?;
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.retain(|one| one.from != from);
        if all.len() == KEPT {
            all.pop_front();
        }
        all.push_back(ReadFile {
            from,
            contents,
            forecast: read.clone(),
        });
        Ok(read)
    }

    fn known(&self, from: &Named, contents: &[Vec<u8>; 2]) -> Option<Forecast> {
        let all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let mut all = all.iter();
        let known = all.find(|one| one.from == *from && one.contents == *contents);
        known.map(|one| one.forecast.clone())
    }
}

fn read_forecast(
    (forecast, ensemble, data_at): &Named,
    [run, members]: &[Vec<u8>; 2],
) -> Result<Forecast, WeatherError> {
    let mut run = open_meteo::read_run(run).map_err(|problem| bad(forecast, problem))?;
    let conditions = run.take_conditions();
    let conditions = conditions.map_err(|problem| bad(forecast, problem))?;
    let members = match ensemble {
        Some(path) => open_meteo::read_members(members).map_err(|problem| bad(path, problem))?,
        None => Vec::new(),
    };
    let data_at = data_at.unwrap_or(run.hours.start);
    Ok(Forecast {
        members,
        conditions,
        ..run.into_forecast(name(forecast), open_meteo::SERVICE.attribution, data_at)
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
    reader(&content(path).await?).map_err(|problem| bad(path, problem))
}

fn bad(path: &Path, problem: ReplyError) -> WeatherError {
    WeatherError::BadFile {
        path: path.to_owned(),
        problem,
    }
}

/// The bytes of an ordinary file: a device or a pipe may have no end.
async fn content(path: &Path) -> Result<Vec<u8>, WeatherError> {
    let read = async {
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
    };
    read.await.map_err(|cause| WeatherError::NoFile {
        path: path.to_owned(),
        cause,
    })
}
