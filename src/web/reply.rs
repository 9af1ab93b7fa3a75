//! Replies that a reader need not be sent again: a body with its tag (RFC 9110, 8.8.3 and 13.1.2).
//!
//! In: a body, the headers of the request. Out: the body, or only that it is still the same. Does not keep anything.

use std::hash::{DefaultHasher, Hash, Hasher};

use axum::body::Bytes;
use axum::http::header::{CONTENT_TYPE, ETAG, IF_NONE_MATCH};
use axum::http::{HeaderMap, HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};

/// HTML.
pub(super) const HTML: &str = "text/html; charset=utf-8";

/// A calendar.
pub(super) const CALENDAR: &str = "text/calendar; charset=utf-8";

/// Figures for a monitor.
pub(super) const METRICS: &str = "text/plain; version=0.0.4; charset=utf-8";

/// A style sheet.
pub(super) const CSS: &str = "text/css; charset=utf-8";

/// A word for a monitor.
pub(super) const TEXT: &str = "text/plain; charset=utf-8";

/// JSON.
pub(super) const JSON: &str = "application/json";

/// A body with its tag.
#[derive(Debug, Clone)]
pub(super) struct Tagged {
    body: Bytes,
    tag: String,
}

impl Tagged {
    pub(super) fn new(body: impl Into<Bytes>) -> Self {
        let body = body.into();
        let mut hasher = DefaultHasher::new();
        body.hash(&mut hasher);
        let tag = format!("\"{:016x}\"", hasher.finish());
        Self { body, tag }
    }

    /// The body, or 304 where the reader has it.
    pub(super) fn reply(self, request: &HeaderMap, media: &'static str) -> Response {
        let is_known = |value: &HeaderValue| {
            let value = value.to_str().unwrap_or_default();
            value.split(',').any(|one| {
                let one = one.trim();
                one == "*" || one.strip_prefix("W/").unwrap_or(one) == self.tag
            })
        };
        let known = request.get_all(IF_NONE_MATCH).iter().any(is_known);
        let tag = [(ETAG, self.tag)];
        if known {
            return (StatusCode::NOT_MODIFIED, tag).into_response();
        }
        (tag, [(CONTENT_TYPE, media)], self.body).into_response()
    }
}

/// The body, or 304 where the reader has it.
pub(super) fn tagged(request: &HeaderMap, media: &'static str, body: String) -> Response {
    Tagged::new(body).reply(request, media)
}
