//! How long each stage of the program takes; `cargo bench --bench engine` tells it, with the change to the run before.
//!
//! `cargo bench --bench engine -- risk` takes those whose names hold a word. Nothing is asserted: a machine with other
//! work on it tells other times. Instructions are counted by `tests/benches/instructions`.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    reason = "a bench may stop at once; criterion's macros write functions without docs"
)]

mod scene;

use std::hint::black_box;
use std::sync::Arc;
use std::time::Duration;

use budward::almanac::{self, Kind};
use budward::climate::freeze::FreezeDates;
use budward::climate::{Climate, PastYears};
use budward::daemon::Clock;
use budward::events::{Ground, Seasons};
use budward::forecast::{FRESH_FOR, Several};
use budward::garden::Hemisphere;
use budward::locale::Locale;
use budward::look::{FreshFor, View, Weather};
use budward::outlook::{Inputs, Outlook, Skill};
use budward::risk::Risk;
use budward::science::degree_days::{Cutoff, Thresholds, running_sums};
use budward::units::{Celsius, Chance};
use budward::verdict::{Sky, Verdict, assess};
use budward::weather::Payload;
use budward::web::{self, Door, GardenSnapshot, Parts, Snapshot};
use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio_util::sync::CancellationToken;

/// Futures and the risk of one cut over 120 days.
fn risk(c: &mut Criterion) {
    let (tender, spot) = scene::cut();
    for members in [1, 50] {
        for years in [30, 60] {
            let strands = scene::Strands::of(members, years);
            let size = format!("{members} members, {years} years");
            c.bench_function(&format!("futures/{size}"), |b| b.iter(|| strands.outlook()));
            let outlook = strands.outlook();
            c.bench_with_input(
                BenchmarkId::new("risk of a cut", size),
                &outlook,
                |b, outlook| {
                    b.iter(|| Risk::of(outlook, &tender, &spot, Chance::of(0.1)));
                },
            );
        }
    }
}

/// One look at a garden of forty cuts on one spot and on three, and its parts.
fn garden(c: &mut Criterion) {
    let climate = scene::climate();
    let (forecast, skill) = (scene::forecast(scene::now()), Skill::default());
    let measured = scene::measured_days(&climate);
    let sky = Sky {
        warnings: &[],
        measured: &measured,
        sightings: &[],
        climate: Some(&climate),
        forecast: Some(&forecast),
        skill: &skill,
        fresh_for: FRESH_FOR,
        deeds: &[],
    };
    let one = scene::garden(1);
    let outlook = || {
        Outlook::of(&Inputs {
            now: scene::now(),
            place: &one.place,
            climate: sky.climate,
            forecast: sky.forecast,
            skill: sky.skill,
            fresh_for: sky.fresh_for,
        })
    };
    c.bench_function("garden/futures", |b| b.iter(outlook));
    let outlook = outlook();
    let ground = Ground {
        outlook: &outlook,
        climate: sky.climate,
        measured: sky.measured,
        hemisphere: one.place.hemisphere(),
    };
    let kinds: Vec<&Kind> = one.cuts.iter().map(|cut| &*cut.kind).collect();
    c.bench_function("garden/events of forty plantings", |b| {
        b.iter(|| {
            let seasons = Seasons::of(&ground, &kinds);
            for kind in &kinds {
                black_box(seasons.events(kind, &[]));
            }
        });
    });
    for spots in [1, 3] {
        let garden = scene::garden(spots);
        c.bench_function(&format!("garden/forty cuts on {spots} spots"), |b| {
            b.iter(|| assess(&garden, &sky, &[], scene::now()));
        });
    }
}

/// Normals, freeze dates and degree days of a record.
fn record(c: &mut Criterion) {
    for years in [30, 100] {
        let record = scene::record(years);
        let limit = Celsius::from_fahrenheit(28.0);
        c.bench_function(&format!("record/normals of {years} years"), |b| {
            b.iter(|| Climate::of(&record));
        });
        c.bench_function(&format!("record/freeze dates of {years} years"), |b| {
            b.iter(|| FreezeDates::of(&record, limit, Hemisphere::North));
        });
    }
    let record = scene::record(30);
    let days = record.days().filter_map(|(_, day)| day.min.zip(day.max));
    let (min, max): (Vec<_>, Vec<_>) = days.unzip();
    let thresholds = Thresholds {
        lower: Celsius::new(10.0),
        upper: Some((Celsius::new(30.0), Cutoff::Horizontal)),
    };
    let mut sums = Vec::new();
    c.bench_function("record/degree days of 30 years", |b| {
        b.iter(|| {
            sums.clear();
            running_sums(&min, &max, thresholds, &mut sums);
        });
    });
}

/// What each service replies, read.
fn payloads(c: &mut Criterion) {
    for (payload, file) in [
        (
            Payload::OpenMeteoForecast,
            "openmeteo/forecast_conditions.json",
        ),
        (Payload::OpenMeteoEnsemble, "openmeteo/ensemble.json"),
        (Payload::OpenMeteoArchive, "openmeteo/archive_daily.json"),
        (Payload::OpenMeteoFreshness, "openmeteo/freshness.json"),
        (Payload::OpenMeteoElevation, "openmeteo/elevation.json"),
        (Payload::MetNorway, "met_norway/complete.json"),
        (Payload::NwsPoint, "nws/points.json"),
        (Payload::NwsGrid, "nws/grid.json"),
        (Payload::NwsAlerts, "nws/alerts.json"),
        (Payload::GhcnStation, "ghcn/CA006158350_1969-2003.dly"),
    ] {
        let body = scene::data(file);
        payload.read(&body, scene::now()).expect("it can be read");
        c.bench_function(&format!("payload/{file}"), |b| {
            b.iter(|| payload.read(&body, scene::now()));
        });
    }
}

/// From the bytes that a service replied and the record at hand to the verdicts on forty cuts, as a round does it.
fn cycle(c: &mut Criterion) {
    let (body, record) = (
        scene::data("openmeteo/forecast.json"),
        scene::climate().record,
    );
    let garden = scene::garden(3);
    let at = "2026-04-01T06:00:00Z".parse().unwrap();
    let fresh_for = FreshFor::all(FRESH_FOR);
    c.bench_function("cycle/from a payload to forty verdicts", |b| {
        b.iter(|| {
            let forecast = Payload::OpenMeteoForecast.read(&body, at).unwrap();
            let weather = Weather {
                past: Some(Arc::new(PastYears::of(record.clone()))),
                forecasts: Several::only(forecast),
                ..Weather::default()
            };
            let climate = weather.past.as_ref().and_then(|past| past.climate());
            let view = View {
                garden: &garden,
                fresh_for: &fresh_for,
                climate,
                hung: None,
                shelf: None,
            };
            view.look(&weather, at).verdicts
        });
    });
}

/// A page over the verdicts of the garden of forty cuts, and the answers to requests over one connection.
fn pages(c: &mut Criterion) {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .unwrap();
    let verdicts = verdicts();
    let mut connection = runtime.block_on(async {
        let shown = Snapshot {
            locale: Locale::default(),
            gardens: vec![Arc::new(GardenSnapshot {
                name: "quarry".to_owned(),
                title: "Quarry".to_owned(),
                verdicts,
                ..GardenSnapshot::default()
            })],
            ..Snapshot::default()
        };
        let parts = Parts {
            snapshot: tokio::sync::watch::channel(Arc::new(shown)).1,
            almanac: Arc::new(almanac::embedded().unwrap()),
            answers: None,
            readings: None,
            door: Door::open("127.0.0.1:0".parse().unwrap()),
            now: Clock::standing(scene::now()).teller(),
        };
        let listener = web::listen("127.0.0.1:0".parse().unwrap()).await.unwrap();
        let address = listener.local_addr().unwrap();
        tokio::spawn(web::serve(
            listener,
            web::site(parts),
            CancellationToken::new(),
        ));
        tokio::net::TcpStream::connect(address).await.unwrap()
    });
    for path in ["/", "/status", "/garden/quarry"] {
        c.bench_function(&format!("page{path}"), |b| {
            b.iter(|| runtime.block_on(asked(&mut connection, path)));
        });
    }
}

fn verdicts() -> Vec<Verdict> {
    let climate = scene::climate();
    let forecast = scene::forecast(scene::now());
    let sky = Sky {
        warnings: &[],
        measured: &scene::measured_days(&climate),
        sightings: &[],
        climate: Some(&climate),
        forecast: Some(&forecast),
        skill: &Skill::default(),
        fresh_for: FRESH_FOR,
        deeds: &[],
    };
    assess(&scene::garden(3), &sky, &[], scene::now())
}

/// The whole reply to a request on a connection that stays open.
async fn asked(connection: &mut tokio::net::TcpStream, path: &str) -> usize {
    let request = format!("GET {path} HTTP/1.1\r\nhost: 127.0.0.1\r\n\r\n");
    connection.write_all(request.as_bytes()).await.unwrap();
    let (mut reply, mut part) = (Vec::new(), vec![0; 1 << 16]);
    loop {
        let read = connection.read(&mut part).await.unwrap();
        assert!(read > 0, "the connection has ended");
        reply.extend_from_slice(&part[..read]);
        if length(&reply).is_some_and(|whole| reply.len() >= whole) {
            return reply.len();
        }
    }
}

/// How long a reply is by its head; none before the head is whole.
fn length(reply: &[u8]) -> Option<usize> {
    let head = reply.windows(4).position(|four| four == b"\r\n\r\n")? + 4;
    let text = std::str::from_utf8(&reply[..head]).unwrap().to_lowercase();
    assert!(text.starts_with("http/1.1 200"), "{text}");
    let stated = text.split("content-length: ").nth(1).expect("a length");
    Some(head + stated.split("\r\n").next()?.parse::<usize>().unwrap())
}

criterion_group! {
    name = engine;
    config = Criterion::default()
        .sample_size(20)
        .warm_up_time(Duration::from_millis(500))
        .measurement_time(Duration::from_secs(3));
    targets = risk, garden, record, payloads, cycle, pages
}
criterion_main!(engine);
