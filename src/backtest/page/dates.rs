//! Which day of each season was taken, which was the best, and what the calendar and the climate would have said.
//!
//! In: rows. Out: one picture a record. Does not judge.

use chrono::{Datelike, NaiveDate, TimeDelta};
use maud::{Markup, html};

use super::chart::{Scale, WIDTH};
use crate::backtest::baseline::Teller;
use crate::backtest::decision::{Outcome, outcomes};
use crate::backtest::keeper::{By, Take};
use crate::backtest::plan::Plan;
use crate::backtest::row::Row;
use crate::backtest::series::Series;
use crate::units::count;

const ROW: f64 = 11.0;
const LEFT: f64 = 28.0;
const TOP: f64 = 18.0;

/// Days from one line of the grid to the next.
const GRID_DAYS: i64 = 15;

/// One picture a record.
pub(super) fn figures(plan: &Plan, all: &[Series], take: Take) -> Markup {
    html! {
        (key(take))
        @for series in all { h3 { (series.name) } (Picture::of(plan, series, take).drawn()) }
    }
}

/// What the marks mean, each beside its words.
fn key(take: Take) -> Markup {
    let (best, cut, climate) = match take {
        Take::First => (
            "first day from which on it never came",
            "first go",
            "first go by the climate alone",
        ),
        Take::Last => (
            "last day after which it did not come",
            "last go",
            "last go by the climate alone",
        ),
    };
    html! {
        p {
            "Each line is a season; days run from left to right. "
            @match take {
                Take::First => {
                    "A first go before the ring and without a cross was in time: it came again only after the nights that counted."
                }
                Take::Last => {
                    "A last go after the ring always has a cross: it came."
                }
            }
        }
        ul.key {
            li { (sign(&html! { circle.open cx="8" cy="7" r="3" {} })) (best) }
            li { (sign(&html! { circle.mine cx="8" cy="7" r="2.4" {} })) (cut) }
            li { (sign(&html! { circle.mine cx="8" cy="7" r="2.4" {} path.bad d="M4 3l8 8m0 -8l-8 8" {} }))
                (cut) ", and it came after it" }
            li { (sign(&html! { rect.quiet x="7" y="3" width="2" height="8" {} })) (climate) }
            @if take == Take::First {
                li { (sign(&html! { line.quiet x1="4" x2="12" y1="7" y2="7" {} }))
                    "date after which at most 1 in 10 past springs had such a night" }
                li { (sign(&html! { line.quiet.dashed x1="8" x2="8" y1="0" y2="14" {} })) "15 April (15 October)" }
            }
        }
    }
}

fn sign(mark: &Markup) -> Markup {
    html! { svg.sign viewBox="0 0 16 14" aria-hidden="true" { (mark) } " " }
}

/// The seasons of a record on one time axis that counts days from New Year.
struct Picture<'a> {
    name: &'a str,
    seasons: Vec<Vec<&'a Row>>,
    across: Scale,
    span: (i64, i64),
    plan: &'a Plan,
    take: Take,
}

impl<'a> Picture<'a> {
    fn of(plan: &'a Plan, series: &'a Series, take: Take) -> Self {
        let mut seasons: Vec<Vec<&Row>> = Vec::new();
        for row in &series.rows {
            match seasons.last_mut() {
                Some(season) if season.last().is_some_and(|last| last.year == row.year) => {
                    season.push(row);
                }
                Some(_) | None => seasons.push(vec![row]),
            }
        }
        let days = || series.rows.iter().map(|row| of_year(row.date, row.year));
        let span = (days().min().unwrap_or(0), days().max().unwrap_or(0) + 1);
        let across = Scale {
            values: (place(span.0), place(span.1)),
            places: (LEFT, WIDTH - 18.0),
        };
        Self {
            name: &series.name,
            seasons,
            across,
            span,
            plan,
            take,
        }
    }

    fn outcomes(&self, by: By) -> Vec<Outcome> {
        let rows: Vec<&Row> = self.seasons.iter().flatten().copied().collect();
        outcomes(&rows, by, self.plan.tolerance, self.take)
    }

    /// Where a season's decision day lies; the day after the last one too.
    fn at(&self, year: i32, day: usize) -> Option<(f64, f64)> {
        let index = self.index(year)?;
        let rows = self.seasons.get(index)?;
        let date = rows.get(day).map(|row| row.date);
        let date = date.or_else(|| rows.last()?.date.succ_opt())?;
        let x = self.across.at(place(of_year(date, year)));
        Some((x, TOP + ROW * count(index) + ROW / 2.0))
    }

    fn index(&self, year: i32) -> Option<usize> {
        let of_year = |rows: &Vec<&Row>| rows.first().is_some_and(|row| row.year == year);
        self.seasons.iter().position(of_year)
    }

    /// The places at which somebody's day lies, by season.
    fn cuts(&self, by: By) -> Vec<(f64, f64)> {
        let outcomes = self.outcomes(by);
        let at = |season: &Outcome| self.at(season.year, season.cut?);
        outcomes.iter().filter_map(at).collect()
    }

    fn drawn(&self) -> Markup {
        let height = TOP + ROW * count(self.seasons.len()) + 4.0;
        html! {
            figure { svg viewBox=(format!("0 0 {WIDTH} {height}")) role="img"
                aria-label={ "Days taken and best days by year, " (self.name) } {
                (self.grid(height))
                @for (x, y) in self.cuts(By::Teller(Teller::Calendar)) {
                    line.quiet.dashed x1=(x) x2=(x) y1=(y - ROW / 2.0) y2=(y + ROW / 2.0) {}
                }
                @for (x, y) in self.cuts(By::Teller(Teller::LateDate)) {
                    line.quiet x1=(x - 4.0) x2=(x + 4.0) y1=(y) y2=(y) {}
                }
                @for (x, y) in self.cuts(By::Teller(Teller::Climate)) {
                    rect.quiet x=(x - 1.0) y=(y - 4.0) width="2" height="8" {}
                }
                @for season in self.outcomes(By::Release) { (self.season(&season)) }
            } }
        }
    }

    fn grid(&self, height: f64) -> Markup {
        let (first, last) = self.span;
        // Any year without a leap day: only day and month are shown.
        let new_year = NaiveDate::from_ymd_opt(2001, 1, 1);
        let date = |day: i64| new_year?.checked_add_signed(TimeDelta::days(day));
        let lines = (0..).map(|step| first + step * GRID_DAYS);
        html! {
            @for day in lines.take_while(|day| *day <= last) {
                @let x = self.across.at(place(day));
                line.grid x1=(x) x2=(x) y1=(TOP) y2=(height) {}
                @if let Some(date) = date(day) {
                    text.small x=(x) y=(TOP - 6.0) text-anchor="middle" { (date.format("%-d %b")) }
                }
            }
        }
    }

    fn season(&self, season: &Outcome) -> Markup {
        html! {
            @if let Some((x, y)) = self.at(season.year, season.best) {
                text.small x="0" y=(y + 3.0) { (season.year) }
                circle.open cx=(x) cy=(y) r="3" {}
            }
            @if let Some((x, y)) = season.cut.and_then(|cut| self.at(season.year, cut)) {
                circle.mine cx=(x) cy=(y) r="2.4" {}
                @if season.hit { path.bad d=(format!("M{0} {1}l8 8m0 -8l-8 8", x - 4.0, y - 4.0)) {} }
            }
        }
    }
}

/// Days from New Year of a season's year, without leap days, so that a calendar day has one place.
fn of_year(date: NaiveDate, year: i32) -> i64 {
    let before = i64::from(date.year() - year) * 365;
    let is_after_leap_day = date.leap_year() && date.month() > 2;
    before + i64::from(date.ordinal0()) - i64::from(is_after_leap_day)
}

/// A count of days as a number.
fn place(days: i64) -> f64 {
    i32::try_from(days).map_or(0.0, f64::from)
}
