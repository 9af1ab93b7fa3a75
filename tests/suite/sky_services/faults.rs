//! Everything that a service can do wrong, for each product of each service: none of it gives a go, stops another
//! garden or loses what was known, each is written down, and none makes the program knock more often or earlier than it
//! may. The runtime's clock is paused, so the pauses are those of life.

use std::fmt::Write;
use std::ops::RangeInclusive;

use budward::store::Store;
use budward::verdict::State;
use budward::weather::BODY_CAP;
use chrono::{DateTime, TimeDelta, Utc};
use tokio::time::Instant;

use super::Duration;
use super::fault_table::{Fault, nonsense, refusals};
use super::home::{Home, mild, service};
use super::paused::{Log, paused};
use super::services::{Product, freeze_warning};
use super::stand_in::{Answer, StandIn, closed_port, ok};

/// The pauses before the second and the third try, in seconds.
const PAUSES: [RangeInclusive<f64>; 2] = [2.0..=2.5, 8.0..=10.0];

/// By how much the paused clock may run ahead while bytes cross this machine, in seconds.
const AHEAD: f64 = 1.5;

/// Two gardens on stand-ins: one with a fault, or about to have one, and one that is well.
struct Cell {
    product: Product,
    peer: StandIn,
    well: StandIn,
    home: Home,
    log: Log,
}

impl Cell {
    /// A garden whose product lies at an address of its own, where one is given.
    async fn new(product: Product, address: Option<&str>, log: Log) -> Self {
        let peer = StandIn::start(Vec::new()).await;
        let well = StandIn::start(Vec::new()).await;
        let table = product.table(address.unwrap_or(&peer.url), &well.url);
        let thermometer = "[garden.thermometer]\nfile = \"station.csv\"\ntime = [\"time\"]\n";
        let gardens = [
            ("quarry", table + thermometer),
            ("museum", service(&well.url)),
        ];
        let home = Home::patient(&gardens, "30 5,14 * * *");
        Self {
            product,
            peer,
            well,
            home,
            log,
        }
    }

    /// All products are well, now.
    fn mend(&self) {
        let now = self.home.now();
        for product in self.product.together() {
            self.peer.say(product.path(), ok(&product.good(now)));
        }
        let own = self.product;
        self.peer.say(own.path(), ok(&own.good(now)));
        self.well.say(super::home::PATH, mild(now));
    }

    /// The own station goes on writing: one reading an hour since the start.
    fn write_readings(&self) {
        let start: DateTime<Utc> = super::home::SUMMER.parse().unwrap();
        let hours = (self.home.now() - start).num_hours();
        let mut text = "time,temperature\n".to_owned();
        for hour in 0..=hours {
            let at = start + TimeDelta::hours(hour);
            let degrees = 14.0 + (hour % 5) as f64 / 10.0;
            writeln!(text, "{},{degrees}", at.to_rfc3339()).unwrap();
        }
        std::fs::write(self.home.folder.path().join("station.csv"), text).unwrap();
    }

    async fn look(&self) -> State {
        self.write_readings();
        self.home.look(0).await
    }

    fn asked(&self) -> Vec<Instant> {
        self.peer.times(self.product.path())
    }

    async fn readings(&self) -> usize {
        let read = |store: &mut Store| store.readings("quarry", DateTime::<Utc>::MIN_UTC);
        self.home.house.keeper.with(read).await.unwrap().len()
    }

    /// What must stand when the product has never been heard: an ensemble and the warnings can be done without.
    const fn without(&self) -> State {
        match self.product {
            Product::Ensemble | Product::Alerts => State::Go,
            Product::Forecast
            | Product::Freshness
            | Product::MetNorway
            | Product::Point
            | Product::Grid
            | Product::Archive => State::Unknown,
        }
    }

    /// Whether its failure leaves the garden without a forecast of that source.
    const fn is_forecast(&self) -> bool {
        !matches!(
            self.product,
            Product::Ensemble | Product::Alerts | Product::Archive
        )
    }

    /// Whether the loop comes back for it before its schedule.
    const fn hurries(&self) -> bool {
        !matches!(self.product, Product::Ensemble | Product::Alerts)
    }

    /// From the first look of all on.
    async fn begins_with(&self, fault: &Fault) {
        let name = format!("{:?}, {}", self.product, fault.name);
        assert_eq!(self.look().await, self.without(), "{name}");
        self.is_written_down(&name, fault.says).await;
        assert_eq!(
            self.home.look(1).await,
            State::Go,
            "{name}: the other garden"
        );
        assert_eq!(self.readings().await, 1, "{name}: readings");
        self.is_asked_politely(&name, fault);
        self.comes_back(&name, fault.again);
        // A look in between asks nobody who refused or wants to be left alone.
        self.home.pass(TimeDelta::minutes(1));
        let state = self.look().await;
        assert_eq!(state.allows(), self.without().allows(), "{name}: once more");
        assert_eq!(self.asked().len(), fault.tries.0, "{name}: left alone");
    }

    /// The fault stands in the log, with its reason and without the key; of a forecast also in the journal.
    async fn is_written_down(&self, name: &str, says: &str) {
        let log = self.log.take();
        let lines: Vec<&str> = log.lines().filter(|line| line.contains(" WARN ")).collect();
        let told = lines.iter().find(|line| line.contains(says));
        assert!(told.is_some(), "{name}: {log}");
        assert!(!log.contains("quince"), "{name}: {log}");
        let silent = self.home.journal("quarry", "source-silent").await;
        assert_eq!(silent.len(), usize::from(self.is_forecast()), "{name}");
        for line in silent {
            assert!(line.detail.contains(says), "{name}: {}", line.detail);
            assert!(!line.detail.contains("quince"), "{name}");
        }
    }

    fn is_asked_politely(&self, name: &str, fault: &Fault) {
        let (tries, each) = fault.tries;
        let asked = self.asked();
        assert_eq!(asked.len(), tries, "{name}: requests");
        if fault.name == "a circle" {
            return;
        }
        for (two, pause) in asked.windows(2).zip(PAUSES) {
            let gap = (two[1] - two[0]).as_secs_f64() - each;
            let range = *pause.start()..=pause.end() + AHEAD;
            assert!(range.contains(&gap), "{name}: {gap} s");
        }
    }

    fn comes_back(&self, name: &str, again: Option<i64>) {
        let again = again.filter(|_| self.hurries());
        let at = self.home.house.silence.again_at("quarry");
        let wait = at.map(|at| (at - self.home.now()).num_minutes());
        match (again, wait) {
            (None, None) => {}
            (Some(least), Some(wait)) => {
                let range = least..=least * 13 / 10;
                assert!(range.contains(&wait), "{name}: {wait} min");
            }
            other => panic!("{name}: {other:?}"),
        }
    }

    /// After the service was well for two looks, of which a release needs two.
    async fn goes_wrong(&self, answer: Answer, name: &str) {
        let name = format!("{:?}, {name}, later", self.product);
        self.home.pass(TimeDelta::hours(30));
        self.mend();
        self.look().await;
        self.home.pass(TimeDelta::hours(13));
        self.mend();
        assert_eq!(self.look().await, State::Go, "{name}: mended");
        let back = self.home.journal("quarry", "source-back").await;
        assert_eq!(back.len(), usize::from(self.is_forecast()), "{name}");
        if self.product == Product::Alerts {
            let warning = freeze_warning(self.home.now());
            self.peer.say(self.product.path(), ok(&warning));
            self.home.pass(TimeDelta::hours(1));
            assert_eq!(self.look().await, State::Wait, "{name}: warned");
        }
        self.home.pass(TimeDelta::hours(38));
        self.mend();
        self.peer.say(self.product.path(), answer);
        let state = self.look().await;
        match self.product {
            // What was warned of stands until it has passed, and old forecasts release nothing.
            Product::Alerts => assert_eq!(state, State::Wait, "{name}"),
            Product::Ensemble | Product::Archive => assert_eq!(state, State::Go, "{name}"),
            Product::Point => {}
            Product::Forecast | Product::Freshness | Product::MetNorway | Product::Grid => {
                assert!(!state.allows(), "{name}: {state:?}");
            }
        }
        self.well.say(super::home::PATH, mild(self.home.now()));
        assert_eq!(
            self.home.look(1).await,
            State::Go,
            "{name}: the other garden"
        );
        self.loses_nothing(&name).await;
    }

    async fn loses_nothing(&self, name: &str) {
        let source = match self.product {
            Product::MetNorway => "met-norway",
            Product::Point | Product::Grid | Product::Alerts => "nws",
            Product::Forecast | Product::Ensemble | Product::Freshness | Product::Archive => {
                "open-meteo"
            }
        };
        assert!(self.home.keeps_a_run("quarry", source).await, "{name}");
        if self.product == Product::Archive {
            assert!(self.home.keeps_a_record("quarry").await, "{name}");
        }
        let start: DateTime<Utc> = super::home::SUMMER.parse().unwrap();
        let hours = (self.home.now() - start).num_hours();
        let hours = usize::try_from(hours).unwrap();
        assert_eq!(self.readings().await, hours + 1, "{name}: readings");
    }
}

/// Every fault of one product.
fn every_fault_of(product: Product) {
    let (log, _guard) = Log::of_this_thread();
    let mut cells = 0;
    for fault in refusals().into_iter().chain(nonsense()) {
        let log = log.clone();
        cells += paused(async {
            let cell = Cell::new(product, None, log).await;
            let Some(answer) = (fault.answer)(product, cell.home.now()) else {
                return 0;
            };
            cell.mend();
            cell.peer.say(product.path(), answer.clone());
            cell.begins_with(&fault).await;
            cell.goes_wrong(answer, fault.name).await;
            // What came before the client hung up lies in the buffers of two sockets.
            assert!(
                cell.peer.sent() <= 2 * (BODY_CAP + (8 << 20)),
                "{}",
                fault.name
            );
            1
        });
    }
    for (name, seconds, address) in [
        ("refused", 0.0, closed as fn() -> String),
        ("no such name", 0.0, || "https://sky.invalid".to_owned()),
    ] {
        let log = log.clone();
        paused(no_way_there(product, (name, seconds), address(), log));
        cells += 1;
    }
    let log = log.clone();
    paused(async {
        let (full, _guests) = full_house().await;
        no_way_there(product, ("no connection in time", 5.0), full, log).await;
    });
    eprintln!("{product:?}: {} faults", cells + 1);
}

/// An address at which nobody can be reached.
async fn no_way_there(product: Product, (name, each): (&str, f64), address: String, log: Log) {
    let cell = Cell::new(product, Some(&address), log).await;
    let name = format!("{product:?}, {name}");
    cell.mend();
    let begun = Instant::now();
    cell.write_readings();
    let state = cell.home.look(0).await;
    let took = begun.elapsed().as_secs_f64();
    // Without its point and its grid even the NWS's warnings are out of reach; nothing else stands.
    let without = if product == Product::Alerts {
        State::Unknown
    } else {
        cell.without()
    };
    assert_eq!(state, without, "{name}");
    let says = if each > 0.0 {
        "no whole answer"
    } else {
        "cannot reach"
    };
    let log = cell.log.take();
    assert!(log.contains(says), "{name}: {log}");
    // Three tries and two pauses; of the three products of the NWS one after the other gives up.
    let least = 3.0 * each + 10.0;
    assert!(took >= least, "{name}: {took} s");
    let most = (3.0 * each + 12.5) * 3.0 + 3.0 * AHEAD;
    assert!(took <= most, "{name}: {took} s");
    assert_eq!(
        cell.home.look(1).await,
        State::Go,
        "{name}: the other garden"
    );
    assert_eq!(cell.readings().await, 1, "{name}: readings");
}

fn closed() -> String {
    paused(closed_port()).replace(super::home::PATH, "")
}

/// A port that takes no more connections, with those that fill it.
async fn full_house() -> (String, impl Sized) {
    let socket = tokio::net::TcpSocket::new_v4().unwrap();
    socket.bind("127.0.0.1:0".parse().unwrap()).unwrap();
    let listener = socket.listen(1).unwrap();
    let at = listener.local_addr().unwrap();
    let mut guests = Vec::new();
    for _ in 0..8 {
        let guest = tokio::net::TcpStream::connect(at);
        let guest = tokio::time::timeout(Duration::from_millis(100), guest).await;
        guests.push(guest);
    }
    (format!("http://{at}"), (listener, guests))
}

macro_rules! products {
    ($($name:ident: $product:ident),* $(,)?) => {
        $(
            #[test]
            fn $name() {
                every_fault_of(Product::$product);
            }
        )*
    };
}

products! {
    no_fault_of_a_forecast_does_harm: Forecast,
    no_fault_of_an_ensemble_does_harm: Ensemble,
    no_fault_of_the_page_of_a_model_does_harm: Freshness,
    no_fault_of_met_norway_does_harm: MetNorway,
    no_fault_of_a_point_of_the_nws_does_harm: Point,
    no_fault_of_a_grid_of_the_nws_does_harm: Grid,
    no_fault_of_the_warnings_of_the_nws_does_harm: Alerts,
    no_fault_of_an_archive_does_harm: Archive,
}
