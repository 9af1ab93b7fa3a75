//! The coldest tender nights of one future for each cutting day, for several forms of tender period at once.

use super::period::{Nights, Shape};
use crate::units::Celsius;

/// The coldest nights of one future after the other. What a form finds serves every cut whose tender period has it,
/// whatever is too cold there; the lists are used again for the next future, so that they stay in the nearest cache.
#[derive(Debug)]
pub(super) struct Minima {
    forms: Vec<Form>,
    runs: Runs,
}

#[derive(Debug)]
struct Form {
    shape: Shape,
    /// The tender nights by cutting day; of a form that heat does not move the same in every future.
    windows: Vec<Nights>,
    is_laid: bool,
    /// The coldest of them by cutting day, in °C; infinite where there is none.
    coldest: Vec<f64>,
}

impl Minima {
    /// No form is asked for yet.
    pub(super) fn new() -> Self {
        Self {
            forms: Vec::new(),
            runs: Runs::default(),
        }
    }

    /// The number by which a form is asked for.
    pub(super) fn number(&mut self, shape: Shape, cut_days: usize) -> usize {
        let known = self.forms.iter().position(|form| form.shape == shape);
        known.unwrap_or_else(|| {
            self.forms.push(Form {
                shape,
                windows: vec![Nights::default(); cut_days],
                is_laid: false,
                coldest: vec![f64::INFINITY; cut_days],
            });
            self.forms.len() - 1
        })
    }

    /// Goes on to a future by its nights and its running heat sum.
    pub(super) fn read(&mut self, nights: &[Celsius], heat: &[f64], midwinter: Option<usize>) {
        let mut widest = 0;
        for form in &mut self.forms {
            if !form.is_laid || form.shape.is_moved_by_heat() {
                form.shape.lay(heat, midwinter, &mut form.windows);
                form.is_laid = true;
            }
            let widths = form.windows.iter().map(|window| window.width());
            widest = widest.max(widths.max().unwrap_or(0));
        }
        self.runs.read(nights, widest);
        for form in &mut self.forms {
            for (coldest, window) in form.coldest.iter_mut().zip(&form.windows) {
                *coldest = self.runs.coldest(*window);
            }
        }
    }

    /// The coldest nights of a form by cutting day, in °C.
    pub(super) fn coldest(&self, number: usize) -> &[f64] {
        self.forms.get(number).map_or(&[], |form| &form.coldest)
    }

    /// The tender nights of a form for a cut made today.
    pub(super) fn today(&self, number: usize) -> Option<Nights> {
        self.forms.get(number)?.windows.first().copied()
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
            level.extend(
                shorter
                    .iter()
                    .zip(second)
                    .map(|(one, two)| lesser(*one, *two)),
            );
            (shorter, half) = (level, 2 * half);
        }
    }

    /// The coldest night of a window; infinite where it is empty.
    fn coldest(&self, window: Nights) -> f64 {
        let Some(log) = window.width().checked_ilog2() else {
            return f64::INFINITY;
        };
        let level = usize::try_from(log)
            .ok()
            .and_then(|log| self.levels.get(log))
            .map_or(&[][..], Vec::as_slice);
        let run = |from: usize| level.get(from).copied().unwrap_or(f64::INFINITY);
        lesser(run(window.from), run(window.until - (1 << log)))
    }
}

/// The lesser of two numbers: `f64::min` would ask of each whether it is one, and keep the compiler from one instruction.
pub(super) fn lesser(one: f64, other: f64) -> f64 {
    if one < other { one } else { other }
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
        let mut runs = Runs::default();
        runs.read(&series, 5);
        let found = windows.map(|window| runs.coldest(window));
        assert_eq!(found.to_vec(), plain.to_vec());
    }
}
