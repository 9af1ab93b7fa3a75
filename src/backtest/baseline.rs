//! What others would have said on the same day: the rules and chances that the forecast chance is held against.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate, TimeDelta};
use statrs::distribution::{ContinuousCDF, Normal};

use super::calendar::{Season, hemisphere, nearest_to};
use super::question::{Question, after};
use super::world::{Issue, Weather, members, one_night};
use crate::almanac::MonthDay;
use crate::climate::freeze::{FreezeDates, TOLERANCE};
use crate::garden::Hemisphere;
use crate::outlook::{Outlook, Skill};
use crate::risk::Risk;
use crate::units::{Celsius, Chance, count};

/// Nights of the forecast that the rule of thumb looks at, and that the parts take from the forecast.
pub(super) const WEEK: usize = 7;

/// The day that common practice goes by in the north; half a year later in the south (common practice, no source).
const CALENDAR_DAY: MonthDay = MonthDay { month: 4, day: 15 };
const CALENDAR_DAY_SOUTH: MonthDay = MonthDay { month: 10, day: 15 };

/// Who tells a chance.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Teller {
    /// The forecast chance under test.
    Budward,
    /// The same futures, but fewer of them: every so many-th start day of each past year.
    Fewer,
    /// The same formula without a forecast and without today's weather.
    Climate,
    /// The share of past years in which it came on that calendar day.
    Frequency,
    /// Nights of the forecast and a climate chance for the rest, multiplied as if independent.
    Parts,
    /// Seven forecast nights above the limit.
    SevenNights,
    /// A fixed date, 15 April.
    Calendar,
    /// The mean date of the last freeze of past springs.
    MeanDate,
    /// The date after which at most one in ten past springs had a freeze.
    LateDate,
    /// The same formula with seven days known for sure: what a perfect forecast of that length would reach.
    PerfectWeek,
}

impl Teller {
    /// All of them.
    pub const ALL: [Self; 10] = [
        Self::Budward,
        Self::Fewer,
        Self::Climate,
        Self::Frequency,
        Self::Parts,
        Self::SevenNights,
        Self::Calendar,
        Self::MeanDate,
        Self::LateDate,
        Self::PerfectWeek,
    ];

    /// Those that tell a chance: the ones that stand in the table by record.
    pub const CHANCES: [Self; 5] = [
        Self::Budward,
        Self::Climate,
        Self::Frequency,
        Self::Parts,
        Self::PerfectWeek,
    ];

    /// Its name in tables and in the heading of the CSV.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Budward => "budward",
            Self::Fewer => "fewer-futures",
            Self::Climate => "climate",
            Self::Frequency => "frequency",
            Self::Parts => "parts",
            Self::SevenNights => "seven-nights",
            Self::Calendar => "calendar",
            Self::MeanDate => "mean-date",
            Self::LateDate => "late-date",
            Self::PerfectWeek => "perfect-week",
        }
    }

    /// What it goes by, in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Budward => "the chance under test",
            Self::Fewer => "the same over one start day in some",
            Self::Climate => "the same formula without a forecast",
            Self::Frequency => "share of past years on that calendar day",
            Self::Parts => "forecast, then climate, as independent parts",
            Self::SevenNights => "seven forecast nights above the limit",
            Self::Calendar => "15 April (15 October in the south)",
            Self::MeanDate => "mean date of the last freeze of past springs",
            Self::LateDate => "date after which 1 in 10 past springs froze",
            Self::PerfectWeek => "the same formula with seven days known for sure",
        }
    }

    /// Whether it tells the chance of a cut on the next day too.
    pub const fn looks_ahead(self) -> bool {
        matches!(self, Self::Budward | Self::Climate | Self::PerfectWeek)
    }

    /// Whether it only says yes or no, so that the first yes counts at once.
    pub const fn is_rule(self) -> bool {
        matches!(
            self,
            Self::SevenNights | Self::Calendar | Self::MeanDate | Self::LateDate
        )
    }
}

/// The dates that a spring goes by, worked out from the years before it.
#[derive(Debug, Clone, Default)]
pub(super) struct Dates {
    dates: BTreeMap<Teller, NaiveDate>,
}

impl Dates {
    /// The dates of a season; none of a season that is not spring.
    pub(super) fn of(
        weather: &Weather<'_>,
        question: &Question,
        middle: Option<NaiveDate>,
    ) -> Self {
        let Some(middle) = middle else {
            return Self::default();
        };
        let past = &weather.climate.record;
        let hemisphere = hemisphere(past);
        let spring = FreezeDates::of(past, question.limit, hemisphere).last_spring;
        let near = |day: MonthDay| nearest_to(middle, day);
        let from_middle = spring.dates.iter().filter_map(|day| near(*day));
        let offsets: Vec<i64> = from_middle.map(|date| (date - middle).num_days()).collect();
        let mean = mean_offset(&offsets).and_then(|days| middle.checked_add_signed(days));
        let calendar = match hemisphere {
            Hemisphere::North => CALENDAR_DAY,
            Hemisphere::South => CALENDAR_DAY_SOUTH,
        };
        let dates = [
            (Teller::Calendar, near(calendar)),
            (Teller::MeanDate, mean),
            (Teller::LateDate, spring.percentile(10).and_then(near)),
        ];
        let known = dates
            .into_iter()
            .filter_map(|(rule, date)| Some((rule, date?)));
        Self {
            dates: known.collect(),
        }
    }

    /// What each date says on a day: no danger from the date on.
    pub(super) fn chances(&self, today: NaiveDate) -> impl Iterator<Item = (Teller, Chance)> + '_ {
        let chance = move |date: &NaiveDate| Chance::of(f64::from(u8::from(today < *date)));
        self.dates
            .iter()
            .map(move |(rule, date)| (*rule, chance(date)))
    }
}

/// The mean of whole days, to the nearest day.
fn mean_offset(offsets: &[i64]) -> Option<TimeDelta> {
    let n = i64::try_from(offsets.len()).ok().filter(|n| *n > 0)?;
    let sum: i64 = offsets.iter().sum();
    Some(TimeDelta::days((2 * sum + n).div_euclid(2 * n)))
}

/// Whether a season has dates to go by.
pub(super) fn dates_for(
    season: Season,
    weather: &Weather<'_>,
    question: &Question,
    middle: Option<NaiveDate>,
) -> Dates {
    match season {
        Season::Spring => Dates::of(weather, question, middle),
        Season::Autumn | Season::All { .. } => Dates::default(),
    }
}

/// Seven forecast nights: danger when one of them is at or below the limit; a missing one is not seen. None without a
/// forecast.
pub(super) fn seven_nights(question: &Question, issue: &Issue, today: NaiveDate) -> Option<Chance> {
    let night = |lead| issue.get(&after(today, lead)).and_then(one_night);
    let nights: Vec<Celsius> = (1..=WEEK).filter_map(night).collect();
    let limit = question.limit + TOLERANCE;
    let danger = nights.iter().any(|night| *night <= limit);
    (!nights.is_empty()).then(|| Chance::of(f64::from(u8::from(danger))))
}

/// The forecast's nights by their own law each, the rest by the climate chance, multiplied as if independent.
///
/// Only of a question of nights; none without a forecast. From a missing night on the climate speaks.
pub(super) fn parts(
    question: &Question,
    issue: &Issue,
    skill: &Skill,
    weather: &Weather<'_>,
    climate: &Outlook,
) -> Option<Chance> {
    if issue.is_empty() || question.nights.is_none() {
        return None;
    }
    let today = climate.basis.today;
    let law = Normal::standard();
    let limit = question.limit + TOLERANCE;
    let most = WEEK.min(question.reach);
    let mut over = 0;
    let mut safe = 1.0;
    for lead in 1..=most {
        let date = after(today, lead);
        let Some(day) = issue.get(&date) else { break };
        let known = one_night(day).zip(skill.at(lead, members(day)));
        let Some((night, at)) = known else { break };
        let normals = weather.climate.min.normals(date);
        let anomaly = ((night - skill.bias.all).degrees() - normals.mean) / normals.spread;
        let mean = normals.mean + normals.spread * at.slope * anomaly;
        let spread = normals.spread * at.open_share().max(0.0).sqrt();
        safe *= if spread > 0.0 {
            1.0 - law.cdf((limit.degrees() - mean) / spread)
        } else {
            f64::from(u8::from(mean > limit.degrees()))
        };
        over = lead;
    }
    let rest = question.after_nights(u32::try_from(over).unwrap_or(u32::MAX));
    let rest = rest.map_or(0.0, |tender| {
        let risk = Risk::of(climate, &tender, &question.spot(), Chance::NEVER);
        risk.curve.get(over).copied().map_or(1.0, Chance::share)
    });
    Some(Chance::of(1.0 - safe * (1.0 - rest)))
}

/// The share of the past years in which it came on that calendar day.
///
/// `answer` is asked of days whose whole tender period lies before `known_until`; none when no year has one.
pub(super) fn frequency(
    today: NaiveDate,
    span: (NaiveDate, NaiveDate),
    reach: usize,
    mut answer: impl FnMut(NaiveDate) -> Option<bool>,
) -> Option<Chance> {
    let day = MonthDay {
        month: today.month(),
        day: today.day(),
    };
    let (first, known_until) = span;
    let past = (first.year()..=known_until.year())
        .filter_map(|year| super::calendar::in_year(day, year))
        .filter(|date| *date >= first && after(*date, reach) <= known_until);
    let answers: Vec<bool> = past.filter_map(&mut answer).collect();
    let came = answers.iter().filter(|came| **came).count();
    (!answers.is_empty()).then(|| Chance::of(count(came) / count(answers.len())))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mean_of_days_is_rounded_to_the_nearest() {
        let mean = |offsets: &[i64]| mean_offset(offsets).map(|days| days.num_days());
        assert_eq!(mean(&[1, 2, 4]), Some(2));
        assert_eq!(mean(&[-1, -2, -4]), Some(-2));
        assert_eq!(mean(&[1, 2]), Some(2));
        assert_eq!(mean(&[]), None);
    }

    #[test]
    fn the_frequency_counts_whole_past_years_only() {
        let day = |year, month, day| NaiveDate::from_ymd_opt(year, month, day).unwrap();
        let mut asked = Vec::new();
        let span = (day(2000, 6, 1), day(2004, 12, 31));
        let chance = frequency(day(2005, 4, 1), span, 21, |date| {
            asked.push(date.year());
            Some(date.year() == 2002)
        });
        assert_eq!(asked, [2001, 2002, 2003, 2004]);
        assert_eq!(chance, Some(Chance::of(0.25)));
        let late = frequency(day(2005, 12, 20), span, 21, |_| Some(true));
        assert_eq!(late, Some(Chance::of(1.0)));
    }
}
