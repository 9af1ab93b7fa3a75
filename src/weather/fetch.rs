//! Asks services over HTTP, with every limit that an answer from outside has to keep.
//!
//! Time, size, redirects and encryption are bounded here once for all sources. Proxies named in the environment are
//! used for hosts outside and never for this machine's own.

use std::net::IpAddr;
use std::time::Duration;

use chrono::DateTime;
use reqwest::header::{DATE, HeaderMap, HeaderName, RETRY_AFTER};
use reqwest::redirect::Policy;
use reqwest::{Client, ClientBuilder, Response, StatusCode, Url};
use rustls::crypto::CryptoProvider;

use super::error::{WeatherError, root_text};
use super::question::{Question, ReplyError};

/// How large an answer may be, unpacked; 30 years of days are a tenth of it.
pub const BODY_CAP: usize = 8 * 1024 * 1024;

const CONNECT_TIMEOUT: Duration = Duration::from_secs(5);

const REDIRECTS_MAX: usize = 3;

/// The longest pause that a service is granted.
const PAUSE_MAX: Duration = Duration::from_hours(24);

/// Asks weather services.
#[derive(Debug, Clone)]
pub struct Fetcher {
    /// For hosts anywhere: encrypted only.
    outside: Client,
    /// For this machine's own address: plain text allowed, and no way out.
    loopback: Client,
    timeout: Duration,
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
            outside: build(outside.redirect(Policy::limited(REDIRECTS_MAX)))?,
            loopback: build(limited().no_proxy().redirect(on_this_machine()))?,
            timeout,
        })
    }

    /// Asks a question at an address and reads the answer.
    pub(super) async fn ask<T>(
        &self,
        address: &str,
        question: &Question<T>,
    ) -> Result<T, WeatherError> {
        let (client, url) = self.way_to(address, question.service)?;
        let service = named(question.service, &url);
        let failed = |error| self.failed(&service, error);
        let request = client.get(url).query(&question.query);
        let response = request.send().await.map_err(failed)?;
        let status = response.status();
        let headers = response.headers().clone();
        let Some(body) = capped_body(response).await.map_err(failed)? else {
            let cap = BODY_CAP;
            return Err(WeatherError::TooLarge { service, cap });
        };
        let answer = (question.read)(&body);
        if status.is_success() {
            answer.map_err(|problem| misread(service, status, problem))
        } else {
            Err(refused(service, status, &headers, answer.err()))
        }
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

/// Follows redirects on this machine only: nothing here has to lead a client out into the net.
fn on_this_machine() -> Policy {
    Policy::custom(|attempt| {
        if is_loopback(attempt.url()) {
            Policy::limited(REDIRECTS_MAX).redirect(attempt)
        } else {
            attempt.error("it leads away from this machine")
        }
    })
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

/// What it means that an answer with a good status cannot be read.
fn misread(service: String, status: StatusCode, problem: ReplyError) -> WeatherError {
    match problem {
        ReplyError::NotCovered => WeatherError::NotCovered { service },
        ReplyError::Said { reason, .. } => WeatherError::Refused {
            service,
            status: status.as_u16(),
            reason,
        },
        problem @ (ReplyError::CutOff
        | ReplyError::WebPage
        | ReplyError::NotJson(_)
        | ReplyError::Several(_)
        | ReplyError::Field { .. }
        | ReplyError::Record(_)) => WeatherError::Unreadable { service, problem },
    }
}

/// What a status other than success means, with the words that the body has for it.
fn refused(
    service: String,
    status: StatusCode,
    headers: &HeaderMap,
    problem: Option<ReplyError>,
) -> WeatherError {
    let (reason, quota) = match problem {
        Some(ReplyError::NotCovered) => return WeatherError::NotCovered { service },
        Some(ReplyError::Said { reason, quota }) => (reason, quota),
        Some(
            ReplyError::CutOff
            | ReplyError::WebPage
            | ReplyError::NotJson(_)
            | ReplyError::Several(_)
            | ReplyError::Field { .. }
            | ReplyError::Record(_),
        )
        | None => ("no reason given".to_owned(), None),
    };
    let passes = [StatusCode::TOO_MANY_REQUESTS, StatusCode::REQUEST_TIMEOUT];
    if status.is_server_error() || passes.contains(&status) {
        WeatherError::Busy {
            service,
            status: status.as_u16(),
            reason,
            after: pause(headers, quota),
        }
    } else {
        WeatherError::Refused {
            service,
            status: status.as_u16(),
            reason,
        }
    }
}

/// How long the service asks to be left alone: by its header, else until the quota's next period begins.
///
/// Moments are counted from the service's own date, so that a wrong clock here does no harm.
fn pause(headers: &HeaderMap, quota: Option<Duration>) -> Option<Duration> {
    let text = |name: HeaderName| headers.get(name)?.to_str().ok();
    let moment = |text: &str| DateTime::parse_from_rfc2822(text).ok();
    let date = text(DATE).and_then(moment);
    let asked = text(RETRY_AFTER).and_then(|value| {
        let until = || (moment(value)? - date?).to_std().ok();
        let seconds = value.trim().parse().ok();
        seconds.map(Duration::from_secs).or_else(until)
    });
    let next_period = || {
        let period = quota?;
        let gone = date.map_or(0, |date| {
            u64::try_from(date.timestamp()).unwrap_or(0) % period.as_secs().max(1)
        });
        Some(period.saturating_sub(Duration::from_secs(gone)))
    };
    asked.or_else(next_period).map(|span| span.min(PAUSE_MAX))
}
