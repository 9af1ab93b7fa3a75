//! In which order gardens are looked at.

use std::cmp::Ordering;
use std::sync::Arc;

use crate::config::GardenSettings;

/// The gardens in an order in which those of one place come together, so that what is foreseen for the first is still there
/// for the last; from two ends at once, so that one place is not waited for.
pub(super) fn by_place(gardens: &[Arc<GardenSettings>]) -> Vec<&Arc<GardenSettings>> {
    let mut all: Vec<&Arc<GardenSettings>> = gardens.iter().collect();
    let place = |garden: &GardenSettings| {
        let place = &garden.garden.place;
        let height = place.elevation.map_or(0.0, |height| height.0);
        [place.latitude(), place.longitude(), height]
    };
    all.sort_by(|one, other| {
        let pairs = place(one).into_iter().zip(place(other));
        let orders = pairs.map(|(one, other)| one.total_cmp(&other));
        orders.fold(Ordering::Equal, Ordering::then)
    });
    let later = all.split_off(all.len().div_ceil(2));
    let mut later = later.into_iter();
    all.into_iter()
        .flat_map(|garden| [Some(garden), later.next()])
        .flatten()
        .collect()
}
