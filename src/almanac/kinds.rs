//! From a row of a data file to a kind of plant.

use std::collections::{BTreeMap, BTreeSet};

use toml::Spanned;

use super::error::AlmanacError;
use super::load::{DataFile, new_name};
use super::raw::{RawCut, RawKind, RawSentence, Text};
use super::season::{check, season};
use super::sources::Sources;
use super::tender::{Classes, NOT_TENDER, within};
use super::{
    Cut, HardCut, HardyZones, HeatSum, Kind, Pace, Season, SourceNote, Sourced, Tender, ZoneDates,
};
use crate::units::{Celsius, DegreeDays};

/// Days by which an event can move from one zone to the next.
const DAYS_PER_ZONE_MAX: i32 = 14;

/// Days that a span of dates can last.
const SPAN_DAYS_MAX: i32 = 200;

/// Heat in °C·d at which an event can come.
const HEAT_SUM: std::ops::RangeInclusive<f64> = 1.0..=3000.0;

/// Bases in °C above which heat is counted.
const HEAT_BASE: std::ops::RangeInclusive<f64> = 0.0..=15.0;

/// The share of live growth that may go where a row names none.
const SHARE_DEFAULT: u8 = 33;

/// The hardiness zones that exist.
const ZONES: std::ops::RangeInclusive<u32> = 1..=13;

/// The names that are taken.
#[derive(Debug, Default)]
pub(super) struct Names {
    ids: BTreeSet<String>,
    said: BTreeMap<String, String>,
}

impl Names {
    /// Takes the names of a kind; each may be taken once.
    pub(super) fn add(&mut self, file: &DataFile<'_>, row: &RawKind) -> Result<(), AlmanacError> {
        let id = new_name(file, &row.id, |id| self.ids.contains(id))?;
        self.ids.insert(id.to_owned());
        let common = std::iter::once(("common", &row.common));
        for (key, name) in common.chain(row.also.iter().map(|name| ("also", name))) {
            let written = name.get_ref();
            let owner = row.id.get_ref().clone();
            if let Some(other) = self.said.insert(written.to_lowercase(), owner) {
                let what = format!("'{written}' is already a name of '{other}'");
                return Err(AlmanacError::at(file, &name.span(), key, what));
            }
        }
        Ok(())
    }
}

/// A kind from its row.
pub(super) fn kind(
    file: &DataFile<'_>,
    row: &RawKind,
    sources: &Sources,
    classes: &Classes,
) -> Result<Kind, AlmanacError> {
    let cautions = row
        .caution
        .iter()
        .map(|caution| sourced(file, caution, sources));
    let mut kind = Kind {
        id: row.id.get_ref().clone(),
        botanical: filled(file, "botanical", &row.botanical)?,
        common: filled(file, "common", &row.common)?,
        also: row
            .also
            .iter()
            .map(|name| filled(file, "also", name))
            .collect::<Result<_, _>>()?,
        habit: row.habit,
        wood: row.wood,
        zones: zones(file, &row.zones)?,
        bloom: dates(file, "bloom", row.bloom.as_ref())?,
        bud_set: dates(file, "bud_set", row.bud_set.as_ref())?,
        bud_break: dates(file, "bud_break", row.bud_break.as_ref())?,
        full_leaf: dates(file, "full_leaf", row.full_leaf.as_ref())?,
        flush_end: dates(file, "flush_end", row.flush_end.as_ref())?,
        leaf_fall: dates(file, "leaf_fall", row.leaf_fall.as_ref())?,
        heat: heat(file, row, sources)?,
        pace: row.pace.unwrap_or(Pace::Medium),
        hard_cut: row.hard_cut.unwrap_or(HardCut::No),
        share_max: share_max(file, row)?,
        holds: row.holds.clone(),
        diseases: row.diseases.clone(),
        wildlife: row.wildlife.clone(),
        sap: row.sap.clone(),
        hygiene: said(file, row.hygiene.as_ref(), sources)?,
        needs_no_cut: said(file, row.needs_no_cut.as_ref(), sources)?,
        cautions: cautions.collect::<Result<_, AlmanacError>>()?,
        cuts: Vec::new(),
        sources: notes(file, row, sources)?,
    };
    if row.cut.is_empty() {
        let what = "it has no cut; give at least one".to_owned();
        return Err(AlmanacError::at(file, &row.id.span(), "cut", what));
    }
    for row in &row.cut {
        let cut = cut(file, row, &kind, (sources, classes))?;
        if kind.cut(cut.cut).is_some() {
            let what = format!(
                "'{}' is there twice; each cut is given once",
                cut.cut.name()
            );
            return Err(AlmanacError::at(file, &row.cut.span(), "cut", what));
        }
        kind.cuts.push(cut);
    }
    Ok(kind)
}

fn sourced(
    file: &DataFile<'_>,
    row: &RawSentence,
    sources: &Sources,
) -> Result<Sourced, AlmanacError> {
    Ok(Sourced {
        text: sentence(file, "text", &row.text)?,
        source: sources.resolve(file, "source", &row.source)?,
    })
}

fn said(
    file: &DataFile<'_>,
    row: Option<&RawSentence>,
    sources: &Sources,
) -> Result<Option<Sourced>, AlmanacError> {
    row.map(|row| sourced(file, row, sources)).transpose()
}

fn heat(
    file: &DataFile<'_>,
    row: &RawKind,
    sources: &Sources,
) -> Result<Vec<HeatSum>, AlmanacError> {
    let sums = row.heat.iter().map(|row| {
        let sum = within(file, "degree_days_c", &row.degree_days_c, HEAT_SUM)?;
        let base = within(file, "base_c", &row.base_c, HEAT_BASE)?;
        Ok(HeatSum {
            event: row.event,
            sum: DegreeDays::new(sum),
            base: Celsius::new(base),
            method: row.method,
            source: sources.resolve(file, "source", &row.source)?,
        })
    });
    sums.collect()
}

fn share_max(file: &DataFile<'_>, row: &RawKind) -> Result<u8, AlmanacError> {
    let given = row.share_max.as_ref();
    given.map_or(Ok(SHARE_DEFAULT), |share| {
        within(file, "share_max", share, 1..=100)
    })
}

fn cut(
    file: &DataFile<'_>,
    row: &RawCut,
    kind: &Kind,
    (sources, classes): (&Sources, &Classes),
) -> Result<Cut, AlmanacError> {
    let refuse = |what| AlmanacError::at(file, &row.season.span(), "season", what);
    let season = season(row.season.get_ref()).map_err(refuse)?;
    check(kind, season).map_err(refuse)?;
    Ok(Cut {
        cut: *row.cut.get_ref(),
        season,
        outside: outside(file, row, season)?,
        tender: tender(file, &row.tender, classes)?,
        how: sentence(file, "how", &row.how)?,
        source: sources.resolve(file, "source", &row.source)?,
    })
}

/// Why the cut is not made outside its season: needed where there is a season, out of place where there is none.
fn outside(
    file: &DataFile<'_>,
    row: &RawCut,
    season: Season,
) -> Result<Option<String>, AlmanacError> {
    let refuse = |at: &Text, what: &str| {
        Err(AlmanacError::at(
            file,
            &at.span(),
            "outside",
            what.to_owned(),
        ))
    };
    match (season, &row.outside) {
        (Season::AnyTime, None) => Ok(None),
        (Season::AnyTime, Some(text)) => refuse(text, "a cut without a season has no outside"),
        (Season::Between(..), None) => refuse(
            &row.season,
            "it is missing; a cut with a season says why it is not made outside of it",
        ),
        (Season::Between(..), Some(text)) if text.get_ref().ends_with(['.', '!', ' ', '\n']) => {
            refuse(
                text,
                "a full stop is put behind it where it is shown; end with a word",
            )
        }
        (Season::Between(..), Some(text)) => filled(file, "outside", text).map(Some),
    }
}

fn tender(
    file: &DataFile<'_>,
    name: &Text,
    classes: &Classes,
) -> Result<Option<Tender>, AlmanacError> {
    if name.get_ref() == NOT_TENDER {
        return Ok(None);
    }
    let allowed = std::iter::once(NOT_TENDER).chain(classes.keys().map(String::as_str));
    let class = classes.get(name.get_ref()).cloned();
    let unknown = || AlmanacError::unknown(file, name, ("tender", "tender class"), allowed);
    class.map(Some).ok_or_else(unknown)
}

fn zones(file: &DataFile<'_>, zones: &Spanned<HardyZones>) -> Result<HardyZones, AlmanacError> {
    let at = |zone: u32| Spanned::new(zones.span(), zone);
    let HardyZones { coldest, warmest } = *zones.get_ref();
    within(file, "zones", &at(warmest), ZONES)?;
    within(file, "zones", &at(coldest), *ZONES.start()..=warmest)?;
    Ok(*zones.get_ref())
}

fn dates(
    file: &DataFile<'_>,
    key: &str,
    dates: Option<&Spanned<ZoneDates>>,
) -> Result<Option<ZoneDates>, AlmanacError> {
    let Some(dates) = dates else {
        return Ok(None);
    };
    let ZoneDates {
        from,
        to,
        days_per_zone,
    } = *dates.get_ref();
    let span = (to.day_of_year() - from.day_of_year()).rem_euclid(365);
    if span > SPAN_DAYS_MAX {
        let what = format!("found {span} days from first to last; allowed: up to {SPAN_DAYS_MAX}");
        return Err(AlmanacError::at(file, &dates.span(), key, what));
    }
    let moved = Spanned::new(dates.span(), days_per_zone);
    within(file, key, &moved, -DAYS_PER_ZONE_MAX..=DAYS_PER_ZONE_MAX)?;
    Ok(Some(*dates.get_ref()))
}

/// The sources of the groups of values; dates and their source come together or not at all.
fn notes(
    file: &DataFile<'_>,
    row: &RawKind,
    sources: &Sources,
) -> Result<Vec<SourceNote>, AlmanacError> {
    let from = row.sources.get_ref();
    let groups = [
        ("wood", Some(&from.wood), true),
        ("zones", Some(&from.zones), true),
        ("bloom", from.bloom.as_ref(), row.bloom.is_some()),
        ("bud_set", from.bud_set.as_ref(), row.bud_set.is_some()),
        (
            "bud_break",
            from.bud_break.as_ref(),
            row.bud_break.is_some(),
        ),
        (
            "full_leaf",
            from.full_leaf.as_ref(),
            row.full_leaf.is_some(),
        ),
        (
            "flush_end",
            from.flush_end.as_ref(),
            row.flush_end.is_some(),
        ),
        (
            "leaf_fall",
            from.leaf_fall.as_ref(),
            row.leaf_fall.is_some(),
        ),
        ("pace", from.pace.as_ref(), row.pace.is_some()),
        ("hard_cut", from.hard_cut.as_ref(), row.hard_cut.is_some()),
        (
            "share_max",
            from.share_max.as_ref(),
            row.share_max.is_some(),
        ),
        ("holds", from.holds.as_ref(), !row.holds.is_empty()),
        ("diseases", from.diseases.as_ref(), !row.diseases.is_empty()),
        ("wildlife", from.wildlife.as_ref(), !row.wildlife.is_empty()),
        ("sap", from.sap.as_ref(), !row.sap.is_empty()),
    ];
    let mut notes = Vec::new();
    for (key, names, has_values) in groups {
        let refuse = |what: &str| {
            let span = names.map_or_else(|| row.sources.span(), Spanned::span);
            Err(AlmanacError::at(file, &span, key, what.to_owned()))
        };
        match (names, has_values) {
            (Some(names), true) => notes.push(SourceNote {
                of: group_words(key).to_owned(),
                source: sources.resolve(file, key, names)?,
            }),
            (None, true) => return refuse("it has no source; name one"),
            (Some(_), false) => return refuse("there is nothing for this source"),
            (None, false) => {}
        }
    }
    Ok(notes)
}

/// What a group of values is called where its source is shown.
fn group_words(key: &str) -> &str {
    match key {
        "zones" => "hardiness zones",
        "bud_set" => "bud set",
        "bud_break" => "bud break",
        "full_leaf" => "full leaf",
        "flush_end" => "end of the flush",
        "leaf_fall" => "leaf fall",
        "hard_cut" => "hard cut",
        "share_max" => "largest share",
        other => other,
    }
}

/// A text that begins and ends as a sentence.
pub(super) fn sentence(
    file: &DataFile<'_>,
    key: &str,
    text: &Text,
) -> Result<String, AlmanacError> {
    let sentence = filled(file, key, text)?;
    if sentence.ends_with('.') {
        return Ok(sentence);
    }
    let what = format!("'{sentence}' is no sentence; end it with a full stop");
    Err(AlmanacError::at(file, &text.span(), key, what))
}

/// A text that is not empty.
fn filled(file: &DataFile<'_>, key: &str, text: &Text) -> Result<String, AlmanacError> {
    let trimmed = text.get_ref().trim();
    if trimmed.is_empty() {
        let what = "it is empty; write something".to_owned();
        return Err(AlmanacError::at(file, &text.span(), key, what));
    }
    Ok(trimmed.to_owned())
}
