//! What the almanac's tender classes make of real records: the rules of thumb of the trade come out.

use std::fs;

use budward::almanac::CutKind;
use budward::climate::{Climate, DailyRecord, DayExtremes};
use budward::garden::{Place, Zone};
use budward::outlook::{Inputs, Outlook, Skill};
use budward::risk::{Risk, Spread};
use budward::units::{Celsius, Chance};
use chrono::{NaiveDate, TimeDelta};

use super::{cut, day, spot};
use crate::support::sample;

/// The climate of an open daily series; none when it is not there.
///
/// Source: climate files of the Python package aquacrop 3.1.0 (MIT): day, month, year, lowest, highest, rain,
/// evaporation.
fn climate(name: &str) -> Option<Climate> {
    let path = sample(&format!("open-data/aquacrop/{name}_climate.txt"))?;
    let text = fs::read_to_string(path).unwrap();
    let days = text.lines().skip(1).map(|line| {
        let fields: Vec<&str> = line.split_whitespace().collect();
        let whole = |at: usize| fields[at].parse::<u32>().unwrap();
        let date = NaiveDate::from_ymd_opt(fields[2].parse().unwrap(), whole(1), whole(0)).unwrap();
        let celsius = |at: usize| Some(Celsius::new(fields[at].parse().unwrap()));
        (
            date,
            DayExtremes {
                min: celsius(3),
                max: celsius(4),
            },
        )
    });
    Climate::of(&DailyRecord::from_days(name, days).unwrap())
}

/// The risk of a cut by cutting day, from past years alone, from 1 January 2019 on.
fn risk(climate: &Climate, id: &str, of: CutKind) -> Risk {
    let zone = Zone::named("UTC").unwrap();
    let skill = Skill::default();
    let outlook = Outlook::of(&Inputs {
        now: day(1, 1).and_hms_opt(12, 0, 0).unwrap().and_utc(),
        place: &Place::new(40.0, 0.0, None, zone).unwrap(),
        climate: Some(climate),
        forecast: None,
        skill: &skill,
        fresh_for: TimeDelta::hours(36),
    });
    let cut = cut(id, of);
    let tender = cut.tender.as_ref().unwrap();
    Risk::of(&outlook, tender, &spot(), Chance::of(0.1))
}

fn assert_within(found: NaiveDate, from: NaiveDate, to: NaiveDate) {
    assert!(
        from <= found && found <= to,
        "{found} is not in {from} to {to}"
    );
}

/// Source: Missouri Botanical Garden 2023, shearing after frost danger; Morton Arboretum, last shearing late August at
/// the latest, six to eight weeks before the first freeze (Chicago, zone 5 to 6, as cold as this station).
#[test]
fn boxwood_is_sheared_after_the_frosts_and_not_after_august_in_nebraska() {
    let Some(climate) = climate("champion") else {
        return;
    };
    let risk = risk(&climate, "boxwood", CutKind::Shear);
    assert_within(risk.first_go.unwrap().late, day(5, 1), day(5, 25));
    assert_within(risk.last_call.unwrap(), day(8, 7), day(8, 31));
}

/// Source: Iowa State University Extension, Pruning shrubs: hard cuts in March and early April, zone 5.
#[test]
fn a_hard_cut_of_dormant_shrubs_is_go_about_the_first_of_april_in_nebraska() {
    let Some(climate) = climate("champion") else {
        return;
    };
    let Spread { late: to, .. } = risk(&climate, "common-lilac", CutKind::Renewal)
        .first_go
        .unwrap();
    assert_within(to, day(3, 15), day(4, 7));
}

/// Source: common practice, no source: late winter is the time for hard cuts where winters are mild.
#[test]
fn a_hard_cut_of_dormant_shrubs_is_go_all_february_in_brussels() {
    let Some(climate) = climate("brussels") else {
        return;
    };
    let curve = risk(&climate, "smooth-hydrangea", CutKind::Renewal).curve;
    assert!(curve[31..90].iter().all(|chance| chance.share() <= 0.1));
}
