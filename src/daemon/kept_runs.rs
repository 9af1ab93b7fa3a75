//! The forecast runs that were kept, as they were read last: the gardens of one place share them.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

use chrono::{DateTime, Utc};

use super::gather::forecast_from;
use super::keeper::or_nothing;
use crate::config::GardenSettings;
use crate::garden::Zone;
use crate::outlook::RunDays;
use crate::store::{KEPT_FOR, RunsState, Store, StoreError, older_question};

/// So many questions are remembered: those of a few places; a year of days takes a quarter of a megabyte.
const KEPT: usize = 32;

/// The days of runs, each with when it was fetched, the oldest first.
type Runs = Vec<(DateTime<Utc>, Arc<RunDays>)>;

/// The answers to the questions that were asked last.
#[derive(Debug, Clone, Default)]
pub(super) struct KeptRuns(Arc<Mutex<VecDeque<Answer>>>);

#[derive(Debug)]
struct Answer {
    question: String,
    state: RunsState,
    runs: Arc<Runs>,
}

/// The questions that the sources of a garden answer, and the one of an older program.
pub(super) fn questions(garden: &GardenSettings) -> Vec<String> {
    let place = &garden.garden.place;
    let sources = garden.forecasts.iter();
    let mut all: Vec<String> = sources
        .map(|source| forecast_from(&source.from).question(place))
        .collect();
    all.push(older_question(&garden.garden.name));
    all
}

impl KeptRuns {
    /// The days of the runs that answer some questions and were fetched in time to teach, the oldest first.
    ///
    /// # Errors
    /// When the store cannot be read.
    pub(super) fn of(
        &self,
        store: &Store,
        questions: &[String],
        (now, zone): (DateTime<Utc>, &Zone),
    ) -> Result<Vec<Arc<RunDays>>, StoreError> {
        let mut all: Runs = Vec::new();
        for question in questions {
            all.extend_from_slice(&self.answer(store, question, (now, zone))?);
        }
        all.sort_by_key(|(at, _)| *at);
        Ok(all.into_iter().map(|(_, days)| days).collect())
    }

    fn answer(
        &self,
        store: &Store,
        question: &str,
        (now, zone): (DateTime<Utc>, &Zone),
    ) -> Result<Arc<Runs>, StoreError> {
        let state = store.runs_state(question)?;
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let known = kept.iter().position(|one| one.question == question);
        let known = known.and_then(|place| kept.remove(place));
        let answer = match known {
            Some(known) if known.state == state => known,
            _ => Answer {
                question: question.to_owned(),
                state,
                runs: Arc::new(read(store, question, (now, zone))?),
            },
        };
        let runs = Arc::clone(&answer.runs);
        if kept.len() == KEPT {
            kept.pop_front();
        }
        kept.push_back(answer);
        Ok(runs)
    }
}

fn read(
    store: &Store,
    question: &str,
    (now, zone): (DateTime<Utc>, &Zone),
) -> Result<Runs, StoreError> {
    let runs = or_nothing(store.days_since(question, now - KEPT_FOR, zone))?;
    let shared = runs.into_iter().map(|(at, days)| (at, Arc::new(days)));
    Ok(shared.collect())
}
