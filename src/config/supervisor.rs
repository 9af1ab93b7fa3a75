//! Where the service manager listens.

use std::ffi::OsString;

/// The socket that systemd names to a service that is to tell when it is ready (sd_notify(3)); none without one.
#[allow(
    clippy::disallowed_methods,
    reason = "the settings are the one place that reads the environment"
)]
pub fn notify_socket() -> Option<OsString> {
    std::env::var_os("NOTIFY_SOCKET").filter(|socket| !socket.is_empty())
}
