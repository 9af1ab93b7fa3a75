//! Severe cold after a cut, and frozen wood, at their edges.

use budward::almanac::{CutKind, WeatherHold};
use budward::rules::{Facts, Finding};
use budward::units::{Celsius, CelsiusStep};

use super::given::{Weather, found, holds, kind, of_rule, opens, planned, said, zone_7};

fn cold(id: &str, cut: CutKind, weather: &Weather) -> Option<Finding> {
    let cut = planned(kind(id, &[], &[]), cut, &[]);
    let all = found(&cut, weather, Some(zone_7()));
    of_rule(&all, |facts| matches!(facts, Facts::FreshCutCold(_))).cloned()
}

/// Late winter, with one night of so many °F so many days ahead that the air falls to slowly.
fn night(days: i64, fahrenheit: f64) -> Weather {
    Weather::mild(2, 20)
        .warmed(-30..16, 25.0, 40.0)
        .warmed(days..days + 1, fahrenheit, 40.0)
}

#[test]
fn a_night_ten_degrees_above_the_zone_or_less_holds_hard_cuts_for_two_weeks() {
    // Zone 7 begins at 0 °F.
    let renewal = |weather: &Weather| cold("smooth-hydrangea", CutKind::Renewal, weather);
    assert!(holds(renewal(&night(13, 9.9)).as_ref()));
    assert_eq!(renewal(&night(13, 10.1)), None);
    assert_eq!(renewal(&night(15, 0.0)), None);
    let weather = night(6, 4.0);
    let found = renewal(&weather);
    assert_eq!(opens(found.as_ref()), Some(weather.day(6)));
    assert_eq!(
        said(&found.unwrap(), &weather),
        "severe cold, 4 °F, is due Fri 26 February, and a hard cut takes two weeks to harden"
    );
}

#[test]
fn any_cut_just_before_severe_cold_waits() {
    for cut in [CutKind::Shear, CutKind::ThinningCut, CutKind::Renewal] {
        let found = cold("boxwood", cut, &night(1, 5.0));
        assert!(holds(found.as_ref()), "{cut:?}");
    }
    assert!(holds(
        cold("warm-season-grass", CutKind::CutBack, &night(1, 5.0)).as_ref()
    ));
    // Later than two days only the hard ones, and a broken limb or a spent flower never.
    assert_eq!(cold("boxwood", CutKind::ThinningCut, &night(4, 5.0)), None);
    assert_eq!(cold("boxwood", CutKind::Shear, &night(4, 5.0)), None);
    assert!(holds(
        cold("boxwood", CutKind::Renewal, &night(4, 5.0)).as_ref()
    ));
    for cut in [CutKind::StormRepair, CutKind::Deadhead, CutKind::Pinch] {
        assert_eq!(cold("boxwood", cut, &night(1, 5.0)), None);
    }
}

#[test]
fn a_frost_pocket_has_its_own_nights() {
    let mut cut = planned(kind("smooth-hydrangea", &[], &[]), CutKind::Renewal, &[]);
    let weather = night(5, 12.0);
    let is_cold = |facts: &Facts| matches!(facts, Facts::FreshCutCold(_));
    let climate = zone_7();
    assert!(of_rule(&found(&cut, &weather, Some(climate)), is_cold).is_none());
    cut.spot.offset = CelsiusStep::from_fahrenheit(-3.0);
    assert!(holds(of_rule(
        &found(&cut, &weather, Some(climate)),
        is_cold
    )));
    // Where no record tells the zone no night is called severe.
    assert!(of_rule(&found(&cut, &weather, None), is_cold).is_none());
}

#[test]
fn a_fall_of_forty_degrees_within_two_days_holds() {
    let even = |fahrenheit: f64| {
        move |hour: &mut budward::forecast::Condition| {
            hour.temperature = Some(Celsius::from_fahrenheit(fahrenheit));
        }
    };
    let fall = |from: f64, to: f64| {
        Weather::mild(2, 20)
            .on(-31..16, even(from))
            .on(1..16, even(to))
    };
    let renewal = |weather: &Weather| cold("smooth-hydrangea", CutKind::Renewal, weather);
    let weather = fall(65.0, 25.0);
    let found = renewal(&weather).unwrap();
    assert!(holds(Some(&found)));
    let text = said(&found, &weather);
    assert_eq!(
        text,
        "a sudden fall from 65 °F to 25 °F is due by Sun 21 February, and a wound takes most harm in its first two days"
    );
    assert_eq!(renewal(&fall(64.9, 25.0)), None);
    // Down to no hard freeze it does no harm.
    assert_eq!(renewal(&fall(70.0, 29.0)), None);
}

#[test]
fn frozen_leaves_and_canes_wait_for_the_thaw() {
    let frozen = |high| {
        Weather::mild(2, 20)
            .warmed(-30..16, 25.0, 40.0)
            .warmed(0..1, 22.0, high)
    };
    let of = |id: &str, holds: &[WeatherHold], weather: &Weather| {
        let cut = planned(kind(id, holds, &[]), CutKind::ThinningCut, &[]);
        let all = found(&cut, weather, Some(zone_7()));
        of_rule(&all, |facts| matches!(facts, Facts::FreshCutCold(_))).cloned()
    };
    let weather = frozen(31.9);
    let held = of("boxwood", &[WeatherHold::FrozenWood], &weather);
    assert!(holds(held.as_ref()));
    assert_eq!(opens(held.as_ref()), Some(weather.day(1)));
    let text = said(&held.unwrap(), &weather);
    assert!(
        text.starts_with("it does not thaw today (32 °F at the most)"),
        "{text}"
    );
    let thaws = of("boxwood", &[WeatherHold::FrozenWood], &frozen(32.1));
    assert_eq!(thaws, None);
    // Wood of a kind that bears it may be cut frozen.
    assert_eq!(of("smooth-hydrangea", &[], &weather), None);
    // The almanac says so of boxwood and of no bare shrub here.
    let almanac = budward::almanac::embedded().unwrap();
    let says = |id: &str| {
        almanac
            .kind(id)
            .unwrap()
            .holds
            .contains(&WeatherHold::FrozenWood)
    };
    assert!(says("boxwood") && !says("smooth-hydrangea"));
}
