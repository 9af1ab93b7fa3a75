//! The mail that says that the store was restored: what is not known any more, and how each cut stands now.

use chrono::{DateTime, Utc};

use super::letter::{self, Mark, Section};
use super::{Beside, Message};
use crate::garden::Garden;
use crate::locale::say;
use crate::notice::Matter;
use crate::verdict::Verdict;

/// What there is to say of a store that was restored.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RestoredNews {
    /// When it was.
    pub at: DateTime<Utc>,
    /// The last moment of which it still knows; none where it begins anew.
    pub known_until: Option<DateTime<Utc>>,
    /// Why, and where the file before is kept.
    pub why: String,
}

impl Message {
    /// The mail that tells that the store was restored, with what has to be done tonight and how every cut stands; none
    /// when the garden has no address.
    pub fn restored(
        about: &RestoredNews,
        tonight: &[Matter<'_>],
        board: &[Verdict],
        garden: &Garden,
        beside: &Beside<'_>,
    ) -> Option<Self> {
        let mut sections = letter::sections(tonight, garden, about.at, beside);
        sections.push(section(about, garden));
        let letter = letter::gather(sections, board, garden, about.at)?;
        let when = about.at.format("%Y%m%dT%H%M%SZ");
        let key = format!("{}.store-restored.{when}", garden.name);
        Self::of(&letter, key, garden, about.at, beside)
    }
}

fn section(about: &RestoredNews, garden: &Garden) -> Section {
    let (title, locale) = (&garden.title, garden.locale);
    let moment = |at: DateTime<Utc>| locale.moment(garden.place.zone.local(at));
    let now = moment(about.at);
    let gap = match about.known_until.map(moment) {
        Some(until) => say!(locale, "store-gap", from = until, to = now),
        None => say!(locale, "store-begins-anew"),
    };
    let why = say!(locale, "store-why", why = &about.why);
    Section {
        subject: say!(locale, "subject-store-restored", garden = title),
        mark: Mark::Note,
        opening: say!(locale, "store-restored", gap = gap),
        parts: Vec::new(),
        small: vec![why],
        picture: None,
        links: Vec::new(),
    }
}
