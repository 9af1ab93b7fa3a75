//! The letter behind a mail: what it says, in which order, and its plain form.

use chrono::{DateTime, Utc};

use super::{Beside, Picture, after, cut, links, weather, words};
use crate::garden::Garden;
use crate::locale::{Locale, say};
use crate::notice::Matter;
use crate::verdict::Verdict;

/// So many matters are told in full, and so many more in short: what, why and until when. A first letter of a large garden
/// has dozens, and mail programs cut off what is too long; what is left is named (estimates).
const IN_FULL: usize = 6;
const IN_SHORT: usize = 30;

/// So many matters have a picture: a letter stays small enough for any line (estimate).
const PICTURES: usize = 1;

/// A letter as parts, from which both forms are made, so that both carry the same facts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Letter {
    pub(super) locale: Locale,
    pub(super) subject: String,
    pub(super) parts: Vec<Part>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Part {
    /// What a new matter is.
    Matter(String),
    /// The first sentences of a matter: why.
    Opening(Mark, String),
    /// A paragraph.
    Say(String),
    /// A heading with lines below it.
    List(String, Vec<String>),
    /// A heading with sentences below it, each with its source.
    Reasons(String, Vec<(String, String)>),
    /// A picture, by its name in the mail, and what it shows.
    Picture { cid: String, alt: String },
    /// What the keeper may answer, each with its link.
    Links(Vec<(String, String)>),
    /// Small print.
    Small(Vec<String>),
}

/// What a matter is like, for a colour at its side; the words say it too.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Mark {
    /// It may be done.
    Go,
    /// It must not be done.
    Stop,
    /// Its time ends.
    Ends,
    /// Anything else.
    Note,
}

/// A matter in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Section {
    /// What, in one line.
    pub(super) subject: String,
    pub(super) mark: Mark,
    /// Why, in a few sentences: whoever reads no further is right to act on it.
    pub(super) opening: String,
    /// The rest.
    pub(super) parts: Vec<Part>,
    /// What its numbers rest on.
    pub(super) small: Vec<String>,
    pub(super) picture: Option<Picture>,
    /// What the keeper may answer, each with its link.
    pub(super) links: Vec<(String, String)>,
}

/// The matters in words.
pub(super) fn sections(
    matters: &[Matter<'_>],
    garden: &Garden,
    now: DateTime<Utc>,
    beside: &Beside<'_>,
) -> Vec<Section> {
    let section = |(place, matter): (usize, &Matter<'_>)| {
        let section = match matter {
            Matter::Cut(matter) => Some(cut::section(matter, garden)),
            Matter::Cover(cover) => after::cover(cover, garden, now),
            Matter::Below { plants, shown, .. } => after::below(plants, shown),
            Matter::Frosts(frosts) => after::frosts(frosts, garden),
            Matter::Weather { news, silent, .. } => Some(weather::section(*news, silent, garden)),
        };
        section.map(|section| Section {
            picture: (place < PICTURES).then(|| (beside.draw)(matter)).flatten(),
            links: links::of_matter(matter, garden, now, beside),
            ..section
        })
    };
    matters.iter().enumerate().filter_map(section).collect()
}

/// What the first of them is, and how many more there are.
pub(super) fn subject(sections: &[Section], locale: Locale) -> Option<String> {
    let (first, others) = sections.split_first()?;
    Some(match others.len() {
        0 => first.subject.clone(),
        more => say!(
            locale,
            "subject-and-more",
            subject = &first.subject,
            more = more
        ),
    })
}

/// The letter that says them; none when there is nothing to say.
pub(super) fn gather(
    sections: Vec<Section>,
    board: &[Verdict],
    garden: &Garden,
    now: DateTime<Utc>,
) -> Option<Letter> {
    let locale = garden.locale;
    let today = garden.place.zone.date(now);
    let round_up = (!board.is_empty()).then(|| round_up(board, locale));
    let subject = subject(&sections, locale).or_else(|| {
        round_up.as_ref().map(|_| {
            let date = locale.weekday(today, today);
            say!(
                locale,
                "subject-nothing-new",
                garden = &garden.title,
                date = date
            )
        })
    })?;
    let mut small = vec![words::caution(locale)];
    for line in sections.iter().flat_map(|section| &section.small) {
        if !small.contains(line) {
            small.push(line.clone());
        }
    }
    small.extend(garden.remark.clone());
    let local = locale.moment(garden.place.zone.local(now));
    small.push(format!("{}, {local}", garden.title));
    let is_short = |place: &usize| (IN_FULL..IN_FULL + IN_SHORT).contains(place);
    let (mut more, mut short) = (Vec::new(), Vec::new());
    for (place, section) in sections.iter().enumerate().skip(1) {
        if is_short(&place) {
            short.push(format!("{}. {}", section.subject, section.opening));
        } else {
            more.push(section.subject.clone());
        }
    }
    let mut parts = Vec::new();
    for (place, section) in sections.into_iter().enumerate().take(IN_FULL) {
        if place > 0 {
            parts.push(Part::Matter(section.subject));
        }
        parts.push(Part::Opening(section.mark, section.opening));
        if place == 0 && !more.is_empty() {
            let heading = say!(locale, "letter-also");
            parts.push(Part::List(heading, std::mem::take(&mut more)));
        }
        let picture = section.picture;
        parts.extend(picture.map(|Picture { cid, alt, .. }| Part::Picture { cid, alt }));
        parts.extend(section.parts);
        if !section.links.is_empty() {
            parts.push(Part::Links(section.links));
        }
    }
    if !short.is_empty() {
        parts.push(Part::List(say!(locale, "letter-in-short"), short));
    }
    parts.extend(round_up);
    parts.push(Part::Small(small));
    Some(Letter {
        locale,
        subject,
        parts,
    })
}

/// The stand of every cut, a line each.
fn round_up(board: &[Verdict], locale: Locale) -> Part {
    let line = |verdict: &Verdict| {
        format!(
            "{}, {}: {}, {}",
            words::capital(&verdict.planting),
            words::to_do(verdict.cut_kind, locale),
            words::state(verdict.state, locale),
            words::when(verdict, locale)
        )
    };
    let lines = board.iter().map(line).collect();
    Part::List(say!(locale, "letter-all-cuts"), lines)
}

/// The letter that only shows that mails arrive.
pub(super) fn test(garden: &Garden) -> Letter {
    let locale = garden.locale;
    let text = say!(locale, "test-mail", garden = &garden.title);
    Letter {
        locale,
        subject: say!(locale, "subject-test", garden = &garden.title),
        parts: vec![Part::Opening(Mark::Note, text)],
    }
}

impl Letter {
    /// The plain text, a blank line between parts. It has its subject too: a mail is printed and passed on.
    pub(super) fn plain(&self) -> String {
        let parts = self.parts.iter().map(|part| match part {
            Part::Matter(subject) => underlined(subject),
            Part::Opening(_, text) | Part::Say(text) => text.clone(),
            Part::List(heading, lines) => listed(heading, lines),
            Part::Reasons(heading, reasons) => {
                let lines = reasons
                    .iter()
                    .map(|(reason, source)| format!("{reason} {source}"));
                listed(heading, &lines.collect::<Vec<_>>())
            }
            Part::Picture { alt, .. } => say!(self.locale, "letter-picture", shows = alt),
            Part::Links(links) => {
                let links = links.iter().map(|(does, link)| format!("{does}:\n{link}"));
                links.collect::<Vec<_>>().join("\n")
            }
            Part::Small(lines) => format!("-- \n{}", lines.join("\n")),
        });
        let parts = std::iter::once(underlined(&self.subject)).chain(parts);
        parts.collect::<Vec<_>>().join("\n\n") + "\n"
    }
}

fn listed(heading: &str, lines: &[String]) -> String {
    let lines: Vec<String> = lines.iter().map(|line| format!("- {line}")).collect();
    format!("{heading}:\n{}", lines.join("\n"))
}

fn underlined(subject: &str) -> String {
    let line = "=".repeat(subject.chars().count());
    format!("{subject}\n{line}")
}
