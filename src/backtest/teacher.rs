//! What the tool is told of its forecasts' skill, and what it learns from those that have come due.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::plan::Plan;
use super::question::after;
use super::world::{Issue, Weather, members, one_night};
use crate::climate::Season;
use crate::outlook::{LeadSkill, Skill, Truth, Verified, WarmBias};
use crate::units::CelsiusStep;

/// Days between two lessons.
const LESSON_DAYS: i64 = 5;

/// The skill that is assumed before anything was learned.
#[derive(Debug, Clone, PartialEq)]
pub enum Prior {
    /// That of a place at which nothing was verified: [`Skill::default`].
    Default,
    /// The same table, without bias and local spread, as where the forecast speaks of the station itself.
    Table,
    /// The error of the night minimum as it is, by lead, in kelvin: what a long-running place has learned.
    Errors(Vec<f64>),
    /// Every one of so many days is right.
    Perfect(usize),
}

impl Prior {
    /// The skill on a day.
    pub(super) fn skill(&self, season: &Season, today: NaiveDate) -> Skill {
        match self {
            Self::Default => Skill::default(),
            Self::Table => Skill {
                bias: WarmBias::even(0.0),
                local_spread: CelsiusStep::new(0.0),
                ..Skill::default()
            },
            Self::Errors(errors) => {
                let spread = |lead| season.normals(after(today, lead)).spread;
                let at = |(lead, error): (usize, &f64)| LeadSkill::with_error(error / spread(lead));
                of_leads((1..).zip(errors).map(at).collect())
            }
            Self::Perfect(days) => of_leads(vec![LeadSkill::full_swing(1.0); *days]),
        }
    }
}

/// The skill of forecasts for the station itself, without bias.
fn of_leads(leads: Vec<LeadSkill>) -> Skill {
    Skill {
        run: leads.clone(),
        ensemble: leads,
        bias: WarmBias::even(0.0),
        local_spread: CelsiusStep::new(0.0),
        ..Skill::default()
    }
}

/// Gathers forecasts until their nights have come, and learns from those.
#[derive(Debug, Clone)]
pub(super) struct Teacher {
    prior: Prior,
    learns: bool,
    /// Forecasts with what will come; not looked at before their date.
    pending: BTreeMap<NaiveDate, Vec<Verified>>,
    verified: Vec<Verified>,
    learned: Option<(NaiveDate, Skill)>,
}

impl Teacher {
    pub(super) fn new(plan: &Plan) -> Self {
        Self {
            prior: plan.prior.clone(),
            learns: plan.learns,
            pending: BTreeMap::new(),
            verified: Vec::new(),
            learned: None,
        }
    }

    /// Keeps a season's forecasts for later.
    pub(super) fn keep(&mut self, issues: &BTreeMap<NaiveDate, Issue>, weather: &Weather<'_>) {
        if !self.learns {
            return;
        }
        for (issued, issue) in issues {
            for (date, day) in issue {
                let lead = usize::try_from((*date - *issued).num_days()).unwrap_or(0);
                let pair = one_night(day).zip(weather.record.day(*date).min);
                let Some((forecast, observed)) = pair else {
                    continue;
                };
                self.pending.entry(*date).or_default().push(Verified {
                    date: *date,
                    lead,
                    members: members(day),
                    forecast,
                    observed,
                    truth: Truth::Record,
                });
            }
        }
    }

    /// The skill as it is known on a day.
    pub(super) fn skill(&mut self, weather: &Weather<'_>, today: NaiveDate) -> Skill {
        let prior = self.prior.skill(&weather.climate.min, today);
        if !self.learns {
            return prior;
        }
        let recent = self
            .learned
            .as_ref()
            .filter(|(learned_on, _)| (today - *learned_on).num_days() < LESSON_DAYS);
        if let Some((_, skill)) = recent {
            return skill.clone();
        }
        let to_come = self.pending.split_off(&after(today, 1));
        let due = std::mem::replace(&mut self.pending, to_come);
        self.verified.extend(due.into_values().flatten());
        let skill = prior.learned(&self.verified, weather.climate, today);
        self.learned = Some((today, skill.clone()));
        skill
    }
}
