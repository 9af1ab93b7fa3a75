//! The connections that are open at once: as many as there are seats.
//!
//! In: connections as they come. Out: a seat for each, or none. Who comes to a full house gets the seat of the one that
//! has waited longest without asking anything, so that clients that only hold on keep nobody out; who was answered before
//! gives way after those who never were. Does not read a byte.

use std::collections::BTreeMap;
use std::net::IpAddr;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use tokio::time::Instant;
use tokio_util::sync::{CancellationToken, WaitForCancellationFuture};

/// So many connections are open at most.
const SEATS: usize = 64;

/// So many of one address, unless several people may stand behind it: a browser opens six (common practice, no source).
const SEATS_EACH: usize = 16;

/// A connection whose reply is not fetched in this time is closed (estimate); requests end long before.
const STUCK: Duration = Duration::from_secs(30);

/// All seats.
#[derive(Debug, Clone)]
pub(super) struct Seats {
    begin: Instant,
    taken: Arc<Mutex<Taken>>,
}

#[derive(Debug, Default)]
struct Taken {
    next: u64,
    seats: BTreeMap<u64, Arc<Place>>,
}

/// What is known of a connection.
#[derive(Debug)]
struct Place {
    peer: IpAddr,
    begin: Instant,
    is_asking: AtomicBool,
    was_answered: AtomicBool,
    /// Since when it waits or asks, in milliseconds since `begin`.
    since: AtomicU64,
    gone: CancellationToken,
}

/// A connection's seat; free again when it is dropped.
#[derive(Debug)]
pub(super) struct Seat {
    number: u64,
    place: Arc<Place>,
    taken: Arc<Mutex<Taken>>,
}

impl Seats {
    pub(super) fn new() -> Self {
        Self {
            begin: Instant::now(),
            taken: Arc::default(),
        }
    }

    /// A seat for a peer, behind whose address several people may stand or not; none where everybody is being served.
    pub(super) fn take(&self, peer: IpAddr, alone: Alone) -> Option<Seat> {
        let mut taken = self.taken.lock().unwrap_or_else(PoisonError::into_inner);
        let of_peer = |place: &Place| place.peer == peer;
        let many = alone == Alone::Yes
            && taken.seats.values().filter(|place| of_peer(place)).count() >= SEATS_EACH;
        if many {
            taken.free(of_peer)?;
        } else if taken.seats.len() >= SEATS {
            taken.free(|_| true)?;
        }
        let number = taken.next;
        taken.next += 1;
        let place = Arc::new(Place {
            peer,
            begin: self.begin,
            is_asking: AtomicBool::new(false),
            was_answered: AtomicBool::new(false),
            since: AtomicU64::new(millis(self.begin)),
            gone: CancellationToken::new(),
        });
        taken.seats.insert(number, Arc::clone(&place));
        drop(taken);
        Some(Seat {
            number,
            place,
            taken: Arc::clone(&self.taken),
        })
    }

    /// Closes the connections whose replies are not fetched.
    pub(super) fn sweep(&self) {
        let taken = self.taken.lock().unwrap_or_else(PoisonError::into_inner);
        let stuck = u64::try_from(STUCK.as_millis()).unwrap_or(u64::MAX);
        let now = millis(self.begin);
        for place in taken.seats.values() {
            if now.saturating_sub(place.since.load(Ordering::Relaxed)) > stuck {
                place.gone.cancel();
            }
        }
    }

    /// Closes all connections.
    pub(super) fn clear(&self) {
        let taken = self.taken.lock().unwrap_or_else(PoisonError::into_inner);
        for place in taken.seats.values() {
            place.gone.cancel();
        }
    }
}

/// Whether one client stands behind an address.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Alone {
    /// As far as is known.
    Yes,
    /// It is a proxy's.
    No,
}

impl Taken {
    /// Frees the seat of the one that has waited longest, of those that are meant, one that never asked anything whole
    /// before one that did; none where all are being served.
    fn free(&mut self, is_meant: impl Fn(&Place) -> bool) -> Option<()> {
        let waiting = self
            .seats
            .iter()
            .filter(|(_, place)| is_meant(place) && !place.is_asking.load(Ordering::Relaxed));
        let longest = waiting.min_by_key(|(_, place)| {
            let was_answered = place.was_answered.load(Ordering::Relaxed);
            (was_answered, place.since.load(Ordering::Relaxed))
        });
        let number = longest.map(|(number, _)| *number)?;
        let place = self.seats.remove(&number)?;
        place.gone.cancel();
        Some(())
    }
}

impl Seat {
    /// A request has come whole enough to be answered.
    pub(super) fn asks(&self) {
        self.place.is_asking.store(true, Ordering::Relaxed);
        self.place.begin_anew();
    }

    /// It is answered.
    pub(super) fn is_answered(&self) {
        self.place.was_answered.store(true, Ordering::Relaxed);
        self.place.is_asking.store(false, Ordering::Relaxed);
        self.place.begin_anew();
    }

    /// Ends when the seat is needed for somebody else.
    pub(super) fn gone(&self) -> WaitForCancellationFuture<'_> {
        self.place.gone.cancelled()
    }
}

impl Drop for Seat {
    fn drop(&mut self) {
        let mut taken = self.taken.lock().unwrap_or_else(PoisonError::into_inner);
        taken.seats.remove(&self.number);
    }
}

impl Place {
    /// The time from which it waits or asks is now.
    fn begin_anew(&self) {
        self.since.store(millis(self.begin), Ordering::Relaxed);
    }
}

fn millis(begin: Instant) -> u64 {
    u64::try_from(begin.elapsed().as_millis()).unwrap_or(u64::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    const ONE: IpAddr = IpAddr::V4(std::net::Ipv4Addr::new(192, 0, 2, 1));

    fn is_gone(seat: &Seat) -> bool {
        seat.place.gone.is_cancelled()
    }

    #[tokio::test(start_paused = true)]
    async fn whoever_waits_longest_makes_room() {
        let seats = Seats::new();
        let mut sat = Vec::new();
        for n in 0..SEATS {
            sat.push(seats.take(ONE, Alone::No).unwrap());
            tokio::time::advance(Duration::from_millis(10)).await;
            // The first one asks again and again, the second one is being answered.
            sat[0].asks();
            sat[0].is_answered();
            if n == 1 {
                sat[1].asks();
            }
        }
        let came = seats.take(ONE, Alone::No).unwrap();
        let gone: Vec<usize> = (0..SEATS).filter(|n| is_gone(&sat[*n])).collect();
        assert_eq!(gone, [2]);
        assert!(!is_gone(&came));
        assert_eq!(seats.taken.lock().unwrap().seats.len(), SEATS);
    }

    #[tokio::test(start_paused = true)]
    async fn a_crowd_that_never_asks_keeps_out_none_but_itself() {
        let seats = Seats::new();
        let reader = seats.take(ONE, Alone::No).unwrap();
        reader.asks();
        reader.is_answered();
        tokio::time::advance(Duration::from_millis(10)).await;
        let crowd: Vec<Seat> = (0..10 * SEATS)
            .map(|_| seats.take(ONE, Alone::No).unwrap())
            .collect();
        assert!(!is_gone(&reader));
        assert_eq!(
            crowd.iter().filter(|seat| !is_gone(seat)).count(),
            SEATS - 1
        );
    }

    #[tokio::test(start_paused = true)]
    async fn a_house_where_all_are_served_takes_nobody_until_one_leaves() {
        let seats = Seats::new();
        let sat: Vec<Seat> = (0..SEATS)
            .map(|_| seats.take(ONE, Alone::No).unwrap())
            .collect();
        sat.iter().for_each(Seat::asks);
        assert!(seats.take(ONE, Alone::No).is_none());
        drop(sat);
        assert!(seats.take(ONE, Alone::No).is_some());
    }

    #[tokio::test(start_paused = true)]
    async fn one_address_has_its_share_and_takes_it_from_itself() {
        let seats = Seats::new();
        let other = seats
            .take(IpAddr::from([192, 0, 2, 2]), Alone::Yes)
            .unwrap();
        tokio::time::advance(Duration::from_millis(10)).await;
        let sat: Vec<Seat> = (0..SEATS)
            .map(|_| seats.take(ONE, Alone::Yes).unwrap())
            .collect();
        assert_eq!(sat.iter().filter(|seat| !is_gone(seat)).count(), SEATS_EACH);
        assert!(!is_gone(&other));
    }

    #[tokio::test(start_paused = true)]
    async fn a_reply_that_is_not_fetched_is_given_up() {
        let seats = Seats::new();
        let seat = seats.take(ONE, Alone::Yes).unwrap();
        seat.asks();
        seat.is_answered();
        tokio::time::advance(STUCK).await;
        seats.sweep();
        assert!(!is_gone(&seat));
        tokio::time::advance(Duration::from_millis(1)).await;
        seats.sweep();
        assert!(is_gone(&seat));
    }
}
