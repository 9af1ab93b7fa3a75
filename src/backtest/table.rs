//! The rows as CSV, so that anyone can score them.
//!
//! In: rows. Out: text. Does not score.

use std::fmt::Write;

use super::baseline::Teller;
use super::series::Series;
use crate::units::Chance;

/// One line a decision day; a teller that was silent leaves its cell empty. Chances have six decimals.
pub fn rows_csv(all: &[Series]) -> String {
    let others = || {
        Teller::ALL
            .iter()
            .filter(|teller| **teller != Teller::Budward)
    };
    let mut text = String::from(
        "record,year,date,probability,probability_next_day,futures,verdict,happened,\
         frost_at_hand,near_night,go_early,go_middle,go_late",
    );
    for teller in others() {
        push(&mut text, teller.name());
        if teller.looks_ahead() {
            push(&mut text, &format!("{}_next_day", teller.name()));
        }
    }
    text.push('\n');
    for series in all {
        for row in &series.rows {
            text.push_str(&quoted(&series.name));
            push(&mut text, &row.year.to_string());
            push(&mut text, &row.date.to_string());
            let chance = row.chance(Teller::Budward).share();
            push(&mut text, &format!("{chance:.6}"));
            push(&mut text, &cell(row.next_day.get(&Teller::Budward)));
            push(&mut text, &row.futures.to_string());
            push(&mut text, row.stance.name());
            push(&mut text, &u8::from(row.happened).to_string());
            let look = row.looks.first();
            let frost = look.map(|look| u8::from(look.frost_at_hand).to_string());
            push(&mut text, &frost.unwrap_or_default());
            push(&mut text, &cell(look.map(|look| &look.near_night)));
            let go = row.first_go.told;
            for date in [
                go.map(|go| go.early),
                go.map(|go| go.middle),
                go.map(|go| go.late),
            ] {
                push(
                    &mut text,
                    &date.map_or_else(String::new, |date| date.to_string()),
                );
            }
            for teller in others() {
                push(&mut text, &cell(row.chances.get(teller)));
                if teller.looks_ahead() {
                    push(&mut text, &cell(row.next_day.get(teller)));
                }
            }
            text.push('\n');
        }
    }
    text
}

fn cell(chance: Option<&Chance>) -> String {
    chance.map_or_else(String::new, |chance| format!("{:.6}", chance.share()))
}

fn push(text: &mut String, cell: &str) {
    // Writing to a string cannot fail.
    write!(text, ",{cell}").ok();
}

/// A cell in quotes where it needs them (RFC 4180, section 2).
fn quoted(cell: &str) -> String {
    if cell.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell.to_owned()
    }
}
