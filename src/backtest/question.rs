//! What is asked on a decision day, and what the record answers afterwards.

use chrono::{Days, NaiveDate};

use crate::almanac::{Cut, Edges, Kind, Tender};
use crate::climate::freeze::TOLERANCE;
use crate::climate::{DailyRecord, DayExtremes};
use crate::garden::Spot;
use crate::outlook::{Basis, Bound, Horizon, Outlook};
use crate::risk::Risk;
use crate::units::{Celsius, CelsiusStep, Chance};

/// Will frost catch a cut made today?
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// In words, after "Will there be".
    pub words: String,
    /// The tender period.
    pub tender: Tender,
    /// The warmest night that counts.
    pub limit: Celsius,
    /// Days after the decision day that can matter.
    pub reach: usize,
    /// Nights asked about, where the question is of nights alone.
    pub nights: Option<u32>,
    /// How far the place may differ from the record, as a standard deviation.
    pub doubt: CelsiusStep,
}

impl Question {
    /// Whether one of the coming nights is as cold as a limit or colder.
    pub fn nights(at_or_below: Celsius, nights: u32) -> Self {
        Self {
            words: format!(
                "a night at or below {:.1} °C ({:.0} °F) within the next {nights} nights",
                at_or_below.degrees(),
                at_or_below.fahrenheit()
            ),
            tender: of_nights(at_or_below + TOLERANCE, nights),
            limit: at_or_below,
            reach: usize::try_from(nights).unwrap_or(usize::MAX),
            nights: Some(nights),
            doubt: CelsiusStep::default(),
        }
    }

    /// Whether frost falls into the tender period of a cut; none when the cut leaves nothing tender.
    pub fn cut(kind: &Kind, cut: &Cut, doubt: CelsiusStep) -> Option<Self> {
        let tender = cut.tender.clone()?;
        let limits = [
            tender.edges.map(|edges| edges.damage_at),
            tender.growth.map(|growth| growth.damage_at),
            tender.unhardened.map(|wood| wood.damage_at),
        ];
        let limit = limits.into_iter().flatten().reduce(Celsius::max)?;
        let of_edges = tender
            .edges
            .map_or(0, |edges| usize::try_from(edges.days).unwrap_or(0));
        let reach = if tender.growth.is_some() || tender.unhardened.is_some() {
            Horizon::YEAR.tail_days.max(of_edges)
        } else {
            of_edges
        };
        Some(Self {
            words: format!(
                "frost in the tender period of {} after its {} ({})",
                kind.common,
                cut.cut.name(),
                tender.class
            ),
            tender,
            limit,
            reach,
            nights: None,
            doubt,
        })
    }

    /// The part of a question of nights that is left once some of them are over; none when nothing is left.
    pub(super) fn after_nights(&self, over: u32) -> Option<Tender> {
        let left = self.nights?.checked_sub(over).filter(|left| *left > 0)?;
        Some(of_nights(self.limit + TOLERANCE, left))
    }

    /// The place as it is forecast for.
    pub(super) fn spot(&self) -> Spot {
        spot(self.doubt)
    }

    /// What the record says of a cut made on a day; none where gaps or the record's end leave it open.
    ///
    /// `midwinter` counts the days to the usual year's coldest day, where the tender period needs it.
    pub fn answer(
        &self,
        record: &DailyRecord,
        day: NaiveDate,
        midwinter: Option<usize>,
    ) -> Option<bool> {
        let needs_heat = self.tender.growth.is_some();
        let known: Vec<(Celsius, Celsius)> = day
            .iter_days()
            .take(self.reach.saturating_add(1))
            .enumerate()
            .map_while(|(index, date)| {
                let DayExtremes { min, max } = record.day(date);
                // The morning of the decision day is over; only its heat counts.
                let night = if index == 0 { min.or(max) } else { min };
                let noon = if needs_heat { max } else { max.or(night) };
                night.zip(noon)
            })
            .collect();
        let (nights, noons): (Vec<Celsius>, Vec<Celsius>) = known.into_iter().unzip();
        let days = nights.len();
        let risk = Risk::of(
            &one_future(day, midwinter, (nights, noons)),
            &self.tender,
            &spot(CelsiusStep::default()),
            Chance::of(0.5),
        );
        let hit = risk.today().share() > 0.5;
        let last_tender = risk
            .firm_by
            .and_then(|firm| usize::try_from((firm.late - day).num_days()).ok());
        let is_whole = days > self.reach || last_tender.is_some_and(|tender| tender + 1 < days);
        (days > 0 && (hit || is_whole)).then_some(hit)
    }
}

fn of_nights(damage_at: Celsius, days: u32) -> Tender {
    Tender {
        class: "nights".to_owned(),
        why: "asked of the nights alone".to_owned(),
        edges: Some(Edges { days, damage_at }),
        growth: None,
        unhardened: None,
        source: "the question itself".to_owned(),
    }
}

fn spot(doubt: CelsiusStep) -> Spot {
    Spot {
        name: "the station".to_owned(),
        offset: CelsiusStep::default(),
        doubt,
    }
}

/// An outlook that knows what came.
fn one_future(
    today: NaiveDate,
    midwinter: Option<usize>,
    future: (Vec<Celsius>, Vec<Celsius>),
) -> Outlook {
    let tail_days = future.0.len().saturating_sub(1);
    Outlook {
        basis: Basis {
            today,
            futures: 1,
            years: 0,
            members: 0,
            forecast_days: 0,
            forecast_from: None,
            forecast_age_hours: None,
            record_from: None,
            record_site: None,
            missing: Vec::new(),
        },
        bound: Bound::Whole,
        horizon: Horizon {
            cut_days: 1,
            tail_days,
        },
        midwinter,
        coming_nights: Vec::new(),
        leaf: Vec::new(),
        futures: std::iter::once(future).collect(),
    }
}

/// The date so many days after another.
pub(super) fn after(date: NaiveDate, days: usize) -> NaiveDate {
    u64::try_from(days)
        .ok()
        .and_then(|days| date.checked_add_days(Days::new(days)))
        .unwrap_or(date)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(n: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2001, 4, n).unwrap()
    }

    /// Minima from 1 April on; maxima are 10 K higher.
    fn record(minima: &[Option<f64>]) -> DailyRecord {
        let days = (1..).zip(minima).map(|(n, min)| {
            let extremes = DayExtremes {
                min: min.map(Celsius::new),
                max: min.map(|min| Celsius::new(min + 10.0)),
            };
            (day(n), extremes)
        });
        DailyRecord::from_days("test", days).unwrap()
    }

    fn three_nights() -> Question {
        Question::nights(Celsius::from_fahrenheit(28.0), 3)
    }

    #[test]
    fn the_coming_nights_count_and_this_morning_does_not() {
        let record = record(&[-9.0, 1.0, 1.0, 1.0, -2.2, 5.0].map(Some));
        let answers = [1, 2, 3, 4, 5].map(|n| three_nights().answer(&record, day(n), None));
        assert_eq!(
            answers,
            [Some(false), Some(true), Some(true), Some(true), None]
        );
    }

    #[test]
    fn a_gap_leaves_the_answer_open_unless_the_frost_came_before_it() {
        let record = record(&[Some(1.0), Some(-5.0), None, Some(1.0), Some(1.0), Some(1.0)]);
        let answers = [1, 2, 3].map(|n| three_nights().answer(&record, day(n), None));
        assert_eq!(answers, [Some(true), None, None]);
        assert_eq!(three_nights().answer(&record, day(20), None), None);
    }

    #[test]
    fn a_cut_is_asked_by_its_own_tender_period() {
        let almanac = crate::almanac::embedded().unwrap();
        let box_ = almanac.kind("boxwood").unwrap();
        let shear = box_.cut(crate::almanac::CutKind::Shear).unwrap();
        let question = Question::cut(box_, shear, CelsiusStep::new(1.0)).unwrap();
        let warm = record(&[Some(12.0); 30]);
        // Heat of 12 to 22 °C above 5 °C is 12 a day: whether the growth is firm within 30 days is the class's affair,
        // but no night of them is a frost.
        assert_ne!(question.answer(&warm, day(1), None), Some(true));
        let mut cold = [Some(12.0); 30];
        cold[20] = Some(-12.0);
        assert_eq!(question.answer(&record(&cold), day(1), None), Some(true));
    }
}
