//! Gardens, cuts and plantings by the names that a keeper types.

use std::sync::Arc;

use super::Exit;
use crate::config::GardenSettings;
use crate::garden::PlannedCut;

/// A cut with its garden.
type Found<'a> = (&'a GardenSettings, &'a PlannedCut);

/// The gardens that are meant: all, or the one of that name.
pub(super) fn gardens<'a>(
    gardens: &'a [Arc<GardenSettings>],
    name: Option<&str>,
) -> Result<Vec<&'a GardenSettings>, Exit> {
    let Some(name) = name else {
        return Ok(gardens.iter().map(Arc::as_ref).collect());
    };
    if let Some(garden) = gardens.iter().find(|garden| garden.garden.name == name) {
        return Ok(vec![garden]);
    }
    let names: Vec<&str> = gardens
        .iter()
        .map(|garden| garden.garden.name.as_str())
        .collect();
    Err(Exit::no_such("garden", name, &names))
}

/// The cut that is meant, by its name or by that of a planting that has a single one.
pub(super) fn cut<'a>(
    gardens: &'a [Arc<GardenSettings>],
    written: &str,
) -> Result<Found<'a>, Exit> {
    let all = all(gardens);
    let by_name = meant(&all, written, |cut, name| is_same(&cut.name, name));
    let found = if by_name.is_empty() {
        meant(&all, written, is_of_planting)
    } else {
        by_name
    };
    match found.as_slice() {
        [one] => Ok(*one),
        [] => {
            let names: Vec<String> = all.iter().map(|found| name_of(gardens, found)).collect();
            let names: Vec<&str> = names.iter().map(String::as_str).collect();
            Err(Exit::no_such("cut", written, &names))
        }
        several => {
            let full = |(garden, cut): &Found<'_>| format!("{}/{}", garden.garden.name, cut.name);
            let names: Vec<String> = several.iter().map(full).collect();
            Err(Exit::Usage(format!(
                "\"{written}\" may be several cuts: say which\nallowed: {}",
                names.join(", ")
            )))
        }
    }
}

/// The planting that is meant, as one of its cuts.
pub(super) fn planting<'a>(
    gardens: &'a [Arc<GardenSettings>],
    written: &str,
) -> Result<Found<'a>, Exit> {
    let all = all(gardens);
    let mut found = meant(&all, written, is_of_planting);
    let key = |(garden, cut): &Found<'a>| (garden.garden.name.clone(), cut.planting.clone());
    found.dedup_by_key(|found| key(found));
    match found.as_slice() {
        [one] => Ok(*one),
        [] => {
            let mut names: Vec<&str> = all.iter().map(|(_, cut)| cut.planting.as_str()).collect();
            names.dedup();
            Err(Exit::no_such("planting", written, &names))
        }
        several => {
            let full = |(garden, _): &Found<'_>| format!("{}/{written}", garden.garden.name);
            let names: Vec<String> = several.iter().map(full).collect();
            Err(Exit::Usage(format!(
                "\"{written}\" grows in several gardens: say in which\nallowed: {}",
                names.join(", ")
            )))
        }
    }
}

fn all(gardens: &[Arc<GardenSettings>]) -> Vec<Found<'_>> {
    gardens
        .iter()
        .flat_map(|garden| garden.garden.cuts.iter().map(|cut| (&**garden, cut)))
        .collect()
}

/// Those that fit what was written, with or without the garden before it.
fn meant<'a>(
    all: &[Found<'a>],
    written: &str,
    fits: impl Fn(&PlannedCut, &str) -> bool,
) -> Vec<Found<'a>> {
    let is_meant = |(garden, cut): &&Found<'a>| {
        let rest = written
            .split_once('/')
            .filter(|(name, _)| is_same(name, &garden.garden.name));
        fits(cut, written) || rest.is_some_and(|(_, rest)| fits(cut, rest))
    };
    all.iter().filter(is_meant).copied().collect()
}

fn is_of_planting(cut: &PlannedCut, written: &str) -> bool {
    is_same(&cut.planting, written) || is_same(cut.short(), written)
}

/// Whether two names are the same but for capitals.
fn is_same(a: &str, b: &str) -> bool {
    a.trim().to_lowercase() == b.trim().to_lowercase()
}

/// The name of a cut as it has to be typed.
fn name_of(gardens: &[Arc<GardenSettings>], (garden, cut): &Found<'_>) -> String {
    if gardens.len() == 1 {
        cut.name.clone()
    } else {
        format!("{}/{}", garden.garden.name, cut.name)
    }
}
