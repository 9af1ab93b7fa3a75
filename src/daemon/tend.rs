//! The loop: looks when they are due, the store's upkeep; and what is done when one of them fails.

use std::collections::BTreeMap;
use std::sync::Arc;
use std::time::Duration;

use chrono::{DateTime, TimeDelta, Utc};
use tokio::sync::{mpsc, watch};
use tokio::task::{JoinError, JoinSet};
use tokio_util::sync::CancellationToken;
use tokio_util::task::AbortOnDropHandle;
use tracing::info;

use super::by_place::by_place;
use super::showing::Showing;
use super::thermometer::LastLooks;
use super::{DaemonError, House, Reach};
use crate::config::GardenSettings;
use crate::store::chain;
use crate::store::{NextStep, Store};
use crate::web::{Snapshot, Weight};

/// The longest sleep: after it the clock is read again, so that a step of the clock or a suspended machine costs no
/// more than that.
const NAP: Duration = Duration::from_mins(1);

/// A garden whose look broke down is looked at again after this time at first, twice as late each time, up to the other
/// (estimates).
const AGAIN_AFTER: TimeDelta = TimeDelta::minutes(15);
const AGAIN_MAX: TimeDelta = TimeDelta::hours(6);

/// A look that is on its way when the program is asked to end gets so long; it has told nobody yet.
const LOOK_GRACE: Duration = Duration::from_secs(2);

/// So many gardens are looked at at once: enough for the processors while some wait for their weather (estimate).
const AT_ONCE: usize = 8;

/// What the troubles are about.
const STORE: &str = "store";
const CLOCK: &str = "clock";
const COPY: &str = "copy";

/// Goes round the gardens.
pub(super) struct Tender {
    house: House,
    showing: Showing,
    stop: CancellationToken,
    /// What is remembered of each garden between two looks.
    gardens: BTreeMap<String, Memory>,
}

/// What is remembered of a garden between two looks.
#[derive(Debug, Clone, Default)]
struct Memory {
    looks: LastLooks,
    asked: LastLooks,
    broken: Option<Broken>,
}

/// A look that has ended.
struct Looked {
    garden: Arc<GardenSettings>,
    /// How the one before broke down, if it did.
    broken: Option<Broken>,
    outcome: Result<(Memory, Result<Option<usize>, DaemonError>), JoinError>,
}

/// A look that broke down.
#[derive(Debug, Clone, Copy)]
struct Broken {
    again_at: DateTime<Utc>,
    pause: TimeDelta,
}

impl Tender {
    pub(super) fn new(
        house: House,
        publish: watch::Sender<Arc<Snapshot>>,
        stop: CancellationToken,
    ) -> Self {
        Self {
            house,
            showing: Showing::to(publish),
            stop,
            gardens: BTreeMap::new(),
        }
    }

    /// Goes round until the end.
    pub(super) async fn tend(
        mut self,
        mut changed: mpsc::Receiver<String>,
    ) -> Result<(), DaemonError> {
        loop {
            let round = self.round().await;
            self.bear(round)?;
            self.house.to_post.notify_one();
            self.show().await?;
            self.house.supervisor.alive();
            tokio::select! {
                () = tokio::time::sleep(NAP) => {}
                () = self.house.to_show.notified() => {}
                Some(name) = changed.recv() => {
                    let looked = self.look_again(&name).await;
                    self.bear(looked)?;
                    self.house.to_post.notify_one();
                    // Who has told something wants to see it, before the next round.
                    self.show().await?;
                }
                () = self.stop.cancelled() => return Ok(()),
            }
        }
    }

    /// One round of the loop.
    async fn round(&mut self) -> Result<(), DaemonError> {
        if !self.is_clock_good() || !self.is_store_good().await? {
            return Ok(());
        }
        let is_at_end = self.look_at_all().await?;
        self.house.shelf.clear();
        if !is_at_end {
            return Ok(());
        }
        self.house.troubles.end(STORE);
        self.keep_copy().await;
        Ok(())
    }

    /// Whether the clock can be believed. While it cannot, nothing is decided, told or deleted by age.
    fn is_clock_good(&self) -> bool {
        let now = self.house.clock.now();
        if self.house.clock.is_believable() {
            self.house.troubles.end(CLOCK);
            return true;
        }
        let says =
            format!("the clock says {now}, which cannot be: nothing is decided until it is right");
        self.house
            .troubles
            .begin(CLOCK, (Weight::Grave, &says), now);
        false
    }

    /// Whether the store can be written again, where it could not.
    async fn is_store_good(&self) -> Result<bool, DaemonError> {
        if !self.house.troubles.has(STORE) {
            return Ok(true);
        }
        self.house.keeper.with(Store::try_to_write).await?;
        self.house.troubles.end(STORE);
        Ok(true)
    }

    /// Bears what passes by itself: the state before is shown on, with what is amiss.
    fn bear(&self, outcome: Result<(), DaemonError>) -> Result<(), DaemonError> {
        match outcome {
            Err(DaemonError::Store(error))
                if matches!(error.next_step(), NextStep::Wait | NextStep::Reopen) =>
            {
                let now = self.house.clock.now();
                let says = format!("nothing is decided or sent: {}", chain(&error));
                self.house
                    .troubles
                    .begin(STORE, (Weight::Grave, &says), now);
                Ok(())
            }
            Err(DaemonError::Store(error)) if error.next_step() == NextStep::LeaveIt => Ok(()),
            other => other,
        }
    }

    /// Shows what there is; while the store cannot be read what was shown before.
    async fn show(&mut self) -> Result<(), DaemonError> {
        let Err(error) = self.showing.show(&self.house).await else {
            return Ok(());
        };
        self.bear(Err(error))?;
        self.showing.show_troubles(&self.house);
        Ok(())
    }

    /// Looks at every garden that is due, some at once: one whose weather is slow to come does not delay the rest. Whether
    /// it came to the end.
    async fn look_at_all(&mut self) -> Result<bool, DaemonError> {
        let settings = Arc::clone(&self.house.settings);
        let mut gardens = by_place(&settings.gardens).into_iter();
        let mut looks: JoinSet<Looked> = JoinSet::new();
        loop {
            while looks.len() < AT_ONCE
                && let Some(garden) = gardens.next()
            {
                self.begin(garden, &mut looks);
            }
            let ended = tokio::select! {
                ended = looks.join_next() => ended,
                () = late(&self.stop) => return Ok(false),
            };
            let Some(ended) = ended else {
                return Ok(!self.stop.is_cancelled());
            };
            self.end(ended.map_err(DaemonError::Task)?).await?;
            self.house.supervisor.alive();
        }
    }

    /// Begins to look at a garden, apart from the others: a fault of the program in it is this garden's alone.
    fn begin(&mut self, garden: &Arc<GardenSettings>, looks: &mut JoinSet<Looked>) {
        let memory = self.gardens.remove(&garden.garden.name);
        let memory = memory.unwrap_or_default();
        let now = self.house.clock.now();
        let rests = |broken: Broken| now < broken.again_at && broken.again_at - now <= broken.pause;
        let is_ours = self.house.leases.has(&garden.garden.name);
        if self.stop.is_cancelled() || !is_ours || memory.broken.is_some_and(rests) {
            self.gardens.insert(garden.garden.name.clone(), memory);
            return;
        }
        let broken = memory.broken;
        let look = look(self.house.clone(), Arc::clone(garden), memory);
        let look = AbortOnDropHandle::new(tokio::spawn(look));
        let garden = Arc::clone(garden);
        looks.spawn(async move {
            let outcome = look.await;
            Looked {
                garden,
                broken,
                outcome,
            }
        });
    }

    /// Takes in what a look brought.
    async fn end(&mut self, looked: Looked) -> Result<(), DaemonError> {
        let Looked {
            garden,
            broken,
            outcome,
        } = looked;
        let name = garden.garden.name.clone();
        match outcome {
            Ok((memory, Ok(told))) => {
                self.gardens.insert(name.clone(), memory);
                if broken.is_some() {
                    self.house.troubles.end(&format!("garden {name}"));
                }
                if let Some(told) = told {
                    // Seen on the page, and told, before the other gardens are looked at.
                    self.house.to_post.notify_one();
                    if !self.showing.is_soon() {
                        self.show().await?;
                    }
                    info!(garden = name, told, "cycle done");
                }
                Ok(())
            }
            Ok((_, Err(DaemonError::Task(problem)))) | Err(problem) if problem.is_panic() => {
                self.note_broken(&garden, broken, problem).await
            }
            Ok((memory, Err(error))) => {
                self.gardens.insert(name, memory);
                Err(error)
            }
            Err(problem) => Err(DaemonError::Task(problem)),
        }
    }

    /// Notes that a look broke down, and when it is tried again.
    async fn note_broken(
        &mut self,
        garden: &GardenSettings,
        before: Option<Broken>,
        problem: JoinError,
    ) -> Result<(), DaemonError> {
        let (name, now) = (garden.garden.name.clone(), self.house.clock.now());
        let pause = before.map_or(AGAIN_AFTER, |before| (before.pause * 2).min(AGAIN_MAX));
        let broken = Broken {
            again_at: now + pause,
            pause,
        };
        let says = format!(
            "a fault of the program ended the look at {name} ({}); it is tried again in {} minutes",
            fault(problem),
            pause.num_minutes()
        );
        self.house
            .troubles
            .begin(&format!("garden {name}"), (Weight::Slight, &says), now);
        let memory = Memory {
            broken: Some(broken),
            ..Memory::default()
        };
        self.gardens.insert(name.clone(), memory);
        let key = name.clone();
        let note = move |store: &mut Store| store.note_breakdown(&key, now, &says);
        let noted = self.house.keeper.with(note).await;
        self.house.touched.note(&name);
        noted
    }

    /// Looks at a garden by the weather that is at hand: its keeper has told something.
    async fn look_again(&mut self, name: &str) -> Result<(), DaemonError> {
        self.house.touched.note(name);
        if !self.house.leases.has(name) {
            let name = name.to_owned();
            let ask = move |store: &mut Store| store.ask_for_look(&name);
            return self.house.keeper.with(ask).await;
        }
        let settings = Arc::clone(&self.house.settings);
        let mut gardens = settings.gardens.iter();
        let Some(garden) = gardens.find(|garden| garden.garden.name == name) else {
            return Ok(());
        };
        if !self.is_clock_good() {
            return Ok(());
        }
        let (house, own) = (self.house.clone(), Arc::clone(garden));
        let look = tokio::spawn(async move {
            let now = house.clock.now();
            let weather = house.gather(&own, now, Reach::Here).await?;
            house.judge(&own, weather, now).await.map(|_| ())
        });
        match look.await {
            Ok(Err(DaemonError::Task(problem))) | Err(problem) if problem.is_panic() => {
                self.note_broken(garden, None, problem).await
            }
            other => other.map_err(DaemonError::Task)?,
        }
    }

    /// Keeps the copy of the day; without one the rest goes on.
    async fn keep_copy(&self) {
        let now = self.house.clock.now();
        let kept = self
            .house
            .keeper
            .with(move |store| store.keep_copy(now.date_naive()));
        match kept.await {
            Ok(is_new) => {
                if is_new {
                    info!("the day's copy of the store is kept");
                }
                self.house.troubles.end(COPY);
            }
            Err(error) => {
                let says = format!("no copy of the store is kept: {}", chain(&error));
                self.house
                    .troubles
                    .begin(COPY, (Weight::Slight, &says), now);
            }
        }
    }
}

/// One look at a garden, if it is due; gives how much news it brought.
async fn look(
    house: House,
    garden: Arc<GardenSettings>,
    mut memory: Memory,
) -> (Memory, Result<Option<usize>, DaemonError>) {
    let looked = async {
        house.watch_thermometer(&garden, &mut memory.looks).await?;
        // New warnings are judged at once, with the forecasts that are known.
        let is_warned = house.watch_warnings(&garden, &mut memory.asked).await?;
        if is_warned || house.is_due(&garden).await? {
            return Ok(Some(house.cycle(&garden).await?.len()));
        }
        Ok(None)
    };
    let outcome = match looked.await {
        // It was another daemon's by then: nothing of the look is kept.
        Err(DaemonError::Store(error)) if error.next_step() == NextStep::LeaveIt => Ok(None),
        other => other,
    };
    memory.broken = None;
    (memory, outcome)
}

/// A while after the end was asked for.
async fn late(stop: &CancellationToken) {
    stop.cancelled().await;
    tokio::time::sleep(LOOK_GRACE).await;
}

/// What a part of the program said when it broke down.
fn fault(problem: JoinError) -> String {
    let Ok(said) = problem.try_into_panic() else {
        return "it was broken off".to_owned();
    };
    let text = said.downcast_ref::<String>().cloned();
    let text = text.or_else(|| said.downcast_ref::<&str>().map(|text| (*text).to_owned()));
    text.unwrap_or_else(|| "it said nothing".to_owned())
}
