//! Wet leaves and infection weather at their edges.

use budward::almanac::{CutKind, Disease, WeatherHold};
use budward::forecast::Condition;
use budward::rules::{Facts, Finding, Stand, WetFacts, WhyDry};
use budward::units::{Celsius, CelsiusStep};

use super::given::{Weather, found, holds, kind, of_rule, opens, planned, rain, said};

fn wet(
    id: &str,
    cut: CutKind,
    (marks, diseases): (&[WeatherHold], &[Disease]),
    weather: &Weather,
) -> Option<Finding> {
    let cut = planned(kind(id, marks, diseases), cut, &[]);
    let all = found(&cut, weather, None);
    of_rule(&all, |facts| matches!(facts, Facts::Wetness(_))).cloned()
}

fn boxwood(cut: CutKind, weather: &Weather) -> Option<Finding> {
    wet("boxwood", cut, (&[], &[Disease::BoxwoodBlight]), weather)
}

fn facts(finding: Option<&Finding>) -> WetFacts {
    match finding.map(|finding| &finding.facts) {
        Some(Facts::Wetness(facts)) => facts.clone(),
        _ => WetFacts::default(),
    }
}

/// Dry air at an even temperature in °F.
fn even(fahrenheit: f64) -> impl Fn(&mut Condition) {
    move |hour| {
        let air = Celsius::from_fahrenheit(fahrenheit);
        hour.temperature = Some(air);
        hour.dew_point = Some(air - CelsiusStep::new(8.0));
    }
}

/// An even temperature in °F with so many wet hours, the last of them ten hours ago, with so much rain in each.
fn spell(fahrenheit: f64, hours: i64, mm: f64) -> Weather {
    Weather::mild(6, 10)
        .on(-20..16, even(fahrenheit))
        // A good soaking lately: neither a drought nor a dry month.
        .on(-4..-3, |hour| hour.rain_mm = Some(2.0))
        .hours_from_now(-10 - hours..-10, rain(mm))
}

#[test]
fn five_wet_hours_with_rain_hold_boxwood_and_four_do_not() {
    let found = boxwood(CutKind::Shear, &spell(68.0, 5, 0.5));
    let blight = facts(found.as_ref()).blight.unwrap();
    assert!(holds(found.as_ref()));
    assert_eq!((blight.spell.hours, blight.begun), (5, true));
    assert_eq!(boxwood(CutKind::Shear, &spell(68.0, 4, 0.5)), None);
    // Thinning leaves wounds as well; broken wood does not wait.
    assert!(holds(
        boxwood(CutKind::ThinningCut, &spell(68.0, 5, 0.5)).as_ref()
    ));
    assert_eq!(boxwood(CutKind::StormRepair, &spell(68.0, 5, 0.5)), None);
    // Another kind does not take the disease.
    assert_eq!(
        wet("yew", CutKind::Shear, (&[], &[]), &spell(68.0, 5, 0.5)),
        None
    );
}

#[test]
fn dew_alone_takes_twelve_hours() {
    let spell_of = |hours: i64| {
        Weather::mild(6, 10)
            .on(-20..16, even(68.0))
            .on(-4..-3, |hour| hour.rain_mm = Some(2.0))
            .hours_from_now(-8 - hours..-8, rain(0.0))
    };
    assert!(holds(boxwood(CutKind::Shear, &spell_of(12)).as_ref()));
    assert_eq!(boxwood(CutKind::Shear, &spell_of(11)), None);
}

#[test]
fn a_spell_in_the_cold_or_in_great_heat_infects_nothing() {
    for (fahrenheit, infects) in [(49.5, false), (50.5, true), (81.5, true), (82.5, false)] {
        let found = boxwood(CutKind::Shear, &spell(fahrenheit, 6, 0.5));
        assert_eq!(
            facts(found.as_ref()).blight.is_some(),
            infects,
            "{fahrenheit} °F"
        );
    }
}

#[test]
fn the_last_day_and_the_next_two_count() {
    let spell_at = |first: i64| {
        Weather::mild(6, 10)
            .on(-20..16, even(68.0))
            .on(-4..-3, |hour| hour.rain_mm = Some(2.0))
            .hours_from_now(first..first + 6, rain(0.5))
    };
    let blight = |weather: &Weather| facts(boxwood(CutKind::Shear, weather).as_ref()).blight;
    assert!(blight(&spell_at(-24)).is_some());
    assert_eq!(blight(&spell_at(-30)), None);
    assert!(blight(&spell_at(42)).is_some_and(|blight| !blight.begun));
    assert_eq!(blight(&spell_at(48)), None);
    // From the spell on a whole day has to pass.
    let weather = spell_at(4);
    let found = boxwood(CutKind::Shear, &weather);
    assert_eq!(opens(found.as_ref()), Some(weather.day(2)));
    let text = said(found.as_ref().unwrap(), &weather);
    assert!(
        text.starts_with("boxwood blight weather from Thu 10 June: "),
        "{text}"
    );
}

#[test]
fn in_the_cold_rain_is_no_reason_to_wait_for_what_takes_boxwood_blight() {
    // Late winter, 48 hours at a mean of 45 °F or 55 °F with rain in one of them.
    let rainy = |mean: f64| {
        Weather::mild(2, 20)
            .on(-20..16, even(mean))
            .hours_from_now(30..32, |hour| hour.rain_mm = Some(2.0))
    };
    let marks = (&[WeatherHold::Rain48h][..], &[Disease::BoxwoodBlight][..]);
    let thin = |weather: &Weather| wet("boxwood", CutKind::ThinningCut, marks, weather);
    assert_eq!(thin(&rainy(45.0)), None);
    let found = thin(&rainy(55.0));
    assert_eq!(
        facts(found.as_ref()).rain.unwrap().why,
        WhyDry::BoxwoodBlight
    );
}

#[test]
fn a_dry_month_lowers_the_pressure_of_boxwood_blight() {
    // Holes plucked into boxwood for air are a thinning cut.
    let weather = Weather::mild(6, 10).warmed(-30..16, 55.0, 82.0);
    let thinning = planned(
        kind("boxwood", &[], &[Disease::BoxwoodBlight]),
        CutKind::ThinningCut,
        &[],
    );
    assert!(
        thinning.cut.how.contains("light falls in"),
        "{}",
        thinning.cut.how
    );
    let found = boxwood(CutKind::ThinningCut, &weather).unwrap();
    assert_eq!(found.stand, Stand::Clear { until: None });
    let text = said(&found, &weather);
    assert!(
        text.contains("the pressure of boxwood blight is low"),
        "{text}"
    );
    assert!(found.source.starts_with("common practice, no source"));
    // With an inch of rain the month is not dry.
    let wetter = weather.on(-20..-19, |hour| hour.rain_mm = Some(25.5 / 24.0));
    assert_eq!(boxwood(CutKind::ThinningCut, &wetter), None);
}

#[test]
fn wounds_that_have_to_stay_dry_wait_for_two_days_without_rain() {
    let cherry = |weather: &Weather| {
        let marks = (&[WeatherHold::Rain48h][..], &[][..]);
        wet("flowering-crabapple", CutKind::ThinningCut, marks, weather)
    };
    let rain_at = |hour: i64, mm: f64| {
        Weather::mild(2, 10).hours_from_now(hour..hour + 1, move |hour| hour.rain_mm = Some(mm))
    };
    let found = cherry(&rain_at(47, 1.0));
    assert_eq!(facts(found.as_ref()).rain.unwrap().why, WhyDry::Wounds);
    assert_eq!(cherry(&rain_at(47, 0.9)), None);
    assert_eq!(cherry(&rain_at(48, 5.0)), None);
    // Fire blight sleeps in winter, and the rain does not matter to its hosts then.
    let host = (&[WeatherHold::Rain48h][..], &[Disease::FireBlight][..]);
    let crab = |weather: &Weather| wet("flowering-crabapple", CutKind::ThinningCut, host, weather);
    assert_eq!(crab(&rain_at(30, 5.0)), None);
    let summer = Weather::mild(7, 10).hours_from_now(30..31, |hour| hour.rain_mm = Some(5.0));
    assert_eq!(
        facts(crab(&summer).as_ref()).rain.unwrap().why,
        WhyDry::Wounds
    );
    let weather = rain_at(30, 5.0);
    assert_eq!(opens(cherry(&weather).as_ref()), Some(weather.day(2)));
}

#[test]
fn open_flowers_of_fire_blight_hosts_wait_in_warm_wet_weather() {
    let host = |weather: &Weather, cut| {
        wet(
            "flowering-crabapple",
            cut,
            (&[], &[Disease::FireBlight]),
            weather,
        )
    };
    let april = |high: f64| {
        Weather::mild(4, 20)
            .warmed(-15..16, high - 15.0, high)
            .on(1..2, |hour| hour.rain_mm = Some(0.2))
    };
    let found = host(&april(80.0), CutKind::ThinningCut);
    assert!(facts(found.as_ref()).blossom.is_some());
    assert!(holds(found.as_ref()));
    // Too cool for the bacteria; and a month after the bloom there is no flower to infect.
    assert_eq!(
        facts(host(&april(62.0), CutKind::ThinningCut).as_ref()).blossom,
        None
    );
    let july = Weather::mild(7, 20)
        .warmed(-15..16, 65.0, 80.0)
        .on(1..2, |hour| hour.rain_mm = Some(0.2));
    assert_eq!(host(&july, CutKind::ThinningCut), None);
}

#[test]
fn soft_new_leaves_wait_out_cool_wet_days_and_hard_ones_do_not() {
    let marks = (&[WeatherHold::CoolWetFlush][..], &[][..]);
    let rainy = |month, high| {
        Weather::mild(month, 10)
            .warmed(-5..16, high - 15.0, high)
            .hours_from_now(20..30, |hour| hour.rain_mm = Some(0.5))
    };
    let soft = |weather: &Weather| {
        let mut kind = kind("cherry-laurel", marks.0, marks.1);
        let dates = |from: &str, to: &str| {
            let day = |text: &str| {
                let (month, day) = text.split_once('-').unwrap();
                budward::almanac::MonthDay {
                    month: month.parse().unwrap(),
                    day: day.parse().unwrap(),
                }
            };
            Some(budward::almanac::ZoneDates {
                from: day(from),
                to: day(to),
                days_per_zone: 0,
            })
        };
        kind.bud_break = dates("04-01", "04-15");
        kind.flush_end = dates("06-01", "06-15");
        let cut = planned(kind, CutKind::ThinningCut, &[]);
        let all = found(&cut, weather, None);
        of_rule(&all, |facts| matches!(facts, Facts::Wetness(_))).cloned()
    };
    let held = soft(&rainy(5, 68.0));
    assert_eq!(facts(held.as_ref()).rain.unwrap().why, WhyDry::SoftLeaves);
    assert_eq!(soft(&rainy(5, 85.0)), None);
    assert_eq!(soft(&rainy(8, 68.0)), None);
}

#[test]
fn wet_leaves_wait_for_the_first_dry_half_day() {
    let marks = (&[WeatherHold::WetFoliage][..], &[][..]);
    let shear = |weather: &Weather| wet("yew", CutKind::Shear, marks, weather);
    // Wet till noon: a note. Wet till dark: tomorrow.
    let noon = Weather::mild(6, 10).hours_from_now(-3..4, rain(0.3));
    let found = shear(&noon).unwrap();
    assert_eq!(found.stand, Stand::Clear { until: None });
    assert_eq!(
        said(&found, &noon),
        "leaves are wet now and dry Thu 10 June in the afternoon: cut dry leaves only"
    );
    let dark = Weather::mild(6, 10).hours_from_now(-3..14, rain(0.3));
    assert_eq!(opens(shear(&dark).as_ref()), Some(dark.day(1)));
    // Bare shrubs have no leaves to be wet.
    let winter = Weather::mild(1, 10).hours_from_now(-3..14, rain(0.3));
    assert_eq!(
        wet("smooth-hydrangea", CutKind::Renewal, marks, &winter),
        None
    );
}
