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
            .with_ansi(is_coloured(&std::io::stderr()))
            .try_init()
            .ok();
    }
}

/// Whether a stream takes colours: only a terminal, and not where `NO_COLOR` is set (no-color.org, 2017).
#[allow(
    clippy::disallowed_methods,
    reason = "how the terminal wants its text is no setting of the program"
)]
pub(super) fn is_coloured(stream: &impl IsTerminal) -> bool {
    let unwanted = std::env::var("NO_COLOR").is_ok_and(|value| !value.is_empty());
    stream.is_terminal() && !unwanted
}
