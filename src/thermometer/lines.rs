//! The lines of a station's file: which column is what, and how its clock and its numbers are written.

use chrono::{DateTime, NaiveDateTime, Utc};
use thiserror::Error;

use super::{Reading, Refusal};
use crate::garden::Zone;
use crate::units::Celsius;

/// How a station writes its file.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// What stands between two columns; a blank stands for any run of blanks.
    pub delimiter: char,
    /// The decimal sign.
    pub decimal: char,
    /// Whether the first line names the columns.
    pub header: bool,
    /// The column of the time, or those of date and time; by name, or counted from 1.
    pub time: Vec<String>,
    /// How the time is written.
    pub time_form: TimeForm,
    /// The column of the temperature; by name, or counted from 1.
    pub temperature: String,
    /// Its unit.
    pub unit: Unit,
    /// What stands where a value is missing.
    pub missing: Missing,
}

/// What stands in a column where there is no value, beside nothing at all.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Missing(pub Vec<String>);

/// The unit of the temperature column.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Unit {
    /// Degrees Celsius.
    #[default]
    Celsius,
    /// Degrees Fahrenheit.
    Fahrenheit,
}

/// How a station writes its time.
#[derive(Debug, Clone, PartialEq)]
pub enum TimeForm {
    /// With its offset from universal time (RFC 3339).
    Rfc3339,
    /// By the clock on the wall of a zone, in a form of `strftime`.
    Local {
        /// The form, such as `%d.%m.%Y %H:%M`; of two columns with one blank between them.
        form: String,
        /// The zone.
        zone: Zone,
    },
}

/// A file that does not have the columns it should.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum LayoutError {
    /// No column of that name.
    #[error("no column \"{wanted}\"; there are: {there}")]
    NoColumn {
        /// The name that was looked for.
        wanted: String,
        /// The names that were found.
        there: String,
    },
    /// Without names the columns are counted.
    #[error("column \"{0}\" is no number, and without a header line columns are counted from 1")]
    NotCounted(String),
}

/// Where the columns stand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Columns {
    time: Vec<usize>,
    temperature: usize,
}

/// How many bytes of a piece of a file are whole lines: a last line without its end waits for the rest.
pub fn whole_lines(piece: &[u8]) -> usize {
    piece
        .iter()
        .rposition(|byte| *byte == b'\n')
        .map_or(0, |end| end + 1)
}

impl Layout {
    /// Where the columns stand, by the first line of the file.
    ///
    /// # Errors
    /// When a column is not there.
    pub fn columns(&self, first_line: &str) -> Result<Columns, LayoutError> {
        let names: Vec<&str> = self
            .cells(first_line.trim_start_matches('\u{feff}'))
            .collect();
        let place = |wanted: &String| {
            let by_name = || {
                let mut cells = names.iter();
                cells.position(|name| name.eq_ignore_ascii_case(wanted.trim()))
            };
            let by_number = || wanted.trim().parse::<usize>().ok()?.checked_sub(1);
            let found = if self.header {
                by_name().or_else(by_number)
            } else {
                by_number()
            };
            found.ok_or_else(|| {
                if self.header {
                    LayoutError::NoColumn {
                        wanted: wanted.clone(),
                        there: names.join(", "),
                    }
                } else {
                    LayoutError::NotCounted(wanted.clone())
                }
            })
        };
        Ok(Columns {
            time: self.time.iter().map(place).collect::<Result<_, _>>()?,
            temperature: place(&self.temperature)?,
        })
    }

    /// Each line of a piece of a file that holds a value, or why it cannot be read.
    ///
    /// `after` is the instant of the reading before the piece; it tells the second passing of a repeated hour from
    /// the first.
    pub fn read(
        &self,
        columns: &Columns,
        lines: &str,
        after: Option<DateTime<Utc>>,
    ) -> Vec<Result<Reading, Refusal>> {
        let mut after = after;
        lines
            .lines()
            .map(|line| line.trim_start_matches('\u{feff}'))
            .filter(|line| !line.trim().is_empty())
            .filter_map(|line| {
                let reading = self.line(columns, line, after).transpose()?;
                if let Ok(reading) = &reading {
                    after = Some(reading.at);
                }
                Some(reading)
            })
            .collect()
    }

    /// One line; none when its value is missing.
    fn line(
        &self,
        columns: &Columns,
        line: &str,
        after: Option<DateTime<Utc>>,
    ) -> Result<Option<Reading>, Refusal> {
        let cells: Vec<&str> = self.cells(line).collect();
        let cell = |at: usize| cells.get(at).copied().ok_or(Refusal::Unreadable);
        let value = cell(columns.temperature)?;
        if value.is_empty() || self.missing.0.iter().any(|token| token == value) {
            return Ok(None);
        }
        let number = value.replace(self.decimal, ".");
        let number: f64 = number.parse().map_err(|_| Refusal::Unreadable)?;
        let time: Vec<&str> = columns
            .time
            .iter()
            .map(|at| cell(*at))
            .collect::<Result<_, _>>()?;
        Ok(Some(Reading {
            at: self.time_form.read(&time.join(" "), after)?,
            temperature: match self.unit {
                Unit::Celsius => Celsius::new(number),
                Unit::Fahrenheit => Celsius::from_fahrenheit(number),
            },
        }))
    }

    fn cells<'l>(&self, line: &'l str) -> impl Iterator<Item = &'l str> + use<'l> {
        let (delimiter, by_blanks) = (self.delimiter, self.delimiter == ' ');
        let bare = |cell: &'l str| cell.trim().trim_matches('"').trim();
        line.trim_end_matches(['\r', '\n'])
            .split(move |sign: char| sign == delimiter || (by_blanks && sign == '\t'))
            .map(bare)
            .filter(move |cell| !by_blanks || !cell.is_empty())
    }
}

impl TimeForm {
    /// The instant of a written time.
    fn read(&self, written: &str, after: Option<DateTime<Utc>>) -> Result<DateTime<Utc>, Refusal> {
        match self {
            Self::Rfc3339 => DateTime::parse_from_rfc3339(written)
                .map(|at| at.to_utc())
                .map_err(|_| Refusal::Unreadable),
            Self::Local { form, zone } => {
                let local = NaiveDateTime::parse_from_str(written, form)
                    .map_err(|_| Refusal::Unreadable)?;
                match *zone.instants(local).as_slice() {
                    [at] => Ok(at),
                    [first, second] => by_order(first, second, after),
                    _ => Err(Refusal::UnclearTime),
                }
            }
        }
    }
}

/// Which of the two passings of a repeated hour is meant: the first that lies after the reading before. After a pause
/// nothing tells.
fn by_order(
    first: DateTime<Utc>,
    second: DateTime<Utc>,
    after: Option<DateTime<Utc>>,
) -> Result<DateTime<Utc>, Refusal> {
    let after = after.ok_or(Refusal::UnclearTime)?;
    let passing = second - first;
    if first > after && first - after <= passing {
        Ok(first)
    } else if second > after && second - after <= passing {
        Ok(second)
    } else {
        Err(Refusal::UnclearTime)
    }
}
