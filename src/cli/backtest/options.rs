//! What is to be tested, as it is written on the command line.

use std::path::PathBuf;
use std::str::FromStr;

use anyhow::Context;
use clap::{Args, ValueEnum};

use crate::almanac::{self, Almanac, CutKind, Kind, nearest};
use crate::backtest::{
    BRIDGE_DAYS, BridgeWorld, Given, Plan, Prior, Question, Season, Source, USUAL_ERRORS,
};
use crate::cli::Exit;
use crate::units::{Celsius, CelsiusStep, Chance};

/// Errors in kelvin that are believed.
const ERRORS: std::ops::RangeInclusive<f64> = 0.05..=15.0;

/// The plan of a test.
#[derive(Debug, Clone, Args)]
pub(super) struct PlanArgs {
    /// What is asked on each decision day.
    #[arg(long, value_enum, default_value = "nights")]
    question: Kinds,
    /// A night that cold or colder counts.
    #[arg(
        long,
        value_name = "TEMPERATURE",
        default_value = "28 °F",
        allow_hyphen_values = true
    )]
    at_or_below: Celsius,
    /// Nights asked about.
    #[arg(long, value_name = "N", default_value_t = 21, value_parser = clap::value_parser!(u32).range(1..=120))]
    nights: u32,
    /// The kind of plant, for the question plant.
    #[arg(long, value_name = "KIND")]
    plant: Option<String>,
    /// Its cut.
    #[arg(long, value_name = "CUT", default_value = "shear")]
    cut: String,
    /// How far the chance supposes that the plant's place may differ from the record, as a standard deviation; what came
    /// is the record's own.
    #[arg(
        long,
        value_name = "STEP",
        allow_hyphen_values = true,
        default_value = "0 K"
    )]
    doubt: CelsiusStep,
    /// The decision days: 91 about the median last freeze, 51 about the climate's last call, or the whole year.
    #[arg(long, value_enum, default_value = "spring")]
    season: Seasons,
    /// Days from one decision day to the next, with --season all.
    #[arg(long, value_name = "DAYS", default_value_t = 3, value_parser = clap::value_parser!(u32).range(1..=30))]
    step: u32,
    /// The chance that the keeper accepts, in ways of 100.
    #[arg(long, value_name = "WAYS", default_value_t = 10, value_parser = clap::value_parser!(u32).range(1..=50))]
    tolerance: u32,
    /// The forecasts: none, noise, perfect, perfect:DAYS, bridge, or file:FORECASTS.csv.
    #[arg(long, value_name = "WHICH", default_value = "noise")]
    forecast: Forecasts,
    /// Standard deviation of the forecast error by lead, in kelvin, for noise.
    #[arg(long, value_name = "K,K,...", value_delimiter = ',')]
    errors: Vec<f64>,
    /// The seed of every drawn forecast.
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    seed: u64,
    /// Members of a bridge ensemble; 1 is a single run.
    #[arg(long, value_name = "N", default_value_t = 31, value_parser = clap::value_parser!(u32).range(1..=100))]
    members: u32,
    /// The faults of bridge forecasts, which nobody is told.
    #[arg(long, value_enum, default_value = "ideal")]
    world: Worlds,
    /// Do not tell the errors: begin with the skill of a place where nothing was verified, and learn.
    #[arg(long)]
    untold: bool,
    /// Do not learn from forecasts that have come due.
    #[arg(long)]
    no_learn: bool,
    /// Also count the chance over every so many-th start day of each past year, and tell how far it lies off.
    #[arg(long, value_name = "DAYS", value_parser = clap::value_parser!(u32).range(2..=15))]
    shift_step: Option<u32>,
    /// Fewest usable past years before a season that is tested.
    #[arg(long, value_name = "YEARS", default_value_t = 10, value_parser = clap::value_parser!(u32).range(5..=30))]
    past_years: u32,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Kinds {
    /// Is one of the coming nights so cold?
    Nights,
    /// Does frost fall into the tender period of a cut?
    Plant,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Seasons {
    Spring,
    Autumn,
    All,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Worlds {
    Ideal,
    Realistic,
    Better,
}

/// Which forecasts.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Forecasts {
    None,
    Noise,
    Perfect(usize),
    Bridge,
    File(PathBuf),
}

impl FromStr for Forecasts {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        match text.split_once(':') {
            None => match text {
                "none" => Ok(Self::None),
                "noise" => Ok(Self::Noise),
                "perfect" => Ok(Self::Perfect(USUAL_ERRORS.len())),
                "bridge" => Ok(Self::Bridge),
                _ => Err(wrong(text)),
            },
            Some(("perfect", days)) => days
                .parse()
                .ok()
                .filter(|days| (1..=120).contains(days))
                .map(Self::Perfect)
                .ok_or_else(|| format!("'{days}' is not a number of days from 1 to 120")),
            Some(("file", path)) if !path.is_empty() => Ok(Self::File(path.into())),
            Some(_) => Err(wrong(text)),
        }
    }
}

fn wrong(text: &str) -> String {
    let allowed = ["none", "noise", "perfect", "perfect:7", "bridge", "file:"];
    let near = nearest(text, allowed).map_or_else(String::new, |near| format!("; nearest: {near}"));
    format!("allowed are none, noise, perfect, perfect:DAYS, bridge, file:FORECASTS.csv{near}")
}

impl PlanArgs {
    /// The plan for so many records.
    pub(super) fn plan(&self, records: usize) -> anyhow::Result<Plan> {
        let source = self.source()?;
        if matches!(source, Source::Given(_)) && records > 1 {
            let what = "forecasts from a file belong to one record; give one record";
            return Err(Exit::Usage(what.to_owned()).into());
        }
        let prior = self.prior(&source);
        let index = |n: u32| usize::try_from(n).unwrap_or(usize::MAX);
        Ok(Plan {
            question: self.question()?,
            season: match self.season {
                Seasons::Spring => Season::Spring,
                Seasons::Autumn => Season::Autumn,
                Seasons::All => Season::All {
                    step: index(self.step),
                },
            },
            learns: prior == Prior::Default && source != Source::None && !self.no_learn,
            source,
            prior,
            tolerance: Chance::of(f64::from(self.tolerance) / 100.0),
            past_years: index(self.past_years),
            seed: self.seed,
            shift_step: self.shift_step.map(index),
        })
    }

    fn question(&self) -> anyhow::Result<Question> {
        match self.question {
            Kinds::Nights => Ok(Question::nights(self.at_or_below, self.nights)),
            Kinds::Plant => {
                let almanac = almanac::embedded().context("cannot read the built-in almanac")?;
                Ok(self.question_of_plant(&almanac)?)
            }
        }
    }

    fn question_of_plant(&self, almanac: &Almanac) -> Result<Question, Exit> {
        let Some(written) = &self.plant else {
            let what = "the question plant needs --plant KIND, such as --plant boxwood";
            return Err(Exit::Usage(what.to_owned()));
        };
        let Some(kind) = almanac.kind(written) else {
            let near = almanac
                .search(written)
                .first()
                .map_or_else(String::new, |kind| format!("; nearest: {}", kind.id));
            return Err(Exit::Usage(format!("no kind \"{written}\"{near}")));
        };
        let cut = CutKind::ALL
            .iter()
            .find(|cut| cut.name() == self.cut)
            .and_then(|cut| kind.cut(*cut));
        let Some(cut) = cut else {
            let what = format!(
                "{} takes no cut \"{}\"; it takes {}",
                kind.id,
                self.cut,
                cuts(kind)
            );
            return Err(Exit::Usage(what));
        };
        if self.doubt.kelvin() < 0.0 {
            let what = "--doubt is a standard deviation and cannot be below zero";
            return Err(Exit::Usage(what.to_owned()));
        }
        Question::cut(kind, cut, self.doubt).ok_or_else(|| {
            let what = format!(
                "frost is no reason to wait with the {} of {}",
                self.cut, kind.id
            );
            Exit::Usage(what)
        })
    }

    fn source(&self) -> anyhow::Result<Source> {
        let wrong = self.errors.iter().find(|error| !ERRORS.contains(error));
        if let Some(error) = wrong {
            let (low, high) = (ERRORS.start(), ERRORS.end());
            let what = format!("--errors: {error} is outside {low} to {high} K");
            return Err(Exit::Usage(what).into());
        }
        Ok(match &self.forecast {
            Forecasts::None => Source::None,
            Forecasts::Noise if self.errors.is_empty() => Source::Noise {
                errors: USUAL_ERRORS.to_vec(),
            },
            Forecasts::Noise => Source::Noise {
                errors: self.errors.clone(),
            },
            Forecasts::Perfect(days) => Source::Perfect { days: *days },
            Forecasts::Bridge => Source::Bridge {
                world: self.world.world(),
                members: usize::try_from(self.members).unwrap_or(BRIDGE_DAYS),
            },
            Forecasts::File(path) => {
                let shown = path.display().to_string();
                let text = std::fs::read_to_string(path)
                    .with_context(|| format!("cannot read {shown}"))?;
                let given = Given::read(&text, &shown)
                    .map_err(|error| Exit::Usage(format!("cannot use {shown}: {error}")))?;
                Source::Given(given)
            }
        })
    }

    /// What is told of the forecasts' skill.
    fn prior(&self, source: &Source) -> Prior {
        match source {
            Source::Perfect { days } => Prior::Perfect(*days),
            Source::Noise { errors } if !self.untold => Prior::Errors(errors.clone()),
            Source::Bridge {
                world: BridgeWorld::Ideal,
                ..
            } if !self.untold => Prior::Table,
            Source::None | Source::Noise { .. } | Source::Bridge { .. } | Source::Given(_) => {
                Prior::Default
            }
        }
    }
}

fn cuts(kind: &Kind) -> String {
    let cuts: Vec<&str> = kind.cuts.iter().map(|cut| cut.cut.name()).collect();
    cuts.join(", ")
}

impl Worlds {
    const fn world(self) -> BridgeWorld {
        match self {
            Self::Ideal => BridgeWorld::Ideal,
            Self::Realistic => BridgeWorld::Realistic,
            Self::Better => BridgeWorld::Better,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn forecasts_are_read_and_misspelt_ones_get_a_hint() {
        assert_eq!("perfect:21".parse(), Ok(Forecasts::Perfect(21)));
        assert_eq!("file:a.csv".parse(), Ok(Forecasts::File("a.csv".into())));
        let said = |text: &str| text.parse::<Forecasts>().unwrap_err();
        assert!(said("nois").ends_with("nearest: noise"), "{}", said("nois"));
        assert!(said("perfect:0").contains("from 1 to 120"));
        assert!(said("file:").starts_with("allowed are"));
    }
}
