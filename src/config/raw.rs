//! The tables and keys that a settings file may hold, before anything about their values is checked.
//!
//! Every key is optional here, so that a missing one is told together with the other faults; every value keeps its
//! place in the file.

use std::fmt;

use serde::de::value::{MapAccessDeserializer, SeqAccessDeserializer};
use serde::de::{IgnoredAny, MapAccess, SeqAccess, Visitor};
use serde::{Deserialize, Deserializer};
use toml::Spanned;
use toml::value::Datetime;

use crate::almanac::RawKind;

/// A key that may be left out.
pub(super) type Key<T> = Option<Spanned<T>>;

/// Tables with the same heading, in the order of the file.
pub(super) type List<T> = Vec<Spanned<T>>;

/// The whole file.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, expecting = "a table")]
pub(super) struct RawFile {
    pub(super) language: Key<String>,
    pub(super) garden_folder: Key<String>,
    pub(super) store: Key<RawStore>,
    pub(super) web: Key<RawWeb>,
    pub(super) schedule: Key<RawSchedule>,
    pub(super) mail: Key<RawMail>,
    pub(super) weather: Key<RawWeather>,
    #[serde(default)]
    pub(super) kind: List<RawKind>,
    #[serde(default)]
    pub(super) garden: List<RawGarden>,
}

/// A file of gardens.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, expecting = "a table")]
pub(super) struct RawGardens {
    #[serde(default)]
    pub(super) garden: List<RawGarden>,
}

/// `[store]`
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, expecting = "a table")]
pub(super) struct RawStore {
    pub(super) file: Key<String>,
    pub(super) database: Key<String>,
    pub(super) password_file: Key<String>,
    pub(super) password_env: Key<String>,
    pub(super) lease: Key<String>,
}

/// `[web]`
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, expecting = "a table")]
pub(super) struct RawWeb {
    pub(super) listen: Key<String>,
    pub(super) address: Key<String>,
    #[serde(default)]
    pub(super) hosts: List<String>,
    #[serde(default)]
    pub(super) proxies: List<String>,
    pub(super) token_file: Key<String>,
    pub(super) token_env: Key<String>,
    /// Refused, and never read.
    pub(super) token: Key<IgnoredAny>,
}

/// `[schedule]`
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, expecting = "a table")]
pub(super) struct RawSchedule {
    pub(super) cycle: Key<String>,
}

/// `[mail]`
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, expecting = "a table")]
pub(super) struct RawMail {
    pub(super) from: Key<String>,
    pub(super) folder: Key<String>,
    pub(super) smtp: Key<RawSmtp>,
}

/// `[mail.smtp]`
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, expecting = "a table")]
pub(super) struct RawSmtp {
    pub(super) host: Key<String>,
    pub(super) port: Key<i64>,
    pub(super) security: Key<String>,
    pub(super) user: Key<String>,
    pub(super) password_file: Key<String>,
    pub(super) password_env: Key<String>,
    /// Refused, and never read.
    pub(super) password: Key<IgnoredAny>,
    pub(super) hello: Key<String>,
}

/// `[weather]`
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, expecting = "a table")]
pub(super) struct RawWeather {
    pub(super) contact: Key<String>,
    pub(super) timeout: Key<String>,
}

/// `[[garden]]`
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, expecting = "a table")]
pub(super) struct RawGarden {
    pub(super) name: Key<String>,
    pub(super) title: Key<String>,
    pub(super) latitude: Key<f64>,
    pub(super) longitude: Key<f64>,
    pub(super) elevation: Key<String>,
    pub(super) time_zone: Key<String>,
    pub(super) language: Key<String>,
    pub(super) units: Key<String>,
    pub(super) dates: Key<String>,
    pub(super) tolerance: Key<f64>,
    pub(super) mail_to: Key<RawAddresses>,
    pub(super) letters: Key<RawLetters>,
    pub(super) remark: Key<String>,
    pub(super) fresh_for: Key<String>,
    pub(super) forecast: Key<RawForecasts>,
    pub(super) history: Key<RawHistory>,
    pub(super) choices: Key<RawChoices>,
    pub(super) thermometer: Key<RawThermometer>,
    #[serde(default)]
    pub(super) spot: List<RawSpot>,
    #[serde(default)]
    pub(super) plant: List<RawPlant>,
}

/// `mail_to`: one address, or a list of several.
#[derive(Debug)]
pub(super) enum RawAddresses {
    One(String),
    Several(List<String>),
}

/// Not derived: a derived choice would lose the place of a fault in the file.
impl<'de> Deserialize<'de> for RawAddresses {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Either;
        impl<'de> Visitor<'de> for Either {
            type Value = RawAddresses;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a string")
            }

            fn visit_str<E>(self, one: &str) -> Result<Self::Value, E> {
                Ok(RawAddresses::One(one.to_owned()))
            }

            fn visit_seq<A: SeqAccess<'de>>(self, list: A) -> Result<Self::Value, A::Error> {
                List::deserialize(SeqAccessDeserializer::new(list)).map(RawAddresses::Several)
            }
        }
        deserializer.deserialize_any(Either)
    }
}

/// `[garden.forecast]`, or `[[garden.forecast]]` for each of several.
#[derive(Debug)]
pub(super) enum RawForecasts {
    One(Box<RawForecast>),
    Several(List<RawForecast>),
}

/// Not derived: a derived choice would lose the place of a fault in the file.
impl<'de> Deserialize<'de> for RawForecasts {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Either;
        impl<'de> Visitor<'de> for Either {
            type Value = RawForecasts;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a table")
            }

            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Self::Value, A::Error> {
                let one = RawForecast::deserialize(MapAccessDeserializer::new(map))?;
                Ok(RawForecasts::One(Box::new(one)))
            }

            fn visit_seq<A: SeqAccess<'de>>(self, list: A) -> Result<Self::Value, A::Error> {
                List::deserialize(SeqAccessDeserializer::new(list)).map(RawForecasts::Several)
            }
        }
        deserializer.deserialize_any(Either)
    }
}

/// One source of forecasts.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, expecting = "a table")]
pub(super) struct RawForecast {
    pub(super) source: Key<String>,
    pub(super) url: Key<String>,
    pub(super) ensemble_url: Key<String>,
    pub(super) ensemble_model: Key<String>,
    pub(super) freshness_url: Key<String>,
    pub(super) key_file: Key<String>,
    pub(super) key_env: Key<String>,
    /// Refused, and never read.
    pub(super) key: Key<IgnoredAny>,
    pub(super) forecast: Key<String>,
    pub(super) ensemble: Key<String>,
    pub(super) data_at: Key<Datetime>,
    pub(super) fresh_for: Key<String>,
}

/// `[garden.history]`
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, expecting = "a table")]
pub(super) struct RawHistory {
    pub(super) source: Key<String>,
    pub(super) url: Key<String>,
    pub(super) years: Key<i64>,
    pub(super) key_file: Key<String>,
    pub(super) key_env: Key<String>,
    /// Refused, and never read.
    pub(super) key: Key<IgnoredAny>,
    pub(super) file: Key<String>,
    /// Where the record of the file was measured.
    pub(super) latitude: Key<f64>,
    pub(super) longitude: Key<f64>,
    pub(super) elevation: Key<String>,
}

/// `[garden.thermometer]`
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, expecting = "a table")]
pub(super) struct RawThermometer {
    pub(super) spot: Key<String>,
    pub(super) token_file: Key<String>,
    pub(super) token_env: Key<String>,
    /// Refused, and never read.
    pub(super) token: Key<IgnoredAny>,
    pub(super) file: Key<String>,
    pub(super) delimiter: Key<String>,
    pub(super) decimal: Key<String>,
    pub(super) header: Key<bool>,
    #[serde(default)]
    pub(super) time: List<String>,
    pub(super) time_format: Key<String>,
    pub(super) time_zone: Key<String>,
    pub(super) temperature: Key<String>,
    pub(super) unit: Key<String>,
    #[serde(default)]
    pub(super) missing: List<String>,
}

/// `[garden.letters]`
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, expecting = "a table")]
pub(super) struct RawLetters {
    pub(super) day: Key<String>,
    pub(super) quiet: Key<String>,
    pub(super) most_a_day: Key<i64>,
    pub(super) round_up: Key<bool>,
    pub(super) year_plan: Key<bool>,
}

/// `[garden.choices]`
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, expecting = "a table")]
pub(super) struct RawChoices {
    pub(super) stem_bees: Key<String>,
    pub(super) stubble: Key<String>,
    pub(super) nest_region: Key<String>,
    pub(super) nests: Key<String>,
    pub(super) oak_region: Key<String>,
    pub(super) cherry: Key<String>,
    pub(super) birch: Key<String>,
    pub(super) bleeders: Key<String>,
    pub(super) boxwood_hard_cut: Key<String>,
    pub(super) overgrown_bloomers: Key<String>,
}

/// `[[garden.spot]]`
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, expecting = "a table")]
pub(super) struct RawSpot {
    pub(super) name: Key<String>,
    pub(super) offset: Key<String>,
    pub(super) doubt: Key<String>,
}

/// `[[garden.plant]]`
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, expecting = "a table")]
pub(super) struct RawPlant {
    pub(super) name: Key<String>,
    pub(super) kind: Key<String>,
    pub(super) spot: Key<String>,
    pub(super) stakes: Key<String>,
    pub(super) skip: Key<Vec<Spanned<String>>>,
    pub(super) height: Key<String>,
    pub(super) near_lines: Key<String>,
    pub(super) thickest_branch: Key<String>,
    pub(super) heaviest_branch: Key<String>,
    #[serde(default)]
    pub(super) marks: List<String>,
    #[serde(default)]
    pub(super) cut: List<RawCut>,
}

/// `[[garden.plant.cut]]`
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, expecting = "a table")]
pub(super) struct RawCut {
    pub(super) cut: Key<String>,
    pub(super) wished: Key<Datetime>,
    pub(super) tolerance: Key<f64>,
}
