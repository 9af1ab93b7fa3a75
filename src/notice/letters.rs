//! When a letter goes, and with what in it.
//!
//! The gardener's week: a letter that can wait comes on one morning a week, with all that has gathered. What cannot wait
//! goes at once and takes along all that waits, so that the letter day after it may have nothing to say. How long a matter
//! can wait is its [`Haste`], from what waiting would cost: a go a third of its window, the end of a known window the last
//! weekend, a wished day itself. Nothing waits that says "stop" to who was told "go".
//!
//! Nothing is kept of a matter that waits but since when it does: each look finds anew what there is to say, so what is
//! no longer true by the letter day is not said. It is dropped, and the journal says so.
//!
//! Quiet hours hold a letter to their end, but for one that is about the night itself. A cap on the letters of a day holds
//! those that could wait.

use chrono::{DateTime, NaiveDate, Utc};
use serde::{Deserialize, Serialize};

use super::{Haste, Matter, News, passing_weather};
use crate::garden::{LetterTimes, Zone};
use crate::verdict::Verdict;

/// What is known when the matters of a look lie on the table.
#[derive(Debug, Clone, Copy)]
pub struct Desk<'a> {
    /// Now.
    pub now: DateTime<Utc>,
    /// When letters may go.
    pub times: &'a LetterTimes,
    /// The garden's clock.
    pub zone: &'a Zone,
    /// When the last letter was written; none when none ever was.
    pub last_letter: Option<DateTime<Utc>>,
    /// How many letters were written on the local day of now.
    pub letters_today: usize,
}

/// News of a cut that waits for its letter.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Waiting {
    /// The cut's name in the garden.
    pub cut: String,
    /// What there is to say of it.
    pub news: News,
    /// Since when.
    pub since: DateTime<Utc>,
}

impl Desk<'_> {
    /// When a letter with these matters goes out; none when all of them wait.
    ///
    /// The very first letter of a garden does not wait for its day: who has just set up a garden wants to see one.
    pub fn goes(&self, matters: &[Matter<'_>]) -> Option<DateTime<Utc>> {
        let is_due = matters.iter().any(|matter| {
            !self.can_wait(matter.haste()) || self.is_letter_day_of(matter.since(), self.last())
        });
        let is_round_up = self.times.round_up && self.is_letter_day_of(None, self.last());
        let is_tonight = |matter: &Matter<'_>| matter.haste() == Haste::Tonight;
        (is_due || is_round_up).then(|| {
            if matters.iter().any(is_tonight) {
                self.now
            } else {
                after_quiet(self.times, self.zone, self.now)
            }
        })
    }

    /// Whether the matter may wait for the next letter day.
    fn can_wait(&self, haste: Haste) -> bool {
        match haste {
            Haste::Tonight | Haste::Now => false,
            Haste::By(day) => self.times.day.after(self.today()) <= day,
            Haste::LetterDay => true,
        }
    }

    /// Whether the letter day has come of what has waited since then, or is new, after the last letter. A letter day that
    /// was slept through counts for what had waited for it.
    fn is_letter_day_of(&self, since: Option<DateTime<Utc>>, last: Option<NaiveDate>) -> bool {
        let (today, most) = (self.today(), self.times.most_a_day);
        let Some(last) = last else {
            return true;
        };
        let since = since.map_or(today, |since| self.zone.date(since));
        let day = self.times.day.up_to(today);
        let is_open = day > last || (day == today && self.letters_today < most);
        since <= day && is_open && self.letters_today < most
    }

    /// The local day of the last letter.
    fn last(&self) -> Option<NaiveDate> {
        self.last_letter.map(|at| self.zone.date(at))
    }

    fn today(&self) -> NaiveDate {
        self.zone.date(self.now)
    }
}

/// A moment, or the end of the quiet hours in which it lies.
pub fn after_quiet(times: &LetterTimes, zone: &Zone, now: DateTime<Utc>) -> DateTime<Utc> {
    let end = times.quiet.and_then(|quiet| quiet.end(zone.local(now)));
    end.map_or(now, |end| zone.instant(end))
}

/// Puts the most urgent first.
pub fn most_urgent_first(matters: &mut [Matter<'_>]) {
    matters.sort_by_key(|matter| {
        let order = match matter {
            Matter::Cut(cut) => cut.order(),
            Matter::Cover(_)
            | Matter::Below { .. }
            | Matter::Frosts(_)
            | Matter::Weather { .. } => (0, None),
        };
        (matter.haste(), order)
    });
}

impl Waiting {
    /// What waits after a look: news that were not told, those that waited before with the time since when, and those
    /// that the weather of the week holds up for a few days, of which there is nothing to say until it has passed.
    pub fn after<'a>(
        before: &[Self],
        untold: impl Iterator<Item = (&'a str, News)>,
        verdicts: &[Verdict],
        now: DateTime<Utc>,
    ) -> Vec<Self> {
        let of = |(cut, news): (&str, News)| Self {
            cut: cut.to_owned(),
            news,
            since: Self::since(before, cut, news).unwrap_or(now),
        };
        let held_up = before.iter().filter(|one| one.is_held_up(verdicts));
        untold.map(of).chain(held_up.cloned()).collect()
    }

    /// Whether nothing but weather that passes holds the cut.
    fn is_held_up(&self, verdicts: &[Verdict]) -> bool {
        let verdict = verdicts.iter().find(|verdict| verdict.cut == self.cut);
        let passes = verdict.is_some_and(|verdict| passing_weather(verdict).is_some());
        passes && self.news != News::PutOff
    }

    /// Since when news has waited; none when it is new.
    pub fn since(before: &[Self], cut: &str, news: News) -> Option<DateTime<Utc>> {
        let is_it = |one: &&Self| one.cut == cut && one.news == news;
        before.iter().find(is_it).map(|one| one.since)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::TimeDelta;

    const TIMES: LetterTimes = LetterTimes::USUAL;

    fn zone() -> Zone {
        Zone::named("America/New_York").unwrap()
    }

    fn local(text: &str) -> DateTime<Utc> {
        zone().instant(text.parse().unwrap())
    }

    fn desk<'a>(zone: &'a Zone, now: &str, last: Option<&str>) -> Desk<'a> {
        let last_letter = last.map(local);
        let now = local(now);
        let is_today = |at: &DateTime<Utc>| zone.date(*at) == zone.date(now);
        Desk {
            now,
            times: &TIMES,
            zone,
            last_letter,
            letters_today: usize::from(last_letter.as_ref().is_some_and(is_today)),
        }
    }

    #[test]
    fn what_can_wait_goes_on_the_first_look_of_its_letter_day() {
        let zone = zone();
        // 22 April 2027 is a Thursday.
        for (now, last, since, is_due) in [
            ("2027-04-21T14:30:00", "2027-04-19T05:30:00", None, false),
            ("2027-04-22T05:30:00", "2027-04-19T05:30:00", None, true),
            ("2027-04-22T14:30:00", "2027-04-22T05:30:00", None, false),
            // Slept through, and waited for; then new on the day after a letter day on which there was nothing to say.
            (
                "2027-04-23T14:30:00",
                "2027-04-19T05:30:00",
                Some("2027-04-20T05:30:00"),
                true,
            ),
            ("2027-04-23T14:30:00", "2027-04-19T05:30:00", None, false),
            (
                "2027-04-24T14:30:00",
                "2027-04-23T05:30:00",
                Some("2027-04-23T14:30:00"),
                false,
            ),
        ] {
            let desk = desk(&zone, now, Some(last));
            let is = desk.is_letter_day_of(since.map(local), desk.last());
            assert_eq!(is, is_due, "{now} after {last}, since {since:?}");
        }
        let first = desk(&zone, "2027-04-20T05:30:00", None);
        assert!(first.is_letter_day_of(None, None));
    }

    #[test]
    fn a_date_decides_whether_the_next_letter_day_is_early_enough() {
        let zone = zone();
        let desk = desk(&zone, "2027-04-23T05:30:00", Some("2027-04-22T05:30:00"));
        let by = |text: &str| Haste::By(text.parse().unwrap());
        assert!(desk.can_wait(by("2027-04-29")));
        assert!(!desk.can_wait(by("2027-04-28")));
        assert!(desk.can_wait(Haste::LetterDay) && !desk.can_wait(Haste::Now));
    }

    #[test]
    fn quiet_hours_hold_a_letter_to_their_end() {
        let zone = zone();
        for (now, end) in [
            ("2027-04-22T05:30:00", "2027-04-22T07:00:00"),
            ("2027-04-22T22:00:00", "2027-04-23T07:00:00"),
            ("2027-04-22T14:30:00", "2027-04-22T14:30:00"),
        ] {
            assert_eq!(after_quiet(&TIMES, &zone, local(now)), local(end));
        }
    }

    #[test]
    fn haste_is_in_the_order_of_time() {
        let by = |text: &str| Haste::By(text.parse().unwrap());
        let sorted = [
            Haste::Tonight,
            Haste::Now,
            by("2027-04-22"),
            by("2027-04-23"),
            Haste::LetterDay,
        ];
        assert!(sorted.is_sorted());
    }

    #[test]
    fn what_waits_keeps_its_first_day_until_it_is_something_else() {
        let monday = local("2027-04-19T05:30:00");
        let tuesday = monday + TimeDelta::days(1);
        let before = Waiting::after(&[], [("box", News::NowGo)].into_iter(), &[], monday);
        let same = Waiting::after(&before, [("box", News::NowGo)].into_iter(), &[], tuesday);
        assert_eq!(same[0].since, monday);
        let other = Waiting::after(&before, [("box", News::PutOff)].into_iter(), &[], tuesday);
        assert_eq!(other[0].since, tuesday);
    }
}
