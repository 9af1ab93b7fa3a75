//! What the page and the status show.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::{DateTime, NaiveDate, Utc};
use schemars::JsonSchema;
use serde::Serialize;

use crate::forecast::SourceState;
use crate::garden::{Deed, Garden, PlannedCut, Uncut};
use crate::locale::Locale;
use crate::look::Prospect;
use crate::message::words;
use crate::outlook::SourceSkill;
use crate::verdict::{State, Verdict};
use crate::watch::Watch;

/// What the page and the status show: a copy that nobody else changes.
#[derive(Debug, Clone, Default, Serialize, JsonSchema)]
pub struct Snapshot {
    /// How the pages that belong to no garden are read.
    #[serde(skip)]
    pub locale: Locale,
    /// The gardens in the order of the file.
    pub gardens: Vec<Arc<GardenSnapshot>>,
    /// By when the next cycle ought to be finished; later than that something is wrong.
    pub next_by: Option<DateTime<Utc>>,
    /// What is amiss with the program itself.
    pub troubles: Vec<Trouble>,
    /// How many of the gardens are this daemon's, where several share a database.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub held: Option<usize>,
}

/// Something that is amiss with the program itself.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Trouble {
    /// With what, such as the store.
    pub about: String,
    /// In words.
    pub says: String,
    /// Since when.
    pub since: DateTime<Utc>,
    /// What it comes to.
    pub weight: Weight,
}

/// What a trouble comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Weight {
    /// Meanwhile nothing is decided and no mail goes out.
    Grave,
    /// The rest goes on.
    Slight,
}

impl Snapshot {
    /// A garden by its short name.
    pub fn garden(&self, name: &str) -> Option<&GardenSnapshot> {
        let mut gardens = self.gardens.iter();
        let found = gardens.find(|garden| garden.name == name);
        found.map(Arc::as_ref)
    }

    /// What keeps the program from its work, in words; none when nothing does.
    pub fn standstill(&self) -> Option<&str> {
        let mut grave = self.troubles.iter();
        let grave = grave.find(|trouble| trouble.weight == Weight::Grave);
        grave.map(|trouble| trouble.says.as_str())
    }
}

/// One garden as the last cycle left it.
#[derive(Debug, Clone, Default, Serialize, JsonSchema)]
pub struct GardenSnapshot {
    /// Its short name.
    pub name: String,
    /// Its name as people say it.
    pub title: String,
    /// A sentence that stands under everything about it.
    pub remark: Option<String>,
    /// How its keeper reads; the status itself is in °C, with the states in English.
    #[serde(flatten)]
    pub locale: Locale,
    /// When the last cycle ended, as a clock there showed it.
    pub looked_at: Option<String>,
    /// The same as an instant.
    pub last_round: Option<DateTime<Utc>>,
    /// When the next one is due.
    pub next_round: Option<DateTime<Utc>>,
    /// The verdicts, the nearest decision first.
    pub verdicts: Vec<Verdict>,
    /// The cuts that were made and are under watch, in the order of the file.
    pub watches: Vec<Watch>,
    /// The plantings that need no cut.
    pub uncut: Vec<Uncut>,
    /// How far each source's forecasts were trusted in the last cycle.
    pub skills: Vec<SourceSkill>,
    /// How each source of forecasts stands, in the order of the file, each in words and as data.
    pub sources: Vec<Standing>,
    /// How many mails of the last ninety days stand in each state; `unknown` ones may have arrived or not.
    pub mails: BTreeMap<&'static str, u64>,
    /// The cuts as they are planned, for their pages.
    #[serde(skip)]
    pub planned: Vec<PlannedCut>,
    /// What lies before the garden, in figures to draw.
    #[serde(skip)]
    pub prospect: Option<Prospect>,
    /// The cuts that were made, the oldest first.
    #[serde(skip)]
    pub deeds: Vec<Deed>,
    /// The last lines of the journal, newest first.
    #[serde(skip)]
    pub journal: Vec<JournalEntry>,
    /// The cuts that the keeper was told of, each with the local day of the last word.
    #[serde(skip)]
    pub told: BTreeMap<String, NaiveDate>,
}

/// How a source of forecasts stands.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub struct Standing {
    /// In words, as it stood at the last look.
    pub words: String,
    /// The same as data.
    #[serde(flatten)]
    pub state: SourceState,
}

/// A line of the journal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct JournalEntry {
    /// When it happened.
    pub at: DateTime<Utc>,
    /// The same as a clock in the garden showed it.
    pub clock: String,
    /// The cut's name in the garden, or the planting in the keeper's words.
    pub cut: String,
    /// What happened, in kebab-case.
    pub what: String,
    /// The particulars.
    pub detail: String,
}

/// What a look at a garden leaves to show.
#[derive(Debug, Clone, Default)]
pub struct Board {
    /// The verdict on each cut.
    pub verdicts: Vec<Verdict>,
    /// How far each source's forecasts can be trusted.
    pub skills: Vec<SourceSkill>,
    /// The cuts that were made and are under watch.
    pub watches: Vec<Watch>,
    /// How each source of forecasts stands.
    pub sources: Vec<SourceState>,
    /// What lies before the garden, in figures to draw.
    pub prospect: Option<Prospect>,
    /// The cuts that were made, the oldest first.
    pub deeds: Vec<Deed>,
    /// The last lines of the journal, newest first.
    pub journal: Vec<JournalEntry>,
    /// The cuts that the keeper was told of, each with the local day of the last word.
    pub told: BTreeMap<String, NaiveDate>,
    /// How many mails of the last ninety days stand in each state.
    pub mails: BTreeMap<&'static str, u64>,
}

impl GardenSnapshot {
    /// A garden with its verdicts, the nearest decision first, what they trusted, and what else there is to see.
    pub fn of(
        garden: &Garden,
        board: Board,
        last_round: Option<DateTime<Utc>>,
        next_round: Option<DateTime<Utc>>,
    ) -> Self {
        let locale = garden.locale;
        let Board {
            mut verdicts,
            skills,
            watches,
            sources,
            prospect,
            deeds,
            journal,
            told,
            mails,
        } = board;
        verdicts.sort_by_key(|verdict| (urgency(verdict.state), decided_on(verdict)));
        let zone = &garden.place.zone;
        let clock = |at: DateTime<Utc>| locale.near_moment(zone.local(at));
        let standing = |state: SourceState| Standing {
            words: last_round.map_or_else(String::new, |at| {
                words::source_state(&state, at, clock, locale)
            }),
            state,
        };
        Self {
            name: garden.name.clone(),
            title: garden.title.clone(),
            remark: garden.remark.clone(),
            locale: garden.locale,
            looked_at: last_round.map(|at| locale.weekday_moment(zone.local(at))),
            last_round,
            next_round,
            verdicts,
            watches,
            uncut: garden.uncut.clone(),
            skills,
            sources: sources.into_iter().map(standing).collect(),
            mails,
            planned: garden.cuts.clone(),
            prospect,
            deeds,
            journal,
            told,
        }
    }
}

/// The order in which states ask for a decision.
const fn urgency(state: State) -> u8 {
    match state {
        State::Closing => 0,
        State::Go => 1,
        State::CallAPro => 2,
        State::Wait => 3,
        State::Unknown => 4,
        State::Closed => 5,
    }
}

/// The day by which a decision falls; a cut without one comes last among its like.
fn decided_on(verdict: &Verdict) -> NaiveDate {
    verdict
        .closes
        .or(verdict.opens.map(|opens| opens.from))
        .unwrap_or(NaiveDate::MAX)
}
