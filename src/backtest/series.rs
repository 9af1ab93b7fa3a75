//! One record, day by day: the rolling origin.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::BacktestError;
use super::baseline::{Dates, Teller, WEEK, dates_for, frequency, parts, seven_nights};
use super::calendar::{Season, SeasonDays, issue_days, known_until, seasons};
use super::decision::{Stance, Told, stances};
use super::nights::Nights;
use super::question::Question;
use super::teacher::{Prior, Teacher};
use super::world::{Issue, Source, Weather, perfect};
use crate::climate::{Climate, DailyRecord};
use crate::forecast::Extremes;
use crate::outlook::{Daily, Horizon, Outlook, Skill};
use crate::risk::Risk;
use crate::units::{CelsiusStep, Chance};

/// Days before the first decision day of a season from which forecasts are verified.
const RUN_IN_DAYS: usize = 60;

/// What is tested.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// The question.
    pub question: Question,
    /// The decision days.
    pub season: Season,
    /// The forecasts.
    pub source: Source,
    /// The skill that is assumed at first.
    pub prior: Prior,
    /// Whether skill is learned from the forecasts that have come due.
    pub learns: bool,
    /// The chance that the keeper accepts.
    pub tolerance: Chance,
    /// Fewest past years before a season that is tested.
    pub past_years: usize,
    /// The seed of every drawn forecast.
    pub seed: u64,
}

/// What would have been said on one decision day, and what came.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The decision day.
    pub date: NaiveDate,
    /// The season's year.
    pub year: i32,
    /// The chance of each who tells one.
    pub chances: BTreeMap<Teller, Chance>,
    /// The chance for a cut on the next day, of each whose word depends on it.
    pub next_day: BTreeMap<Teller, Chance>,
    /// How many futures the chance under test was counted over.
    pub futures: usize,
    /// What the chance made of the days up to this one.
    pub stance: Stance,
    /// Whether it came.
    pub happened: bool,
    /// The single nights.
    pub nights: Nights,
}

/// How the climate's chance runs over a season's cutting days: smooth where the past years are enough.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurveCheck {
    /// Steps up, summed; in spring each of them goes the wrong way.
    pub up: f64,
    /// Steps down, summed.
    pub down: f64,
    /// The largest step either way.
    pub largest: f64,
}

/// A record that was tested.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// Its name.
    pub name: String,
    /// Where it comes from.
    pub origin: String,
    /// The rows in order.
    pub rows: Vec<Row>,
    /// Decision days whose answer the record leaves open.
    pub open_days: usize,
    /// The curve at the start of each season.
    pub curves: Vec<CurveCheck>,
}

/// Tests a record; `on_season` hears how many seasons of how many are done.
///
/// # Errors
/// When no season can be tested.
pub fn run(
    record: &DailyRecord,
    name: &str,
    plan: &Plan,
    on_season: &mut dyn FnMut(usize, usize),
) -> Result<Series, BacktestError> {
    let seasons = seasons(record, plan.question.limit, plan.season)?;
    let mut test = Test {
        record,
        name,
        plan,
        teacher: Teacher::new(plan),
        issued_until: None,
        answers: BTreeMap::new(),
    };
    let mut series = Series {
        name: name.to_owned(),
        origin: record.origin.clone(),
        rows: Vec::new(),
        open_days: 0,
        curves: Vec::new(),
    };
    for (done, season) in seasons.iter().enumerate() {
        test.season(season, &mut series);
        on_season(done + 1, seasons.len());
    }
    if series.rows.is_empty() {
        return Err(BacktestError::TooShort {
            needed: plan.past_years,
        });
    }
    Ok(series)
}

struct Test<'a> {
    record: &'a DailyRecord,
    name: &'a str,
    plan: &'a Plan,
    teacher: Teacher,
    /// The last day on which a forecast was made.
    issued_until: Option<NaiveDate>,
    answers: BTreeMap<NaiveDate, Option<bool>>,
}

/// What is known on a decision day.
struct Today<'a> {
    date: NaiveDate,
    issue: Issue,
    measured: Option<Extremes>,
    weather: &'a Weather<'a>,
    skill: Skill,
}

impl Test<'_> {
    fn answer(&mut self, day: NaiveDate, climate: &Climate) -> Option<bool> {
        let (question, record) = (&self.plan.question, self.record);
        let answer = || {
            let wood = question.tender.unhardened;
            let midwinter = wood.map(|_| climate.min.days_to_coldest(day));
            question.answer(record, day, midwinter)
        };
        *self.answers.entry(day).or_insert_with(answer)
    }

    /// Adds the rows of a season, if enough years lie before it and its answers are on record.
    fn season(&mut self, season: &SeasonDays, series: &mut Series) {
        let Some(climate) = self.climate_before(season) else {
            return;
        };
        let weather = Weather {
            name: self.name,
            record: self.record,
            climate: &climate,
        };
        let issued = issue_days(season, RUN_IN_DAYS, self.issued_until);
        self.issued_until = issued.last().copied().or(self.issued_until);
        let mut issues = self.plan.source.issues(&weather, self.plan.seed, &issued);
        self.teacher.keep(&issues, &weather);
        let dates = dates_for(
            self.plan.season,
            &weather,
            &self.plan.question,
            season.middle,
        );
        let mut rows = Vec::new();
        for date in &season.days {
            let today = Today {
                date: *date,
                issue: issues.remove(date).unwrap_or_default(),
                measured: self.measured(*date),
                weather: &weather,
                skill: self.teacher.skill(&weather, *date),
            };
            if rows.is_empty() {
                series
                    .curves
                    .extend(self.curve(&today.without_weather(), season));
            }
            match self.row(&today, &dates, season.year) {
                Some(row) => rows.push(row),
                None => series.open_days += 1,
            }
        }
        let told: Vec<Told> = rows
            .iter()
            .filter_map(|row| row.told(Teller::Budward))
            .collect();
        for (row, stance) in rows.iter_mut().zip(stances(&told, self.plan.tolerance)) {
            row.stance = stance;
        }
        series.rows.extend(rows);
    }

    /// The climate of the years before a season.
    fn climate_before(&self, season: &SeasonDays) -> Option<Climate> {
        let past = self
            .record
            .between(self.record.first(), known_until(season)?)?;
        Climate::of(&past).filter(|climate| climate.years >= self.plan.past_years)
    }

    /// Today's extremes, as a place that has forecasts knows them.
    fn measured(&self, today: NaiveDate) -> Option<Extremes> {
        if self.plan.source == Source::None {
            return None;
        }
        let day = self.record.day(today);
        day.min.zip(day.max)
    }

    /// The futures of a day over so many cutting days.
    fn outlook(&self, today: &Today<'_>, cut_days: usize) -> Outlook {
        let daily = Daily {
            today: today.date,
            measured: today.measured,
            days: today.issue.clone(),
            age_days: 0,
            lift: CelsiusStep::default(),
        };
        let horizon = Horizon {
            cut_days,
            tail_days: self.plan.question.reach,
        };
        Outlook::of_days(&daily, Some(today.weather.climate), &today.skill, horizon)
    }

    fn risk(&self, outlook: &Outlook) -> Risk {
        let question = &self.plan.question;
        Risk::of(
            outlook,
            &question.tender,
            &question.spot(),
            self.plan.tolerance,
        )
    }

    /// The row of a day; none where the record leaves its answer open.
    fn row(&mut self, today: &Today<'_>, dates: &Dates, year: i32) -> Option<Row> {
        let happened = self.answer(today.date, today.weather.climate)?;
        let question = &self.plan.question;
        let outlook = self.outlook(today, 2);
        // A week of cutting days, so that what is left after a week can be read off.
        let climate = self.outlook(&today.without_weather(), WEEK + 1);
        let sure_week = self.outlook(&today.with_sure_week(self.record), 2);
        let mut chances: BTreeMap<Teller, Chance> = dates.chances(today.date).collect();
        let span = (today.weather.climate.span.0, today.weather.climate.span.1);
        let reach = question.reach;
        let counted = [
            (Teller::Budward, self.risk(&outlook)),
            (Teller::Climate, self.risk(&climate)),
            (Teller::PerfectWeek, self.risk(&sure_week)),
        ];
        let next_day = counted
            .iter()
            .filter_map(|(teller, risk)| Some((*teller, *risk.curve.get(1)?)))
            .collect();
        chances.extend(counted.iter().map(|(teller, risk)| (*teller, risk.today())));
        let told = [
            (
                Teller::SevenNights,
                seven_nights(question, &today.issue, today.date),
            ),
            (
                Teller::Parts,
                parts(
                    question,
                    &today.issue,
                    &today.skill,
                    today.weather,
                    &climate,
                ),
            ),
        ];
        chances.extend(
            told.into_iter()
                .filter_map(|(teller, chance)| Some((teller, chance?))),
        );
        let nights = Nights::of(&outlook, question, self.record);
        let frequency = frequency(today.date, span, reach, |day| {
            self.answer(day, today.weather.climate)
        });
        chances.extend(frequency.map(|chance| (Teller::Frequency, chance)));
        Some(Row {
            date: today.date,
            year,
            chances,
            next_day,
            futures: outlook.basis.futures,
            stance: Stance::Wait,
            happened,
            nights,
        })
    }

    /// The chance over the season's cutting days as it is seen on its first one.
    ///
    /// Without that day's weather, after which a true chance may well rise.
    fn curve(&self, today: &Today<'_>, season: &SeasonDays) -> Option<CurveCheck> {
        let last = season.days.last()?;
        let cut_days = usize::try_from((*last - today.date).num_days()).ok()? + 1;
        let curve = self.risk(&self.outlook(today, cut_days)).curve;
        let steps = || {
            let pairs = curve.iter().zip(curve.iter().skip(1));
            pairs.map(|(one, next)| next.share() - one.share())
        };
        Some(CurveCheck {
            up: steps().map(|step| step.max(0.0)).sum(),
            down: steps().map(|step| (-step).max(0.0)).sum(),
            largest: steps().map(f64::abs).fold(0.0, f64::max),
        })
    }
}

impl Today<'_> {
    /// The same day with nothing known of its weather.
    fn without_weather(&self) -> Self {
        Self {
            issue: Issue::new(),
            measured: None,
            ..self.copy()
        }
    }

    /// The same day with the coming week known for sure.
    fn with_sure_week(&self, record: &DailyRecord) -> Self {
        let day = record.day(self.date);
        Self {
            issue: perfect(record, self.date, WEEK),
            measured: day.min.zip(day.max),
            skill: Prior::Perfect(WEEK).skill(&self.weather.climate.min, self.date),
            ..self.copy()
        }
    }

    fn copy(&self) -> Self {
        Self {
            date: self.date,
            issue: Issue::new(),
            measured: self.measured,
            weather: self.weather,
            skill: self.skill.clone(),
        }
    }
}

impl Row {
    /// What one of them told of a cut on this day and on the next; none when it told nothing. A rule that does not look
    /// ahead says the same of both.
    pub fn told(&self, teller: Teller) -> Option<Told> {
        let today = *self.chances.get(&teller)?;
        Some(Told {
            today,
            tomorrow: self.next_day.get(&teller).copied().unwrap_or(today),
        })
    }

    /// The chance that one of them told; certain danger when it told none.
    pub fn chance(&self, teller: Teller) -> Chance {
        self.chances
            .get(&teller)
            .copied()
            .unwrap_or(Chance::of(1.0))
    }
}
