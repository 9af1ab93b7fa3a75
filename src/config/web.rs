//! `[web]`: where the page is served and where it is reached, and whom it answers.

use std::net::{IpAddr, SocketAddr};

use secrecy::SecretString;
use toml::Spanned;

use super::raw::RawWeb;
use super::secret::{PAGE_TOKEN, TokenKeys};
use super::{Checked, Checker, LISTEN, WebSettings};

impl Checker<'_> {
    /// Where the page is served and reached, and whom it answers.
    pub(super) fn web(&mut self, raw: Option<&Spanned<RawWeb>>) -> Checked<WebSettings> {
        let Some(raw) = raw.map(Spanned::get_ref) else {
            return Ok(WebSettings {
                listen: LISTEN,
                address: None,
                token: None,
                hosts: Vec::new(),
                proxies: Vec::new(),
            });
        };
        let token = self.token(
            PAGE_TOKEN,
            &TokenKeys {
                file: raw.token_file.as_ref(),
                variable: raw.token_env.as_ref(),
                plain: raw.token.as_ref(),
            },
        );
        let listen = match &raw.listen {
            Some(value) => self.listen(value, &token),
            None => Ok(LISTEN),
        };
        let address = raw.address.as_ref();
        let address = address.map(|value| self.address(value)).transpose();
        let hosts: Vec<_> = raw.hosts.iter().map(|value| self.own_name(value)).collect();
        let proxies: Vec<_> = raw.proxies.iter().map(|value| self.proxy(value)).collect();
        Ok(WebSettings {
            listen: listen?,
            address: address?,
            token: token?,
            hosts: hosts.into_iter().collect::<Checked<_>>()?,
            proxies: proxies.into_iter().collect::<Checked<_>>()?,
        })
    }

    /// A name under which the page may be asked for.
    fn own_name(&mut self, value: &Spanned<String>) -> Checked<String> {
        let written = value.get_ref();
        let is_plain = |c: char| c.is_ascii_alphanumeric() || "-_.".contains(c);
        if !written.is_empty() && written.chars().all(is_plain) {
            return Ok(written.clone());
        }
        let what = format!("\"{written}\" is not the bare name of a host");
        let fault = self.remark(value, what);
        let allowed = "a name without http:// and without a port, such as \"shed.home.arpa\"";
        Err(self.tell(fault.allowed(allowed.to_owned())))
    }

    /// A proxy that is believed.
    fn proxy(&mut self, value: &Spanned<String>) -> Checked<IpAddr> {
        let written = value.get_ref();
        if let Ok(address) = written.parse::<IpAddr>() {
            return Ok(address.to_canonical());
        }
        let what = format!("proxy \"{written}\" is not an address in numbers");
        let fault = self.remark(value, what);
        let allowed = "the address from which the proxy asks, such as \"127.0.0.1\" or \"::1\"";
        Err(self.tell(fault.allowed(allowed.to_owned())))
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

    /// Where the page is served: to other machines only with a token.
    fn listen(
        &mut self,
        value: &Spanned<String>,
        token: &Checked<Option<SecretString>>,
    ) -> Checked<SocketAddr> {
        let written = value.get_ref();
        let Ok(address) = written.parse::<SocketAddr>() else {
            let what = format!("listen \"{written}\" is not an address with a port");
            let fault = self.remark(value, what);
            let allowed = format!("numbers and a port, such as \"{LISTEN}\" or \"[::1]:8427\"");
            return Err(self.tell(fault.allowed(allowed)));
        };
        // What is wrong with a token was told where it stands.
        let has_token = !matches!(token, Ok(None));
        if address.ip().to_canonical().is_loopback() || has_token {
            return Ok(address);
        }
        let what =
            format!("listen {address} shows the page to other machines, which takes a token");
        let fault = self.remark(value, what);
        let hint = format!(
            "write one into a file (openssl rand -base64 24), chmod 600 that, and name it here: \
             token_file = \"page-token\"; or show the page on this machine alone: listen = \"{LISTEN}\""
        );
        Err(self.tell(fault.hint(hint)))
    }
}
