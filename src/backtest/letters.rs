//! The letters that one cut brings in a season.
//!
//! In: the stance of each decision day. Out: how many letters say go or put off, and how many of them the next one takes
//! back within three days. Does not know the letters of other cuts, with which these would share an envelope.

use super::decision::Stance;
use crate::notice::REST;

/// A letter that is taken back within so many days came too early: 72 hours.
const TOO_SOON: i64 = 3;

/// The letters of one cut in one season.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Letters {
    /// How many say go or put off.
    pub told: usize,
    /// How many of them the next one took back within 72 hours.
    pub taken_back: usize,
}

/// The letters on consecutive days: a go is told at once, a put-off only to those who were told to go, and after a
/// put-off no go for [`REST`].
pub(super) fn letters(stances: &[Stance]) -> Letters {
    let mut letters = Letters::default();
    let (mut go_told, mut put_off): (Option<i64>, Option<i64>) = (None, None);
    for (day, stance) in (0_i64..).zip(stances) {
        let rests = put_off.is_some_and(|told| day - told < REST.num_days());
        match (stance, go_told) {
            (Stance::Go, None) if !rests => {
                letters.told += 1;
                go_told = Some(day);
            }
            (Stance::Wait, Some(told)) => {
                letters.told += 1;
                letters.taken_back += usize::from(day - told <= TOO_SOON);
                (go_told, put_off) = (None, Some(day));
            }
            (Stance::Go | Stance::Wait, _) => {}
        }
    }
    letters
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(days: &str) -> (usize, usize) {
        let stance = |day| if day == 'g' { Stance::Go } else { Stance::Wait };
        let stances: Vec<Stance> = days.chars().map(stance).collect();
        let letters = letters(&stances);
        (letters.told, letters.taken_back)
    }

    #[test]
    fn a_go_and_its_end_are_two_letters_and_too_soon_within_three_days() {
        assert_eq!(of("wwwggggg"), (1, 0));
        assert_eq!(of("wgggwwww"), (2, 1));
        assert_eq!(of("wggggwww"), (2, 0));
    }

    #[test]
    fn a_go_within_a_week_of_a_put_off_is_not_told() {
        assert_eq!(of("gwgggggggwww"), (4, 2));
        assert_eq!(of("gwgggwwwwwww"), (2, 1));
    }
}
