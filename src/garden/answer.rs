//! What a keeper may answer to a letter or on the page.

use chrono::{Datelike, NaiveDate};
use serde::{Deserialize, Serialize};

use super::Hemisphere;

/// One of the answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Answer {
    /// The cut was made.
    Done,
    /// The cut will not be made this year.
    NotThisYear,
    /// Nothing is to be said of the cut for a while.
    Later,
    /// The planting flowers.
    InBloom,
    /// Frost damage is seen on the planting.
    FrostDamage,
    /// No letter is to come any more.
    NoLetters,
}

impl Answer {
    /// Every answer.
    pub const ALL: [Self; 6] = [
        Self::Done,
        Self::NotThisYear,
        Self::Later,
        Self::InBloom,
        Self::FrostDamage,
        Self::NoLetters,
    ];

    /// Its name in links, the store and the journal.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Done => "done",
            Self::NotThisYear => "not-this-year",
            Self::Later => "later",
            Self::InBloom => "in-bloom",
            Self::FrostDamage => "frost-damage",
            Self::NoLetters => "no-letters",
        }
    }

    /// The answer of a name.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|answer| answer.name() == name)
    }

    /// The first day on which the cut is spoken of again, for an answer that was given on a day; none where the answer
    /// silences nothing, or everything for good.
    pub fn silent_until(self, on: NaiveDate, hemisphere: Hemisphere) -> Option<NaiveDate> {
        match self {
            Self::NotThisYear => Some(next_season(on, hemisphere)),
            Self::Later => on.checked_add_days(chrono::Days::new(LATER_DAYS)),
            Self::Done | Self::InBloom | Self::FrostDamage | Self::NoLetters => None,
        }
    }
}

/// "Later" is so many days (common practice, no source).
pub const LATER_DAYS: u64 = 14;

/// The first day of the next gardening year: 1 January, in the south 1 July.
fn next_season(on: NaiveDate, hemisphere: Hemisphere) -> NaiveDate {
    let month = match hemisphere {
        Hemisphere::North => 1,
        Hemisphere::South => 7,
    };
    let of_year = |year| NaiveDate::from_ymd_opt(year, month, 1);
    [on.year(), on.year() + 1]
        .into_iter()
        .filter_map(of_year)
        .find(|day| *day > on)
        .unwrap_or(on)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    #[test]
    fn names_lead_back_to_their_answers() {
        for answer in Answer::ALL {
            assert_eq!(Answer::named(answer.name()), Some(answer));
        }
        assert_eq!(Answer::named("felled"), None);
    }

    #[test]
    fn not_this_year_ends_with_the_gardening_year() {
        let until = |on: &str, hemisphere| {
            Answer::NotThisYear
                .silent_until(day(on), hemisphere)
                .unwrap()
                .to_string()
        };
        assert_eq!(until("2027-04-22", Hemisphere::North), "2028-01-01");
        assert_eq!(until("2027-01-01", Hemisphere::North), "2028-01-01");
        assert_eq!(until("2027-04-22", Hemisphere::South), "2027-07-01");
        assert_eq!(until("2027-09-22", Hemisphere::South), "2028-07-01");
    }

    #[test]
    fn later_is_a_fortnight_and_the_others_silence_nothing() {
        let on = day("2027-04-22");
        let until = |answer: Answer| answer.silent_until(on, Hemisphere::North);
        assert_eq!(until(Answer::Later), Some(day("2027-05-06")));
        assert_eq!(until(Answer::Done), None);
    }
}
