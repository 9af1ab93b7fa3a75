//! The mail with the plan of a year.
//!
//! In: the plan, its garden, a picture. Out: one [`Message`]: what to cut when, a list a month, and what needs no cut or is
//! to be looked after. Does not say why and how: the page and the command `plan` do.

use chrono::{DateTime, Datelike, NaiveDate, Utc};

use super::letter::{Letter, Mark, Part};
use super::words::{self, plan as said};
use super::{Beside, Message, Picture};
use crate::garden::Garden;
use crate::locale::{Locale, say};
use crate::plan::{Task, YearPlan, twelve_months};
use crate::risk::DateRange;

impl Message {
    /// The plan of the twelve months from a day on; none when the garden has no address.
    pub fn plan(
        (plan, first): (&YearPlan, NaiveDate),
        picture: Option<Picture>,
        garden: &Garden,
        now: DateTime<Utc>,
        beside: &Beside<'_>,
    ) -> Option<Self> {
        let letter = letter((plan, twelve_months(first)), picture.as_ref(), garden, now);
        let mut message = Self::of(&letter, Self::plan_key(garden, first), garden, now, beside)?;
        message.enclosed.pictures = picture.into_iter().collect();
        Some(message)
    }

    /// The key of the plan of a garden from a day on: it is written once.
    pub fn plan_key(garden: &Garden, first: NaiveDate) -> String {
        format!("{}.plan.{first}", garden.name)
    }
}

fn letter(
    (plan, days): (&YearPlan, DateRange),
    picture: Option<&Picture>,
    garden: &Garden,
    now: DateTime<Utc>,
) -> Letter {
    let locale = garden.locale;
    let year = if days.from.year() == days.to.year() {
        plan.year.to_string()
    } else {
        format!("{}/{}", days.from.year(), days.to.year())
    };
    let opening = format!(
        "{} {}",
        said::basis(plan, locale),
        say!(locale, "plan-letter-more")
    );
    let mut parts = vec![Part::Opening(Mark::Note, opening)];
    parts.extend(picture.map(|picture| Part::Picture {
        cid: picture.cid.clone(),
        alt: picture.alt.clone(),
    }));
    parts.extend(months(plan, days, locale));
    let at_any_time = plan.tasks.iter().filter(|task| task.window.is_none());
    let lists = [
        (
            say!(locale, "plan-any-time"),
            at_any_time.map(|task| work(task, locale)).collect(),
        ),
        (
            say!(locale, "plan-no-cut"),
            plan.uncut
                .iter()
                .map(|one| {
                    format!(
                        "{}. {}",
                        words::capital(&one.planting),
                        words::uncut(one, locale)
                    )
                })
                .collect(),
        ),
        (
            say!(locale, "plan-look-after"),
            plan.checks
                .iter()
                .map(|check| said::check(check, locale))
                .collect(),
        ),
    ];
    let filled = lists
        .into_iter()
        .filter(|(_, lines): &(String, Vec<String>)| !lines.is_empty());
    parts.extend(filled.map(|(heading, lines)| Part::List(heading, lines)));
    let mut small = vec![words::caution(locale)];
    small.extend(garden.remark.clone());
    let local = locale.moment(garden.place.zone.local(now));
    small.push(format!("{}, {local}", garden.title));
    parts.push(Part::Small(small));
    Letter {
        locale,
        subject: say!(locale, "subject-plan", garden = &garden.title, year = year),
        parts,
    }
}

/// A list of the windows that begin in each month; what began before stands in the first.
fn months(plan: &YearPlan, days: DateRange, locale: Locale) -> Vec<Part> {
    let mut months: Vec<(NaiveDate, Vec<String>)> = Vec::new();
    for task in &plan.tasks {
        let Some(window) = task.window else { continue };
        let begin = window.from.max(days.from);
        let month = begin.with_day(1).unwrap_or(begin);
        let when = said::window_in(window, days, locale);
        let line = format!("{when}: {}", work(task, locale));
        match months.last_mut() {
            Some((last, lines)) if *last == month => lines.push(line),
            Some(_) | None => months.push((month, vec![line])),
        }
    }
    let list = |(month, lines): (NaiveDate, Vec<String>)| Part::List(locale.month(month), lines);
    months.into_iter().map(list).collect()
}

/// What is to be done to what, and what there is to know of it in a word or two.
fn work(task: &Task, locale: Locale) -> String {
    let what = format!(
        "{}, {}",
        words::capital(&task.planting),
        words::to_do(task.work, locale)
    );
    let mark = said::mark(task, locale);
    if mark.is_empty() {
        what
    } else {
        format!("{what} ({mark})")
    }
}
