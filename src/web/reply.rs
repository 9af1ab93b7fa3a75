//! Replies that a reader need not be sent again: a body with its tag (RFC 9110, 8.8.3 and 13.1.2).
//!
//! In: a body, the headers of the request. Out: the body, or only that it is still the same. Does not keep anything.

use std::hash::{DefaultHasher, Hash, Hasher};

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

/// The body, or 304 where the reader has it.
pub(super) fn tagged(request: &HeaderMap, media: &'static str, body: String) -> Response {
    let mut hasher = DefaultHasher::new();
    body.hash(&mut hasher);
    let tag = format!("\"{:016x}\"", hasher.finish());
    let is_known = |value: &HeaderValue| {
        let value = value.to_str().unwrap_or_default();
        value.split(',').any(|one| {
            let one = one.trim();
            one == "*" || one.strip_prefix("W/").unwrap_or(one) == tag
        })
    };
    let known = request.get_all(IF_NONE_MATCH).iter().any(is_known);
    let tag = [(ETAG, tag)];
    if known {
        return (StatusCode::NOT_MODIFIED, tag).into_response();
    }
    (tag, [(CONTENT_TYPE, media)], body).into_response()
}
