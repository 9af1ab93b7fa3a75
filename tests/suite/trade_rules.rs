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
use budward::risk::{Risk, Risks, Sums};
use budward::units::{Celsius, CelsiusStep, Chance};
use chrono::{Datelike, NaiveDate};

use crate::support::{project, sample};

/// Records of places with a winter, as files beside the project, and the one that is part of it.
const RECORDS: [&str; 10] = [
    "weather-samples/ghcn/CA006158350.dly",
    "weather-samples/ghcn/GM000004204.dly",
    "weather-samples/ghcn/UK000056225.dly",
    "open-data/aquacrop/champion_climate.txt",
    "open-data/aquacrop/brussels_climate.txt",
    "open-data/aquacrop/cambridge_climate.txt",
    "open-data/aquacrop/north_yorks_climate.txt",
    "open-data/aquacrop/northumberland_climate.txt",
    "open-data/aquacrop/suffolk_climate.txt",
    "open-data/aquacrop/cordoba_climate.txt",
];

/// The record whose winter is in July.
const SOUTHERN: &str = "cordoba_climate";

struct Place {
    name: String,
    climate: Climate,
    hemisphere: Hemisphere,
}

impl Place {
    fn read(file: &std::path::Path) -> Self {
        let name = file.file_stem().unwrap().to_string_lossy().into_owned();
        let record = read_record(&std::fs::read_to_string(file).unwrap(), &name).unwrap();
        let hemisphere = if name == SOUTHERN {
            Hemisphere::South
        } else {
            Hemisphere::North
        };
        Self {
            name,
            climate: Climate::of(&record).unwrap(),
            hemisphere,
        }
    }

    /// The first day of the season after the record, in the middle of winter.
    fn today(&self) -> NaiveDate {
        let month = match self.hemisphere {
            Hemisphere::North => 1,
            Hemisphere::South => 7,
        };
        NaiveDate::from_ymd_opt(self.climate.span.1.year() + 1, month, 1).unwrap()
    }

    /// The median date of the last spring or first autumn night at or below so many °F, if half of the years have one.
    fn median(&self, fahrenheit: f64, pick: fn(FreezeDates) -> SeasonDates) -> Option<NaiveDate> {
        let dates = FreezeDates::of(
            &self.climate.record,
            Celsius::from_fahrenheit(fahrenheit),
            self.hemisphere,
        );
        let MonthDay { month, day } = pick(dates).percentile(50)?;
        let year = self.today().year();
        let dates = [year, year + 1].map(|year| NaiveDate::from_ymd_opt(year, month, day).unwrap());
        dates.into_iter().find(|date| *date >= self.today())
    }

    /// The risk of a cut from the season after the record on, from past years alone.
    fn risk(&self, kind: &str, cut: CutKind) -> Risk {
        let outlook = Outlook::of_days(
            &Daily::none(self.today()),
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
        Risks::of(&outlook, &Sums::default()).risk(&tender, &spot, Chance::of(0.10))
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

/// First go, median last 28 °F, last call, median first 32 °F of a place; why there are none, where one is missing.
fn shearing(place: &Place) -> Result<[NaiveDate; 4], &'static str> {
    let risk = place.risk("boxwood", CutKind::Shear);
    let hard = place.median(28.0, |dates| dates.last_spring);
    let freeze = place.median(32.0, |dates| dates.first_autumn);
    Ok([
        risk.first_go.ok_or("no day is within the limit")?.late,
        hard.ok_or("fewer than half of the springs have a night of 28 °F")?,
        risk.last_call
            .ok_or("the curve stays within the limit all year")?,
        freeze.ok_or("fewer than half of the autumns have a freeze")?,
    ])
}

#[test]
fn the_last_shearing_lies_six_to_thirteen_weeks_before_the_first_freeze_and_the_first_after_the_last_hard_one()
 {
    let mut table = String::from(
        "place; hardiness zone; first go; median last 28 °F; days after; last call; median first 32 °F; weeks before\n",
    );
    let (mut rows, mut wrong) = (0, Vec::new());
    let places = places();
    for place in &places {
        let (name, zone) = (&place.name, place.climate.hardiness_zone());
        let [go, hard, call, freeze] = match shearing(place) {
            Ok(days) => days,
            Err(why) => {
                writeln!(table, "{name}; {zone:.1}; no row: {why}").unwrap();
                continue;
            }
        };
        rows += 1;
        let after = (go - hard).num_days();
        let weeks = (freeze - call).num_days() as f64 / 7.0;
        writeln!(
            table,
            "{name}; {zone:.1}; {go}; {hard}; {after}; {call}; {freeze}; {weeks:.1}"
        )
        .unwrap();
        if after < -10 {
            wrong.push(format!("{name}: first go {go}, last hard freeze {hard}"));
        }
        if !(6.0..=13.0).contains(&weeks) {
            wrong.push(format!(
                "{name}: last call {weeks:.1} weeks before the first freeze"
            ));
        }
    }
    eprintln!("{table}");
    assert!(wrong.is_empty(), "{}\n{table}", wrong.join("\n"));
    let enough = if places.len() > RECORDS.len() { 6 } else { 1 };
    assert!(rows >= enough, "only {rows} places have both days\n{table}");
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
