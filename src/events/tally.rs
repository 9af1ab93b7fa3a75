//! How many futures have an event by each day of a season.

/// Days of a season, and of the winter after it in which a freeze that never comes is put.
pub(super) const DAYS: usize = 400;

/// The shares of the futures by which early, middle and late dates are named.
const SHARES: [usize; 3] = [10, 50, 90];

/// How many runs have the event on each day, counted from the first day of the season.
#[derive(Debug, Clone)]
pub(super) struct Tally {
    days: Vec<usize>,
}

/// The days by which 10, 50 and 90 % of the runs have the event, counted from the first day of the season.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Spread {
    pub(super) early: usize,
    pub(super) middle: usize,
    pub(super) late: usize,
}

impl Tally {
    /// Nothing counted yet.
    pub(super) fn new() -> Self {
        Self {
            days: vec![0; DAYS],
        }
    }

    /// So many more runs have it on that day.
    pub(super) fn add(&mut self, day: usize, runs: usize) {
        if let Some(known) = self.days.get_mut(day) {
            *known += runs;
        }
    }

    /// The spread over so many runs; none when fewer than nine in ten have the event.
    pub(super) fn spread(&self, runs: usize) -> Option<Spread> {
        let by = |percent: usize| {
            let mut sum = 0;
            self.days.iter().position(|n| {
                sum += n;
                sum > 0 && 100 * sum >= percent * runs
            })
        };
        let [early, middle, late] = SHARES.map(by);
        Some(Spread {
            early: early?,
            middle: middle?,
            late: late?,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_spread_names_the_days_by_which_so_many_runs_have_it() {
        let mut tally = Tally::new();
        for day in 1..=9 {
            tally.add(day, 1);
        }
        assert_eq!(
            tally.spread(10),
            Some(Spread {
                early: 1,
                middle: 5,
                late: 9
            })
        );
        // Eight in ten or fewer: no late day, so no spread.
        assert_eq!(tally.spread(11), None);
        assert_eq!(Tally::new().spread(0), None);
    }
}
