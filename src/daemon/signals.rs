//! What the operating system asks of the program: to end, to end at once, to read its settings again.

use std::sync::Arc;

use tokio::signal::unix::{Signal, SignalKind, signal};
use tokio::sync::Notify;
use tokio_util::sync::CancellationToken;
use tracing::info;

use super::DaemonError;

/// A file grew past a limit; where nobody listens it ends the process, otherwise the write fails. The number is that of
/// Linux and the BSDs (signal(7)).
const FILE_TOO_LARGE: i32 = 25;

/// What was asked so far.
#[derive(Debug, Clone, Default)]
pub(super) struct Asked {
    /// To end; what is on its way is finished first.
    pub(super) end: CancellationToken,
    /// To end at once.
    pub(super) end_now: CancellationToken,
    /// To read the settings again.
    pub(super) reload: Arc<Notify>,
}

/// Listens from now on.
pub(super) fn listen(asked: &Asked) -> Result<(), DaemonError> {
    let of = |kind| signal(kind).map_err(DaemonError::Signals);
    let mut terminate = of(SignalKind::terminate())?;
    let mut interrupt = of(SignalKind::interrupt())?;
    let mut hang_up = of(SignalKind::hangup())?;
    let mut too_large = of(SignalKind::from_raw(FILE_TOO_LARGE))?;
    let asked = asked.clone();
    tokio::spawn(async move {
        loop {
            tokio::select! {
                () = heard(&mut terminate) => to_end(&asked),
                () = heard(&mut interrupt) => to_end(&asked),
                () = heard(&mut hang_up) => {
                    info!("asked to read the settings again");
                    asked.reload.notify_one();
                }
                () = heard(&mut too_large) => {}
                () = asked.end_now.cancelled() => return,
            }
        }
    });
    Ok(())
}

/// Waits for a signal; for ever once there can be none.
async fn heard(signal: &mut Signal) {
    if signal.recv().await.is_none() {
        std::future::pending::<()>().await;
    }
}

fn to_end(asked: &Asked) {
    if asked.end.is_cancelled() {
        info!("asked once more to end");
        asked.end_now.cancel();
    } else {
        info!("asked to end");
        asked.end.cancel();
    }
}
