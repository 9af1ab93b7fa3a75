//! Which night is the first to be too cold, over many runs of nights.

use crate::outlook::Runs;
use crate::units::Celsius;

/// So many nights are looked at together: the compiler compares several in one instruction, and the block in which one
/// is too cold is searched once more.
const BLOCK: usize = 8;

/// The first night at or below a limit.
pub(super) fn first_at_or_below(nights: &[Celsius], limit: Celsius) -> Option<usize> {
    let is_cold = |night: &Celsius| *night <= limit;
    // Without `any`, which would stop in the midst of a block and so keep it from being one comparison.
    let has_cold = |block: &[Celsius]| block.iter().fold(false, |any, night| any | is_cold(night));
    let mut blocks = nights.chunks_exact(BLOCK);
    let warm = blocks.by_ref().position(has_cold);
    let from = warm.map_or(nights.len() - nights.len() % BLOCK, |block| block * BLOCK);
    let found = nights.get(from..)?.iter().position(is_cold)?;
    Some(from + found)
}

/// In how many runs of nights each night is the first that is too cold.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FirstHits {
    counts: Vec<usize>,
}

impl FirstHits {
    /// The first nights at or below a limit.
    pub fn of(runs: &Runs, limit: Celsius) -> Self {
        let mut hits = Self::default();
        for run in runs {
            if let Some(night) = first_at_or_below(run, limit) {
                hits.note(night);
            }
        }
        hits
    }

    /// Counts a run in which that night is the first.
    pub(super) fn note(&mut self, night: usize) {
        if self.counts.len() <= night {
            self.counts.resize(night + 1, 0);
        }
        if let Some(count) = self.counts.get_mut(night) {
            *count += 1;
        }
    }

    /// The night that most often is the first, the earliest of those that are so as often, and how often it is.
    pub fn most_often(&self) -> Option<(usize, usize)> {
        let nights = self.counts.iter().copied().enumerate();
        let hit = nights.filter(|(_, times)| *times > 0);
        hit.max_by_key(|(night, times)| (*times, std::cmp::Reverse(*night)))
    }

    /// In how many runs it has been too cold by each night, up to the last that is the first of any.
    pub fn by_night(&self) -> impl Iterator<Item = usize> + '_ {
        self.counts.iter().scan(0, |sum, times| {
            *sum += times;
            Some(*sum)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_cold_night_is_that_of_a_plain_search() {
        for length in 0..40 {
            for cold in (0..length).map(Some).chain([None]) {
                let night = |day| if Some(day) == cold { -2.2 } else { 1.0 };
                let mut nights: Vec<_> = (0..length).map(|day| Celsius::new(night(day))).collect();
                if let Some(later) = cold.and_then(|cold| nights.get_mut(cold + 3)) {
                    *later = Celsius::new(-9.0);
                }
                assert_eq!(first_at_or_below(&nights, Celsius::new(-2.2)), cold);
            }
        }
    }

    #[test]
    fn first_hits_add_up_night_by_night() {
        let mut runs = Runs::with_room(4, 3);
        for run in [
            [3.0, -1.0, -5.0],
            [0.0, -2.0, 1.0],
            [-1.0, -1.0, 4.0],
            [2.0, 2.0, 2.0],
        ] {
            runs.push(&[&run.map(Celsius::new)]);
        }
        let hits = FirstHits::of(&runs, Celsius::new(-1.0));
        assert_eq!(hits.by_night().collect::<Vec<_>>(), [1, 3]);
        assert_eq!(hits.most_often(), Some((1, 2)));
        assert_eq!(FirstHits::default().most_often(), None);
    }
}
