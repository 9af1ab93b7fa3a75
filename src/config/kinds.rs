//! Kinds of plants that a garden file adds to the almanac, or changes in single values.

use std::collections::BTreeSet;
use std::sync::Arc;

use toml::Spanned;

use super::check::Checker;
use super::faults::{START, Table, Told};
use super::shape::nearest_part;
use crate::almanac::{AlmanacError, DataFile, RawKind};

impl Checker<'_> {
    /// Takes the kinds of the file into the almanac that the gardens are checked against.
    pub(super) fn kinds(&mut self, raw: &[Spanned<RawKind>]) {
        let ids = raw.iter().filter_map(|row| row.get_ref().id());
        let ids: Vec<_> = ids.map(|id| (id.get_ref().clone(), id.span())).collect();
        self.only_once(("kind", "take one of them out"), ids.into_iter());
        let mut seen = BTreeSet::new();
        for row in raw {
            let heading = Table::of("[[kind]]", row);
            let id = row.get_ref().id();
            let id = self.required(id, &heading, "id", "id = \"boxwood\"");
            if let Ok(id) = id
                && seen.insert(id.get_ref())
            {
                self.kind_row(row.get_ref(), id.get_ref());
            }
        }
    }

    fn kind_row(&mut self, row: &RawKind, id: &str) {
        let file = DataFile {
            name: "garden file",
            text: self.faults.text(),
        };
        match self.almanac.with(&file, row) {
            Ok(almanac) => self.almanac = Arc::new(almanac),
            Err(error) => {
                self.kind_fault(&error);
                self.faults.refuse(&START, &format!("kind {id}"));
            }
        }
    }

    /// The proof that the file has a kind of that name which was refused: its plantings are not told a second time.
    pub(super) fn refused_kind(&self, id: &str) -> Option<Told> {
        self.faults.refused(&START, &format!("kind {id}"))
    }

    /// An error of the almanac in the form of the other faults: what is allowed on a line of its own.
    fn kind_fault(&mut self, error: &AlmanacError) -> Told {
        let (what, rest) = match error.what.split_once("; allowed: ") {
            Some((what, rest)) => (what, Some(rest)),
            None => (error.what.as_str(), None),
        };
        let (allowed, near) = match rest.and_then(|rest| rest.split_once("; did you mean '")) {
            Some((allowed, near)) => (Some(allowed), near.strip_suffix("'?")),
            None => (rest, None),
        };
        let text = format!("{}{}: {what}{}", error.row, error.key, nearest_part(near));
        let fault = self.faults.remark_at(error.line, error.column, text);
        self.tell(match allowed {
            Some(allowed) => fault.allowed(allowed.replace('\'', "")),
            None => fault,
        })
    }
}
