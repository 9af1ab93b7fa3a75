//! The figures of a test, each with limits that take whole years as the sample.

mod bins;
mod coverage;
mod followed;
mod smoothness;
mod sums;

use std::collections::BTreeMap;

use serde::Serialize;

use super::baseline::Teller;
use super::plan::Plan;
use super::row::Row;
use super::series::Series;
use crate::science::scores::{Estimate, Scored, bootstrap, by_year, calibration_error};
use crate::units::count;
pub use bins::Bin;
use bins::reliability;
use coverage::coverage;
pub use followed::Followed;
use followed::decisions;
use smoothness::smoothness;
use sums::{YearSums, year_sums};

/// One figure.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Figure {
    /// Its name, short enough for a column.
    pub name: &'static str,
    /// The figure; none where it has no meaning.
    pub value: Option<f64>,
    /// Its 95 % limits, where there are any.
    pub limits: Option<(f64, f64)>,
}

/// The score of one teller.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TellerScore {
    /// Who.
    pub teller: &'static str,
    /// By what, in words.
    pub words: &'static str,
    /// Its Brier score over all days.
    pub brier: Figure,
}

/// Everything that is told of one series or several.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Figures {
    /// Of what.
    pub name: String,
    /// Years.
    pub years: usize,
    /// First and last year.
    pub span: (i32, i32),
    /// Decision days.
    pub days: usize,
    /// Decision days whose answer the record leaves open.
    pub open_days: usize,
    /// Share of the decision days on which it came.
    pub came: f64,
    /// The figures, in the order in which they are shown.
    pub figures: Vec<Figure>,
    /// The Brier score of each teller.
    pub scores: Vec<TellerScore>,
    /// The reliability table.
    pub reliability: Vec<Bin>,
    /// How keepers fared: those who took the first go of a spring, or the last one of an autumn.
    pub decisions: Vec<Followed>,
}

/// The figures of one series or of several together; none without a row.
pub fn figures(name: &str, series: &[&Series], plan: &Plan) -> Option<Figures> {
    let rows: Vec<&Row> = series.iter().flat_map(|series| &series.rows).collect();
    let years: Vec<i32> = rows.iter().map(|row| row.year).collect();
    let span = (*years.iter().min()?, *years.iter().max()?);
    let scored = by_year(&scored(&rows, Teller::Budward));
    let sums = year_sums(&rows);
    let mut figures = skills(&sums);
    figures.extend(calibration(&scored, &sums));
    figures.extend(coverage(series, plan));
    figures.extend(smoothness(series, plan));
    let came = rows.iter().filter(|row| row.happened).count();
    Some(Figures {
        name: name.to_owned(),
        years: scored.len(),
        span,
        days: rows.len(),
        open_days: series.iter().map(|series| series.open_days).sum(),
        came: count(came) / count(rows.len()),
        figures,
        scores: scores(&sums),
        reliability: reliability(&scored),
        decisions: decisions(series, plan),
    })
}

/// The mean over several series of a teller's Brier score; none when one of them has none.
pub fn mean_brier(of_each: &[Figures], teller: Teller) -> Option<f64> {
    let scores: Option<Vec<f64>> = of_each.iter().map(|one| one.brier(teller)).collect();
    mean(scores?.into_iter())
}

impl Figures {
    /// The Brier score of a teller.
    pub fn brier(&self, teller: Teller) -> Option<f64> {
        let of = |score: &&TellerScore| score.teller == teller.name();
        self.scores.iter().find(of)?.brier.value
    }
}

impl Figure {
    fn of(name: &'static str, estimate: Option<Estimate>, plain: Option<f64>) -> Self {
        Self {
            name,
            value: estimate.map(|estimate| estimate.value).or(plain),
            limits: estimate.map(|estimate| (estimate.lower, estimate.upper)),
        }
    }

    fn plain(name: &'static str, value: Option<f64>) -> Self {
        Self::of(name, None, value)
    }

    /// The mean of values that belong to years, by years.
    fn mean_by_year(name: &'static str, values: impl Iterator<Item = (i32, f64)>) -> Self {
        let years = grouped(values);
        Self::of(name, bootstrap(&years, mean_of), mean_of(&years.concat()))
    }

    /// A figure of the years' sums.
    fn of_sums(
        name: &'static str,
        years: &[Vec<YearSums>],
        figure: impl Fn(&YearSums) -> Option<f64>,
    ) -> Self {
        let of_all = |sums: &[YearSums]| figure(&YearSums::total(sums));
        Self::of(name, bootstrap(years, of_all), of_all(&years.concat()))
    }
}

fn scored(rows: &[&Row], teller: Teller) -> Vec<Scored> {
    let scored = |row: &&Row| Scored {
        chance: row.chance(teller),
        happened: row.happened,
        year: row.year,
    };
    rows.iter().map(scored).collect()
}

fn skills(sums: &[Vec<YearSums>]) -> Vec<Figure> {
    let skill = |name, of_contested: bool, reference: Teller| {
        Figure::of_sums(name, sums, |sums| {
            let set = if of_contested {
                &sums.contested
            } else {
                &sums.all
            };
            set.skill(Teller::Budward, reference)
        })
    };
    vec![
        skill("skill against climate", false, Teller::Climate),
        skill(
            "skill against climate, contested days",
            true,
            Teller::Climate,
        ),
        skill("skill against frequency", false, Teller::Frequency),
        skill(
            "skill against frequency, contested days",
            true,
            Teller::Frequency,
        ),
        Figure::of_sums("way to the perfect week won", sums, |sums| {
            let all = &sums.all;
            let (mine, climate) = (all.brier(Teller::Budward)?, all.brier(Teller::Climate)?);
            let way = climate - all.brier(Teller::PerfectWeek)?;
            (way > 0.0).then(|| (climate - mine) / way)
        }),
    ]
}

fn calibration(scored: &[Vec<Scored>], sums: &[Vec<YearSums>]) -> Vec<Figure> {
    let error = calibration_error(&scored.concat());
    vec![
        Figure::of(
            "calibration error",
            bootstrap(scored, calibration_error),
            error,
        ),
        Figure::of_sums("contested: chance less observed", sums, |sums| {
            sums.contested.excess(Teller::Budward)
        }),
        Figure::of_sums("contested: climate less observed", sums, |sums| {
            sums.contested.excess(Teller::Climate)
        }),
        Figure::of_sums("share of days contested", sums, |sums| {
            (sums.all.days > 0.0).then(|| sums.contested.days / sums.all.days)
        }),
    ]
}

fn mean(values: impl Iterator<Item = f64>) -> Option<f64> {
    let (n, sum) = values.fold((0, 0.0), |(n, sum), value| (n + 1, sum + value));
    (n > 0).then(|| sum / count(n))
}

fn mean_of(values: &[f64]) -> Option<f64> {
    mean(values.iter().copied())
}

/// Values by the year that each belongs to.
fn grouped<T>(values: impl Iterator<Item = (i32, T)>) -> Vec<Vec<T>> {
    let mut years: BTreeMap<i32, Vec<T>> = BTreeMap::new();
    for (year, value) in values {
        years.entry(year).or_default().push(value);
    }
    years.into_values().collect()
}

fn scores(sums: &[Vec<YearSums>]) -> Vec<TellerScore> {
    let score = |teller: &Teller| {
        let brier = Figure::of_sums("Brier score", sums, |sums| sums.all.brier(*teller));
        brier.value.is_some().then(|| TellerScore {
            teller: teller.name(),
            words: teller.words(),
            brier,
        })
    };
    Teller::ALL.iter().filter_map(score).collect()
}
