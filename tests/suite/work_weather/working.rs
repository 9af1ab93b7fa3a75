//! The half-days of the week: which are named, which are not fit, and when none is.

use budward::almanac::CutKind;
use budward::garden::Mark;
use budward::rules::{Bar, Facts, Finding, Remark, Stand, WorkingFacts};
use budward::units::{Celsius, MetresPerSecond};
use budward::work::Half;

use super::given::{Weather, found, found_with, holds, kind, of_rule, planned, rain, said};

fn working(cut: CutKind, marks: &[Mark], weather: &Weather) -> Option<Finding> {
    let cut = planned(kind("boxwood", &[], &[]), cut, marks);
    let all = found(&cut, weather, None);
    of_rule(&all, |facts| matches!(facts, Facts::WorkingConditions(_))).cloned()
}

fn facts(finding: &Finding) -> &WorkingFacts {
    let Facts::WorkingConditions(facts) = &finding.facts else {
        panic!("another rule");
    };
    facts
}

#[test]
fn the_calmest_half_days_are_named_in_their_order() {
    let weather = Weather::mild(6, 10)
        .on(0..7, |hour| hour.gust = Some(MetresPerSecond(12.0)))
        .on(2..3, |hour| hour.gust = Some(MetresPerSecond(2.0)))
        .on(5..6, |hour| hour.gust = Some(MetresPerSecond(3.0)));
    let found = working(CutKind::Shear, &[], &weather).unwrap();
    assert_eq!(found.stand, Stand::Clear { until: None });
    let best: Vec<_> = facts(&found)
        .best
        .iter()
        .map(|pick| (pick.date, pick.half))
        .collect();
    assert_eq!(
        best,
        [
            (weather.day(2), Half::Morning),
            (weather.day(2), Half::Afternoon),
            (weather.day(5), Half::Morning)
        ]
    );
    let text = said(&found, &weather);
    assert!(
        text.starts_with("best times of the week for work: Sat 12 June in the morning (gusts 4 mph); Sat 12 June in the afternoon"),
        "{text}"
    );
}

#[test]
fn gusts_keep_people_off_ladders_and_not_off_the_ground() {
    let gusts = |mph: f64| {
        Weather::mild(6, 10).on(0..7, move |hour| {
            hour.gust = Some(MetresPerSecond::from_miles_per_hour(mph));
        })
    };
    let ladder = [Mark::OffLadder];
    assert!(holds(
        working(CutKind::Shear, &ladder, &gusts(25.1)).as_ref()
    ));
    assert!(!holds(
        working(CutKind::Shear, &ladder, &gusts(24.9)).as_ref()
    ));
    let found = working(CutKind::Shear, &[], &gusts(30.0)).unwrap();
    assert_eq!(found.stand, Stand::Clear { until: None });
    assert!(facts(&found).best[0].remarks.contains(&Remark::NoLadder));
    // Broken wood waits for the wind as well.
    assert!(holds(
        working(CutKind::StormRepair, &ladder, &gusts(30.0)).as_ref()
    ));
}

#[test]
fn thunder_rain_and_dangerous_heat_or_cold_make_a_half_day_unfit() {
    let warm = |fahrenheit: f64, wind: f64| {
        move |hour: &mut budward::forecast::Condition| {
            let air = Celsius::from_fahrenheit(fahrenheit);
            hour.temperature = Some(air);
            // At this dew point 96 °F feel like 103 °F or more, 90 °F do not (weather service's table).
            hour.dew_point = Some(Celsius::from_fahrenheit(72.0).min(air));
            hour.wind = Some(MetresPerSecond::from_miles_per_hour(wind));
        }
    };
    let unfit = |weather: &Weather| {
        let found = working(CutKind::Shear, &[], weather).unwrap();
        let facts = facts(&found).clone();
        (facts.unfit, facts.best.len())
    };
    let only = |bar, times| std::collections::BTreeMap::from([(bar, times)]);
    let thunder = Weather::mild(6, 10).from_now(0..1, |hour| hour.thunder = Some(true));
    assert_eq!(unfit(&thunder), (only(Bar::Lightning, 1), 3));
    let wet = Weather::mild(6, 10).from_now(0..2, rain(0.5));
    assert_eq!(unfit(&wet), (only(Bar::Rain, 1), 3));
    let nearly = Weather::mild(6, 10).from_now(0..2, rain(0.49));
    assert_eq!(unfit(&nearly).0.len(), 0);
    assert_eq!(
        unfit(&Weather::mild(6, 10).on(0..7, warm(97.0, 5.0))).0,
        only(Bar::Heat, 14)
    );
    assert_eq!(
        unfit(&Weather::mild(6, 10).on(0..7, warm(90.0, 5.0)))
            .0
            .len(),
        0
    );
    // 5 °F in 30 mph feel like -19 °F, 10 °F like -12 °F (weather service's chart).
    assert_eq!(
        unfit(&Weather::mild(1, 10).on(0..7, warm(5.0, 30.0))).0,
        only(Bar::Cold, 14)
    );
    assert_eq!(
        unfit(&Weather::mild(1, 10).on(0..7, warm(10.0, 30.0)))
            .0
            .len(),
        0
    );
}

#[test]
fn a_week_of_thunder_is_no_week_to_work_in() {
    let weather = Weather::mild(6, 10).on(0..7, |hour| hour.thunder = Some(true));
    let found = working(CutKind::Shear, &[], &weather).unwrap();
    assert_eq!(found.stand, Stand::Hold { opens: None });
    assert_eq!(
        said(&found, &weather),
        "no half-day of the week is fit for work: thunderstorms (14)"
    );
}

#[test]
fn what_is_not_known_holds_nothing_and_is_said_once() {
    let unknown = Weather::mild(6, 10).on(0..16, |hour| hour.rain_mm = None);
    let found = working(CutKind::Shear, &[], &unknown).unwrap();
    assert_eq!(found.stand, Stand::Clear { until: None });
    assert_eq!(facts(&found).unfit.get(&Bar::Unknown), Some(&14));

    let weather = Weather::mild(6, 10);
    let cut = planned(kind("boxwood", &[], &[]), CutKind::Shear, &[]);
    let all = found_with(&cut, &weather, (None, None));
    let of_weather: Vec<_> = all
        .iter()
        .filter(|finding| finding.is_weather_note())
        .collect();
    assert_eq!(of_weather.len(), 1);
    let text = said(of_weather[0], &weather);
    assert!(
        text.starts_with("the forecast has temperatures alone"),
        "{text}"
    );
}

#[test]
fn a_cut_that_is_out_of_season_gets_no_times() {
    let weather = Weather::mild(10, 10);
    let renewal = working(CutKind::Renewal, &[], &weather);
    assert_eq!(renewal, None);
}

#[test]
fn only_times_before_the_window_closes_are_named() {
    // The hard cut of boxwood ends at midsummer, 1 July.
    let weather = Weather::mild(6, 29).on(2..7, |hour| hour.gust = Some(MetresPerSecond(1.0)));
    let found = working(CutKind::Renewal, &[], &weather).unwrap();
    let end = weather.day(2);
    assert_eq!(facts(&found).until, Some(end));
    assert!(facts(&found).best.iter().all(|pick| pick.date <= end));
    let text = said(&found, &weather);
    assert!(
        text.starts_with("best times up to Thu 1 July, when the window closes, for work: "),
        "{text}"
    );
    // A window that ends in rain is not held: it is told.
    let rainy = Weather::mild(6, 30).on(0..2, rain(1.0));
    let found = working(CutKind::Renewal, &[], &rainy).unwrap();
    assert_eq!(found.stand, Stand::Clear { until: None });
    assert!(said(&found, &rainy).contains("rain (4)"));
}
