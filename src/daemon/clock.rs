//! The one place that reads the time.

use std::fmt;
use std::sync::Arc;

use chrono::{DateTime, Utc};

/// Tells the time.
#[derive(Clone)]
pub struct Clock(Arc<dyn Fn() -> DateTime<Utc> + Send + Sync>);

impl Clock {
    /// The machine's clock.
    #[allow(
        clippy::disallowed_methods,
        reason = "everything else takes the time from here"
    )]
    pub fn system() -> Self {
        Self(Arc::new(Utc::now))
    }

    /// A clock that stands still.
    pub fn standing(at: DateTime<Utc>) -> Self {
        Self(Arc::new(move || at))
    }

    /// A clock that starts at a moment and runs on as the machine's does.
    pub fn from(start: DateTime<Utc>) -> Self {
        let system = Self::system();
        let ahead = start - system.now();
        Self(Arc::new(move || system.now() + ahead))
    }

    /// Any other clock.
    pub fn of(now: impl Fn() -> DateTime<Utc> + Send + Sync + 'static) -> Self {
        Self(Arc::new(now))
    }

    /// The moment.
    pub fn now(&self) -> DateTime<Utc> {
        (self.0)()
    }

    /// The clock as the web edge takes it.
    pub fn teller(&self) -> Arc<dyn Fn() -> DateTime<Utc> + Send + Sync> {
        Arc::clone(&self.0)
    }
}

impl fmt::Debug for Clock {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Clock({})", self.now())
    }
}
