//! Which gardens are this daemon's, where several share a database; of a file all are.
//!
//! It says again and again that it is there, in a task of its own, so that a slow look or a slow mail server does not
//! cost it its gardens. What counts in the end is the database: whatever is written for a garden is written only while
//! the garden is held.

use std::collections::BTreeSet;
use std::sync::{Arc, PoisonError, RwLock};
use std::time::Duration;

use tokio::sync::mpsc;
use tokio::time::Instant;
use tokio_util::sync::CancellationToken;
use tracing::{info, warn};

use super::{DaemonError, House};
use crate::store::{Leased, NextStep, Store, chain};

/// So often in the time of a lease it is renewed.
const RENEWALS: u32 = 3;

/// At the end of the program giving the gardens away gets so long.
const GIVING: Duration = Duration::from_secs(2);

/// What a daemon holds.
#[derive(Debug, Clone, Default)]
pub(super) struct Leases(Arc<RwLock<Held>>);

#[derive(Debug, Default)]
enum Held {
    /// All gardens.
    #[default]
    All,
    /// These, up to a moment.
    These(BTreeSet<String>, Instant),
}

impl Leases {
    /// Of a database none until they are taken.
    pub(super) fn none_yet() -> Self {
        let none = Held::These(BTreeSet::new(), Instant::now());
        Self(Arc::new(RwLock::new(none)))
    }

    /// Whether a garden is this daemon's now.
    pub(super) fn has(&self, garden: &str) -> bool {
        match &*self.0.read().unwrap_or_else(PoisonError::into_inner) {
            Held::All => true,
            Held::These(gardens, until) => Instant::now() < *until && gardens.contains(garden),
        }
    }

    /// How many gardens of a database are this daemon's; none of a file.
    pub(super) fn count(&self) -> Option<usize> {
        match &*self.0.read().unwrap_or_else(PoisonError::into_inner) {
            Held::All => None,
            Held::These(gardens, _) => Some(gardens.len()),
        }
    }

    /// Keeps what is held from a moment on; gives whether there is any new one.
    fn keep(&self, leased: Leased, asked_at: Instant) -> bool {
        let mut held = self.0.write().unwrap_or_else(PoisonError::into_inner);
        let is_new = match &*held {
            Held::All => false,
            Held::These(before, _) => !leased.gardens.is_subset(before),
        };
        *held = Held::These(leased.gardens, asked_at + leased.lease);
        is_new
    }
}

impl House {
    /// Holds this daemon's gardens until `stop` is cancelled. Those whose keepers have told another daemon something go to
    /// `changed`, to be looked at.
    ///
    /// # Errors
    /// When the store fails for good.
    pub(super) async fn hold_gardens(
        &self,
        changed: mpsc::Sender<String>,
        stop: CancellationToken,
    ) -> Result<(), DaemonError> {
        let names: Vec<String> = self
            .gardens()
            .iter()
            .map(|garden| garden.garden.name.clone())
            .collect();
        let names: Arc<[String]> = names.into();
        if self.leases.count().is_some() {
            let holder = self.keeper.with(|store| Ok(store.holder().to_owned()));
            let holder = holder.await?;
            info!(holder, "shares the gardens of a database");
        }
        while let Some(pause) = self.renew(&names, &changed).await? {
            tokio::select! {
                () = tokio::time::sleep(pause) => {}
                () = stop.cancelled() => break,
            }
        }
        Ok(())
    }

    /// Renews what is held, and gives when to do so again; of a file never.
    async fn renew(
        &self,
        names: &Arc<[String]>,
        changed: &mpsc::Sender<String>,
    ) -> Result<Option<Duration>, DaemonError> {
        let asked_at = Instant::now();
        let names = Arc::clone(names);
        let leased = match self.keeper.with(move |store| store.lease(&names)).await {
            Ok(leased) => leased,
            Err(DaemonError::Store(error))
                if matches!(error.next_step(), NextStep::Wait | NextStep::Reopen) =>
            {
                // What is held is held to its end, and then no more.
                warn!(error = chain(&error), "the gardens could not be held on");
                return Ok(Some(Duration::from_secs(1)));
            }
            Err(other) => return Err(other),
        };
        let Some(leased) = leased else {
            return Ok(None);
        };
        let pause = leased.lease / RENEWALS;
        for garden in &leased.to_look_at {
            if changed.try_send(garden.clone()).is_err() {
                warn!(garden, "is looked at again at its next look");
            }
        }
        let held = leased.gardens.len();
        if self.leases.keep(leased, asked_at) {
            info!(held, "gardens were taken over");
            self.to_show.notify_one();
            self.to_post.notify_one();
        }
        Ok(Some(pause))
    }

    /// Gives all gardens away, so that the other daemons need not wait until their time is over. The end waits for it a short
    /// while, whatever the store is at.
    pub(super) async fn give_away(&self) {
        if self.leases.count().is_none() {
            return;
        }
        let given = tokio::time::timeout(GIVING, self.keeper.with(Store::end_lease)).await;
        if !matches!(given, Ok(Ok(()))) {
            warn!("the gardens are free when their time is over");
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[tokio::test(start_paused = true)]
    async fn what_is_held_is_held_up_to_its_end() {
        let leases = Leases::none_yet();
        assert!(!leases.has("abbey"));
        let leased = Leased {
            gardens: BTreeSet::from(["abbey".to_owned()]),
            to_look_at: BTreeSet::new(),
            lease: Duration::from_mins(1),
        };
        assert!(leases.keep(leased.clone(), Instant::now()));
        assert!(!leases.keep(leased, Instant::now()));
        assert!(leases.has("abbey") && !leases.has("mill"));
        tokio::time::advance(Duration::from_secs(61)).await;
        assert!(!leases.has("abbey"));
    }

    #[test]
    fn of_a_file_all_gardens_are_held() {
        assert!(Leases::default().has("abbey"));
        assert_eq!(Leases::default().count(), None);
    }
}
