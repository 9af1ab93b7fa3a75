//! The search for the last freeze of each spring and the first of each autumn.

use chrono::{Datelike, Days, NaiveDate};

use super::{MISSING_MAX, TOLERANCE};
use crate::climate::{DailyRecord, DayExtremes};
use crate::garden::Hemisphere;
use crate::units::Celsius;

/// One of the two seasons between which nothing freezes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Season {
    /// It ends with the last freeze.
    Spring,
    /// It begins with the first freeze.
    Autumn,
}

impl Season {
    /// First and last month.
    pub(super) const fn months(self, hemisphere: Hemisphere) -> (u32, u32) {
        match (self, hemisphere) {
            (Self::Spring, Hemisphere::North) => (1, 7),
            (Self::Spring, Hemisphere::South) => (7, 1),
            (Self::Autumn, Hemisphere::North) => (8, 12),
            (Self::Autumn, Hemisphere::South) => (2, 6),
        }
    }

    /// Its first day in a year, and the day after its last.
    fn bounds(self, year: i32, hemisphere: Hemisphere) -> Option<(NaiveDate, NaiveDate)> {
        let (from, to) = self.months(hemisphere);
        let start = NaiveDate::from_ymd_opt(year, from, 1)?;
        let end_year = year + i32::from(to < from || to == 12);
        Some((start, NaiveDate::from_ymd_opt(end_year, to % 12 + 1, 1)?))
    }
}

/// The freezes of one season over the years, at several thresholds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Freezes {
    /// How many seasons had nearly every day on record; only they count.
    pub seasons: usize,
    /// By threshold, in the order in which they were asked for: the last freeze of each spring or the first of each
    /// autumn that had one, in the order of the years.
    pub dates: Vec<Vec<NaiveDate>>,
}

impl Freezes {
    /// The freezes of a record, in one pass over each season.
    ///
    /// Spring is read backwards and autumn forwards: a night as cold as a lower threshold is as cold as a higher one,
    /// so the search for it goes on where that of the next higher ended.
    pub fn of(
        record: &DailyRecord,
        thresholds: &[Celsius],
        hemisphere: Hemisphere,
        season: Season,
    ) -> Self {
        let mut warmest_first: Vec<(usize, Celsius)> = thresholds
            .iter()
            .map(|threshold| *threshold + TOLERANCE)
            .enumerate()
            .collect();
        warmest_first.sort_by(|(_, a), (_, b)| b.degrees().total_cmp(&a.degrees()));
        let mut found = Self {
            seasons: 0,
            dates: vec![Vec::new(); thresholds.len()],
        };
        let years = record.first().year() - 1..=record.last().year();
        for (start, end) in years.filter_map(|year| season.bounds(year, hemisphere)) {
            let days = record.run(start, end);
            let has_night = |day: &&DayExtremes| day.min.is_some();
            let with_night = days.iter().filter(has_night).count();
            if days_between(start, end).saturating_sub(with_night) > MISSING_MAX {
                continue;
            }
            found.seasons += 1;
            // Fewer days than the season has may be on record; the first of them is where the record begins.
            let first = start.max(record.first());
            let nights = days.iter().map(|day| day.min).enumerate();
            match season {
                Season::Spring => found.note(first, nights.rev(), &warmest_first),
                Season::Autumn => found.note(first, nights, &warmest_first),
            }
        }
        found
    }

    /// Notes the first of these nights at or below each limit, the warmest limit first; nights count from a day on.
    fn note(
        &mut self,
        first: NaiveDate,
        mut nights: impl Iterator<Item = (usize, Option<Celsius>)>,
        warmest_first: &[(usize, Celsius)],
    ) {
        let mut limits = warmest_first.iter().peekable();
        while let Some((_, highest)) = limits.peek() {
            let is_cold = |night: &Celsius| night <= highest;
            let cold = nights.find_map(|(day, night)| Some((day, night.filter(is_cold)?)));
            let Some((day, night)) = cold else { return };
            let date = first + Days::new(u64::try_from(day).unwrap_or(0));
            while let Some((asked, _)) = limits.next_if(|(_, limit)| night <= *limit) {
                if let Some(dates) = self.dates.get_mut(*asked) {
                    dates.push(date);
                }
            }
        }
    }
}

fn days_between(start: NaiveDate, end: NaiveDate) -> usize {
    usize::try_from((end - start).num_days()).unwrap_or(0)
}
