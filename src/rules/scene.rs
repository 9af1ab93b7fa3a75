//! A made-up cut on a made-up plant for the rules' own tests: the middle of zone 7, no record, no forecast.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::NaiveDate;

use super::{Case, Finding, Stand};
use crate::almanac::{
    Cut, CutKind, Habit, HardCut, HardyZones, Kind, MonthDay, Pace, Season, Tender, Wood, ZoneDates,
};
use crate::events::{Ground, Seasons};
use crate::forecast::{ForecastDay, LocalWarning};
use crate::garden::{Choices, Deed, Hemisphere, Mark, Place, PlannedCut, Planting, Spot, Zone};
use crate::outlook::{Daily, Horizon, MeasuredDays, Outlook, Skill};
use crate::units::{Celsius, CelsiusStep, Chance};

/// All that a case refers to.
#[derive(Debug)]
pub(super) struct Scene {
    pub(super) kind: Kind,
    pub(super) cut: CutKind,
    pub(super) season: Season,
    pub(super) today: NaiveDate,
    pub(super) hemisphere: Hemisphere,
    pub(super) choices: Choices,
    pub(super) planting: Planting,
    pub(super) days: BTreeMap<NaiveDate, ForecastDay>,
    pub(super) deeds: Vec<Deed>,
    pub(super) tender: Option<Tender>,
    pub(super) warnings: Vec<LocalWarning>,
}

pub(super) fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn dates(from: (u32, u32), to: (u32, u32)) -> ZoneDates {
    let on = |(month, day)| MonthDay { month, day };
    ZoneDates {
        from: on(from),
        to: on(to),
        days_per_zone: 7,
    }
}

/// A plant with buds on 1 April, flowers in May, leaves out on 10 May and down on 10 November.
fn kind(botanical: &str, habit: Habit) -> Kind {
    Kind {
        id: "made-up".to_owned(),
        botanical: botanical.to_owned(),
        common: "made-up plant".to_owned(),
        also: Vec::new(),
        habit,
        wood: Wood::Old,
        zones: HardyZones {
            coldest: 4,
            warmest: 9,
        },
        bloom: Some(dates((5, 1), (5, 25))),
        bud_set: None,
        bud_break: Some(dates((4, 1), (4, 15))),
        full_leaf: Some(dates((5, 10), (5, 20))),
        flush_end: None,
        leaf_fall: Some(dates((11, 10), (11, 30))),
        heat: Vec::new(),
        pace: Pace::Medium,
        hard_cut: HardCut::Staged,
        share_max: 33,
        holds: Vec::new(),
        diseases: Vec::new(),
        wildlife: Vec::new(),
        sap: Vec::new(),
        hygiene: None,
        needs_no_cut: None,
        cautions: Vec::new(),
        cuts: Vec::new(),
        sources: Vec::new(),
    }
}

impl Scene {
    /// A cut of a plant that bears it at any time, in the Ohio valley.
    pub(super) fn of(botanical: &str, habit: Habit, cut: CutKind, today: &str) -> Self {
        let zone = Zone::named("America/New_York").unwrap();
        let place = Place::new(38.74, -85.38, None, zone).unwrap();
        Self {
            kind: kind(botanical, habit),
            cut,
            season: Season::AnyTime,
            today: day(today),
            hemisphere: Hemisphere::North,
            choices: Choices::of(&place),
            planting: Planting::named("made-up planting"),
            days: BTreeMap::new(),
            deeds: Vec::new(),
            tender: None,
            warnings: Vec::new(),
        }
    }

    pub(super) fn on(&mut self, today: &str) -> &mut Self {
        self.today = day(today);
        self
    }

    pub(super) fn mark(&mut self, mark: Mark) -> &mut Self {
        self.planting.marks.insert(mark);
        self
    }

    /// Forecast days from one on, each with a maximum in °C.
    pub(super) fn maxima(&mut self, from: &str, maxima: &[f64]) -> &mut Self {
        let days = day(from).iter_days().zip(maxima);
        self.days = days
            .map(|(date, max)| {
                let run = Some((Celsius::new(max - 10.0), Celsius::new(*max)));
                let members = Vec::new();
                (date, ForecastDay { run, members })
            })
            .collect();
        self
    }

    pub(super) fn did(&mut self, cut: CutKind, on: &str, share: Option<u8>) -> &mut Self {
        self.deeds.push(Deed {
            cut: format!("made-up-planting-{}", cut.name()),
            planting: self.planting.name.clone(),
            on: day(on),
            share,
            note: None,
        });
        self
    }

    /// What a rule finds.
    pub(super) fn find(&self, rule: fn(&Case<'_>) -> Option<Finding>) -> Option<Finding> {
        let cut = Cut {
            cut: self.cut,
            season: self.season,
            outside: None,
            tender: self.tender.clone(),
            how: "With care.".to_owned(),
            source: "test".to_owned(),
        };
        let planned = PlannedCut {
            name: format!("made-up-planting-{}", self.cut.name()),
            planting: self.planting.name.clone(),
            facts: Arc::new(self.planting.clone()),
            kind: Arc::new(self.kind.clone()),
            cut: Arc::new(cut),
            spot: Spot {
                name: "garden".to_owned(),
                offset: CelsiusStep::default(),
                doubt: CelsiusStep::new(1.0),
            },
            wished: None,
            tolerance: Chance::of(0.1),
        };
        let measured = MeasuredDays::new();
        let none = Daily::none(self.today);
        let outlook = Outlook::of_days(&none, None, &Skill::default(), Horizon::YEAR);
        let ground = Ground {
            outlook: &outlook,
            climate: None,
            measured: &measured,
            hemisphere: self.hemisphere,
        };
        let seasons = Seasons::of(&ground, &[&planned.kind]);
        rule(&Case {
            cut: &planned,
            at: self.today.and_hms_opt(12, 0, 0).unwrap().and_utc(),
            today: self.today,
            hemisphere: self.hemisphere,
            climate: None,
            risk: None,
            events: &seasons.events(&planned.kind, &[]),
            season_before: None,
            before: None,
            choices: &self.choices,
            planting: &self.planting,
            days: &self.days,
            measured: &measured,
            deeds: &self.deeds,
            work: None,
            warnings: &self.warnings,
        })
    }

    /// What a rule says to the cut; clear where it finds nothing.
    pub(super) fn stand(&self, rule: fn(&Case<'_>) -> Option<Finding>) -> Stand {
        let finding = self.find(rule);
        finding.map_or(Stand::Clear { until: None }, |finding| finding.stand)
    }
}

/// Whether a stand lets the cut be made.
pub(super) fn is_clear(stand: &Stand) -> bool {
    matches!(stand, Stand::Clear { .. })
}
