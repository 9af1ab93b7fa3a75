//! What a service manager is told: the datagrams of systemd's sd_notify(3), to the socket that it names.

use std::ffi::OsStr;
use std::io;
use std::os::unix::ffi::OsStrExt;
use std::os::unix::net::{SocketAddr, UnixDatagram};
use std::sync::Arc;

use tracing::debug;

/// The service manager, if there is one that listens.
#[derive(Debug, Clone, Default)]
pub struct Supervisor(Option<Arc<(UnixDatagram, SocketAddr)>>);

impl Supervisor {
    /// The one that listens on a socket: a path, or a name that begins with `@` and is not in the file system.
    ///
    /// # Errors
    /// When there can be no such socket.
    pub fn on(socket: &OsStr) -> io::Result<Self> {
        let address = address(socket)?;
        let from = UnixDatagram::unbound()?;
        // A service manager that does not read must not hold anything up.
        from.set_nonblocking(true)?;
        Ok(Self(Some(Arc::new((from, address)))))
    }

    /// The program is ready, or has its settings again.
    pub(super) fn ready(&self) {
        self.tell("READY=1");
    }

    /// The settings are being read again.
    pub(super) fn reloading(&self) {
        self.tell("RELOADING=1");
    }

    /// The program is about to end.
    pub(super) fn stopping(&self) {
        self.tell("STOPPING=1");
    }

    /// The loop has come one step further.
    pub(super) fn alive(&self) {
        self.tell("WATCHDOG=1");
    }

    fn tell(&self, what: &str) {
        let Some((from, to)) = self.0.as_deref() else {
            return;
        };
        if let Err(problem) = from.send_to_addr(what.as_bytes(), to) {
            debug!(what, error = %problem, "the service manager does not hear");
        }
    }
}

#[cfg(target_os = "linux")]
fn address(socket: &OsStr) -> io::Result<SocketAddr> {
    use std::os::linux::net::SocketAddrExt;
    match socket.as_bytes().strip_prefix(b"@") {
        Some(name) => SocketAddr::from_abstract_name(name),
        None => SocketAddr::from_pathname(socket),
    }
}

#[cfg(not(target_os = "linux"))]
fn address(socket: &OsStr) -> io::Result<SocketAddr> {
    SocketAddr::from_pathname(socket)
}
