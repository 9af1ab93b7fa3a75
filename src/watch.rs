//! Beside the verdict: the plants on which a cut was made, until what it left tender is firm.
//!
//! In: the cuts that were made, the outlook, the days since as they were measured. Out: a [`Watch`] on each, with its
//! nights and its end. Does not know what was said, and judges no cut that is still to be made.

use std::collections::BTreeMap;

use chrono::{Days, NaiveDate};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::almanac::CutKind;
use crate::forecast::Extremes;
use crate::garden::{Deed, Garden, PlannedCut};
use crate::outlook::{Basis, Outlook};
use crate::risk::{AfterCut, NightRisk};
use crate::units::Chance;

/// A cut longer ago than this is watched no more: an autumn cut is firm in the summer after (estimate).
const WATCHED_DAYS_MAX: i64 = 270;

/// So many days after its end a watch still looks back: the last nights are measured late.
const LOOK_BACK_DAYS: u64 = 3;

/// One cut under watch.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Watch {
    /// The cut that was made.
    pub deed: Deed,
    /// Which kind of cut it was.
    pub cut_kind: CutKind,
    /// The kind of plant, by its name in the almanac.
    pub kind: String,
    /// Where the figures of its tender time come from.
    pub source: String,
    /// What lies before it and behind it.
    #[serde(flatten)]
    pub after: AfterCut,
    /// The chance of damage that the keeper accepts over the whole tender time.
    pub tolerance: Chance,
    /// Its share for one night.
    pub tolerance_of_a_night: Chance,
    /// What the chances rest on.
    pub basis: Basis,
}

/// Why a night threatens.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Threat {
    /// The forecast itself has it as cold as does damage.
    Forecast,
    /// More ways the weather can go bring damage than one night's share of what the keeper accepts.
    Chance,
    /// No forecast reaches the night, and by the past years alone it brings more danger than all of what is accepted.
    PastYears,
}

/// The watches of a garden, in its order: the last time that each cut was made, while something of it is tender.
pub fn watches(
    garden: &Garden,
    deeds: &[Deed],
    outlook: (&Outlook, &Basis),
    measured: &BTreeMap<NaiveDate, Extremes>,
) -> Vec<Watch> {
    let last = |cut: &PlannedCut| {
        let made = deeds
            .iter()
            .filter(|deed| deed.cut == cut.name && deed.on <= outlook.1.today);
        made.max_by_key(|deed| deed.on)
    };
    let watch = |cut: &PlannedCut| Watch::on(cut, last(cut)?, outlook, measured);
    garden.cuts.iter().filter_map(watch).collect()
}

impl Watch {
    /// The watch on a cut that was made; none when it left nothing tender or all of that is firm.
    fn on(
        cut: &PlannedCut,
        deed: &Deed,
        (outlook, basis): (&Outlook, &Basis),
        measured: &BTreeMap<NaiveDate, Extremes>,
    ) -> Option<Self> {
        let tender = cut.cut.tender.as_ref()?;
        let today = basis.today;
        if (today - deed.on).num_days() > WATCHED_DAYS_MAX {
            return None;
        }
        let days = deed.on.iter_days().take_while(|day| *day < today);
        let since: Vec<Option<Extremes>> = days.map(|day| measured.get(&day).copied()).collect();
        let after = AfterCut::of(outlook, tender, &cut.spot, &since);
        if after.is_firm(today.checked_sub_days(Days::new(LOOK_BACK_DAYS))?) {
            return None;
        }
        Some(Self {
            deed: deed.clone(),
            cut_kind: cut.cut_kind(),
            kind: cut.kind.id.clone(),
            source: tender.source.clone(),
            tolerance: cut.tolerance,
            tolerance_of_a_night: after.tolerance_of_a_night(cut.tolerance),
            after,
            basis: basis.clone(),
        })
    }

    /// The coming night, if something is tender in it.
    pub fn tonight(&self) -> Option<&NightRisk> {
        self.night(self.basis.today.succ_opt()?)
    }

    /// The coming night to a date, if something is tender in it.
    pub fn night(&self, date: NaiveDate) -> Option<&NightRisk> {
        self.after.nights.iter().find(|night| night.date == date)
    }

    /// Whether a night threatens what is tender, and why.
    pub fn threat(&self, night: &NightRisk) -> Option<Threat> {
        match night.minimum {
            Some(minimum) if minimum <= night.damage_at => Some(Threat::Forecast),
            Some(_) => {
                (night.chance.share() > self.tolerance_of_a_night.share()).then_some(Threat::Chance)
            }
            None => (night.chance.share() > self.tolerance.share()).then_some(Threat::PastYears),
        }
    }

    /// Whether the coming night finds anything tender.
    pub fn is_over(&self) -> bool {
        self.after.is_firm(self.basis.today)
    }
}
