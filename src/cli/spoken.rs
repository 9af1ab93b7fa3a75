//! The language of a garden, as `setup` and `demo` take it.

use clap::ValueEnum;

use crate::locale::Language;

/// A language by its tag.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub(super) enum Spoken {
    /// English.
    #[default]
    En,
    /// German.
    De,
}

impl Spoken {
    /// The language.
    pub(super) const fn language(self) -> Language {
        match self {
            Self::En => Language::English,
            Self::De => Language::German,
        }
    }
}
