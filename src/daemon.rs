//! The loop on top: looks at the weather on schedule, judges, tells, shows.
//!
//! In: the settings and a clock. Out: mails, a page, a journal. Ties the edges to the stages; has no formula of its
//! own.

mod answers;
mod by_place;
mod clock;
mod cycle;
mod deliver;
mod due;
mod gather;
mod history;
mod keeper;
mod kept_runs;
mod last_runs;
mod leases;
mod letters;
mod pasts;
mod plan;
mod publish;
mod readings;
mod refused;
mod reload;
mod restored;
mod run;
mod showing;
mod signals;
mod silence;
mod sources;
mod supervisor;
mod tend;
mod thermometer;
mod touched;
mod troubles;
mod warnings;
mod works;

use std::sync::Arc;

use ring::rand::{self, SystemRandom};
use thiserror::Error;
use tokio::sync::Notify;

use crate::almanac::Almanac;
use crate::config::{GardenSettings, MailRoute, MailSettings, Security, Settings, StoreSettings};
use crate::foresight::Shelf;
use crate::link::{KEY_BYTES, Links, Signer};
use crate::mail::{MailError, Postman, Route, SmtpSecurity};
use crate::store::{Database, Store, StoreAt, StoreError};
use crate::weather::{Fetcher, WeatherError};
use crate::web::WebError;

pub use clock::Clock;
pub use cycle::{Told, Word, look, moved};
pub use gather::Reach;
pub use history::Progress;
pub use keeper::Keeper;
pub use reload::Source;
pub use run::run;
pub use silence::Silence;
pub use supervisor::Supervisor;
pub use thermometer::LastLooks;
pub use troubles::Troubles;

use kept_runs::KeptRuns;
use last_runs::LastRuns;
use leases::Leases;
use pasts::Pasts;
use reload::Reread;
use touched::Touched;

/// What a running program holds.
#[derive(Debug, Clone)]
pub struct House {
    /// The settings.
    pub settings: Arc<Settings>,
    /// The store, one user at a time.
    pub keeper: Keeper,
    /// Asks the weather services.
    pub fetcher: Arc<Fetcher>,
    /// What the sources say that do not answer.
    pub silence: Silence,
    /// Shows how much of a record of past years has come.
    pub progress: Progress,
    /// The past years that were read last.
    pasts: Pasts,
    kept_runs: KeptRuns,
    last_runs: LastRuns,
    touched: Touched,
    leases: Leases,
    /// What was foreseen last.
    shelf: Arc<Shelf>,
    /// Makes the links by which the keeper answers.
    pub links: Arc<Links>,
    /// Sends the mails.
    pub postman: Arc<Postman>,
    /// Told when a mail may wait, and when there is something new to show.
    to_post: Arc<Notify>,
    to_show: Arc<Notify>,
    /// Tells the time.
    pub clock: Clock,
    /// What is amiss with the program itself.
    pub troubles: Troubles,
    /// Where the settings are read again; none where they are not.
    pub source: Option<Source>,
    /// The service manager, if one listens.
    pub supervisor: Supervisor,
}

/// Why the program cannot go on; each edge's error with what was attempted.
#[derive(Debug, Error)]
pub enum DaemonError {
    /// The store.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The weather client cannot be made.
    #[error(transparent)]
    Weather(#[from] WeatherError),
    /// The mail route cannot be used.
    #[error(transparent)]
    Mail(#[from] MailError),
    /// The web server.
    #[error(transparent)]
    Web(#[from] WebError),
    /// The listener of the page cannot be used.
    #[error("cannot listen for the page")]
    Door(#[source] std::io::Error),
    /// The operating system refuses to tell of signals.
    #[error("cannot listen for signals")]
    Signals(#[source] std::io::Error),
    /// The operating system gives no random numbers.
    #[error("the operating system gives no random numbers")]
    Chance,
    /// A task of the program ended by a fault of its own.
    #[error("a task of the program broke down")]
    Task(#[source] tokio::task::JoinError),
}

impl House {
    /// Opens the store and makes the clients that the settings ask for.
    ///
    /// # Errors
    /// When the store cannot be used or a client cannot be made.
    pub fn open(settings: Settings, mut store: Store, clock: Clock) -> Result<Self, DaemonError> {
        let fetcher = Fetcher::new(contact(&settings), settings.weather.timeout)?;
        let postman = postman(&settings);
        let key = store.link_key(&fresh_key()?)?;
        let links = Links::new(Signer::new(&key), settings.web.address.as_deref());
        let leases = match settings.store {
            StoreSettings::File(_) => Leases::default(),
            StoreSettings::Database(_) => Leases::none_yet(),
        };
        let house = Self {
            links: Arc::new(links),
            settings: Arc::new(settings),
            keeper: Keeper::of(store),
            fetcher: Arc::new(fetcher),
            silence: Silence::default(),
            progress: Progress::default(),
            pasts: Pasts::default(),
            kept_runs: KeptRuns::default(),
            last_runs: LastRuns::default(),
            touched: Touched::default(),
            leases,
            shelf: Arc::default(),
            postman: Arc::new(postman),
            to_post: Arc::default(),
            to_show: Arc::default(),
            clock,
            troubles: Troubles::default(),
            source: None,
            supervisor: Supervisor::default(),
        };
        house.tell_left_out(&house.settings.left_out);
        Ok(house)
    }

    /// What is known of the kinds of plants, the garden file's own among them.
    pub fn almanac(&self) -> Arc<Almanac> {
        Arc::clone(&self.settings.almanac)
    }

    /// The gardens.
    pub fn gardens(&self) -> &[Arc<GardenSettings>] {
        &self.settings.gardens
    }
}

/// The store of the settings as the store takes it.
pub fn store_at(settings: &StoreSettings) -> StoreAt {
    match settings {
        StoreSettings::File(path) => StoreAt::File(path.clone()),
        StoreSettings::Database(database) => StoreAt::Database(Arc::new(Database {
            name: settings.name(),
            server: database.server.clone(),
            lease: database.lease,
        })),
    }
}

/// How services are told who asks. A file that asks none need not name a contact; the sender of the mails stands in.
fn contact(settings: &Settings) -> &str {
    let contact = Some(&settings.weather.contact).filter(|contact| !contact.is_empty());
    contact.unwrap_or(&settings.mail.from)
}

/// Who sends the mails.
fn postman(settings: &Settings) -> Postman {
    Postman::new(settings.mail.from.clone(), route(&settings.mail))
}

/// A key that nobody can guess.
fn fresh_key() -> Result<[u8; KEY_BYTES], DaemonError> {
    let chance = SystemRandom::new();
    let key: rand::Random<[u8; KEY_BYTES]> =
        rand::generate(&chance).map_err(|_| DaemonError::Chance)?;
    Ok(key.expose())
}

/// The mail route as the mail edge takes it.
fn route(mail: &MailSettings) -> Route {
    match &mail.route {
        MailRoute::Folder(folder) => Route::Folder(folder.clone()),
        MailRoute::Smtp {
            host,
            port,
            security,
            login,
            hello,
        } => Route::Smtp {
            host: host.clone(),
            port: *port,
            security: match security {
                Security::StartTls => SmtpSecurity::StartTls,
                Security::Tls => SmtpSecurity::Tls,
                Security::Plain => SmtpSecurity::Plain,
            },
            login: login
                .as_ref()
                .map(|login| (login.user.clone(), login.password.clone())),
            hello: hello.clone(),
        },
    }
}
