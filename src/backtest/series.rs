//! One record, day by day: the rolling origin.

use std::collections::BTreeMap;

use chrono::{NaiveDate, NaiveTime};

use super::BacktestError;
use super::baseline::{Dates, Teller, WEEK, dates_for, frequency, parts, seven_nights};
use super::calendar::{Season, SeasonDays, issue_days, known_until, seasons};
use super::decision::Stance;
use super::nights::Nights;
use super::plan::Plan;
use super::release::{margin_until, released};
use super::row::{CurveCheck, FirstGo, Row};
use super::teacher::Teacher;
use super::today::{Today, thinned};
use super::world::{Source, Weather};
use crate::climate::{Climate, DailyRecord};
use crate::forecast::Extremes;
use crate::outlook::{Horizon, Outlook};
use crate::risk::{Look, Risk, Risks, Sums};
use crate::units::Chance;

/// Cutting days that a look sees beyond the day, in spring beyond the season's end: more than a wobble of a release may
/// take, and more than a first go has to stay.
const SIGHT_DAYS: usize = 30;

/// Days before the first decision day of a season from which forecasts are verified.
const RUN_IN_DAYS: usize = 60;

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
    let seasons = seasons(record, plan)?;
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
        let (mut rows, mut curves) = (Vec::new(), Vec::new());
        for date in &season.days {
            let today = Today {
                date: *date,
                issue: issues.remove(date).unwrap_or_default(),
                measured: self.measured(*date),
                weather: &weather,
                skill: self.teacher.skill(&weather, *date),
            };
            if season.days.first() == Some(date) {
                let bare = today.without_weather();
                series.curves.extend(self.curve(&bare, season));
            }
            match self.row(&today, &dates, season) {
                Some((row, curve)) => {
                    rows.push(row);
                    curves.push(curve);
                }
                None => series.open_days += 1,
            }
        }
        self.release(&mut rows, &curves);
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

    /// Enough days for so many cutting days.
    const fn horizon(&self, cut_days: usize) -> Horizon {
        Horizon {
            cut_days,
            tail_days: self.plan.question.reach,
        }
    }

    /// Cutting days that a look has to see: in spring to beyond the season's end, else as far as a wobble matters.
    fn sight(&self, date: NaiveDate, season: &SeasonDays) -> usize {
        let left = season
            .days
            .last()
            .map_or(0, |last| (*last - date).num_days());
        match self.plan.season {
            Season::Spring => usize::try_from(left).unwrap_or(0) + SIGHT_DAYS,
            Season::Autumn | Season::All { .. } => SIGHT_DAYS,
        }
    }

    /// Sets the stance of each row of a season, and what became of the first go that was told.
    fn release(&self, rows: &mut [Row], curves: &[Vec<Chance>]) {
        let own = self.plan.tolerance;
        let stances = released(rows.iter().filter_map(|row| row.look(own)));
        for (row, stance) in rows.iter_mut().zip(&stances) {
            row.stance = *stance;
        }
        let came = rows.iter().find(|row| row.stance == Stance::Go);
        let came = came.map(|row| row.date);
        for (row, curve) in rows.iter_mut().zip(curves) {
            let days = came.and_then(|came| usize::try_from((came - row.date).num_days()).ok());
            row.first_go.came = came;
            row.first_go.margin = days.and_then(|days| margin_until(curve, days, own));
        }
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

    /// The row of a day and its curve; none where the record leaves its answer open.
    fn row(
        &mut self,
        today: &Today<'_>,
        dates: &Dates,
        season: &SeasonDays,
    ) -> Option<(Row, Vec<Chance>)> {
        let happened = self.answer(today.date, today.weather.climate)?;
        let question = &self.plan.question;
        let outlook = today.outlook(self.horizon(self.sight(today.date, season)));
        let risks = self.risks(&outlook);
        let mut row = Row {
            date: today.date,
            year: season.year,
            chances: dates.chances(today.date).collect(),
            next_day: BTreeMap::new(),
            futures: outlook.basis.futures,
            looks: looks(&risks, today.date),
            first_go: FirstGo::default(),
            stance: Stance::Wait,
            happened,
            nights: Nights::of(&outlook, question, self.record),
        };
        // A week of cutting days, so that what is left after a week can be read off.
        let climate = today.without_weather().outlook(self.horizon(WEEK + 1));
        let sure_week = today.with_sure_week(self.record).outlook(self.horizon(2));
        let own = risks
            .into_iter()
            .find(|risk| risk.tolerance == self.plan.tolerance)?;
        row.first_go.told = own.first_go;
        row.count(Teller::Climate, &self.risk(&climate));
        row.count(Teller::PerfectWeek, &self.risk(&sure_week));
        row.count(Teller::Budward, &own);
        let fewer = self.plan.shift_step.map(|step| thinned(&outlook, step));
        let fewer = fewer.map(|outlook| self.risk(&outlook).today());
        let seven_nights = seven_nights(question, &today.issue, today.date);
        let parts = parts(
            question,
            &today.issue,
            &today.skill,
            today.weather,
            &climate,
        );
        let frequency = frequency(
            today.date,
            today.weather.climate.span,
            question.reach,
            |day| self.answer(day, today.weather.climate),
        );
        let others = [
            (Teller::Fewer, fewer),
            (Teller::SevenNights, seven_nights),
            (Teller::Parts, parts),
            (Teller::Frequency, frequency),
        ];
        let spoken = others
            .into_iter()
            .filter_map(|(teller, chance)| Some((teller, chance?)));
        row.chances.extend(spoken);
        Some((row, own.curve))
    }

    /// The risks at each tolerance.
    fn risks(&self, outlook: &Outlook) -> Vec<Risk> {
        let (tender, spot) = (&self.plan.question.tender, self.plan.question.spot());
        let sums = Sums::default();
        let risks = Risks::of(outlook, &sums);
        let tolerances = self.plan.tolerances();
        let at = |tolerance: &Chance| risks.risk(tender, &spot, *tolerance);
        tolerances.iter().map(at).collect()
    }

    /// The chance over the season's cutting days as it is seen on its first one.
    ///
    /// Without that day's weather, after which a true chance may well rise.
    fn curve(&self, today: &Today<'_>, season: &SeasonDays) -> Option<CurveCheck> {
        let last = season.days.last()?;
        let cut_days = usize::try_from((*last - today.date).num_days()).ok()? + 1;
        let curve = self.risk(&today.outlook(self.horizon(cut_days))).curve;
        let steps = || {
            let pairs = curve.iter().zip(curve.iter().skip(1));
            pairs.map(|(one, next)| next.share() - one.share())
        };
        Some(CurveCheck {
            year: season.year,
            up: steps().map(|step| step.max(0.0)).sum(),
            down: steps().map(|step| (-step).max(0.0)).sum(),
            largest: steps().map(f64::abs).fold(0.0, f64::max),
        })
    }
}

/// What the damping of releases sees of a day, at each tolerance.
fn looks(risks: &[Risk], date: NaiveDate) -> Vec<Look> {
    let at = date.and_time(NaiveTime::MIN).and_utc();
    risks.iter().map(|risk| risk.look(at)).collect()
}

impl Row {
    /// Notes what a risk says of a cut on this day and on the next.
    fn count(&mut self, teller: Teller, risk: &Risk) {
        self.chances.insert(teller, risk.today());
        let next = risk.curve.get(1).map(|chance| (teller, *chance));
        self.next_day.extend(next);
    }
}
