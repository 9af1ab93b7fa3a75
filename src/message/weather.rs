//! The weather as a whole: none comes any more, or it comes again.

use chrono::{DateTime, Utc};

use super::letter::{Mark, Part, Section};
use crate::garden::Garden;
use crate::notice::WeatherNews;

/// That no usable weather comes, with why for each source, or that it comes again.
pub(super) fn section(news: WeatherNews, silent: &[String], garden: &Garden) -> Section {
    let local = |at: DateTime<Utc>| {
        let local = garden.place.zone.local(at);
        local.format("%A %-d %B, %H:%M").to_string()
    };
    let since = local(news.since());
    let day = garden
        .place
        .zone
        .local(news.since())
        .format("%a %-d %B")
        .to_string();
    let (subject, opening) = match news {
        WeatherNews::Lost { .. } => (
            format!("No weather for {} since {day}", garden.title),
            format!(
                "Since {since} no usable forecast has come. Until one comes no cut is called go, and warnings of frost \
                 may not come: look at another forecast before you cut, and cover by your own judgement. The program \
                 goes on asking by itself and writes once when weather is back."
            ),
        ),
        WeatherNews::Back { .. } => (
            format!("Weather for {} is back", garden.title),
            format!(
                "Usable forecasts come again; they had not since {since}. Verdicts and warnings count again."
            ),
        ),
    };
    let says = (!silent.is_empty()).then(|| Part::List("What the sources say", silent.to_vec()));
    Section {
        subject,
        mark: Mark::Note,
        opening,
        parts: says.into_iter().collect(),
        small: Vec::new(),
        picture: None,
    }
}
