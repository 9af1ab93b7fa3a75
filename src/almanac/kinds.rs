//! From a row of a data file to a kind of plant, new or changed.

use std::sync::Arc;

use toml::Spanned;

use super::books::{Origin, Reader};
use super::cuts::cut;
use super::error::AlmanacError;
use super::groups::notes;
use super::raw::{RawHeat, RawKind, Text};
use super::season::check;
use super::{Almanac, HardCut, HardyZones, HeatSum, Kind, Pace, ZoneDates};
use crate::units::{Celsius, DegreeDays};

/// Heat in °C·d at which an event can come.
const HEAT_SUM: std::ops::RangeInclusive<f64> = 1.0..=3000.0;

/// Bases in °C above which heat is counted.
const HEAT_BASE: std::ops::RangeInclusive<f64> = 0.0..=15.0;

/// Percent of live growth that can go in a season.
const SHARE: std::ops::RangeInclusive<i64> = 1..=100;

/// The share of live growth that may go where a garden file names none (estimate).
const SHARE_DEFAULT: u8 = 33;

/// The hardiness zones that exist.
const ZONES: std::ops::RangeInclusive<u32> = 1..=13;

impl Almanac {
    /// A kind from its row; what the row leaves out is that of the kind it changes.
    pub(super) fn kind_of(
        &self,
        reader: Reader<'_>,
        row: &RawKind,
        base: Option<&Kind>,
    ) -> Result<Kind, AlmanacError> {
        let at = row.id.as_ref().map_or(0..0, Text::span);
        let mut kind = match base {
            Some(base) => base.clone(),
            None => new(reader, row)?,
        };
        names(reader, row, &mut kind)?;
        self.names_are_free(reader, row, &kind.id)?;
        set(&mut kind.habit, row.habit);
        set(&mut kind.wood, row.wood);
        if let Some(given) = &row.zones {
            kind.zones = zones(reader, given)?;
        }
        calendar(reader, row, &mut kind)?;
        character(reader, row, &mut kind)?;
        kind.sources = notes(reader, row, &kind.sources)?;
        cuts(reader, row, &mut kind)?;
        if kind.cuts.is_empty() && kind.needs_no_cut.is_none() {
            let what = "it has no cut; give at least one, or say why it needs none";
            return Err(reader.refuse(&at, "cut", what));
        }
        for cut in &kind.cuts {
            check(&kind, cut.season).map_err(|what| {
                let what = format!("season of the cut '{}': {what}", cut.cut.name());
                reader.refuse(&at, "cut", what)
            })?;
        }
        Ok(kind)
    }

    /// Checks that no other kind has one of the row's everyday names.
    fn names_are_free(
        &self,
        reader: Reader<'_>,
        row: &RawKind,
        id: &str,
    ) -> Result<(), AlmanacError> {
        let also = row.also.iter().flatten().map(|name| ("also", name));
        let all: Vec<(&str, &Text)> = row
            .common
            .iter()
            .map(|n| ("common", n))
            .chain(also)
            .collect();
        for (at, (key, name)) in all.iter().enumerate() {
            let written = name.get_ref().trim();
            let is_it = |other: &String| other.to_lowercase() == written.to_lowercase();
            let has = |kind: &Kind| kind.is_called(written);
            let other = self.kinds.iter().find(|kind| kind.id != id && has(kind));
            let twice = all
                .iter()
                .take(at)
                .any(|(_, before)| is_it(before.get_ref()));
            if let Some(owner) = other.map(|kind| kind.id.as_str()).or(twice.then_some(id)) {
                let what = format!("'{written}' is already a name of '{owner}'");
                return Err(reader.refuse(&name.span(), key, what));
            }
        }
        Ok(())
    }
}

/// A key of dates, where they are kept, and what a row gives.
type Slot<'a> = (
    &'static str,
    &'a mut Option<ZoneDates>,
    &'a Option<Spanned<ZoneDates>>,
);

fn set<T>(slot: &mut T, value: Option<T>) {
    if let Some(value) = value {
        *slot = value;
    }
}

/// A kind with what every kind needs.
fn new(reader: Reader<'_>, row: &RawKind) -> Result<Kind, AlmanacError> {
    let at = row.id.as_ref().map_or(0..0, Text::span);
    let missing = |key: &str| reader.refuse(&at, key, "it is missing");
    let text = |value: &Option<Text>, key: &str| match value {
        Some(text) => reader.filled(key, text),
        None => Err(missing(key)),
    };
    let zones_given = row.zones.as_ref().ok_or_else(|| missing("zones"))?;
    if reader.origin == Origin::BuiltIn {
        let needed = [
            ("pace", row.pace.is_some()),
            ("hard_cut", row.hard_cut.is_some()),
            ("share_max", row.share_max.is_some()),
        ];
        if let Some((key, _)) = needed.into_iter().find(|(_, is_there)| !is_there) {
            return Err(missing(key));
        }
    }
    Ok(Kind {
        id: text(&row.id, "id")?,
        botanical: text(&row.botanical, "botanical")?,
        common: text(&row.common, "common")?,
        also: Vec::new(),
        habit: row.habit.ok_or_else(|| missing("habit"))?,
        wood: row.wood.ok_or_else(|| missing("wood"))?,
        zones: zones(reader, zones_given)?,
        bloom: None,
        bud_set: None,
        bud_break: None,
        full_leaf: None,
        flush_end: None,
        leaf_fall: None,
        heat: Vec::new(),
        pace: Pace::Medium,
        hard_cut: HardCut::No,
        share_max: SHARE_DEFAULT,
        holds: Vec::new(),
        diseases: Vec::new(),
        wildlife: Vec::new(),
        sap: Vec::new(),
        hygiene: None,
        needs_no_cut: None,
        cautions: Vec::new(),
        cuts: Vec::new(),
        sources: Vec::new(),
    })
}

fn names(reader: Reader<'_>, row: &RawKind, kind: &mut Kind) -> Result<(), AlmanacError> {
    let text = |key: &str, value: &Option<Text>| {
        let value = value.as_ref();
        value.map(|text| reader.filled(key, text)).transpose()
    };
    set(&mut kind.botanical, text("botanical", &row.botanical)?);
    set(&mut kind.common, text("common", &row.common)?);
    if let Some(also) = &row.also {
        let also = also.iter().map(|name| reader.filled("also", name));
        kind.also = also.collect::<Result<_, _>>()?;
    }
    Ok(())
}

/// The dates and heat sums of its events.
fn calendar(reader: Reader<'_>, row: &RawKind, kind: &mut Kind) -> Result<(), AlmanacError> {
    let dates: [Slot<'_>; 6] = [
        ("bloom", &mut kind.bloom, &row.bloom),
        ("bud_set", &mut kind.bud_set, &row.bud_set),
        ("bud_break", &mut kind.bud_break, &row.bud_break),
        ("full_leaf", &mut kind.full_leaf, &row.full_leaf),
        ("flush_end", &mut kind.flush_end, &row.flush_end),
        ("leaf_fall", &mut kind.leaf_fall, &row.leaf_fall),
    ];
    for (key, slot, given) in dates {
        if let Some(given) = given {
            *slot = Some(reader.dates(key, given)?);
        }
    }
    if let Some(rows) = &row.heat {
        let sums = rows.iter().map(|row| heat(reader, row));
        kind.heat = sums.collect::<Result<_, _>>()?;
    }
    Ok(())
}

fn heat(reader: Reader<'_>, row: &RawHeat) -> Result<HeatSum, AlmanacError> {
    let sum = reader.within("degree_days_c", &row.degree_days_c, HEAT_SUM)?;
    let base = reader.within("base_c", &row.base_c, HEAT_BASE)?;
    Ok(HeatSum {
        event: row.event,
        sum: DegreeDays::new(sum),
        base: Celsius::new(base),
        method: row.method,
        source: reader.source("source", row.source.as_ref(), &row.degree_days_c.span())?,
    })
}

/// What it bears, what harms it, who lives in it.
fn character(reader: Reader<'_>, row: &RawKind, kind: &mut Kind) -> Result<(), AlmanacError> {
    set(&mut kind.pace, row.pace);
    set(&mut kind.hard_cut, row.hard_cut);
    if let Some(share) = &row.share_max {
        let share = reader.within("share_max", share, SHARE)?;
        kind.share_max = u8::try_from(share).unwrap_or(SHARE_DEFAULT);
    }
    set(&mut kind.holds, row.holds.clone());
    set(&mut kind.diseases, row.diseases.clone());
    set(&mut kind.wildlife, row.wildlife.clone());
    set(&mut kind.sap, row.sap.clone());
    if let Some(hygiene) = &row.hygiene {
        kind.hygiene = Some(reader.sourced(hygiene)?);
    }
    if let Some(why) = &row.needs_no_cut {
        kind.needs_no_cut = Some(reader.sourced(why)?);
    }
    if let Some(cautions) = &row.caution {
        let cautions = cautions.iter().map(|caution| reader.sourced(caution));
        kind.cautions = cautions.collect::<Result<_, _>>()?;
    }
    Ok(())
}

/// The cuts: those of the row, each given once, in place of or beside those that were there.
fn cuts(reader: Reader<'_>, row: &RawKind, kind: &mut Kind) -> Result<(), AlmanacError> {
    let mut seen = Vec::new();
    for row in &row.cut {
        let of = *row.cut.get_ref();
        if seen.contains(&of) {
            let what = format!("'{}' is there twice; each cut is given once", of.name());
            return Err(reader.refuse(&row.cut.span(), "cut", what));
        }
        seen.push(of);
        let made = Arc::new(cut(reader, row, kind, kind.cut(of).map(Arc::as_ref))?);
        match kind.cuts.iter_mut().find(|one| one.cut == of) {
            Some(one) => *one = made,
            None => kind.cuts.push(made),
        }
    }
    Ok(())
}

fn zones(reader: Reader<'_>, zones: &Spanned<HardyZones>) -> Result<HardyZones, AlmanacError> {
    let at = |zone: u32| Spanned::new(zones.span(), zone);
    let HardyZones { coldest, warmest } = *zones.get_ref();
    reader.within("zones", &at(warmest), ZONES)?;
    reader.within("zones", &at(coldest), *ZONES.start()..=warmest)?;
    Ok(*zones.get_ref())
}
