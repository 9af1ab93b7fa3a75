//! The door: what a request has to be before a route sees it.
//!
//! In: the head of a request and whence it came. Out: the request, or the problem with it: too large, for another host,
//! without the token, after too many wrong keys. Does not read a body and does not know what a route does.

use std::collections::BTreeMap;
use std::net::{IpAddr, SocketAddr};
use std::sync::Arc;
use std::time::Duration;

use axum::Extension;
use axum::extract::{MatchedPath, Request};
use axum::http::header::{CONTENT_LENGTH, HOST, RETRY_AFTER, WWW_AUTHENTICATE};
use axum::http::{HeaderMap, HeaderName, HeaderValue, StatusCode, Version};
use axum::response::{IntoResponse, Response};
use secrecy::SecretString;
use tokio::time::Instant;

use super::failures::Failures;
use super::hosts::Hosts;
use super::problem::Problem;
use super::route::Access;
use super::{credentials, readings};

/// An address with its query may have so many bytes.
const URI_MAX: usize = 4096;

/// All headers together may have so many bytes.
const HEADERS_MAX: usize = 16 * 1024;

/// Where a proxy says for whom it asks.
const FORWARDED_FOR: HeaderName = HeaderName::from_static("x-forwarded-for");

/// Whom the page answers.
#[derive(Debug, Clone)]
pub struct Door {
    /// The names under which it may be asked for.
    pub hosts: Hosts,
    /// What a reader has to show; none where everybody who reaches it may read.
    pub token: Option<SecretString>,
    /// The proxies that are believed when they say for whom they ask.
    pub proxies: Vec<IpAddr>,
}

impl Door {
    /// The door of a page on loopback that everybody on the machine may read.
    pub fn open(listen: SocketAddr) -> Self {
        Self {
            hosts: Hosts::new(listen, None, []),
            token: None,
            proxies: Vec::new(),
        }
    }

    /// Whether several people may stand behind an address: a proxy that is believed, or one on this machine.
    pub(super) fn is_shared(&self, peer: IpAddr) -> bool {
        let peer = peer.to_canonical();
        peer.is_loopback() || self.proxies.contains(&peer)
    }

    /// Who asks: the peer, or for whom a proxy that is believed says that it asks.
    fn asker(&self, peer: IpAddr, headers: &HeaderMap) -> IpAddr {
        let is_believed = |address: &IpAddr| self.proxies.contains(address);
        let peer = peer.to_canonical();
        if !is_believed(&peer) {
            return peer;
        }
        let lines = headers.get_all(FORWARDED_FOR).iter().rev();
        let named = lines
            .filter_map(|line| line.to_str().ok())
            .flat_map(|line| line.rsplit(','))
            .map_while(|one| one.trim().parse::<IpAddr>().ok())
            .map(|one| one.to_canonical());
        // Each proxy adds at the end whom it sees: the last one that is no proxy of ours is seen by one of ours.
        let mut last = peer;
        for one in named {
            last = one;
            if !is_believed(&one) {
                break;
            }
        }
        last
    }
}

/// The peer of a connection.
#[derive(Debug, Clone, Copy)]
pub(super) struct Peer(pub(super) IpAddr);

/// A reply to whoever showed a wrong key.
#[derive(Debug, Clone, Copy)]
pub(super) struct WrongKey;

/// The door with its routes and what it remembers.
#[derive(Debug)]
pub(super) struct Doorkeeper {
    pub(super) door: Arc<Door>,
    pub(super) access: BTreeMap<&'static str, Access>,
    pub(super) failures: Failures,
}

impl Doorkeeper {
    /// Who asks.
    pub(super) fn asker(&self, request: &Request) -> IpAddr {
        let peer = request.extensions().get::<Peer>();
        let peer = peer.map_or(IpAddr::from([0, 0, 0, 0]), |peer| peer.0);
        self.door.asker(peer, request.headers())
    }

    /// Counts a wrong key.
    pub(super) fn count(&self, reply: &Response, asker: IpAddr) {
        if reply.extensions().get::<WrongKey>().is_some() {
            self.failures.count(asker, Instant::now());
        }
    }

    /// What is wrong with a request, if anything is.
    pub(super) fn refusal(&self, request: &Request, asker: IpAddr) -> Option<Response> {
        let whole = check_size(request).and_then(|()| self.check_host(request));
        if let Err(problem) = whole {
            return Some(problem.into_response());
        }
        let matched = request.extensions().get::<MatchedPath>();
        let access = matched.and_then(|path| self.access.get(path.as_str()));
        let access = access.copied().unwrap_or(Access::Owner);
        let token = match (access, &self.door.token) {
            (Access::Open, _) | (Access::Owner, None) => return None,
            (Access::Owner, Some(token)) => Some(token),
            (Access::Key, _) => None,
        };
        let headers = request.headers();
        let shown = || credentials::bearer(headers).map(<[u8]>::to_vec);
        let shown = || shown().or_else(|| credentials::password(headers));
        let wait = self.failures.refused_for(asker, Instant::now());
        match token.map(|token| (token, shown())) {
            None => wait.map(too_many),
            Some((_, None)) => Some(ask_for_token()),
            Some((token, Some(shown))) => match wait {
                Some(left) => Some(too_many(left)),
                None if credentials::fits(token, &shown) => None,
                None => Some((Extension(WrongKey), ask_for_token()).into_response()),
            },
        }
    }

    /// The host is one of ours (RFC 9110, 7.4), and there is one (RFC 9112, 3.2).
    fn check_host(&self, request: &Request) -> Result<(), Problem> {
        let mut named = request.headers().get_all(HOST).iter();
        let host = match (request.uri().authority(), named.next(), named.next()) {
            (Some(authority), _, None) => Some(authority.as_str()),
            (None, Some(host), None) => host.to_str().ok(),
            // Health checks of old ask so; no browser does.
            (None, None, None) if request.version() == Version::HTTP_10 => return Ok(()),
            (_, _, Some(_)) | (None, None, None) => None,
        };
        let Some(host) = host else {
            let detail = "The request has to name its host, once.";
            return Err(Problem::of(StatusCode::BAD_REQUEST, detail));
        };
        if self.door.hosts.has(host) {
            return Ok(());
        }
        let detail = "The page is not served under this host. Its own name is added under [web]: hosts = [\"...\"].";
        Err(Problem::of(StatusCode::MISDIRECTED_REQUEST, detail))
    }
}

/// The address, the headers and the body that is announced are not too large.
fn check_size(request: &Request) -> Result<(), Problem> {
    let too_large = |status, what: &str, most: usize| {
        let detail = format!("{what} may have {most} bytes at most.");
        Err(Problem::of(status, detail))
    };
    let uri = request.uri().path_and_query();
    if uri.is_some_and(|uri| uri.as_str().len() > URI_MAX) {
        return too_large(StatusCode::URI_TOO_LONG, "An address", URI_MAX);
    }
    let headers = request.headers();
    let bytes = headers.iter().map(|(name, value)| {
        // As they are sent: a colon, a blank, the end of the line.
        name.as_str().len() + value.len() + 4
    });
    if bytes.sum::<usize>() > HEADERS_MAX {
        let status = StatusCode::REQUEST_HEADER_FIELDS_TOO_LARGE;
        return too_large(status, "The headers together", HEADERS_MAX);
    }
    let announced = headers.get(CONTENT_LENGTH);
    let announced = announced.and_then(|length| length.to_str().ok()?.parse::<usize>().ok());
    if announced.is_some_and(|bytes| bytes > readings::BODY_MAX) {
        let status = StatusCode::PAYLOAD_TOO_LARGE;
        return too_large(status, "What is sent", readings::BODY_MAX);
    }
    Ok(())
}

fn too_many(left: Duration) -> Response {
    let detail = "Too many wrong keys came from your address. Wait a minute.";
    let mut reply = Problem::of(StatusCode::TOO_MANY_REQUESTS, detail).into_response();
    let seconds = HeaderValue::from(left.as_secs() + 1);
    reply.headers_mut().insert(RETRY_AFTER, seconds);
    reply
}

/// Browsers ask for name and password; programs send the token as bearer.
fn ask_for_token() -> Response {
    let detail = "Show the token of the page: in a browser as the password, with any name; \
                  a program sends it as: Authorization: Bearer TOKEN";
    let mut reply = Problem::of(StatusCode::UNAUTHORIZED, detail).into_response();
    for challenge in [r#"Basic realm="budward", charset="UTF-8""#, "Bearer"] {
        reply
            .headers_mut()
            .append(WWW_AUTHENTICATE, HeaderValue::from_static(challenge));
    }
    reply
}
