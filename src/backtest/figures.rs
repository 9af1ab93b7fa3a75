//! The figures of a test, each with limits that take whole years as the sample.

mod sums;

use serde::Serialize;

use super::baseline::Teller;
use super::calendar::Season;
use super::decision::{Decisions, Outcome, days_gained, outcomes};
use super::series::{CurveCheck, Plan, Row, Series};
use crate::science::scores::{
    CHANCE_EDGES, Estimate, Scored, bootstrap, by_year, calibration_error, reliability_table,
    wilson,
};
use crate::units::{Chance, count};
use sums::{YearSums, contested, year_sums};

/// The tolerances at which decisions are tried.
pub const TOLERANCES: [f64; 3] = [0.05, 0.10, 0.20];

/// The leads whose 80 % intervals are checked.
const INTERVAL_LEADS: std::ops::RangeInclusive<usize> = 1..=12;

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

/// One line of the reliability table.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Bin {
    /// Lower edge.
    pub from: f64,
    /// Upper edge.
    pub to: f64,
    /// Decision days.
    pub days: usize,
    /// Years over which they are spread.
    pub years: usize,
    /// Mean chance.
    pub chance: f64,
    /// Share of the days on which it came.
    pub observed: f64,
    /// 95 % limits of that share, whole years the sample; Wilson's over the years where resampling gives none.
    pub limits: (f64, f64),
}

/// How a keeper fared who followed one teller.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Followed {
    /// Who.
    pub teller: &'static str,
    /// The tolerance.
    pub tolerance: f64,
    /// Seasons.
    pub seasons: usize,
    /// Seasons without a go.
    pub never: usize,
    /// Share of first goes after which the event came.
    pub hit_share: f64,
    /// Its 95 % limits: Wilson's, one season one sample.
    pub hit_limits: Option<(f64, f64)>,
    /// Mean days waited after it was safe.
    pub waited: f64,
    /// Mean and most changes of stance a season.
    pub flips: f64,
    /// The most in one season.
    pub flips_max: usize,
    /// Days gained against the calendar date of no more damage, chosen with hindsight.
    pub gained: Option<f64>,
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
    /// Decisions, spring only.
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
    figures.extend(smoothness(series));
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
        skill("same, contested days", true, Teller::Climate),
        skill("skill against frequency", false, Teller::Frequency),
        skill("same, contested days", true, Teller::Frequency),
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

fn smoothness(series: &[&Series]) -> Vec<Figure> {
    let rows = || series.iter().flat_map(|series| &series.rows);
    let pairs = || {
        series
            .iter()
            .flat_map(|series| series.rows.iter().zip(series.rows.iter().skip(1)))
            .filter(|(one, next)| one.year == next.year)
    };
    let change = |(one, next): (&Row, &Row)| {
        (next.chance(Teller::Budward).share() - one.chance(Teller::Budward).share()).abs()
    };
    let curves = || series.iter().flat_map(|series| &series.curves);
    let checks = || rows().flat_map(|row| &row.nights.checks);
    let inside = checks()
        .filter(|check| INTERVAL_LEADS.contains(&check.lead))
        .filter_map(|check| check.inside);
    let worst = |of: fn(&CurveCheck) -> f64| curves().map(of).reduce(f64::max);
    vec![
        Figure::plain("day-to-day change", mean(pairs().map(change))),
        Figure::plain(
            "same, contested days",
            mean(pairs().filter(|(one, _)| contested(one)).map(change)),
        ),
        Figure::plain(
            "night to night at forecast's end",
            mean(
                rows()
                    .filter_map(|row| row.nights.seam())
                    .map(|seam| seam.0),
            ),
        ),
        Figure::plain(
            "same at the other leads",
            mean(
                rows()
                    .filter_map(|row| row.nights.seam())
                    .map(|seam| seam.1),
            ),
        ),
        Figure::plain(
            "80 % intervals of nights hold",
            mean(inside.map(|inside| f64::from(u8::from(inside)))),
        ),
        Figure::plain(
            "climate curve: steps up, mean",
            mean(curves().map(|curve| curve.up)),
        ),
        Figure::plain("climate curve: steps up, worst", worst(|curve| curve.up)),
        Figure::plain("climate curve: largest step", worst(|curve| curve.largest)),
    ]
}

fn mean(values: impl Iterator<Item = f64>) -> Option<f64> {
    let (n, sum) = values.fold((0, 0.0), |(n, sum), value| (n + 1, sum + value));
    (n > 0).then(|| sum / count(n))
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

fn reliability(years: &[Vec<Scored>]) -> Vec<Bin> {
    let rows = years.concat();
    let bin = |bin: crate::science::scores::ReliabilityBin| {
        let of_bin: Vec<Vec<Scored>> = years
            .iter()
            .map(|rows| {
                rows.iter()
                    .filter(|row| in_bin(row, bin.from, bin.to))
                    .copied()
                    .collect()
            })
            .collect();
        let observed =
            |rows: &[Scored]| mean(rows.iter().map(|row| f64::from(u8::from(row.happened))));
        let by_years = bootstrap(&of_bin, observed)
            .map(|estimate| (estimate.lower, estimate.upper))
            // A share of 0 or 1 in every year leaves resampling nothing to vary.
            .filter(|(lower, upper)| lower < upper)
            .or_else(|| over_years(bin.observed, bin.years));
        Bin {
            from: bin.from,
            to: bin.to,
            days: bin.n,
            years: bin.years,
            chance: bin.forecast,
            observed: bin.observed,
            limits: by_years.unwrap_or((0.0, 1.0)),
        }
    };
    reliability_table(&rows).into_iter().map(bin).collect()
}

fn in_bin(row: &Scored, from: f64, to: f64) -> bool {
    let share = row.chance.share();
    let is_last = CHANCE_EDGES.last().is_some_and(|last| *last <= to);
    share >= from && (share < to || is_last)
}

/// Wilson's limits with the years as the sample.
fn over_years(share: f64, years: usize) -> Option<(f64, f64)> {
    let hits = (0..=years).min_by(|a, b| {
        let off = |hits: usize| (count(hits) - share * count(years)).abs();
        off(*a).total_cmp(&off(*b))
    })?;
    wilson(hits, years).map(|limits| (limits.lower, limits.upper))
}

fn decisions(series: &[&Series], plan: &Plan) -> Vec<Followed> {
    // Elsewhere than in spring the first go is not the one that matters.
    if plan.season != Season::Spring {
        return Vec::new();
    }
    let mut tolerances = TOLERANCES.to_vec();
    let own = plan.tolerance.share();
    if tolerances.iter().all(|one| (one - own).abs() > 1e-9) {
        tolerances.push(own);
    }
    tolerances
        .iter()
        .flat_map(|tolerance| Teller::ALL.map(|teller| (teller, Chance::of(*tolerance))))
        .filter_map(|(teller, tolerance)| followed(series, teller, tolerance))
        .collect()
}

fn followed(series: &[&Series], teller: Teller, tolerance: Chance) -> Option<Followed> {
    let of_each: Vec<(Vec<&Row>, Vec<Outcome>)> = series
        .iter()
        .map(|series| {
            let rows: Vec<&Row> = series.rows.iter().collect();
            let outcomes = outcomes(&rows, teller, tolerance);
            (rows, outcomes)
        })
        .collect();
    let all: Vec<Outcome> = of_each
        .iter()
        .flat_map(|(_, outcomes)| outcomes)
        .copied()
        .collect();
    let decisions = Decisions::of(&all)?;
    let went = decisions.seasons - decisions.never;
    let hits = all.iter().filter(|season| season.hit).count();
    let gained = of_each
        .iter()
        .filter_map(|(rows, outcomes)| days_gained(rows, outcomes));
    Some(Followed {
        teller: teller.name(),
        tolerance: tolerance.share(),
        seasons: decisions.seasons,
        never: decisions.never,
        hit_share: decisions.hit_share,
        hit_limits: wilson(hits, went).map(|limits| (limits.lower, limits.upper)),
        waited: decisions.waited,
        flips: decisions.flips,
        flips_max: decisions.flips_max,
        gained: mean(gained),
    })
}
