//! The gardens of which something has changed since they were shown.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use chrono::{DateTime, Utc};

use crate::look::Prospect;
use crate::outlook::SourceSkill;
use crate::store::Round;
use crate::verdict::Verdict;
use crate::watch::Watch;

/// Their names, each with what its last look left, where that is at hand.
#[derive(Debug, Clone, Default)]
pub(super) struct Touched(Arc<Mutex<Noted>>);

type Noted = BTreeMap<String, Option<Left>>;

/// What a look left to show: it need not be read back from the store to which it was just written.
#[derive(Debug)]
pub(super) struct Left {
    pub(super) at: DateTime<Utc>,
    pub(super) verdicts: Vec<Verdict>,
    pub(super) skills: Vec<SourceSkill>,
    pub(super) watches: Vec<Watch>,
    pub(super) prospect: Option<Prospect>,
}

impl Left {
    /// What a round leaves.
    pub(super) fn of(round: Round) -> Self {
        Self {
            at: round.at,
            verdicts: round.verdicts,
            skills: round.skills,
            watches: round.watches,
            prospect: round.prospect,
        }
    }
}

impl Touched {
    /// Notes that something of a garden changes.
    pub(super) fn note(&self, garden: &str) {
        self.noted(|all| {
            all.entry(garden.to_owned()).or_default();
        });
    }

    /// Notes what a look at a garden left.
    pub(super) fn note_look(&self, garden: &str, left: Option<Left>) {
        self.noted(|all| {
            all.insert(garden.to_owned(), left);
        });
    }

    /// Those that were noted, and none any more.
    pub(super) fn take(&self) -> BTreeMap<String, Option<Left>> {
        self.noted(std::mem::take)
    }

    fn noted<T>(&self, work: impl FnOnce(&mut Noted) -> T) -> T {
        work(&mut self.0.lock().unwrap_or_else(PoisonError::into_inner))
    }
}
