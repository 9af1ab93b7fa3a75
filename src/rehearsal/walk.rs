//! The walk: one look a day, what was said and seen carried on to the next.
//!
//! In: the [`Plan`]. Out: the [`Rehearsal`]. Does not judge or fold: the stages of a cycle do.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::{DateTime, Datelike, NaiveDate, NaiveTime, Utc};

use super::hours::forecast;
use super::window::{Change, is_open};
use super::{CutYear, LetterSent, Plan, Rehearsal, RehearsalError, Told};
use crate::backtest::{Issue, Weather as Came};
use crate::climate::{Climate, PastYears};
use crate::forecast::{Extremes, Several};
use crate::garden::PlannedCut;
use crate::look::{FreshFor, View, Weather};
use crate::message::{self, words};
use crate::notice::{Desk, Matter, Said, Waiting, cut_matters, most_urgent_first};
use crate::outlook::RunDays;
use crate::verdict::{Footing, Verdict};

/// When the weather is looked at: the first look of the usual schedule.
const LOOK_AT: NaiveTime = match NaiveTime::from_hms_opt(5, 30, 0) {
    Some(time) => time,
    None => NaiveTime::MIN,
};

/// Days of the forecast that lie before it: the day before and the day at hand are told as they came.
const DAYS_BACK: usize = 2;

/// Years of the record that are looked at day by day: the season at hand and the one before it.
const YEARS_AT_HAND: i32 = 3;

/// Walks the days of a plan; `on_day` hears how many days of how many are done.
///
/// The climate is that of the years before, worked out once: that is what a cycle comes to with a station file that ends
/// with the last of them. Nothing is cut, so that every window runs its course.
///
/// # Errors
/// When the record does not have the days or too few years before them.
pub fn rehearse(
    plan: &Plan<'_>,
    on_day: &mut dyn FnMut(usize, usize),
) -> Result<Rehearsal, RehearsalError> {
    let climate = climate_before(plan)?;
    let fresh_for = FreshFor::all(plan.fresh_for);
    let came = Came {
        name: &plan.garden.name,
        record: plan.record,
        climate: &climate,
    };
    let days: Vec<NaiveDate> = plan
        .days
        .from
        .iter_days()
        .take_while(|day| *day <= plan.days.to)
        .collect();
    let mut issues = plan.forecasts.issues(&came, plan.seed, &days);
    let mut walk = Walk {
        plan,
        view: View {
            garden: plan.garden,
            fresh_for: &fresh_for,
            climate: Some(&climate),
            hung: None,
            shelf: None,
        },
        weather: Weather::default(),
        said: BTreeMap::new(),
        waiting: Vec::new(),
        open: BTreeMap::new(),
        rehearsal: Rehearsal {
            garden: plan.garden.title.clone(),
            days: plan.days,
            origin: plan.record.origin.clone(),
            past_years: climate.years,
            zone: climate.hardiness_zone(),
            forecasts: plan.forecasts.title(),
            letters: Vec::new(),
            told: Vec::new(),
            dropped: 0,
            cuts: plan.garden.cuts.iter().map(CutYear::of).collect(),
        },
    };
    for (done, day) in days.iter().enumerate() {
        walk.day(*day, issues.remove(day).unwrap_or_default());
        on_day(done + 1, days.len());
    }
    Ok(walk.rehearsal)
}

fn climate_before(plan: &Plan<'_>) -> Result<Climate, RehearsalError> {
    let (first, last) = (plan.record.first(), plan.record.last());
    let (from, to) = (plan.days.from, plan.days.to);
    if from < first || last < to {
        return Err(RehearsalError::NotOnRecord {
            first,
            last,
            from,
            to,
        });
    }
    let before = NaiveDate::from_ymd_opt(from.year() - 1, 12, 31);
    let past = before.and_then(|before| plan.record.between(first, before));
    past.as_ref()
        .and_then(Climate::of)
        .ok_or(RehearsalError::TooFewYears(from.year()))
}

struct Walk<'a> {
    plan: &'a Plan<'a>,
    view: View<'a>,
    /// What is known on the day.
    weather: Weather,
    /// The last word on each cut.
    said: BTreeMap<String, Said>,
    /// What waits for its letter.
    waiting: Vec<Waiting>,
    /// Whether the window of each cut was open when that was last known.
    open: BTreeMap<String, bool>,
    rehearsal: Rehearsal,
}

impl Walk<'_> {
    fn day(&mut self, today: NaiveDate, issue: Issue) {
        let zone = &self.plan.garden.place.zone;
        let now = zone.instant(today.and_time(LOOK_AT));
        let before = std::mem::take(&mut self.weather.forecasts);
        let days = before
            .used
            .iter()
            .map(|run| Arc::new(RunDays::of(run, zone)));
        self.weather.runs.extend(days);
        self.weather.forecasts = Several::only(forecast(&self.days(today, issue), zone, now));
        let since = NaiveDate::from_ymd_opt(today.year() - YEARS_AT_HAND, 1, 1);
        let since = since.map_or(self.plan.record.first(), |since| {
            since.max(self.plan.record.first())
        });
        let record = today
            .pred_opt()
            .and_then(|yesterday| self.plan.record.between(since, yesterday));
        self.weather.past = record.map(|record| Arc::new(PastYears::of(record)));
        let seen = self.view.look(&self.weather, now);
        self.tell(&seen.verdicts, now);
        for (place, verdict) in seen.verdicts.iter().enumerate() {
            self.note(place, verdict);
        }
        self.weather.before = Footing::from_all(&seen.verdicts);
    }

    /// Notes the state of a cut, and a change of its window.
    fn note(&mut self, place: usize, verdict: &Verdict) {
        let Some(year) = self.rehearsal.cuts.get_mut(place) else {
            return;
        };
        *year.days.entry(verdict.state.name()).or_default() += 1;
        let Some(open) = is_open(verdict) else {
            return;
        };
        let was = self.open.insert(verdict.cut.clone(), open);
        if was.is_some_and(|was| was != open) {
            year.changes.push(Change {
                date: verdict.today,
                open,
                why: words::main_reason(verdict, self.plan.garden.locale),
            });
        }
    }

    /// The days that the forecast of a day has: those at hand as they came, then the ones to come.
    fn days(&self, today: NaiveDate, issue: Issue) -> BTreeMap<NaiveDate, Extremes> {
        let at_hand = std::iter::successors(Some(today), NaiveDate::pred_opt)
            .take(DAYS_BACK)
            .filter_map(|date| {
                let day = self.plan.record.day(date);
                Some((date, day.min.zip(day.max)?))
            });
        let coming = issue
            .into_iter()
            .filter_map(|(date, day)| Some((date, day.run?)));
        at_hand.chain(coming).collect()
    }

    /// Notes what a letter of the day says, if one goes.
    fn tell(&mut self, verdicts: &[Verdict], now: DateTime<Utc>) {
        let garden = self.plan.garden;
        let said = verdicts
            .iter()
            .map(|verdict| self.said.get(&verdict.cut).copied());
        let said: Vec<Option<Said>> = said.collect();
        let news = cut_matters((verdicts, &garden.cuts), &said, &self.waiting, &[]);
        let names = news.iter().map(|one| (one.verdict.cut.as_str(), one.news));
        let waiting = Waiting::after(&self.waiting, names, verdicts, now);
        self.rehearsal.dropped += self.waiting.len() - still(&self.waiting, &waiting);
        let mut matters: Vec<Matter<'_>> = news.iter().copied().map(Matter::Cut).collect();
        most_urgent_first(&mut matters);
        let desk = Desk {
            now,
            times: &garden.letters,
            zone: &garden.place.zone,
            last_letter: self.rehearsal.letters.last().map(|letter| letter.at),
            letters_today: 0,
        };
        if desk.goes(&matters).is_none() {
            self.waiting = waiting;
            return;
        }
        self.waiting = Waiting::after(&self.waiting, std::iter::empty(), verdicts, now);
        let subject = message::subject(&matters, garden, now).unwrap_or_default();
        self.rehearsal.letters.push(LetterSent {
            at: now,
            subject,
            matters: matters.len(),
        });
        for matter in &news {
            let verdict = matter.verdict;
            let said = Said {
                news: matter.news,
                at: now,
                wished: verdict.wished,
            };
            self.said.insert(verdict.cut.clone(), said);
            self.rehearsal.told.push(Told {
                date: verdict.today,
                news: matter.news,
                cut: verdict.cut.clone(),
                planting: verdict.planting.clone(),
                work: verdict.cut_kind,
                why: words::main_reason(verdict, garden.locale),
            });
        }
    }
}

/// How many of what waited still wait or are told now.
fn still(before: &[Waiting], after: &[Waiting]) -> usize {
    let is_there = |one: &&Waiting| after.contains(one);
    before.iter().filter(is_there).count()
}

impl CutYear {
    fn of(cut: &PlannedCut) -> Self {
        Self {
            cut: cut.name.clone(),
            planting: cut.planting.clone(),
            habit: cut.kind.habit,
            work: cut.cut_kind(),
            days: BTreeMap::new(),
            changes: Vec::new(),
        }
    }
}
