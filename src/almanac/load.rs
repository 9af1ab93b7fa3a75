//! Reads the data files: form, sources, tender classes, kinds, in this order.

use std::sync::{Arc, OnceLock};

use super::books::{Books, Origin, Reader};
use super::error::AlmanacError;
use super::german::german;
use super::raw::{RawFile, RawKind, Text};
use super::sources::Sources;
use super::tender::{Classes, class};
use super::{Almanac, Kind};

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
const FILES: [DataFile<'static>; 18] = [
    built_in!("sources.toml"),
    built_in!("tender.toml"),
    built_in!("evergreens.toml"),
    built_in!("evergreen-hedges.toml"),
    built_in!("evergreen-bloomers.toml"),
    built_in!("conifers.toml"),
    built_in!("spring-shrubs.toml"),
    built_in!("summer-shrubs.toml"),
    built_in!("foliage-shrubs.toml"),
    built_in!("hydrangeas.toml"),
    built_in!("roses.toml"),
    built_in!("climbers.toml"),
    built_in!("subshrubs.toml"),
    built_in!("frost-tender.toml"),
    built_in!("trees.toml"),
    built_in!("perennials.toml"),
    built_in!("grasses.toml"),
    built_in!("not-to-cut.toml"),
];

/// The almanac that is built in, and its German; it is read once, and its copies share the kinds.
///
/// # Errors
/// When a data file is wrong; the tests make sure that none is.
pub fn embedded() -> Result<Almanac, AlmanacError> {
    built_in().clone()
}

/// The almanac that is built in, as it lies there.
pub(super) fn built_in() -> &'static Result<Almanac, AlmanacError> {
    static EMBEDDED: OnceLock<Result<Almanac, AlmanacError>> = OnceLock::new();
    EMBEDDED.get_or_init(|| {
        german()?;
        Almanac::read(&FILES)
    })
}

impl Almanac {
    /// An almanac of kinds that are built elsewhere, without sources and tender classes to refer to.
    pub fn of(kinds: Vec<Arc<Kind>>) -> Self {
        Self {
            kinds,
            books: Arc::default(),
        }
    }

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
        let books = Arc::new(Books { sources, classes });
        let mut almanac = Self {
            kinds: Vec::new(),
            books: Arc::clone(&books),
        };
        for (file, row) in raw.iter().flat_map(|(file, rows)| each(file, &rows.kind)) {
            let reader = Reader {
                file,
                books: &books,
                origin: Origin::BuiltIn,
            };
            let id = id_of(reader, row)?;
            new_name(file, id, |id| almanac.kind(id).is_some())?;
            let kind = almanac.kind_of(reader, row, None)?;
            almanac.kinds.push(Arc::new(kind));
        }
        Ok(almanac)
    }

    /// The almanac with a row of a garden file taken in: a new kind is added, a known one changed in what the row
    /// gives.
    ///
    /// # Errors
    /// When the row is not in order.
    pub fn with(&self, file: &DataFile<'_>, row: &RawKind) -> Result<Self, AlmanacError> {
        let reader = Reader {
            file,
            books: &self.books,
            origin: Origin::Garden,
        };
        let id = new_name(file, id_of(reader, row)?, |_| false)?;
        let base = self.kind(id).map(Arc::as_ref);
        let kind = Arc::new(self.kind_of(reader, row, base)?);
        let mut almanac = self.clone();
        match almanac.kinds.iter_mut().find(|one| one.id == kind.id) {
            Some(one) => *one = kind,
            None => almanac.kinds.push(kind),
        }
        Ok(almanac)
    }
}

/// The name of a row, which has to be there.
fn id_of<'a>(reader: Reader<'_>, row: &'a RawKind) -> Result<&'a Text, AlmanacError> {
    let id = row.id.as_ref();
    id.ok_or_else(|| reader.refuse(&(0..0), "id", "it is missing"))
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
