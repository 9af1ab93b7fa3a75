//! The mail that tells the others who look after a garden that the mail server refuses one of them.

use chrono::{DateTime, NaiveDate, Utc};

use super::letter::{self, Mark, Section};
use super::{Beside, Message};
use crate::garden::Garden;
use crate::locale::say;

/// What there is to say of an address that is refused.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AddressNews {
    /// The address.
    pub address: String,
    /// The first and the last day on which it was refused.
    pub days: (NaiveDate, NaiveDate),
    /// The mail server's words.
    pub reply: String,
}

impl Message {
    /// The mail to those of a garden's readers who are not refused; none when there are none.
    pub fn refused_address(
        about: &AddressNews,
        refused: &[String],
        garden: &Garden,
        now: DateTime<Utc>,
        beside: &Beside<'_>,
    ) -> Option<Self> {
        let mut others = garden.clone();
        others.mail_to.retain(|to| !refused.contains(to));
        let key = format!(
            "{}.bad-address.{}.{}",
            garden.name, about.address, about.days.0
        );
        let letter = letter::gather(vec![section(about, garden, now)], &[], garden, now)?;
        Self::of(&letter, key, &others, now, beside)
    }
}

fn section(about: &AddressNews, garden: &Garden, now: DateTime<Utc>) -> Section {
    let (title, locale) = (&garden.title, garden.locale);
    let today = garden.place.zone.date(now);
    let (first, last) = about.days;
    Section {
        subject: say!(locale, "subject-bad-address", garden = title),
        mark: Mark::Note,
        opening: say!(
            locale,
            "bad-address",
            address = &about.address,
            first = locale.date(first, today),
            last = locale.date(last, today)
        ),
        parts: Vec::new(),
        small: vec![say!(locale, "bad-address-reply", reply = &about.reply)],
        picture: None,
        links: Vec::new(),
    }
}
