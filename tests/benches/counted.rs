//! One piece of the engine's work, done so many times: `tests/benches/instructions` counts its instructions.
//!
//! `counted WORK TIMES`; without arguments every piece is done once.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a bench may stop at once"
)]

mod scene;

use std::hint::black_box;

use budward::climate::Climate;
use budward::climate::freeze::FreezeDates;
use budward::forecast::FRESH_FOR;
use budward::garden::Hemisphere;
use budward::outlook::Skill;
use budward::risk::Risk;
use budward::units::{Celsius, Chance};
use budward::verdict::{Sky, assess};

type Work = Box<dyn FnMut()>;

/// Makes a piece of work ready, by its name.
type Named = (&'static str, fn() -> Work);

/// The futures of a place of so many members and years, and the risk of one cut over 120 days.
fn risk(members: usize, years: usize) -> Work {
    let (strands, (tender, spot)) = (scene::Strands::of(members, years), scene::cut());
    Box::new(move || {
        let outlook = strands.outlook();
        black_box(Risk::of(&outlook, &tender, &spot, Chance::of(0.1)));
    })
}

/// One look at a garden of forty cuts.
fn garden() -> Work {
    let climate = scene::climate();
    let (garden, forecast) = (scene::garden(3), scene::forecast(scene::now()));
    let measured = scene::measured_days(&climate);
    Box::new(move || {
        let sky = Sky {
            warnings: &[],
            measured: &measured,
            sightings: &[],
            climate: Some(&climate),
            forecast: Some(&forecast),
            skill: &Skill::default(),
            fresh_for: FRESH_FOR,
            deeds: &[],
        };
        black_box(assess(&garden, &sky, &[], scene::now()));
    })
}

/// The normals and freeze dates of a record of so many years.
fn record(years: i32) -> Work {
    let record = scene::record(years);
    Box::new(move || {
        black_box(Climate::of(&record));
        let limit = Celsius::from_fahrenheit(28.0);
        black_box(FreezeDates::of(&record, limit, Hemisphere::North));
    })
}

fn main() {
    let works: [Named; 7] = [
        ("risk-1-30", || risk(1, 30)),
        ("risk-1-60", || risk(1, 60)),
        ("risk-50-30", || risk(50, 30)),
        ("risk-50-60", || risk(50, 60)),
        ("garden", garden),
        ("record-30", || record(30)),
        ("record-100", || record(100)),
    ];
    let given: Vec<String> = std::env::args()
        .skip(1)
        .filter(|word| !word.starts_with("--"))
        .collect();
    let times = given.get(1).map_or(1, |times| times.parse().unwrap());
    let is_asked = |name: &str| given.first().is_none_or(|asked| asked == name);
    for (_, work) in works.into_iter().filter(|(name, _)| is_asked(name)) {
        let mut work = work();
        (0..times).for_each(|_| work());
    }
}
