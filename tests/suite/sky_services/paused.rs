//! A runtime whose clock stands still while anything happens, and what is logged on it.

use std::io::Write;
use std::sync::{Arc, Mutex};
use std::time::Duration;

use tracing_subscriber::fmt::MakeWriter;

/// So much time passes on the runtime's clock, at the most, in so much of ours: enough for bytes to cross this machine
/// before the runtime believes that nobody answers.
const STEP: Duration = Duration::from_millis(250);
const BREATH: Duration = Duration::from_millis(5);

/// Does a piece of work under a paused clock; gives what it gives.
pub(super) fn paused<T>(work: impl Future<Output = T>) -> T {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .start_paused(true)
        .build()
        .unwrap();
    runtime.block_on(async {
        tokio::spawn(pace());
        work.await
    })
}

/// Without it the clock would jump to the next limit whenever bytes are on their way: while a thread that may block is
/// at work the runtime leaves its clock alone.
async fn pace() {
    loop {
        tokio::task::spawn_blocking(|| std::thread::sleep(BREATH))
            .await
            .unwrap();
        tokio::time::sleep(STEP).await;
    }
}

/// What this thread logs.
#[derive(Clone, Default)]
pub(super) struct Log(Arc<Mutex<Vec<u8>>>);

impl Log {
    /// Takes in what this thread logs until the guard is dropped.
    pub(super) fn of_this_thread() -> (Self, tracing::subscriber::DefaultGuard) {
        // Where a single subscriber is known, the library asks the thread that comes to a line of the log first whether
        // anybody hears it, and keeps a no for all threads: so every thread has one that hears and forgets.
        let everywhere = tracing_subscriber::fmt()
            .with_writer(std::io::sink)
            .finish();
        tracing::subscriber::set_global_default(everywhere).ok();
        let log = Self::default();
        let subscriber = tracing_subscriber::fmt()
            .with_ansi(false)
            .with_writer(log.clone())
            .finish();
        (log, tracing::subscriber::set_default(subscriber))
    }

    /// The lines since the last time.
    pub(super) fn take(&self) -> String {
        let lines = std::mem::take(&mut *self.0.lock().unwrap());
        String::from_utf8(lines).unwrap()
    }
}

impl Write for Log {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.0.lock().unwrap().write(bytes)
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

impl<'a> MakeWriter<'a> for Log {
    type Writer = Self;

    fn make_writer(&'a self) -> Self {
        self.clone()
    }
}
