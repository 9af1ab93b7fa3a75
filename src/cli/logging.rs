//! The log on standard error.

use std::io::IsTerminal;

use tracing_subscriber::EnvFilter;

/// Starts the log: quiet for a command that prints its answer, one line a cycle and a mail for the daemon.
///
/// `RUST_LOG` rules over both.
pub(super) fn start(verbose: u8, json: bool, is_daemon: bool) {
    let level = match verbose + u8::from(is_daemon) {
        0 => "budward=warn",
        1 => "budward=info",
        _ => "budward=debug,info",
    };
    let filter = EnvFilter::try_from_default_env().unwrap_or_else(|_| EnvFilter::new(level));
    let log = tracing_subscriber::fmt().with_env_filter(filter).with_writer(std::io::stderr);
    // A second start, as in tests, keeps the first log.
    if json {
        log.json().try_init().ok();
    } else {
        log.with_target(false).with_ansi(std::io::stderr().is_terminal()).try_init().ok();
    }
}
