//! Is a verdict news? The memory of what the keeper was told.
//!
//! In: the verdict now and the last word on the same cut. Out: [`News`], or none.
//! Does not send, store or word anything.

use chrono::{DateTime, NaiveDate, Utc};
use serde::{Deserialize, Serialize};

use crate::verdict::{State, Verdict};

/// From how many days before a wished day it is worth saying that it has to be put off.
pub const WISH_NEAR_DAYS: i64 = 10;

/// What the keeper is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum News {
    /// The cut may be made from today.
    NowGo,
    /// The cut has to be put off.
    PutOff,
    /// The window ends soon.
    Closing,
}

/// The last word to the keeper on one cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Said {
    /// What it was.
    pub news: News,
    /// When it was said.
    pub at: DateTime<Utc>,
    /// The day that the keeper wished for at that time.
    pub wished: Option<NaiveDate>,
}

impl News {
    /// Every kind of news.
    pub const ALL: [Self; 3] = [Self::NowGo, Self::PutOff, Self::Closing];

    /// Its name in kebab-case, for message ids and the journal.
    pub const fn name(self) -> &'static str {
        match self {
            Self::NowGo => "now-go",
            Self::PutOff => "put-off",
            Self::Closing => "closing",
        }
    }
}

/// What there is to say about a verdict after the last word on the same cut.
///
/// A go is news once; it is put off when the keeper was told to go or wishes for a day that is near; an end in
/// sight is news once. Ignorance is no news about a cut: the last word stands until something is known.
pub fn news(verdict: &Verdict, last: Option<&Said>) -> Option<News> {
    let told = last.map(|said| said.news);
    match verdict.state {
        State::Go => (told != Some(News::NowGo)).then_some(News::NowGo),
        State::Closing => (told != Some(News::Closing)).then_some(News::Closing),
        State::Wait | State::Closed => not_now(verdict, last),
        State::CallAPro | State::Unknown => None,
    }
}

fn not_now(verdict: &Verdict, last: Option<&Said>) -> Option<News> {
    let was_released = match last.map(|said| said.news) {
        Some(News::NowGo) => true,
        // A window that ends as announced is no news; one that a frost shuts early is.
        Some(News::Closing) => verdict.state == State::Wait,
        Some(News::PutOff) | None => false,
    };
    let wish_is_near = verdict
        .wished
        .is_some_and(|day| (day - verdict.today).num_days() <= WISH_NEAR_DAYS);
    let wish_was_answered = last.is_some_and(|said| said.wished == verdict.wished);
    (was_released || (wish_is_near && !wish_was_answered)).then_some(News::PutOff)
}
