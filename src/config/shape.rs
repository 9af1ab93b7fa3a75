//! From text to tables: TOML syntax, known keys, types of values.
//!
//! Serde stops at the first thing that does not fit. It is told, taken out of the document, and the rest is read
//! again, so that one run shows every fault.

use std::ops::Range;

use serde::de::DeserializeOwned;
use serde_path_to_error::{Deserializer, Path, Segment, Track};
use toml::Spanned;
use toml::de::{DeTable, DeValue, Error, ValueDeserializer};

use super::faults::{Checked, Faults, Told};
use super::syntax;
use crate::almanac::nearest;

/// After so many misfits the rest is left for the next run.
const MISFITS_MAX: usize = 50;

/// The tables of the file as far as they fit.
pub(super) fn read<T: DeserializeOwned>(faults: &mut Faults<'_>) -> Checked<T> {
    let (document, errors) = DeTable::parse_recoverable(faults.text());
    if let Some(told) = errors
        .iter()
        .map(|error| syntax::tell(error, faults))
        .last()
    {
        return Err(told);
    }
    let mut root = Spanned::new(document.span(), DeValue::Table(document.into_inner()));
    let mut misfits = 0;
    loop {
        let mut track = Track::new();
        let reader = ValueDeserializer::from(root.clone());
        let error = match T::deserialize(Deserializer::new(reader, &mut track)) {
            Ok(file) => return Ok(file),
            Err(error) => error,
        };
        let steps = steps(&track.path());
        let taken = take_out(&mut root, &steps);
        let told = tell_misfit(&error, taken.as_ref(), &dotted(&steps), faults);
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

/// The way as headings spell it: `garden.plant.cut`.
fn dotted(steps: &[Step]) -> String {
    let keys = steps.iter().filter_map(|step| match step {
        Step::Key(key) => Some(key.as_str()),
        Step::Item(_) => None,
    });
    keys.collect::<Vec<_>>().join(".")
}

fn tell_misfit(
    error: &Error,
    taken: Option<&Taken<'_>>,
    heading: &str,
    faults: &mut Faults<'_>,
) -> Told {
    let Some(taken) = taken else {
        let fault = faults.remark(&error.span().unwrap_or_default(), error.message());
        return faults.keep(fault);
    };
    let Taken { table, key, value } = taken;
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
    if let Some(told) = tell_name_or_gap(error, taken, faults) {
        return told;
    }
    let expected = error.message().rsplit_once("expected ");
    let expected = expected.map_or("something else", |(_, what)| what);
    let span = error.span().unwrap_or_else(|| value.span());
    let value = piece_at(value.get_ref(), &span);
    let (wanted, hint) = in_plain_words(expected, heading, value);
    // What stands where a password or a key is kept may be the secret itself.
    let found = if name.starts_with("password") || name.starts_with("key") {
        String::new()
    } else {
        format!(", found {}", described(value))
    };
    let fault = faults.remark(&span, format!("{name} must be {wanted}{found}"));
    faults.refuse(table, name);
    faults.keep(match hint {
        Some(hint) => fault.hint(hint),
        None => fault,
    })
}

/// Keeps a fault about a name that is none of a few, a key that a list of values lacks, or a value that its own check
/// refused; none when it is about a type.
fn tell_name_or_gap(error: &Error, taken: &Taken<'_>, faults: &mut Faults<'_>) -> Option<Told> {
    let message = error.message();
    let key = taken.key.get_ref();
    let quoted: Vec<_> = message.split('`').skip(1).step_by(2).collect();
    let span = error.span().unwrap_or_else(|| taken.value.span());
    let fault = match quoted.split_first() {
        Some((found, known)) if message.starts_with("unknown variant") => {
            let meant = nearest_part(nearest(found, known.iter().copied()));
            let fault = faults.remark(&span, format!("{key} \"{found}\" is not known{meant}"));
            fault.allowed(known.join(", "))
        }
        Some((missing, _)) if message.starts_with("missing field") => {
            if let Some(told) = faults.refused(&span, missing) {
                return Some(told);
            }
            faults.remark(&span, format!("{key} lacks {missing}"))
        }
        _ if message.contains("expected ") => return None,
        _ => faults.remark(&span, format!("{key}: {}", message.replace('`', "'"))),
    };
    faults.refuse(&taken.table, key);
    Some(faults.keep(fault))
}

/// `; nearest: "…"` when there is a nearest spelling.
pub(super) fn nearest_part(meant: Option<&str>) -> String {
    meant.map_or_else(String::new, |meant| format!("; nearest: \"{meant}\""))
}

/// What the library expected, in words for a gardener, and what to do.
fn in_plain_words<'e>(
    expected: &'e str,
    heading: &str,
    found: &DeValue<'_>,
) -> (&'e str, Option<String>) {
    let said = |hint: &str| Some(hint.to_owned());
    match expected {
        "a string" => ("text in quotes", quotes_hint(heading, found)),
        "f64" => (
            "a number",
            said("a number stands without quotes and without a unit"),
        ),
        "i64" => (
            "a whole number",
            said("a whole number stands without quotes and without a point"),
        ),
        "a TOML datetime" => ("a date", said("a date stands without quotes: 2027-04-10")),
        "a sequence" if heading == "garden.plant.marks" => (
            "a list of texts in brackets",
            said("write marks = [\"leaning\"], with a comma between several"),
        ),
        "a sequence" if found.is_table() => (
            "a list of tables",
            Some(format!("write [[{heading}]], since there may be several")),
        ),
        "a sequence" => (
            "a list of tables",
            Some(format!(
                "put each below a heading of its own: [[{heading}]]"
            )),
        ),
        "a table" => (
            "a table",
            Some(format!(
                "put its keys below a heading of its own: [{heading}]"
            )),
        ),
        other => (other, None),
    }
}

/// How to write a bare value as text; a quantity needs its unit as well.
fn quotes_hint(heading: &str, found: &DeValue<'_>) -> Option<String> {
    let bare = match found {
        DeValue::Integer(number) => number.to_string(),
        DeValue::Float(number) => number.as_str().to_owned(),
        DeValue::Datetime(date) => date.to_string(),
        DeValue::String(_) | DeValue::Boolean(_) | DeValue::Array(_) | DeValue::Table(_) => {
            return None;
        }
    };
    let key = heading.rsplit('.').next().unwrap_or(heading);
    let unit = match key {
        "offset" | "doubt" => "K",
        "elevation" | "height" | "near_lines" => "m",
        "thickest_branch" => "cm",
        "heaviest_branch" => "kg",
        "fresh_for" => "h",
        "timeout" => "s",
        // The number may be the secret itself.
        "password_file" | "password_env" | "key_file" | "key_env" => return None,
        _ => return Some(format!("write {key} = \"{bare}\"")),
    };
    Some(format!(
        "write it with its unit, such as {key} = \"{bare} {unit}\""
    ))
}

/// The piece of a list that stands there; what is no list, or has no such piece, as it is.
fn piece_at<'v>(value: &'v DeValue<'v>, span: &Range<usize>) -> &'v DeValue<'v> {
    let DeValue::Array(pieces) = value else {
        return value;
    };
    let mut pieces = pieces.iter();
    let piece = pieces.find(|piece| piece.span() == *span);
    piece.map_or(value, Spanned::get_ref)
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
