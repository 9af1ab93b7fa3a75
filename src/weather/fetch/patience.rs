//! How often and after which pauses a service is asked again.
//!
//! In: an error and how often it came. Out: pauses. Has no clock and no dice: pauses are spread by who asks, so that
//! many programs do not come at the same moment, and each program does the same every time.

use std::hash::{DefaultHasher, Hash, Hasher};
use std::time::Duration;

use crate::weather::error::{NextStep, WeatherError};

/// How a service is asked again within one look, and left alone after it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Patience {
    /// How often one question is asked in one look at most.
    pub tries: u32,
    /// The pause before the second try; each further one is four times as long.
    pub pause: Duration,
}

/// A service that wants a longer pause than this is left alone until the pause is over (estimate).
const WAIT_MAX: Duration = Duration::from_secs(10);

/// How long a service that failed is left alone at the least; it doubles with each failure (estimate).
const REST: Duration = Duration::from_mins(10);

/// The longest rest of a service that names none (estimate).
const REST_MAX: Duration = Duration::from_hours(1);

/// The rest after a refusal for who asks or how often, where no pause is named (estimate).
const REST_REFUSED: Duration = Duration::from_hours(1);

/// How far pauses are spread, as a share of them (estimate).
const SPREAD: f64 = 0.25;

impl Default for Patience {
    /// Three tries within ten seconds: what a busy gateway needs to recover (estimate).
    fn default() -> Self {
        Self {
            tries: 3,
            pause: Duration::from_secs(2),
        }
    }
}

impl Patience {
    /// How long to wait before the question is asked again in this look, after so many tries; none for not at all.
    ///
    /// Only where another try can help: no connection, a broken one, a gateway in trouble. A quota that is used up is
    /// not knocked at, unless the service itself names a short pause.
    pub(super) fn before_next(
        &self,
        error: &WeatherError,
        tried: u32,
        who: &str,
    ) -> Option<Duration> {
        let NextStep::Retry { after } = error.next_step() else {
            return None;
        };
        let is_quota = matches!(error, WeatherError::Busy { status: 429, .. });
        if tried >= self.tries || (is_quota && after.is_none()) {
            return None;
        }
        let own = self.pause.saturating_mul(4_u32.saturating_pow(tried - 1));
        let pause = spread(own, (who, tried)).max(after.unwrap_or_default());
        (pause <= WAIT_MAX.max(own)).then_some(pause)
    }
}

/// Whether a fault lies with the whole service and not with one of its products: nobody is there, or it is about who
/// asks and how often.
pub(super) const fn is_of_the_whole_service(error: &WeatherError) -> bool {
    matches!(
        error,
        WeatherError::Unreachable { .. }
            | WeatherError::Refused {
                status: 401 | 403,
                ..
            }
            | WeatherError::Busy { status: 429, .. }
    )
}

/// How long a service is left alone after so many looks that failed; none when the fault lies in the question.
pub(super) fn rest(error: &WeatherError, failures: u32, who: &str) -> Option<Duration> {
    let doubled = REST.saturating_mul(2_u32.saturating_pow(failures.saturating_sub(1)));
    let is_of_who_asks = matches!(
        error,
        WeatherError::Refused {
            status: 401 | 403,
            ..
        } | WeatherError::Busy { status: 429, .. }
    );
    let own = if is_of_who_asks {
        REST_REFUSED
    } else if matches!(error.next_step(), NextStep::Retry { .. }) {
        doubled.min(REST_MAX)
    } else {
        return None;
    };
    let asked = match error.next_step() {
        NextStep::Retry { after } => after,
        NextStep::UseFallback | NextStep::AskHuman | NextStep::Stop => None,
    };
    // A service that names a pause knows best, but seconds after all tries have failed are too short.
    let rest = asked.map_or(own, |asked| asked.max(Duration::from_mins(1)));
    Some(rest + spread(rest, (who, failures)).saturating_sub(rest))
}

/// A pause made longer by up to [`SPREAD`], always the same for the same asker.
fn spread(pause: Duration, who: impl Hash) -> Duration {
    pause.mul_f64(1.0 + SPREAD * share(who))
}

/// A share from 0 to 1 that is as good as random, and always the same for the same asker.
pub(super) fn share(who: impl Hash) -> f64 {
    let mut hasher = DefaultHasher::new();
    who.hash(&mut hasher);
    let sixteen = u16::try_from(hasher.finish() >> 48).unwrap_or_default();
    f64::from(sixteen) / f64::from(u16::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn busy(status: u16, after: Option<u64>) -> WeatherError {
        WeatherError::Busy {
            service: "sky".to_owned(),
            status,
            reason: String::new(),
            after: after.map(Duration::from_secs),
        }
    }

    fn pauses(error: &WeatherError) -> Vec<f64> {
        let patience = Patience::default();
        let pause = |tried| patience.before_next(error, tried, "me");
        (1..).map_while(pause).map(|p| p.as_secs_f64()).collect()
    }

    #[test]
    fn a_gateway_in_trouble_is_asked_three_times_within_ten_seconds_or_so() {
        let pauses = pauses(&busy(503, None));
        assert_eq!(pauses.len(), 2);
        assert!((2.0..=2.5).contains(&pauses[0]), "{pauses:?}");
        assert!((8.0..=10.0).contains(&pauses[1]), "{pauses:?}");
    }

    #[test]
    fn a_short_pause_that_is_named_is_kept_and_a_long_one_ends_the_look() {
        let short = pauses(&busy(429, Some(5)));
        assert!((5.0..5.01).contains(&short[0]), "{short:?}");
        assert!(pauses(&busy(429, Some(60))).is_empty());
        assert!(pauses(&busy(503, Some(60))).is_empty());
    }

    #[test]
    fn a_used_up_quota_and_a_refusal_are_not_knocked_at() {
        assert!(pauses(&busy(429, None)).is_empty());
        let refused = WeatherError::Refused {
            service: "sky".to_owned(),
            status: 403,
            reason: String::new(),
        };
        assert!(pauses(&refused).is_empty());
        assert!(rest(&refused, 1, "me").unwrap() >= REST_REFUSED);
    }

    #[test]
    fn rests_double_up_to_an_hour_and_a_named_pause_is_never_cut_short() {
        let minutes = |error: &WeatherError, failures| {
            let rest = rest(error, failures, "me").unwrap();
            rest.as_secs_f64() / 60.0
        };
        for (failures, least) in [(1, 10.0), (2, 20.0), (3, 40.0), (4, 60.0), (99, 60.0)] {
            let rest = minutes(&busy(503, None), failures);
            assert!((least..=1.25 * least).contains(&rest), "{failures}: {rest}");
        }
        assert!(minutes(&busy(503, Some(7200)), 1) >= 120.0);
        assert!(minutes(&busy(429, None), 1) >= 60.0);
        assert!((1.0..=1.25).contains(&minutes(&busy(429, Some(5)), 1)));
    }

    #[test]
    fn askers_are_spread() {
        let shares: Vec<f64> = (0..100).map(share).collect();
        let mean = shares.iter().sum::<f64>() / 100.0;
        assert!((0.4..0.6).contains(&mean), "{mean}");
        assert_eq!(share("me").to_bits(), share("me").to_bits());
    }
}
