//! Past years: an archive on the net, asked piece by piece, and files on disk.

use std::fmt;
use std::path::Path;

use chrono::{DateTime, Days, Months, NaiveDate, Utc};
use reqwest::Url;
use secrecy::SecretString;

use super::error::WeatherError;
use super::fetch::Fetcher;
use super::run::cell;
use super::{files, open_meteo};
use crate::climate::DailyRecord;
use crate::garden::Place;

/// ERA5 ends five days before the present; one more for the time zone.
const ARCHIVE_LAG: Days = Days::new(6);

/// Open-Meteo's archive or a server that speaks as it does.
#[derive(Clone)]
pub struct ArchiveFrom {
    /// Whole address of the archive endpoint; a query in it, such as an API key, is kept.
    pub url: String,
    /// How many years to ask for.
    pub years: u32,
    /// The key of a paid plan.
    pub key: Option<SecretString>,
}

impl ArchiveFrom {
    /// The first and the last day that there are to ask for.
    pub fn span(&self, today: NaiveDate) -> (NaiveDate, NaiveDate) {
        let first = today.checked_sub_months(Months::new(self.years.saturating_mul(12)));
        let last = today.checked_sub_days(ARCHIVE_LAG);
        (first.unwrap_or(today), last.unwrap_or(today))
    }

    /// What tells a record of this archive and place from any other: host, path and cell, without query and key.
    pub fn question(&self, place: &Place) -> String {
        let [latitude, longitude] = cell(place);
        let zone = place.zone.name();
        let door = door(&self.url);
        format!("{door} {latitude},{longitude} {zone}")
    }
}

/// Host and path of an address, without query and key.
pub(super) fn door(address: &str) -> String {
    let url = Url::parse(address).ok();
    let host = url.as_ref().and_then(Url::host_str).unwrap_or_default();
    let path = url.as_ref().map(Url::path).unwrap_or_default();
    format!("{host}{path}")
}

/// Without the address: it may hold a key.
impl fmt::Debug for ArchiveFrom {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = open_meteo::SERVICE.name;
        write!(f, "{name} archive, {} years", self.years)
    }
}

impl Fetcher {
    /// The record of a span of days at a place, both ends included.
    ///
    /// # Errors
    /// When it does not come or cannot be read.
    pub async fn archive(
        &self,
        from: &ArchiveFrom,
        place: &Place,
        span: (NaiveDate, NaiveDate),
        now: DateTime<Utc>,
    ) -> Result<DailyRecord, WeatherError> {
        let question = open_meteo::archive(place, span).with_key(from.key.as_ref());
        self.ask(&from.url, &question, now).await
    }

    /// The record in a GHCN-Daily station file (`.dly`).
    ///
    /// # Errors
    /// When it cannot be read.
    pub async fn station_file(&self, path: &Path) -> Result<DailyRecord, WeatherError> {
        files::ghcn(path).await
    }

    /// The record in a reply of Open-Meteo's archive that was kept as a file.
    ///
    /// # Errors
    /// When it cannot be read.
    pub async fn archive_file(&self, path: &Path) -> Result<DailyRecord, WeatherError> {
        files::archive(path).await
    }
}
