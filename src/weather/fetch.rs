//! Asks services over HTTP, with every limit that an answer from outside has to keep.
//!
//! In: a question, an address, the moment. Out: what the answer says, or why there is none. Time, size, tries,
//! redirects and encryption are bounded here once for all sources; a service is asked one thing at a time, not before
//! it allows and not twice for the same. Proxies named in the environment are used for hosts outside and never for
//! this machine's own. Does not judge what an answer says.

mod door;
mod patience;
mod reply;

use std::collections::BTreeMap;
use std::net::IpAddr;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use chrono::{DateTime, TimeDelta, Utc};
use reqwest::header::{IF_MODIFIED_SINCE, IF_NONE_MATCH};
use reqwest::redirect::{Attempt, Policy};
use reqwest::{Client, ClientBuilder, Request, Response, StatusCode, Url};
use rustls::crypto::CryptoProvider;
use tokio::time::Instant;

use super::error::{WeatherError, root_text};
use super::files::ReadFiles;
use super::question::Question;
use door::{Dated, Door, Head};
use reply::{misread, refused};

pub use patience::Patience;
#[cfg(fuzzing)]
pub use reply::pause_of;

/// How large an answer may be, unpacked; 30 years of days are a tenth of it.
pub const BODY_CAP: usize = 8 * 1024 * 1024;

const CONNECT_TIMEOUT: Duration = Duration::from_secs(5);

const REDIRECTS_MAX: usize = 3;

/// Asks weather services.
#[derive(Debug, Clone)]
pub struct Fetcher {
    /// For hosts anywhere: encrypted only.
    outside: Client,
    /// For this machine's own address: plain text allowed, and no way out.
    loopback: Client,
    timeout: Duration,
    patience: Patience,
    /// Whom the services see.
    agent: String,
    /// One door for each service that was asked, by host and port.
    doors: Arc<Mutex<BTreeMap<String, SharedDoor>>>,
    /// What files held that were read last.
    pub(super) files: ReadFiles,
}

type SharedDoor = Arc<tokio::sync::Mutex<Door>>;

/// What came back to one request.
enum Came<T> {
    /// A whole answer.
    New(Head, Vec<u8>, T),
    /// Word that nothing has changed.
    Unchanged(Head),
}

impl Fetcher {
    /// A client that tells services whom to contact, and waits `timeout` for a whole answer.
    ///
    /// The process has to have installed its TLS provider before.
    ///
    /// # Errors
    /// When the contact is empty or cannot stand in a header, or when TLS cannot be set up.
    pub fn new(contact: &str, timeout: Duration) -> Result<Self, WeatherError> {
        let contact = contact.trim();
        if contact.is_empty() {
            return Err(WeatherError::NoContact);
        }
        if CryptoProvider::get_default().is_none() {
            let what = "no TLS provider is installed".to_owned();
            return Err(WeatherError::NoClient(what));
        }
        let agent = format!("budward/{} ({contact})", env!("CARGO_PKG_VERSION"));
        // A redirect must not carry the address it came from: the query may hold a key.
        let limited = || {
            Client::builder()
                .user_agent(agent.as_str())
                .connect_timeout(CONNECT_TIMEOUT)
                .timeout(timeout)
                .referer(false)
        };
        let build = |builder: ClientBuilder| {
            builder
                .build()
                .map_err(|error| WeatherError::NoClient(root_text(&error)))
        };
        let outside = limited().https_only(true);
        Ok(Self {
            outside: build(outside.redirect(on_the_same_host()))?,
            loopback: build(limited().no_proxy().redirect(on_the_same_host()))?,
            timeout,
            patience: Patience::default(),
            agent,
            doors: Arc::default(),
            files: ReadFiles::default(),
        })
    }

    /// The same client with another patience.
    #[must_use]
    pub fn with_patience(self, patience: Patience) -> Self {
        Self { patience, ..self }
    }

    /// A span of up to `most` that is always the same for this program and a name: looks that are set for the same
    /// minute everywhere do not come to a service at once.
    pub fn stagger(&self, name: &str, most: Duration) -> Duration {
        most.mul_f64(patience::share((&self.agent, name)))
    }

    /// Asks a question at an address and reads the answer.
    pub(super) async fn ask<T>(
        &self,
        address: &str,
        question: &Question<T>,
        now: DateTime<Utc>,
    ) -> Result<T, WeatherError> {
        let (answer, _) = self.ask_dated(address, question, now).await?;
        Ok(answer)
    }

    /// Asks a question at an address and reads the answer; with it, when the service first sent it.
    ///
    /// An answer that is still good is not asked for again; a service that is to be left alone is not asked.
    pub(super) async fn ask_dated<T>(
        &self,
        address: &str,
        question: &Question<T>,
        now: DateTime<Utc>,
    ) -> Result<Dated<T>, WeatherError> {
        let begun = Instant::now();
        let (client, mut request) = self.request(address, question)?;
        let service = named(question.service, request.url());
        let door = self.door(request.url());
        let mut door = door.lock().await;
        if let Some((body, at)) = door.good(&request, question.good_for, now) {
            let answer = question.answer(body);
            return answer
                .map(|answer| (answer, at))
                .map_err(|problem| misread(service, StatusCode::OK, problem));
        }
        if let Some(error) = door.refuses(&request, now) {
            return Err(error);
        }
        if let Some(left) = door.rests(question.product, now) {
            return Err(WeatherError::Resting { service, left });
        }
        door.ask_for_changes_only(&mut request, now);
        let outcome = self.try_again(client, &request, question, &service).await;
        let then = now + TimeDelta::from_std(begun.elapsed()).unwrap_or_default();
        match outcome {
            Ok(Came::New(head, body, answer)) => {
                door.is_well(question.product);
                door.keep(&request, head, body, (now, then));
                Ok((answer, now))
            }
            Ok(Came::Unchanged(head)) => {
                door.is_well(question.product);
                let kept = door.unchanged(&request, &head, then);
                let (body, at) = kept.ok_or_else(|| unasked(&service))?;
                let answer = question.answer(body);
                answer
                    .map(|answer| (answer, at))
                    .map_err(|problem| misread(service, head.status, problem))
            }
            Err(error) => {
                let about = (&request, question.product);
                door.failed(about, &error, (now, then), &self.agent);
                Err(error)
            }
        }
    }

    /// Forgets what was answered to a question, so that it is asked anew.
    pub(super) async fn forget<T>(&self, address: &str, question: &Question<T>) {
        if let Ok((_, request)) = self.request(address, question) {
            self.door(request.url()).lock().await.forget(&request);
        }
    }

    fn request<T>(
        &self,
        address: &str,
        question: &Question<T>,
    ) -> Result<(&Client, Request), WeatherError> {
        let (client, url) = self.way_to(address, question.service)?;
        let service = named(question.service, &url);
        let request = client.get(url).query(&question.query);
        let request = request.timeout(self.timeout).build();
        let request = request.map_err(|error| self.failed(&service, error))?;
        Ok((client, request))
    }

    /// Asks until an answer comes, as often as it can help.
    async fn try_again<T>(
        &self,
        client: &Client,
        request: &Request,
        question: &Question<T>,
        service: &str,
    ) -> Result<Came<T>, WeatherError> {
        let mut tried = 0;
        loop {
            // A question has no body, so that its copy is whole.
            let copy = request.try_clone().ok_or_else(|| unasked(service))?;
            tried += 1;
            match self.once(client, copy, question, service).await {
                Ok(came) => return Ok(came),
                Err(error) => match self.patience.before_next(&error, tried, &self.agent) {
                    Some(pause) => {
                        tracing::debug!(%error, tried, ?pause, "asking again");
                        tokio::time::sleep(pause).await;
                    }
                    None => return Err(error),
                },
            }
        }
    }

    async fn once<T>(
        &self,
        client: &Client,
        request: Request,
        question: &Question<T>,
        service: &str,
    ) -> Result<Came<T>, WeatherError> {
        let failed = |error| self.failed(service, error);
        let is_conditional = is_conditional(&request);
        let response = client.execute(request).await.map_err(failed)?;
        let head = Head {
            status: response.status(),
            headers: response.headers().clone(),
        };
        let service = service.to_owned();
        if head.status == StatusCode::NOT_MODIFIED && is_conditional {
            return Ok(Came::Unchanged(head));
        }
        if head.status == StatusCode::NON_AUTHORITATIVE_INFORMATION {
            let hint = "its version is a trial or will be gone soon";
            tracing::warn!(service, status = 203, hint, "the service gives notice");
        }
        let Some(body) = capped_body(response).await.map_err(failed)? else {
            let cap = BODY_CAP;
            return Err(WeatherError::TooLarge { service, cap });
        };
        let answer = question.answer(&body);
        if head.status.is_success() {
            let answer = answer.map_err(|problem| misread(service, head.status, problem))?;
            Ok(Came::New(head, body, answer))
        } else {
            Err(refused(service, head.status, &head.headers, answer.err()))
        }
    }

    /// The door of the service at an address.
    fn door(&self, url: &Url) -> SharedDoor {
        let host = url.host_str().unwrap_or_default();
        let port = url.port_or_known_default().unwrap_or_default();
        let mut doors = self.doors.lock().unwrap_or_else(PoisonError::into_inner);
        Arc::clone(doors.entry(format!("{host}:{port}")).or_default())
    }

    /// The client that may go to an address, and the address.
    fn way_to(&self, address: &str, service: &'static str) -> Result<(&Client, Url), WeatherError> {
        let wrong = |what: String| WeatherError::Address { service, what };
        let url = Url::parse(address).map_err(|error| wrong(error.to_string()))?;
        let is_here = is_loopback(&url);
        match url.scheme() {
            "https" | "http" if is_here => Ok((&self.loopback, url)),
            "https" => Ok((&self.outside, url)),
            other => Err(wrong(format!(
                "its scheme is '{other}', allowed is https, and http on this machine"
            ))),
        }
    }

    fn failed(&self, service: &str, error: reqwest::Error) -> WeatherError {
        let service = service.to_owned();
        let cause = error.without_url();
        if cause.is_timeout() {
            let limit = if cause.is_connect() {
                CONNECT_TIMEOUT.min(self.timeout)
            } else {
                self.timeout
            };
            WeatherError::TimedOut { service, limit }
        } else if cause.is_redirect() {
            // Only the words: deeper errors hold the address of the next hop, which may repeat the query.
            let why = root_text(&cause);
            WeatherError::Redirected { service, why }
        } else {
            WeatherError::Unreachable { service, cause }
        }
    }
}

/// Follows redirects on the same host only, or from plain text to encryption there: a service has no reason to lead
/// a client, and the key in its address, to somebody else.
fn on_the_same_host() -> Policy {
    Policy::custom(|attempt| {
        if is_same_host(&attempt) {
            Policy::limited(REDIRECTS_MAX).redirect(attempt)
        } else {
            attempt.error("it leads to another host")
        }
    })
}

fn is_same_host(attempt: &Attempt<'_>) -> bool {
    let to = attempt.url();
    attempt.previous().first().is_some_and(|from| {
        let is_upgrade = from.scheme() == "http" && to.scheme() == "https";
        let same_port = from.port_or_known_default() == to.port_or_known_default();
        from.host_str() == to.host_str() && (is_upgrade || same_port)
    })
}

fn is_conditional(request: &Request) -> bool {
    let has = |name| request.headers().contains_key(name);
    has(IF_NONE_MATCH) || has(IF_MODIFIED_SINCE)
}

/// An answer to a question that was not put.
fn unasked(service: &str) -> WeatherError {
    WeatherError::Refused {
        service: service.to_owned(),
        status: StatusCode::NOT_MODIFIED.as_u16(),
        reason: "it speaks of an answer that it never gave".to_owned(),
    }
}

fn is_loopback(url: &Url) -> bool {
    let host = url.host_str().unwrap_or_default();
    host == "localhost"
        || host
            .trim_matches(['[', ']'])
            .parse::<IpAddr>()
            .is_ok_and(|ip| ip.is_loopback())
}

/// Service and host, for people.
fn named(service: &str, url: &Url) -> String {
    let host = url.host_str().unwrap_or_default();
    match url.port() {
        Some(port) => format!("{service} at {host}:{port}"),
        None => format!("{service} at {host}"),
    }
}

/// The whole body; none when it is too large. Counted as it comes out of the unpacking, since a small body on the
/// wire can be a huge one.
async fn capped_body(mut response: Response) -> Result<Option<Vec<u8>>, reqwest::Error> {
    let mut body = Vec::new();
    while let Some(chunk) = response.chunk().await? {
        if body.len() + chunk.len() > BODY_CAP {
            return Ok(None);
        }
        body.extend_from_slice(&chunk);
    }
    Ok(Some(body))
}
