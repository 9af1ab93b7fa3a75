//! The pages and the status over HTTP.
//!
//! In: the [`Snapshot`] that the last cycle left, the almanac, readings and answers that are posted. Out: pages, their
//! style sheet, a JSON status, figures, a health reply, the description of all that, the posts. Computes nothing, keeps
//! nothing, and cannot hold up a cycle.

mod answer;
mod credentials;
mod door;
mod failures;
mod feed;
mod figures;
mod guard;
mod hosts;
mod machines;
mod openapi;
mod page;
mod pages;
mod problem;
mod readings;
mod reply;
mod route;
mod seats;
mod serve;
mod snapshot;
mod status;

use std::fmt;
use std::net::SocketAddr;
use std::sync::Arc;

use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::middleware;
use chrono::{DateTime, Utc};
use thiserror::Error;
use tokio::net::TcpListener;
use tokio::sync::{mpsc, watch};

use crate::almanac::Almanac;
use crate::link::Links;
use answer::Desk;
use door::Doorkeeper;
use failures::Failures;
use guard::Guard;
use openapi::Particulars;
use problem::Teller;
use readings::Letterbox;
use route::{Reader, Route};
use status::Written;

pub use answer::{AnswerWish, Answered, Outcome};
pub use door::Door;
pub use hosts::Hosts;
pub use readings::{Posted, Receipt, Slot};
pub use serve::serve;
pub use snapshot::{Board, GardenSnapshot, JournalEntry, Snapshot, Standing, Trouble, Weight};

/// A form may have so many bytes.
const FORM_MAX: usize = 16 * 1024;

/// A server that cannot start.
#[derive(Debug, Error)]
pub enum WebError {
    /// The address cannot be listened on.
    #[error("cannot listen on {address}")]
    Listen {
        /// The address.
        address: SocketAddr,
        /// Why.
        source: std::io::Error,
    },
}

/// Tells the time.
pub type Now = Arc<dyn Fn() -> DateTime<Utc> + Send + Sync>;

/// Of what the page is made.
pub struct Parts {
    /// The newest snapshot.
    pub snapshot: watch::Receiver<Arc<Snapshot>>,
    /// What is known of the kinds of plants.
    pub almanac: Arc<Almanac>,
    /// Makes the links by which the keeper tells something, and takes what is told; none where nobody does.
    pub answers: Option<(Arc<Links>, mpsc::Sender<Answered>)>,
    /// The gardens whose readings may be posted, and who takes them.
    pub readings: Option<(Vec<Slot>, mpsc::Sender<Posted>)>,
    /// Whom it answers.
    pub door: Door,
    /// Tells the time.
    pub now: Now,
}

impl fmt::Debug for Parts {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Parts").finish_non_exhaustive()
    }
}

/// The page, ready to be served.
#[derive(Debug, Clone)]
pub struct Site {
    router: Router,
    door: Arc<Door>,
}

#[derive(Clone)]
struct Shared {
    snapshot: watch::Receiver<Arc<Snapshot>>,
    almanac: Arc<Almanac>,
    links: Option<Arc<Links>>,
    status: Arc<Written>,
    now: Now,
}

impl fmt::Debug for Shared {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Shared").finish_non_exhaustive()
    }
}

/// Opens the address; port 0 takes any free port.
///
/// # Errors
/// [`WebError::Listen`].
pub async fn listen(address: SocketAddr) -> Result<TcpListener, WebError> {
    TcpListener::bind(address)
        .await
        .map_err(|source| WebError::Listen { address, source })
}

/// The page: its routes, with their description among them, behind its door.
pub fn site(parts: Parts) -> Site {
    let door = Arc::new(parts.door.clone());
    let snapshot = parts.snapshot.clone();
    let routes = routes(parts);
    let access = routes.iter().map(|route| (route.path, route.access));
    let keeper = Doorkeeper {
        door: Arc::clone(&door),
        access: access.collect(),
        failures: Failures::default(),
    };
    let is_machine = |route: &&Route| route.reader == Reader::Machine;
    let machines = routes.iter().filter(is_machine).map(|route| route.path);
    let teller = Teller {
        machines: machines.collect(),
        snapshot: snapshot.clone(),
    };
    let guard = Arc::new(Guard { keeper, teller });
    let guarded = middleware::from_fn_with_state(guard, guard::answer);
    let nothing = async move || {
        let locale = snapshot.borrow().locale;
        pages::missing(locale)
    };
    let mount = |router: Router, route: Route| router.route(route.path, route.handler);
    let router = routes.into_iter().fold(Router::new(), mount);
    Site {
        router: router
            .fallback(nothing)
            .layer((guarded, DefaultBodyLimit::max(FORM_MAX))),
        door,
    }
}

/// All routes, the last of them the one that describes them.
fn routes(parts: Parts) -> Vec<Route> {
    let Parts {
        snapshot,
        almanac,
        answers,
        readings,
        door,
        now,
    } = parts;
    let links = answers.as_ref().map(|(links, _)| Arc::clone(links));
    let particulars = particulars(&snapshot.borrow(), &almanac, &door);
    let shared = Shared {
        snapshot: snapshot.clone(),
        almanac,
        links,
        status: Arc::default(),
        now: Arc::clone(&now),
    };
    let mut routes = pages::routes(&shared);
    routes.extend(machines::routes(&shared));
    if let Some((links, inbox)) = answers {
        routes.extend(answer::routes(&Desk {
            links,
            snapshot,
            inbox,
            now,
        }));
    }
    if let Some((slots, inbox)) = readings {
        let slots = slots.into();
        routes.extend(readings::routes(&Letterbox { slots, inbox }));
    }
    let described = routes.iter().map(Route::described);
    let written = openapi::document(described.chain([machines::DESCRIBED]), &particulars);
    routes.push(machines::description(&written));
    routes
}

/// What the description takes from the page.
fn particulars(snapshot: &Snapshot, almanac: &Almanac, door: &Door) -> Particulars {
    let garden = snapshot.gardens.first();
    let cut = garden.and_then(|garden| garden.planned.first());
    Particulars {
        is_closed: door.token.is_some(),
        garden: garden.map(|garden| garden.name.clone()),
        cut: cut.map(|cut| cut.name.clone()),
        kind: almanac.kinds.first().map(|kind| kind.id.clone()),
    }
}
