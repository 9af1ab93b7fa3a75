//! The weather of a forecast reaches the verdict.

use budward::almanac::{CutKind, Disease};
use budward::forecast::{FRESH_FOR, Forecast, Hours};
use budward::garden::{Choices, Garden};
use budward::message::words;
use budward::outlook::{MeasuredDays, Skill};
use budward::rules::Facts;
use budward::units::UnitSystem;
use budward::verdict::{Sky, State, Verdict, assess};
use chrono::TimeDelta;

use super::given::{Weather, kind, place, planned, rain, zone_7};

fn verdict(cut: CutKind, weather: &Weather, with_conditions: bool) -> Verdict {
    let place = place();
    let garden = Garden {
        name: "quarry".to_owned(),
        title: "Quarry".to_owned(),
        choices: Choices::of(&place),
        place,
        units: UnitSystem::Us,
        mail_to: None,
        remark: None,
        cuts: vec![planned(
            kind("boxwood", &[], &[Disease::BoxwoodBlight]),
            cut,
            &[],
        )],
    };
    let forecast = Forecast {
        source: "invented".to_owned(),
        attribution: "invented weather".to_owned(),
        data_at: weather.now,
        elevation: None,
        run: Hours {
            start: weather.conditions.start,
            temperature: weather
                .conditions
                .hours
                .iter()
                .map(|hour| hour.temperature)
                .collect(),
        },
        members: Vec::new(),
        conditions: with_conditions.then(|| weather.conditions.clone()),
    };
    let climate = zone_7();
    let sky = Sky {
        climate: Some(climate),
        measured: &MeasuredDays::new(),
        sightings: &[],
        deeds: &[],
        forecast: Some(&forecast),
        skill: &Skill::default(),
        fresh_for: FRESH_FOR,
    };
    assess(&garden, &sky, &[], weather.now).remove(0)
}

#[test]
fn blight_weather_makes_a_thinning_cut_wait_and_says_why() {
    let wet = Weather::mild(6, 10)
        .warmed(-31..16, 60.0, 75.0)
        .from_now(2..10, rain(1.0));
    let verdict = verdict(CutKind::ThinningCut, &wet, true);
    assert_eq!(verdict.state, State::Wait);
    assert!(verdict.opens.is_some());
    let reason = words::main_reason(&verdict, UnitSystem::Us);
    assert!(reason.starts_with("boxwood blight weather"), "{reason}");
}

#[test]
fn a_cut_in_good_weather_is_go_and_hears_of_the_best_times() {
    let fair = Weather::mild(6, 10).on(-5..-4, rain(1.5));
    let verdict = verdict(CutKind::ThinningCut, &fair, true);
    assert_eq!(verdict.state, State::Go, "{verdict:?}");
    let last = verdict.findings.last().unwrap();
    assert!(matches!(last.facts, Facts::WorkingConditions(_)));
    // What decides is the season, not the note.
    let reason = words::main_reason(&verdict, UnitSystem::Us);
    assert!(!reason.starts_with("best times"), "{reason}");
}

#[test]
fn a_forecast_without_conditions_takes_no_go_away() {
    let fair = Weather::mild(6, 10);
    let verdict = verdict(CutKind::ThinningCut, &fair, false);
    assert_eq!(verdict.state, State::Go);
    assert_eq!(
        verdict
            .findings
            .iter()
            .filter(|finding| finding.is_weather_note())
            .count(),
        1
    );
}

#[test]
fn weather_that_is_too_old_is_not_looked_at() {
    let mut late = Weather::mild(6, 10).from_now(2..10, rain(1.0));
    let made = late.now;
    late.now += TimeDelta::hours(97);
    let place = place();
    let forecast = Forecast {
        source: "invented".to_owned(),
        attribution: String::new(),
        data_at: made,
        elevation: None,
        run: Hours {
            start: made,
            temperature: Vec::new(),
        },
        members: Vec::new(),
        conditions: Some(late.conditions.clone()),
    };
    let garden = Garden {
        name: "quarry".to_owned(),
        title: "Quarry".to_owned(),
        choices: Choices::of(&place),
        place,
        units: UnitSystem::Us,
        mail_to: None,
        remark: None,
        cuts: vec![planned(
            kind("boxwood", &[], &[Disease::BoxwoodBlight]),
            CutKind::ThinningCut,
            &[],
        )],
    };
    let sky = Sky {
        climate: None,
        measured: &MeasuredDays::new(),
        sightings: &[],
        deeds: &[],
        forecast: Some(&forecast),
        skill: &Skill::default(),
        fresh_for: FRESH_FOR,
    };
    let verdict = assess(&garden, &sky, &[], late.now).remove(0);
    assert!(
        !verdict
            .findings
            .iter()
            .any(|finding| matches!(finding.facts, Facts::Wetness(_)))
    );
}
