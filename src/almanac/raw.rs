//! The data files as they are written, before any check.

use std::collections::BTreeMap;

use serde::Deserialize;
use toml::Spanned;

use super::{
    CutKind, Disease, Event, Habit, HardCut, HardyZones, HeatMethod, Pace, Sap, WeatherHold,
    Wildlife, Wood, ZoneDates,
};

/// A text that knows where it stands.
pub(super) type Text = Spanned<String>;

/// The names of sources: keys of the source list, or one of the two words for values that have none.
pub(super) type SourceNames = Spanned<Vec<Text>>;

/// One data file: any of the three lists may be missing.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawFile {
    #[serde(default)]
    pub(super) source: Vec<RawSource>,
    #[serde(default)]
    pub(super) tender: Vec<RawTender>,
    #[serde(default)]
    pub(super) kind: Vec<RawKind>,
}

/// One publication.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawSource {
    pub(super) id: Text,
    pub(super) known: Known,
    pub(super) cite: Text,
}

/// How the content of a publication is known.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Known {
    /// It was read for this almanac.
    Read,
    /// It is recalled.
    Memory,
}

/// One tender class.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawTender {
    pub(super) id: Text,
    pub(super) why: Text,
    pub(super) edges: Option<RawEdges>,
    pub(super) growth: Option<RawGrowth>,
    pub(super) unhardened: Option<RawUnhardened>,
    pub(super) source: SourceNames,
}

/// The wood that a tender class keeps from hardening; days before and after mid-winter.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawUnhardened {
    pub(super) cut_from_days_before: Spanned<u32>,
    pub(super) cut_to_days_before: Spanned<u32>,
    pub(super) until_days_after: Spanned<u32>,
    pub(super) damage_at_c: Spanned<f64>,
}

/// The cut edges of a tender class.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawEdges {
    pub(super) days: Spanned<u32>,
    pub(super) damage_at_c: Spanned<f64>,
}

/// The forced growth of a tender class.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RawGrowth {
    pub(super) starts_after_degree_days: Spanned<f64>,
    pub(super) firm_after_degree_days: Spanned<f64>,
    pub(super) days_min: Spanned<u32>,
    pub(super) days_max: Spanned<u32>,
    pub(super) damage_at_c: Spanned<f64>,
}

/// One kind of plant, or what a garden file changes of one.
///
/// Every key is optional here: what a kind needs is checked when it is built, and a change gives only what is new.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, expecting = "a table")]
pub struct RawKind {
    pub(super) id: Option<Text>,
    pub(super) botanical: Option<Text>,
    pub(super) common: Option<Text>,
    pub(super) also: Option<Vec<Text>>,
    pub(super) habit: Option<Habit>,
    pub(super) wood: Option<Wood>,
    pub(super) zones: Option<Spanned<HardyZones>>,
    pub(super) bloom: Option<Spanned<ZoneDates>>,
    pub(super) bud_set: Option<Spanned<ZoneDates>>,
    pub(super) bud_break: Option<Spanned<ZoneDates>>,
    pub(super) full_leaf: Option<Spanned<ZoneDates>>,
    pub(super) flush_end: Option<Spanned<ZoneDates>>,
    pub(super) leaf_fall: Option<Spanned<ZoneDates>>,
    pub(super) pace: Option<Pace>,
    pub(super) hard_cut: Option<HardCut>,
    pub(super) share_max: Option<Spanned<i64>>,
    pub(super) holds: Option<Vec<WeatherHold>>,
    pub(super) diseases: Option<Vec<Disease>>,
    pub(super) wildlife: Option<Vec<Wildlife>>,
    pub(super) sap: Option<Vec<Sap>>,
    pub(super) hygiene: Option<RawSentence>,
    pub(super) needs_no_cut: Option<RawSentence>,
    pub(super) heat: Option<Vec<RawHeat>>,
    pub(super) sources: Option<Spanned<BTreeMap<String, SourceNames>>>,
    pub(super) caution: Option<Vec<RawSentence>>,
    #[serde(default)]
    pub(super) cut: Vec<RawCut>,
}

impl RawKind {
    /// The name that the row gives itself, with its place in the file.
    pub fn id(&self) -> Option<&Spanned<String>> {
        self.id.as_ref()
    }
}

/// A published heat sum in °C·d above a base in °C.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, expecting = "a table")]
pub(super) struct RawHeat {
    pub(super) event: Event,
    pub(super) degree_days_c: Spanned<f64>,
    pub(super) base_c: Spanned<f64>,
    pub(super) method: HeatMethod,
    pub(super) source: Option<SourceNames>,
}

/// A sentence with its sources.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, expecting = "a table")]
pub(super) struct RawSentence {
    pub(super) text: Text,
    pub(super) source: Option<SourceNames>,
}

/// One cut of a kind, or what a garden file changes of one.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, expecting = "a table")]
pub(super) struct RawCut {
    pub(super) cut: Spanned<CutKind>,
    pub(super) season: Option<Text>,
    pub(super) outside: Option<Text>,
    pub(super) tender: Option<Text>,
    pub(super) how: Option<Text>,
    pub(super) source: Option<SourceNames>,
}
