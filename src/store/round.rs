//! The end of a round: verdicts, last words, journal and mails, kept in one transaction.

use std::collections::BTreeMap;

use chrono::{DateTime, Utc};
use rusqlite::params;
use serde::de::DeserializeOwned;

use super::columns::{At, Day, Json, Word, execute};
use super::engine::{self, Optional as _, Transaction};
use super::journal::{self, JournalLine};
use super::letters::{self, Says};
use super::{Slot, Store, StoreError, footing, looked, queue, rescue, silence, upkeep, watched};
use crate::look::Prospect;
use crate::message::Message;
use crate::notice::{Said, SaidAfter, Spell, Waiting, WeatherNews};
use crate::outlook::SourceSkill;
use crate::verdict::Verdict;
use crate::watch::Watch;

/// What one round over a garden came to.
#[derive(Debug, Clone, PartialEq)]
pub struct Round {
    /// When it was.
    pub at: DateTime<Utc>,
    /// Which look of the schedule it is; none for one between them.
    pub slot: Option<Slot>,
    /// The verdict on each planned cut, in the order of the garden file.
    pub verdicts: Vec<Verdict>,
    /// How far each source's forecasts could be trusted.
    pub skills: Vec<SourceSkill>,
    /// The cuts that are under watch.
    pub watches: Vec<Watch>,
    /// What lies before the garden, in figures to draw.
    pub prospect: Option<Prospect>,
    /// What the keeper is told of cuts to be made.
    pub told: Vec<Told>,
    /// What the keeper is told of plants that are watched after a cut.
    pub told_after: Vec<SaidAfter>,
    /// Since when there is no weather, and what the keeper is told of that.
    pub weather: WeatherTurn,
    /// The letter that tells it; none when there is nothing to tell or the garden has no address.
    pub letter: Option<Letter>,
    /// The letters to readers who have not had an earlier one, and what each says.
    pub behind: Vec<(Letter, Says)>,
    /// The mails that have not gone out and are taken back.
    pub taken_back: Vec<i64>,
    /// The mails to readers who are behind that say what is not told now, each with that: they stay, and do not go.
    pub held: Vec<(i64, Says)>,
    /// What waits for its letter.
    pub waiting: Vec<Waiting>,
    /// That the store was restored, where this round tells it: all that it tells beside counts as said.
    pub restored: Option<RestoredTold>,
    /// The plan of the year, where it goes with this round.
    pub plan: Option<Letter>,
}

/// What became of a round.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Closed {
    /// It was kept.
    Kept,
    /// Its look of the schedule was made before: nothing of it was kept.
    Before,
    /// A mail that it takes back has begun to go: nothing of it was kept, and what it tells has to be thought of anew.
    Overtaken,
}

/// The telling that the store was restored.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RestoredTold {
    /// The mail; none when the garden has no address.
    pub letter: Option<Letter>,
}

/// One piece of news.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Told {
    /// The cut's name in the garden.
    pub cut: String,
    /// What is said; from now on the last word on this cut.
    pub said: Said,
    /// The last word before.
    pub before: Option<Said>,
    /// What is said, in one line.
    pub line: String,
}

/// A letter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Letter {
    /// The mail.
    pub message: Message,
    /// When it may go out.
    pub goes_at: DateTime<Utc>,
    /// When it is no use any more; none when it does not grow old.
    pub until: Option<DateTime<Utc>>,
}

/// A time without weather, before and after a round.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct WeatherTurn {
    /// Before.
    pub before: Option<Spell>,
    /// After; none when there is weather.
    pub spell: Option<Spell>,
    /// What the keeper is told.
    pub news: Option<WeatherNews>,
}

impl Round {
    /// A round that came to nothing.
    pub fn at(at: DateTime<Utc>) -> Self {
        Self {
            at,
            slot: None,
            verdicts: Vec::new(),
            skills: Vec::new(),
            watches: Vec::new(),
            prospect: None,
            told: Vec::new(),
            told_after: Vec::new(),
            weather: WeatherTurn::default(),
            letter: None,
            behind: Vec::new(),
            taken_back: Vec::new(),
            held: Vec::new(),
            waiting: Vec::new(),
            restored: None,
            plan: None,
        }
    }

    /// This round, with what it means to readers who are behind. What they are told was said before, to the others, or is
    /// told them now: the last word on a cut is theirs.
    #[must_use]
    pub fn and(mut self, behind: Self) -> Self {
        let says = Says {
            is_behind: true,
            ..behind.says()
        };
        // The letter of the others may begin with the same news: this one has a name of its own.
        let named = |mut letter: Letter| {
            let mail = &mut letter.message;
            mail.key = format!("{}.to.{}", mail.key, mail.to);
            (letter, says)
        };
        self.behind.extend(behind.letter.map(named));
        self.taken_back.extend(behind.taken_back);
        self.held.extend(behind.held);
        self
    }

    /// What its letter says.
    pub fn says(&self) -> Says {
        let cut = |told: &Told| (told.cut.clone(), told.said.news, told.before);
        let weather = self.weather.news.map(|news| {
            let name = news.name().to_owned();
            (name, news.since(), self.weather.before)
        });
        Says {
            cuts: self.told.iter().map(cut).collect(),
            after: self.told_after.clone(),
            weather,
            is_behind: false,
        }
    }
}

impl Store {
    /// Closes a round: its verdicts replace the ones before, what is told is remembered, written into the journal
    /// and queued as one letter. All of it holds or nothing, so a stop at any point neither loses a mail nor doubles it.
    ///
    /// Gives whether it was kept.
    ///
    /// # Errors
    /// When the store cannot be written; the round before stays.
    pub fn close_round(&mut self, garden: &str, round: &Round) -> Result<Closed, StoreError> {
        // The rules of what is old speak of days: once in each is enough for any number of gardens.
        let is_tidy = self.tidied.get() == Some(round.at.date_naive());
        let closed = self.write_of(garden, "a round", |change| {
            if !letters::all_wait(change, garden, &round.taken_back)? {
                return Ok(Closed::Overtaken);
            }
            if let Some(slot) = &round.slot
                && !looked::claim(change, garden, slot, At(round.at))?
            {
                return Ok(Closed::Before);
            }
            replace_verdicts(change, garden, round)?;
            let unsaid = letters::take_back(change, garden, round.at, &round.taken_back)?;
            letters::hold(change, &round.held)?;
            if queue_letters(change, garden, round)? {
                for told in &round.told {
                    tell(change, garden, round, told)?;
                }
                watched::remember(change, garden, round.at, &round.told_after)?;
                silence::keep(change, garden, round.at, &round.weather)?;
                letters::keep_waiting(change, garden, round, &unsaid)?;
                letters::drop_overtaken(change, garden, round)?;
            }
            if let Some(restored) = &round.restored {
                rescue::told(change, garden, round.at)?;
                queue::add_beside(
                    change,
                    garden,
                    round.at,
                    ("store", restored.letter.as_ref()),
                )?;
            }
            queue::add_beside(change, garden, round.at, ("plan", round.plan.as_ref()))?;
            queue::give_up_old(change, round.at)?;
            if !is_tidy {
                upkeep::forget_old(change, round.at)?;
            }
            Ok(Closed::Kept)
        })?;
        if closed == Closed::Kept {
            self.tidied.set(Some(round.at.date_naive()));
        }
        Ok(closed)
    }

    /// The verdicts of the last round, in its order.
    ///
    /// # Errors
    /// When the store cannot be read, or a verdict cannot be understood by this program.
    pub fn verdicts(&self, garden: &str) -> Result<Vec<Verdict>, StoreError> {
        self.read("the last verdicts", |conn| {
            conn.prepare_cached("SELECT verdict FROM verdict WHERE garden = ?1 ORDER BY place")?
                .query_map([garden], |row| row.get(0).map(|Json(verdict)| verdict))?
                .collect()
        })
    }

    /// When the last round over a garden was.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn last_round(&self, garden: &str) -> Result<Option<DateTime<Utc>>, StoreError> {
        self.read("the time of the last round", |conn| {
            conn.prepare_cached("SELECT at FROM round WHERE garden = ?1")?
                .query_row([garden], |row| row.get(0).map(|At(at)| at))
                .optional()
        })
    }

    /// How far each source's forecasts could be trusted in the last round; empty when there was none.
    ///
    /// # Errors
    /// When the store cannot be read, or the figures cannot be understood by this program.
    pub fn skills(&self, garden: &str) -> Result<Vec<SourceSkill>, StoreError> {
        self.of_round("the skill of the forecasts", garden, "skills")
    }

    /// The cuts that were under watch in the last round; empty when there was none.
    ///
    /// # Errors
    /// When the store cannot be read, or a watch cannot be understood by this program.
    pub fn watches(&self, garden: &str) -> Result<Vec<Watch>, StoreError> {
        self.of_round("the cuts under watch", garden, "watches")
    }

    /// What lay before the garden in the last round; none when there was none.
    ///
    /// # Errors
    /// When the store cannot be read, or the figures cannot be understood by this program.
    pub fn prospect(&self, garden: &str) -> Result<Option<Prospect>, StoreError> {
        self.of_round("what lies before the garden", garden, "prospect")
    }

    /// What the last round left in a column; nothing when there was no round.
    fn of_round<T: DeserializeOwned + Default>(
        &self,
        what: &'static str,
        garden: &str,
        column: &str,
    ) -> Result<T, StoreError> {
        self.read(what, |conn| {
            let left = conn
                .prepare_cached(&format!("SELECT {column} FROM round WHERE garden = ?1"))?
                .query_row([garden], |row| row.get(0).map(|Json(left)| left))
                .optional()?;
            Ok(left.unwrap_or_default())
        })
    }

    /// The last word to the keeper on a cut.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub fn said(&self, garden: &str, cut: &str) -> Result<Option<Said>, StoreError> {
        self.read("the last word on a cut", |conn| {
            conn.prepare_cached("SELECT news, at, wished FROM said WHERE garden = ?1 AND cut = ?2")?
                .query_row([garden, cut], |row| {
                    let Word(news) = row.get("news")?;
                    let At(at) = row.get("at")?;
                    let wished: Option<Day> = row.get("wished")?;
                    let wished = wished.map(|Day(date)| date);
                    Ok(Said { news, at, wished })
                })
                .optional()
        })
    }
}

fn replace_verdicts(change: &Transaction<'_>, garden: &str, round: &Round) -> engine::Result<()> {
    let before = states(change, garden)?;
    execute(change, "DELETE FROM round WHERE garden = ?1", [garden])?;
    execute(
        change,
        "INSERT INTO round (garden, at, skills, watches, prospect) VALUES (?1, ?2, ?3, ?4, ?5)",
        params![
            garden,
            At(round.at),
            Json(&round.skills),
            Json(&round.watches),
            Json(&round.prospect)
        ],
    )?;
    let mut save = change.prepare_cached(
        "INSERT INTO verdict (garden, cut, place, state, verdict) VALUES (?1, ?2, ?3, ?4, ?5)",
    )?;
    for (place, verdict) in (0_i64..).zip(&round.verdicts) {
        let state = verdict.state.name();
        save.execute(params![garden, verdict.cut, place, state, Json(verdict)])?;
        let was = before.get(&verdict.cut).map(String::as_str);
        if was != Some(state) {
            let line = JournalLine {
                at: round.at,
                garden: garden.to_owned(),
                cut: verdict.cut.clone(),
                what: "verdict".to_owned(),
                detail: was.map_or_else(|| state.to_owned(), |was| format!("{was} -> {state}")),
            };
            journal::add(change, &line)?;
        }
    }
    footing::keep(change, garden, &round.verdicts)
}

/// The state of each cut after the round before.
fn states(change: &Transaction<'_>, garden: &str) -> engine::Result<BTreeMap<String, String>> {
    change
        .prepare_cached("SELECT cut, state FROM verdict WHERE garden = ?1")?
        .query_map([garden], |row| Ok((row.get(0)?, row.get(1)?)))?
        .collect()
}

/// Queues the letters of a round, and says whether any is new; without one all is.
fn queue_letters(change: &Transaction<'_>, garden: &str, round: &Round) -> engine::Result<bool> {
    let own = round.letter.as_ref().map(|letter| (letter, round.says()));
    let behind = round.behind.iter();
    let behind = behind.map(|(letter, says)| (letter, says.clone()));
    let mut is_new = own.is_none() && round.behind.is_empty();
    for (letter, says) in own.into_iter().chain(behind) {
        let place = queue::Place {
            garden,
            cut: says.cuts.first().map_or("", |(cut, _, _)| cut),
            topic: letters::TOPIC,
            goes_at: letter.goes_at,
            until: letter.until,
        };
        is_new |= queue::add(change, &place, round.at, &letter.message, &says)?;
    }
    Ok(is_new)
}

fn tell(change: &Transaction<'_>, garden: &str, round: &Round, told: &Told) -> engine::Result<()> {
    letters::keep_said(change, garden, &told.cut, &told.said)?;
    let is_mailed = round.letter.is_some() || !round.behind.is_empty();
    let detail = match (&round.restored, is_mailed) {
        (Some(_), _) => "counts as said, since the store was restored",
        (None, true) => &told.line,
        (None, false) => "nobody is mailed",
    };
    let what = line(garden, round.at, &told.cut, told.said.news.name());
    journal::add(change, &what.with(detail))
}

/// A line of the journal without its particulars.
pub(super) fn line(garden: &str, at: DateTime<Utc>, cut: &str, what: &str) -> JournalLine {
    JournalLine {
        at,
        garden: garden.to_owned(),
        cut: cut.to_owned(),
        what: what.to_owned(),
        detail: String::new(),
    }
}
