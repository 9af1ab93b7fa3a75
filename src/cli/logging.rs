//! The log on standard error.

use std::io::IsTerminal;

use tracing_subscriber::filter::Targets;
use tracing_subscriber::layer::SubscriberExt;
use tracing_subscriber::util::SubscriberInitExt;
use tracing_subscriber::{fmt, registry};

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
/// `RUST_LOG` rules over that, where it can be read: levels by part of the program, such as `warn,budward::daemon=debug`.
pub(super) fn start(loudness: u8, form: Form) {
    let level = match loudness {
        0 => "budward=warn",
        1 => "budward=info",
        _ => "budward=debug,info",
    };
    #[allow(
        clippy::disallowed_methods,
        reason = "how much is logged is no setting of the program"
    )]
    let wanted = std::env::var("RUST_LOG").ok();
    let wanted = wanted.and_then(|levels| levels.parse::<Targets>().ok());
    let filter = wanted.or_else(|| level.parse().ok()).unwrap_or_default();
    let log = fmt::layer().with_writer(std::io::stderr);
    // A second start, as in tests, keeps the first log.
    if form == Form::Json {
        let log = registry().with(filter).with(log.json());
        log.try_init().ok();
    } else {
        let log = log.with_target(false);
        let log = log.with_ansi(is_coloured(&std::io::stderr()));
        registry().with(filter).with(log).try_init().ok();
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
