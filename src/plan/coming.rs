//! The plan of twelve months that need not begin with January: the years that they lie in, joined.

use std::mem;

use chrono::{Datelike, Days, NaiveDate};

use super::{Known, Task, YearPlan, year_plan};
use crate::garden::Garden;
use crate::risk::DateRange;

/// The twelve months from a day on.
pub fn twelve_months(first: NaiveDate) -> DateRange {
    let next = first.with_year(first.year() + 1).unwrap_or(first);
    DateRange {
        from: first,
        to: next.pred_opt().unwrap_or(next),
    }
}

/// The plan of the twelve months from a day on; its year is the one in which they begin.
pub fn coming_plan(garden: &Garden, known: &Known<'_>, first: NaiveDate) -> YearPlan {
    let plan = year_plan(garden, known, first.year());
    if first.ordinal() == 1 {
        return plan;
    }
    let later = year_plan(garden, known, first.year() + 1);
    joined(plan, later, twelve_months(first))
}

/// What of two years lies in the days; a window that goes on over the new year is one.
fn joined(mut plan: YearPlan, later: YearPlan, days: DateRange) -> YearPlan {
    let is_left = |task: &Task| task.window.is_none_or(|window| window.to >= days.from);
    let mut tasks: Vec<Task> = mem::take(&mut plan.tasks);
    tasks.retain(is_left);
    for task in later.tasks {
        let Some(window) = task.window.filter(|window| window.from <= days.to) else {
            continue;
        };
        let goes_on = |one: &&mut Task| {
            let next = one
                .window
                .and_then(|one| one.to.checked_add_days(Days::new(1)));
            one.cut == task.cut && next.is_some_and(|next| next >= window.from)
        };
        match tasks.iter_mut().find(goes_on) {
            Some(one) => {
                one.window = one.window.map(|one| DateRange {
                    to: one.to.max(window.to),
                    ..one
                });
            }
            None => tasks.push(task),
        }
    }
    tasks.sort_by_key(|task| (task.window.is_none(), task.window, task.cut.clone()));
    for check in later.checks {
        if !plan.checks.contains(&check) {
            plan.checks.push(check);
        }
    }
    YearPlan { tasks, ..plan }
}
