//! A cut that was made some days ago: which nights were and will be tender, and how dangerous each of them is.
//!
//! The days since the cut are laid before every future, and the nights are those of a cut on the first of these days.

use chrono::{NaiveDate, TimeDelta};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Spread;
use super::doubt::Doubt;
use super::period::{Nights, Shape, YEAR, parts};
use super::sum::{doubt_of, tenths};
use crate::almanac::Tender;
use crate::forecast::Extremes;
use crate::garden::Spot;
use crate::outlook::{Bound, Future, Outlook};
use crate::units::{Celsius, Chance, count};

/// A night counts as tender when it is in so many of the futures: the firmest tenth may be early.
const TENDER_IN: f64 = 0.1;

/// More heat in a day than any growth waits for, in °C·d: a day that was not measured may have been a warm one.
const WARM: f64 = 1000.0;

/// What may be hurt.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Part {
    /// The cut edges.
    Edges,
    /// The growth that the cut forced.
    Growth,
    /// Wood that the cut kept from hardening.
    Wood,
}

/// A coming night in which something is tender.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct NightRisk {
    /// The date of its morning.
    pub date: NaiveDate,
    /// What is tender in it.
    pub tender: Vec<Part>,
    /// The warmest temperature at the plant that does damage then.
    pub damage_at: Celsius,
    /// The forecast's own minimum, with what the spot adds; none where the forecast does not reach.
    pub minimum: Option<Celsius>,
    /// The chance that it does damage.
    pub chance: Chance,
}

/// A night since the cut that did damage.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PastFrost {
    /// The date of its morning.
    pub date: NaiveDate,
    /// How cold it was, with what the spot adds.
    pub minimum: Celsius,
    /// The warmest temperature that did damage then.
    pub damage_at: Celsius,
}

/// What a cut that was made has before it and behind it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct AfterCut {
    /// The coming nights that the forecast informs, and at least the next one, as far as something is tender in them.
    pub nights: Vec<NightRisk>,
    /// The chance that any coming night does damage.
    pub chance: Chance,
    /// How many nights do damage, on average, where any does; 1 where none does.
    pub nights_in_a_hit: f64,
    /// The last tender night; none where nothing is known so far ahead.
    pub firm_by: Option<Spread>,
    /// The measured nights since the cut that did damage.
    pub frosts: Vec<PastFrost>,
    /// How many of the days since the cut were not measured.
    pub unmeasured: usize,
}

/// One part of the tender period in one future: what it is, which nights, from what temperature on.
type Laid = (Part, Nights, Celsius);

impl AfterCut {
    /// Looks at a cut whose days from the cutting day to yesterday are `since`; none for a day that was not measured.
    ///
    /// A day that was not measured may have been as warm as starts the growth and as cold as firms nothing: both make
    /// the tender time longer.
    pub fn of(outlook: &Outlook, tender: &Tender, spot: &Spot, since: &[Option<Extremes>]) -> Self {
        let mut futures: Vec<Future<'_>> = outlook.futures.iter().collect();
        if futures.is_empty() {
            let (min, max) = (&[], &[]);
            futures.push(Future { min, max });
        }
        let past = Past::of(since);
        let ago = past.ago;
        let laid: Vec<Vec<Laid>> = futures
            .iter()
            .map(|future| past.lay(tender, *future, outlook.midwinter))
            .collect();
        let mut sum = Sum::new(near(outlook).min(outlook.days()));
        let doubt = Doubt::of(doubt_of(outlook, spot));
        for (future, laid) in futures.iter().zip(&laid) {
            sum.add(
                &outlook.at_leaf(*future),
                (laid, ago),
                |night, damage_at| doubt.chance((night + spot.offset - damage_at).kelvin()),
            );
        }
        let weight = 1.0 / count(futures.len());
        let chance = sum.any * weight;
        Self {
            nights: nights(outlook, spot, &sum),
            chance: Chance::of(chance),
            nights_in_a_hit: if chance > 0.0 {
                (sum.each * weight / chance).max(1.0)
            } else {
                1.0
            },
            firm_by: firm_by(outlook, &laid, ago),
            frosts: frosts(outlook, spot, &laid, since),
            unmeasured: since.iter().skip(1).filter(|day| day.is_none()).count(),
        }
    }

    /// The chance of one night that takes its share of a tolerance for all of them: 1 - (1 - T)^(1/n), n the nights
    /// that do damage where any does, since cold comes in spells.
    pub fn tolerance_of_a_night(&self, tolerance: Chance) -> Chance {
        Chance::of(1.0 - (1.0 - tolerance.share()).powf(1.0 / self.nights_in_a_hit))
    }

    /// Whether nothing is tender any more after a date; what is not known is not firm.
    pub fn is_firm(&self, today: NaiveDate) -> bool {
        self.firm_by.is_some_and(|firm| firm.late <= today)
    }
}

/// How many days from today on are looked at night by night.
fn near(outlook: &Outlook) -> usize {
    outlook.basis.forecast_days.max(1) + 1
}

/// The days since the cut, laid before a future.
struct Past {
    /// Their heat, added up, as it was measured; a gap is the coldest, or, if there is one, the warmest it may have been.
    heat: Vec<Vec<f64>>,
    /// How many there are.
    ago: usize,
}

impl Past {
    fn of(since: &[Option<Extremes>]) -> Self {
        let filled = |gap: f64| {
            let of_day = |day: &Option<Extremes>| {
                day.map_or(gap, |(min, max)| {
                    let (min, max) = (&[min][..], &[max.max(min)][..]);
                    Future { min, max }.heat().into_iter().sum()
                })
            };
            let mut sum = 0.0;
            let sums = since.iter().map(|day| {
                sum += of_day(day);
                sum
            });
            sums.collect()
        };
        // What came on the cutting day itself counts for nothing.
        let has_gaps = since.iter().skip(1).any(Option::is_none);
        let gaps: &[f64] = if has_gaps { &[0.0, WARM] } else { &[0.0] };
        Self {
            heat: gaps.iter().map(|gap| filled(*gap)).collect(),
            ago: since.len(),
        }
    }

    /// Lays the parts of a tender period over the days since the cut and one future after them.
    fn lay(&self, tender: &Tender, future: Future<'_>, midwinter: Option<usize>) -> Vec<Laid> {
        // A mid-winter that lies between the cut and today is the one that counts.
        let midwinter = midwinter.map(|days| (days + self.ago) % YEAR);
        let coming = future.heat();
        let whole: Vec<Vec<f64>> = self.heat.iter().map(|heat| joined(heat, &coming)).collect();
        let nights = |shape: Shape| {
            let of = |whole: &Vec<f64>| {
                let mut nights = Nights::default();
                shape.lay(whole, midwinter, std::slice::from_mut(&mut nights));
                nights
            };
            // Growth that a warm gap starts is firm no sooner than growth that a cold one holds up.
            let longer = |one: Nights, other: Nights| Nights {
                from: one.from.min(other.from),
                until: one.until.max(other.until),
            };
            whole.iter().map(of).reduce(longer)
        };
        let of = |(shape, damage_at)| Some((Part::of(shape), nights(shape)?, damage_at));
        parts(tender).into_iter().filter_map(of).collect()
    }
}

impl Part {
    const fn of(shape: Shape) -> Self {
        match shape {
            Shape::Edges(_) => Self::Edges,
            Shape::Growth(_) => Self::Growth,
            Shape::Unhardened(_) => Self::Wood,
        }
    }
}

/// The heat sums of the days before and after as those of one run.
fn joined(before: &[f64], after: &[f64]) -> Vec<f64> {
    let sum = before.last().copied().unwrap_or(0.0);
    let after = after.iter().map(|heat| sum + heat);
    before.iter().copied().chain(after).collect()
}

/// One night, summed over the futures.
#[derive(Clone, Default)]
struct NightSum {
    chance: f64,
    /// What is tender, from what temperature on, in how many futures.
    tender: Vec<(Part, Celsius, usize)>,
}

/// What is summed over the futures.
struct Sum {
    /// By night, index 0 is today.
    nights: Vec<NightSum>,
    /// That any night does damage.
    any: f64,
    /// Over all nights, how many do.
    each: f64,
}

impl Sum {
    fn new(days: usize) -> Self {
        Self {
            nights: vec![NightSum::default(); days],
            any: 0.0,
            each: 0.0,
        }
    }

    /// Adds one future, by the chance that a night with such a minimum does damage from such a temperature on.
    fn add(
        &mut self,
        minima: &[Celsius],
        (laid, ago): (&[Laid], usize),
        chance: impl Fn(Celsius, Celsius) -> f64,
    ) {
        let mut any: f64 = 0.0;
        for (index, minimum) in minima.iter().enumerate().skip(1) {
            let mut unseen = NightSum::default();
            let night = self.nights.get_mut(index).unwrap_or(&mut unseen);
            let mut worst: f64 = 0.0;
            for (part, _, damage_at) in laid
                .iter()
                .filter(|(_, nights, _)| nights.hold(index + ago))
            {
                worst = worst.max(chance(*minimum, *damage_at));
                night.note(*part, *damage_at);
            }
            night.chance += worst;
            self.each += worst;
            // The doubt about the spot is shared by all nights, so that the worst of them decides.
            any = any.max(worst);
        }
        self.any += any;
    }
}

impl NightSum {
    fn note(&mut self, part: Part, damage_at: Celsius) {
        match self.tender.iter_mut().find(|(known, _, _)| *known == part) {
            Some((_, _, times)) => *times += 1,
            None => self.tender.push((part, damage_at, 1)),
        }
    }
}

fn nights(outlook: &Outlook, spot: &Spot, sum: &Sum) -> Vec<NightRisk> {
    let weight = outlook.basis.weight();
    let night = |(index, night): (usize, &NightSum)| {
        let often = |(_, _, times): &&(Part, Celsius, usize)| count(*times) * weight >= TENDER_IN;
        let tender: Vec<_> = night.tender.iter().filter(often).collect();
        let damage_at = tender.iter().map(|(_, damage_at, _)| *damage_at);
        let minimum = outlook.coming_at_leaf().nth(index.checked_sub(1)?);
        Some(NightRisk {
            date: outlook.basis.date(index),
            damage_at: damage_at.reduce(Celsius::max)?,
            tender: tender.iter().map(|(part, _, _)| *part).collect(),
            minimum: minimum.map(|night| night + spot.offset),
            chance: Chance::of(night.chance * weight),
        })
    };
    sum.nights.iter().enumerate().filter_map(night).collect()
}

/// When the last night is that something is tender in; none where the futures end before it.
fn firm_by(outlook: &Outlook, laid: &[Vec<Laid>], ago: usize) -> Option<Spread> {
    let end = ago + outlook.days();
    let last_of = |laid: &Vec<Laid>| laid.iter().map(|(_, nights, _)| nights.until).max();
    let mut untils: Vec<usize> = laid.iter().filter_map(last_of).collect();
    untils.sort_unstable();
    let date = |until: usize| {
        // What ends with the futures may as well go on.
        let is_known = until < end || (outlook.bound == Bound::Whole && outlook.days() > 0);
        let days = i64::try_from(until).ok()? - 1 - i64::try_from(ago).ok()?;
        outlook
            .basis
            .today
            .checked_add_signed(TimeDelta::days(days))
            .filter(|_| is_known)
    };
    let [early, middle, late] = tenths(&untils)?;
    Some(Spread {
        early: date(early)?,
        middle: date(middle)?,
        late: date(late)?,
    })
}

/// The measured nights since the cut that did damage. Whether something was tender in them does not depend on what is
/// to come, so that any future tells.
fn frosts(
    outlook: &Outlook,
    spot: &Spot,
    laid: &[Vec<Laid>],
    since: &[Option<Extremes>],
) -> Vec<PastFrost> {
    let Some(laid) = laid.first() else {
        return Vec::new();
    };
    let frost = |(index, day): (usize, &Option<Extremes>)| {
        let minimum = day.as_ref()?.0 + spot.offset;
        let tender = laid.iter().filter(|(_, nights, _)| nights.hold(index));
        let damage_at = tender
            .map(|(_, _, damage_at)| *damage_at)
            .reduce(Celsius::max)?;
        let ago = i64::try_from(since.len() - index).ok()?;
        let date = outlook
            .basis
            .today
            .checked_sub_signed(TimeDelta::days(ago))?;
        (minimum <= damage_at).then_some(PastFrost {
            date,
            minimum,
            damage_at,
        })
    };
    since.iter().enumerate().skip(1).filter_map(frost).collect()
}
