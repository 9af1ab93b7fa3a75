//! The names under which the page may be asked for: any other comes from a page that has our address answer to its own
//! name (DNS rebinding).
//!
//! In: where the page is served and reached, the names that the keeper adds. Out: whether a `Host` is one of them. Does
//! not look a name up.

use std::collections::BTreeSet;
use std::net::{IpAddr, SocketAddr};

/// The names under which the page may be asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hosts {
    names: BTreeSet<String>,
    /// Where the page is served; on every address of the machine where none is specified.
    served: IpAddr,
}

impl Hosts {
    /// Those of this machine, of where the page is served, of where it is reached from outside, and those that are added.
    pub fn new<'a>(
        listen: SocketAddr,
        address: Option<&'a str>,
        added: impl IntoIterator<Item = &'a str>,
    ) -> Self {
        let reached = address.and_then(|address| address.split_once("://"));
        let reached = reached.and_then(|(_, rest)| rest.split('/').next());
        let names = added
            .into_iter()
            .chain(reached)
            .chain(["localhost"])
            .map(name);
        Self {
            names: names.collect(),
            served: listen.ip().to_canonical(),
        }
    }

    /// Whether a host, with or without a port, is one of them.
    pub(super) fn has(&self, host: &str) -> bool {
        let name = name(host);
        if self.names.contains(&name) {
            return true;
        }
        let number = name.trim_start_matches('[').trim_end_matches(']');
        number.parse::<IpAddr>().is_ok_and(|number| {
            let number = number.to_canonical();
            number.is_loopback() || number == self.served || self.served.is_unspecified()
        })
    }
}

/// A host as names are compared: in small letters, without port and last dot.
fn name(host: &str) -> String {
    let is_port = |port: &str| port.chars().all(|c| c.is_ascii_digit());
    let name = match host.rsplit_once(':') {
        Some((name, port)) if is_port(port) && (!name.contains(':') || name.ends_with(']')) => name,
        Some(_) | None => host,
    };
    name.trim_end_matches('.').to_ascii_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hosts(listen: &str) -> Hosts {
        let address = Some("https://Garden.example.org:8443/budward");
        Hosts::new(listen.parse().unwrap(), address, ["shed.home.arpa"])
    }

    #[test]
    fn this_machine_the_address_and_what_was_added_are_known() {
        for host in [
            "localhost",
            "LOCALHOST:8427",
            "127.0.0.1:8427",
            "127.3.2.1",
            "[::1]:8427",
            "[::1]",
            "garden.example.org",
            "garden.example.org.:443",
            "shed.home.arpa:80",
        ] {
            assert!(hosts("127.0.0.1:8427").has(host), "{host}");
        }
        for host in [
            "",
            "elsewhere.example",
            "garden.example.org.elsewhere.example",
            "localhost.elsewhere.example",
            "192.0.2.7",
            "[2001:db8::7]:8427",
            "127.0.0.1:8427:1",
            "127.0.0.1@elsewhere.example",
        ] {
            assert!(!hosts("127.0.0.1:8427").has(host), "{host}");
        }
    }

    #[test]
    fn numbers_are_those_on_which_the_page_is_served() {
        let one = hosts("192.0.2.7:8427");
        assert!(one.has("192.0.2.7:8427") && !one.has("192.0.2.8"));
        let all = hosts("[::]:8427");
        assert!(all.has("192.0.2.8") && all.has("[2001:db8::7]:8427"));
        assert!(!all.has("elsewhere.example"));
    }
}
