//! Forecasts from a file: `issue_date,lead,value` or `issue_date,lead,m1,m2,...`, in °C.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use thiserror::Error;

use super::{Issue, day_of};
use crate::backtest::question::after;
use crate::forecast::ForecastDay;
use crate::units::{AIR_RANGE, Celsius};

/// The longest lead that is read.
const LEAD_MAX: usize = 60;

/// Forecasts of night minima that were kept.
#[derive(Debug, Clone, PartialEq)]
pub struct Given {
    /// Where they come from.
    pub name: String,
    /// By issue date and valid date.
    issues: BTreeMap<NaiveDate, Issue>,
}

/// A file of forecasts that cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum GivenError {
    /// The first line does not name the columns.
    #[error("line 1: found '{0}', expected issue_date,lead,value or issue_date,lead,m1,m2,...")]
    Heading(String),
    /// A line does not follow the heading.
    #[error("line {line}: {what}")]
    Line {
        /// Counted from 1.
        line: usize,
        /// What was found and what is expected.
        what: String,
    },
    /// There is no forecast in it.
    #[error("no forecast in it")]
    Empty,
}

impl Given {
    /// Reads the text of a file; an empty cell is a missing value.
    ///
    /// # Errors
    /// When the heading is another one, or a line has no date, no lead of 1 to 60, another number of cells, or a
    /// temperature that does not occur on earth.
    pub fn read(text: &str, name: &str) -> Result<Self, GivenError> {
        let mut lines = (1..)
            .zip(text.lines())
            .filter(|(_, line)| !line.trim().is_empty());
        let (_, heading) = lines.next().ok_or(GivenError::Empty)?;
        let values = heading
            .trim()
            .strip_prefix("issue_date,lead,")
            .map(|rest| rest.split(',').count())
            .ok_or_else(|| GivenError::Heading(heading.to_owned()))?;
        let mut issues: BTreeMap<NaiveDate, Issue> = BTreeMap::new();
        for (line, text) in lines {
            let at_line = |what| GivenError::Line { line, what };
            let (issued, valid, day) = row(text, values).map_err(at_line)?;
            let known = issues.entry(issued).or_default().insert(valid, day);
            if known.is_some() {
                let what = format!("the night of {valid} a second time in the run of {issued}");
                return Err(at_line(what));
            }
        }
        if issues.is_empty() {
            return Err(GivenError::Empty);
        }
        Ok(Self {
            name: name.to_owned(),
            issues,
        })
    }

    /// The forecast made on a day; without any days where there is none.
    pub(super) fn issue(&self, day: NaiveDate) -> Issue {
        self.issues.get(&day).cloned().unwrap_or_default()
    }
}

fn row(text: &str, values: usize) -> Result<(NaiveDate, NaiveDate, ForecastDay), String> {
    let cells: Vec<&str> = text.split(',').map(str::trim).collect();
    let [issued, lead, given @ ..] = cells.as_slice() else {
        return Err(format!(
            "found '{text}', expected a date, a lead and values"
        ));
    };
    if given.len() != values {
        return Err(format!("{} values, expected {values}", given.len()));
    }
    let issued: NaiveDate = issued
        .parse()
        .map_err(|_| format!("'{issued}' is not a date such as 2021-04-09"))?;
    let days = lead.parse().ok();
    let lead = days
        .filter(|days| (1..=LEAD_MAX).contains(days))
        .ok_or_else(|| {
            format!("lead '{lead}' is not a whole number of days from 1 to {LEAD_MAX}")
        })?;
    // Nights alone are given; the days do not matter to a question of nights and are taken as even.
    let pairs = given
        .iter()
        .map(|cell| Ok(night(cell)?.map(|t| (t, t))))
        .collect::<Result<_, String>>()?;
    Ok((issued, after(issued, lead), day_of(pairs)))
}

fn night(cell: &str) -> Result<Option<Celsius>, String> {
    if cell.is_empty() {
        return Ok(None);
    }
    cell.parse()
        .ok()
        .filter(|degrees| AIR_RANGE.contains(degrees))
        .map(|degrees| Some(Celsius::new(degrees)))
        .ok_or_else(|| {
            let (low, high) = (AIR_RANGE.start(), AIR_RANGE.end());
            format!("'{cell}' is not a temperature from {low} to {high} °C")
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn runs_and_members_are_read() {
        let text = "issue_date,lead,value\n2021-04-09,1,-1.5\n2021-04-09,2,\n";
        let day = |n| NaiveDate::from_ymd_opt(2021, 4, n).unwrap();
        let issue = Given::read(text, "f").unwrap().issue(day(9));
        let at = |degrees| Some((Celsius::new(degrees), Celsius::new(degrees)));
        assert_eq!(issue[&day(10)].run, at(-1.5));
        assert_eq!(issue[&day(11)].run, None);
        let members = Given::read("issue_date,lead,m1,m2\n2021-04-09,3,1,2.5\n", "f").unwrap();
        assert_eq!(members.issue(day(9))[&day(12)].members, [at(1.0), at(2.5)]);
        assert!(members.issue(day(10)).is_empty());
    }

    #[test]
    fn a_wrong_line_is_named() {
        let said = |text: &str| Given::read(text, "f").unwrap_err().to_string();
        let head = "issue_date,lead,value\n";
        assert_eq!(
            said("date,lead,value\n"),
            "line 1: found 'date,lead,value', expected issue_date,lead,value or issue_date,lead,m1,m2,..."
        );
        assert_eq!(said(head), "no forecast in it");
        let twice = "2021-04-09,1,2\n2021-04-09,1,3";
        for (line, expected) in [
            (
                "9.4.2021,1,2",
                "line 2: '9.4.2021' is not a date such as 2021-04-09",
            ),
            (
                "2021-04-09,0,2",
                "line 2: lead '0' is not a whole number of days from 1 to 60",
            ),
            (
                "2021-04-09,1,28 F",
                "line 2: '28 F' is not a temperature from -90 to 60 °C",
            ),
            ("2021-04-09,1,2,3", "line 2: 2 values, expected 1"),
            (
                twice,
                "line 3: the night of 2021-04-10 a second time in the run of 2021-04-09",
            ),
        ] {
            assert_eq!(said(&format!("{head}{line}\n")), expected);
        }
    }
}
