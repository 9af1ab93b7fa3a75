//! What has to hold of the chance whatever the weather: order, sameness, smoothness, and the cases with a known answer.

use std::collections::BTreeMap;

use budward::almanac::{Edges, Growth, Tender};
use budward::climate::{Climate, DailyRecord, DayExtremes, ghcn};
use budward::forecast::ForecastDay;
use budward::garden::Spot;
use budward::outlook::{Daily, Horizon, LeadSkill, Outlook, Skill, WarmBias};
use budward::risk::Risk;
use budward::units::{Celsius, CelsiusStep, Chance, DegreeDays};
use chrono::{Days, NaiveDate};
use proptest::prelude::*;
use statrs::distribution::{ContinuousCDF, Normal};

use crate::support::project;

/// The nights from the cut on in which the plain questions look for frost.
const WINDOW: u32 = 21;

fn date(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn toronto() -> DailyRecord {
    let file = project().join("tests/data/ghcn/CA006158350_1969-2003.dly");
    ghcn::parse(&std::fs::read_to_string(file).unwrap()).unwrap()
}

/// A cut whose edges are tender for so many nights.
fn edges(days: u32, damage_at: f64) -> Tender {
    tender(
        Some(Edges {
            days,
            damage_at: Celsius::new(damage_at),
        }),
        None,
    )
}

fn tender(edges: Option<Edges>, growth: Option<Growth>) -> Tender {
    Tender {
        class: "test".to_owned(),
        edges,
        growth,
        unhardened: None,
        why: "test".to_owned(),
        source: "test".to_owned(),
    }
}

fn spot(offset: f64, doubt: f64) -> Spot {
    Spot {
        name: "test".to_owned(),
        offset: CelsiusStep::new(offset),
        doubt: CelsiusStep::new(doubt),
    }
}

fn plain_skill() -> Skill {
    Skill {
        bias: WarmBias::even(0.0),
        local_spread: CelsiusStep::new(0.0),
        ..Skill::default()
    }
}

/// A forecast of so many nights, each with its lowest temperature, the days ten kelvin warmer.
fn forecast(today: NaiveDate, nights: &[f64]) -> Daily {
    let day = |(lead, night): (u64, &f64)| {
        let extremes = (Celsius::new(*night), Celsius::new(night + 10.0));
        (
            today + Days::new(lead),
            ForecastDay {
                run: Some(extremes),
                members: Vec::new(),
            },
        )
    };
    Daily {
        days: (1..).zip(nights).map(day).collect(),
        ..Daily::none(today)
    }
}

fn curve(
    climate: &Climate,
    daily: &Daily,
    skill: &Skill,
    tender: &Tender,
    spot: &Spot,
) -> Vec<f64> {
    let horizon = Horizon {
        cut_days: 40,
        tail_days: 120,
    };
    let outlook = Outlook::of_days(daily, Some(climate), skill, horizon);
    Risk::of(&outlook, tender, spot, Chance::of(0.1))
        .curve
        .iter()
        .map(|chance| chance.share())
        .collect()
}

fn chance(climate: &Climate, daily: &Daily, skill: &Skill, tender: &Tender, spot: &Spot) -> f64 {
    curve(climate, daily, skill, tender, spot)[0]
}

fn mean_change(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| (a - b).abs()).sum::<f64>() / a.len() as f64
}

/// A record made by a rule.
fn record(days: impl Iterator<Item = (NaiveDate, f64)>) -> DailyRecord {
    let extremes = |min: f64| DayExtremes {
        min: Some(Celsius::new(min)),
        max: Some(Celsius::new(min + 9.0)),
    };
    DailyRecord::from_days("invented", days.map(|(date, min)| (date, extremes(min)))).unwrap()
}

fn days_of(years: u64) -> impl Iterator<Item = (usize, NaiveDate)> {
    date("1990-01-01")
        .iter_days()
        .take(usize::try_from(years * 365 + years / 4).unwrap())
        .enumerate()
}

/// A fixed sequence of normal deviates (linear congruence, constants of Knuth, The Art of Computer Programming 2,
/// 3.3.4, table 1; twelve even shares less six).
fn normal(state: &mut u64) -> f64 {
    let mut share = || {
        *state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (*state >> 11) as f64 / (1_u64 << 53) as f64
    };
    (0..12).map(|_| share()).sum::<f64>() - 6.0
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn more_danger_never_lowers_the_chance(
        day in 0_u64..365,
        damage_at in -8.0..1.0_f64,
        colder in 0.1..4.0_f64,
        nights in 5_u32..30,
        more in 1_u32..20,
        heat in 20.0..200.0_f64,
        forecast_nights in prop::collection::vec(-8.0..12.0_f64, 0..12),
    ) {
        let climate = Climate::of(&toronto()).unwrap();
        let today = date("2004-01-01") + Days::new(day);
        let daily = forecast(today, &forecast_nights);
        let growth = |firm_after: f64| Growth {
            starts_after: DegreeDays::new(30.0),
            firm_after: DegreeDays::new(firm_after),
            days_min: 10,
            days_max: 60,
            damage_at: Celsius::new(damage_at),
        };
        let cut = |nights, damage_at, heat| {
            tender(Some(Edges { days: nights, damage_at: Celsius::new(damage_at) }), Some(growth(heat)))
        };
        let of = |tender: &Tender, offset| curve(&climate, &daily, &Skill::default(), tender, &spot(offset, 1.0));
        let usual = of(&cut(nights, damage_at, heat), 0.0);
        let no_more = |safer: &[f64]| safer.iter().zip(&usual).all(|(safer, usual)| *safer <= usual + 1e-12);
        prop_assert!(no_more(&of(&cut(nights, damage_at - colder, heat), 0.0)), "a colder threshold");
        prop_assert!(no_more(&of(&cut(nights, damage_at, heat), colder)), "a warmer spot");
        let longer = of(&cut(nights + more, damage_at, heat * 1.5), 0.0);
        prop_assert!(longer.iter().zip(&usual).all(|(longer, usual)| *longer >= usual - 1e-12), "a longer period");
    }
}

/// The change is a mean over cutting days, seasons and ways to lose days; a single one may be somewhat larger.
#[test]
fn the_record_may_lose_a_fifth_of_its_days() {
    let whole = toronto();
    let of = |record: &DailyRecord, today: NaiveDate| {
        let climate = Climate::of(record).unwrap();
        curve(
            &climate,
            &Daily::none(today),
            &plain_skill(),
            &edges(WINDOW, -2.2),
            &spot(0.0, 1.0),
        )
    };
    let changes: Vec<f64> = (1..=10_u64)
        .map(|seed| {
            let mut state = seed;
            let kept = whole.days().filter(|_| normal(&mut state) < 0.84);
            let thinned = DailyRecord::from_days("thinned", kept.collect::<Vec<_>>()).unwrap();
            let today = date("2004-03-10") + Days::new((seed % 5) * 50);
            mean_change(&of(&whole, today), &of(&thinned, today))
        })
        .collect();
    let mean = changes.iter().sum::<f64>() / changes.len() as f64;
    assert!(mean <= 0.02, "{mean} of {changes:?}");
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    let climate = Climate::of(&toronto()).unwrap();
    let daily = forecast(date("2004-04-10"), &[3.0, -1.0, 2.0, 5.0]);
    let risk = || {
        let outlook = Outlook::of_days(
            &daily,
            Some(&climate),
            &Skill::default(),
            Horizon {
                cut_days: 60,
                tail_days: 90,
            },
        );
        serde_json::to_string(&Risk::of(
            &outlook,
            &edges(30, -2.2),
            &spot(-1.0, 1.0),
            Chance::of(0.1),
        ))
        .unwrap()
    };
    assert_eq!(risk(), risk());
}

/// One lead more at the forecast's end hardly moves the chance, on average over a spring and an autumn.
#[test]
fn the_chance_does_not_jump_at_the_forecasts_end() {
    let record = toronto();
    let climate = Climate::of(&record).unwrap();
    let (mut changes, mut n) = (BTreeMap::new(), 0.0);
    for start in ["2002-04-01", "2001-10-01"] {
        for day in 0..30 {
            let today = date(start) + Days::new(day);
            let nights: Vec<f64> = (1..=12)
                .map(|lead| record.day(today + Days::new(lead)).min.unwrap().degrees() + 1.0)
                .collect();
            let of = |leads: usize| {
                chance(
                    &climate,
                    &forecast(today, &nights[..leads]),
                    &plain_skill(),
                    &edges(WINDOW, -2.2),
                    &spot(0.0, 1.0),
                )
            };
            for leads in [10, 11] {
                *changes.entry(leads).or_insert(0.0) += (of(leads + 1) - of(leads)).abs();
            }
            n += 1.0;
        }
    }
    for (leads, change) in changes {
        assert!(
            change / n <= 0.02,
            "from lead {leads} to the next: {}",
            change / n
        );
    }
}

#[test]
fn a_forecast_without_skill_is_climate() {
    let climate = Climate::of(&toronto()).unwrap();
    let today = date("2004-04-20");
    let none = Skill {
        run: vec![LeadSkill::full_swing(0.0); 12],
        ..plain_skill()
    };
    let of = |daily: &Daily| {
        curve(
            &climate,
            daily,
            &none,
            &edges(WINDOW, -2.2),
            &spot(0.0, 0.0),
        )
    };
    for (with, without) in of(&forecast(today, &[-9.0; 12]))
        .iter()
        .zip(of(&Daily::none(today)))
    {
        assert!((with - without).abs() < 1e-9);
    }
}

#[test]
fn a_perfect_forecast_of_the_whole_period_is_certain() {
    let climate = Climate::of(&toronto()).unwrap();
    let today = date("2004-04-20");
    let perfect = Skill {
        run: vec![LeadSkill::full_swing(1.0); 21],
        ..plain_skill()
    };
    let mut nights = [4.0; 21];
    let of = |nights: &[f64]| {
        chance(
            &climate,
            &forecast(today, nights),
            &perfect,
            &edges(WINDOW, -2.2),
            &spot(0.0, 0.0),
        )
    };
    assert!(of(&nights) < 1e-9);
    nights[13] = -2.21;
    assert!(of(&nights) > 1.0 - 1e-9);
}

#[test]
fn shifting_every_temperature_by_one_kelvin_shifts_nothing() {
    let shifted = |by: f64| {
        let warmer = |t: Option<Celsius>| t.map(|t| t + CelsiusStep::new(by));
        let record = toronto();
        let days = record.days().map(|(date, day)| {
            (
                date,
                DayExtremes {
                    min: warmer(day.min),
                    max: warmer(day.max),
                },
            )
        });
        let climate =
            Climate::of(&DailyRecord::from_days("shifted", days.collect::<Vec<_>>()).unwrap())
                .unwrap();
        let daily = forecast(date("2004-04-20"), &[3.0 + by, -1.5 + by, 0.5 + by]);
        curve(
            &climate,
            &daily,
            &plain_skill(),
            &edges(WINDOW, -2.2 + by),
            &spot(0.0, 1.0),
        )
    };
    for (a, b) in shifted(0.0).iter().zip(shifted(1.0)) {
        assert!((a - b).abs() < 1e-9, "{a} against {b}");
    }
}

/// A record of one night in, a chance of one night out: with the doubt it is the mean of Φ over the past years alone.
#[test]
fn a_window_of_one_night_is_that_nights_chance() {
    let climate = Climate::of(&toronto()).unwrap();
    let today = date("2004-04-20");
    let found = chance(
        &climate,
        &Daily::none(today),
        &plain_skill(),
        &edges(1, -2.2),
        &spot(0.0, 1.0),
    );
    let normals = climate.min.normals(today + Days::new(1));
    let (mut sum, mut n) = (0.0, 0.0);
    for year in 0..climate.years {
        for shift in -15..=15 {
            let anomaly = climate.min.past(year, today, shift).nth(1).unwrap();
            sum += Normal::standard().cdf(-(normals.mean + normals.spread * anomaly + 2.2));
            n += 1.0;
        }
    }
    assert!(
        (found - sum / n).abs() < 1e-9,
        "{found} against {}",
        sum / n
    );
}

#[test]
fn a_certain_freezing_night_is_nearly_certain_damage() {
    let climate = Climate::of(&toronto()).unwrap();
    let daily = forecast(date("2004-05-20"), &[-10.0]);
    let found = chance(
        &climate,
        &daily,
        &plain_skill(),
        &edges(1, -2.2),
        &spot(0.0, 1.0),
    );
    assert!(found > 0.98, "{found}");
}

/// Nights of an AR(1) climate with φ = 0.65 about a steady mean, and the chance of one at or below the mean less 1.5
/// spreads within ten nights, against 400,000 simulated runs of the same process.
#[test]
fn an_ar1_climate_gives_the_simulated_answer() {
    const PHI: f64 = 0.65;
    let step =
        |anomaly: f64, state: &mut u64| PHI * anomaly + (1.0 - PHI * PHI).sqrt() * normal(state);
    let mut state = 11;
    let (mut hits, runs) = (0.0, 400_000);
    for _ in 0..runs {
        let mut anomaly = normal(&mut state);
        let mut is_hit = false;
        for _ in 0..10 {
            anomaly = step(anomaly, &mut state);
            is_hit |= anomaly <= -1.5;
        }
        hits += f64::from(u8::from(is_hit));
    }
    let simulated = hits / f64::from(runs);
    // The record is itself a sample: thirty years, of which the futures see a month each; mean over the year.
    let mut anomaly = 0.0;
    let mut state = 5;
    let nights = days_of(30).map(|(_, date)| {
        anomaly = step(anomaly, &mut state);
        (date, 10.0 + 4.0 * anomaly)
    });
    let climate = Climate::of(&record(nights)).unwrap();
    let at = |month: u32| {
        let today = NaiveDate::from_ymd_opt(2020, month, 10).unwrap();
        chance(
            &climate,
            &Daily::none(today),
            &plain_skill(),
            &edges(10, 10.0 - 6.0),
            &spot(0.0, 0.0),
        )
    };
    let mean = (1..=12).map(at).sum::<f64>() / 12.0;
    assert!(
        (mean - simulated).abs() < 0.02,
        "{mean} against {simulated}"
    );
}

#[test]
fn an_all_frost_place_has_no_safe_day_and_a_frost_free_one_only_safe_days() {
    let mut state = 3;
    let place = |mean: f64, state: &mut u64| {
        Climate::of(&record(
            days_of(12).map(|(_, date)| (date, mean + 2.0 * normal(state))),
        ))
        .unwrap()
    };
    let risk = |climate: &Climate| {
        let daily = Daily::none(date("2003-07-01"));
        let outlook = Outlook::of_days(&daily, Some(climate), &plain_skill(), Horizon::YEAR);
        Risk::of(
            &outlook,
            &edges(WINDOW, -2.2),
            &spot(0.0, 1.0),
            Chance::of(0.1),
        )
    };
    let frozen = risk(&place(-30.0, &mut state));
    assert!(
        frozen
            .curve
            .iter()
            .all(|chance| chance.share() > 1.0 - 1e-9)
    );
    assert_eq!(
        (frozen.first_go, frozen.last_call, frozen.open.len()),
        (None, None, 0)
    );
    let mild = risk(&place(20.0, &mut state));
    assert!(mild.curve.iter().all(|chance| chance.share() < 1e-9));
    assert_eq!(
        (mild.first_go.unwrap().late, mild.last_call),
        (date("2003-07-01"), None)
    );
    assert_eq!(mild.open.len(), 1);
}

/// A cut shortly before the new year meets the cold nights after it, and 29 February neither adds nor drops a night.
#[test]
fn the_year_ends_and_leaps_without_a_seam() {
    // One freezing night a year, on 5 January; every other night is at 10 °C.
    let nights = days_of(20).map(|(_, day)| {
        (
            day,
            if day.format("%m-%d").to_string() == "01-05" {
                -40.0
            } else {
                10.0
            },
        )
    });
    let climate = Climate::of(&record(nights)).unwrap();
    let of = |today: &str, nights: u32| {
        chance(
            &climate,
            &Daily::none(date(today)),
            &plain_skill(),
            &edges(nights, -10.0),
            &spot(0.0, 0.0),
        )
    };
    assert!(
        of("2009-12-20", 35) > 1.0 - 1e-9,
        "5 January, started up to 15 days early or late, is always within"
    );
    assert!(of("2009-12-10", 5) < 1e-9);
    // Over a leap day: the nights from 20 February on are counted by the day, so that 5 January is never reached.
    assert!(of("2012-02-20", 40) < 1e-9);
    assert!((of("2012-02-28", 2) - of("2013-02-28", 2)).abs() < 1e-9);
}
