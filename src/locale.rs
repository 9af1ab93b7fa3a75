//! How a keeper reads: the language, the units, the style of dates.
//!
//! In: quantities, days, and the ids of texts with their arguments. Out: text as the keeper reads it; every word of it
//! stands in `config/words`, a folder for each language. Knows no gardens, plants or weather.

mod dates;
mod numbers;
mod texts;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::units::UnitSystem;

pub use texts::Value;

/// A language that the program speaks to the keeper; its log, its settings and their faults are English.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
pub enum Language {
    /// English.
    #[default]
    #[serde(rename = "en")]
    English,
    /// German.
    #[serde(rename = "de")]
    German,
}

impl Language {
    /// Every language.
    pub const ALL: [Self; 2] = [Self::English, Self::German];

    /// Its tag (BCP 47), as settings, pages and mails have it.
    pub const fn tag(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::German => "de",
        }
    }
}

/// In which order a date is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum DateStyle {
    /// 12 April, in German 12. April.
    #[default]
    DayMonth,
    /// April 12.
    MonthDay,
    /// 2027-04-12 (ISO 8601).
    YearMonthDay,
}

/// How a keeper reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
pub struct Locale {
    /// The language of every word.
    pub language: Language,
    /// The units of every quantity.
    pub units: UnitSystem,
    /// The style of every date.
    pub dates: DateStyle,
}

impl Locale {
    /// A language and units, with dates as they are usual in it.
    pub const fn new(language: Language, units: UnitSystem) -> Self {
        Self {
            language,
            units,
            dates: DateStyle::DayMonth,
        }
    }

    /// English with these units.
    pub const fn english(units: UnitSystem) -> Self {
        Self::new(Language::English, units)
    }
}

/// The text of an id of `config/words` in a locale's language, with its arguments by name.
macro_rules! say {
    ($locale:expr, $id:literal) => {
        $locale.text($id, &[])
    };
    ($locale:expr, $id:literal, $($name:ident = $value:expr),+ $(,)?) => {
        $locale.text(
            $id,
            &[$((stringify!($name), $crate::locale::Value::from($value))),+],
        )
    };
}

pub(crate) use say;
