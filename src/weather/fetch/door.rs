//! The door of one service: behind it the answers that it gave, and until when it or one of its products is to be left
//! alone.
//!
//! In: questions and answers. Out: whether to ask, and with which conditions. Whoever holds the door is alone at it:
//! a service is asked one thing at a time. In memory only: after a restart the schedule of the looks, which is on
//! disk, keeps the program from asking too soon.

use std::collections::BTreeMap;
use std::time::{Duration, SystemTime};

use chrono::{DateTime, TimeDelta, Utc};
use http_cache_semantics::{BeforeRequest, CacheOptions, CachePolicy, ResponseLike};
use reqwest::header::{ETAG, HeaderMap, IF_MODIFIED_SINCE, IF_NONE_MATCH, LAST_MODIFIED};
use reqwest::{Request, StatusCode};

use super::patience;
use crate::weather::error::WeatherError;
use crate::weather::question::SHARED_FOR;

/// However long a service says that its answer is good, after this time it is asked (estimate).
const KEPT_FOR: TimeDelta = TimeDelta::hours(12);

/// So many answers are kept of one service.
const KEPT_MAX: usize = 24;

/// What is remembered of one service.
#[derive(Debug, Default)]
pub(super) struct Door {
    kept: BTreeMap<String, Kept>,
    /// What failed, by the product; without a name the whole service.
    failed: BTreeMap<Option<&'static str>, Failed>,
    /// Questions that will not be answered, why, and when they were put.
    refused: BTreeMap<String, (WeatherError, DateTime<Utc>)>,
}

/// What is remembered of failures.
#[derive(Debug, Default)]
struct Failed {
    times: u32,
    /// From when until when it is left alone.
    rest: Option<(DateTime<Utc>, DateTime<Utc>)>,
}

/// A whole answer that was kept.
#[derive(Debug)]
struct Kept {
    policy: CachePolicy,
    headers: HeaderMap,
    /// Unpacked.
    body: Vec<u8>,
    /// When it was asked for; the data are no younger.
    came_at: DateTime<Utc>,
    /// When the service last said that it is good.
    said_at: DateTime<Utc>,
}

/// The first lines of an answer.
#[derive(Debug)]
pub(super) struct Head {
    pub(super) status: StatusCode,
    pub(super) headers: HeaderMap,
}

impl ResponseLike for Head {
    fn status(&self) -> StatusCode {
        self.status
    }

    fn headers(&self) -> &HeaderMap {
        &self.headers
    }
}

/// A body and when it first came.
pub(super) type Dated<T> = (T, DateTime<Utc>);

impl Door {
    /// How long a product of the service, or all of it, is still to be left alone.
    pub(super) fn rests(&self, product: &'static str, now: DateTime<Utc>) -> Option<Duration> {
        let left = |what| {
            let (from, until) = self.failed.get(&what)?.rest?;
            // A clock that was set back must not make the rest longer.
            let left = (until - now).to_std().ok()?;
            (now >= from && !left.is_zero()).then_some(left)
        };
        left(None).max(left(Some(product)))
    }

    /// The answer that is still good for a request; none when the service has to be asked.
    pub(super) fn good(
        &self,
        request: &Request,
        good_for: TimeDelta,
        now: DateTime<Utc>,
    ) -> Option<Dated<&[u8]>> {
        let kept = self.kept.get(request.url().as_str())?;
        let age = now - kept.said_at;
        // The answer may have come a little after the moment of the look; a clock that was set back is not trusted.
        let is_young = -SHARED_FOR < age && age < KEPT_FOR.max(good_for);
        let is_good = || {
            let before = kept.policy.before_request(request, SystemTime::from(now));
            age < good_for || matches!(before, BeforeRequest::Fresh(_))
        };
        (is_young && is_good()).then_some((kept.body.as_slice(), kept.came_at))
    }

    /// Why a question will not be answered, where it was put just now: it is not put again for the next garden.
    pub(super) fn refuses(&self, request: &Request, now: DateTime<Utc>) -> Option<WeatherError> {
        let (error, at) = self.refused.get(request.url().as_str())?;
        let is_young = (now - *at).abs() < SHARED_FOR;
        is_young.then(|| error.of_the_question()).flatten()
    }

    /// Puts the conditions into a request under which the service need not send its answer again.
    pub(super) fn ask_for_changes_only(&self, request: &mut Request, now: DateTime<Utc>) {
        let Some(kept) = self.kept.get(request.url().as_str()) else {
            return;
        };
        let before = kept.policy.before_request(request, SystemTime::from(now));
        if let BeforeRequest::Stale {
            request: asked,
            matches: true,
        } = before
        {
            for name in [IF_NONE_MATCH, IF_MODIFIED_SINCE] {
                if let Some(value) = asked.headers.get(&name) {
                    request.headers_mut().insert(name, value.clone());
                }
            }
        }
    }

    /// A product of the service is well, whatever it answered.
    pub(super) fn is_well(&mut self, product: &'static str) {
        self.failed.remove(&None);
        self.failed.remove(&Some(product));
    }

    /// A product of the service failed, or the service itself: it is left alone for a while, unless the fault lies in
    /// the question: then that is remembered.
    pub(super) fn failed(
        &mut self,
        (request, product): (&Request, &'static str),
        error: &WeatherError,
        (asked_at, now): (DateTime<Utc>, DateTime<Utc>),
        who: &str,
    ) {
        if let Some(error) = error.of_the_question() {
            self.refused.retain(|_, (_, at)| now - *at < SHARED_FOR);
            self.refused
                .insert(request.url().to_string(), (error, asked_at));
        }
        let what = (!patience::is_of_the_whole_service(error)).then_some(product);
        let failed = self.failed.entry(what).or_default();
        failed.times = failed.times.saturating_add(1);
        let until = patience::rest(error, failed.times, who)
            .and_then(|rest| TimeDelta::from_std(rest).ok())
            .and_then(|rest| now.checked_add_signed(rest));
        failed.rest = until.map(|until| (asked_at, until));
    }

    /// Forgets an answer that has proved wrong.
    pub(super) fn forget(&mut self, request: &Request) {
        self.kept.remove(request.url().as_str());
        self.refused.remove(request.url().as_str());
    }

    /// Keeps a whole answer, where the service allows it.
    pub(super) fn keep(
        &mut self,
        request: &Request,
        head: Head,
        body: Vec<u8>,
        (asked_at, now): (DateTime<Utc>, DateTime<Utc>),
    ) {
        let policy = policy(request, &head, now);
        let key = request.url().to_string();
        // A version that will be gone soon knows no conditions.
        if !policy.is_storable() || head.status != StatusCode::OK {
            self.kept.remove(&key);
            return;
        }
        let kept = Kept {
            policy,
            headers: head.headers,
            body,
            came_at: asked_at,
            said_at: now,
        };
        self.kept.insert(key, kept);
        while self.kept.len() > KEPT_MAX {
            let oldest = self.kept.iter().min_by_key(|(_, kept)| kept.said_at);
            let Some(oldest) = oldest.map(|(key, _)| key.clone()) else {
                return;
            };
            self.kept.remove(&oldest);
        }
    }

    /// The service says that nothing has changed: what is kept is good again, and as old as it was.
    pub(super) fn unchanged(
        &mut self,
        request: &Request,
        head: &Head,
        now: DateTime<Utc>,
    ) -> Option<Dated<&[u8]>> {
        let kept = self.kept.get_mut(request.url().as_str())?;
        let validators = [ETAG, LAST_MODIFIED].map(|name| {
            let value = kept.headers.get(&name).cloned();
            (name, value)
        });
        let mut headers = head.headers.clone();
        for (name, value) in validators {
            if let (false, Some(value)) = (headers.contains_key(&name), value) {
                headers.insert(name, value);
            }
        }
        let head = Head {
            status: StatusCode::OK,
            headers,
        };
        kept.policy = policy(request, &head, now);
        kept.headers = head.headers;
        kept.said_at = now;
        Some((kept.body.as_slice(), kept.came_at))
    }
}

fn policy(request: &Request, head: &Head, now: DateTime<Utc>) -> CachePolicy {
    let options = CacheOptions {
        shared: false,
        // Only what a service says itself: a guess could keep old weather.
        cache_heuristic: 0.0,
        ..CacheOptions::default()
    };
    CachePolicy::new_options(request, head, SystemTime::from(now), options)
}
