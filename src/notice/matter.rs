//! A matter: one thing there is to say, and how long it can wait.

use chrono::{DateTime, Days, NaiveDate, TimeDelta, Utc};

use super::{Alarm, Below, Cover, News, Said, Shown, Waiting, WeatherNews, is_done, news};
use crate::garden::{Deed, PlannedCut};
use crate::risk::PastFrost;
use crate::verdict::Verdict;
use crate::watch::Watch;

/// Waiting may cost a go so small a part of its window: one of three weeks waits a week (estimate).
const PART_LOST: i32 = 3;

/// So many days before a window ends whoever knows of it is reminded at the latest: a weekend lies in them (estimate).
const REMIND_DAYS: u64 = 7;

/// So many days before a wished day it is said at the latest that it has to be put off (estimate).
const WARN_DAYS: u64 = 3;

/// One thing there is to say.
#[derive(Debug, Clone)]
pub enum Matter<'a> {
    /// News of a cut to be made.
    Cut(CutMatter<'a>),
    /// Plants to cover in a coming night.
    Cover(Cover<'a>),
    /// Plants that are below what damages them now.
    Below {
        /// The plants.
        plants: Vec<Below<'a>>,
        /// What the thermometer shows.
        shown: Shown<'a>,
    },
    /// Plants that frost has caught.
    Frosts(Vec<(&'a Watch, &'a PastFrost)>),
    /// The weather as a whole.
    Weather {
        /// What of it.
        news: WeatherNews,
        /// What the sources say that do not answer.
        silent: &'a [String],
    },
}

/// News of a cut to be made.
#[derive(Debug, Clone, Copy)]
pub struct CutMatter<'a> {
    /// What.
    pub news: News,
    /// The verdict that it is news of.
    pub verdict: &'a Verdict,
    /// The cut.
    pub cut: &'a PlannedCut,
    /// The last word on it.
    pub last: Option<Said>,
    /// Since when it has waited for its letter.
    pub since: Option<DateTime<Utc>>,
}

/// How long a matter can wait, the shortest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Haste {
    /// It is about the coming night and goes in quiet hours too.
    Tonight,
    /// It goes with the next letter that is not at night, and no cap holds it.
    Now,
    /// It may wait for a letter day up to that date, that date included.
    By(NaiveDate),
    /// It waits for the letter day.
    LetterDay,
}

impl Matter<'_> {
    /// How long it can wait.
    pub fn haste(&self) -> Haste {
        match self {
            Self::Cut(matter) => matter.haste(),
            Self::Cover(_) | Self::Below { .. } => Haste::Tonight,
            Self::Frosts(_) | Self::Weather { .. } => Haste::Now,
        }
    }

    /// Since when it has waited for its letter; none when it is new.
    pub fn since(&self) -> Option<DateTime<Utc>> {
        match self {
            Self::Cut(matter) => matter.since,
            Self::Cover(_) | Self::Below { .. } | Self::Frosts(_) | Self::Weather { .. } => None,
        }
    }

    /// Whether it warns: then it had better be told twice than never.
    pub fn warns(&self) -> bool {
        match self {
            Self::Cut(matter) => matter.news == News::PutOff,
            Self::Cover(_) | Self::Below { .. } | Self::Frosts(_) => true,
            Self::Weather { .. } => false,
        }
    }

    /// The name of its kind.
    pub fn kind(&self) -> &'static str {
        match self {
            Self::Cut(matter) => matter.news.name(),
            Self::Cover(_) => Alarm::CoverTonight.name(),
            Self::Below { .. } => Alarm::BelowNow.name(),
            Self::Frosts(_) => Alarm::FrostSeen.name(),
            Self::Weather { news, .. } => news.name(),
        }
    }

    /// The cut that it is about; none when it is about several or none.
    pub fn task(&self) -> Option<&str> {
        match self {
            Self::Cut(matter) => Some(&matter.verdict.cut),
            Self::Cover(cover) => match cover.plants.as_slice() {
                [(watch, _, _)] => Some(&watch.deed.cut),
                _ => None,
            },
            Self::Below { plants, .. } => match plants.as_slice() {
                [below] => Some(&below.watch.deed.cut),
                _ => None,
            },
            Self::Frosts(frosts) => match frosts.as_slice() {
                [(watch, _)] => Some(&watch.deed.cut),
                _ => None,
            },
            Self::Weather { .. } => None,
        }
    }
}

impl CutMatter<'_> {
    /// How long it can wait: a go as long as it loses no large part of its window, and to the day before a wished one;
    /// an end that is told of a known window up to a week before it; that a cut is put off not at all where it was
    /// released, else to some days before the wished one.
    fn haste(&self) -> Haste {
        let Verdict {
            today,
            closes,
            wished,
            ..
        } = *self.verdict;
        let knows_of_it = self.last.is_some_and(|said| said.news != News::PutOff);
        let before = |day: NaiveDate, days| day.checked_sub_days(Days::new(days)).unwrap_or(day);
        let of_window = closes.map(|end| today + (end - today) / PART_LOST);
        let by = match self.news {
            News::PutOff if knows_of_it => return Haste::Now,
            News::PutOff => wished.map(|day| before(day, WARN_DAYS)),
            News::Closing if knows_of_it => closes.map(|end| before(end, REMIND_DAYS)),
            News::NowGo | News::Closing => {
                let of_wish = wished.map(|day| before(day, 1));
                of_window.into_iter().chain(of_wish).min()
            }
        };
        by.map_or(Haste::LetterDay, |by| Haste::By(by.max(today)))
    }

    /// In which order matters of the same haste stand: what must not be done before what may be, what ends first
    /// before what stays open.
    pub const fn order(&self) -> (u8, Option<NaiveDate>) {
        let rank = match self.news {
            News::PutOff => 0,
            News::Closing => 1,
            News::NowGo => 2,
        };
        let end = self.verdict.closes;
        // Without an end it comes last.
        (if end.is_none() { rank + 2 } else { rank }, end)
    }
}

/// How long after a put-off no go of the same cut is told: who is told to stop, go and stop again within a week listens to
/// nothing (estimate).
pub const REST: TimeDelta = TimeDelta::days(7);

/// A go that would be the first word on a window of so few days, today included, is not told: nobody can plan for it, and
/// such a window is most often a gap in the weather (estimate). A day that was wished for is another matter.
pub(super) const GAP_DAYS: i64 = 3;

/// The news of a garden's cuts after what was said of each and since when it has waited; `verdicts` and `said` are in the
/// order of the cuts, and of a cut that was made there is none.
pub fn cut_matters<'a>(
    (verdicts, cuts): (&'a [Verdict], &'a [PlannedCut]),
    said: &[Option<Said>],
    waiting: &[Waiting],
    deeds: &[Deed],
) -> Vec<CutMatter<'a>> {
    let all = verdicts.iter().zip(cuts).zip(said);
    let matter = |((verdict, cut), last): ((&'a Verdict, &'a PlannedCut), &Option<Said>)| {
        let news = news(verdict, last.as_ref()).filter(|_| !is_done(verdict, deeds))?;
        Some(CutMatter {
            news,
            verdict,
            cut,
            last: *last,
            since: Waiting::since(waiting, &verdict.cut, news),
        })
    };
    all.filter_map(matter).collect()
}
