//! The coldest tender night of every future and cutting day, for one form of tender period.

use super::period::{Nights, Shape};
use crate::outlook::Outlook;
use crate::units::Celsius;

/// The coldest nights of one form; they serve every cut whose tender period has it, whatever is too cold there.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Minima {
    pub(super) shape: Shape,
    cut_days: usize,
    /// Future by future, cutting day by cutting day, in °C; infinite where there is no tender night.
    coldest: Vec<f64>,
    /// The tender nights of a cut made today, future by future.
    today: Vec<Nights>,
}

impl Minima {
    pub(super) fn of(outlook: &Outlook, shape: Shape) -> Self {
        let cut_days = outlook.cut_days();
        let mut coldest = Vec::with_capacity(outlook.futures.len() * cut_days);
        let mut rising = Rising::default();
        let mut today = Vec::with_capacity(outlook.futures.len());
        for future in &outlook.futures {
            let nights = shape.nights(future, outlook.midwinter, cut_days);
            window_minima(&future.min, &nights, &mut rising, &mut coldest);
            today.extend(nights.first());
        }
        Self {
            shape,
            cut_days,
            coldest,
            today,
        }
    }

    /// The coldest nights of one future by cutting day.
    pub(super) fn of_future(&self, index: usize) -> &[f64] {
        self.coldest
            .get(index * self.cut_days..(index + 1) * self.cut_days)
            .unwrap_or_default()
    }

    /// The tender nights of a cut made today in one future.
    pub(super) fn today(&self, index: usize) -> Option<Nights> {
        self.today.get(index).copied()
    }
}

/// The nights that can still be the coldest of a window to come, each colder than those before it was followed by.
///
/// A list with a head instead of a queue, so that it can be used for future after future without being made anew.
#[derive(Debug, Default)]
struct Rising {
    nights: Vec<(usize, f64)>,
    head: usize,
}

impl Rising {
    fn clear(&mut self) {
        self.nights.clear();
        self.head = 0;
    }

    fn push(&mut self, index: usize, night: f64) {
        while self.nights.len() > self.head
            && self.nights.last().is_some_and(|(_, last)| *last >= night)
        {
            self.nights.pop();
        }
        self.nights.push((index, night));
    }

    fn coldest_from(&mut self, from: usize) -> Option<f64> {
        while self
            .nights
            .get(self.head)
            .is_some_and(|(index, _)| *index < from)
        {
            self.head += 1;
        }
        self.nights.get(self.head).map(|(_, night)| *night)
    }
}

/// Appends the coldest night of each window; the bounds of the windows never move back unless one is empty, so each
/// night is looked at twice.
fn window_minima(
    nights: &[Celsius],
    windows: &[Nights],
    rising: &mut Rising,
    coldest: &mut Vec<f64>,
) {
    rising.clear();
    let mut next = 0;
    for window in windows {
        let new = nights.get(next..window.until).unwrap_or_default();
        for (index, night) in (next..).zip(new) {
            rising.push(index, night.degrees());
        }
        next = next.max(window.until);
        let lowest = rising
            .coldest_from(window.from)
            .filter(|_| window.from < window.until);
        coldest.push(lowest.unwrap_or(f64::INFINITY));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn window_minima_equal_a_plain_search() {
        let series = [5.0, 1.0, 4.0, -2.0, 3.0, 3.0, 0.0, 7.0].map(Celsius::new);
        let windows = [(1, 3), (2, 4), (2, 7), (5, 7), (6, 8), (8, 8)]
            .map(|(from, until)| Nights { from, until });
        let plain = windows.map(|w| {
            series[w.from..w.until]
                .iter()
                .map(|t| t.degrees())
                .fold(f64::INFINITY, f64::min)
        });
        let mut found = Vec::new();
        window_minima(&series, &windows, &mut Rising::default(), &mut found);
        assert_eq!(found, plain);
    }
}
