//! How long one input may take: on a core, so that a busy machine makes no difference.

use std::time::Duration;

use rustix::time::{ClockId, clock_gettime};

/// An input that takes longer is a finding.
const LONGEST: Duration = Duration::from_millis(100);

/// The time that one input may take.
pub struct Limit(Duration);

impl Limit {
    /// 100 ms, or the milliseconds of `FUZZ_LIMIT_MS`, for a build that is slow by its nature.
    pub fn set() -> Self {
        let told = std::env::var("FUZZ_LIMIT_MS").ok();
        Self(told.map_or(LONGEST, |text| {
            Duration::from_millis(text.parse().expect("FUZZ_LIMIT_MS is a number"))
        }))
    }

    /// Lets something run, and stops all when it took too long.
    pub fn hold(&self, what: impl FnOnce()) {
        let begun = on_a_core();
        what();
        let taken = on_a_core().saturating_sub(begun);
        assert!(taken <= self.0, "too long: {taken:?} of a core");
    }
}

/// How long this thread has run.
fn on_a_core() -> Duration {
    let time = clock_gettime(ClockId::ThreadCPUTime);
    Duration::try_from(time).unwrap_or_default()
}
