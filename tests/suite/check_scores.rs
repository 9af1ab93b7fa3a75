//! The scores against what libraries gave for the same rows (`tests/data/check_values/scores_*.csv`), against a peer that
//! is run beside them, and against what has to hold for any forecasts.

use budward::science::scores::{
    BrierParts, Limits, Scored, WarningRates, bootstrap, brier, brier_parts, brier_parts_by_bin,
    brier_skill, by_year, calibration_error, crps_ensemble, crps_normal, economic_value, pinball,
    reliability_table, wilson,
};
use budward::units::Chance;
use proptest::prelude::*;
use serde_json::Value;

use crate::check_values::{Row, rows};
use crate::support::peer_says;

#[test]
fn the_crps_of_a_normal_law_is_that_of_the_libraries() {
    for row in rows("scores_crps_normal.csv") {
        let [mean, sd, observed] = ["mean", "sd", "observed"].map(|column| row.number(column));
        let score = crps_normal(mean, sd, observed).unwrap();
        row.expect(score, row.number("expected"));
    }
}

#[test]
fn the_crps_of_an_ensemble_is_that_of_the_libraries() {
    for row in rows("scores_crps_ensemble.csv") {
        let members: Vec<f64> = row
            .text("members")
            .split(' ')
            .map(|member| member.parse().unwrap())
            .collect();
        let score = crps_ensemble(&members, row.number("observed")).unwrap();
        row.expect(score, row.number("expected"));
    }
}

#[test]
fn a_quantile_is_scored_as_by_the_library() {
    for row in rows("scores_pinball.csv") {
        let [level, forecast, observed] =
            ["level", "forecast", "observed"].map(|column| row.number(column));
        let score = pinball(level, forecast, observed).unwrap();
        row.expect(score, row.number("expected"));
    }
}

#[test]
fn the_value_of_forecasts_is_that_of_the_library() {
    for row in rows("scores_value.csv") {
        let rates = WarningRates {
            base_rate: row.number("base_rate"),
            hit_rate: row.number("hit_rate"),
            false_alarm_rate: row.number("false_alarm_rate"),
        };
        let value = economic_value(rates, row.number("cost_loss")).unwrap();
        row.expect(value, row.number("expected"));
    }
}

#[test]
fn the_limits_of_a_share_are_the_published_ones() {
    for row in rows("scores_wilson.csv") {
        let [hits, n] = ["hits", "n"].map(|column| row.text(column).parse().unwrap());
        let Limits { lower, upper } = wilson(hits, n).unwrap();
        row.expect(lower, row.number("lower"));
        row.expect(upper, row.number("upper"));
    }
}

/// Forecasts from text such as `0.1:1/10 0.3:3/10`: chance, events, forecasts.
fn forecasts(row: &Row) -> Vec<Scored> {
    let group = |text: &str| {
        let (chance, counts) = text.split_once(':').unwrap();
        let (hits, n) = counts.split_once('/').unwrap();
        let [hits, n]: [u32; 2] = [hits, n].map(|count| count.parse().unwrap());
        let chance = Chance::of(chance.parse().unwrap());
        (0..n).map(move |case| Scored {
            chance,
            happened: case < hits,
            year: 2001,
        })
    };
    row.text("forecasts").split(' ').flat_map(group).collect()
}

#[test]
fn the_brier_score_and_its_parts_are_those_of_the_libraries() {
    for row in rows("scores_brier.csv") {
        let forecasts = forecasts(&row);
        let parts = brier_parts(&forecasts).unwrap();
        let events = forecasts.iter().filter(|row| row.happened).count();
        let base_rate = Chance::of(events as f64 / forecasts.len() as f64);
        let found = match row.text("figure") {
            "score" => brier(&forecasts).unwrap(),
            "reliability" => parts.reliability,
            "resolution" => parts.resolution,
            "uncertainty" => parts.uncertainty,
            "calibration-error" => calibration_error(&forecasts).unwrap(),
            "skill" => brier_skill(&forecasts, &vec![base_rate; forecasts.len()]).unwrap(),
            other => panic!("no figure {other}"),
        };
        row.expect(found, row.number("expected"));
        assert!(parts.within_groups.abs() < 1e-15);
    }
}

/// Numbers within 0..1 that are the same in each run: the multiples of the golden ratio, which fill the interval evenly.
fn even(count: usize) -> impl Iterator<Item = f64> {
    (1..=count).map(|k| (k as f64 * 0.618_033_988_749_894_9).fract())
}

/// Invented forecasts: some whole hundredths, so that chances return and lie on edges of bins, some not.
fn invented(count: usize) -> Vec<Scored> {
    let twice = even(2 * count).skip(count);
    even(count)
        .zip(twice)
        .enumerate()
        .map(|(at, (share, lot))| Scored {
            chance: Chance::of(if at % 3 == 0 {
                share
            } else {
                (share * 100.0).round() / 100.0
            }),
            // The event comes a little more seldom than forecast.
            happened: lot * 1.1 < share,
            year: 1990 + i32::try_from(at / 20).unwrap(),
        })
        .collect()
}

/// Invented ensembles of 1 to 41 members, each with what was observed first: within, beyond, and on a member.
fn ensembles(count: usize) -> Vec<Vec<f64>> {
    (0..count)
        .map(|at| {
            let spread = 0.2 + (at % 7) as f64;
            let members: Vec<f64> = even(at % 41 + 1 + at)
                .skip(at)
                .map(|share| ((share - 0.5) * spread * 10.0).round() / 10.0)
                .collect();
            let observed = match at % 4 {
                0 => members[0],
                1 => -9.0,
                2 => 9.0,
                _ => 0.123,
            };
            [&[observed][..], &members].concat()
        })
        .collect()
}

/// The answer of `tests/peers/check_scores.py`; none where its Python packages are not there.
fn peer(forecasts: &[Scored], ensembles: &[Vec<f64>]) -> Option<Value> {
    let folder = tempfile::tempdir().unwrap();
    let lines = forecasts
        .iter()
        .map(|row| format!("{},{}\n", row.chance.share(), u8::from(row.happened)));
    let forecasts = format!("chance,happened\n{}", lines.collect::<String>());
    let line = |row: &Vec<f64>| {
        let cells: Vec<String> = row.iter().map(f64::to_string).collect();
        format!("{}\n", cells.join(","))
    };
    let files = [
        ("forecasts.csv", forecasts),
        ("ensembles.csv", ensembles.iter().map(line).collect()),
    ];
    let paths = files.map(|(name, text)| {
        let path = folder.path().join(name);
        std::fs::write(&path, text).unwrap();
        path
    });
    peer_says("check_scores.py", &["numpy", "CRPS.CRPS"], &paths)
}

fn near(found: f64, expected: &Value, what: &str) {
    let expected = expected.as_f64().unwrap();
    assert!(
        (found - expected).abs() < 1e-12,
        "{what}: {found}, not {expected}"
    );
}

#[test]
fn the_scores_of_many_forecasts_are_those_of_the_peer() {
    let (forecasts, ensembles) = (invented(600), ensembles(300));
    let Some(theirs) = peer(&forecasts, &ensembles) else {
        return;
    };
    near(brier(&forecasts).unwrap(), &theirs["brier"], "Brier score");
    near(
        calibration_error(&forecasts).unwrap(),
        &theirs["calibration_error"],
        "calibration error",
    );
    let by = [
        ("by_chance", brier_parts(&forecasts).unwrap()),
        ("by_bin", brier_parts_by_bin(&forecasts).unwrap()),
    ];
    for (name, parts) in by {
        let BrierParts {
            reliability,
            resolution,
            uncertainty,
            within_groups,
        } = parts;
        for (at, part) in [reliability, resolution, uncertainty, within_groups]
            .into_iter()
            .enumerate()
        {
            near(part, &theirs[name][at], &format!("{name} {at}"));
        }
    }
    assert_eq!(theirs["crps"].as_array().unwrap().len(), ensembles.len());
    for (at, row) in ensembles.iter().enumerate() {
        let found = crps_ensemble(&row[1..], row[0]).unwrap();
        near(found, &theirs["crps"][at], &format!("{row:?}"));
    }
}

fn any_forecasts() -> impl Strategy<Value = Vec<Scored>> {
    let one =
        (0..=50_u32, any::<bool>(), 2000..2010).prop_map(|(fiftieth, happened, year)| Scored {
            chance: Chance::of(f64::from(fiftieth) / 50.0),
            happened,
            year,
        });
    proptest::collection::vec(one, 1..80)
}

proptest! {
    #[test]
    fn the_parts_make_up_the_score(rows in any_forecasts()) {
        let score = brier(&rows).unwrap();
        for parts in [brier_parts(&rows).unwrap(), brier_parts_by_bin(&rows).unwrap()] {
            prop_assert!((parts.score() - score).abs() < 1e-12);
            prop_assert!(parts.reliability >= 0.0 && parts.resolution >= 0.0);
            prop_assert!(parts.resolution <= parts.uncertainty + 1e-12);
        }
        prop_assert!(brier_parts(&rows).unwrap().within_groups.abs() < 1e-12);
    }

    #[test]
    fn a_table_holds_every_forecast_once(rows in any_forecasts()) {
        let table = reliability_table(&rows);
        prop_assert_eq!(table.iter().map(|bin| bin.n).sum::<usize>(), rows.len());
        for bin in table {
            prop_assert!(bin.from <= bin.forecast && bin.forecast <= bin.to);
            prop_assert!(bin.limits.lower <= bin.observed && bin.observed <= bin.limits.upper);
        }
    }

    #[test]
    fn the_crps_is_twice_the_mean_pinball_loss_over_all_levels(
        members in proptest::collection::vec(-30.0_f64..30.0, 1..30),
        observed in -40.0_f64..40.0,
    ) {
        // Gneiting & Ranjan 2011, J. Bus. Econ. Stat. 29, 411-422. The quantile of a level is the member whose step passes
        // it, and the loss is linear in between, so the middle of each step stands for it.
        let mut sorted = members.clone();
        sorted.sort_by(f64::total_cmp);
        let n = sorted.len() as f64;
        let losses = sorted.iter().enumerate().map(|(at, member)| {
            pinball((at as f64 + 0.5) / n, *member, observed).unwrap()
        });
        let twice_mean = 2.0 * losses.sum::<f64>() / n;
        prop_assert!((crps_ensemble(&members, observed).unwrap() - twice_mean).abs() < 1e-12);
    }

    #[test]
    fn who_forecasts_the_truth_cannot_do_better(truth in 0.0_f64..=1.0, told in 0.0_f64..=1.0) {
        // Expected Brier score of a chance told where the truth is another: a proper score is least at the truth.
        let expected = |told: f64| {
            let score = |happened| {
                brier(&[Scored { chance: Chance::of(told), happened, year: 2001 }]).unwrap()
            };
            truth * score(true) + (1.0 - truth) * score(false)
        };
        prop_assert!(expected(truth) <= expected(told) + 1e-15);
    }
}

#[test]
fn limits_by_years_are_wider_where_years_hang_together() {
    // Invented: in half of 40 years the event came on each of 20 days, in the others on none.
    let rows: Vec<Scored> = (0..800)
        .map(|at| Scored {
            chance: Chance::of(0.5),
            happened: at / 20 % 2 == 0,
            year: 1960 + at / 20,
        })
        .collect();
    let observed = |rows: &[Scored]| Some(reliability_table(rows).first()?.observed);
    let by_years = bootstrap(&by_year(&rows), observed).unwrap();
    let by_days = reliability_table(&rows)[0].limits;
    let width = |lower: f64, upper: f64| upper - lower;
    let ratio = width(by_years.lower, by_years.upper) / width(by_days.lower, by_days.upper);
    // A year counts once and not 20 times, so the limits are √20 = 4.5 times as wide.
    assert!((4.0..5.0).contains(&ratio), "{ratio}");
    assert_eq!(bootstrap(&by_year(&rows), observed), Some(by_years));
}
