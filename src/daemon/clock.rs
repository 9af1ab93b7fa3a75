//! The one place that reads the time.

use std::fmt;
use std::ops::RangeInclusive;
use std::sync::Arc;

use chrono::{DateTime, Months, NaiveDate, NaiveTime, Utc};

/// Tells the time.
#[derive(Clone)]
pub struct Clock {
    now: Arc<dyn Fn() -> DateTime<Utc> + Send + Sync>,
    /// What can be the time; none for a clock that was set on purpose.
    can_be: Option<RangeInclusive<DateTime<Utc>>>,
}

/// When this version was made; moved with each release. A clock that shows less has lost its time.
const MADE_ON: NaiveDate = match NaiveDate::from_ymd_opt(2026, 11, 26) {
    Some(day) => day,
    None => NaiveDate::MIN,
};

/// A version is not used for longer than this; a clock that shows more is wrong (estimate).
const USED_FOR: Months = Months::new(120);

impl Clock {
    /// The machine's clock.
    #[allow(
        clippy::disallowed_methods,
        reason = "everything else takes the time from here"
    )]
    pub fn system() -> Self {
        Self::of(Utc::now).within(MADE_ON, MADE_ON + USED_FOR)
    }

    /// A clock that stands still.
    pub fn standing(at: DateTime<Utc>) -> Self {
        Self::of(move || at)
    }

    /// A clock that starts at a moment and runs on as the machine's does.
    pub fn from(start: DateTime<Utc>) -> Self {
        let system = Self::system();
        let ahead = start - system.now();
        Self::of(move || system.now() + ahead)
    }

    /// Any other clock.
    pub fn of(now: impl Fn() -> DateTime<Utc> + Send + Sync + 'static) -> Self {
        Self {
            now: Arc::new(now),
            can_be: None,
        }
    }

    /// The same clock, not to be believed before the one day and after the other.
    #[must_use]
    pub fn within(self, first: NaiveDate, last: NaiveDate) -> Self {
        let midnight = |day: NaiveDate| day.and_time(NaiveTime::MIN).and_utc();
        Self {
            can_be: Some(midnight(first)..=midnight(last)),
            ..self
        }
    }

    /// Whether what it shows can be the time.
    pub fn is_believable(&self) -> bool {
        let now = self.now();
        self.can_be
            .as_ref()
            .is_none_or(|can_be| can_be.contains(&now))
    }

    /// The moment.
    pub fn now(&self) -> DateTime<Utc> {
        (self.now)()
    }

    /// The clock as the web edge takes it.
    pub fn teller(&self) -> Arc<dyn Fn() -> DateTime<Utc> + Send + Sync> {
        Arc::clone(&self.now)
    }
}

impl fmt::Debug for Clock {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Clock({})", self.now())
    }
}
