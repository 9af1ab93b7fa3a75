//! Faults of TOML syntax in words for a gardener.
//!
//! A value is never repeated here: it may be a password that lost its quotes.

use toml::de::Error;

use super::faults::{Faults, Told};

/// How the library's message begins, what the keeper is told, and what to do.
type Words = (&'static str, &'static str, &'static str);

const WORDS: [Words; 9] = [
    (
        "string values must be quoted",
        "text stands without straight quotes",
        "text stands between straight double quotes (\"box edging\"), a date is year-month-day (2027-04-10)",
    ),
    (
        "invalid date",
        "there is no such day in the calendar",
        "a date is year-month-day: 2027-04-10",
    ),
    (
        "duplicate key",
        "this key or table stands here for the second time",
        "keep one of the two; another garden, spot, plant or cut has a heading in double brackets of its own",
    ),
    (
        "unclosed",
        "a bracket is opened and not closed",
        "a heading has as many brackets behind its name as before it: [mail], [[garden]]",
    ),
    (
        "invalid basic string",
        "a quote is opened and not closed",
        "close it on the same line, with the quote that opened it",
    ),
    (
        "invalid literal string",
        "a quote is opened and not closed",
        "close it on the same line, with the quote that opened it",
    ),
    (
        "missing escaped value",
        "a backslash stands in the text",
        "write it twice, or put the text into single quotes",
    ),
    (
        "unexpected key or value",
        "something stands behind the value",
        "one key and one value on a line; numbers with a point (38.74), not with a comma; notes behind a #",
    ),
    (
        "key with no value",
        "this line has no equals sign",
        "a line is: key = value; notes begin with #",
    ),
];

const ANY_HINT: &str = "text stands in quotes, numbers have a point, dates are year-month-day";

/// Keeps a fault of syntax.
pub(super) fn tell(error: &Error, faults: &mut Faults<'_>) -> Told {
    let message = error.message();
    let span = error.span().unwrap_or_default();
    let words = WORDS
        .iter()
        .find(|(begins, _, _)| message.starts_with(begins));
    let fault = match words {
        // An empty place for a value counts as text that lost its quotes.
        Some(("string values must be quoted", ..)) if span.is_empty() => faults
            .remark(&span, "no value stands behind the equals sign")
            .hint("write one, or put a # before the line"),
        Some((_, what, hint)) => faults.remark(&span, *what).hint(*hint),
        None => faults
            .remark(&span, format!("this line cannot be read: {message}"))
            .hint(ANY_HINT),
    };
    faults.keep(fault)
}
