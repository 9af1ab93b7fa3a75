//! The weather as a whole: none comes any more, or it comes again; and the same of one source.

use chrono::{DateTime, Utc};

use super::letter::{self, Mark, Part, Section};
use super::{Beside, Message, words};
use crate::garden::Garden;
use crate::locale::say;
use crate::notice::WeatherNews;

/// What there is to say of one source while others speak.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SourceNews {
    /// The source.
    pub source: String,
    /// The sources that are used beside it.
    pub others: Vec<String>,
    /// Whether it is silent or back.
    pub news: WeatherNews,
}

/// That no usable weather comes, with why for each source, or that it comes again.
pub(super) fn section(news: WeatherNews, silent: &[String], garden: &Garden) -> Section {
    let (title, locale) = (&garden.title, garden.locale);
    let since = garden.place.zone.local(news.since());
    let day = locale.weekday_name(since.date());
    let since = locale.named_moment(since);
    let (subject, opening) = match news {
        WeatherNews::Lost { .. } => (
            say!(locale, "subject-weather-lost", garden = title, day = day),
            say!(locale, "weather-lost", since = since),
        ),
        WeatherNews::Back { .. } => (
            say!(locale, "subject-weather-back", garden = title),
            say!(locale, "weather-back", since = since),
        ),
    };
    let heading = say!(locale, "weather-answers");
    let says = (!silent.is_empty()).then(|| Part::List(heading, silent.to_vec()));
    Section {
        parts: says.into_iter().collect(),
        ..note(subject, opening)
    }
}

impl Message {
    /// The mail that tells that one source has been silent for a day while others speak, or that it is back; none when
    /// the garden has no address.
    pub fn source(
        about: &SourceNews,
        garden: &Garden,
        now: DateTime<Utc>,
        beside: &Beside<'_>,
    ) -> Option<Self> {
        let spell = about.news.since().format("%Y%m%dT%H%M%SZ");
        let tidy = |c: char| if c.is_ascii_alphanumeric() { c } else { '-' };
        let slug: String = about.source.chars().map(tidy).collect();
        let what = match about.news {
            WeatherNews::Lost { .. } => "source-silent",
            WeatherNews::Back { .. } => "source-back",
        };
        let letter = letter::gather(vec![of_source(about, garden)], &[], garden, now)?;
        let key = format!("{}.{what}.{slug}.{spell}", garden.name);
        Self::of(&letter, key, garden, now, beside)
    }
}

fn of_source(about: &SourceNews, garden: &Garden) -> Section {
    let (title, locale) = (&garden.title, garden.locale);
    let name = words::source_name(&about.source, locale);
    let since = garden.place.zone.local(about.news.since());
    let day = locale.weekday_name(since.date());
    let since = locale.named_moment(since);
    let (subject, opening) = match about.news {
        WeatherNews::Lost { .. } => {
            let others = about.others.iter();
            let others: Vec<String> = others.map(|one| words::source_name(one, locale)).collect();
            let others = words::listed(&others, locale);
            let others = others.unwrap_or_else(|| say!(locale, "other-sources"));
            (
                say!(
                    locale,
                    "subject-source-silent",
                    garden = title,
                    source = &name,
                    day = day
                ),
                say!(
                    locale,
                    "source-is-silent",
                    source = &name,
                    since = since,
                    others = others
                ),
            )
        }
        WeatherNews::Back { .. } => (
            say!(
                locale,
                "subject-source-back",
                garden = title,
                source = &name
            ),
            say!(locale, "source-is-back", source = &name, since = since),
        ),
    };
    note(subject, words::capital(&opening))
}

fn note(subject: String, opening: String) -> Section {
    Section {
        subject,
        mark: Mark::Note,
        opening,
        parts: Vec::new(),
        small: Vec::new(),
        picture: None,
        links: Vec::new(),
    }
}
