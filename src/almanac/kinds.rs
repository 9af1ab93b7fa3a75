//! From a row of a data file to a kind of plant.

use std::collections::{BTreeMap, BTreeSet};

use toml::Spanned;

use super::error::AlmanacError;
use super::load::{DataFile, new_name};
use super::raw::{RawCut, RawGroups, RawKind, Text};
use super::season::{check, season};
use super::sources::Sources;
use super::tender::{Classes, NOT_TENDER, within};
use super::{Cut, HardyZones, Kind, Season, SourceNote, Sourced, Tender, ZoneDates};

/// Days by which an event can move from one zone to the next.
const DAYS_PER_ZONE_MAX: i32 = 14;

/// Days that a span of dates can last.
const SPAN_DAYS_MAX: i32 = 200;

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
    let cautions = row.caution.iter().map(|caution| {
        Ok(Sourced {
            text: sentence(file, "text", &caution.text)?,
            source: sources.resolve(file, "source", &caution.source)?,
        })
    });
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
    let RawGroups {
        wood,
        zones,
        bloom,
        bud_set,
        bud_break,
    } = row.sources.get_ref();
    let always = |names| (Some(names), true);
    let groups = [
        ("wood", "wood", always(wood)),
        ("zones", "hardiness zones", always(zones)),
        ("bloom", "bloom", (bloom.as_ref(), row.bloom.is_some())),
        (
            "bud_set",
            "bud set",
            (bud_set.as_ref(), row.bud_set.is_some()),
        ),
        (
            "bud_break",
            "bud break",
            (bud_break.as_ref(), row.bud_break.is_some()),
        ),
    ];
    let mut notes = Vec::new();
    for (key, of, (names, has_values)) in groups {
        let refuse = |what: &str| {
            let span = names.map_or_else(|| row.sources.span(), Spanned::span);
            Err(AlmanacError::at(file, &span, key, what.to_owned()))
        };
        match (names, has_values) {
            (Some(names), true) => notes.push(SourceNote {
                of: of.to_owned(),
                source: sources.resolve(file, key, names)?,
            }),
            (None, true) => return refuse("its dates have no source; name one"),
            (Some(_), false) => return refuse("there are no dates for this source"),
            (None, false) => {}
        }
    }
    Ok(notes)
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
