//! Heat, bright sun and drought at their edges.

use budward::almanac::{CutKind, WeatherHold};
use budward::garden::Mark;
use budward::rules::{Facts, Finding, Stand};

use super::given::{Weather, found, holds, kind, of_rule, opens, planned, rain, said};

fn heat(id: &str, cut: CutKind, marks: &[WeatherHold], weather: &Weather) -> Option<Finding> {
    let cut = planned(kind(id, marks, &[]), cut, &[]);
    let all = found(&cut, weather, None);
    of_rule(&all, |facts| matches!(facts, Facts::Heat(_))).cloned()
}

#[test]
fn no_kind_is_sheared_when_95_degrees_are_near_and_sensitive_ones_from_90_on() {
    let hot = |high| Weather::mild(6, 10).warmed(0..16, 60.0, high);
    let shear = |holds: &[WeatherHold], high| heat("boxwood", CutKind::Shear, holds, &hot(high));
    assert!(holds(shear(&[], 95.1).as_ref()));
    assert_eq!(shear(&[], 94.9), None);
    for hold in [WeatherHold::Heat, WeatherHold::BrightSun] {
        assert!(holds(shear(&[hold], 90.1).as_ref()));
        assert_eq!(shear(&[hold], 89.9), None);
    }
    // Thinning bares leaves of sensitive kinds alone.
    let thin = |holds: &[WeatherHold]| heat("boxwood", CutKind::ThinningCut, holds, &hot(99.0));
    assert!(holds(thin(&[WeatherHold::Heat]).as_ref()));
    assert_eq!(thin(&[]), None);
}

#[test]
fn four_days_count_and_the_hold_ends_after_the_last_hot_one() {
    let hot_on = |day| Weather::mild(6, 10).warmed(day..day + 1, 60.0, 96.0);
    let shear = |weather: &Weather| heat("boxwood", CutKind::Shear, &[], weather);
    assert_eq!(shear(&hot_on(4)), None);
    let weather = hot_on(3);
    let found = shear(&weather);
    assert!(holds(found.as_ref()));
    assert_eq!(opens(found.as_ref()), Some(weather.day(4)));
    let text = said(&found.unwrap(), &weather);
    assert_eq!(
        text,
        "96 °F on Sun 13 June: leaves that a cut bares burn from 95 °F on"
    );
}

#[test]
fn broken_wood_spent_flowers_and_bare_shrubs_do_not_wait_for_the_heat() {
    let hot = Weather::mild(6, 10).warmed(0..16, 60.0, 99.0);
    for cut in [CutKind::StormRepair, CutKind::Deadhead, CutKind::Pinch] {
        assert_eq!(heat("boxwood", cut, &[WeatherHold::Heat], &hot), None);
    }
    let winter = Weather::mild(1, 20).warmed(0..16, 60.0, 99.0);
    let renewal = heat(
        "smooth-hydrangea",
        CutKind::Renewal,
        &[WeatherHold::Heat],
        &winter,
    );
    assert_eq!(renewal, None);
}

const DROUGHT: [WeatherHold; 1] = [WeatherHold::Drought];

/// Warm dry days with one rain of so many mm, so many days ago.
fn dry(days_ago: i64, mm: f64) -> Weather {
    Weather::mild(6, 10)
        .warmed(-30..16, 55.0, 82.0)
        .on(-days_ago..-days_ago + 1, |hour| {
            hour.rain_mm = Some(mm / 24.0);
        })
}

#[test]
fn two_weeks_without_half_an_inch_are_a_drought_when_the_air_took_more() {
    let shear = |weather: &Weather| heat("boxwood", CutKind::Shear, &DROUGHT, weather);
    let weather = dry(15, 20.0);
    let found = shear(&weather).unwrap();
    assert!(holds(Some(&found)));
    let text = said(&found, &weather);
    assert!(
        text.starts_with("no good rain since 26 May, and in 14 days the air took"),
        "{text}"
    );
    assert!(holds(shear(&dry(14, 12.6)).as_ref()));
    assert_eq!(shear(&dry(14, 12.8)), None);
    // Without the hold of its kind only a hard cut waits for rain.
    assert_eq!(heat("boxwood", CutKind::Shear, &[], &dry(15, 20.0)), None);
    assert!(holds(
        heat("boxwood", CutKind::Renewal, &[], &dry(15, 20.0)).as_ref()
    ));
}

#[test]
fn rain_ahead_opens_the_day_after_and_water_or_winter_make_no_drought() {
    let weather = dry(15, 20.0).on(3..4, rain(0.6));
    let found = heat("boxwood", CutKind::Shear, &DROUGHT, &weather);
    assert_eq!(opens(found.as_ref()), Some(weather.day(4)));

    let watered = planned(
        kind("boxwood", &DROUGHT, &[]),
        CutKind::Shear,
        &[Mark::Watered],
    );
    let all = super::given::found(&watered, &weather, None);
    assert!(of_rule(&all, |facts| matches!(facts, Facts::Heat(_))).is_none());

    // In January the air takes little: less than an inch in two weeks.
    let winter = Weather::mild(1, 20)
        .warmed(-30..16, 30.0, 40.0)
        .on(-30..16, |hour| {
            hour.radiation_w_m2 = hour.radiation_w_m2.map(|watts| watts / 4.0);
        });
    assert_eq!(heat("boxwood", CutKind::Shear, &DROUGHT, &winter), None);
}

#[test]
fn dull_days_are_named_to_those_who_cut_what_scorches() {
    let bright = |hour: &mut budward::forecast::Condition| hour.cloud = Some(0.1);
    let weather = Weather::mild(6, 10)
        .warmed(0..16, 55.0, 80.0)
        .on(0..3, bright)
        .on(4..16, bright);
    let found = heat("yew", CutKind::Shear, &[WeatherHold::BrightSun], &weather).unwrap();
    assert_eq!(found.stand, Stand::Clear { until: None });
    assert_eq!(
        said(&found, &weather),
        "bright sun scorches what a cut bares: better on a dull day, such as Sun 13 June"
    );
    assert_eq!(heat("yew", CutKind::Shear, &[], &weather), None);
}
