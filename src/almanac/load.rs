//! Reads the data files: form, sources, tender classes, kinds, in this order.

use std::sync::{Arc, OnceLock};

use super::Almanac;
use super::error::AlmanacError;
use super::kinds::{Names, kind};
use super::raw::{RawFile, Text};
use super::sources::Sources;
use super::tender::{Classes, class};

/// One data file as text.
#[derive(Debug, Clone, Copy)]
pub struct DataFile<'a> {
    /// Its path, for messages.
    pub name: &'a str,
    /// Its content.
    pub text: &'a str,
}

/// A data file under `config/almanac/` as it was at build.
macro_rules! built_in {
    ($name:literal) => {
        DataFile {
            name: concat!("config/almanac/", $name),
            text: include_str!(concat!("../../config/almanac/", $name)),
        }
    };
}

/// The data files that are built in.
const FILES: [DataFile<'static>; 9] = [
    built_in!("sources.toml"),
    built_in!("tender.toml"),
    built_in!("evergreens.toml"),
    built_in!("conifers.toml"),
    built_in!("spring-shrubs.toml"),
    built_in!("summer-shrubs.toml"),
    built_in!("hydrangeas.toml"),
    built_in!("trees.toml"),
    built_in!("perennials.toml"),
];

/// The almanac that is built in; it is read once, and its copies share the kinds.
///
/// # Errors
/// When a data file is wrong; the tests make sure that none is.
pub fn embedded() -> Result<Almanac, AlmanacError> {
    static EMBEDDED: OnceLock<Result<Almanac, AlmanacError>> = OnceLock::new();
    EMBEDDED.get_or_init(|| Almanac::read(&FILES)).clone()
}

impl Almanac {
    /// The almanac of some data files; sources, tender classes and kinds may stand in any of them.
    ///
    /// # Errors
    /// At the first row that is not in order.
    pub fn read(files: &[DataFile<'_>]) -> Result<Self, AlmanacError> {
        let raw = files.iter().map(|file| Ok((file, form(file)?)));
        let raw = raw.collect::<Result<Vec<_>, AlmanacError>>()?;
        let mut sources = Sources::default();
        for (file, row) in raw.iter().flat_map(|(file, rows)| each(file, &rows.source)) {
            sources.add(file, row)?;
        }
        let mut classes = Classes::new();
        for (file, row) in raw.iter().flat_map(|(file, rows)| each(file, &rows.tender)) {
            let id = new_name(file, &row.id, |id| classes.contains_key(id))?;
            classes.insert(id.to_owned(), class(file, row, &sources)?);
        }
        let mut kinds = Vec::new();
        let mut names = Names::default();
        for (file, row) in raw.iter().flat_map(|(file, rows)| each(file, &rows.kind)) {
            names.add(file, row)?;
            kinds.push(Arc::new(kind(file, row, &sources, &classes)?));
        }
        Ok(Self { kinds })
    }
}

fn form(file: &DataFile<'_>) -> Result<RawFile, AlmanacError> {
    toml::from_str(file.text).map_err(|error| AlmanacError::form(file, &error))
}

/// Each row with its file.
fn each<'a, Row>(
    file: &'a DataFile<'a>,
    rows: &'a [Row],
) -> impl Iterator<Item = (&'a DataFile<'a>, &'a Row)> {
    rows.iter().map(move |row| (file, row))
}

/// A name, which must be in kebab-case and not yet taken.
pub(super) fn new_name<'a>(
    file: &DataFile<'_>,
    id: &'a Text,
    is_taken: impl FnOnce(&str) -> bool,
) -> Result<&'a str, AlmanacError> {
    let name = id.get_ref();
    let refuse = |what: String| Err(AlmanacError::at(file, &id.span(), "id", what));
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    if name.is_empty() || !name.chars().all(plain) {
        return refuse(format!(
            "'{name}' is no name; allowed: small letters, digits and '-'"
        ));
    }
    if is_taken(name) {
        return refuse(format!("'{name}' is there twice; each name is given once"));
    }
    Ok(name)
}
