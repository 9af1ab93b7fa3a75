//! The last run of each source, as it was read: the gardens of one place share it, and to read it takes longer than to see
//! that it is still the last.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

use crate::forecast::Forecast;
use crate::store::{RunsState, Store, StoreError};

/// So many are remembered: those of a few places.
const KEPT: usize = 32;

/// The runs that were asked for last.
#[derive(Debug, Clone, Default)]
pub(super) struct LastRuns(Arc<Mutex<VecDeque<Last>>>);

#[derive(Debug)]
struct Last {
    question: String,
    source: String,
    state: RunsState,
    run: Option<Forecast>,
}

impl LastRuns {
    /// The run of a source that was fetched last as the answer to one of two questions, the second of an older program.
    ///
    /// # Errors
    /// When the store cannot be read, or the run cannot be understood.
    pub(super) fn of(
        &self,
        store: &Store,
        [question, older]: [&str; 2],
        source: &str,
    ) -> Result<Option<Forecast>, StoreError> {
        if store.runs_state(older)?.runs > 0 {
            return store.latest_run([question, older], source);
        }
        let state = store.runs_state(question)?;
        let is_it = |last: &Last| last.question == question && last.source == source;
        {
            let all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
            let known = all.iter().find(|last| is_it(last) && last.state == state);
            if let Some(known) = known {
                return Ok(known.run.clone());
            }
        }
        let run = store.latest_run([question, older], source)?;
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.retain(|last| !is_it(last));
        if all.len() == KEPT {
            all.pop_front();
        }
        all.push_back(Last {
            question: question.to_owned(),
            source: source.to_owned(),
            state,
            run: run.clone(),
        });
        Ok(run)
    }
}

#[cfg(test)]
mod tests {
    use chrono::{DateTime, TimeDelta, Utc};

    use super::*;
    use crate::forecast::Hours;
    use crate::garden::Zone;
    use crate::outlook::RunDays;
    use crate::units::Celsius;

    fn run(at: DateTime<Utc>, degrees: f64) -> Forecast {
        Forecast {
            spans: Vec::new(),
            source: "invented".to_owned(),
            attribution: "invented weather".to_owned(),
            data_at: at,
            elevation: None,
            run: Hours {
                start: at,
                temperature: vec![Some(Celsius::new(degrees))],
            },
            members: Vec::new(),
            conditions: None,
        }
    }

    #[test]
    fn a_run_that_has_come_is_seen_and_one_of_an_older_program_counts() {
        let mut store = Store::in_memory().unwrap();
        let last = LastRuns::default();
        let start: DateTime<Utc> = "2027-01-01T05:00:00Z".parse().unwrap();
        let of = |store: &Store| last.of(store, ["here", "of abbey"], "invented").unwrap();
        assert_eq!(of(&store), None);
        for hour in 0..4 {
            let at = start + TimeDelta::hours(hour);
            let new = run(at, 1.5);
            let days = RunDays::of(&new, &Zone::utc());
            store.save_run("here", (&new, &days), at).unwrap();
            assert_eq!(of(&store), Some(new.clone()));
            assert_eq!(of(&store), Some(new));
        }
        let at = start + TimeDelta::hours(9);
        let older = run(at, -3.0);
        let days = RunDays::of(&older, &Zone::utc());
        store.save_run("of abbey", (&older, &days), at).unwrap();
        assert_eq!(of(&store), Some(older));
    }
}
