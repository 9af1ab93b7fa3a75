//! The rules of thumb of the trade have to come out of the sum by themselves, from past years alone.
//!
//! "No shearing within six to thirteen weeks of the first autumn freeze" spans what named sources advise (Morton
//! Arboretum: six to seven weeks; University of Minnesota Extension: seven to eight; Virginia Cooperative Extension: ten
//! to thirteen); "not before the last hard freeze" is common practice, no source.

use std::fmt::Write;

use budward::almanac::{CutKind, MonthDay};
use budward::climate::freeze::{FreezeDates, SeasonDates};
use budward::climate::{Climate, read_record};
use budward::garden::{Hemisphere, Spot};
use budward::outlook::{Daily, Horizon, Outlook, Skill};
use budward::risk::{Risk, Risks};
use budward::units::{Celsius, CelsiusStep, Chance};
use chrono::{Datelike, Days, NaiveDate};

use crate::support::{project, sample};

/// Records of places with a winter, as files beside the project, and the one that is part of it.
const RECORDS: [&str; 9] = [
    "weather-samples/ghcn/CA006158350.dly",
    "weather-samples/ghcn/GM000004204.dly",
    "weather-samples/ghcn/UK000056225.dly",
    "open-data/aquacrop/champion_climate.txt",
    "open-data/aquacrop/brussels_climate.txt",
    "open-data/aquacrop/cambridge_climate.txt",
    "open-data/aquacrop/north_yorks_climate.txt",
    "open-data/aquacrop/northumberland_climate.txt",
    "open-data/aquacrop/suffolk_climate.txt",
];

struct Place {
    name: String,
    climate: Climate,
}

impl Place {
    fn read(file: &std::path::Path) -> Self {
        let name = file.file_stem().unwrap().to_string_lossy().into_owned();
        let record = read_record(&std::fs::read_to_string(file).unwrap(), &name).unwrap();
        Self {
            name,
            climate: Climate::of(&record).unwrap(),
        }
    }

    fn year(&self) -> i32 {
        self.climate.span.1.year() + 1
    }

    /// The median date of the last spring or first autumn night at or below so many °F, if half of the years have one.
    fn median(&self, fahrenheit: f64, pick: fn(FreezeDates) -> SeasonDates) -> Option<NaiveDate> {
        let dates = FreezeDates::of(
            &self.climate.record,
            Celsius::from_fahrenheit(fahrenheit),
            Hemisphere::North,
        );
        let season = pick(dates);
        season.percentile(50).map(|MonthDay { month, day }| {
            NaiveDate::from_ymd_opt(self.year(), month, day).unwrap()
        })
    }

    /// The risk of a cut from 1 January of the year after the record on, from past years alone.
    fn risk(&self, kind: &str, cut: CutKind) -> Risk {
        let today = NaiveDate::from_ymd_opt(self.year(), 1, 1).unwrap();
        let outlook = Outlook::of_days(
            &Daily::none(today),
            Some(&self.climate),
            &Skill::default(),
            Horizon::YEAR,
        );
        let almanac = budward::almanac::embedded().unwrap();
        let tender = almanac
            .kind(kind)
            .unwrap()
            .cut(cut)
            .unwrap()
            .tender
            .clone()
            .unwrap();
        let spot = Spot {
            name: "the place itself".to_owned(),
            offset: CelsiusStep::new(0.0),
            doubt: CelsiusStep::new(1.0),
        };
        Risks::of(&outlook).risk(&tender, &spot, Chance::of(0.10))
    }
}

fn places() -> Vec<Place> {
    let committed = project().join("tests/data/ghcn/CA006158350_1969-2003.dly");
    let beside = RECORDS.iter().filter_map(|path| sample(path));
    std::iter::once(committed)
        .chain(beside)
        .map(|file| Place::read(&file))
        .collect()
}

#[test]
fn the_last_shearing_lies_six_to_thirteen_weeks_before_the_first_freeze_and_the_first_after_the_last_hard_one()
 {
    let mut table = String::from(
        "place; first go; median last 28 °F; last call; median first 32 °F; weeks between\n",
    );
    let mut wrong = Vec::new();
    for place in places() {
        let risk = place.risk("boxwood", CutKind::Shear);
        let (Some(go), Some(call)) = (risk.first_go, risk.last_call) else {
            continue;
        };
        let (Some(hard), Some(freeze)) = (
            place.median(28.0, |dates| dates.last_spring),
            place.median(32.0, |dates| dates.first_autumn),
        ) else {
            continue;
        };
        let weeks = (freeze - call).num_days() as f64 / 7.0;
        writeln!(
            table,
            "{}; {}; {hard}; {call}; {freeze}; {weeks:.1}",
            place.name, go.late
        )
        .unwrap();
        if go.late < hard - Days::new(10) {
            wrong.push(format!(
                "{}: first go {} against a last hard freeze of {hard}",
                place.name, go.late
            ));
        }
        if !(6.0..=13.0).contains(&weeks) {
            wrong.push(format!(
                "{}: last call {weeks:.1} weeks before the first freeze",
                place.name
            ));
        }
    }
    eprintln!("{table}");
    assert!(wrong.is_empty(), "{}\n{table}", wrong.join("\n"));
}

#[test]
fn dormant_deciduous_shrubs_may_be_cut_hard_in_late_winter() {
    for place in places() {
        let risk = place.risk("smooth-hydrangea", CutKind::Renewal);
        let late_winter = (60..90)
            .map(|day| risk.curve[day].share())
            .fold(1.0, f64::min);
        eprintln!("{}: least chance in March {late_winter:.3}", place.name);
        assert!(late_winter <= 0.10, "{}: {late_winter}", place.name);
    }
}
