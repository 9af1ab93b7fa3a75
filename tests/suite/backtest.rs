//! The back-test: it uses nothing that was not known, repeats itself, and its figures are those that others compute.

mod command;

use std::sync::OnceLock;

use budward::backtest::{
    BacktestError, BridgeWorld, Figure, Figures, Followed, Plan, Prior, Question, Row, Season,
    Series, Source, Teller, USUAL_ERRORS, figures, rows_csv, run,
};
use budward::climate::{DailyRecord, DayExtremes, read_record};
use budward::science::dice::Dice;
use budward::units::{Celsius, CelsiusStep, Chance};
use chrono::{Datelike, Days, NaiveDate};
use serde_json::Value;

use crate::support::{peer_says, project};

fn day(year: i32, month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(year, month, day).unwrap()
}

/// The committed record of Toronto, from 1969 to the end of a year.
fn toronto(until: i32) -> DailyRecord {
    let path = project().join("tests/data/ghcn/CA006158350_1969-2003.dly");
    let text = std::fs::read_to_string(path).unwrap();
    let record = read_record(&text, "Toronto").unwrap();
    record.between(record.first(), day(until, 12, 31)).unwrap()
}

fn noise() -> Source {
    Source::Noise {
        errors: USUAL_ERRORS.to_vec(),
    }
}

fn realistic(members: usize) -> Source {
    Source::Bridge {
        world: BridgeWorld::Realistic,
        members,
    }
}

/// Ten nights, ten past years, every few days.
fn plan(source: Source, prior: Prior, step: usize) -> Plan {
    Plan {
        question: Question::nights(Celsius::from_fahrenheit(28.0), 10),
        season: Season::All { step },
        learns: prior == Prior::Default && source != Source::None,
        source,
        prior,
        tolerance: Chance::of(0.10),
        past_years: 10,
        seed: 3,
        shift_step: None,
    }
}

fn test(record: &DailyRecord, plan: &Plan) -> Series {
    run(record, "Toronto", plan, &mut |_, _| {}).unwrap()
}

/// The record with every day after one made 15 K warmer.
fn warmer_after(record: &DailyRecord, last: NaiveDate) -> DailyRecord {
    let changed = record.days().map(|(date, extremes)| {
        let warmer = |t: Celsius| Celsius::new(t.degrees() + 15.0);
        let extremes = if date > last {
            DayExtremes {
                min: extremes.min.map(warmer),
                max: extremes.max.map(warmer),
            }
        } else {
            extremes
        };
        (date, extremes)
    });
    DailyRecord::from_days(record.origin.clone(), changed).unwrap()
}

/// What was told on the days whose forecast ends by a date.
fn told(series: &Series, forecast_days: u64, last: NaiveDate) -> Vec<&Row> {
    let ends = |row: &&Row| row.date + Days::new(forecast_days.max(7)) <= last;
    series.rows.iter().filter(ends).collect()
}

#[test]
fn nothing_beyond_the_forecast_changes_what_is_told() {
    let record = toronto(1980);
    let last = day(1980, 2, 20);
    let changed = warmer_after(&record, last);
    for (source, prior, days) in [
        (noise(), Prior::Errors(USUAL_ERRORS.to_vec()), 7),
        (realistic(5), Prior::Default, 15),
    ] {
        let plan = plan(source, prior, 16);
        let (one, other) = (test(&record, &plan), test(&changed, &plan));
        let pairs = told(&one, days, last)
            .into_iter()
            .zip(told(&other, days, last));
        let chances: Vec<_> = pairs
            .map(|(a, b)| (a.date, &a.chances, &b.chances))
            .collect();
        assert!(chances.iter().any(|(date, ..)| date.year() == 1980));
        for (date, a, b) in chances {
            assert_eq!(a, b, "{date}");
        }
        assert_ne!(
            one.rows.last(),
            other.rows.last(),
            "the change is seen where it may be"
        );
    }
}

#[test]
fn the_same_seed_gives_the_same_bytes_and_another_one_does_not() {
    let record = toronto(1979);
    let mut plan = plan(realistic(5), Prior::Default, 30);
    let bytes = |plan: &Plan| rows_csv(&[test(&record, plan)]);
    let first = bytes(&plan);
    assert_eq!(first, bytes(&plan));
    plan.seed += 1;
    assert_ne!(first, bytes(&plan));
}

#[test]
fn a_perfect_forecast_of_the_whole_question_is_never_wrong() {
    let plan = plan(Source::Perfect { days: 10 }, Prior::Perfect(10), 7);
    let series = test(&toronto(1980), &plan);
    let both: Vec<bool> = series.rows.iter().map(|row| row.happened).collect();
    assert!(both.contains(&true) && both.contains(&false));
    for row in &series.rows {
        let certain = Chance::of(f64::from(u8::from(row.happened)));
        assert_eq!(row.chance(Teller::Budward), certain, "{}", row.date);
    }
    let figures = figures("Toronto", &[&series], &plan).unwrap();
    assert_eq!(figures.brier(Teller::Budward), Some(0.0));
}

#[test]
fn without_a_forecast_the_chance_is_the_climates() {
    let series = test(&toronto(1980), &plan(Source::None, Prior::Default, 9));
    assert!(series.rows.len() > 60);
    for row in &series.rows {
        assert_eq!(
            row.chance(Teller::Budward),
            row.chance(Teller::Climate),
            "{}",
            row.date
        );
        assert!(!row.chances.contains_key(&Teller::SevenNights));
    }
}

/// Thirty years of a seasonal wave with a first-order autoregression of persistence 0.7 and spread 4 K about it.
fn autoregressive_record() -> DailyRecord {
    let mut dice = Dice::new(11);
    let mut anomaly = dice.normal();
    let dates = day(1961, 1, 1)
        .iter_days()
        .take_while(|date| date.year() <= 1990);
    let days = dates.map(|date| {
        anomaly = 0.7 * anomaly + (1.0 - 0.7_f64 * 0.7).sqrt() * dice.normal();
        let wave = (std::f64::consts::TAU * f64::from(date.ordinal()) / 365.25).cos();
        let min = 8.0 - 10.0 * wave + 4.0 * anomaly;
        let extremes = DayExtremes {
            min: Some(Celsius::new(min)),
            max: Some(Celsius::new(min + 9.0)),
        };
        (date, extremes)
    });
    DailyRecord::from_days("autoregression", days).unwrap()
}

#[test]
fn where_the_weather_is_as_assumed_the_chances_are_calibrated() {
    let errors = vec![1.5, 2.0, 2.5];
    let source = Source::Noise {
        errors: errors.clone(),
    };
    let mut plan = plan(source, Prior::Errors(errors), 20);
    plan.question = Question::nights(Celsius::new(-2.2), 6);
    let series = test(&autoregressive_record(), &plan);
    let rows = || {
        series
            .rows
            .iter()
            .map(|row| (row.chance(Teller::Budward).share(), row.happened))
    };
    let open = rows().filter(|(p, _)| (0.05..0.95).contains(p)).count();
    assert!(open > 50, "{open} rows are not clear beforehand");
    // Spiegelhalter's test of calibration (Stat. Med. 5, 1986, 421-433): standard normal where the chances are right.
    // Rows are 20 days apart, so that they hardly hang together.
    let (mut excess, mut variance) = (0.0, 0.0);
    for (p, happened) in rows() {
        excess += (f64::from(u8::from(happened)) - p) * (1.0 - 2.0 * p);
        variance += (1.0 - 2.0 * p).powi(2) * p * (1.0 - p);
    }
    let z: f64 = excess / f64::sqrt(variance);
    assert!(z.abs() < 3.0, "{z}");
    let bias: f64 = rows()
        .map(|(p, happened)| p - f64::from(u8::from(happened)))
        .sum();
    let error = rows().map(|(p, _)| p * (1.0 - p)).sum::<f64>().sqrt();
    assert!((bias / error).abs() < 3.0, "{bias} against {error}");
}

/// What the peer makes of the rows, beside what the program makes of them; none without a peer.
fn scored_by_others(series: Series, plan: &Plan, part: &str) -> Option<(Figures, Value)> {
    let figures = figures("Toronto", &[&series], plan).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let table = folder.path().join("rows.csv");
    std::fs::write(&table, rows_csv(&[series])).unwrap();
    let arguments = [table.to_str().unwrap(), "0.10", part];
    let theirs = peer_says("score_backtest.py", &["csv", "json"], &arguments)?;
    Some((figures, theirs))
}

/// That followers fare the same by both.
fn follow_alike(figures: &Figures, theirs: &Value) {
    let of_tenth = |one: &&Followed| (one.tolerance - 0.10).abs() < 1e-9;
    let ours: Vec<&Followed> = figures.decisions.iter().filter(of_tenth).collect();
    let names: Vec<&str> = ours.iter().map(|one| one.teller).collect();
    let mut known: Vec<&str> = theirs["followed"]
        .as_object()
        .unwrap()
        .keys()
        .map(|key| &**key)
        .collect();
    let mut sorted = names.clone();
    known.sort_unstable();
    sorted.sort_unstable();
    assert_eq!(sorted, known);
    for one in ours {
        let mine: Value = serde_json::to_value(one).unwrap();
        for name in [
            "seasons",
            "never",
            "hit_share",
            "lost",
            "flips",
            "flips_max",
            "letters",
            "taken_back",
        ] {
            let their = theirs["followed"][one.teller][name].as_f64().unwrap();
            let mine = mine[name].as_f64().unwrap();
            let teller = one.teller;
            assert!(
                (mine - their).abs() < 1e-9,
                "{teller} {name}: {mine} against {their}"
            );
        }
    }
}

fn figure(figures: &Figures, name: &str) -> Figure {
    let mut all = figures.figures.iter();
    all.find(|one| one.name.starts_with(name))
        .unwrap_or_else(|| panic!("{name}"))
        .clone()
}

#[test]
fn a_table_of_the_rows_scored_by_others_gives_the_same_figures() {
    let mut plan = plan(noise(), Prior::Errors(USUAL_ERRORS.to_vec()), 1);
    plan.season = Season::Spring;
    plan.shift_step = Some(5);
    let series = test(&toronto(1982), &plan);
    let Some((figures, theirs)) = scored_by_others(series, &plan, "spring") else {
        return;
    };
    assert_eq!(theirs["verdicts_that_differ"], 0);
    follow_alike(&figures, &theirs);
    for teller in Teller::ALL {
        let column = if teller == Teller::Budward {
            "probability"
        } else {
            teller.name()
        };
        // Six decimals in the table.
        let (mine, their) = (
            figures.brier(teller).unwrap(),
            theirs["brier"][column].as_f64().unwrap(),
        );
        assert!((mine - their).abs() < 2e-6, "{teller:?}");
    }
    let their = theirs["fewer_rms"].as_f64().unwrap();
    let mine = figure(&figures, "fewer futures").value.unwrap();
    assert!(
        their > 0.0 && (mine - their).abs() < 2e-6,
        "{mine} against {their}"
    );
    for day in ["early", "middle", "late"] {
        let their = theirs["coverage"][format!("go_{day}")].as_f64().unwrap();
        let mine = figure(&figures, &format!("go by its {day} day"))
            .value
            .unwrap();
        assert!((mine - their).abs() < 1e-9, "{day}: {mine} against {their}");
    }
}

/// The shear of boxwood in autumn.
fn autumn_shear() -> Plan {
    let almanac = budward::almanac::embedded().unwrap();
    let kind = almanac.kind("boxwood").unwrap();
    let cut = kind.cut(budward::almanac::CutKind::Shear).unwrap();
    let mut plan = plan(Source::None, Prior::Default, 1);
    plan.season = Season::Autumn;
    plan.question = Question::cut(kind, cut, CelsiusStep::default()).unwrap();
    plan
}

/// Its test at Toronto, which several look at.
fn shorn_in_autumn() -> Series {
    static SERIES: OnceLock<Series> = OnceLock::new();
    let series = || test(&toronto(1981), &autumn_shear());
    SERIES.get_or_init(series).clone()
}

#[test]
fn in_autumn_the_last_go_is_scored_alike_by_others() {
    let plan = autumn_shear();
    let Some((figures, theirs)) = scored_by_others(shorn_in_autumn(), &plan, "autumn") else {
        return;
    };
    assert_eq!(theirs["verdicts_that_differ"], 0);
    follow_alike(&figures, &theirs);
}

#[test]
fn autumn_decisions_lie_about_the_last_call_and_are_mostly_open() {
    let (plan, series) = (autumn_shear(), shorn_in_autumn());
    let share = figure(
        &figures("Toronto", &[&series], &plan).unwrap(),
        "share of days contested",
    );
    assert!(share.value.unwrap() > 0.5, "{share:?}");
    // Half way through a season it is as likely as not, by the climate alone.
    for season in series.rows.chunks(51) {
        let middle = season[25].chance(Teller::Climate).share();
        assert!((middle - 0.5).abs() < 0.12, "{}: {middle}", season[25].date);
    }
    // The days of a season rest on the years before it: a warmer end of the record moves none of them.
    let warmer = test(&warmer_after(&toronto(1981), day(1979, 12, 31)), &plan);
    let days = |series: &Series| series.rows.iter().map(|row| row.date).collect::<Vec<_>>();
    assert_eq!(days(&series)[..51 * 2], days(&warmer)[..51 * 2]);
}

#[test]
fn where_every_cut_is_safe_there_is_no_last_call() {
    let mut plan = autumn_shear();
    plan.question = Question::nights(Celsius::new(-60.0), 10);
    let none = run(&toronto(1982), "Toronto", &plan, &mut |_, _| {});
    assert_eq!(none, Err(BacktestError::NoLastCall));
}

#[test]
fn a_cut_of_the_almanac_is_tested_by_its_own_tender_period() {
    let almanac = budward::almanac::embedded().unwrap();
    let kind = almanac.kind("boxwood").unwrap();
    let cut = kind.cut(budward::almanac::CutKind::Shear).unwrap();
    let doubt = CelsiusStep::new(1.0);
    let mut plan = plan(Source::None, Prior::Default, 60);
    plan.question = Question::cut(kind, cut, doubt).unwrap();
    let series = test(&toronto(1980), &plan);
    let came = |month: u32| {
        let rows = series
            .rows
            .iter()
            .filter(move |row| row.date.month() == month);
        rows.map(|row| (row.happened, row.chance(Teller::Budward).share()))
    };
    // In March every cut is followed by frost at Toronto, in July none is.
    assert!(came(3).count() > 1 && came(6).chain(came(7)).count() > 1);
    assert!(came(3).all(|(happened, chance)| happened && chance > 0.9));
    assert!(
        came(6)
            .chain(came(7))
            .all(|(happened, chance)| !happened && chance < 0.2)
    );
}
