//! Tender classes: how long a cut leaves a plant tender, and how cold is too cold.

use std::collections::BTreeMap;
use std::fmt::Display;
use std::ops::RangeInclusive;

use toml::Spanned;

use super::error::AlmanacError;
use super::load::DataFile;
use super::raw::{RawEdges, RawGrowth, RawTender, RawUnhardened};
use super::sources::Sources;
use super::{Edges, Growth, Tender, Unhardened};
use crate::units::{Celsius, DegreeDays};

/// Every tender class by its name.
pub(super) type Classes = BTreeMap<String, Tender>;

/// The word for a cut after which frost is no reason to wait.
pub(super) const NOT_TENDER: &str = "none";

/// Days for which cut edges can be tender.
const EDGE_DAYS: RangeInclusive<u32> = 1..=60;

/// Days for which growth can be tender; the futures reach half a year beyond the last cutting day.
const GROWTH_DAYS: RangeInclusive<u32> = 0..=120;

/// Days before and after mid-winter between which wood can be less hardy for a cut.
const BEFORE_MID_WINTER: u32 = 180;
const AFTER_MID_WINTER: u32 = 90;

/// Temperatures in °C that can be damaging.
const DAMAGE_C: RangeInclusive<f64> = -40.0..=5.0;

/// Heat in °C·d until growth shows.
const START_HEAT: RangeInclusive<f64> = 0.0..=600.0;

/// Heat in °C·d until growth is firm.
const FIRM_HEAT: RangeInclusive<f64> = 0.0..=1500.0;

/// A tender class from its row.
pub(super) fn class(
    file: &DataFile<'_>,
    row: &RawTender,
    sources: &Sources,
) -> Result<Tender, AlmanacError> {
    let id = row.id.get_ref();
    if id == NOT_TENDER {
        let what = format!("'{id}' stands for no tender class; choose another name");
        return Err(AlmanacError::at(file, &row.id.span(), "id", what));
    }
    if row.edges.is_none() && row.growth.is_none() && row.unhardened.is_none() {
        let what = "it has neither edges nor growth nor unhardened wood: nothing would be tender"
            .to_owned();
        return Err(AlmanacError::at(file, &row.id.span(), "edges", what));
    }
    Ok(Tender {
        class: id.clone(),
        why: super::books::sentence(file, "why", &row.why)?,
        edges: row.edges.as_ref().map(|row| edges(file, row)).transpose()?,
        growth: row
            .growth
            .as_ref()
            .map(|row| growth(file, row))
            .transpose()?,
        unhardened: row
            .unhardened
            .as_ref()
            .map(|row| unhardened(file, row))
            .transpose()?,
        source: sources.resolve(file, "source", &row.source)?,
    })
}

fn edges(file: &DataFile<'_>, row: &RawEdges) -> Result<Edges, AlmanacError> {
    Ok(Edges {
        days: within(file, "days", &row.days, EDGE_DAYS)?,
        damage_at: damage_at(file, &row.damage_at_c)?,
    })
}

fn growth(file: &DataFile<'_>, row: &RawGrowth) -> Result<Growth, AlmanacError> {
    let heat = |key: &str, value: &Spanned<f64>, allowed| {
        within(file, key, value, allowed).map(DegreeDays::new)
    };
    let days_max = within(file, "days_max", &row.days_max, GROWTH_DAYS)?;
    Ok(Growth {
        starts_after: heat(
            "starts_after_degree_days",
            &row.starts_after_degree_days,
            START_HEAT,
        )?,
        firm_after: heat(
            "firm_after_degree_days",
            &row.firm_after_degree_days,
            FIRM_HEAT,
        )?,
        days_min: within(file, "days_min", &row.days_min, 0..=days_max)?,
        days_max,
        damage_at: damage_at(file, &row.damage_at_c)?,
    })
}

fn unhardened(file: &DataFile<'_>, row: &RawUnhardened) -> Result<Unhardened, AlmanacError> {
    let cut_from = within(
        file,
        "cut_from_days_before",
        &row.cut_from_days_before,
        0..=BEFORE_MID_WINTER,
    )?;
    Ok(Unhardened {
        cut_from,
        cut_to: within(
            file,
            "cut_to_days_before",
            &row.cut_to_days_before,
            0..=cut_from,
        )?,
        until: within(
            file,
            "until_days_after",
            &row.until_days_after,
            0..=AFTER_MID_WINTER,
        )?,
        damage_at: damage_at(file, &row.damage_at_c)?,
    })
}

fn damage_at(file: &DataFile<'_>, value: &Spanned<f64>) -> Result<Celsius, AlmanacError> {
    within(file, "damage_at_c", value, DAMAGE_C).map(Celsius::new)
}

/// The value, if it is in the range.
pub(super) fn within<Number: PartialOrd + Display + Copy>(
    file: &DataFile<'_>,
    key: &str,
    value: &Spanned<Number>,
    allowed: RangeInclusive<Number>,
) -> Result<Number, AlmanacError> {
    let number = *value.get_ref();
    if allowed.contains(&number) {
        return Ok(number);
    }
    let what = format!(
        "found {number}; allowed: {} to {}",
        allowed.start(),
        allowed.end()
    );
    Err(AlmanacError::at(file, &value.span(), key, what))
}
