//! Is a verdict news? The memory of what the keeper was told.
//!
//! In: the verdict now and the last word on the same cut; plants under watch and what was said of them. Out: [`News`],
//! or none; nights to [`Cover`] for; frosts that were seen; when a letter with [`Matter`]s goes ([`Desk`]).
//! Does not send, store or word anything.

mod after;
mod letters;
mod matter;
mod weather;

use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use serde::{Deserialize, Serialize};

use crate::garden::Deed;
use crate::rules::Stand;
use crate::verdict::{State, Verdict};

pub use after::{Alarm, Below, Cover, Moment, SaidAfter, Shown, below, covers, frosts};
pub use letters::{Desk, Waiting, after_quiet, most_urgent_first};
pub use matter::{CutMatter, Haste, Matter, REST, cut_matters};
pub use weather::{LOST_AFTER, Spell, WeatherNews};

/// From how many days before a wished day it is worth saying that it has to be put off.
pub const WISH_NEAR_DAYS: i64 = 10;

/// A window whose end was told is over so many days after, when the verdict calls its end near.
const CLOSING_WITHIN_DAYS: i64 = 14;

/// The end of a window moves with the season by no more than so many days (estimate).
const END_MOVES_DAYS: i64 = 45;

/// For so many days after a cut was made there is nothing to say of making it: the next season is another one
/// (estimate).
const DONE_DAYS: i64 = 90;

/// What the keeper is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
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
/// A go is news once, but not one that always was and has no end in sight, unless a day was wished for; it is put off when the keeper was told to go or wishes for a day that is near, but not for
/// weather that passes within days; an end in sight is news once. For a week after it was put off no go is told, and never one of a window of less than three days. Ignorance is no news about a cut: the last word stands until something is known.
pub fn news(verdict: &Verdict, last: Option<&Said>) -> Option<News> {
    let told = last.map(|said| said.news);
    if verdict.state.allows() && (is_resting(verdict, last) || is_gap(verdict, last)) {
        return None;
    }
    match verdict.state {
        State::Go => {
            let was_always = last.is_none() && verdict.closes.is_none() && verdict.wished.is_none();
            let is_known = told == Some(News::NowGo) || end_moved(verdict, last);
            (!is_known && !was_always).then_some(News::NowGo)
        }
        State::Closing => (told != Some(News::Closing)).then_some(News::Closing),
        State::Wait | State::Closed => not_now(verdict, last),
        State::CallAPro | State::Unknown => None,
    }
}

/// Whether the cut of a verdict was made this season, so that there is nothing to say of making it.
pub fn is_done(verdict: &Verdict, deeds: &[Deed]) -> bool {
    let is_fresh = |deed: &Deed| (0..=DONE_DAYS).contains(&(verdict.today - deed.on).num_days());
    deeds
        .iter()
        .any(|deed| deed.cut == verdict.cut && is_fresh(deed))
}

/// Whether the cut was put off so short ago that nothing else is told of it yet.
fn is_resting(verdict: &Verdict, last: Option<&Said>) -> bool {
    let rests = TimeDelta::zero()..REST;
    let off = last.filter(|said| said.news == News::PutOff);
    off.is_some_and(|said| rests.contains(&(verdict.at - said.at)))
}

/// Whether the window is too short to be told of, and the keeper does not know of it.
fn is_gap(verdict: &Verdict, last: Option<&Said>) -> bool {
    let days = verdict
        .closes
        .map(|end| (end - verdict.today).num_days() + 1);
    let is_known = last.is_some_and(|said| said.news != News::PutOff);
    days.is_some_and(|days| days < matter::GAP_DAYS) && verdict.wished.is_none() && !is_known
}

fn not_now(verdict: &Verdict, last: Option<&Said>) -> Option<News> {
    let was_released = match last.map(|said| said.news) {
        Some(News::NowGo) => true,
        // A window that ends as announced is no news; one that a frost shuts early is.
        Some(News::Closing) => verdict.state == State::Wait && ends_later(verdict, last),
        Some(News::PutOff) | None => false,
    };
    let passes_by = passing_weather(verdict);
    // A wish is out of reach until the weather has passed.
    let is_out_of_reach = |day: NaiveDate| passes_by.is_none_or(|end| day < end);
    let wish_is_near = verdict.wished.is_some_and(|day| {
        (day - verdict.today).num_days() <= WISH_NEAR_DAYS && is_out_of_reach(day)
    });
    let wish_was_answered = last.is_some_and(|said| said.wished == verdict.wished);
    let is_news = (was_released && passes_by.is_none()) || (wish_is_near && !wish_was_answered);
    is_news.then_some(News::PutOff)
}

/// Whether the end of a window that was told has only moved on: it stays the window that the keeper knows of.
fn end_moved(verdict: &Verdict, last: Option<&Said>) -> bool {
    last.is_some_and(|said| {
        said.news == News::Closing && verdict.at - said.at <= TimeDelta::days(END_MOVES_DAYS)
    })
}

/// Whether the window of which the end was told would still be open.
fn ends_later(verdict: &Verdict, last: Option<&Said>) -> bool {
    last.is_some_and(|said| verdict.at - said.at <= TimeDelta::days(CLOSING_WITHIN_DAYS))
}

/// When the weather has passed that alone holds a cut; none when something else holds it.
fn passing_weather(verdict: &Verdict) -> Option<NaiveDate> {
    let holds = || {
        let all = verdict.findings.iter();
        all.filter(|finding| matches!(finding.stand, Stand::Hold { .. }))
    };
    let passes = verdict.state == State::Wait
        && holds().all(|finding| finding.is_passing_weather(verdict.today));
    let ends = holds().filter_map(|finding| finding.stand.opens());
    ends.map(|range| range.from).max().filter(|_| passes)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::almanac::CutKind;
    use crate::outlook::Basis;
    use crate::risk::DateRange;
    use crate::rules::{After, ColdFacts, Facts, Finding, Severe, WetFacts};
    use crate::units::Celsius;

    fn april(day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2027, 4, day).unwrap()
    }

    fn verdict(state: State, closes: Option<u32>, wished: Option<u32>) -> Verdict {
        Verdict {
            garden: "quarry".to_owned(),
            cut: "box-edging-shear".to_owned(),
            planting: "box edging".to_owned(),
            cut_kind: CutKind::Shear,
            at: april(1).and_hms_opt(12, 0, 0).unwrap().and_utc(),
            today: april(1),
            state,
            opens: None,
            closes: closes.map(april),
            wished: wished.map(april),
            findings: Vec::new(),
            basis: Basis {
                today: april(1),
                futures: 930,
                years: 30,
                members: 1,
                forecast_days: 12,
                forecast_from: None,
                forecast_age_hours: None,
                record_from: None,
                record_site: None,
                missing: Vec::new(),
            },
        }
    }

    fn said(news: News, wished: Option<u32>) -> Said {
        Said {
            news,
            at: DateTime::UNIX_EPOCH,
            wished: wished.map(april),
        }
    }

    #[test]
    fn a_go_is_news_once() {
        let go = verdict(State::Go, Some(30), None);
        assert_eq!(news(&go, None), Some(News::NowGo));
        assert_eq!(news(&go, Some(&said(News::NowGo, None))), None);
        assert_eq!(
            news(&go, Some(&said(News::PutOff, None))),
            Some(News::NowGo)
        );
        assert_eq!(
            news(&go, Some(&said(News::Closing, None))),
            Some(News::NowGo),
            "a new year"
        );
    }

    #[test]
    fn a_go_that_always_was_is_no_news_unless_wished_for() {
        assert_eq!(news(&verdict(State::Go, None, None), None), None);
        assert_eq!(
            news(&verdict(State::Go, None, Some(3)), None),
            Some(News::NowGo)
        );
    }

    #[test]
    fn a_wait_is_news_to_who_was_told_to_go() {
        for state in [State::Wait, State::Closed] {
            assert_eq!(
                news(&verdict(state, None, None), Some(&said(News::NowGo, None))),
                Some(News::PutOff)
            );
            assert_eq!(
                news(&verdict(state, None, None), Some(&said(News::PutOff, None))),
                None
            );
            assert_eq!(news(&verdict(state, None, None), None), None);
        }
    }

    #[test]
    fn a_window_that_ends_as_announced_is_no_news_but_a_frost_in_it_is() {
        let closing = Said {
            at: april(1).and_hms_opt(12, 0, 0).unwrap().and_utc() - TimeDelta::days(14),
            ..said(News::Closing, None)
        };
        assert_eq!(
            news(&verdict(State::Closed, None, None), Some(&closing)),
            None
        );
        assert_eq!(
            news(&verdict(State::Wait, None, None), Some(&closing)),
            Some(News::PutOff)
        );
    }

    #[test]
    fn an_end_that_moves_on_is_no_new_go() {
        let go = verdict(State::Go, Some(30), None);
        let told = |days| Said {
            at: go.at - TimeDelta::days(days),
            ..said(News::Closing, None)
        };
        assert_eq!(news(&go, Some(&told(1))), None);
        assert_eq!(news(&go, Some(&told(45))), None);
        assert_eq!(news(&go, Some(&told(46))), Some(News::NowGo));
    }

    #[test]
    fn a_wait_for_the_next_season_after_an_announced_end_is_no_news() {
        let december = Said {
            at: april(1).and_hms_opt(12, 0, 0).unwrap().and_utc() - TimeDelta::days(15),
            ..said(News::Closing, None)
        };
        let wait = verdict(State::Wait, None, None);
        assert_eq!(news(&wait, Some(&december)), None);
    }

    #[test]
    fn weather_that_passes_within_days_is_no_news_unless_a_wished_day_falls_in_it() {
        let released = said(News::NowGo, None);
        let held = |opens: u32, wished| {
            let mut verdict = verdict(State::Wait, None, wished);
            let day = april(opens);
            verdict.findings.push(Finding {
                stand: Stand::Hold {
                    opens: Some(DateRange { from: day, to: day }),
                },
                facts: Facts::Wetness(WetFacts::default()),
                source: "test".to_owned(),
            });
            verdict
        };
        assert_eq!(news(&held(8, None), Some(&released)), None);
        assert_eq!(news(&held(9, None), Some(&released)), Some(News::PutOff));
        assert_eq!(news(&held(8, Some(7)), Some(&released)), Some(News::PutOff));
        assert_eq!(news(&held(8, Some(8)), Some(&released)), None);
        // With another reason to wait beside it the keeper is told.
        let mut verdict = held(8, None);
        let severe = Severe {
            day: april(2),
            lowest: Celsius::new(-20.0),
            limit: Celsius::new(-12.0),
            after: After::TwoDays,
        };
        verdict.findings.push(Finding {
            facts: Facts::FreshCutCold(ColdFacts {
                severe: Some(severe),
                fall: None,
                frozen: None,
            }),
            ..verdict.findings[0].clone()
        });
        assert_eq!(news(&verdict, Some(&released)), Some(News::PutOff));
    }

    #[test]
    fn a_wished_day_is_put_off_once_when_it_is_near() {
        assert_eq!(
            news(&verdict(State::Wait, None, Some(11)), None),
            Some(News::PutOff)
        );
        assert_eq!(news(&verdict(State::Wait, None, Some(12)), None), None);
        assert_eq!(
            news(
                &verdict(State::Wait, None, Some(11)),
                Some(&said(News::PutOff, Some(11)))
            ),
            None
        );
        let moved = verdict(State::Wait, None, Some(11));
        assert_eq!(
            news(&moved, Some(&said(News::PutOff, Some(4)))),
            Some(News::PutOff),
            "another day was wished for"
        );
    }

    #[test]
    fn ignorance_is_no_news() {
        let unknown = verdict(State::Unknown, None, Some(2));
        assert_eq!(news(&unknown, Some(&said(News::NowGo, None))), None);
    }
}
