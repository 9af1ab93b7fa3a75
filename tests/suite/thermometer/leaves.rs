//! What colder leaves of clear still nights do to the chance: more careful, never less, and not twice.

use budward::almanac::{Edges, Tender};
use budward::climate::{Climate, ghcn};
use budward::forecast::{Condition, Conditions, FRESH_FOR, Forecast, Hours};
use budward::garden::{Place, Spot, Zone};
use budward::outlook::{Inputs, Outlook, Skill};
use budward::risk::Risk;
use budward::units::{Celsius, CelsiusStep, Chance, MetresPerSecond};
use chrono::{DateTime, TimeDelta, Utc};

use crate::support::project;

const HOURS: i64 = 24 * 12;

fn now() -> DateTime<Utc> {
    "2003-05-08T16:00:00Z".parse().unwrap()
}

/// Nights of one degree, lowest at five, days fourteen warmer, in UTC.
fn temperature(hour: i64) -> f64 {
    let hour = f64::from(i32::try_from(hour % 24).unwrap());
    8.0 - 7.0 * ((hour - 9.0) / 24.0 * std::f64::consts::TAU).cos()
}

fn forecast(sky: Option<(f64, f64, f64)>) -> Forecast {
    let start = "2003-05-08T00:00:00Z".parse().unwrap();
    let condition = |hour: i64, (cloud, wind, dryness): (f64, f64, f64)| Condition {
        temperature: Some(Celsius::new(temperature(hour))),
        dew_point: Some(Celsius::new(temperature(hour).min(4.0) - dryness)),
        cloud: Some(cloud),
        wind: Some(MetresPerSecond(wind)),
        ..Condition::default()
    };
    Forecast {
        source: "invented".to_owned(),
        attribution: "invented weather".to_owned(),
        data_at: now() - TimeDelta::hours(4),
        elevation: None,
        run: Hours {
            start,
            temperature: (0..HOURS)
                .map(|hour| Some(Celsius::new(temperature(hour))))
                .collect(),
        },
        members: Vec::new(),
        conditions: sky.map(|sky| Conditions {
            start,
            hours: (0..HOURS).map(|hour| condition(hour, sky)).collect(),
        }),
        spans: Vec::new(),
    }
}

fn risk(sky: Option<(f64, f64, f64)>) -> Risk {
    let file = project().join("tests/data/ghcn/CA006158350_1969-2003.dly");
    let record = ghcn::parse(&std::fs::read_to_string(file).unwrap()).unwrap();
    let climate = Climate::of(&record).unwrap();
    let zone = Zone::named("America/Toronto").unwrap();
    let outlook = Outlook::of(&Inputs {
        now: now(),
        place: &Place::new(43.7, -79.4, None, zone).unwrap(),
        climate: Some(&climate),
        forecast: Some(&forecast(sky)),
        skill: &Skill::default(),
        fresh_for: FRESH_FOR,
    });
    let tender = Tender {
        class: "test".to_owned(),
        edges: Some(Edges {
            days: 21,
            damage_at: Celsius::new(-2.2),
        }),
        growth: None,
        unhardened: None,
        why: "test".to_owned(),
        source: "test".to_owned(),
    };
    let spot = Spot {
        name: "test".to_owned(),
        offset: CelsiusStep::default(),
        doubt: CelsiusStep::new(1.0),
    };
    Risk::of(&outlook, &tender, &spot, Chance::of(0.10))
}

#[test]
fn cloudy_or_windy_nights_change_nothing_and_clear_still_dry_ones_warn() {
    let plain = risk(None);
    assert_eq!(risk(Some((1.0, 1.0, 1.0))), plain, "overcast");
    assert_eq!(risk(Some((0.1, 9.0, 4.0))), plain, "windy");
    let clear = risk(Some((0.0, 0.5, 6.0)));
    let (before, after) = (plain.today().share(), clear.today().share());
    eprintln!(
        "clear, still, dry: {before:.3} -> {after:.3}; first go {:?} -> {:?}",
        plain.first_go, clear.first_go
    );
    assert!(after > before + 0.01, "{before} {after}");
    // A kelvin colder everywhere would be far more: the usual difference is in the damaging temperature already.
    assert!(after < 2.5 * before + 0.05, "{before} {after}");
    let never_less = plain
        .curve
        .iter()
        .zip(&clear.curve)
        .all(|(plain, clear)| clear.share() >= plain.share());
    assert!(never_less);
    let days = |risk: &Risk| risk.first_go.map(|go| go.late);
    assert!(days(&clear) >= days(&plain));
}

#[test]
fn nights_beyond_the_fifth_are_as_they_were() {
    let (plain, clear) = (risk(None), risk(Some((0.0, 0.5, 6.0))));
    assert_eq!(plain.curve[6..], clear.curve[6..]);
    assert_ne!(plain.curve[..4], clear.curve[..4]);
}
