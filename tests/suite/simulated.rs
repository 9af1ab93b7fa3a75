//! A year of a whole program whose clock, weather, disk, mail server and keeper go wrong by a seed, and what it promises
//! all the same.
//!
//! The program's own looks, store, outbox and postman run on simulated time: four moments a day at which what is due is
//! done. A few seeds here; many by
//!
//! ```text
//! SIM_SEEDS=1000 SIM_GARDENS=20 SIM_DAYS=365 cargo test --release --test suite simulated:: -- --ignored --nocapture
//! ```
//!
//! `SIM_FIRST=300` begins with that seed; `SIM_SEED=17` runs that seed alone and prints its log.

mod chance;
mod promises;
mod relay;
mod sky;
mod world;

use std::hash::{Hash, Hasher};
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Instant;

use std::sync::Arc;

use budward::store::Database;

pub(crate) use world::Wanted;
use world::{Sums, World};

fn number(name: &str, otherwise: u64) -> u64 {
    std::env::var(name).map_or(otherwise, |text| text.parse().unwrap())
}

/// What tells one log from another, so that runs of two builds can be held side by side.
fn mark(log: &[String]) -> u64 {
    let mut hasher = std::hash::DefaultHasher::new();
    log.hash(&mut hasher);
    hasher.finish()
}

/// One seed on a runtime of its own, so that nothing but the seed orders what happens.
fn run(wanted: Wanted) -> (Vec<String>, Sums) {
    run_on(wanted, None)
}

/// The same on a file or a database.
pub(crate) fn run_on(wanted: Wanted, database: Option<Arc<Database>>) -> (Vec<String>, Sums) {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .unwrap();
    runtime.block_on(async {
        let mut world = World::new(wanted, database).await;
        world.live().await;
        world.end()
    })
}

#[test]
fn a_hundred_days_of_faults_break_no_promise_and_come_out_the_same_twice() {
    let wanted = |seed| Wanted {
        seed,
        gardens: 3,
        days: 100,
        has_full_disks: true,
    };
    let mut all = Sums::default();
    for seed in 0..4 {
        let (log, sums) = run(wanted(seed));
        all.add(&sums);
        if seed == 0 {
            let (again, _) = run(wanted(seed));
            for (one, other) in log.iter().zip(&again) {
                assert_eq!(one, other);
            }
            assert_eq!(log.len(), again.len());
        }
    }
    eprintln!("{all:?}");
    let kinds = [
        all.mails,
        all.faults,
        all.kills,
        all.bad_files,
        all.full_disks,
        all.wrong_clocks,
    ];
    assert!(
        kinds.iter().all(|count| *count > 0),
        "nothing went wrong: {all:?}"
    );
}

#[test]
#[ignore = "takes hours"]
fn many_years_of_faults_break_no_promise() {
    let (gardens, days) = (number("SIM_GARDENS", 20), number("SIM_DAYS", 365));
    if let Ok(seed) = std::env::var("SIM_SEED") {
        let seed = seed.parse().unwrap();
        let (log, sums) = run(Wanted {
            seed,
            gardens,
            days,
            has_full_disks: true,
        });
        eprintln!("{}\n{sums:?}", log.join("\n"));
        return;
    }
    let (seeds, threads) = (number("SIM_SEEDS", 1000), number("SIM_THREADS", 2));
    let begun = Instant::now();
    let first = number("SIM_FIRST", 0);
    let (next, done) = (AtomicU64::new(first), AtomicU64::new(0));
    let sums = std::thread::scope(|scope| {
        let work = || {
            let mut own = Sums::default();
            loop {
                let seed = next.fetch_add(1, Ordering::Relaxed);
                if seed >= first + seeds {
                    return own;
                }
                eprintln!("seed {seed} begins");
                let (log, sums) = run(Wanted {
                    seed,
                    gardens,
                    days,
                    has_full_disks: true,
                });
                own.add(&sums);
                let done = done.fetch_add(1, Ordering::Relaxed) + 1;
                eprintln!(
                    "{done} of {seeds} seeds, {} s: seed {seed} is sound, its log {:016x}",
                    begun.elapsed().as_secs(),
                    mark(&log)
                );
            }
        };
        let workers: Vec<_> = (0..threads).map(|_| scope.spawn(work)).collect();
        let mut all = Sums::default();
        for worker in workers {
            all.add(
                &worker
                    .join()
                    .expect("the seed that began last on this thread breaks a promise"),
            );
        }
        all
    });
    eprintln!(
        "{seeds} seeds from {first} on x {days} days x {gardens} gardens in {} s: {sums:?}",
        begun.elapsed().as_secs()
    );
}
