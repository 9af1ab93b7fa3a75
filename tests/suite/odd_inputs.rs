//! Missing and odd inputs: what the numbers do with each, and what the keeper is told.

use std::sync::Arc;

use budward::almanac::{CutKind, embedded};
use budward::climate::{Climate, DailyRecord, DayExtremes, ghcn};
use budward::forecast::{FRESH_FOR, Forecast, Hours};
use budward::garden::{Choices, Garden, Place, PlannedCut, Planting, Spot, Zone};
use budward::locale::Locale;
use budward::message::words;
use budward::outlook::{MeasuredDays, Skill};
use budward::rules::{Facts, Finding, FrostFacts};
use budward::units::{Celsius, CelsiusStep, Chance, Metres, UnitSystem};
use budward::verdict::{Footing, Sky, State, Verdict, assess};
use chrono::{DateTime, Days, NaiveDate, TimeDelta, Utc};

use crate::support::project;

fn toronto() -> DailyRecord {
    let file = project().join("tests/data/ghcn/CA006158350_1969-2003.dly");
    ghcn::parse(&std::fs::read_to_string(file).unwrap()).unwrap()
}

fn at(text: &str) -> DateTime<Utc> {
    text.parse().unwrap()
}

/// A garden of one boxwood hedge to be sheared.
fn garden(latitude: f64, zone: &str) -> Garden {
    let almanac = embedded().unwrap();
    let kind = almanac.kind("boxwood").unwrap();
    let cut = PlannedCut {
        name: "hedge-shear".to_owned(),
        planting: "hedge".to_owned(),
        facts: Arc::new(Planting::named("hedge")),
        kind: Arc::clone(kind),
        cut: kind.cut(CutKind::Shear).unwrap().clone(),
        spot: Spot {
            name: "hedge".to_owned(),
            offset: CelsiusStep::new(0.0),
            doubt: CelsiusStep::new(0.5),
        },
        wished: None,
        tolerance: Chance::of(0.1),
    };
    let zone = Zone::named(zone).unwrap();
    let place = Place::new(latitude, -79.4, Some(Metres(100.0)), zone).unwrap();
    Garden {
        name: "quarry".to_owned(),
        title: "Quarry".to_owned(),
        choices: Choices::of(&place),
        place,
        locale: Locale::english(UnitSystem::Metric),
        mail_to: Vec::new(),
        letters: budward::garden::LetterTimes::USUAL,
        remark: None,
        cuts: vec![cut],
        uncut: Vec::new(),
    }
}

/// Days of nights and days at two temperatures from a moment on; the nights come in the hours 4 to 16 UTC.
fn forecast(made: DateTime<Utc>, days: i64, night: f64, noon: f64) -> Forecast {
    let start = made.date_naive().and_time(chrono::NaiveTime::MIN).and_utc();
    let hour = |hour: i64| {
        Some(Celsius::new(if (4..16).contains(&(hour % 24)) {
            night
        } else {
            noon
        }))
    };
    Forecast {
        spans: Vec::new(),
        source: "test".to_owned(),
        attribution: "test".to_owned(),
        data_at: made,
        elevation: Some(Metres(100.0)),
        run: Hours {
            start,
            temperature: (0..24 * days).map(hour).collect(),
        },
        members: Vec::new(),
        conditions: None,
    }
}

fn verdict(
    record: Option<&DailyRecord>,
    forecast: Option<&Forecast>,
    now: DateTime<Utc>,
) -> Verdict {
    verdict_in(&garden(43.7, "America/Toronto"), record, forecast, now)
}

fn verdict_in(
    garden: &Garden,
    record: Option<&DailyRecord>,
    forecast: Option<&Forecast>,
    now: DateTime<Utc>,
) -> Verdict {
    let climate = record.and_then(Climate::of);
    let sky = Sky {
        warnings: &[],
        measured: &MeasuredDays::new(),
        sightings: &[],
        climate: climate.as_ref(),
        forecast,
        skill: &Skill::default(),
        fresh_for: FRESH_FOR,
        deeds: &[],
    };
    assess(garden, &sky, &[], now).remove(0)
}

fn frost(verdict: &Verdict) -> &FrostFacts {
    verdict.findings.iter().find_map(Finding::frost).unwrap()
}

/// All that a keeper reads of a verdict.
fn told(verdict: &Verdict) -> String {
    let reasons = verdict
        .findings
        .iter()
        .map(|finding| words::reason(finding, verdict.today, Locale::english(UnitSystem::Metric)));
    let numbers = verdict.findings.iter().flat_map(|finding| {
        words::numbers(finding, verdict.today, Locale::english(UnitSystem::Metric))
    });
    let numbers = numbers.map(|(name, value)| format!("{name}: {value}"));
    let rest = [
        words::basis(&verdict.basis, Locale::default()),
        words::missing(&verdict.basis.missing, Locale::default()),
    ];
    reasons
        .chain(numbers)
        .chain(rest)
        .collect::<Vec<_>>()
        .join("\n")
}

const SPRING: &str = "2004-04-12T14:00:00Z";

#[test]
fn a_single_run_is_said_to_be_one() {
    let now = at(SPRING);
    let told = told(&verdict(
        Some(&toronto()),
        Some(&forecast(now, 14, 4.0, 12.0)),
        now,
    ));
    assert!(
        told.contains("a single forecast run") && told.contains("not checked in your garden"),
        "{told}"
    );
}

#[test]
fn a_forecast_of_seven_days_is_used_for_seven() {
    let now = at(SPRING);
    let verdict = verdict(Some(&toronto()), Some(&forecast(now, 8, 4.0, 12.0)), now);
    assert_eq!(
        verdict.basis.forecast_days, 7,
        "the last local day has twenty of its hours"
    );
    assert!(told(&verdict).contains("for 7 days"));
}

#[test]
fn without_a_forecast_the_past_years_speak_alone_and_release_nothing() {
    let verdict = verdict(Some(&toronto()), None, at("2004-07-01T14:00:00Z"));
    assert_eq!(verdict.state, State::Unknown);
    assert!(frost(&verdict).chance.share() < 0.01);
    assert!(told(&verdict).contains("no forecast") && told(&verdict).contains("no go is given"));
}

#[test]
fn an_older_forecast_weighs_less_and_is_called_old() {
    let now = at(SPRING);
    let warm = |hours: i64| {
        let made = now - TimeDelta::hours(hours);
        verdict(Some(&toronto()), Some(&forecast(made, 14, 9.0, 20.0)), now)
    };
    let chances: Vec<f64> = [2, 24, 48, 95, 97]
        .map(|age| frost(&warm(age)).chance.share())
        .to_vec();
    assert!(
        chances.windows(2).all(|pair| pair[0] < pair[1] + 0.01),
        "towards the climate: {chances:?}"
    );
    assert!(chances[0] + 0.05 < chances[4], "{chances:?}");
    assert!(told(&warm(48)).contains("the forecast is 2 days old, so no go is given"));
    assert!(told(&warm(97)).contains("no usable forecast"));
}

#[test]
fn a_gap_in_the_forecast_is_bridged_and_not_guessed() {
    let now = at(SPRING);
    let mut gap = forecast(now, 14, 4.0, 12.0);
    for hour in gap.run.temperature.iter_mut().skip(24 * 4).take(24) {
        *hour = None;
    }
    let verdict = verdict(Some(&toronto()), Some(&gap), now);
    assert_eq!(
        verdict.basis.forecast_days, 11,
        "one local day lacks its night, its neighbour only the last hours"
    );
    assert!(verdict.basis.missing.is_empty());
}

#[test]
fn without_past_years_the_chance_is_a_lower_bound() {
    let now = at(SPRING);
    let verdict = verdict(None, Some(&forecast(now, 14, 4.0, 12.0)), now);
    assert_eq!(verdict.state, State::Unknown);
    assert!(
        told(&verdict).contains("at least")
            && told(&verdict).contains("nothing is known beyond the forecast")
    );
}

/// The newest years of the record.
fn newest(years: u64) -> DailyRecord {
    let record = toronto();
    record
        .between(
            record.last() - Days::new(years * 365 + years / 4),
            record.last(),
        )
        .unwrap()
}

#[test]
fn a_short_record_is_called_short_and_one_of_four_years_counts_as_none() {
    let now = at(SPRING);
    let run = forecast(now, 14, 4.0, 12.0);
    let of = |years| verdict(Some(&newest(years)), Some(&run), now);
    assert!(told(&of(7)).contains("7 past years") && told(&of(7)).contains("a short record"));
    assert!(!told(&of(25)).contains("a short record"));
    assert!(told(&of(4)).contains("no record of past years"));
    // The doubt about the place is at least a kelvin with few years, so a certain summer is a little less certain.
    let doubt = |years| {
        frost(&verdict(
            Some(&newest(years)),
            Some(&run),
            at("2004-04-12T20:00:00Z"),
        ))
        .chance
        .share()
    };
    assert!(doubt(7) > 0.0 && doubt(25) > 0.0);
}

#[test]
fn the_south_has_the_same_year_half_a_year_later() {
    let record = toronto();
    let moved = record
        .days()
        .map(|(date, day)| (date + Days::new(184), day));
    let southern = DailyRecord::from_days("southern", moved.collect::<Vec<_>>()).unwrap();
    let north = verdict(Some(&record), None, at("2004-04-12T14:00:00Z"));
    let south = verdict_in(
        &garden(-43.7, "America/Toronto"),
        Some(&southern),
        None,
        at("2004-10-13T14:00:00Z"),
    );
    let (north, south) = (frost(&north), frost(&south));
    assert!(
        (north.chance.share() - south.chance.share()).abs() < 0.02,
        "{:?} {:?}",
        north.chance,
        south.chance
    );
    let days = |go: &FrostFacts, from: &str| {
        (go.first_go.unwrap().late - from.parse::<NaiveDate>().unwrap()).num_days()
    };
    assert!((days(north, "2004-04-12") - days(south, "2004-10-13")).abs() <= 2);
}

/// A record in which every night has the same law.
fn even_record(night: impl Fn(u32) -> f64) -> DailyRecord {
    let first: NaiveDate = "1990-01-01".parse().unwrap();
    let days = first
        .iter_days()
        .take(12 * 365 + 3)
        .zip(0_u32..)
        .map(|(date, n)| {
            let min = night(n) + f64::from(n * 7 % 11) / 5.0;
            (
                date,
                DayExtremes {
                    min: Some(Celsius::new(min)),
                    max: Some(Celsius::new(min + 8.0)),
                },
            )
        });
    DailyRecord::from_days("invented", days.collect::<Vec<_>>()).unwrap()
}

#[test]
fn a_place_that_never_saw_such_a_night_says_so_and_leaves_a_doubt() {
    let now = at(SPRING);
    let verdict = verdict(
        Some(&even_record(|_| 12.0)),
        Some(&forecast(now, 14, 12.0, 20.0)),
        now,
    );
    assert_eq!((verdict.state, verdict.closes), (State::Go, None));
    let told = told(&verdict);
    assert!(
        told.contains("fewer than 2 of 100")
            && told.contains("no such night in 12 years on record"),
        "{told}"
    );
    assert!(
        told.contains("up to 25 of 100 in a year"),
        "three over twelve: {told}"
    );
}

#[test]
fn a_place_with_frost_all_year_has_no_day_within_the_limit() {
    let now = at(SPRING);
    let verdict = verdict(
        Some(&even_record(|_| -9.0)),
        Some(&forecast(now, 14, -9.0, 0.0)),
        now,
    );
    assert_eq!((verdict.state, verdict.opens), (State::Closed, None));
    let cold = verdict_told_without_frost_at_hand(&verdict);
    assert!(
        cold.contains("no day of the coming year is within your limit"),
        "{cold}"
    );
}

/// What is told when the frost that is at hand is left aside.
fn verdict_told_without_frost_at_hand(verdict: &Verdict) -> String {
    let mut verdict = verdict.clone();
    for finding in &mut verdict.findings {
        if let Facts::FrostWhileTender(facts) = &mut finding.facts {
            facts.frost_at_hand = None;
        }
    }
    told(&verdict)
}

#[test]
fn two_safe_seasons_are_both_named() {
    // Cold about January and about July, as between a winter and a cold monsoon.
    let twice =
        even_record(|n| 9.0 - 14.0 * (f64::from(n) / 365.25 * 2.0 * std::f64::consts::TAU).cos());
    let verdict = verdict(
        Some(&twice),
        Some(&forecast(at(SPRING), 14, 15.0, 25.0)),
        at(SPRING),
    );
    assert!(frost(&verdict).open.len() > 1, "{:?}", frost(&verdict).open);
    assert!(told(&verdict).contains("open times"));
}

#[test]
fn growth_that_is_not_firm_before_winter_is_said_to_be_so() {
    let now = at("2004-10-25T14:00:00Z");
    let verdict = verdict(Some(&toronto()), Some(&forecast(now, 14, 1.0, 8.0)), now);
    assert!(frost(&verdict).not_firm_before_winter);
    assert!(told(&verdict).contains("not before winter"));
    assert!(
        !frost(&self::verdict(
            Some(&toronto()),
            None,
            at("2004-06-01T14:00:00Z")
        ))
        .not_firm_before_winter
    );
}

#[test]
fn a_polar_night_with_all_hours_alike_is_a_day_like_any() {
    let now = at(SPRING);
    let verdict = verdict(Some(&toronto()), Some(&forecast(now, 14, 3.0, 3.0)), now);
    assert_eq!(verdict.basis.forecast_days, 12);
    assert!(verdict.basis.missing.is_empty());
}

#[test]
fn two_looks_at_the_same_run_do_not_release_and_two_runs_do() {
    let (now, later) = (at(SPRING), at(SPRING) + TimeDelta::hours(13));
    let (run, next) = (forecast(now, 14, 6.0, 14.0), forecast(later, 14, 6.0, 14.0));
    let mut garden = garden(43.7, "America/Toronto");
    let climate = Climate::of(&toronto());
    let look = |garden: &Garden, run: &Forecast, before: &[Verdict], at| {
        let sky = Sky {
            warnings: &[],
            measured: &MeasuredDays::new(),
            sightings: &[],
            climate: climate.as_ref(),
            forecast: Some(run),
            skill: &Skill::default(),
            fresh_for: FRESH_FOR,
            deeds: &[],
        };
        assess(garden, &sky, &Footing::from_all(before), at)
    };
    let chance = frost(&look(&garden, &run, &[], now)[0]).chance.share();
    // Within the limit, but not so far within that the first look of all is enough.
    garden.cuts[0].tolerance = Chance::of(chance * 1.6);
    let first = look(&garden, &run, &[], now);
    assert_eq!(first[0].state, State::Wait);
    assert!(told(&first[0]).contains("a second look at the weather has to agree"));
    assert_eq!(
        look(&garden, &run, &first, later)[0].state,
        State::Wait,
        "the same run again"
    );
    assert!(look(&garden, &next, &first, later)[0].state.allows());
}
