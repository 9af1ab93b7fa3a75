//! What guards each reply: who may ask, how long it may take, that a fault of the program is told, what a page may load.
//!
//! In: a request and what answers it. Out: a reply with its headers; no error leaves without a word. One layer does it
//! all: each by itself would lay every request into a box once more.

use std::any::Any;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::pin::pin;
use std::sync::Arc;
use std::task::Poll;

use axum::extract::{Request, State};
use axum::http::header::{
    CACHE_CONTROL, CONTENT_SECURITY_POLICY, REFERRER_POLICY, X_CONTENT_TYPE_OPTIONS,
};
use axum::http::{HeaderMap, HeaderName, HeaderValue, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use tokio::time::timeout;

use super::door::Doorkeeper;
use super::problem::Teller;
use super::serve::REQUEST_TIMEOUT;

/// Pages load their style sheet from here and nothing else may load or run.
const POLICY: &str = "default-src 'none'; style-src 'self'; img-src 'self' data:; form-action 'self'; \
                      base-uri 'none'; frame-ancestors 'none'";

/// Nobody else's page shares our window (HTML, 7.1.3).
const OPENER_POLICY: HeaderName = HeaderName::from_static("cross-origin-opener-policy");

/// Nobody else's page loads our replies (Fetch, 3.7).
const RESOURCE_POLICY: HeaderName = HeaderName::from_static("cross-origin-resource-policy");

/// What every reply says, whatever its route does.
const HEADERS: [(HeaderName, HeaderValue); 5] = [
    (CONTENT_SECURITY_POLICY, HeaderValue::from_static(POLICY)),
    (X_CONTENT_TYPE_OPTIONS, HeaderValue::from_static("nosniff")),
    (REFERRER_POLICY, HeaderValue::from_static("no-referrer")),
    (OPENER_POLICY, HeaderValue::from_static("same-origin")),
    (RESOURCE_POLICY, HeaderValue::from_static("same-origin")),
];

/// Who guards.
#[derive(Debug)]
pub(super) struct Guard {
    pub(super) keeper: Doorkeeper,
    pub(super) teller: Teller,
}

/// Answers a request that may be asked, in time and whatever breaks down.
pub(super) async fn answer(
    State(guard): State<Arc<Guard>>,
    request: Request,
    next: Next,
) -> Response {
    let reader = guard.teller.reader(&request);
    let asker = guard.keeper.asker(&request);
    let reply = match guard.keeper.refusal(&request, asker) {
        None => in_time(next.run(request)).await,
        Some(refusal) => refusal,
    };
    guard.keeper.count(&reply, asker);
    let mut reply = guard.teller.tell(reply, reader);
    say(reply.headers_mut());
    reply
}

/// A reply, or that it took too long, or that the program has a fault.
async fn in_time(reply: impl Future<Output = Response>) -> Response {
    match timeout(REQUEST_TIMEOUT, caught(reply)).await {
        Ok(Ok(reply)) => reply,
        Ok(Err(fault)) => {
            let said = fault.downcast_ref::<&str>().copied();
            let said = said.or_else(|| fault.downcast_ref::<String>().map(String::as_str));
            tracing::error!(
                fault = said.unwrap_or("it said nothing"),
                "a reply broke down"
            );
            StatusCode::INTERNAL_SERVER_ERROR.into_response()
        }
        Err(_) => StatusCode::REQUEST_TIMEOUT.into_response(),
    }
}

/// What a piece of work gives, or what it said when it broke down.
async fn caught<T>(work: impl Future<Output = T>) -> Result<T, Box<dyn Any + Send>> {
    let mut work = pin!(work);
    std::future::poll_fn(|context| {
        // What broke down is not asked again.
        let polled = catch_unwind(AssertUnwindSafe(|| work.as_mut().poll(context)));
        match polled {
            Ok(polled) => polled.map(Ok),
            Err(fault) => Poll::Ready(Err(fault)),
        }
    })
    .await
}

fn say(headers: &mut HeaderMap) {
    for (name, value) in HEADERS {
        headers.insert(name, value);
    }
    headers
        .entry(CACHE_CONTROL)
        .or_insert(HeaderValue::from_static("no-cache"));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[tokio::test(start_paused = true)]
    async fn a_fault_and_a_long_wait_are_replies() {
        let late = std::future::pending::<Response>();
        assert_eq!(in_time(late).await.status(), StatusCode::REQUEST_TIMEOUT);
        let broken = async { panic!("a fault of the test") };
        let reply = in_time(broken).await;
        assert_eq!(reply.status(), StatusCode::INTERNAL_SERVER_ERROR);
        let well = async { StatusCode::NO_CONTENT.into_response() };
        assert_eq!(in_time(well).await.status(), StatusCode::NO_CONTENT);
    }

    #[test]
    fn a_route_says_how_long_its_reply_is_kept_and_nothing_else_of_these() {
        let mut headers = HeaderMap::new();
        headers.insert(CACHE_CONTROL, HeaderValue::from_static("no-store"));
        headers.insert(REFERRER_POLICY, HeaderValue::from_static("unsafe-url"));
        say(&mut headers);
        assert_eq!(headers[CACHE_CONTROL], "no-store");
        assert_eq!(headers[REFERRER_POLICY], "no-referrer");
        assert_eq!(headers.len(), 6);
    }
}
