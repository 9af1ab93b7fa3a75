//! The log on standard error.

use std::io::IsTerminal;

use tracing_subscriber::EnvFilter;

/// The form of a log line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Form {
    /// For people.
    Text,
    /// For machines.
    Json,
}

/// Starts the log: at 0 what goes wrong, at 1 a line for each cycle and mail, from 2 on everything.
///
/// `RUST_LOG` rules over that.
pub(super) fn start(loudness: u8, form: Form) {
    let level = match loudness {
        0 => "budward=warn",
        1 => "budward=info",
        _ => "budward=debug,info",
    };
    let filter = EnvFilter::try_from_default_env().unwrap_or_else(|_| EnvFilter::new(level));
    let log = tracing_subscriber::fmt()
        .with_env_filter(filter)
        .with_writer(std::io::stderr);
    // A second start, as in tests, keeps the first log.
    if form == Form::Json {
        log.json().try_init().ok();
    } else {
        log.with_target(false)
            .with_ansi(std::io::stderr().is_terminal())
            .try_init()
            .ok();
    }
}
