//! Seasons walked day by day under a forecast that swings: no window flips.

use budward::almanac::{CutKind, Event, Kind, embedded};
use budward::climate::Climate;
use budward::events::Events;
use budward::forecast::ForecastDay;
use budward::garden::{Hemisphere, PlannedCut, Planting, Sighting, Spot};
use budward::outlook::{Daily, Horizon, MeasuredDays, Outlook, Skill};
use budward::risk::DateRange;
use budward::rules::{Case, Facts, Stand, findings};
use budward::units::{Celsius, CelsiusStep, Chance};
use chrono::{Days, NaiveDate};

use super::{Known, day, kind, seen, toronto};
use crate::support::Quiet;

/// The last days of the record, walked; past years before them, few so that it is quick.
const YEARS_FROM: &str = "1992-01-01";

struct Walk {
    known: Known,
    days: MeasuredDays,
}

impl Walk {
    fn new() -> Self {
        let record = toronto();
        let before = record.between(day(YEARS_FROM), day("2001-12-31")).unwrap();
        Self {
            known: Known {
                climate: Climate::of(&before).unwrap(),
                measured: MeasuredDays::new(),
                hemisphere: Hemisphere::North,
            },
            days: record
                .days()
                .filter_map(|(date, day)| Some((date, day.min.zip(day.max)?)))
                .collect(),
        }
    }

    /// What is known on a day: the days before it, and a forecast of a week that is 4 K too warm or too cold in turn.
    fn outlook(&mut self, today: NaiveDate, turn: usize) -> Outlook {
        let before = self.days.range(..today);
        self.known.measured = before.map(|(date, day)| (*date, *day)).collect();
        let wrong = if turn.is_multiple_of(2) { 4.0 } else { -4.0 };
        let moved = |t: Celsius| Celsius::new(t.degrees() + wrong);
        let coming = self.days.range(today..today + Days::new(8));
        let coming = coming.map(|(date, (min, max))| {
            let day = ForecastDay {
                run: Some((moved(*min), moved(*max))),
                members: Vec::new(),
            };
            (*date, day)
        });
        let daily = Daily {
            days: coming.collect(),
            ..Daily::none(today)
        };
        let horizon = Horizon {
            cut_days: 200,
            tail_days: 0,
        };
        Outlook::of_days(
            &daily,
            Some(&self.known.climate),
            &Skill::default(),
            horizon,
        )
    }
}

pub(super) fn planned(kind: &Kind, cut: CutKind) -> PlannedCut {
    PlannedCut {
        name: "hedge".to_owned(),
        planting: "hedge".to_owned(),
        facts: Planting::named("hedge").into(),
        kind: kind.clone().into(),
        cut: kind.cut(cut).unwrap().clone(),
        spot: Spot {
            name: "the place itself".to_owned(),
            offset: CelsiusStep::new(0.0),
            doubt: CelsiusStep::new(1.0),
        },
        wished: None,
        tolerance: Chance::of(0.1),
    }
}

/// The season that the rule names on a day, and its stand.
pub(super) fn season(
    planned: &PlannedCut,
    climate: &Climate,
    (today, events): (NaiveDate, &Events),
    season_before: Option<(DateRange, NaiveDate)>,
) -> (Option<DateRange>, Stand) {
    let quiet = Quiet::new();
    let case = Case {
        climate: Some(climate),
        season_before,
        ..quiet.case(planned, events, today)
    };
    let finding = findings(&case)
        .into_iter()
        .find(|finding| matches!(finding.facts, Facts::FloweringWood(_)))
        .unwrap();
    let Facts::FloweringWood(facts) = finding.facts else {
        unreachable!("only those were looked for")
    };
    (facts.season, finding.stand)
}

/// The changes between open and shut of some cuts over days, each with its date.
fn changes(
    cuts: &[PlannedCut],
    (from, to): (&str, &str),
    sightings: &[Sighting],
) -> Vec<Vec<(NaiveDate, bool)>> {
    let mut walk = Walk::new();
    let mut before = vec![None; cuts.len()];
    let mut changes = vec![Vec::<(NaiveDate, bool)>::new(); cuts.len()];
    let days = day(from).iter_days().take_while(|date| *date <= day(to));
    for (turn, today) in days.enumerate() {
        let outlook = walk.outlook(today, turn);
        for (at, cut) in cuts.iter().enumerate() {
            let events = walk.known.events_under(&outlook, &cut.kind, sightings);
            let (range, stand) = season(cut, &walk.known.climate, (today, &events), before[at]);
            let open = matches!(stand, Stand::Clear { .. });
            before[at] = range.map(|range| (range, today));
            if changes[at].last().map(|(_, was)| *was) != Some(open) {
                changes[at].push((today, open));
            }
        }
    }
    changes
}

#[test]
fn a_window_opens_once_and_closes_once_however_the_forecast_swings() {
    let almanac = embedded().unwrap();
    let of = |id: &str, cut| planned(almanac.kind(id).unwrap(), cut);
    let cuts = [
        of("forsythia", CutKind::Renewal),
        of("smooth-hydrangea", CutKind::Renewal),
        of("yew", CutKind::Renewal),
        planned(&kind("common-lilac", Some("234")), CutKind::Renewal),
        planned(&kind("common-lilac", Some("234")), CutKind::Deadhead),
        planned(&kind("forsythia", Some("81")), CutKind::ThinningCut),
    ];
    let changes = changes(&cuts, ("2002-02-01", "2002-07-10"), &[]);
    for (cut, changes) in cuts.iter().zip(&changes) {
        eprintln!("{}: {changes:?}", cut.kind.id);
        let opened = changes.iter().filter(|(_, open)| *open).count();
        assert!(
            opened == 1 && changes.len() <= 3,
            "{}: {changes:?}",
            cut.kind.id
        );
    }
}

#[test]
fn a_window_that_a_report_opened_stays_open() {
    let lilac = planned(&kind("common-lilac", Some("234")), CutKind::Deadhead);
    let seen = [seen(Event::BloomEnd, day("2002-06-01"))];
    let changes = changes(&[lilac], ("2002-05-25", "2002-06-12"), &seen);
    assert_eq!(
        changes[0],
        [(day("2002-05-25"), false), (day("2002-06-01"), true)]
    );
}
