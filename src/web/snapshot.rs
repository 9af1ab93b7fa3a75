//! What the page and the status show.

use chrono::{DateTime, NaiveDate, Utc};
use serde::Serialize;

use crate::forecast::SourceState;
use crate::garden::{Garden, Uncut};
use crate::message::words;
use crate::outlook::SourceSkill;
use crate::units::UnitSystem;
use crate::verdict::{State, Verdict};
use crate::watch::Watch;

/// What the page and the status show: a copy that nobody else changes.
#[derive(Debug, Clone, Default, Serialize)]
pub struct Snapshot {
    /// The gardens in the order of the file.
    pub gardens: Vec<GardenSnapshot>,
    /// By when the next cycle ought to be finished; later than that something is wrong.
    pub next_by: Option<DateTime<Utc>>,
}

/// One garden as the last cycle left it.
#[derive(Debug, Clone, Serialize)]
pub struct GardenSnapshot {
    /// Its short name.
    pub name: String,
    /// Its name as people say it.
    pub title: String,
    /// A sentence that stands under everything about it.
    pub remark: Option<String>,
    /// The units its keeper reads; the status itself is in °C.
    pub units: UnitSystem,
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
}

/// How a source of forecasts stands.
#[derive(Debug, Clone, Serialize)]
pub struct Standing {
    /// In words, as it stood at the last look.
    pub words: String,
    /// The same as data.
    #[serde(flatten)]
    pub state: SourceState,
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
}

impl GardenSnapshot {
    /// A garden with its verdicts, the nearest decision first, what they trusted, and what else there is to see.
    pub fn of(
        garden: &Garden,
        board: Board,
        last_round: Option<DateTime<Utc>>,
        next_round: Option<DateTime<Utc>>,
    ) -> Self {
        let Board {
            mut verdicts,
            skills,
            watches,
            sources,
        } = board;
        verdicts.sort_by_key(|verdict| (urgency(verdict.state), decided_on(verdict)));
        let zone = &garden.place.zone;
        let clock = |at: DateTime<Utc>| zone.local(at).format("%a %-d %B, %H:%M").to_string();
        let standing = |state: SourceState| Standing {
            words: last_round.map_or_else(String::new, |at| words::source_state(&state, at, clock)),
            state,
        };
        Self {
            name: garden.name.clone(),
            title: garden.title.clone(),
            remark: garden.remark.clone(),
            units: garden.units,
            looked_at: last_round
                .map(|at| zone.local(at).format("%a %-d %B %Y, %H:%M").to_string()),
            last_round,
            next_round,
            verdicts,
            watches,
            uncut: garden.uncut.clone(),
            skills,
            sources: sources.into_iter().map(standing).collect(),
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
