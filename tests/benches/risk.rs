//! How long one look at a garden takes: the futures, and the verdicts on forty cuts of all kinds.
//!
//! `cargo bench --bench risk` prints the median and the range of a number of looks, on one core.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::print_stdout,
    clippy::indexing_slicing,
    reason = "a bench may stop at once and prints its figures"
)]

use std::time::{Duration, Instant};

use budward::almanac::Kind;
use budward::climate::{Climate, ghcn};
use budward::events::{Ground, Seasons};
use budward::forecast::{FRESH_FOR, Forecast, Hours};
use budward::garden::{Choices, Garden, Place, PlannedCut, Planting, Spot, Zone};
use budward::locale::Locale;
use budward::outlook::{Inputs, MeasuredDays, Outlook, Skill};
use budward::units::{Celsius, CelsiusStep, Chance, UnitSystem};
use budward::verdict::{Sky, assess};
use chrono::{DateTime, Utc};

const LOOKS: usize = 15;
const CUTS: usize = 40;

/// Forty cuts: the almanac's tender ones in turn, on so many spots.
fn garden(spots: usize) -> Garden {
    let almanac = budward::almanac::embedded().unwrap();
    let kinds = almanac
        .kinds
        .iter()
        .flat_map(|kind| kind.cuts.iter().map(move |cut| (kind, cut)));
    let cuts = kinds
        .filter(|(_, cut)| cut.tender.is_some())
        .cycle()
        .take(CUTS)
        .enumerate()
        .map(|(n, (kind, cut))| {
            let offset = [0.0, -1.0, -2.0][n % spots];
            PlannedCut {
                name: format!("cut-{n}"),
                planting: kind.common.clone(),
                facts: Planting::named(&kind.common).into(),
                kind: kind.clone(),
                cut: cut.clone(),
                spot: Spot {
                    name: format!("spot {}", n % spots),
                    offset: CelsiusStep::new(offset),
                    doubt: CelsiusStep::new(1.0),
                },
                wished: None,
                tolerance: Chance::of(0.1),
            }
        });
    let zone = Zone::named("America/Toronto").unwrap();
    let place = Place::new(43.67, -79.4, None, zone).unwrap();
    Garden {
        name: "quarry".to_owned(),
        title: "Quarry".to_owned(),
        choices: Choices::of(&place),
        place,
        locale: Locale::english(UnitSystem::Metric),
        mail_to: None,
        letters: budward::garden::LetterTimes::USUAL,
        remark: None,
        cuts: cuts.collect(),
        uncut: Vec::new(),
    }
}

/// A fortnight of hours with 31 members.
fn forecast(start: DateTime<Utc>) -> Forecast {
    let hours = |member: u32| Hours {
        start,
        temperature: (0..15 * 24_u32)
            .map(|hour| {
                let wave = (f64::from(hour % 24) / 24.0 * std::f64::consts::TAU).cos();
                Some(Celsius::new(5.0 - 6.0 * wave + f64::from(member) * 0.1))
            })
            .collect(),
    };
    Forecast {
        spans: Vec::new(),
        source: "bench".to_owned(),
        attribution: String::new(),
        data_at: start,
        elevation: None,
        run: hours(0),
        members: (0..31).map(hours).collect(),
        conditions: None,
    }
}

/// The days of the season at hand: those of the record's last years.
fn measured_days(climate: &Climate) -> MeasuredDays {
    let (last, _) = climate.record.days().last().unwrap();
    let days = climate.record.days();
    let days = days.filter_map(|(date, day)| Some((date, day.min.zip(day.max)?)));
    let now = chrono::NaiveDate::from_ymd_opt(2027, 3, 23).unwrap();
    days.map(|(date, day)| (date + (now - last), day))
        .filter(|(date, _)| *date > now - chrono::Days::new(735))
        .collect()
}

fn report(what: &str, mut times: Vec<Duration>) {
    times.sort_unstable();
    println!(
        "{what}: median {:?}, {:?} to {:?}",
        times[times.len() / 2],
        times[0],
        times[times.len() - 1]
    );
}

/// The futures of a garden, and how long the events of its plantings take on them.
fn events(garden: &Garden, sky: &Sky<'_>, now: DateTime<Utc>) -> Vec<Duration> {
    let outlook = Outlook::of(&Inputs {
        now,
        place: &garden.place,
        climate: sky.climate,
        forecast: sky.forecast,
        skill: sky.skill,
        fresh_for: sky.fresh_for,
    });
    let ground = Ground {
        outlook: &outlook,
        climate: sky.climate,
        measured: sky.measured,
        hemisphere: garden.place.hemisphere(),
    };
    let kinds: Vec<&Kind> = garden.cuts.iter().map(|cut| &*cut.kind).collect();
    let looks = (0..LOOKS).map(|_| {
        let begun = Instant::now();
        let seasons = Seasons::of(&ground, &kinds);
        for kind in &kinds {
            std::hint::black_box(seasons.events(kind, &[]));
        }
        begun.elapsed()
    });
    looks.collect()
}

fn main() {
    let file = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/data/ghcn/CA006158350_1969-2003.dly"
    );
    let climate =
        Climate::of(&ghcn::parse(&std::fs::read_to_string(file).unwrap()).unwrap()).unwrap();
    let now: DateTime<Utc> = "2027-03-24T13:00:00Z".parse().unwrap();
    let (forecast, skill) = (forecast(now), Skill::default());
    let measured = measured_days(&climate);
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
    let timed = |garden: &Garden| {
        let looks = (0..LOOKS).map(|_| {
            let begun = Instant::now();
            std::hint::black_box(assess(garden, &sky, &[], now));
            begun.elapsed()
        });
        looks.collect()
    };
    report(
        "the futures alone",
        timed(&Garden {
            cuts: Vec::new(),
            ..garden(1)
        }),
    );
    report(
        "the events of forty plantings",
        events(&garden(1), &sky, now),
    );
    report("forty cuts, all on one spot", timed(&garden(1)));
    report("forty cuts on three spots", timed(&garden(3)));
}
