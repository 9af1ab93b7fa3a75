//! Errors, told to programs as problem details (RFC 9457) and to people as a page.
//!
//! In: a reply with an error status, whoever made it. Out: the same with a body that says what is wrong, in the form that
//! its reader asked for. No error leaves without one. Does not decide that something is wrong.

use std::collections::BTreeSet;
use std::sync::Arc;

use axum::extract::{MatchedPath, Request};
use axum::http::header::{ACCEPT, CONTENT_LENGTH, CONTENT_TYPE, RETRY_AFTER, VARY};
use axum::http::{HeaderMap, HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use schemars::JsonSchema;
use serde::Serialize;
use tokio::sync::watch;

use super::reply::HTML;
use super::{Snapshot, page};

/// The media type of problem details.
pub(super) const PROBLEM: &str = "application/problem+json";

/// After how many seconds to try again what was too much at once.
const AGAIN_SECONDS: u32 = 10;

/// Problem details (RFC 9457); the type is `about:blank`, so the title is that of the status.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub(super) struct Problem {
    /// The status in words.
    title: &'static str,
    /// The status.
    status: u16,
    /// What is wrong and what is allowed.
    detail: String,
}

impl Problem {
    pub(super) fn of(status: StatusCode, detail: impl Into<String>) -> Self {
        Self {
            title: status.canonical_reason().unwrap_or("Error"),
            status: status.as_u16(),
            detail: detail.into(),
        }
    }

    /// What is said of a status that nobody said more about.
    fn usual(status: StatusCode) -> Self {
        let detail = match status {
            StatusCode::NOT_FOUND => "There is nothing at this address.",
            StatusCode::METHOD_NOT_ALLOWED => {
                "This address does not take the method; the header Allow has those that it takes."
            }
            StatusCode::REQUEST_TIMEOUT => "The request took too long.",
            StatusCode::PAYLOAD_TOO_LARGE => "What was sent is too large.",
            StatusCode::UNSUPPORTED_MEDIA_TYPE => "What was sent is of a kind that is not read.",
            StatusCode::INTERNAL_SERVER_ERROR => {
                "The program has a fault; its log tells more of it."
            }
            StatusCode::SERVICE_UNAVAILABLE => "The program is busy. Try it again in a minute.",
            _ if status.is_server_error() => "The program could not do it.",
            _ => "The request cannot be understood.",
        };
        Self::of(status, detail)
    }

    pub(super) fn status(&self) -> StatusCode {
        StatusCode::from_u16(self.status).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR)
    }

    /// The problem with a page of its own for people.
    pub(super) fn on_page(self, page: String) -> Response {
        let (mut head, _) = self.into_response().into_parts();
        head.headers
            .insert(CONTENT_TYPE, HeaderValue::from_static(HTML));
        Response::from_parts(head, page.into())
    }

    /// The problem as JSON.
    pub(super) fn json(&self) -> String {
        serde_json::to_string(self).unwrap_or_default()
    }
}

/// The problem travels beside an empty body; [`Teller::tell`] words it for whoever asked.
impl IntoResponse for Problem {
    fn into_response(self) -> Response {
        let mut reply = self.status().into_response();
        if matches!(
            self.status(),
            StatusCode::SERVICE_UNAVAILABLE | StatusCode::TOO_MANY_REQUESTS
        ) {
            reply
                .headers_mut()
                .insert(RETRY_AFTER, HeaderValue::from(AGAIN_SECONDS));
        }
        reply.extensions_mut().insert(self);
        reply
    }
}

/// How errors are told.
#[derive(Debug)]
pub(super) struct Teller {
    /// The routes that programs read.
    pub(super) machines: BTreeSet<&'static str>,
    /// Knows the language of pages that belong to no garden.
    pub(super) snapshot: watch::Receiver<Arc<Snapshot>>,
}

/// Who reads a reply.
#[derive(Debug, Clone, Copy)]
pub(super) struct Reader {
    is_machine: bool,
    as_json: bool,
}

impl Teller {
    /// Who reads what a request is answered.
    pub(super) fn reader(&self, request: &Request) -> Reader {
        let matched = request.extensions().get::<MatchedPath>();
        let is_machine = matched.is_some_and(|path| self.machines.contains(path.as_str()));
        Reader {
            is_machine,
            as_json: is_machine || prefers_json(request.headers()),
        }
    }

    /// Gives each error its body: problem details on the routes of programs and for whoever prefers JSON, else the page
    /// that it has, else a page that says what is wrong.
    pub(super) fn tell(&self, mut reply: Response, reader: Reader) -> Response {
        let status = reply.status();
        if !status.is_client_error() && !status.is_server_error() {
            return reply;
        }
        let problem = reply.extensions_mut().remove::<Problem>();
        let problem = problem.unwrap_or_else(|| Problem::usual(status));
        let has_page = reply.headers().get(CONTENT_TYPE) == Some(&HeaderValue::from_static(HTML));
        if !reader.is_machine {
            reply
                .headers_mut()
                .append(VARY, HeaderValue::from_static("accept"));
        }
        let (media, body) = match (reader.as_json, has_page) {
            (true, _) => (PROBLEM, problem.json()),
            (false, true) => return reply,
            (false, false) => (HTML, page::trouble(status, self.snapshot.borrow().locale)),
        };
        let (mut head, _) = reply.into_parts();
        head.headers.remove(CONTENT_LENGTH);
        head.headers
            .insert(CONTENT_TYPE, HeaderValue::from_static(media));
        Response::from_parts(head, body.into())
    }
}

/// Whether the reader would rather have JSON than HTML, by the weights of `Accept` (RFC 9110, 12.5.1).
fn prefers_json(headers: &HeaderMap) -> bool {
    let lines = headers.get_all(ACCEPT).iter();
    let ranges: Vec<(String, f32)> = lines
        .filter_map(|line| line.to_str().ok())
        .flat_map(|line| line.split(','))
        .map(range)
        .collect();
    let weight = |media: &[&str]| {
        // The most specific range that fits a type tells its weight.
        let of = |name: &str| {
            let mut found = ranges.iter().filter(|(range, _)| range == name);
            found.next().map(|(_, weight)| *weight)
        };
        media.iter().find_map(|name| of(name)).unwrap_or(0.0)
    };
    let json = weight(&[PROBLEM, "application/json", "application/*", "*/*"]);
    let html = weight(&["text/html", "application/xhtml+xml", "text/*", "*/*"]);
    json > html
}

/// A range of media with its weight, 1 where none is given.
fn range(written: &str) -> (String, f32) {
    let mut parts = written.split(';').map(str::trim);
    let media = parts.next().unwrap_or_default().to_ascii_lowercase();
    let weight = parts.find_map(|part| part.strip_prefix("q=")?.parse().ok());
    (media, weight.unwrap_or(1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn json_is_preferred_where_it_weighs_more_than_html() {
        let prefers = |accept: &str| {
            let mut headers = HeaderMap::new();
            headers.insert(ACCEPT, accept.parse().unwrap());
            prefers_json(&headers)
        };
        for accept in [
            "application/json",
            "application/problem+json",
            "Application/JSON, text/html;q=0.9",
            "text/html; q=0.2, application/*;q=0.5",
            "application/json, text/plain, */*;q=0.1",
        ] {
            assert!(prefers(accept), "{accept}");
        }
        for accept in [
            "*/*",
            "text/html",
            "text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8",
            "application/json;q=0.5, text/html",
            "application/json;q=0",
            "",
        ] {
            assert!(!prefers(accept), "{accept}");
        }
        assert!(!prefers_json(&HeaderMap::new()));
    }
}
