//! Gardens in summer on stand-in services, under a clock that is set by hand.

use std::fmt::Write;
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};
use std::time::Duration;

use budward::config::{Settings, TIMEOUT};
use budward::daemon::{Clock, House, Reach};
use budward::store::{JournalLine, OutboxItem, Store};
use budward::verdict::State;
use budward::weather::{Fetcher, Patience};
use chrono::{DateTime, TimeDelta, Utc};
use tempfile::TempDir;
use tokio_util::sync::CancellationToken;

use super::stand_in::{Answer, ok};
use crate::road::reply;
use crate::support::project;

/// In summer box may be sheared; frost is far away.
pub(super) const SUMMER: &str = "2026-06-15T20:00:00Z";

/// The path of the forecast at a stand-in.
pub(super) const PATH: &str = "/v1/forecast";

/// The house, its clock and its folder.
pub(super) struct Home {
    pub(super) house: House,
    pub(super) folder: TempDir,
    clock: Arc<AtomicI64>,
}

/// One source of `[[garden.forecast]]`: a service at an address.
pub(super) fn service(url: &str) -> String {
    format!("[[garden.forecast]]\nsource = \"open-meteo\"\nurl = \"{url}{PATH}\"\n")
}

/// One source that is a file of the folder.
pub(super) fn file(name: &str) -> String {
    format!("[[garden.forecast]]\nsource = \"files\"\nforecast = \"{name}\"\n")
}

impl Home {
    /// Gardens of one cut each, with a name and the tables of their sources. As in life, but for the pauses and the
    /// time that an answer may take.
    pub(super) fn new(gardens: &[(&str, String)], cycle: &str) -> Self {
        let quick = Patience {
            pause: Duration::from_millis(2),
            ..Patience::default()
        };
        Self::with_patience(gardens, cycle, (quick, Duration::from_millis(400)))
    }

    /// The same, as patient as in life.
    pub(super) fn patient(gardens: &[(&str, String)], cycle: &str) -> Self {
        Self::with_patience(gardens, cycle, (Patience::default(), TIMEOUT))
    }

    fn with_patience(
        gardens: &[(&str, String)],
        cycle: &str,
        (patience, timeout): (Patience, Duration),
    ) -> Self {
        rustls::crypto::ring::default_provider()
            .install_default()
            .ok();
        let folder = tempfile::tempdir().unwrap();
        let history = folder.path().join("few_years.dly");
        std::fs::write(&history, few_years()).unwrap();
        let mut text = format!(
            "[mail]\nfrom = \"budward <garden@example.org>\"\nfolder = \"mails\"\n\
             [weather]\ncontact = \"keeper@example.org\"\n[schedule]\ncycle = \"{cycle}\"\n"
        );
        for (name, sources) in gardens {
            let record = if sources.contains("[garden.history]") {
                String::new()
            } else {
                let file = history.display().to_string();
                format!("history = {{ source = \"ghcn-file\", file = {file:?} }}\n")
            };
            write!(
                text,
                "[[garden]]\nname = \"{name}\"\ntitle = \"{name}\"\nlatitude = 40.63\nlongitude = -74.43\n\
                 elevation = \"30 m\"\ntime_zone = \"America/New_York\"\nmail_to = \"keeper@example.org\"\n\
                 plant = [{{ name = \"box edging\", kind = \"boxwood\", cut = [{{ cut = \"shear\" }}] }}]\n\
                 {record}{sources}"
            )
            .unwrap();
        }
        let path = folder.path().join("garden.toml");
        std::fs::write(&path, text).unwrap();
        let settings = Settings::read(&path).unwrap_or_else(|faults| panic!("{faults}"));
        let start: DateTime<Utc> = SUMMER.parse().unwrap();
        let clock = Arc::new(AtomicI64::new(start.timestamp()));
        let hand = Arc::clone(&clock);
        let tell = move || DateTime::from_timestamp(hand.load(Ordering::SeqCst), 0).unwrap();
        let store = Store::open(settings.store.file().unwrap()).unwrap();
        let mut house = House::open(settings, store, Clock::of(tell)).unwrap();
        let fetcher = Fetcher::new("keeper@example.org", timeout);
        house.fetcher = Arc::new(fetcher.unwrap().with_patience(patience));
        Self {
            house,
            folder,
            clock,
        }
    }

    pub(super) fn now(&self) -> DateTime<Utc> {
        self.house.clock.now()
    }

    pub(super) fn pass(&self, span: TimeDelta) {
        self.clock.fetch_add(span.num_seconds(), Ordering::SeqCst);
    }

    /// Looks at a garden; gives the state of its cut.
    pub(super) async fn look(&self, garden: usize) -> State {
        let garden = &self.house.gardens()[garden];
        self.house.cycle(garden).await.unwrap();
        let name = garden.garden.name.clone();
        let work = move |store: &mut Store| store.verdicts(&name);
        self.house.keeper.with(work).await.unwrap()[0].state
    }

    /// Some lines of a garden's journal, the oldest first, by what happened.
    pub(super) async fn journal(&self, garden: &str, what: &str) -> Vec<JournalLine> {
        let name = garden.to_owned();
        let work = move |store: &mut Store| store.journal(&name, 500);
        let mut lines = self.house.keeper.with(work).await.unwrap();
        lines.retain(|line| line.what.starts_with(what));
        lines.reverse();
        lines
    }

    /// The mails that wait.
    pub(super) async fn mails(&self) -> Vec<OutboxItem> {
        let now = self.now();
        let work = move |store: &mut Store| store.due(now);
        self.house.keeper.with(work).await.unwrap()
    }

    /// Sends the mails that wait.
    pub(super) async fn deliver(&self) {
        let stop = CancellationToken::new();
        self.house.deliver(&stop).await.unwrap();
    }

    /// Whether a run of the service is kept.
    pub(super) async fn keeps_a_run(&self, garden: &str, source: &str) -> bool {
        let garden = self
            .house
            .gardens()
            .iter()
            .find(|one| one.garden.name == garden);
        let sources = self.house.source_states(garden.unwrap()).await.unwrap();
        let mut heard = sources.iter().filter(|state| state.heard.is_some());
        heard.any(|state| state.source == source)
    }

    /// Whether a record of past years is kept.
    pub(super) async fn keeps_a_record(&self, garden: &str) -> bool {
        let garden = self
            .house
            .gardens()
            .iter()
            .find(|one| one.garden.name == garden);
        let weather = self.house.gather(garden.unwrap(), self.now(), Reach::Here);
        weather.await.unwrap().past.is_some()
    }
}

/// The last dozen years of a station: enough for a go, and soon counted over.
fn few_years() -> String {
    let whole = project().join("tests/data/ghcn/CA006158350_1969-2003.dly");
    let whole = std::fs::read_to_string(whole).unwrap();
    let is_late = |line: &&str| line.get(11..15).unwrap().parse::<i32>().unwrap() >= 1992;
    whole
        .lines()
        .filter(is_late)
        .fold(String::new(), |text, line| text + line + "\n")
}

/// A good forecast made at a moment: nights of so many degrees, days 10 K warmer, no two runs the same.
pub(super) fn nights_of(degrees: f64, now: DateTime<Utc>) -> String {
    nights_since(degrees, now, 2)
}

/// The same with another number of days before that moment.
pub(super) fn nights_since(degrees: f64, now: DateTime<Utc>, days: i64) -> String {
    let first = (now - TimeDelta::days(days)).date_naive().to_string();
    let run = now.timestamp().div_euclid(3600).rem_euclid(50) as f64 / 100.0;
    let hour = |hour: i64| {
        let night = (4..16).contains(&hour.rem_euclid(24));
        degrees + run + if night { 0.0 } else { 10.0 }
    };
    reply(&first, 18, hour).to_string()
}

/// A mild one.
pub(super) fn mild(now: DateTime<Utc>) -> Answer {
    ok(nights_of(12.0, now).as_bytes())
}
