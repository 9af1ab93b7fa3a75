//! What resampling of years needs of each year: sums of squares by teller, over all and over contested days.

use std::collections::BTreeMap;

use crate::backtest::baseline::Teller;
use crate::backtest::row::Row;
use crate::science::scores::skill;

/// Days on which the climate chance lies strictly between these are contested: elsewhere the calendar alone decides.
const CONTESTED: (f64, f64) = (0.05, 0.95);

/// Sums over some days.
#[derive(Debug, Clone, Default)]
pub(super) struct Sums {
    pub(super) days: f64,
    came: f64,
    /// For each teller that spoke on every day: squared errors and chances.
    tellers: BTreeMap<Teller, TellerSums>,
}

#[derive(Debug, Clone, Copy, Default)]
struct TellerSums {
    days: f64,
    squares: f64,
    chances: f64,
}

/// The sums of one year of one series.
#[derive(Debug, Clone, Default)]
pub(super) struct YearSums {
    pub(super) all: Sums,
    pub(super) contested: Sums,
}

/// Whether the climate leaves a day open.
pub(super) fn contested(row: &Row) -> bool {
    let climate = row.chance(Teller::Climate).share();
    climate > CONTESTED.0 && climate < CONTESTED.1
}

/// The sums by year, the same year of several series in one group.
pub(super) fn year_sums(rows: &[&Row]) -> Vec<Vec<YearSums>> {
    let mut years: BTreeMap<i32, YearSums> = BTreeMap::new();
    for row in rows {
        let year = years.entry(row.year).or_default();
        year.all.add(row);
        if contested(row) {
            year.contested.add(row);
        }
    }
    years.into_values().map(|year| vec![year]).collect()
}

impl YearSums {
    pub(super) fn total(years: &[Self]) -> Self {
        let mut total = Self::default();
        for year in years {
            total.all.merge(&year.all);
            total.contested.merge(&year.contested);
        }
        total
    }
}

impl Sums {
    fn add(&mut self, row: &Row) {
        let came = f64::from(u8::from(row.happened));
        self.days += 1.0;
        self.came += came;
        for (teller, chance) in &row.chances {
            let sums = self.tellers.entry(*teller).or_default();
            sums.days += 1.0;
            sums.squares += (chance.share() - came).powi(2);
            sums.chances += chance.share();
        }
    }

    fn merge(&mut self, other: &Self) {
        self.days += other.days;
        self.came += other.came;
        for (teller, more) in &other.tellers {
            let sums = self.tellers.entry(*teller).or_default();
            sums.days += more.days;
            sums.squares += more.squares;
            sums.chances += more.chances;
        }
    }

    /// The sums of a teller that spoke on every day.
    fn of(&self, teller: Teller) -> Option<&TellerSums> {
        self.tellers
            .get(&teller)
            .filter(|sums| self.days > 0.0 && sums.days >= self.days)
    }

    /// A teller's Brier score; none when it was silent on a day.
    pub(super) fn brier(&self, teller: Teller) -> Option<f64> {
        Some(self.of(teller)?.squares / self.days)
    }

    pub(super) fn skill(&self, teller: Teller, reference: Teller) -> Option<f64> {
        skill(self.brier(teller)?, self.brier(reference)?)
    }

    /// By how much a teller's mean chance is above the share of days on which it came.
    pub(super) fn excess(&self, teller: Teller) -> Option<f64> {
        Some((self.of(teller)?.chances - self.came) / self.days)
    }
}
