//! From the names of sources to what is shown: publisher, title, year, and how their content is known.

use std::collections::BTreeMap;

use super::error::AlmanacError;
use super::load::{DataFile, new_name};
use super::raw::{Known, RawSource, SourceNames};

/// Words that stand for a source where there is none.
const WITHOUT: [(&str, &str); 2] = [
    ("common-practice", "common practice, no source"),
    ("estimate", "estimate"),
];

/// Every publication by its name.
#[derive(Debug, Default)]
pub(super) struct Sources {
    shown: BTreeMap<String, String>,
}

impl Sources {
    /// Adds a publication.
    pub(super) fn add(&mut self, file: &DataFile<'_>, row: &RawSource) -> Result<(), AlmanacError> {
        let cite = row.cite.get_ref().trim();
        if cite.is_empty() || cite.ends_with('.') {
            let what =
                format!("found '{cite}'; give publisher, title and year, without a full stop");
            return Err(AlmanacError::at(file, &row.cite.span(), "cite", what));
        }
        let shown = match row.known {
            Known::Read => cite.to_owned(),
            Known::Memory => format!("from memory: {cite}"),
        };
        if WITHOUT.iter().any(|(name, _)| name == row.id.get_ref()) {
            let what = format!(
                "'{}' stands for having no publication; choose another name",
                row.id.get_ref()
            );
            return Err(AlmanacError::at(file, &row.id.span(), "id", what));
        }
        let id = new_name(file, &row.id, |id| self.shown.contains_key(id))?;
        self.shown.insert(id.to_owned(), shown);
        Ok(())
    }

    /// The sources of a value as they are shown.
    pub(super) fn resolve(
        &self,
        file: &DataFile<'_>,
        key: &str,
        names: &SourceNames,
    ) -> Result<String, AlmanacError> {
        if names.get_ref().is_empty() {
            let what = format!("it is empty; allowed: names of sources, {}", without());
            return Err(AlmanacError::at(file, &names.span(), key, what));
        }
        let shown = names.get_ref().iter().map(|name| {
            self.one(name.get_ref())
                .ok_or_else(|| AlmanacError::unknown(file, name, (key, "source"), self.names()))
        });
        Ok(shown.collect::<Result<Vec<&str>, _>>()?.join("; "))
    }

    fn one(&self, name: &str) -> Option<&str> {
        let without = WITHOUT.iter().find(|(word, _)| *word == name);
        without
            .map(|(_, shown)| *shown)
            .or_else(|| self.shown.get(name).map(String::as_str))
    }

    fn names(&self) -> impl Iterator<Item = &str> {
        let without = WITHOUT.iter().map(|(word, _)| *word);
        without.chain(self.shown.keys().map(String::as_str))
    }
}

fn without() -> String {
    super::search::list(&WITHOUT.map(|(word, _)| word))
}
