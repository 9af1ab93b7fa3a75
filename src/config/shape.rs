//! From text to tables: TOML syntax, known keys, types of values.
//!
//! Serde stops at the first thing that does not fit. It is told, taken out of the document, and the rest is read
//! again, so that one run shows every fault.

use std::ops::Range;

use serde::Deserialize;
use serde_path_to_error::{Deserializer, Path, Segment, Track};
use toml::Spanned;
use toml::de::{DeTable, DeValue, Error, ValueDeserializer};

use super::faults::{Checked, Faults, Told};
use super::raw::RawFile;
use crate::almanac::nearest;

/// After so many misfits the rest is left for the next run.
const MISFITS_MAX: usize = 50;

/// The tables of the file as far as they fit.
pub(super) fn read(faults: &mut Faults<'_>) -> Checked<RawFile> {
    let (document, errors) = DeTable::parse_recoverable(faults.text());
    if let Some(told) = errors.iter().map(|error| tell_syntax(error, faults)).last() {
        return Err(told);
    }
    let mut root = Spanned::new(document.span(), DeValue::Table(document.into_inner()));
    let mut misfits = 0;
    loop {
        let mut track = Track::new();
        let reader = ValueDeserializer::from(root.clone());
        let error = match RawFile::deserialize(Deserializer::new(reader, &mut track)) {
            Ok(file) => return Ok(file),
            Err(error) => error,
        };
        let taken = take_out(&mut root, &steps(&track.path()));
        let told = tell_misfit(&error, taken.as_ref(), faults);
        misfits += 1;
        // What cannot be found cannot be taken out, and would be found wrong for ever.
        if taken.is_none() || misfits == MISFITS_MAX {
            return Err(told);
        }
    }
}

/// One step from a value to a part of it.
#[derive(Debug, Clone, PartialEq)]
enum Step {
    Key(String),
    Item(usize),
}

/// A key that was taken out of the document.
struct Taken<'t> {
    /// Where its table begins.
    table: Range<usize>,
    /// The key itself.
    key: Spanned<String>,
    /// What it was set to.
    value: Spanned<DeValue<'t>>,
}

/// The way to the nearest key; private keys in which the library hides places and dates are no part of it.
fn steps(path: &Path) -> Vec<Step> {
    let mut steps: Vec<_> = path
        .iter()
        .filter_map(|segment| match segment {
            Segment::Map { key } if key.starts_with("$__") => None,
            Segment::Map { key } => Some(Step::Key(key.clone())),
            Segment::Seq { index } => Some(Step::Item(*index)),
            Segment::Enum { .. } | Segment::Unknown => None,
        })
        .collect();
    while matches!(steps.last(), Some(Step::Item(_))) {
        steps.pop();
    }
    steps
}

fn take_out<'t>(value: &mut Spanned<DeValue<'t>>, steps: &[Step]) -> Option<Taken<'t>> {
    let table = value.span();
    match (value.get_mut(), steps) {
        (DeValue::Table(entries), [Step::Key(key)]) => {
            let (key, value) = entries.remove_entry(key.as_str())?;
            let key = Spanned::new(key.span(), key.into_inner().into_owned());
            Some(Taken { table, key, value })
        }
        (DeValue::Table(entries), [Step::Key(key), rest @ ..]) => {
            take_out(entries.get_mut(key.as_str())?, rest)
        }
        (DeValue::Array(items), [Step::Item(index), rest @ ..]) => {
            take_out(items.get_mut(*index)?, rest)
        }
        _ => None,
    }
}

fn tell_misfit(error: &Error, taken: Option<&Taken<'_>>, faults: &mut Faults<'_>) -> Told {
    let Some(Taken { table, key, value }) = taken else {
        let fault = faults.remark(&error.span().unwrap_or_default(), error.message());
        return faults.keep(fault);
    };
    let name = key.get_ref();
    if error.message().starts_with("unknown field") {
        let known: Vec<_> = error.message().split('`').skip(3).step_by(2).collect();
        let meant = nearest(name, known.iter().copied());
        let what = format!("{name} is not a known key here{}", nearest_part(meant));
        let fault = faults.remark(&key.span(), what);
        let told = faults.keep(fault.allowed(known.join(", ")));
        if let Some(meant) = meant {
            faults.refuse(table, meant);
        }
        return told;
    }
    let expected = error
        .message()
        .rsplit_once("expected ")
        .map_or("", |(_, what)| what);
    let (wanted, hint) = in_plain_words(expected, name, value.get_ref());
    let span = error.span().unwrap_or_else(|| value.span());
    let what = format!(
        "{name} must be {wanted}, found {}",
        described(value.get_ref())
    );
    let mut fault = faults.remark(&span, what);
    if let Some(hint) = hint {
        fault = fault.hint(hint);
    }
    faults.refuse(table, name);
    faults.keep(fault)
}

/// `; nearest: "…"` when there is a nearest spelling.
pub(super) fn nearest_part(meant: Option<&str>) -> String {
    meant.map_or_else(String::new, |meant| format!("; nearest: \"{meant}\""))
}

/// What the library expected, in words for a gardener, and what to do.
fn in_plain_words<'e>(
    expected: &'e str,
    key: &str,
    found: &DeValue<'_>,
) -> (&'e str, Option<String>) {
    let quoted = found.is_str().then(|| "leave out the quotes".to_owned());
    match expected {
        "a string" => {
            let bare = matches!(
                found,
                DeValue::Integer(_) | DeValue::Float(_) | DeValue::Datetime(_)
            );
            (
                "text in quotes",
                bare.then(|| format!("write {key} = \"…\"")),
            )
        }
        "f64" => ("a number", quoted),
        "i64" => ("a whole number", quoted),
        "a TOML datetime" => ("a date such as 2027-04-10", quoted),
        "a sequence" => (
            "a list of tables",
            found.is_table().then(|| {
                format!(
                    "write the heading with double brackets, as in [[garden]] or [[garden.{key}]]"
                )
            }),
        ),
        "a table" => (
            "a table",
            Some(format!(
                "put [{key}] on a line of its own and the keys below it"
            )),
        ),
        other => (other, None),
    }
}

/// A value of the file, in words.
fn described(value: &DeValue<'_>) -> String {
    match value {
        DeValue::String(text) => format!("the text \"{text}\""),
        DeValue::Integer(number) => format!("the number {number}"),
        DeValue::Float(number) => format!("the number {}", number.as_str()),
        DeValue::Boolean(truth) => truth.to_string(),
        DeValue::Datetime(date) => format!("the date {date}"),
        DeValue::Array(_) => "a list".to_owned(),
        DeValue::Table(_) => "a table".to_owned(),
    }
}

fn tell_syntax(error: &Error, faults: &mut Faults<'_>) -> Told {
    let message = error.message();
    let span = error.span().unwrap_or_default();
    let found = faults
        .text()
        .get(span.clone())
        .unwrap_or_default()
        .to_owned();
    let (what, hint) = if message.starts_with("string values must be quoted") {
        if found.is_empty() {
            (
                "no value stands behind the equals sign".to_owned(),
                "write one, or put a # before the line",
            )
        } else {
            (
                format!("{found} stands without straight quotes"),
                "text stands between straight double quotes: name = \"box edging\"",
            )
        }
    } else if message.starts_with("invalid date") {
        (
            format!("{found} is not a day of the calendar: {message}"),
            "a date is year-month-day: 2027-04-10",
        )
    } else if message.starts_with("duplicate key") {
        (
            format!("{found} stands here for the second time"),
            "keep one of the two; another garden, spot, plant or cut needs a heading in double brackets of its own",
        )
    } else if message.contains("unclosed")
        || message.starts_with("invalid") && message.contains("string")
    {
        (
            format!("a bracket or a quote is opened and not closed: {message}"),
            "close it on the same line",
        )
    } else if message.starts_with("unexpected key or value") {
        (
            "something stands behind the value".to_owned(),
            "one key and one value on a line; numbers with a point (38.74), not with a comma; notes behind a #",
        )
    } else if message.starts_with("key with no value") {
        (
            "a line without an equals sign".to_owned(),
            "a line is: key = value; notes begin with #",
        )
    } else {
        (
            format!("this line cannot be read: {message}"),
            "text stands in quotes, numbers have a point, dates are year-month-day",
        )
    };
    let fault = faults.remark(&span, what).hint(hint);
    faults.keep(fault)
}
