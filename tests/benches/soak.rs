//! Many looks of one program that is never ended, some of them gone wrong: does it grow?
//!
//! `SOAK_CYCLES=100000 cargo bench --bench soak`: one garden, a look every six hours of simulated time, the forecast bad at
//! one in twenty, the mail server at one talk in twelve. Prints live heap, open files, tasks, resident memory and the size
//! of the store as it goes, and ends with 1 if one of them has grown after the first thousand.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "a bench may stop at once, and its figures are for whoever runs it"
)]

#[allow(dead_code, reason = "the simulation uses the rest")]
#[path = "../suite/simulated/chance.rs"]
mod chance;
#[allow(dead_code, reason = "the simulation uses the rest")]
#[path = "../suite/simulated/relay.rs"]
mod relay;
#[allow(dead_code, reason = "the simulation uses the rest")]
#[path = "../suite/simulated/sky.rs"]
mod sky;

use std::alloc::System;
use std::path::Path;
use std::process::ExitCode;
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use budward::almanac;
use budward::config::Settings;
use budward::daemon::{Clock, House};
use budward::store::Store;
use cap::Cap;
use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use tempfile::TempDir;
use tokio_util::sync::CancellationToken;

use self::chance::Chance;
use self::relay::{Relay, postman};
use self::sky::{BAD, Lies, Sky, write_past};

#[global_allocator]
static HEAP: Cap<System> = Cap::new(System, usize::MAX);

/// After so many cycles all that is kept for a while has come to its full size.
const WARM: u64 = 1000;

/// Days after which the weather comes again.
const WEATHER_DAYS: usize = 3650;

const GARDEN: &str = "[mail]\nfrom = \"garden@example.org\"\nfolder = \"out\"\n[[garden]]\nname = \"g0\"\nlatitude = 49.9\n\
    longitude = 15.2\nelevation = \"250 m\"\ntime_zone = \"Europe/Prague\"\n\
    mail_to = [\"anna@example.org\", \"ben@example.org\"]\n\
    forecast = { source = \"files\", forecast = \"forecast.json\" }\n\
    history = { source = \"archive-file\", file = \"past.json\" }\n\
    plant = [{ name = \"lilac\", kind = \"common-lilac\" }, { name = \"catmint\", kind = \"catmint\" }]\n";

/// What must not grow.
#[derive(Debug, Clone, Copy)]
struct Size {
    heap: usize,
    files: usize,
    tasks: usize,
    #[allow(dead_code, reason = "it is shown")]
    resident_kb: u64,
    store: u64,
}

struct Soak {
    house: House,
    relay: Relay,
    sky: Sky,
    chance: Chance,
    folder: TempDir,
    shown: Arc<Mutex<DateTime<Utc>>>,
}

impl Soak {
    async fn new() -> Self {
        rustls::crypto::ring::default_provider()
            .install_default()
            .ok();
        let folder = tempfile::tempdir_in(if Path::new("/dev/shm").is_dir() {
            "/dev/shm"
        } else {
            "/tmp"
        })
        .unwrap();
        let mut chance = Chance::of(1);
        let first = NaiveDate::from_ymd_opt(2027, 1, 1).unwrap();
        write_past(&folder.path().join("past.json"), first, 6, &mut chance);
        let sky = Sky::new(first, WEATHER_DAYS, &mut chance);
        let relay = Relay::open(Chance::of(2)).await;
        let almanac = almanac::embedded().unwrap();
        let file = folder.path().join("garden.toml");
        let settings = Settings::parse(GARDEN, &file, &almanac, &|_| None).unwrap();
        let shown = Arc::new(Mutex::new(first.and_hms_opt(0, 40, 0).unwrap().and_utc()));
        let time = Arc::clone(&shown);
        let store = Store::open(&folder.path().join("store.sqlite3")).unwrap();
        let mut house =
            House::open(settings, store, Clock::of(move || *time.lock().unwrap())).unwrap();
        house.postman = Arc::new(postman(relay.port));
        Self {
            house,
            relay,
            sky,
            chance,
            folder,
            shown,
        }
    }

    async fn cycle(&mut self) {
        let now = *self.shown.lock().unwrap();
        let file = self.folder.path().join("forecast.json");
        let lies = if self.chance.one_in(20) {
            self.chance.pick(&BAD)
        } else {
            Lies::Good
        };
        match self.sky.forecast(now, lies, &mut self.chance) {
            Some(bytes) => std::fs::write(file, bytes).unwrap(),
            None if lies == Lies::Nothing => {
                std::fs::remove_file(file).ok();
            }
            None => {}
        }
        let garden = self.house.settings.gardens[0].clone();
        self.house.cycle(&garden).await.unwrap();
        self.house.deliver(&CancellationToken::new()).await.unwrap();
        drop(self.house.snapshot().await.unwrap());
        drop(self.relay.taken());
        *self.shown.lock().unwrap() += TimeDelta::hours(6);
    }

    fn size(&self) -> Size {
        let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
        let resident = status.lines().find_map(|line| line.strip_prefix("VmRSS:"));
        let resident_kb =
            resident.and_then(|text| text.trim().trim_end_matches(" kB").parse().ok());
        Size {
            heap: HEAP.allocated(),
            files: std::fs::read_dir("/proc/self/fd").map_or(0, Iterator::count),
            tasks: tokio::runtime::Handle::current()
                .metrics()
                .num_alive_tasks(),
            resident_kb: resident_kb.unwrap_or(0),
            store: std::fs::metadata(self.folder.path().join("store.sqlite3"))
                .unwrap()
                .len(),
        }
    }
}

#[tokio::main(flavor = "current_thread")]
async fn main() -> ExitCode {
    let cycles = std::env::var("SOAK_CYCLES").map_or(3000, |text| text.parse().unwrap());
    let mut soak = Soak::new().await;
    let (begun, mut warm) = (Instant::now(), None);
    for cycle in 1..=cycles {
        soak.cycle().await;
        if cycle == WARM || cycle % 10_000 == 0 || cycle == cycles {
            // Talks that hang end within this.
            tokio::time::sleep(Duration::from_millis(600)).await;
            let size = soak.size();
            println!(
                "{cycle} cycles, {} s: {size:?}, {} talks went wrong",
                begun.elapsed().as_secs(),
                soak.relay.faults()
            );
            warm = warm.or(Some(size));
        }
    }
    let (warm, last) = (warm.unwrap(), soak.size());
    let has_grown = last.heap > warm.heap + warm.heap / 100
        || last.files > warm.files
        || last.tasks > warm.tasks
        || last.store > 20 << 20;
    if has_grown {
        println!("it grows: after {WARM} cycles {warm:?}, after {cycles} {last:?}");
        return ExitCode::FAILURE;
    }
    ExitCode::SUCCESS
}
