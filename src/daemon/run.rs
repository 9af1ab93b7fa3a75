//! Start, read the settings again, stop.

use tokio::net::TcpListener;
use tokio_util::sync::CancellationToken;
use tracing::info;

use super::signals::{self, Asked};
use super::works::Works;
use super::{DaemonError, House, Reread};

/// Runs until `stop` is cancelled or a signal to end comes.
///
/// # Errors
/// When the store fails for good, the server cannot go on, or a part of the program breaks down.
pub async fn run(
    mut house: House,
    listener: TcpListener,
    stop: CancellationToken,
) -> Result<(), DaemonError> {
    let asked = Asked {
        end: stop,
        ..Asked::default()
    };
    signals::listen(&asked)?;
    let mut door = listener.into_std().map_err(DaemonError::Door)?;
    let mut works = Works::start(&house, open(&door)?, &asked.end).await?;
    house.supervisor.ready();
    let outcome = loop {
        tokio::select! {
            outcome = works.until_one_ends() => break outcome,
            () = asked.end.cancelled() => break Ok(()),
            () = asked.reload.notified() => {}
        }
        house.supervisor.reloading();
        if let Some(Reread { settings, listener }) = house.read_again().await {
            works.finish_look(&asked.end).await?;
            works.end(&asked.end_now).await?;
            if let Some(listener) = listener {
                door = listener.into_std().map_err(DaemonError::Door)?;
            }
            house = house.with_settings(settings).await?;
            works = Works::start(&house, open(&door)?, &asked.end).await?;
        }
        house.supervisor.ready();
    };
    house.supervisor.stopping();
    let ended = works.end(&asked.end_now).await;
    house.give_away().await;
    asked.end_now.cancel();
    outcome.and(ended)?;
    info!("ended");
    Ok(())
}

/// The listener once more: it outlives the settings with which it is served.
fn open(door: &std::net::TcpListener) -> Result<TcpListener, DaemonError> {
    let door = door.try_clone().and_then(TcpListener::from_std);
    door.map_err(DaemonError::Door)
}
