//! When each spring was released, when it was safe, and what the calendar would have said.

use chrono::NaiveDate;
use maud::{Markup, html};

use super::chart::{Scale, WIDTH};
use crate::backtest::baseline::Teller;
use crate::backtest::decision::{Outcome, outcomes};
use crate::backtest::series::{Plan, Row, Series};
use crate::units::count;

const ROW: f64 = 11.0;
const LEFT: f64 = 28.0;
const TOP: f64 = 18.0;

/// Days from one line of the grid to the next.
const GRID_DAYS: usize = 15;

/// One picture a record.
pub(super) fn figures(plan: &Plan, all: &[Series]) -> Markup {
    html! {
        p {
            "Each line is a spring. Ring: the first day from which it never came again. Disc: the first go. "
            "Cross on the disc: it came after that go. Bar: the climate's first go. Dash: the date after which at most 1 "
            "in 10 past springs had such a night. A line that runs down the picture: 15 April."
        }
        @for series in all { h3 { (series.name) } (picture(plan, series)) }
    }
}

/// The outcomes of one teller, in the order of the years.
fn of(plan: &Plan, rows: &[&Row], teller: Teller) -> Vec<Outcome> {
    outcomes(rows, teller, plan.tolerance)
}

fn picture(plan: &Plan, series: &Series) -> Markup {
    let rows: Vec<&Row> = series.rows.iter().collect();
    let mine = of(plan, &rows, Teller::Budward);
    let days = mine.iter().map(|season| season.days).max().unwrap_or(1);
    let across = Scale {
        values: (0.0, count(days)),
        places: (LEFT, WIDTH - 6.0),
    };
    let height = TOP + ROW * count(mine.len()) + 4.0;
    let first: Option<NaiveDate> = series.rows.first().map(|row| row.date);
    let on = |day: usize| across.at(count(day));
    let line = |year: i32| {
        let index = mine.iter().position(|season| season.year == year);
        index.map(|index| TOP + ROW * count(index) + ROW / 2.0)
    };
    html! {
        figure { svg viewBox=(format!("0 0 {WIDTH} {height}")) role="img"
            aria-label={ "First go days and safe days by year, " (series.name) } {
            @for day in (0..=days).step_by(GRID_DAYS) {
                line.grid x1=(on(day)) x2=(on(day)) y1=(TOP) y2=(height) {}
                @if let Some(date) = first.map(|first| crate::backtest::question::after(first, day)) {
                    text.small x=(on(day)) y=(TOP - 6.0) text-anchor="middle" { (date.format("%-d %b")) }
                }
            }
            @for season in of(plan, &rows, Teller::Calendar) {
                @if let (Some(go), Some(y)) = (season.go, line(season.year)) {
                    line.quiet x1=(on(go)) x2=(on(go)) y1=(y - ROW / 2.0) y2=(y + ROW / 2.0) {}
                }
            }
            @for season in of(plan, &rows, Teller::LateDate) {
                @if let (Some(go), Some(y)) = (season.go, line(season.year)) {
                    line.quiet x1=(on(go) - 3.0) x2=(on(go) + 3.0) y1=(y) y2=(y) {}
                }
            }
            @for season in of(plan, &rows, Teller::Climate) {
                @if let (Some(go), Some(y)) = (season.go, line(season.year)) {
                    rect.quiet x=(on(go) - 1.0) y=(y - 4.0) width="2" height="8" {}
                }
            }
            @for season in &mine {
                @if let Some(y) = line(season.year) {
                    text.small x="0" y=(y + 3.0) { (season.year) }
                    circle.open cx=(on(season.safe_from)) cy=(y) r="3" {}
                    @if let Some(go) = season.go {
                        circle.mine cx=(on(go)) cy=(y) r="2.4" {}
                        @if season.hit {
                            path.bad d=(format!("M{0} {1}l8 8m0 -8l-8 8", on(go) - 4.0, y - 4.0)) {}
                        }
                    }
                }
            }
        } }
    }
}
