//! Start, wait, stop.

use std::sync::Arc;
use std::time::Duration;

use chrono::{DateTime, TimeDelta, Utc};
use tokio::net::TcpListener;
use tokio::signal::unix::{SignalKind, signal};
use tokio::sync::{mpsc, watch};
use tokio_util::sync::CancellationToken;
use tracing::{error, info};

use super::gather::chain;
use super::thermometer::LastLooks;
use super::{DaemonError, House, Reach};
use crate::config::GardenSettings;
use crate::web::{self, Parts, Snapshot};

/// The longest sleep: after it the clock is read again, so that a step of the clock or a suspended machine costs no
/// more than that.
const NAP: Duration = Duration::from_mins(1);

/// So many posts of readings wait at most.
const POSTS_MAX: usize = 16;

/// How late a look of the schedule may come (estimate).
const STAGGER: Duration = Duration::from_mins(5);

/// Runs until `stop` is cancelled or a signal to end comes.
///
/// # Errors
/// When the store fails or the server cannot go on.
pub async fn run(
    house: House,
    listener: TcpListener,
    stop: CancellationToken,
) -> Result<(), DaemonError> {
    cancel_on_signal(&stop)?;
    let (publish, snapshot) = watch::channel(house.snapshot().await?);
    let (ask, answers) = mpsc::channel(POSTS_MAX);
    let (again, changed) = mpsc::channel(POSTS_MAX);
    let slots = house.slots();
    let (post, inbox) = mpsc::channel(POSTS_MAX);
    let site = web::site(Parts {
        snapshot,
        almanac: house.almanac(),
        answers: Some((Arc::clone(&house.links), ask)),
        readings: (!slots.is_empty()).then_some((slots, post)),
        door: house.door(),
        now: house.clock.teller(),
    });
    let posts = tokio::spawn(house.clone().take_posts(inbox, stop.clone()));
    let answers = tokio::spawn(house.clone().take_answers(answers, again, stop.clone()));
    // Whichever ends first ends the other, and neither is broken off: a mail on its way is finished.
    let cycles = async {
        let outcome = tend(&house, &publish, changed, &stop).await;
        stop.cancel();
        outcome
    };
    let server = async {
        let outcome = tokio::spawn(web::serve(listener, site, stop.clone())).await;
        stop.cancel();
        outcome.map_err(DaemonError::Task)
    };
    let (cycles, server) = tokio::join!(cycles, server);
    posts.await.map_err(DaemonError::Task)?;
    answers.await.map_err(DaemonError::Task)?;
    cycles?;
    server?;
    info!("ended");
    Ok(())
}

/// Cycles when they are due, and mails whenever some wait, until the end.
async fn tend(
    house: &House,
    publish: &watch::Sender<Arc<Snapshot>>,
    mut changed: mpsc::Receiver<String>,
    stop: &CancellationToken,
) -> Result<(), DaemonError> {
    let mut looks = LastLooks::new();
    let mut asked = LastLooks::new();
    loop {
        for garden in house.gardens() {
            if stop.is_cancelled() {
                return Ok(());
            }
            house.watch_thermometer(garden, &mut looks).await?;
            // New warnings are judged at once, with the forecasts that are known.
            let is_warned = house.watch_warnings(garden, &mut asked).await?;
            if is_warned || house.is_due(garden).await? {
                let told = house.cycle(garden).await?;
                publish.send_replace(house.snapshot().await?);
                info!(garden = garden.garden.name, told = told.len(), "cycle done");
            }
        }
        house.deliver(stop).await?;
        tokio::select! {
            () = tokio::time::sleep(NAP) => {}
            Some(name) = changed.recv() => look_again(house, publish, &name).await?,
            () = stop.cancelled() => return Ok(()),
        }
    }
}

/// Looks at a garden by the weather that is at hand: its keeper has told something.
async fn look_again(
    house: &House,
    publish: &watch::Sender<Arc<Snapshot>>,
    name: &str,
) -> Result<(), DaemonError> {
    let mut gardens = house.gardens().iter();
    if let Some(garden) = gardens.find(|garden| garden.garden.name == name) {
        let now = house.clock.now();
        let weather = house.gather(garden, now, Reach::Here).await?;
        house.judge(garden, weather, now).await?;
        publish.send_replace(house.snapshot().await?);
    }
    Ok(())
}

impl House {
    /// Whether a cycle is due: one that was missed is run once, and a source that was silent is asked again between the
    /// looks of the schedule. Looks of the schedule come up to five minutes late, so that not everybody who asks a service
    /// does so at the same minute.
    ///
    /// # Errors
    /// When the store fails.
    pub async fn is_due(&self, garden: &GardenSettings) -> Result<bool, DaemonError> {
        let name = garden.garden.name.clone();
        let last: Option<DateTime<Utc>> = self
            .keeper
            .recall(move |store| store.last_round(&name))
            .await?;
        let name = &garden.garden.name;
        let late = self.fetcher.stagger(name, STAGGER);
        let late = TimeDelta::from_std(late).unwrap_or_default();
        let due = self.due_after(garden, last);
        let due = due.map(|due| if last.is_some() { due + late } else { due });
        let again = self.silence.again_at(name);
        // Read last: a first look is due now, and that now must not lie after this one.
        let now = self.clock.now();
        Ok(due.into_iter().chain(again).any(|due| due <= now))
    }
}

fn cancel_on_signal(stop: &CancellationToken) -> Result<(), DaemonError> {
    let mut terminate = signal(SignalKind::terminate()).map_err(DaemonError::Signals)?;
    let stop = stop.clone();
    tokio::spawn(async move {
        tokio::select! {
            _ = terminate.recv() => info!("asked to end"),
            interrupted = tokio::signal::ctrl_c() => match interrupted {
                Ok(()) => info!("interrupted"),
                Err(problem) => error!(error = chain(&problem), "cannot listen for an interrupt"),
            },
            () = stop.cancelled() => {}
        }
        stop.cancel();
    });
    Ok(())
}
