//! Replies that a reader need not be sent again: a body with its tag (RFC 9110, 8.8.3 and 13.1.2).
//!
//! In: a body, the headers of the request. Out: the body, or only that it is still the same. Does not keep anything.

use std::hash::{DefaultHasher, Hash, Hasher};
use std::io::Write;

use axum::body::Bytes;
use axum::http::header::{
    ACCEPT_ENCODING, CONTENT_ENCODING, CONTENT_TYPE, ETAG, IF_NONE_MATCH, VARY,
};
use axum::http::{HeaderMap, HeaderValue, StatusCode};
use axum::response::{IntoResponse, Response};
use flate2::Compression;
use flate2::write::GzEncoder;

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

/// So many headers has a reply.
const HEADERS: usize = 16;

/// A body with its tag.
#[derive(Debug, Clone)]
pub(super) struct Tagged {
    plain: Form,
    /// The same packed, for readers who take it so; none where it is not worth it.
    packed: Option<Form>,
}

/// One form of a body: each has a tag of its own (RFC 9110, 8.8.3.3).
#[derive(Debug, Clone)]
struct Form {
    body: Bytes,
    tag: String,
}

impl Form {
    fn of(body: Bytes) -> Self {
        let mut hasher = DefaultHasher::new();
        body.hash(&mut hasher);
        let tag = format!("\"{:016x}\"", hasher.finish());
        Self { body, tag }
    }
}

impl Tagged {
    pub(super) fn new(body: impl Into<Bytes>) -> Self {
        Self {
            plain: Form::of(body.into()),
            packed: None,
        }
    }

    /// A body that is given out again and again, packed once for all who take it so.
    ///
    /// # Errors
    /// When it cannot be packed, which memory does not refuse.
    pub(super) fn packed(body: impl Into<Bytes>) -> std::io::Result<Self> {
        let plain = Form::of(body.into());
        let mut packer = GzEncoder::new(Vec::new(), Compression::default());
        packer.write_all(&plain.body)?;
        let packed = packer.finish()?;
        Ok(Self {
            packed: Some(Form::of(packed.into())),
            plain,
        })
    }

    /// The body, or 304 where the reader has it.
    pub(super) fn reply(self, request: &HeaderMap, media: &'static str) -> Response {
        let varies = self.packed.is_some();
        let packed = self.packed.filter(|_| takes_gzip(request));
        let is_packed = packed.is_some();
        let Form { body, tag } = packed.unwrap_or(self.plain);
        let is_known = |value: &HeaderValue| {
            let value = value.to_str().unwrap_or_default();
            value.split(',').any(|one| {
                let one = one.trim();
                one == "*" || one.strip_prefix("W/").unwrap_or(one) == tag
            })
        };
        let known = request.get_all(IF_NONE_MATCH).iter().any(is_known);
        // With room for what guards each reply, so that the map does not grow from one to the next.
        let mut headers = HeaderMap::with_capacity(HEADERS);
        if let Ok(tag) = HeaderValue::from_maybe_shared(Bytes::from(tag)) {
            headers.insert(ETAG, tag);
        }
        if varies {
            headers.insert(VARY, HeaderValue::from_static("accept-encoding"));
        }
        if known {
            let mut reply = StatusCode::NOT_MODIFIED.into_response();
            *reply.headers_mut() = headers;
            return reply;
        }
        headers.insert(CONTENT_TYPE, HeaderValue::from_static(media));
        if is_packed {
            headers.insert(CONTENT_ENCODING, HeaderValue::from_static("gzip"));
        }
        let mut reply = Response::new(body.into());
        *reply.headers_mut() = headers;
        reply
    }
}

/// Whether a reader takes gzip (RFC 9110, 12.5.3): named, or whatever is not named, and not with a weight of nothing.
fn takes_gzip(request: &HeaderMap) -> bool {
    let lines = request.get_all(ACCEPT_ENCODING).iter();
    let text: Vec<&str> = lines.filter_map(|line| line.to_str().ok()).collect();
    let weight = |wanted: &str| {
        let mut codings = text.iter().flat_map(|line| line.split(','));
        codings.find_map(|coding| {
            let mut parts = coding.split(';').map(str::trim);
            let name = parts.next().unwrap_or_default();
            let weight = parts.find_map(|part| part.strip_prefix("q="));
            let weight = weight.map_or(1.0, |weight| weight.parse::<f64>().unwrap_or(0.0));
            name.eq_ignore_ascii_case(wanted).then_some(weight)
        })
    };
    let weight = weight("gzip")
        .or_else(|| weight("x-gzip"))
        .or_else(|| weight("*"));
    weight.is_some_and(|weight| weight > 0.0)
}

/// The body, or 304 where the reader has it.
pub(super) fn tagged(request: &HeaderMap, media: &'static str, body: String) -> Response {
    Tagged::new(body).reply(request, media)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gzip_is_taken_where_it_is_named_or_not_excluded() {
        let takes = |line: &'static str| {
            let mut request = HeaderMap::new();
            request.insert(ACCEPT_ENCODING, HeaderValue::from_static(line));
            takes_gzip(&request)
        };
        assert!(!takes_gzip(&HeaderMap::new()));
        for line in [
            "gzip",
            "br, GZIP;q=0.5",
            "deflate, *",
            "x-gzip",
            "gzip; q=1.0",
        ] {
            assert!(takes(line), "{line}");
        }
        for line in ["", "br", "gzip;q=0", "*;q=0", "gzip; q=0.0, *", "gzip;q=x"] {
            assert!(!takes(line), "{line}");
        }
    }
}
