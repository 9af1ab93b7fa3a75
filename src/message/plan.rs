//! The plan of a year as a page of plain text, 80 columns wide: first what and when, then why and how.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};

use super::words::{self, plan as said};
use crate::almanac::CutKind;
use crate::locale::{Locale, say};
use crate::plan::{Task, YearPlan};

/// Columns for the time, the planting and the work; what is left is for what was done of it.
const WHEN: usize = 14;
const PLANTING: usize = 30;
const WORK: usize = 22;

/// How much of a plan is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Detail {
    /// What and when.
    Table,
    /// And why and how.
    Whole,
}

/// The page of a plan.
pub fn plan_page(plan: &YearPlan, locale: Locale, detail: Detail) -> String {
    let title = say!(
        locale,
        "plan-title",
        garden = &plan.garden,
        year = plan.year
    );
    let mut page = format!("{title}\n");
    page.push_str(&words::wrapped(&said::basis(plan, locale), 0));
    let (dated, any_time): (Vec<&Task>, Vec<&Task>) =
        plan.tasks.iter().partition(|task| task.window.is_some());
    let mut month = None;
    for task in &dated {
        let begins = task
            .window
            .map(|window| begin(window.from, plan.year).month());
        if begins != month {
            page.push('\n');
            month = begins;
        }
        page.push_str(&line(task, plan.year, locale));
    }
    if !any_time.is_empty() {
        page.push_str(&headed(&say!(locale, "plan-any-time")));
        page.push_str(&by_work(&any_time, locale));
    }
    if !plan.uncut.is_empty() {
        page.push_str(&headed(&say!(locale, "plan-no-cut")));
        for uncut in &plan.uncut {
            let planting = words::capital(&uncut.planting);
            let text = format!("{planting}. {}", words::uncut(uncut, locale));
            page.push_str(&words::wrapped(&text, 2));
        }
    }
    if !plan.checks.is_empty() {
        page.push_str(&headed(&say!(locale, "plan-look-after")));
        for check in &plan.checks {
            page.push_str(&words::wrapped(&said::check(check, locale), 2));
        }
    }
    if plan.tasks.is_empty() {
        page.push_str(&headed(&say!(locale, "plan-nothing")));
    }
    if detail == Detail::Whole {
        page.push_str(&why_and_how(plan, locale));
    }
    page
}

/// A heading after an empty line.
fn headed(heading: &str) -> String {
    format!("\n{heading}\n")
}

/// The day on which a window begins in the year.
fn begin(from: NaiveDate, year: i32) -> NaiveDate {
    NaiveDate::from_ymd_opt(year, 1, 1).map_or(from, |first| from.max(first))
}

fn line(task: &Task, year: i32, locale: Locale) -> String {
    let when = task
        .window
        .map_or_else(String::new, |window| said::window(window, year, locale));
    let line = format!(
        "{when:<WHEN$} {:<PLANTING$} {:<WORK$} {}",
        fitted(&words::capital(&task.planting), PLANTING),
        words::to_do(task.work, locale),
        said::mark(task, locale)
    );
    format!("{}\n", line.trim_end())
}

/// A text cut to so many signs.
fn fitted(text: &str, width: usize) -> String {
    if text.chars().count() <= width {
        return text.to_owned();
    }
    let kept: String = text.chars().take(width.saturating_sub(3)).collect();
    format!("{}...", kept.trim_end())
}

/// The plantings of each work.
fn by_work(tasks: &[&Task], locale: Locale) -> String {
    let mut plantings: BTreeMap<CutKind, Vec<String>> = BTreeMap::new();
    for task in tasks {
        plantings
            .entry(task.work)
            .or_default()
            .push(task.planting.clone());
    }
    let lines = plantings.iter().map(|(work, plantings)| {
        let text = format!("{}: {}", words::to_do(*work, locale), plantings.join(", "));
        words::wrapped(&words::capital(&text), 2)
    });
    lines.collect()
}

/// Why then and how, in order of time: of each kind and work once, but for plantings that have a matter of their own.
fn why_and_how(plan: &YearPlan, locale: Locale) -> String {
    let mut page = String::new();
    let mut told: Vec<&Task> = Vec::new();
    for task in &plan.tasks {
        let is_same = |one: &&Task| {
            (&one.kind, one.work) == (&task.kind, task.work)
                && (one.stage, &one.dangers) == (task.stage, &task.dangers)
        };
        if told.iter().any(is_same) {
            continue;
        }
        told.push(task);
        let is_own = task.stage.is_some() || !task.dangers.is_empty();
        let kind = words::kinds::name(&task.of, locale);
        let who = if is_own { &task.planting } else { kind };
        let head = format!(
            "{}, {}",
            words::capital(who),
            words::to_do(task.work, locale)
        );
        page.push('\n');
        page.push_str(&words::wrapped(&head, 0));
        for sentence in said::why(task, plan.year, locale) {
            page.push_str(&words::wrapped(&sentence, 2));
        }
        page.push_str(&words::wrapped(words::kinds::text(&task.how, locale), 2));
        page.push_str(&words::wrapped(&words::sourced(&task.source, locale), 2));
    }
    if !page.is_empty() {
        page.insert_str(0, &headed(&say!(locale, "plan-why-and-how")));
        page.push('\n');
        page.push_str(&words::wrapped(&words::caution(locale), 0));
    }
    page
}
