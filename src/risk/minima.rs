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
    /// The coldest of all futures by cutting day, in °C.
    lowest: Vec<f64>,
    /// The tender nights of a cut made today, future by future.
    today: Vec<Nights>,
}

impl Minima {
    pub(super) fn of(outlook: &Outlook, shape: Shape) -> Self {
        let cut_days = outlook.cut_days();
        let mut coldest = Vec::with_capacity(outlook.futures.len() * cut_days);
        let mut runs = Runs::default();
        let mut today = Vec::with_capacity(outlook.futures.len());
        let mut lowest = vec![f64::INFINITY; cut_days];
        for future in &outlook.futures {
            let nights = shape.nights(future, outlook.midwinter, cut_days);
            let known = coldest.len();
            window_minima(&outlook.at_leaf(future), &nights, &mut runs, &mut coldest);
            let new = coldest.get(known..).unwrap_or_default();
            for (lowest, coldest) in lowest.iter_mut().zip(new) {
                *lowest = lowest.min(*coldest);
            }
            today.extend(nights.first());
        }
        Self {
            shape,
            cut_days,
            coldest,
            lowest,
            today,
        }
    }

    /// The coldest nights of one future by cutting day.
    pub(super) fn of_future(&self, index: usize) -> &[f64] {
        self.coldest
            .get(index * self.cut_days..(index + 1) * self.cut_days)
            .unwrap_or_default()
    }

    /// The coldest night of all futures by cutting day.
    pub(super) fn lowest(&self) -> &[f64] {
        &self.lowest
    }

    /// The tender nights of a cut made today in one future.
    pub(super) fn today(&self, index: usize) -> Option<Nights> {
        self.today.get(index).copied()
    }
}

/// The coldest of each run of 1, 2, 4, 8 and so on nights of one future, by the run's first night.
///
/// The coldest of any window is then the colder of the two runs that cover it (sparse table: Bender & Farach-Colton,
/// LATIN 2000, section 3): no branch that the weather decides, so it is twice as fast as a queue of candidates. The
/// lists are used for future after future without being made anew.
#[derive(Debug, Default)]
struct Runs {
    levels: Vec<Vec<f64>>,
}

impl Runs {
    /// Reads a future's nights, for windows up to so many nights.
    fn read(&mut self, nights: &[Celsius], widest: usize) {
        let count = widest.max(1).ilog2() + 1;
        self.levels
            .resize_with(usize::try_from(count).unwrap_or(1), Vec::new);
        let mut levels = self.levels.iter_mut();
        let Some(mut shorter) = levels.next() else {
            return;
        };
        shorter.clear();
        shorter.extend(nights.iter().map(|night| night.degrees()));
        let mut half = 1;
        for level in levels {
            let second = shorter.get(half..).unwrap_or_default();
            level.clear();
            level.extend(shorter.iter().zip(second).map(|(one, two)| one.min(*two)));
            (shorter, half) = (level, 2 * half);
        }
    }

    /// The coldest night of a window; infinite where it is empty.
    fn coldest(&self, window: Nights) -> f64 {
        let width = window.until.saturating_sub(window.from);
        let Some(log) = width.checked_ilog2() else {
            return f64::INFINITY;
        };
        let level = usize::try_from(log)
            .ok()
            .and_then(|log| self.levels.get(log))
            .map_or(&[][..], Vec::as_slice);
        let run = |from: usize| level.get(from).copied().unwrap_or(f64::INFINITY);
        run(window.from).min(run(window.until - (1 << log)))
    }
}

/// Appends the coldest night of each window.
fn window_minima(nights: &[Celsius], windows: &[Nights], runs: &mut Runs, coldest: &mut Vec<f64>) {
    let widths = windows
        .iter()
        .map(|window| window.until.saturating_sub(window.from));
    runs.read(nights, widths.max().unwrap_or(0));
    coldest.extend(windows.iter().map(|window| runs.coldest(*window)));
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
        window_minima(&series, &windows, &mut Runs::default(), &mut found);
        assert_eq!(found, plain);
    }
}
