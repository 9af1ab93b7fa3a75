//! The mail that says that the store was restored: what is not known any more, and how each cut stands now.

use chrono::{DateTime, Utc};

use super::letter::{self, Mark, Section};
use super::{Beside, Enclosed, Message};
use crate::garden::Garden;
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
        Some(Self {
            key: format!(
                "{}.store-restored.{}",
                garden.name,
                about.at.format("%Y%m%dT%H%M%SZ")
            ),
            to: garden.mail_to.clone()?,
            subject: letter.subject.clone(),
            text: letter.plain(),
            html: letter.html(),
            enclosed: Enclosed::default(),
        })
    }
}

fn section(about: &RestoredNews, garden: &Garden) -> Section {
    let title = &garden.title;
    let moment = |at: DateTime<Utc>| {
        let local = garden.place.zone.local(at);
        local.format("%A %-d %B %Y, %H:%M").to_string()
    };
    let gap = match about.known_until {
        Some(until) => format!(
            "What was noted, answered or told between {} and {} is not known any more: a cut or a sighting that you \
             noted in that time has to be noted again.",
            moment(until),
            moment(about.at)
        ),
        None => "What was noted, answered or told before is not known any more: cuts and sightings that you noted \
                 have to be noted again."
            .to_owned(),
    };
    Section {
        subject: format!("{title}: the program's memory was restored"),
        mark: Mark::Note,
        opening: format!(
            "The file in which the program keeps what it knows was put back to an earlier state. {gap} Nothing that may \
             have been told in that time is told again; how each cut stands now is listed below, and from now on you \
             hear of every change as before."
        ),
        parts: Vec::new(),
        small: vec![about.why.clone()],
        picture: None,
        links: Vec::new(),
    }
}
