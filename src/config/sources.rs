//! Where the forecasts of a garden come from, and whom the services may write to.

use std::ops::Range;
use std::path::PathBuf;
use std::time::Duration;

use chrono::{DateTime, NaiveDateTime, TimeDelta, Utc};
use lettre::Address;
use reqwest::Url;
use toml::Spanned;
use toml::value::{Datetime, Offset};

use super::check::{Checker, Given};
use super::faults::{Checked, START, Table, Told};
use super::paid::plan;
use super::raw::{Key, RawForecast, RawForecasts, RawGarden, RawWeather};
use crate::forecast::FRESH_FOR;

use super::{ForecastSettings, ForecastSource, WeatherSettings};

/// The forecast service of Open-Meteo.
pub const FORECAST_URL: &str = "https://api.open-meteo.com/v1/forecast";
/// Its ensembles.
pub const ENSEMBLE_URL: &str = "https://ensemble-api.open-meteo.com/v1/ensemble";
/// MET Norway's Locationforecast, the complete product.
pub const MET_NORWAY_URL: &str = "https://api.met.no/weatherapi/locationforecast/2.0/complete";
/// The US National Weather Service.
pub const NWS_URL: &str = "https://api.weather.gov";
/// How long one answer of a service may take.
pub const TIMEOUT: Duration = Duration::from_secs(20);

#[derive(Clone, Copy)]
enum ForecastKind {
    OpenMeteo,
    MetNorway,
    Nws,
    Files,
}

const FORECAST_SOURCES: [(&str, ForecastKind); 4] = [
    ("open-meteo", ForecastKind::OpenMeteo),
    ("met-norway", ForecastKind::MetNorway),
    ("nws", ForecastKind::Nws),
    ("files", ForecastKind::Files),
];

/// The sources that lie on the net.
const SERVICES: [&str; 3] = ["open-meteo", "met-norway", "nws"];

pub(super) const SOURCE: &str = "source = \"open-meteo\"";

impl Checker<'_> {
    /// `[weather]`; the address of the keeper has to be there as soon as a service is asked.
    pub(super) fn weather(
        &mut self,
        table: Given<'_, RawWeather>,
        gardens: &[Spanned<RawGarden>],
    ) -> Checked<WeatherSettings> {
        let raw = table.map(Spanned::get_ref);
        let timeout = match raw.and_then(|raw| raw.timeout.as_ref()) {
            Some(value) => self.timeout(value),
            None => Ok(TIMEOUT),
        };
        let asking = gardens.iter().find(|raw| raw.get_ref().asks_a_service());
        let written = raw.and_then(|raw| raw.contact.as_ref());
        let contact = match (written, asking) {
            (Some(value), _) if !value.get_ref().trim().is_empty() => self.contact(value),
            (_, None) => Ok(String::new()),
            (Some(empty), Some(_)) => Err(self.no_contact(&empty.span())),
            (None, Some(garden)) => {
                let told = match table {
                    Some(table) => self.faults.refused(&table.span(), "contact"),
                    None => self.faults.refused(&START, "weather"),
                };
                let at = table.map_or_else(|| garden.span(), Spanned::span);
                Err(told.unwrap_or_else(|| self.no_contact(&at)))
            }
        };
        Ok(WeatherSettings {
            contact: contact?,
            timeout: timeout?,
        })
    }

    fn no_contact(&mut self, at: &Range<usize>) -> Told {
        let what = "a weather service is asked, and [weather] has no contact";
        let hint = "free services want to know whom to write to if something goes wrong; below [weather] add a line such as: contact = \"garden@example.org\"";
        let fault = self.faults.remark(at, what);
        self.tell(fault.hint(hint))
    }

    fn contact(&mut self, value: &Spanned<String>) -> Checked<String> {
        let written = value.get_ref().trim();
        let is_web = Url::parse(written)
            .is_ok_and(|url| matches!(url.scheme(), "http" | "https") && url.has_host());
        if is_web || written.parse::<Address>().is_ok() {
            return Ok(written.to_owned());
        }
        let what = format!("contact \"{written}\" is neither a mail address nor a web address");
        let fault = self.remark(value, what);
        let allowed = "such as \"garden@example.org\" or \"https://garden.example.org\"";
        Err(self.tell(fault.allowed(allowed)))
    }

    fn timeout(&mut self, value: &Spanned<String>) -> Checked<Duration> {
        let limits = TimeDelta::seconds(1)..=TimeDelta::minutes(2);
        let allowed = "\"1 s\" to \"2 min\", such as \"20 s\"";
        let timeout = self.duration(("timeout", value), limits, allowed)?;
        Ok(timeout.to_std().unwrap_or(TIMEOUT))
    }

    /// `[garden.forecast]`, or several of `[[garden.forecast]]`; without any, the service. Where a source has no limit
    /// of its own, that of the garden holds, and without that the service's usual one.
    pub(super) fn forecasts(
        &mut self,
        raw: Given<'_, RawForecasts>,
        stated: Option<Checked<TimeDelta>>,
    ) -> Checked<Vec<ForecastSource>> {
        let tables: Vec<(&RawForecast, Table)> = match raw.map(|raw| (raw.get_ref(), raw)) {
            None => {
                let from = ForecastSettings::OpenMeteo {
                    url: FORECAST_URL.to_owned(),
                    ensemble_url: ENSEMBLE_URL.to_owned(),
                    ensemble_model: None,
                    freshness_url: None,
                    key: None,
                };
                let fresh_for = stated.unwrap_or(Ok(usual(&from)))?;
                return Ok(vec![ForecastSource { from, fresh_for }]);
            }
            Some((RawForecasts::One(one), table)) => {
                vec![(one, Table::of("[garden.forecast]", table))]
            }
            Some((RawForecasts::Several(several), _)) => several
                .iter()
                .map(|table| (table.get_ref(), Table::of("[[garden.forecast]]", table)))
                .collect(),
        };
        if let (Some(raw), true) = (raw, tables.is_empty()) {
            let fault = self.remark(raw, "forecast is a list without a source");
            let hint = "give each source a table [[garden.forecast]], or take the line out: then the forecast comes from open-meteo";
            return Err(self.tell(fault.hint(hint)));
        }
        self.each_once(&tables);
        let forecast = |(raw, heading): &(&RawForecast, Table)| {
            let from = self.forecast(raw, heading);
            let own = raw.fresh_for.as_ref();
            let own = own.map(|value| self.fresh_for(value));
            let from = from?;
            let fresh_for = own.or(stated).unwrap_or(Ok(usual(&from)))?;
            Ok(ForecastSource { from, fresh_for })
        };
        let forecasts: Vec<Checked<ForecastSource>> = tables.iter().map(forecast).collect();
        forecasts.into_iter().collect()
    }

    /// Each service and file once: what it says counts once.
    fn each_once(&mut self, tables: &[(&RawForecast, Table)]) {
        let name = |(raw, _): &(&RawForecast, Table)| {
            let file = raw.forecast.as_ref();
            let named = file.or(raw.source.as_ref())?;
            Some((named.get_ref().trim().to_owned(), named.span()))
        };
        let hint = "take one of them out; other sources are other tables [[garden.forecast]]";
        self.only_once(("source", hint), tables.iter().filter_map(name));
    }

    fn forecast(&mut self, raw: &RawForecast, heading: &Table) -> Checked<ForecastSettings> {
        let source = self.required(raw.source.as_ref(), heading, "source", SOURCE)?;
        let chosen = self.choice(("source", source), &FORECAST_SOURCES)?;
        self.foreign_to_forecast(raw, chosen, source.get_ref());
        match chosen {
            ForecastKind::OpenMeteo => self.forecast_service(raw),
            ForecastKind::MetNorway => {
                let url = self.url_or("url", raw.url.as_ref(), MET_NORWAY_URL)?;
                Ok(ForecastSettings::MetNorway { url })
            }
            ForecastKind::Nws => {
                let url = self.url_or("url", raw.url.as_ref(), NWS_URL)?;
                Ok(ForecastSettings::Nws { url })
            }
            ForecastKind::Files => self.forecast_files(raw, heading),
        }
    }

    /// Complains of the keys that mean nothing beside a source.
    fn foreign_to_forecast(&mut self, raw: &RawForecast, chosen: ForecastKind, name: &str) {
        let url = [("url", place(&raw.url))];
        let open_meteo = [
            ("ensemble_url", place(&raw.ensemble_url)),
            ("ensemble_model", place(&raw.ensemble_model)),
            ("freshness_url", place(&raw.freshness_url)),
            ("key_file", place(&raw.key_file)),
            ("key_env", place(&raw.key_env)),
            ("key", place(&raw.key)),
        ];
        let files = [
            ("forecast", place(&raw.forecast)),
            ("ensemble", place(&raw.ensemble)),
            ("data_at", place(&raw.data_at)),
        ];
        let foreign = match chosen {
            ForecastKind::OpenMeteo => files.to_vec(),
            ForecastKind::MetNorway | ForecastKind::Nws => [&open_meteo[..], &files].concat(),
            ForecastKind::Files => [&url[..], &open_meteo].concat(),
        };
        self.meaningless(&format!("source = \"{name}\""), &foreign);
    }

    fn forecast_service(&mut self, raw: &RawForecast) -> Checked<ForecastSettings> {
        let key = self.key(
            raw.key.as_ref().map(Spanned::span),
            raw.key_file.as_ref(),
            raw.key_env.as_ref(),
        );
        let plan = plan(key.as_ref());
        let url = self.url_or("url", raw.url.as_ref(), plan(FORECAST_URL));
        let ensemble_url = self.url_or(
            "ensemble_url",
            raw.ensemble_url.as_ref(),
            plan(ENSEMBLE_URL),
        );
        let model = raw.ensemble_model.as_ref();
        let model = model.map(|model| self.line(("ensemble_model", model)));
        let page = raw.freshness_url.as_ref();
        let page = page.map(|page| self.url(("freshness_url", page)));
        Ok(ForecastSettings::OpenMeteo {
            url: url?,
            ensemble_url: ensemble_url?,
            ensemble_model: model.transpose()?,
            freshness_url: page.transpose()?,
            key: key?,
        })
    }

    fn forecast_files(&mut self, raw: &RawForecast, table: &Table) -> Checked<ForecastSettings> {
        let example = "forecast = \"forecast.json\"";
        let forecast = self
            .required(raw.forecast.as_ref(), table, "forecast", example)
            .and_then(|file| self.path(("forecast", file)));
        let ensemble = raw.ensemble.as_ref();
        let ensemble = ensemble.map(|file| self.path(("ensemble", file)));
        let data_at = raw.data_at.as_ref().map(|value| self.instant(value));
        let (forecast, ensemble, data_at) =
            (forecast?, ensemble.transpose()?, data_at.transpose()?);
        let file = raw
            .forecast
            .as_ref()
            .map_or_else(|| table.span.clone(), Spanned::span);
        self.stated_once((&forecast, ensemble.as_ref()), data_at, &file)?;
        Ok(ForecastSettings::Files {
            forecast,
            ensemble,
            data_at,
        })
    }

    /// Gardens share the runs of a file, so that they have to agree on when its data were made.
    fn stated_once(
        &mut self,
        (forecast, ensemble): (&PathBuf, Option<&PathBuf>),
        data_at: Option<DateTime<Utc>>,
        span: &Range<usize>,
    ) -> Checked<()> {
        let files = (forecast.clone(), ensemble.cloned());
        let before = *self.stated.entry(files).or_insert(data_at);
        if before == data_at {
            return Ok(());
        }
        let said =
            |at: Option<DateTime<Utc>>| at.map_or_else(|| "none".to_owned(), |at| at.to_rfc3339());
        let [here, before] = [data_at, before].map(said);
        let what = format!("data_at of this file is {here} here and {before} in a garden before");
        let fault = self.faults.remark(span, what);
        Err(self.tell(fault.allowed("one data_at for one file, the same wherever it is read")))
    }

    pub(super) fn url_or(
        &mut self,
        key: &'static str,
        value: Given<'_, String>,
        default: &str,
    ) -> Checked<String> {
        value.map_or_else(|| Ok(default.to_owned()), |value| self.url((key, value)))
    }

    /// An instant with its offset from universal time.
    fn instant(&mut self, value: &Spanned<Datetime>) -> Checked<DateTime<Utc>> {
        let written = value.get_ref();
        instant_of(written).ok_or_else(|| {
            let fault = self.remark(value, format!("data_at {written} is not an instant"));
            let allowed = "day, time and Z for universal time, such as 2027-04-10T06:00:00Z";
            self.tell(fault.allowed(allowed))
        })
    }
}

/// How old the data of a source may be where the keeper does not say.
///
/// MET Norway and the National Weather Service make new data at least every twelve hours and say when; a look that
/// finds them older than one and a half times that has missed some (estimate).
const fn usual(from: &ForecastSettings) -> TimeDelta {
    match from {
        ForecastSettings::MetNorway { .. } | ForecastSettings::Nws { .. } => TimeDelta::hours(18),
        ForecastSettings::OpenMeteo { .. } | ForecastSettings::Files { .. } => FRESH_FOR,
    }
}

fn instant_of(written: &Datetime) -> Option<DateTime<Utc>> {
    let minutes = match written.offset? {
        Offset::Z => 0,
        Offset::Custom { minutes } => minutes,
    };
    let local = Datetime {
        offset: None,
        ..*written
    };
    let local: NaiveDateTime = local.to_string().parse().ok()?;
    let east = TimeDelta::minutes(i64::from(minutes));
    local.and_utc().checked_sub_signed(east)
}

/// Where a key stands, if it does.
#[allow(
    clippy::ref_option,
    reason = "it is asked of the keys of a raw table, one by one"
)]
pub(super) fn place<T>(key: &Key<T>) -> Option<Range<usize>> {
    key.as_ref().map(Spanned::span)
}

impl RawGarden {
    /// Whether it asks a weather service, as far as its sources can be read.
    fn asks_a_service(&self) -> bool {
        let is_service = |source: Given<'_, String>| {
            source.is_none_or(|source| SERVICES.contains(&source.get_ref().as_str()))
        };
        let is_file = |raw: &RawForecast| !is_service(raw.source.as_ref());
        let only_files = match self.forecast.as_ref().map(Spanned::get_ref) {
            None => false,
            Some(RawForecasts::One(raw)) => is_file(raw),
            Some(RawForecasts::Several(list)) => list.iter().all(|raw| is_file(raw.get_ref())),
        };
        let history = self.history.as_ref().map(Spanned::get_ref);
        !only_files || is_service(history.and_then(|raw| raw.source.as_ref()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_instant_needs_its_offset() {
        let at = |text: &str| instant_of(&text.parse().unwrap());
        let six = DateTime::from_timestamp(1_807_509_600, 0);
        // 2027-04-12 06:00 UTC, by GNU date.
        assert_eq!(at("2027-04-12T06:00:00Z"), six);
        assert_eq!(at("2027-04-12T02:00:00-04:00"), six);
        assert_eq!(at("2027-04-12T06:00:00"), None);
        assert_eq!(at("2027-04-12"), None);
    }
}
