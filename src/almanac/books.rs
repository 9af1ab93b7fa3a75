//! What the rows of kinds refer to, publications and tender classes, and one reading of a file against them.
//!
//! In: values as they are written. Out: values as they are kept, or the refusal with its place.
//! Does not know what a kind needs: the modules beside it do.

use std::ops::{Range, RangeInclusive};

use toml::Spanned;

use super::error::AlmanacError;
use super::load::DataFile;
use super::raw::{RawSentence, SourceNames, Text};
use super::sources::Sources;
use super::tender::{Classes, within};
use super::{Sourced, ZoneDates};

/// Days by which an event can move from one zone to the next.
const DAYS_PER_ZONE_MAX: i32 = 14;

/// Days that a span of dates can last.
const SPAN_DAYS_MAX: i32 = 200;

/// What is shown as the source of what a garden file says without naming one.
const OWN: &str = "the garden file";

/// Publications and tender classes by their names.
#[derive(Debug, Default)]
pub(super) struct Books {
    pub(super) sources: Sources,
    pub(super) classes: Classes,
}

/// Whose file is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Origin {
    /// The program's: it names a source for each group of values.
    BuiltIn,
    /// The keeper's: it may change kinds, and its word is its own source.
    Garden,
}

/// One reading of a file.
#[derive(Debug, Clone, Copy)]
pub(super) struct Reader<'a> {
    pub(super) file: &'a DataFile<'a>,
    pub(super) books: &'a Books,
    pub(super) origin: Origin,
}

impl Reader<'_> {
    /// The refusal of something at a place.
    pub(super) fn refuse(
        &self,
        span: &Range<usize>,
        key: &str,
        what: impl Into<String>,
    ) -> AlmanacError {
        AlmanacError::at(self.file, span, key, what.into())
    }

    /// A number, if it is in the range.
    pub(super) fn within<Number: PartialOrd + std::fmt::Display + Copy>(
        &self,
        key: &str,
        value: &Spanned<Number>,
        allowed: RangeInclusive<Number>,
    ) -> Result<Number, AlmanacError> {
        within(self.file, key, value, allowed)
    }

    /// A text that is not empty.
    pub(super) fn filled(&self, key: &str, text: &Text) -> Result<String, AlmanacError> {
        filled(self.file, key, text)
    }

    /// A text that ends as a sentence.
    pub(super) fn sentence(&self, key: &str, text: &Text) -> Result<String, AlmanacError> {
        sentence(self.file, key, text)
    }

    /// The source of what stands at a place; a garden file need not name one.
    pub(super) fn source(
        &self,
        key: &str,
        names: Option<&SourceNames>,
        at: &Range<usize>,
    ) -> Result<String, AlmanacError> {
        match (names, self.origin) {
            (Some(names), _) => self.books.sources.resolve(self.file, key, names),
            (None, Origin::Garden) => Ok(OWN.to_owned()),
            (None, Origin::BuiltIn) => Err(self.refuse(at, key, "it has no source; name one")),
        }
    }

    /// A sentence with its source.
    pub(super) fn sourced(&self, row: &RawSentence) -> Result<Sourced, AlmanacError> {
        Ok(Sourced {
            text: self.sentence("text", &row.text)?,
            source: self.source("source", row.source.as_ref(), &row.text.span())?,
        })
    }

    /// Dates that a year can hold.
    pub(super) fn dates(
        &self,
        key: &str,
        dates: &Spanned<ZoneDates>,
    ) -> Result<ZoneDates, AlmanacError> {
        let ZoneDates {
            from,
            to,
            days_per_zone,
        } = *dates.get_ref();
        let span = (to.day_of_year() - from.day_of_year()).rem_euclid(365);
        if span > SPAN_DAYS_MAX {
            let what =
                format!("found {span} days from first to last; allowed: up to {SPAN_DAYS_MAX}");
            return Err(self.refuse(&dates.span(), key, what));
        }
        let moved = Spanned::new(dates.span(), days_per_zone);
        self.within(key, &moved, -DAYS_PER_ZONE_MAX..=DAYS_PER_ZONE_MAX)?;
        Ok(*dates.get_ref())
    }
}

/// A text that ends as a sentence.
pub(super) fn sentence(
    file: &DataFile<'_>,
    key: &str,
    text: &Text,
) -> Result<String, AlmanacError> {
    let sentence = filled(file, key, text)?;
    if sentence.ends_with('.') {
        return Ok(sentence);
    }
    let what = format!("'{sentence}' is no sentence; end it with a full stop");
    Err(AlmanacError::at(file, &text.span(), key, what))
}

fn filled(file: &DataFile<'_>, key: &str, text: &Text) -> Result<String, AlmanacError> {
    let trimmed = text.get_ref().trim();
    if trimmed.is_empty() {
        let what = "it is empty; write something".to_owned();
        return Err(AlmanacError::at(file, &text.span(), key, what));
    }
    Ok(trimmed.to_owned())
}
