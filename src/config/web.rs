//! `[web]`: where the page is served and where it is reached.

use std::net::SocketAddr;

use toml::Spanned;

use super::raw::RawWeb;
use super::{Checked, Checker, LISTEN};

impl Checker<'_> {
    /// Where the page is served, and where it is reached from outside.
    pub(super) fn web(
        &mut self,
        raw: Option<&Spanned<RawWeb>>,
    ) -> Checked<(SocketAddr, Option<String>)> {
        let raw = raw.map(Spanned::get_ref);
        let listen = raw.and_then(|raw| raw.listen.as_ref());
        let listen = match listen {
            Some(value) => self.listen(value),
            None => Ok(LISTEN),
        };
        let address = raw.and_then(|raw| raw.address.as_ref());
        let address = address.map(|value| self.address(value)).transpose();
        Ok((listen?, address?))
    }

    fn address(&mut self, value: &Spanned<String>) -> Checked<String> {
        let written = value.get_ref();
        let host = ["https://", "http://"]
            .into_iter()
            .find_map(|scheme| written.strip_prefix(scheme));
        let is_plain = |c: char| c.is_ascii_graphic() && !"<>\"?#".contains(c);
        let is_address = host.is_some_and(|host| !host.is_empty() && host.chars().all(is_plain));
        if !is_address {
            let what = format!("address \"{written}\" is not where a browser finds a page");
            let fault = self.remark(value, what);
            let allowed = "https:// or http://, a host and perhaps a path, such as \"https://garden.example.org\"";
            return Err(self.tell(fault.allowed(allowed.to_owned())));
        }
        Ok(written.trim_end_matches('/').to_owned())
    }

    fn listen(&mut self, value: &Spanned<String>) -> Checked<SocketAddr> {
        let written = value.get_ref();
        let Ok(address) = written.parse::<SocketAddr>() else {
            let what = format!("listen \"{written}\" is not an address with a port");
            let fault = self.remark(value, what);
            let allowed = format!("numbers and a port, such as \"{LISTEN}\" or \"[::1]:8427\"");
            return Err(self.tell(fault.allowed(allowed)));
        };
        if !address.ip().is_loopback() {
            let what = format!(
                "listen {address} shows the page, which asks for no password, to other machines"
            );
            let warning = self.remark(value, what);
            let hint = format!("\"{LISTEN}\" shows it on this machine alone");
            self.faults.warn(warning.hint(hint));
        }
        Ok(address)
    }
}
