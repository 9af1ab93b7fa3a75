//! When autumn decisions are due: about the last call as the climate alone has it.
//!
//! In: a record, a question. Out: the decision days of each autumn. Uses no year from the season's own on, and no weather.

use chrono::{Datelike, NaiveDate};

use super::BacktestError;
use super::calendar::{HALF_AUTUMN, SeasonDays, about};
use super::question::{Question, after};
use crate::climate::{Climate, DailyRecord};
use crate::outlook::{Daily, Horizon, Outlook, Skill};
use crate::risk::Risk;
use crate::units::Chance;

/// Cutting days over which the turn of the year's chance is looked for.
const YEAR_DAYS: usize = 366;

/// A chance above this is more likely than not.
const EVEN: f64 = 0.5;

/// The decision days of each autumn: about the day from which on a cut is more likely caught than not, as it is known
/// from the years before.
///
/// # Errors
/// When enough years lie before some season and in none of them the chance turns so.
pub(super) fn autumns(
    record: &DailyRecord,
    question: &Question,
    past_years: usize,
) -> Result<Vec<SeasonDays>, BacktestError> {
    let mut found = Vec::new();
    let mut is_known = false;
    for year in record.first().year()..=record.last().year() {
        let Some((new_year, climate)) = climate_before(record, year, past_years) else {
            continue;
        };
        is_known = true;
        let middle = middle(&climate, question, new_year);
        found.extend(middle.and_then(|middle| about(year, middle, HALF_AUTUMN)));
    }
    if is_known && found.is_empty() {
        return Err(BacktestError::NoLastCall);
    }
    Ok(found)
}

/// The first day of a year, and the climate of the years before it.
fn climate_before(
    record: &DailyRecord,
    year: i32,
    past_years: usize,
) -> Option<(NaiveDate, Climate)> {
    let new_year = NaiveDate::from_ymd_opt(year, 1, 1)?;
    let past = record.between(record.first(), new_year.pred_opt()?)?;
    let climate = Climate::of(&past).filter(|climate| climate.years >= past_years)?;
    Some((new_year, climate))
}

/// The first cutting day after the year's safest on which frost is more likely than not.
fn middle(climate: &Climate, question: &Question, new_year: NaiveDate) -> Option<NaiveDate> {
    let midwinter = after(new_year, climate.min.days_to_coldest(new_year));
    let horizon = Horizon {
        cut_days: YEAR_DAYS,
        tail_days: question.reach,
    };
    let daily = Daily::none(midwinter);
    let outlook = Outlook::of_days(&daily, Some(climate), &Skill::default(), horizon);
    let tolerance = Chance::of(EVEN);
    let curve = Risk::of(&outlook, &question.tender, &question.spot(), tolerance).curve;
    turn(&curve).map(|day| after(midwinter, day))
}

/// The first index after the least chance, the first of several alike, at which it is more likely than not.
fn turn(curve: &[Chance]) -> Option<usize> {
    let least = (0..curve.len()).min_by(|a, b| {
        let at = |index: usize| curve.get(index).map_or(1.0, |chance| chance.share());
        at(*a).total_cmp(&at(*b))
    })?;
    let rest = curve.iter().skip(least);
    let up = rest.map(|chance| chance.share() > EVEN);
    // A year that is never safe has no last call, nor has one that is never dangerous.
    let first = up.enumerate().find(|(_, is_up)| *is_up)?.0;
    (first > 0).then_some(least + first)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn turned(percent: &[i32]) -> Option<usize> {
        let curve: Vec<Chance> = percent
            .iter()
            .map(|p| Chance::of(f64::from(*p) / 100.0))
            .collect();
        turn(&curve)
    }

    #[test]
    fn the_year_turns_where_the_chance_comes_up_again() {
        assert_eq!(turned(&[100, 90, 40, 3, 0, 0, 20, 50, 51, 90]), Some(8));
        assert_eq!(turned(&[100, 90, 60, 70]), None, "never safe");
        assert_eq!(turned(&[3, 2, 1, 20, 40]), None, "never dangerous");
        assert_eq!(turned(&[]), None);
    }
}
