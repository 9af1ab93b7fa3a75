//! The almanac in German: the names of its kinds, its sentences and its words.
//!
//! In: the data files under `config/words/de/almanac/`, embedded at build. Out: the German of a kind, of a sentence,
//! of a word; none for what a keeper wrote, which stays as it is.
//! Does not choose a language, and does not compare with the English rows: the tests do.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;
use toml::Spanned;

use super::Kind;
use super::error::AlmanacError;
use super::load::{self, DataFile};
use super::search::same;

/// The German names of a kind.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct GermanNames {
    /// Everyday name.
    pub common: String,
    /// Other everyday names that a search should find.
    #[serde(default)]
    pub also: Vec<String>,
}

impl GermanNames {
    /// Every name, the everyday one first.
    pub fn all(&self) -> impl Iterator<Item = &String> {
        std::iter::once(&self.common).chain(&self.also)
    }
}

/// The German of the almanac, by what it stands for.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct German {
    /// Names by the kind's own name.
    pub names: BTreeMap<String, GermanNames>,
    /// Sentences and clauses by the English ones.
    pub texts: BTreeMap<String, String>,
    /// Words of the data files, such as diseases, by their name in kebab-case.
    pub words: BTreeMap<String, String>,
}

/// One data file as it is written.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct RawGerman {
    #[serde(default)]
    names: BTreeMap<String, Spanned<GermanNames>>,
    #[serde(default)]
    texts: BTreeMap<String, Spanned<String>>,
    #[serde(default)]
    words: BTreeMap<String, Spanned<String>>,
}

/// A data file under `config/words/de/almanac/` as it was at build.
macro_rules! built_in {
    ($name:literal) => {
        DataFile {
            name: concat!("config/words/de/almanac/", $name),
            text: include_str!(concat!("../../config/words/de/almanac/", $name)),
        }
    };
}

/// The data files that are built in.
const FILES: [DataFile<'static>; 19] = [
    built_in!("shared.toml"),
    built_in!("words.toml"),
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

/// Read once.
static GERMAN: LazyLock<Result<German, AlmanacError>> = LazyLock::new(|| German::read(&FILES));

/// What is shown before a citation that is recalled.
const FROM_MEMORY: &str = "from memory: ";

/// The German that is built in.
///
/// # Errors
/// When a data file is wrong; the almanac is not read then.
pub fn german() -> Result<&'static German, AlmanacError> {
    GERMAN.as_ref().map_err(Clone::clone)
}

/// The German names of the kind of that name; none for a keeper's own kind.
pub fn german_names(id: &str) -> Option<&'static GermanNames> {
    GERMAN.as_ref().ok()?.names.get(id)
}

impl Kind {
    /// Its German names to show; none for a keeper's own kind, nor for one that the keeper calls otherwise.
    pub fn german(&self) -> Option<&'static GermanNames> {
        let as_built = load::built_in().as_ref().ok()?.kind(&self.id)?;
        let is_as_built = as_built.common == self.common && as_built.also == self.also;
        german_names(&self.id).filter(|_| is_as_built)
    }
}

/// The German of an English sentence or clause of the almanac; none for a keeper's own.
pub fn german_text(english: &str) -> Option<&'static str> {
    let text = GERMAN.as_ref().ok()?.texts.get(english)?;
    Some(text.as_str())
}

/// The German of a word of the data files, such as `fire-blight` or `fire blight`: groups of values, events, weather,
/// diseases, wildlife, sap, tender classes.
pub fn german_word(english: &str) -> Option<&'static str> {
    let name = english.replace([' ', '_'], "-");
    let word = GERMAN.as_ref().ok()?.words.get(&name)?;
    Some(word.as_str())
}

/// A source as it is shown, with the words around its citations in German; the citations stay as they are.
pub fn german_source(shown: &str) -> String {
    let one = |part: &str| {
        let cited = part.strip_prefix(FROM_MEMORY);
        match (german_text(part), cited, german_text(FROM_MEMORY.trim())) {
            (Some(german), ..) => german.to_owned(),
            (None, Some(cited), Some(from_memory)) => format!("{from_memory} {cited}"),
            (None, ..) => part.to_owned(),
        }
    };
    shown.split("; ").map(one).collect::<Vec<_>>().join("; ")
}

impl German {
    /// The German of some data files.
    ///
    /// # Errors
    /// At the first row that is not in order: not of the form, empty, given twice, a name of two kinds, a full stop too
    /// many or too few.
    pub fn read(files: &[DataFile<'_>]) -> Result<Self, AlmanacError> {
        let mut german = Self::default();
        for file in files {
            let raw: RawGerman =
                toml::from_str(file.text).map_err(|error| AlmanacError::form(file, &error))?;
            for (id, names) in raw.names {
                german.add_names(file, id, names)?;
            }
            for (english, text) in raw.texts {
                if english.ends_with('.') != text.get_ref().ends_with('.') {
                    let what = "one of the two ends with a full stop and the other does not";
                    return Err(AlmanacError::at(
                        file,
                        &text.span(),
                        &english,
                        what.to_owned(),
                    ));
                }
                add(file, &mut german.texts, english, text)?;
            }
            for (english, word) in raw.words {
                add(file, &mut german.words, english, word)?;
            }
        }
        Ok(german)
    }

    fn add_names(
        &mut self,
        file: &DataFile<'_>,
        id: String,
        names: Spanned<GermanNames>,
    ) -> Result<(), AlmanacError> {
        let refuse = |what: String| Err(AlmanacError::at(file, &names.span(), &id, what));
        let given = names.get_ref();
        for (at, name) in given.all().enumerate() {
            if name.trim().is_empty() || name.trim() != name {
                return refuse(format!(
                    "'{name}' is no name; write one, without blanks about it"
                ));
            }
            let is_it = |other: &String| same(other, name);
            let other = self
                .names
                .iter()
                .find(|(_, names)| names.all().any(is_it))
                .map(|(owner, _)| owner);
            let twice = given.all().take(at).any(is_it).then_some(&id);
            if let Some(owner) = other.or(twice) {
                return refuse(format!("'{name}' is already a name of '{owner}'"));
            }
        }
        if self.names.contains_key(&id) {
            return refuse("it is there twice; each kind is given once".to_owned());
        }
        self.names.insert(id, names.into_inner());
        Ok(())
    }
}

/// Takes a text in, which must say something and be new.
fn add(
    file: &DataFile<'_>,
    to: &mut BTreeMap<String, String>,
    english: String,
    german: Spanned<String>,
) -> Result<(), AlmanacError> {
    let refuse = |what: &str| AlmanacError::at(file, &german.span(), &english, what.to_owned());
    if german.get_ref().trim_end_matches('.').trim().is_empty() {
        return Err(refuse("it is empty; write something"));
    }
    if to.contains_key(&english) {
        return Err(refuse("it is there twice; each text is given once"));
    }
    to.insert(english, german.into_inner());
    Ok(())
}
