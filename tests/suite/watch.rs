//! The watch after a cut, on futures made by hand, where the answer is known; and against the risk of a cut made today.

mod cycle;

use std::collections::BTreeMap;
use std::path::Path;

use budward::almanac::{self, Edges, Growth, Tender, Unhardened};
use budward::config::Settings;
use budward::garden::{Deed, Garden, Spot, Zone};
use budward::notice::{Alarm, Moment, SaidAfter, covers, frosts};
use budward::outlook::{Basis, Bound, Horizon, Outlook};
use budward::risk::{AfterCut, Part, Risk};
use budward::units::{Celsius, CelsiusStep, Chance, DegreeDays};
use budward::watch::{Threat, watches};
use chrono::{Days, NaiveDate};

type Day = (Celsius, Celsius);

fn day(min: f64, max: f64) -> Day {
    (Celsius::new(min), Celsius::new(max))
}

fn april(day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 4, day).unwrap()
}

fn spot(offset: f64) -> Spot {
    Spot {
        name: "garden".to_owned(),
        offset: CelsiusStep::new(offset),
        doubt: CelsiusStep::new(0.0),
    }
}

/// An outlook from 20 April on, with a forecast that is sure of the first nights.
fn outlook(futures: &[Vec<Day>], forecast: &[f64]) -> Outlook {
    let future = |days: &Vec<Day>| {
        let (min, max): (Vec<_>, Vec<_>) = days.iter().copied().unzip();
        (min, max)
    };
    Outlook {
        basis: Basis {
            today: april(20),
            futures: futures.len(),
            years: 30,
            members: 1,
            forecast_days: forecast.len(),
            forecast_from: None,
            forecast_age_hours: Some(3),
            record_from: None,
            record_site: None,
            missing: Vec::new(),
        },
        bound: Bound::Whole,
        horizon: Horizon::YEAR,
        midwinter: Some(270),
        leaf: Vec::new(),
        coming_nights: forecast.iter().map(|night| Celsius::new(*night)).collect(),
        futures: futures.iter().map(future).collect(),
    }
}

/// Nights as given, each day 12 K warmer.
fn nights(minima: &[f64]) -> Vec<Day> {
    minima.iter().map(|min| day(*min, min + 12.0)).collect()
}

fn tender(edges: Option<u32>, growth: Option<Growth>) -> Tender {
    Tender {
        class: "made by hand".to_owned(),
        why: String::new(),
        edges: edges.map(|days| Edges {
            days,
            damage_at: Celsius::new(-2.2),
        }),
        growth,
        unhardened: None,
        source: "estimate".to_owned(),
    }
}

fn growth(starts_after: f64, firm_after: f64, days_max: u32) -> Growth {
    Growth {
        starts_after: DegreeDays::new(starts_after),
        firm_after: DegreeDays::new(firm_after),
        days_min: 0,
        days_max,
        damage_at: Celsius::new(-1.0),
    }
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-12
}

#[test]
fn edges_are_tender_for_so_many_nights_from_the_cut_on() {
    // Cut on the 19th, three nights: those to the 20th, 21st and 22nd, of which the first is past.
    let futures = [
        nights(&[5.0, -3.0, 5.0, -9.0]),
        nights(&[5.0, 0.0, -3.0, -9.0]),
        nights(&[5.0, 1.0, 5.0, -9.0]),
        nights(&[5.0, 2.0, 5.0, -9.0]),
    ];
    let outlook = outlook(&futures, &[0.5, 3.0, -9.0]);
    let after = AfterCut::of(
        &outlook,
        &tender(Some(3), None),
        &spot(0.0),
        &[Some(day(2.0, 9.0))],
    );
    let told: Vec<_> = after
        .nights
        .iter()
        .map(|night| {
            (
                night.date,
                night.chance.share(),
                night.minimum.unwrap().degrees(),
            )
        })
        .collect();
    assert_eq!(told, [(april(21), 0.25, 0.5), (april(22), 0.25, 3.0)]);
    assert_eq!(after.nights[0].tender, [Part::Edges]);
    assert!(near(after.chance.share(), 0.5));
    let firm = after.firm_by.unwrap();
    assert_eq!([firm.early, firm.late], [april(22); 2]);
    assert!(!after.is_firm(april(21)) && after.is_firm(april(22)));
}

#[test]
fn one_night_takes_its_share_of_the_tolerance() {
    // Two nights in a row in one future of four: where any does damage, two do.
    let futures = [
        nights(&[5.0, -3.0, -3.0]),
        nights(&[5.0; 3]),
        nights(&[5.0; 3]),
        nights(&[5.0; 3]),
    ];
    let after = AfterCut::of(
        &outlook(&futures, &[]),
        &tender(Some(5), None),
        &spot(0.0),
        &[],
    );
    assert!(near(after.chance.share(), 0.25) && near(after.nights_in_a_hit, 2.0));
    // 1 - 0.9^(1/2) = 0.051317: two nights of it leave 0.9.
    let share = after.tolerance_of_a_night(Chance::of(0.1)).share();
    assert!((share - 0.051_316_7).abs() < 1e-7, "{share}");
}

#[test]
fn growth_firms_by_the_heat_since_the_cut() {
    // 10 to 20 °C gives ten degree days above 5 °C. A cut on the 14th: the 100th comes on the tenth day after it.
    let future = vec![day(10.0, 20.0); 30];
    let firm = |since: &[Option<Day>]| {
        let tender = tender(None, Some(growth(0.0, 100.0, 84)));
        let after = AfterCut::of(
            &outlook(std::slice::from_ref(&future), &[]),
            &tender,
            &spot(0.0),
            since,
        );
        (after.firm_by.unwrap().middle, after.unmeasured)
    };
    let mut since = vec![Some(day(10.0, 20.0)); 6];
    assert_eq!(firm(&since), (april(24), 0));
    // The cutting day itself counts for nothing, a day that was not measured as one without heat.
    since[0] = None;
    assert_eq!(firm(&since), (april(24), 0));
    since[3] = None;
    assert_eq!(firm(&since), (april(25), 1));
}

#[test]
fn a_cut_days_ago_is_a_cut_on_the_first_of_the_days_laid_before() {
    let tender = Tender {
        unhardened: Some(Unhardened {
            cut_from: 300,
            cut_to: 10,
            until: 20,
            damage_at: Celsius::new(-8.0),
        }),
        ..tender(Some(20), Some(growth(40.0, 120.0, 60)))
    };
    let past: Vec<Day> = (0..15_i32)
        .map(|n| day(4.0 + f64::from(n % 3), 15.0))
        .collect();
    let futures: Vec<Vec<Day>> = (0..40_i32)
        .map(|future| {
            // The morning of today is past as well.
            let wave = |n: i32| match n {
                0 => 5.0,
                n => f64::from((n * 37 + future * 53) % 23) - 4.0 + f64::from(n) / 40.0,
            };
            (0..420).map(|n| day(wave(n), wave(n) + 9.0)).collect()
        })
        .collect();
    let spot = Spot {
        doubt: CelsiusStep::new(1.0),
        ..spot(-0.5)
    };
    let since: Vec<_> = past.iter().copied().map(Some).collect();
    let after = AfterCut::of(&outlook(&futures, &[]), &tender, &spot, &since);

    let whole: Vec<Vec<Day>> = futures
        .iter()
        .map(|future| [&past, &future[..]].concat())
        .collect();
    let mut before = outlook(&whole, &[]);
    before.basis.today = april(5);
    before.midwinter = Some(285);
    let risk = Risk::of(&before, &tender, &spot, Chance::of(0.1));
    assert!(risk.today().share() > 0.2 && risk.today().share() < 0.999);
    // The mornings that are past count no more; at 4 °C they were next to no danger.
    assert!((after.chance.share() - risk.today().share()).abs() < 1e-3);
    assert_eq!(after.firm_by, risk.firm_by);
    assert_eq!(after.frosts, []);
}

#[test]
fn what_was_not_measured_makes_the_watch_longer_and_never_shorter() {
    let tender = tender(None, Some(growth(30.0, 60.0, 9)));
    let futures = [nights(&[0.0; 40]), vec![day(2.0, 16.0); 40]];
    let outlook = outlook(&futures, &[]);
    let whole: Vec<Option<Day>> = (0..9_i32)
        .map(|n| Some(day(3.0, 10.0 + f64::from(n))))
        .collect();
    let of = |since: &[Option<Day>]| AfterCut::of(&outlook, &tender, &spot(0.0), since);
    let full = of(&whole);
    for gaps in 0..1_u32 << 9 {
        let part: Vec<_> = (0..9)
            .map(|n| whole[n].filter(|_| gaps & (1 << n) == 0))
            .collect();
        let after = of(&part);
        assert!(
            after.firm_by.unwrap().late >= full.firm_by.unwrap().late,
            "{gaps:b}"
        );
        let dates = |after: &AfterCut| {
            after
                .nights
                .iter()
                .map(|night| night.date)
                .collect::<Vec<_>>()
        };
        let kept = dates(&after);
        assert!(
            dates(&full).iter().all(|date| kept.contains(date)),
            "{gaps:b}"
        );
    }
}

#[test]
fn a_night_since_the_cut_did_damage_if_something_was_tender_in_it() {
    let since = [-3.0, -1.9, -2.1, -5.0].map(|min| Some(day(min, 8.0)));
    let frosts = |offset: f64, edges: u32| {
        let outlook = outlook(&[nights(&[5.0; 10])], &[]);
        let after = AfterCut::of(&outlook, &tender(Some(edges), None), &spot(offset), &since);
        let dates = after.frosts.iter().map(|frost| frost.date);
        dates.collect::<Vec<_>>()
    };
    // The morning of the cutting day, the 16th, came before the cut.
    assert_eq!(frosts(0.0, 10), [april(19)]);
    assert_eq!(frosts(-0.2, 10), [april(18), april(19)]);
    assert_eq!(frosts(-0.2, 2), [april(18)]);
    assert_eq!(frosts(3.0, 10), []);
}

#[test]
fn without_futures_what_is_past_is_known_and_nothing_ends() {
    let mut nothing = outlook(&[], &[]);
    nothing.bound = Bound::AtLeast;
    let since = [Some(day(1.0, 9.0)), Some(day(-4.0, 9.0))];
    let after = AfterCut::of(&nothing, &tender(Some(30), None), &spot(0.0), &since);
    assert_eq!((after.nights.len(), after.firm_by), (0, None));
    assert_eq!(after.frosts.len(), 1);
    assert!(!after.is_firm(april(30)));
    let over = AfterCut::of(
        &nothing,
        &tender(Some(1), None),
        &spot(0.0),
        &[Some(day(1.0, 9.0)); 5],
    );
    assert!(over.is_firm(april(20)), "one night after the 15th");
}

/// A garden of two plantings that are sheared, in a place where nothing is forecast.
fn garden() -> Garden {
    let text = r#"
[mail]
from = "garden@example.org"
folder = "mails"

[[garden]]
name = "quarry"
latitude = 40.63
longitude = -74.43
time_zone = "America/New_York"
mail_to = "keeper@example.org"
forecast = { source = "files", forecast = "forecast.json" }
history = { source = "none" }
plant = [
    { name = "box edging", kind = "boxwood", cut = [{ cut = "shear" }] },
    { name = "box balls", kind = "boxwood", cut = [{ cut = "shear" }] },
]
"#;
    let almanac = almanac::embedded().unwrap();
    let settings = Settings::parse(text, Path::new("garden.toml"), &almanac, &|_| None);
    settings.unwrap().gardens[0].garden.clone()
}

fn sheared(short: &str, on: NaiveDate) -> Deed {
    Deed {
        cut: format!("{short}-shear"),
        planting: short.replace('-', " "),
        on,
        share: None,
        note: None,
    }
}

#[test]
fn a_forecast_frost_threatens_and_so_does_a_chance_above_a_nights_share() {
    let garden = garden();
    let deeds = [sheared("box-edging", april(12))];
    let measured: BTreeMap<NaiveDate, Day> = (12..20).map(|n| (april(n), day(4.0, 14.0))).collect();
    let threat = |minima: [f64; 4], forecast: &[f64]| {
        let futures = minima.map(|min| [nights(&[6.0, min]), nights(&[6.0; 120])].concat());
        let seen = {
            let outlook = outlook(&futures, forecast);
            watches(&garden, &deeds, (&outlook, &outlook.basis), &measured)
        };
        let [watch] = seen.as_slice() else {
            panic!("{seen:?}");
        };
        watch.threat(watch.night(april(21)).unwrap())
    };
    assert_eq!(threat([6.0; 4], &[-2.2]), Some(Threat::Forecast));
    assert_eq!(threat([6.0; 4], &[1.0]), None);
    assert_eq!(threat([-6.0, 6.0, 6.0, 6.0], &[1.0]), Some(Threat::Chance));
    assert_eq!(threat([-6.0, 6.0, 6.0, 6.0], &[]), Some(Threat::PastYears));
    assert_eq!(threat([6.0; 4], &[]), None);
}

#[test]
fn a_night_is_told_once_of_each_cut_and_a_new_cut_is_told_too() {
    let garden = garden();
    let zone = Zone::named("America/New_York").unwrap();
    let moment = Moment {
        now: zone.instant("2026-04-20T14:30:00".parse().unwrap()),
        next: Some(zone.instant("2026-04-21T05:30:00".parse().unwrap())),
        zone: &zone,
    };
    let outlook = outlook(&[nights(&[6.0, -4.0, -4.0, 6.0, 6.0, 6.0])], &[-4.0, -4.0]);
    let measured = (12..20).map(|n| (april(n), day(4.0, 14.0))).collect();
    let mut deeds = vec![sheared("box-edging", april(12))];
    let seen = watches(&garden, &deeds, (&outlook, &outlook.basis), &measured);
    let told = covers(&seen, &[], &moment);
    let [cover] = told.as_slice() else {
        panic!("the night to the 22nd is told tomorrow: {told:?}");
    };
    assert_eq!((cover.night, cover.plants.len()), (april(21), 1));
    assert_eq!(cover.until, zone.start_of(april(21)));
    let mut said: Vec<SaidAfter> = cover
        .plants
        .iter()
        .map(|(watch, _, _)| SaidAfter::of(watch, Alarm::CoverTonight, cover.night))
        .collect();
    assert_eq!(covers(&seen, &said, &moment), []);

    deeds.push(sheared("box-balls", april(20)));
    let seen = watches(&garden, &deeds, (&outlook, &outlook.basis), &measured);
    let told = covers(&seen, &said, &moment);
    let names: Vec<&str> = told[0]
        .plants
        .iter()
        .map(|(watch, _, _)| watch.deed.planting.as_str())
        .collect();
    assert_eq!(names, ["box balls"]);

    // What was said of the night is not what was said of a frost.
    said[0].alarm = Alarm::FrostSeen;
    assert_eq!(covers(&seen, &said, &moment)[0].plants.len(), 2);
}

#[test]
fn a_frost_is_told_once_of_each_cut_by_its_coldest_night() {
    let garden = garden();
    let deeds = [sheared("box-edging", april(12))];
    let outlook = outlook(&[nights(&[6.0; 60])], &[6.0]);
    let night = |n, min| (april(n), day(min, 14.0));
    let measured = [
        night(12, -5.0),
        night(14, -2.5),
        night(15, -3.5),
        night(16, 4.0),
    ];
    let seen = watches(
        &garden,
        &deeds,
        (&outlook, &outlook.basis),
        &measured.into(),
    );
    let told = frosts(&seen, &[]);
    assert_eq!(told.len(), 1);
    assert_eq!(told[0].1.date, april(15), "the 12th was before the cut");
    let said = SaidAfter::of(told[0].0, Alarm::FrostSeen, april(14));
    assert_eq!(frosts(&seen, &[said]), []);
}

#[test]
fn only_the_last_time_of_a_cut_is_watched_and_not_for_ever() {
    let garden = garden();
    let on = |days| april(20).checked_sub_days(Days::new(days)).unwrap();
    let seen = |deeds: &[Deed]| {
        let outlook = outlook(&[nights(&[9.0; 200])], &[9.0]);
        let measured: BTreeMap<NaiveDate, Day> =
            (1..400).map(|days| (on(days), day(9.0, 21.0))).collect();
        let watched = watches(&garden, deeds, (&outlook, &outlook.basis), &measured);
        watched
            .iter()
            .map(|watch| watch.deed.on)
            .collect::<Vec<_>>()
    };
    assert_eq!(
        seen(&[sheared("box-edging", on(9)), sheared("box-edging", on(3))]),
        [on(3)]
    );
    // Ten degree days a day firm the growth after six weeks at the soonest, which are over; the renamed is passed over.
    assert_eq!(seen(&[sheared("box-edging", on(60))]), []);
    assert_eq!(seen(&[sheared("old-edging", on(3))]), []);
}
