//! What there is to say about a settings file: faults that stop it, warnings that do not, each with its line.

use std::collections::BTreeSet;
use std::fmt;
use std::ops::Range;
use std::path::{Path, PathBuf};

use serde::Serialize;
use thiserror::Error;
use toml::Spanned;

/// One remark on a settings file: where, what was found, what is allowed, what to do about it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Remark {
    file: PathBuf,
    #[serde(flatten)]
    at: Option<Position>,
    what: String,
    allowed: Option<String>,
    hint: Option<String>,
}

/// Something legal in a settings file that may not be meant.
pub type Warning = Remark;

/// Every fault of a settings file, in the order of its lines.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[error("{}", .0.iter().map(Remark::to_string).collect::<Vec<_>>().join("\n"))]
pub struct ConfigErrors(pub Vec<Remark>);

/// Proof that a fault was kept; only [`Faults::keep`] gives it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Told(());

/// A checked value, or the proof that its fault was kept.
pub(super) type Checked<T> = Result<T, Told>;

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
struct Position {
    line: usize,
    column: usize,
}

/// A table of the file, as faults about it name it.
#[derive(Debug, Clone)]
pub(super) struct Table {
    /// Its heading, such as `[[garden]]`.
    pub(super) title: &'static str,
    /// Where it begins.
    pub(super) span: Range<usize>,
}

/// Where the file begins.
pub(super) const START: Range<usize> = 0..0;

/// The file that is read, and all that was remarked on it so far.
pub(super) struct Faults<'a> {
    file: &'a Path,
    text: &'a str,
    kept: Vec<Remark>,
    warnings: Vec<Remark>,
    /// Keys that stand in the file but were refused: table and key. They are wrong and not missing.
    refused: BTreeSet<(usize, String)>,
}

impl Table {
    pub(super) fn of<T>(title: &'static str, table: &Spanned<T>) -> Self {
        Self {
            title,
            span: table.span(),
        }
    }
}

impl Remark {
    /// A remark on a file as a whole.
    pub(super) fn on_file(file: &Path, what: impl Into<String>) -> Self {
        Self {
            file: file.to_owned(),
            at: None,
            what: what.into(),
            allowed: None,
            hint: None,
        }
    }

    /// The file that it is about.
    pub(super) fn file(&self) -> &Path {
        &self.file
    }

    /// Adds what may stand there.
    pub(super) fn allowed(mut self, allowed: impl Into<String>) -> Self {
        self.allowed = Some(allowed.into());
        self
    }

    /// Adds what to do.
    pub(super) fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    /// The same remark with other words.
    pub(super) fn saying(&self, what: impl Into<String>) -> Self {
        Self {
            what: what.into(),
            ..self.clone()
        }
    }
}

impl fmt::Display for Remark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.file.display())?;
        if let Some(Position { line, column }) = self.at {
            write!(f, ":{line}:{column}")?;
        }
        write!(f, ": {}", self.what)?;
        if let Some(allowed) = &self.allowed {
            write!(f, "\n  allowed: {allowed}")?;
        }
        if let Some(hint) = &self.hint {
            write!(f, "\n  hint: {hint}")?;
        }
        Ok(())
    }
}

impl<'a> Faults<'a> {
    pub(super) fn new(file: &'a Path, text: &'a str) -> Self {
        Self {
            file,
            text,
            kept: Vec::new(),
            warnings: Vec::new(),
            refused: BTreeSet::new(),
        }
    }

    /// Where the file lies.
    pub(super) fn file(&self) -> &'a Path {
        self.file
    }

    /// The whole text of the file.
    pub(super) fn text(&self) -> &'a str {
        self.text
    }

    /// A remark on a place in the file, not yet kept.
    pub(super) fn remark(&self, span: &Range<usize>, what: impl Into<String>) -> Remark {
        let before = self.text.get(..span.start).unwrap_or(self.text);
        let line_start = before.rfind('\n').map_or(0, |end| end + 1);
        let in_line = before.get(line_start..).unwrap_or_default();
        Remark {
            at: Some(Position {
                line: self.line(span),
                column: in_line.chars().count() + 1,
            }),
            ..Remark::on_file(self.file, what)
        }
    }

    /// A remark on a line and column, both counted from 1, not yet kept.
    pub(super) fn remark_at(&self, line: usize, column: usize, what: impl Into<String>) -> Remark {
        Remark {
            at: Some(Position { line, column }),
            ..Remark::on_file(self.file, what)
        }
    }

    /// The line in which a span begins.
    pub(super) fn line(&self, span: &Range<usize>) -> usize {
        let before = self.text.get(..span.start).unwrap_or(self.text);
        before.matches('\n').count() + 1
    }

    /// Keeps a fault.
    pub(super) fn keep(&mut self, fault: Remark) -> Told {
        self.kept.push(fault);
        Told(())
    }

    /// Keeps a warning.
    pub(super) fn warn(&mut self, warning: Remark) {
        self.warnings.push(warning);
    }

    /// Remembers that a key of a table was refused.
    pub(super) fn refuse(&mut self, table: &Range<usize>, key: &str) {
        self.refused.insert((table.start, key.to_owned()));
    }

    /// The proof that a key of a table stands there and was refused, if that is so.
    pub(super) fn refused(&self, table: &Range<usize>, key: &str) -> Option<Told> {
        let key = (table.start, key.to_owned());
        self.refused.contains(&key).then_some(Told(()))
    }

    /// Keeps a fault about a key that a table lacks, unless it stands there and was refused.
    pub(super) fn missing(&mut self, table: &Table, key: &str, example: &str) -> Told {
        if let Some(told) = self.refused(&table.span, key) {
            return told;
        }
        let fault = self.remark(&table.span, format!("{} lacks {key}", table.title));
        self.keep(fault.hint(format!(
            "below {} add a line such as: {example}",
            table.title
        )))
    }

    /// Keeps a fault about a table that the file lacks, unless it stands there and was refused.
    pub(super) fn lacking(&mut self, key: &str, what: &str, hint: &str) -> Told {
        if let Some(told) = self.refused(&START, key) {
            return told;
        }
        let fault = self.remark(&START, format!("the file has {what}"));
        self.keep(fault.hint(hint))
    }

    /// The settings with their warnings when there is no fault, all faults otherwise; both in line order.
    pub(super) fn close<T>(
        mut self,
        settings: Checked<T>,
    ) -> Result<(T, Vec<Warning>), ConfigErrors> {
        self.kept.sort_by_key(|fault| fault.at);
        self.warnings.sort_by_key(|warning| warning.at);
        match settings {
            Ok(settings) if self.kept.is_empty() => Ok((settings, self.warnings)),
            Ok(_) | Err(Told(())) => Err(ConfigErrors(self.kept)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_counts_characters_and_not_bytes() {
        let text = "a = 1\nüß = 2\n";
        let faults = Faults::new(Path::new("g.toml"), text);
        let two = text.find('2').unwrap();
        let remark = faults.remark(&(two..two + 1), "x");
        assert_eq!(remark.to_string(), "g.toml:2:6: x");
    }

    #[test]
    fn a_refused_key_is_not_called_missing() {
        let mut faults = Faults::new(Path::new("g.toml"), "[web]\n");
        let table = Table {
            title: "[web]",
            span: 0..5,
        };
        faults.refuse(&table.span, "listen");
        let Told(()) = faults.missing(&table, "listen", "listen = 1");
        assert!(faults.close(Ok(())).is_ok());
    }
}
