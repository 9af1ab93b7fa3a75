//! `run` keeps looking.

use std::path::{Path, PathBuf};
use std::time::Duration;

use anyhow::Context;
use tokio_util::sync::CancellationToken;

use super::FileArgs;
use super::once::tell_warnings;
use super::progress::past_years;
use crate::config::{Settings, notify_socket};
use crate::daemon::{Clock, House, Source, Supervisor, run as run_daemon, store_at};
use crate::store::{Place, Store, StoreError, StoreLock};
use crate::web;

/// A daemon that is just ending may still have its lock for a moment.
const PATIENCE: Duration = Duration::from_millis(250);
const TRIES: u32 = 4;

pub(super) async fn run(args: &FileArgs) -> anyhow::Result<()> {
    let mut settings = Settings::read(&args.config)?;
    let at = store_at(&settings.store);
    // Before anything else: whoever has no lock touches nothing. Of a database the daemons share the gardens.
    let lock = match at.file() {
        Some(file) => Some(lock(file).await?),
        None => None,
    };
    let clock = Clock::system();
    let now = clock.now();
    tell_warnings(&mut settings, now)?;
    let gardens: Vec<String> = settings
        .gardens
        .iter()
        .map(|garden| garden.garden.name.clone())
        .collect();
    let place = Place {
        at: now,
        gardens: &gardens,
    };
    let store = match &lock {
        Some(lock) => Store::open_or_rescue(lock, &place)?,
        None => Store::open_at(&at)?,
    };
    // Held until the process is gone: a piece of work that hangs may still have the file when this ends.
    std::mem::forget(lock);
    let mut house = House::open(settings, store, clock).context("cannot start")?;
    house.progress = past_years();
    house.source = Some(source(args.config.clone()));
    if let Some(socket) = notify_socket() {
        house.supervisor = Supervisor::on(&socket).context("cannot reach the service manager")?;
    }
    let listener = web::listen(house.settings.web.listen).await?;
    tracing::info!(address = %listener.local_addr()?, "serving the page");
    Ok(run_daemon(house, listener, CancellationToken::new()).await?)
}

/// The lock of a store in a file.
async fn lock(file: &Path) -> Result<StoreLock, StoreError> {
    for _ in 1..TRIES {
        match StoreLock::take(file) {
            Err(StoreError::Held { .. }) => tokio::time::sleep(PATIENCE).await,
            taken => return taken,
        }
    }
    StoreLock::take(file)
}

/// Reads the garden file again.
fn source(config: PathBuf) -> Source {
    Source::of(move || {
        let mut settings = Settings::read(&config).map_err(|faults| faults.to_string())?;
        let now = Clock::system().now();
        tell_warnings(&mut settings, now).map_err(|faults| faults.to_string())?;
        Ok(settings)
    })
}
