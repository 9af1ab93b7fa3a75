//! What a round tells: the matters of a look after what was said before, and the letter that has them.

use std::borrow::Cow;

use chrono::{DateTime, NaiveDate, Utc};
use tracing::warn;

use super::silence::Usable;
use super::{DaemonError, House};
use crate::config::GardenSettings;
use crate::garden::Deed;
use crate::link::Links;
use crate::locale::Locale;
use crate::look::Seen;
use crate::message::{self, Beside, Message, Picture, pictures};
use crate::notice::{
    Alarm, Cover, Desk, Matter, Moment, News, Said, SaidAfter, Spell, Waiting, WeatherNews,
    after_quiet, covers, cut_matters, frosts, most_urgent_first,
};
use crate::picture::Paper;
use crate::store::{Before, Letter, Quiet, Round, Told, Unsent, WeatherTurn};
use crate::verdict::Verdict;

impl House {
    /// What a look means to the keeper, after what was said before; `usable` is none when nobody asked for weather.
    pub(super) async fn round(
        &self,
        garden: &GardenSettings,
        (seen, usable): (&Seen, Option<&Usable>),
        deeds: &[Deed],
        now: DateTime<Utc>,
    ) -> Result<Round, DaemonError> {
        let since = seen.watches.iter().map(|watch| watch.deed.on).min();
        let since = since.unwrap_or(NaiveDate::MAX);
        let (name, readers) = (garden.garden.name.clone(), garden.garden.mail_to.clone());
        let today = garden.garden.place.zone.date(now);
        let (before, quiet, restored) = self
            .keeper
            .with(move |store| {
                store.at_one_time(|store| {
                    let before = store.before(&name, &readers, since)?;
                    Ok((before, store.quiet(&name, today)?, store.restored(&name)?))
                })
            })
            .await?;
        let moment = Moment {
            now,
            next: self
                .settings
                .schedule
                .next_after(now, &garden.garden.place.zone),
            zone: &garden.garden.place.zone,
        };
        let untold = restored.filter(|restored| restored.told_at.is_none());
        let mut whole: Option<Round> = None;
        for (readers, before) in &before {
            let table = Table {
                garden: &of_readers(garden, readers),
                deeds,
                before,
                quiet: &quiet,
                links: &self.links,
                usable,
                moment,
                is_behind: whole.is_some(),
            };
            whole = Some(match (whole, &untold) {
                (None, Some(restored)) => table.round_after(restored, seen),
                (None, None) => table.round(seen),
                // The store was restored with no mail that waits: nobody is behind.
                (Some(whole), Some(_)) => whole,
                (Some(whole), None) => whole.and(table.round(seen)),
            });
        }
        Ok(Round {
            verdicts: seen.verdicts.clone(),
            skills: seen.skills.clone(),
            watches: seen.watches.clone(),
            ..whole.unwrap_or_else(|| Round::at(now))
        })
    }
}

/// A garden as if only these read its letters.
fn of_readers<'a>(garden: &'a GardenSettings, readers: &[String]) -> Cow<'a, GardenSettings> {
    if garden.garden.mail_to == readers {
        return Cow::Borrowed(garden);
    }
    let mut group = garden.clone();
    group.garden.mail_to = readers.to_vec();
    Cow::Owned(group)
}

/// What lies on the table when a round is told.
pub(super) struct Table<'a> {
    pub(super) garden: &'a GardenSettings,
    deeds: &'a [Deed],
    before: &'a Before,
    /// Of what the keeper wants to hear nothing.
    quiet: &'a [Quiet],
    pub(super) links: &'a Links,
    usable: Option<&'a Usable>,
    pub(super) moment: Moment<'a>,
    /// Whether the others have had letters that these readers have not.
    is_behind: bool,
}

impl Table<'_> {
    fn round(&self, seen: &Seen) -> Round {
        let (garden, now) = (&self.garden.garden, self.moment.now);
        let weather = self.turn();
        let matters = self.matters(seen, weather.news);
        let goes_at = self.goes_at(&matters);
        let tells = if goes_at.is_some() {
            matters.as_slice()
        } else {
            &[]
        };
        let mut round = Round {
            told: tells.iter().filter_map(|one| self.told(one)).collect(),
            told_after: tells.iter().flat_map(said_after).collect(),
            weather,
            waiting: self.waiting(&seen.verdicts, &matters, tells),
            ..Round::at(now)
        };
        let unsent = self.before.unsent.as_slice();
        if let [only] = unsent
            && !only.is_held
            && only.says.is_same(&round.says())
        {
            // What waits to go out says all that there is to say.
            round.told.clear();
            round.told_after.clear();
            round.weather.news = None;
        } else {
            for letter in unsent {
                self.replace(letter, &mut round);
            }
            let beside = Beside {
                draw: &|matter| chart(matter, garden.locale),
                links: Some(self.links),
            };
            round.letter = goes_at.and_then(|goes_at| {
                let board = if garden.letters.round_up {
                    seen.verdicts.as_slice()
                } else {
                    &[]
                };
                let message = Message::letter(tells, board, garden, now, &beside)?;
                Some(Letter {
                    message,
                    goes_at,
                    until: tells.iter().filter_map(until).min(),
                })
            });
        }
        round
    }

    /// Takes back a letter that has not gone out. Of one whose readers are behind that is held which the round does not tell
    /// them: it may hold again, and nobody else has to hear it twice.
    fn replace(&self, letter: &Unsent, round: &mut Round) {
        let untold = letter.says.without(&round.says());
        let ids = letter.ids.iter().copied();
        if self.is_behind && !untold.is_empty() {
            round.held.extend(ids.map(|id| (id, untold.clone())));
        } else {
            round.taken_back.extend(ids);
        }
    }

    /// When the letter goes; none when all of it waits. Who is behind had a letter that was allowed to go, and what takes
    /// its place is.
    fn goes_at(&self, matters: &[Matter<'_>]) -> Option<DateTime<Utc>> {
        let goes_at = self.desk().goes(matters);
        if goes_at.is_some() || !self.is_behind || matters.is_empty() {
            return goes_at;
        }
        let times = &self.garden.garden.letters;
        Some(after_quiet(times, self.moment.zone, self.moment.now))
    }

    /// All that there is to say, the most urgent first.
    pub(super) fn matters<'a>(
        &'a self,
        seen: &'a Seen,
        weather: Option<WeatherNews>,
    ) -> Vec<Matter<'a>> {
        let Before {
            said,
            after,
            waiting,
            ..
        } = self.before;
        let said: Vec<Option<Said>> = seen
            .verdicts
            .iter()
            .map(|verdict| said.get(&verdict.cut).copied())
            .collect();
        let cuts = &self.garden.garden.cuts;
        let mut of_cuts = cut_matters((&seen.verdicts, cuts), &said, waiting, self.deeds);
        of_cuts.retain(|of| self.quiet.iter().all(|quiet| quiet.cut != of.verdict.cut));
        let covers = covers(&seen.watches, after, &self.moment);
        let frosts = frosts(&seen.watches, after);
        let frosts = (!frosts.is_empty()).then_some(Matter::Frosts(frosts));
        let weather = weather.map(|news| Matter::Weather {
            news,
            silent: self.usable.map_or(&[], |usable| &usable.silent),
        });
        let of_cuts = of_cuts.into_iter().map(Matter::Cut);
        let covers = covers.into_iter().map(Matter::Cover);
        let mut matters: Vec<Matter<'_>> =
            covers.chain(weather).chain(frosts).chain(of_cuts).collect();
        most_urgent_first(&mut matters);
        matters
    }

    /// The time without weather, before and after this look.
    pub(super) fn turn(&self) -> WeatherTurn {
        let before = self.before.spell;
        let (spell, news) = match self.usable {
            None => (before, None),
            Some(usable) if usable.is_usable => (None, Spell::end(before)),
            Some(_) => {
                let (spell, news) = Spell::go_on(before, self.moment.now);
                (Some(spell), news)
            }
        };
        WeatherTurn {
            before,
            spell,
            news,
        }
    }

    fn desk(&self) -> Desk<'_> {
        let (zone, now) = (self.moment.zone, self.moment.now);
        let today = zone.date(now);
        let letters = &self.before.letters;
        Desk {
            now,
            times: &self.garden.garden.letters,
            zone,
            last_letter: letters.first().copied(),
            letters_today: letters.iter().filter(|at| zone.date(**at) == today).count(),
        }
    }

    pub(super) fn told(&self, matter: &Matter<'_>) -> Option<Told> {
        let Matter::Cut(of) = matter else {
            return None;
        };
        let said = Said {
            news: of.news,
            at: self.moment.now,
            wished: of.verdict.wished,
        };
        let garden = &self.garden.garden;
        let line = message::subject(std::slice::from_ref(matter), garden, self.moment.now);
        Some(Told {
            cut: of.verdict.cut.clone(),
            said,
            before: of.last,
            line: line.unwrap_or_default(),
        })
    }

    fn waiting(
        &self,
        verdicts: &[Verdict],
        all: &[Matter<'_>],
        told: &[Matter<'_>],
    ) -> Vec<Waiting> {
        let untold = if told.is_empty() { all } else { &[] };
        let news = untold.iter().filter_map(|matter| match matter {
            Matter::Cut(of) => Some((of.verdict.cut.as_str(), of.news)),
            Matter::Cover(_)
            | Matter::Below { .. }
            | Matter::Frosts(_)
            | Matter::Weather { .. } => None::<(&str, News)>,
        });
        Waiting::after(&self.before.waiting, news, verdicts, self.moment.now)
    }
}

/// The picture of a matter: the risk by cutting day, where frost matters.
fn chart(matter: &Matter<'_>, locale: Locale) -> Option<Picture> {
    let Matter::Cut(of) = matter else {
        return None;
    };
    let drawn = pictures::risk(of.verdict, ("risk", Paper::Narrow), locale)?;
    match drawn.png() {
        Ok(png) => Some(Picture {
            alt: drawn.says,
            cid: format!("risk.{}", of.verdict.cut),
            png,
        }),
        Err(problem) => {
            // The words say all that it shows.
            warn!(cut = of.verdict.cut, error = %problem, "a picture was left out");
            None
        }
    }
}

/// What a matter says of cuts that were made.
pub(super) fn said_after(matter: &Matter<'_>) -> Vec<SaidAfter> {
    match matter {
        Matter::Cover(cover) => {
            let plants = cover.plants.iter();
            let said =
                plants.map(|(watch, _, _)| SaidAfter::of(watch, Alarm::CoverTonight, cover.night));
            said.collect()
        }
        Matter::Frosts(frosts) => {
            let said = frosts
                .iter()
                .map(|(watch, frost)| SaidAfter::of(watch, Alarm::FrostSeen, frost.date));
            said.collect()
        }
        Matter::Cut(_) | Matter::Below { .. } | Matter::Weather { .. } => Vec::new(),
    }
}

/// When a matter is no use any more.
fn until(matter: &Matter<'_>) -> Option<DateTime<Utc>> {
    match matter {
        Matter::Cover(Cover { until, .. }) => Some(*until),
        Matter::Cut(_) | Matter::Below { .. } | Matter::Frosts(_) | Matter::Weather { .. } => None,
    }
}
