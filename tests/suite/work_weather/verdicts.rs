//! The weather of a forecast reaches the verdict.

use budward::almanac::{CutKind, Disease};
use budward::forecast::{Conditions, FRESH_FOR, Forecast, Hours};
use budward::garden::{Choices, Garden};
use budward::locale::Locale;
use budward::message::words;
use budward::outlook::{MeasuredDays, Skill};
use budward::rules::Facts;
use budward::units::UnitSystem;
use budward::verdict::{Sky, State, Verdict, assess};
use chrono::{DateTime, TimeDelta, Utc};

use super::given::{Weather, kind, place, planned, rain, zone_7};

/// A garden with one boxwood that is to be thinned.
fn garden() -> Garden {
    let place = place();
    let boxwood = kind("boxwood", &[], &[Disease::BoxwoodBlight]);
    Garden {
        name: "quarry".to_owned(),
        title: "Quarry".to_owned(),
        choices: Choices::of(&place),
        place,
        locale: Locale::english(UnitSystem::Us),
        mail_to: Vec::new(),
        letters: budward::garden::LetterTimes::USUAL,
        remark: None,
        cuts: vec![planned(boxwood, CutKind::ThinningCut, &[])],
        uncut: Vec::new(),
    }
}

/// The forecast of a weather, with or without its conditions.
fn forecast(weather: &Weather, conditions: Option<Conditions>) -> Forecast {
    let hours = weather.conditions.hours.iter();
    Forecast {
        spans: Vec::new(),
        source: "invented".to_owned(),
        attribution: "invented weather".to_owned(),
        data_at: weather.now,
        elevation: None,
        run: Hours {
            start: weather.conditions.start,
            temperature: hours.map(|hour| hour.temperature).collect(),
        },
        members: Vec::new(),
        conditions,
    }
}

fn verdict(forecast: &Forecast, now: DateTime<Utc>) -> Verdict {
    let sky = Sky {
        warnings: &[],
        climate: Some(zone_7()),
        measured: &MeasuredDays::new(),
        sightings: &[],
        deeds: &[],
        forecast: Some(forecast),
        skill: &Skill::default(),
        fresh_for: FRESH_FOR,
    };
    assess(&garden(), &sky, &[], now).remove(0)
}

fn with_conditions(weather: &Weather) -> Verdict {
    let forecast = forecast(weather, Some(weather.conditions.clone()));
    verdict(&forecast, weather.now)
}

#[test]
fn blight_weather_makes_a_thinning_cut_wait_and_says_why() {
    let wet = Weather::mild(6, 10)
        .warmed(-31..16, 60.0, 75.0)
        .hours_from_now(2..10, rain(1.0));
    let verdict = with_conditions(&wet);
    assert_eq!(verdict.state, State::Wait);
    assert!(verdict.opens.is_some());
    let reason = words::main_reason(&verdict, Locale::english(UnitSystem::Us));
    assert!(reason.starts_with("boxwood blight weather"), "{reason}");
}

#[test]
fn a_cut_in_good_weather_is_go_and_hears_of_the_best_times() {
    let fair = Weather::mild(6, 10).on(-5..-4, rain(1.5));
    let verdict = with_conditions(&fair);
    assert_eq!(verdict.state, State::Go, "{verdict:?}");
    let last = verdict.findings.last().unwrap();
    assert!(matches!(last.facts, Facts::WorkingConditions(_)));
    // What decides is the season, not the note.
    let reason = words::main_reason(&verdict, Locale::english(UnitSystem::Us));
    assert!(!reason.starts_with("best times"), "{reason}");
}

#[test]
fn a_forecast_without_conditions_takes_no_go_away() {
    let fair = Weather::mild(6, 10);
    let verdict = verdict(&forecast(&fair, None), fair.now);
    assert_eq!(verdict.state, State::Go);
    let notes = verdict
        .findings
        .iter()
        .filter(|finding| finding.is_weather_note());
    assert_eq!(notes.count(), 1);
}

#[test]
fn weather_that_is_too_old_is_not_looked_at() {
    let wet = Weather::mild(6, 10).hours_from_now(90..120, rain(1.0));
    let forecast = forecast(&wet, Some(wet.conditions.clone()));
    let has_wet = |hours| {
        let verdict = verdict(&forecast, wet.now + TimeDelta::hours(hours));
        let mut facts = verdict.findings.iter().map(|finding| &finding.facts);
        facts.any(|facts| matches!(facts, Facts::Wetness(_)))
    };
    assert!(has_wet(96));
    assert!(!has_wet(97));
}
