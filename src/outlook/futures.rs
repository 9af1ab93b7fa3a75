//! The futures as flat tables, one row a future.

use std::slice::ChunksExact;

use crate::science::degree_days::{GROWTH_BASE, Thresholds, running_sums};
use crate::units::Celsius;

/// Runs of days of one quantity, all equally long, one after the other in one array: whoever goes through them reads
/// memory from its first to its last byte.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Runs {
    days: usize,
    values: Vec<Celsius>,
}

/// Many runs of days, each with its lowest and its highest temperatures.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Futures {
    min: Runs,
    max: Runs,
}

/// One possible run of days: index 0 is today.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Future<'a> {
    /// Lowest temperature at 2 m of each day.
    pub min: &'a [Celsius],
    /// Highest temperature at 2 m of each day, not below its lowest.
    pub max: &'a [Celsius],
}

impl Runs {
    /// No run yet, and room for so many of so many days.
    pub fn with_room(runs: usize, days: usize) -> Self {
        Self {
            days,
            values: Vec::with_capacity(runs * days),
        }
    }

    /// Adds a run in its parts, one after the other; what it has beyond the days of all runs is left out, and one that
    /// is shorter is not taken.
    pub fn push(&mut self, parts: &[&[Celsius]]) {
        let end = self.values.len() + self.days;
        if parts.iter().map(|part| part.len()).sum::<usize>() < self.days {
            return;
        }
        for part in parts {
            let wanted = part.len().min(end - self.values.len());
            self.values
                .extend_from_slice(part.get(..wanted).unwrap_or_default());
        }
    }

    /// How many runs there are; runs of no days are none.
    pub fn len(&self) -> usize {
        self.values.len().checked_div(self.days).unwrap_or(0)
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.values.is_empty()
    }

    /// Takes all runs out and keeps the room.
    pub fn clear(&mut self) {
        self.values.clear();
    }

    /// Every run.
    pub fn iter(&self) -> ChunksExact<'_, Celsius> {
        self.values.chunks_exact(self.days.max(1))
    }
}

impl<'a> IntoIterator for &'a Runs {
    type Item = &'a [Celsius];
    type IntoIter = ChunksExact<'a, Celsius>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

impl Futures {
    /// No future yet, and room for so many of so many days.
    pub fn with_room(futures: usize, days: usize) -> Self {
        Self {
            min: Runs::with_room(futures, days),
            max: Runs::with_room(futures, days),
        }
    }

    /// Adds a future from the extremes of its days; a day whose highest temperature falls below its lowest is taken as
    /// even. One that is shorter than the others is not taken.
    pub fn push(&mut self, min: &[Celsius], max: &[Celsius]) {
        let days = self.min.days;
        if let (Some(min), Some(max)) = (min.get(..days), max.get(..days)) {
            self.min.values.extend_from_slice(min);
            let max = min.iter().zip(max).map(|(min, max)| max.max(*min));
            self.max.values.extend(max);
        }
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.min.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.min.is_empty()
    }

    /// How many days each has, today included; none where there is no future.
    pub fn days(&self) -> usize {
        if self.is_empty() { 0 } else { self.min.days }
    }

    /// Every future.
    pub fn iter(&self) -> impl ExactSizeIterator<Item = Future<'_>> + Clone {
        let of = |(min, max)| Future { min, max };
        self.min.iter().zip(self.max.iter()).map(of)
    }
}

/// Futures from the lowest and the highest temperatures of each, as long as the shortest of them.
impl FromIterator<(Vec<Celsius>, Vec<Celsius>)> for Futures {
    fn from_iter<I: IntoIterator<Item = (Vec<Celsius>, Vec<Celsius>)>>(futures: I) -> Self {
        let all: Vec<_> = futures.into_iter().collect();
        let days = all.iter().map(|(min, max)| min.len().min(max.len())).min();
        let mut futures = Self::with_room(all.len(), days.unwrap_or(0));
        for (min, max) in &all {
            futures.push(min, max);
        }
        futures
    }
}

impl Future<'_> {
    /// The running heat sum above [`GROWTH_BASE`] at the end of each day, in °C·d.
    pub fn heat(&self) -> Vec<f64> {
        let mut heat = Vec::with_capacity(self.min.len());
        self.heat_into(&mut heat);
        heat
    }

    /// The same at the end of a list.
    pub fn heat_into(&self, heat: &mut Vec<f64>) {
        let thresholds = Thresholds {
            lower: GROWTH_BASE,
            upper: None,
        };
        running_sums(self.min, self.max, thresholds, heat);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn days(degrees: &[f64]) -> Vec<Celsius> {
        degrees.iter().copied().map(Celsius::new).collect()
    }

    #[test]
    fn a_future_is_as_long_as_the_others_or_not_taken() {
        let mut futures = Futures::with_room(2, 2);
        futures.push(&days(&[1.0, 2.0, 3.0]), &days(&[5.0, 1.0, 3.0]));
        futures.push(&days(&[1.0]), &days(&[5.0, 6.0]));
        assert_eq!((futures.len(), futures.days()), (1, 2));
        let only = futures.iter().next().unwrap();
        assert_eq!(only.min, days(&[1.0, 2.0]));
        assert_eq!(only.max, days(&[5.0, 2.0]), "not below the lowest");
    }

    #[test]
    fn futures_without_days_are_none() {
        let none: Futures = [(Vec::new(), Vec::new())].into_iter().collect();
        assert!(none.is_empty() && none.iter().next().is_none());
        assert_eq!((none.len(), none.days()), (0, 0));
    }
}
