//! The world of one seed and the program in it.

use std::fmt::Write as _;
use std::path::Path;
use std::sync::{Arc, Mutex};

use budward::almanac;
use budward::config::{GardenSettings, Settings};
use budward::daemon::{Clock, DaemonError, House, Word};
use budward::garden::Deed;
use budward::notice::News;
use budward::store::{Database, NextStep, Store, StoreAt};
use chrono::{DateTime, Days, NaiveDate, TimeDelta, Utc};
use tempfile::TempDir;
use tokio_util::sync::CancellationToken;

use super::chance::Chance;
use super::promises::Promises;
use super::relay::{Relay, postman};
use super::sky::{BAD, Lies, Sky, write_past};
use crate::database::batch;

/// Four moments a day; the look of the day is due at the second.
const STEP: TimeDelta = TimeDelta::hours(6);

/// Past years that the gardens know.
const YEARS: u64 = 6;

/// Kinds with cuts in every season; the first is wished for early, so that it is put off.
const KINDS: [&str; 7] = [
    "boxwood",
    "bigleaf-hydrangea",
    "common-lilac",
    "peony",
    "catmint",
    "oak",
    "daylily",
];

#[derive(Debug, Clone, Copy)]
pub(crate) struct Wanted {
    pub(crate) seed: u64,
    pub(crate) gardens: u64,
    pub(crate) days: u64,
    /// A database has no disk that can be full here.
    pub(crate) has_full_disks: bool,
}

/// What happened, in sums.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Sums {
    pub(crate) looks: u64,
    pub(crate) decisions: u64,
    pub(crate) mails: u64,
    pub(crate) copies: u64,
    pub(crate) faults: u64,
    pub(crate) kills: u64,
    pub(crate) bad_files: u64,
    pub(crate) full_disks: u64,
    pub(crate) wrong_clocks: u64,
}

impl Sums {
    pub(super) fn add(&mut self, other: &Self) {
        self.looks += other.looks;
        self.decisions += other.decisions;
        self.mails += other.mails;
        self.copies += other.copies;
        self.faults += other.faults;
        self.kills += other.kills;
        self.bad_files += other.bad_files;
        self.full_disks += other.full_disks;
        self.wrong_clocks += other.wrong_clocks;
    }
}

/// What is wrong for so many moments to come.
#[derive(Debug, Default)]
struct Spells {
    clock: (u32, TimeDelta),
    disk: u32,
    relay: u32,
}

pub(super) struct World {
    wanted: Wanted,
    chance: Chance,
    sky: Sky,
    relay: Relay,
    folder: TempDir,
    settings: Settings,
    /// What the program's clock shows.
    shown: Arc<Mutex<DateTime<Utc>>>,
    /// What it is.
    now: DateTime<Utc>,
    first: DateTime<Utc>,
    /// Where the store is.
    at: StoreAt,
    house: House,
    spells: Spells,
    /// For each cell how many more days its file is of that kind.
    files: Vec<(u32, Lies)>,
    /// Cuts that the keeper will make.
    plans: Vec<(DateTime<Utc>, usize, String)>,
    promises: Promises,
    sums: Sums,
    log: Vec<String>,
}

impl World {
    pub(super) async fn new(wanted: Wanted, database: Option<Arc<Database>>) -> Self {
        let mut chance = Chance::of(wanted.seed);
        let begin = NaiveDate::from_ymd_opt(2027, 1, 1).unwrap() + Days::new(chance.below(365));
        let first = begin.and_hms_opt(0, 40, 0).unwrap().and_utc();
        let memory = Path::new("/dev/shm");
        let folder = if memory.is_dir() {
            tempfile::tempdir_in(memory).unwrap()
        } else {
            tempfile::tempdir().unwrap()
        };
        let days = usize::try_from(wanted.days).unwrap();
        let sky = Sky::new(begin, days, &mut chance);
        write_past(
            &folder.path().join("past.json"),
            begin - Days::new(1),
            YEARS,
            &mut chance,
        );
        let relay = Relay::open(Chance::of(!wanted.seed)).await;
        let text = settings(wanted.gardens, begin);
        let almanac = almanac::embedded().unwrap();
        let file = folder.path().join("garden.toml");
        let settings = Settings::parse(&text, &file, &almanac, &|_| None).unwrap();
        let shown = Arc::new(Mutex::new(first));
        let in_file = StoreAt::File(folder.path().join("store.sqlite3"));
        let at = database.map_or(in_file, StoreAt::Database);
        let promises = Promises::of(&at);
        let house = open(&at, &settings, &shown, relay.port);
        Self {
            wanted,
            chance,
            sky,
            relay,
            folder,
            settings,
            shown,
            now: first,
            first,
            at,
            house,
            spells: Spells::default(),
            files: vec![(0, Lies::Good); cells(wanted.gardens)],
            plans: Vec::new(),
            promises,
            sums: Sums::default(),
            log: Vec::new(),
        }
    }

    fn note(&mut self, what: &str) {
        self.log
            .push(format!("{} {what}", self.now.format("%Y-%m-%d %H:%M")));
    }

    pub(super) async fn live(&mut self) {
        let end = self.first + TimeDelta::days(i64::try_from(self.wanted.days).unwrap());
        while self.now < end {
            self.weather();
            self.faults().await;
            self.work().await;
            self.now += STEP;
        }
    }

    /// A new day brings each cell a new file, most of them good.
    fn weather(&mut self) {
        let is_new_day = (self.now - self.first).num_hours() % 24 == 0;
        if !is_new_day {
            return;
        }
        let gardens = usize::try_from(self.wanted.gardens).unwrap();
        let cells = self.files.len();
        for cell in 0..cells {
            let (left, lies) = &mut self.files[cell];
            if *left > 0 {
                *left -= 1;
            } else if self.chance.one_in(20) {
                let days = self.chance.pick(&[1, 1, 2, 4, 9]);
                (*left, *lies) = (days - 1, self.chance.pick(&BAD));
                self.sums.bad_files += u64::from(days);
            } else {
                *lies = Lies::Good;
            }
            let lies = *lies;
            let file = self.folder.path().join(format!("forecast-{cell}.json"));
            match self.sky.forecast(self.now, lies, &mut self.chance) {
                Some(bytes) => std::fs::write(&file, bytes).unwrap(),
                None if lies == Lies::Nothing => {
                    std::fs::remove_file(&file).ok();
                }
                None => {}
            }
            if [Lies::Good, Lies::OtherUnits].contains(&lies) {
                for garden in (cell..gardens).step_by(cells) {
                    self.promises.weather(garden, self.now);
                }
            }
        }
    }

    /// What goes wrong at this moment, and what comes right again.
    async fn faults(&mut self) {
        let spells = &mut self.spells;
        for left in [&mut spells.clock.0, &mut spells.disk, &mut spells.relay] {
            *left = left.saturating_sub(1);
        }
        if spells.clock.0 == 0 {
            spells.clock.1 = TimeDelta::zero();
            if self.chance.one_in(120) {
                let hours = self.chance.pick(&[-2, -1, 1, 7, 40, -250_000]);
                spells.clock = (
                    1 + u32::try_from(self.chance.below(4)).unwrap(),
                    TimeDelta::hours(hours),
                );
                self.sums.wrong_clocks += 1;
            }
        }
        if spells.relay == 0 && self.chance.one_in(200) {
            spells.relay = self.chance.pick(&[1, 2, 8, 30]);
        }
        let (clock, relay) = (spells.clock.1, spells.relay);
        self.relay.be_away(relay);
        *self.shown.lock().unwrap() = self.now + clock;
        if clock != TimeDelta::zero() {
            self.note(&format!("the clock is {} h off", clock.num_hours()));
        }
        if self.spells.disk == 0 {
            self.cap(u64::MAX).await;
            if self.chance.one_in(250) && self.wanted.has_full_disks {
                self.spells.disk = self.chance.pick(&[1, 2, 5]);
                self.sums.full_disks += 1;
                self.note("the disk is full");
                self.cap(0).await;
            }
        }
        if self.chance.one_in(100) {
            self.begin_again();
        }
    }

    async fn cap(&self, bytes: u64) {
        self.house
            .keeper
            .with(move |store| store.cap(bytes))
            .await
            .unwrap();
    }

    /// The program is ended at once and started again.
    fn begin_again(&mut self) {
        self.house = open(&self.at, &self.settings, &self.shown, self.relay.port);
        self.spells.disk = 0;
        self.sums.kills += 1;
        self.note("the program is killed and begins again");
    }

    async fn work(&mut self) {
        if !self.house.clock.is_believable() {
            return;
        }
        let gardens = self.house.settings.gardens.clone();
        for (place, garden) in gardens.iter().enumerate() {
            self.make_cuts(place, garden).await;
            let looked = self.look(place, garden).await;
            self.bear(looked);
        }
        for _ in 0..3 {
            let sent = self.deliver().await;
            self.bear(sent);
            let shown = *self.shown.lock().unwrap();
            let taken = self.relay.taken();
            self.sums.mails += u64::try_from(taken.len()).unwrap();
            for mail in &taken {
                self.note(&format!("taken {} {}", mail.id, mail.to));
            }
            self.promises
                .mails(self.folder.path(), &taken, (self.now, shown), &gardens);
            if taken.is_empty() {
                break;
            }
        }
        self.promises.stand(self.folder.path(), self.now);
    }

    async fn look(
        &mut self,
        place: usize,
        garden: &Arc<GardenSettings>,
    ) -> Result<(), DaemonError> {
        if !self.house.is_due(garden).await? {
            return Ok(());
        }
        self.sums.looks += 1;
        let shown = *self.shown.lock().unwrap();
        for told in self.house.cycle(garden).await? {
            self.sums.decisions += 1;
            self.note(&format!(
                "{} {}: {:?}",
                garden.garden.name, told.cut, told.news
            ));
            self.promises
                .told(self.folder.path(), (place, &told), shown);
            if told.news == Word::News(News::NowGo) && self.chance.one_in(3) {
                let at = self.now
                    + TimeDelta::hours(6 * i64::try_from(1 + self.chance.below(40)).unwrap());
                self.plans.push((at, place, told.cut));
            }
        }
        Ok(())
    }

    /// The keeper makes the cuts for which the time has come, and says so.
    async fn make_cuts(&mut self, place: usize, garden: &GardenSettings) {
        let now = self.now;
        let is_due = |(at, of, _): &(DateTime<Utc>, usize, String)| *at <= now && *of == place;
        let (due, later) = std::mem::take(&mut self.plans)
            .into_iter()
            .partition(is_due);
        self.plans = later;
        let due: Vec<(DateTime<Utc>, usize, String)> = due;
        for (_, _, cut) in due {
            let deed = Deed {
                planting: KINDS[place % KINDS.len()].to_owned(),
                cut: cut.clone(),
                on: garden.garden.place.zone.date(now),
                share: None,
                note: None,
            };
            let name = garden.garden.name.clone();
            let noted = self
                .house
                .keeper
                .with(move |store| store.note_deed(&name, &deed, now))
                .await;
            if noted.is_ok() {
                self.note(&format!("{} {cut} is made", garden.garden.name));
                self.promises.made(place, &cut);
            }
        }
    }

    async fn deliver(&mut self) -> Result<(), DaemonError> {
        let stop = CancellationToken::new();
        let house = self.house.clone();
        let kill = Arc::clone(&self.relay.kill);
        tokio::select! {
            sent = house.deliver(&stop) => sent.map(|_| ()),
            () = kill.notified() => {
                self.begin_again();
                Ok(())
            }
        }
    }

    /// A disk that is full passes; anything else is a fault.
    fn bear(&mut self, outcome: Result<(), DaemonError>) {
        match outcome {
            Ok(()) => {}
            Err(DaemonError::Store(error))
                if matches!(error.next_step(), NextStep::Wait | NextStep::Reopen) =>
            {
                assert!(self.spells.disk > 0, "seed {}: {error}", self.wanted.seed);
                self.note("nothing can be written");
            }
            Err(other) => panic!(
                "seed {}: {other}\n{}",
                self.wanted.seed,
                self.log.join("\n")
            ),
        }
    }

    pub(super) fn end(mut self) -> (Vec<String>, Sums) {
        let (broken, copies) = self.promises.end(self.folder.path());
        // Of one seed that is looked into all of it.
        let told = std::env::var("SIM_SEED").map_or(400, |_| self.log.len());
        let last: Vec<_> = self.log.iter().rev().take(told).rev().cloned().collect();
        assert!(
            broken.is_empty(),
            "seed {}: {broken:#?}\n{}",
            self.wanted.seed,
            last.join("\n")
        );
        self.log
            .extend(super::promises::journal(&self.at, self.folder.path()));
        self.sums.copies = copies;
        self.sums.faults = self.relay.faults();
        (self.log, self.sums)
    }
}

fn open(at: &StoreAt, settings: &Settings, shown: &Arc<Mutex<DateTime<Utc>>>, port: u16) -> House {
    rustls::crypto::ring::default_provider()
        .install_default()
        .ok();
    if let StoreAt::Database(database) = at {
        // As if the time of the program before were over.
        let over = "DO $$ BEGIN IF to_regclass('lease') IS NOT NULL THEN
                        UPDATE lease SET until = '-infinity'; DELETE FROM daemon; END IF; END $$";
        batch(database, over);
    }
    let mut store = Store::open_at(at).unwrap();
    let gardens = settings.gardens.iter();
    let gardens: Vec<String> = gardens.map(|garden| garden.garden.name.clone()).collect();
    store.lease(&gardens).unwrap();
    let shown = Arc::clone(shown);
    let clock = Clock::of(move || *shown.lock().unwrap());
    let first = NaiveDate::from_ymd_opt(2026, 1, 1).unwrap();
    let clock = clock.within(first, first + Days::new(3650));
    let mut house = House::open(settings.clone(), store, clock).unwrap();
    house.postman = Arc::new(postman(port));
    house
}

/// Gardens share the cells of the weather, as those of a town do.
fn cells(gardens: u64) -> usize {
    usize::try_from((2 + gardens / 8).min(gardens)).unwrap()
}

fn settings(gardens: u64, begin: NaiveDate) -> String {
    let mut text = "[schedule]\ncycle = \"30 6 * * *\"\n[mail]\nfrom = \"garden@example.org\"\nfolder = \"out\"\n".to_owned();
    for garden in 0..usize::try_from(gardens).unwrap() {
        let (kind, cell) = (KINDS[garden % KINDS.len()], garden % cells(gardens));
        let readers = match garden % 3 {
            0 => "[\"anna@example.org\", \"ben@example.org\"]",
            _ => "\"clara@example.org\"",
        };
        let cut = if kind == "boxwood" {
            format!(
                ", cut = [{{ cut = \"shear\", wished = {} }}]",
                begin + Days::new(20)
            )
        } else {
            String::new()
        };
        write!(
            text,
            "[[garden]]\nname = \"g{garden}\"\nlatitude = 49.9\nlongitude = 15.2\nelevation = \"250 m\"\n\
             time_zone = \"Europe/Prague\"\nmail_to = {readers}\nletters = {{ year_plan = false }}\n\
             forecast = {{ source = \"files\", forecast = \"forecast-{cell}.json\" }}\n\
             history = {{ source = \"archive-file\", file = \"past.json\" }}\n\
             plant = [{{ name = \"{kind}\", kind = \"{kind}\"{cut} }}]\n"
        )
        .unwrap();
    }
    text
}
