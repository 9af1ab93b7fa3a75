//! The first round after the store was restored: what there is to say counts as said, and one letter tells how all stands.

use super::letters::Table;
use crate::look::Seen;
use crate::message::{Beside, Message, RestoredNews};
use crate::notice::{Matter, after_quiet};
use crate::store::{Letter, Restored, RestoredTold, Round};

impl Table<'_> {
    /// The round that tells of it.
    pub(super) fn round_after(&self, restored: &Restored, seen: &Seen) -> Round {
        let weather = self.turn();
        let matters = self.matters(seen, weather.news);
        Round {
            told: matters.iter().filter_map(|one| self.told(one)).collect(),
            told_after: matters
                .iter()
                .flat_map(super::letters::said_after)
                .collect(),
            weather,
            restored: Some(RestoredTold {
                letter: self.letter_after(restored, &matters, seen),
            }),
            ..Round::at(self.moment.now)
        }
    }

    /// The letter: a cover for tonight is never left out, whether it was told before or not.
    fn letter_after(
        &self,
        restored: &Restored,
        matters: &[Matter<'_>],
        seen: &Seen,
    ) -> Option<Letter> {
        let (garden, now) = (&self.garden.garden, self.moment.now);
        let tonight: Vec<Matter<'_>> = matters
            .iter()
            .filter(|matter| matches!(matter, Matter::Cover(_)))
            .cloned()
            .collect();
        let about = RestoredNews {
            at: now,
            known_until: restored.known_until,
            why: restored.in_words(),
        };
        let board = seen.verdicts.as_slice();
        let beside = Beside {
            links: Some(self.links),
            ..Beside::NOTHING
        };
        let message = Message::restored(&about, &tonight, board, garden, &beside)?;
        let goes_at = if tonight.is_empty() {
            after_quiet(&garden.letters, self.moment.zone, now)
        } else {
            now
        };
        Some(Letter {
            message,
            goes_at,
            until: None,
        })
    }
}
