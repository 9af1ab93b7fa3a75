//! Wrong keys, counted by the address that shows them: whoever guesses has to wait.
//!
//! In: an address and the time. Out: how long it is still refused. Does not know what a key is.

use std::collections::HashMap;
use std::net::{IpAddr, Ipv6Addr};
use std::sync::{Mutex, PoisonError};
use std::time::Duration;

use tokio::time::Instant;

/// So many wrong keys an address may show in [`WINDOW`] (common practice, no source).
const WRONG_MAX: u32 = 10;

/// For so long wrong keys count.
const WINDOW: Duration = Duration::from_mins(1);

/// So many addresses are remembered; then the one that began first is forgotten.
const ADDRESSES_MAX: usize = 1024;

/// The wrong keys of the last minute.
#[derive(Debug, Default)]
pub(super) struct Failures(Mutex<HashMap<IpAddr, (Instant, u32)>>);

impl Failures {
    /// How long the address is refused; none where it may try.
    pub(super) fn refused_for(&self, address: IpAddr, now: Instant) -> Option<Duration> {
        let failures = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let (since, wrong) = *failures.get(&line(address))?;
        let left = WINDOW.checked_sub(now.saturating_duration_since(since))?;
        (wrong >= WRONG_MAX && !left.is_zero()).then_some(left)
    }

    /// Counts a wrong key.
    pub(super) fn count(&self, address: IpAddr, now: Instant) {
        let mut failures = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let is_old = |since: Instant| now.saturating_duration_since(since) >= WINDOW;
        let address = line(address);
        if failures.len() >= ADDRESSES_MAX && !failures.contains_key(&address) {
            failures.retain(|_, (since, _)| !is_old(*since));
            let first = failures.iter().min_by_key(|(_, (since, _))| *since);
            let first = first.map(|(address, _)| *address);
            if let Some(first) = first.filter(|_| failures.len() >= ADDRESSES_MAX) {
                failures.remove(&first);
            }
        }
        let (since, wrong) = failures.entry(address).or_insert((now, 0));
        if is_old(*since) {
            (*since, *wrong) = (now, 0);
        }
        *wrong = wrong.saturating_add(1);
    }
}

/// What one line from outside has: all of an IPv6 subnet, the first 64 bits (RFC 4291, 2.5.1 and 2.5.4).
fn line(address: IpAddr) -> IpAddr {
    match address.to_canonical() {
        IpAddr::V4(address) => IpAddr::V4(address),
        IpAddr::V6(address) => {
            let [a, b, c, d, ..] = address.segments();
            IpAddr::V6(Ipv6Addr::new(a, b, c, d, 0, 0, 0, 0))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(text: &str) -> IpAddr {
        text.parse().unwrap()
    }

    #[test]
    fn ten_wrong_keys_close_the_door_for_the_rest_of_the_minute() {
        let failures = Failures::default();
        let begin = Instant::now();
        let after = |seconds| begin + Duration::from_secs(seconds);
        for second in 0..9 {
            failures.count(at("192.0.2.1"), after(second));
        }
        assert_eq!(failures.refused_for(at("192.0.2.1"), after(10)), None);
        failures.count(at("::ffff:192.0.2.1"), after(10));
        let left = Some(Duration::from_secs(49));
        assert_eq!(failures.refused_for(at("192.0.2.1"), after(11)), left);
        assert_eq!(failures.refused_for(at("192.0.2.2"), after(11)), None);
        assert_eq!(failures.refused_for(at("192.0.2.1"), after(60)), None);
        failures.count(at("192.0.2.1"), after(61));
        assert_eq!(failures.refused_for(at("192.0.2.1"), after(61)), None);
    }

    #[test]
    fn a_network_of_one_household_counts_as_one() {
        let failures = Failures::default();
        let now = Instant::now();
        for last in 0..10 {
            failures.count(at(&format!("2001:db8:1:2::{last}")), now);
        }
        assert!(failures.refused_for(at("2001:db8:1:2:3::"), now).is_some());
        assert!(failures.refused_for(at("2001:db8:1:3::"), now).is_none());
    }

    #[test]
    fn no_crowd_fills_the_memory() {
        let failures = Failures::default();
        let now = Instant::now();
        for n in 0..5000_u32 {
            failures.count(IpAddr::V4(n.into()), now);
        }
        assert_eq!(failures.0.lock().unwrap().len(), ADDRESSES_MAX);
    }
}
