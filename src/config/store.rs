//! `[store]`: the file of the store, or the database that several daemons share.

use std::path::{Path, PathBuf};
use std::time::Duration;

use chrono::TimeDelta;
use secrecy::ExposeSecret;
use tokio_postgres::config::{Config, Host, SslMode};

use super::STORE;
use super::check::Checker;
use super::faults::Checked;
use super::raw::RawStore;
use super::secret::DATABASE_PASSWORD;

/// Where the store is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StoreSettings {
    /// In a file.
    File(PathBuf),
    /// In a PostgreSQL database.
    Database(Box<DatabaseSettings>),
}

/// A PostgreSQL database.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DatabaseSettings {
    /// How its server is reached.
    pub server: Config,
    /// For how long a daemon has a garden before it has to say again that it is there.
    pub lease: Duration,
}

/// How long a line may take to open, and after which silence of the server it counts as lost (estimates).
const CONNECT_WITHIN: Duration = Duration::from_secs(10);
const SILENCE: Duration = Duration::from_secs(30);

/// How long a daemon has a garden where the file does not say (estimate: a garden waits two minutes at most for another
/// daemon, and each daemon writes three times a minute that it is there).
const LEASE: Duration = Duration::from_mins(1);

/// An address as an example.
const EXAMPLE: &str = "database = \"postgresql://budward@db.example.org/budward\"";

impl StoreSettings {
    /// Its name, without what is secret.
    pub fn name(&self) -> String {
        match self {
            Self::File(path) => path.display().to_string(),
            Self::Database(database) => {
                let host = database.server.get_hosts().first().map(|host| match host {
                    Host::Tcp(name) => name.clone(),
                    Host::Unix(path) => path.display().to_string(),
                });
                let name = database.server.get_dbname().unwrap_or_default();
                format!("{name} on {}", host.unwrap_or_default())
            }
        }
    }

    /// The file; none of a database.
    pub fn file(&self) -> Option<&Path> {
        match self {
            Self::File(path) => Some(path),
            Self::Database(_) => None,
        }
    }
}

impl Checker<'_> {
    /// Where the store is kept.
    pub(super) fn store(&mut self, raw: Option<&RawStore>) -> Checked<StoreSettings> {
        let Some(raw) = raw else {
            return Ok(StoreSettings::File(self.folder.join(STORE)));
        };
        let Some(database) = raw.database.as_ref() else {
            let strays = [
                ("password_file", raw.password_file.as_ref()),
                ("password_env", raw.password_env.as_ref()),
                ("lease", raw.lease.as_ref()),
            ];
            if let Some((key, Some(value))) = strays.into_iter().find(|(_, given)| given.is_some())
            {
                let fault =
                    self.remark(value, format!("{key} is of a database, and none is named"));
                return Err(self.tell(fault.hint(format!("name one: {EXAMPLE}"))));
            }
            return match raw.file.as_ref() {
                Some(file) => self.path(("file", file)).map(StoreSettings::File),
                None => Ok(StoreSettings::File(self.folder.join(STORE))),
            };
        };
        if let Some(file) = raw.file.as_ref() {
            let fault = self.remark(file, "the store is either a file or a database");
            return Err(self.tell(fault.hint("take one of the two lines out")));
        }
        let server = self.server(database);
        let lease = match raw.lease.as_ref() {
            Some(lease) => self.lease(lease),
            None => Ok(LEASE),
        };
        let password = self.secret(
            DATABASE_PASSWORD,
            raw.password_file.as_ref(),
            raw.password_env.as_ref(),
        );
        let (mut server, lease, password) = (server?, lease?, password?);
        if let Some(password) = password {
            server.password(password.expose_secret());
        }
        let database = DatabaseSettings { server, lease };
        Ok(StoreSettings::Database(Box::new(database)))
    }

    fn lease(&mut self, value: &toml::Spanned<String>) -> Checked<Duration> {
        let limits = TimeDelta::seconds(1)..=TimeDelta::hours(1);
        let lease = self.duration(("lease", value), limits, "1 s to 1 h")?;
        Ok(lease.to_std().unwrap_or(LEASE))
    }

    /// How a server is reached, by its address: a connection URI (PostgreSQL, section 34.1.1.2). A host that is neither a
    /// socket nor this machine is reached by TLS, with its certificate checked, unless the address says otherwise.
    fn server(&mut self, address: &toml::Spanned<String>) -> Checked<Config> {
        let what = match address.get_ref().parse::<Config>() {
            Err(cause) => format!("this is no address of a database: {}", causes(&cause)),
            Ok(config) if config.get_password().is_some() => {
                "a password does not belong into this file, which gets shown and copied".to_owned()
            }
            Ok(config) => match lacks(&config) {
                Some(part) => format!("the address names no {part}"),
                None => return Ok(bounded(config)),
            },
        };
        // What was written is not shown: it may hold a password.
        let fault = self
            .remark(address, what)
            .allowed("a connection URI of PostgreSQL");
        Err(self.tell(fault.hint(format!(
            "such as {EXAMPLE}; its password comes from password_file or password_env"
        ))))
    }
}

/// An error with what caused it.
fn causes(error: &dyn std::error::Error) -> String {
    let causes = std::iter::successors(error.source(), |cause| cause.source());
    causes.fold(error.to_string(), |text, cause| format!("{text}: {cause}"))
}

/// What an address does not name that it has to.
fn lacks(config: &Config) -> Option<&'static str> {
    let parts = [
        ("host", config.get_hosts().is_empty()),
        ("user", config.get_user().is_none()),
        ("database", config.get_dbname().is_none()),
    ];
    let lacking = parts.into_iter().find(|(_, is_lacking)| *is_lacking);
    lacking.map(|(part, _)| part)
}

/// With the bounds of a line, and encrypted where it leaves the machine: never in the clear because the other side says
/// that it has no TLS.
fn bounded(mut config: Config) -> Config {
    if config.get_ssl_mode() == SslMode::Prefer {
        let is_near = config.get_hosts().iter().all(is_near);
        config.ssl_mode(if is_near {
            SslMode::Disable
        } else {
            SslMode::Require
        });
    }
    config.application_name("budward");
    config.connect_timeout(CONNECT_WITHIN);
    config.keepalives_idle(SILENCE);
    config.tcp_user_timeout(SILENCE);
    config
}

/// Whether what is said to a host does not leave the machine.
fn is_near(host: &Host) -> bool {
    match host {
        Host::Tcp(name) => {
            let ip: Option<std::net::IpAddr> = name.parse().ok();
            name == "localhost" || ip.is_some_and(|ip| ip.is_loopback())
        }
        Host::Unix(_) => true,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mode(address: &str) -> SslMode {
        bounded(address.parse().unwrap()).get_ssl_mode()
    }

    #[test]
    fn what_leaves_the_machine_is_encrypted_unless_the_address_says_otherwise() {
        let far = "postgresql://budward@db.example.org/budward";
        assert_eq!(mode(far), SslMode::Require);
        assert_eq!(mode(&format!("{far}?sslmode=disable")), SslMode::Disable);
        let near = "postgresql://budward@127.0.0.1:5433/budward";
        assert_eq!(mode(near), SslMode::Disable);
        let socket = "postgresql://budward@%2Frun%2Fpostgresql/budward";
        assert_eq!(mode(socket), SslMode::Disable);
    }

    #[test]
    fn an_address_names_all_that_it_has_to() {
        let lacking = |address: &str| lacks(&address.parse().unwrap());
        assert_eq!(lacking("postgresql:///budward"), Some("host"));
        assert_eq!(lacking("postgresql://localhost/budward"), Some("user"));
        assert_eq!(lacking("postgresql://budward@localhost"), Some("database"));
        assert_eq!(lacking("postgresql://budward@localhost/budward"), None);
    }

    #[test]
    fn no_password_is_in_what_is_shown() {
        let mut server = bounded(
            "postgresql://budward@db.example.org/budward"
                .parse()
                .unwrap(),
        );
        server.password("canary");
        let database = DatabaseSettings {
            server,
            lease: LEASE,
        };
        let store = StoreSettings::Database(Box::new(database));
        assert_eq!(store.name(), "budward on db.example.org");
        assert!(!format!("{store:?}").contains("canary"));
    }
}
