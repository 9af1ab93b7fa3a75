//! The weather as a whole: none comes any more, or it comes again; and the same of one source.

use chrono::{DateTime, Utc};

use super::letter::{self, Mark, Part, Section};
use super::{Beside, Enclosed, Message, links, words};
use crate::garden::Garden;
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
    let title = &garden.title;
    let since = moment(garden, news.since());
    let (subject, opening) = match news {
        WeatherNews::Lost { since: at } => (
            format!(
                "{title}: no usable forecast since {}, so no go is given",
                weekday(garden, at)
            ),
            format!(
                "No usable forecast has come since {since}. Until one comes no cut is called go, and the program may \
                 fail to warn you of frost. Look at another forecast before you make a cut that was called go, and \
                 each evening while something you cut is still tender; cover it by your own judgement. You need not \
                 do anything about the program: it goes on asking, and writes once when forecasts come again."
            ),
        ),
        WeatherNews::Back { .. } => (
            format!("{title}: forecasts come again"),
            format!(
                "Usable forecasts come again; there had been none since {since}. Verdicts and warnings of frost count \
                 again. What has changed meanwhile stands in this letter or comes with the next."
            ),
        ),
    };
    let heading = "What the sources answered, for whoever looks after the program";
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
        Some(Self {
            key: format!("{}.{what}.{slug}.{spell}", garden.name),
            to: garden.mail_to.clone()?,
            subject: letter.subject.clone(),
            text: letter.plain(),
            html: letter.html(),
            enclosed: Enclosed {
                unsubscribe: links::no_letters(garden, now, beside),
                ..Enclosed::default()
            },
        })
    }
}

fn of_source(about: &SourceNews, garden: &Garden) -> Section {
    let SourceNews {
        source,
        others,
        news,
    } = about;
    let title = &garden.title;
    let name = words::source_name(source);
    let since = moment(garden, news.since());
    let (subject, opening) = match news {
        WeatherNews::Lost { since: at } => {
            let others: Vec<String> = others.iter().map(|one| words::source_name(one)).collect();
            let others = words::listed(&others).unwrap_or_else(|| "other sources".to_owned());
            (
                format!(
                    "{title}: no word from {name} since {}",
                    weekday(garden, *at)
                ),
                format!(
                    "{name} has given no forecast since {since}. {others} go on giving theirs, so verdicts and \
                     warnings count as before, on one opinion less. There is nothing to do in the garden. If it lasts \
                     for more than a week, somebody ought to see whether the service still exists. The program \
                     writes once when it is back."
                ),
            )
        }
        WeatherNews::Back { .. } => (
            format!("{title}: {name} is back"),
            format!(
                "{name} gives forecasts again; it had given none since {since}. They count again from now on."
            ),
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

fn moment(garden: &Garden, at: DateTime<Utc>) -> String {
    let local = garden.place.zone.local(at);
    local.format("%A %-d %B, %H:%M").to_string()
}

fn weekday(garden: &Garden, at: DateTime<Utc>) -> String {
    garden.place.zone.local(at).format("%A").to_string()
}
