//! The events of one planting: what was seen before what is counted, what is counted before the calendar.

use std::sync::Arc;

use chrono::NaiveDate;

use super::months::{is_spring, moved_by_heat, moved_with, unmoved};
use super::place::Seasons;
use super::{EventBasis, Events, Predicted};
use crate::almanac::{Event, Kind};
use crate::garden::Sighting;

/// The seasons that windows of today can start or end in, by their year less that of the season at hand.
const YEARS: std::ops::RangeInclusive<i32> = -2..=3;

/// A sighting belongs to the season whose date of the event is no further off (half a year).
const SEEN_WITHIN_DAYS: i64 = 182;

/// An event whose date is better than the calendar, with what the zone months say of it.
type Known = (Event, NaiveDate, Predicted);

impl Seasons {
    /// The events of a planting of a kind, with what the keeper saw at it.
    pub fn events(&self, kind: &Kind, sightings: &[Sighting]) -> Arc<Events> {
        if sightings.is_empty() {
            return self.unseen(kind, || self.all_events(kind, sightings));
        }
        Arc::new(self.all_events(kind, sightings))
    }

    fn all_events(&self, kind: &Kind, sightings: &[Sighting]) -> Events {
        let dates = YEARS.flat_map(|near| {
            let year = self.this_year + near;
            let known = self.known(kind, sightings, year);
            let date = move |event: Event| {
                let found = self.predict(kind, (event, year), &known)?;
                Some((event, year, found))
            };
            Event::ALL.into_iter().filter_map(date).collect::<Vec<_>>()
        });
        Events {
            dates: dates.collect(),
        }
    }

    /// The events of a kind that are seen or have a published sum.
    fn known(&self, kind: &Kind, sightings: &[Sighting], year: i32) -> Vec<Known> {
        let known = |event: Event| {
            let of_months = self.months.date(kind, event, year)?;
            let seen = self.seen(kind, sightings, (event, year));
            let summed = || {
                let sum = kind.heat.iter().find(|sum| sum.event == event)?;
                self.sum_reached(kind, sum, year)
            };
            Some((event, of_months, seen.or_else(summed)?))
        };
        Event::ALL.into_iter().filter_map(known).collect()
    }

    /// What the keeper saw of an event in a season: the last report holds.
    fn seen(
        &self,
        kind: &Kind,
        sightings: &[Sighting],
        (event, year): (Event, i32),
    ) -> Option<Predicted> {
        let date = self.months.date(kind, event, year)?;
        let belongs = |seen: &&Sighting| {
            seen.event == event
                && seen.on <= self.today
                && (seen.on - date).num_days().abs() <= SEEN_WITHIN_DAYS
        };
        let seen = sightings.iter().rfind(belongs)?;
        Some(Predicted::on(seen.on, EventBasis::Seen))
    }

    fn predict(
        &self,
        kind: &Kind,
        (event, year): (Event, i32),
        known: &[Known],
    ) -> Option<Predicted> {
        let date = self.months.date(kind, event, year)?;
        if let Some((_, _, known)) = known.iter().find(|(of, _, _)| *of == event) {
            return Some(known.clone());
        }
        match event {
            Event::MidWinter | Event::MidSummer => Some(Predicted::on(date, EventBasis::Calendar)),
            Event::LastFreeze | Event::FirstFreeze | Event::WarmSpell | Event::HardFrost => {
                Some(self.of_place(event, year).unwrap_or_else(|| unmoved(date)))
            }
            Event::LeafFall => Some(unmoved(date)),
            Event::BudBreak
            | Event::BloomBegin
            | Event::BloomEnd
            | Event::FullLeaf
            | Event::FlushEnd
            | Event::BudSet => {
                let with_other = nearest(known, date).and_then(|known| moved_with(date, known));
                Some(with_other.unwrap_or_else(|| self.by_months(kind, (event, year), date)))
            }
        }
    }

    /// The zone months, moved by the heat of the season in spring.
    fn by_months(&self, kind: &Kind, (event, year): (Event, i32), date: NaiveDate) -> Predicted {
        let reached = is_spring(kind, event)
            .then(|| self.heat_reached(date, year))
            .flatten();
        reached.map_or_else(
            || unmoved(date),
            |reached| moved_by_heat(date, self.months.start(year), &reached),
        )
    }
}

/// The known event of the kind itself that lies nearest in the zone months.
fn nearest(known: &[Known], date: NaiveDate) -> Option<(Event, NaiveDate, &Predicted)> {
    let of_plant = known.iter().filter(|(event, _, _)| {
        !matches!(
            event,
            Event::LastFreeze | Event::FirstFreeze | Event::WarmSpell | Event::HardFrost
        )
    });
    of_plant
        .min_by_key(|(_, of_months, _)| (*of_months - date).num_days().abs())
        .map(|(event, of_months, known)| (*event, *of_months, known))
}
