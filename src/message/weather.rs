//! The letters about the weather as a whole: none comes any more, and it comes again.

use chrono::{DateTime, Utc};

use super::Message;
use super::letter::{Letter, Part};
use super::words;
use crate::garden::Garden;
use crate::notice::WeatherNews;

impl Message {
    /// The mail that tells that no usable weather comes, with why for each source, or that it comes again; none when
    /// the garden has no address.
    pub fn weather(
        news: WeatherNews,
        silent: &[String],
        garden: &Garden,
        now: DateTime<Utc>,
    ) -> Option<Self> {
        let local = |at: DateTime<Utc>| {
            let local = garden.place.zone.local(at);
            local.format("%A %-d %B, %H:%M").to_string()
        };
        let since = local(news.since());
        let (subject, opening) = match news {
            WeatherNews::Lost { .. } => (
                format!("No weather for {} for a day", garden.title),
                format!(
                    "Since {since} no usable forecast has come. Until one comes no cut is called go, and \
                     warnings of frost may not come: look at another forecast before you cut, and cover by your own judgement. The \
                     program goes on asking by itself and writes once when weather is back."
                ),
            ),
            WeatherNews::Back { .. } => (
                format!("Weather for {} is back", garden.title),
                format!(
                    "Usable forecasts come again; they had not since {since}. Verdicts and warnings count again."
                ),
            ),
        };
        let mut parts = vec![Part::Say(opening)];
        if !silent.is_empty() {
            parts.push(Part::List("What the sources say", silent.to_vec()));
        }
        let mut lines = vec![words::CAUTION.to_owned()];
        lines.extend(garden.remark.clone());
        lines.push(format!("{}, {}", garden.title, local(now)));
        parts.push(Part::Small(lines));
        let letter = Letter { subject, parts };
        let spell = news.since().format("%Y%m%dT%H%M%SZ");
        Some(Self {
            key: format!("{}.{}.{spell}", garden.name, news.name()),
            to: garden.mail_to.clone()?,
            subject: letter.subject.clone(),
            text: letter.plain(),
            html: letter.html(),
        })
    }
}
