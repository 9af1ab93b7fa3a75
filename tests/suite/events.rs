//! Events from the weather: against a plain sum of another library, in both halves of the earth, at the ends of the earth.

mod everywhere;
mod walk;

use std::path::Path;
use std::sync::Arc;

use budward::almanac::{Event, HeatMethod, HeatSum, Kind, embedded};
use budward::climate::{Climate, DailyRecord, DayExtremes, read_record};
use budward::events::{Counted, EventBasis, Events, Ground, MovedBy, Predicted, Seasons};
use budward::garden::{Hemisphere, Sighting};
use budward::outlook::{Daily, Horizon, MeasuredDays, Outlook, Skill};
use budward::units::{Celsius, DegreeDays};
use chrono::{Datelike, Days, NaiveDate};

use crate::support::{peer_says, project, sample};

pub(crate) fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

pub(crate) fn toronto() -> DailyRecord {
    let file = project().join("tests/data/ghcn/CA006158350_1969-2003.dly");
    read_record(&std::fs::read_to_string(file).unwrap(), "Toronto").unwrap()
}

/// A kind of the almanac that blooms after so many °F·d above 50 °F, or by its months alone.
fn kind(id: &str, first_bloom: Option<&str>) -> Kind {
    let mut kind = Kind::clone(embedded().unwrap().kind(id).unwrap());
    let sum = |fahrenheit: &str| HeatSum {
        event: Event::BloomBegin,
        sum: DegreeDays::new(fahrenheit.parse::<f64>().unwrap() / 1.8),
        base: Celsius::from_fahrenheit(50.0),
        method: HeatMethod::MeanFloored,
        source: "a list".to_owned(),
    };
    kind.heat = first_bloom.map(sum).into_iter().collect();
    kind
}

/// What is known at a place on a day: a record, and the days of another before it.
pub(crate) struct Known {
    pub(crate) climate: Climate,
    pub(crate) measured: MeasuredDays,
    pub(crate) hemisphere: Hemisphere,
}

impl Known {
    fn of(record: &DailyRecord, measured_until: NaiveDate) -> Self {
        let days = record
            .days()
            .filter_map(|(date, day)| Some((date, day.min.zip(day.max)?)));
        Self {
            climate: Climate::of(record).unwrap(),
            measured: days.filter(|(date, _)| *date <= measured_until).collect(),
            hemisphere: Hemisphere::North,
        }
    }

    pub(crate) fn events(&self, kind: &Kind, seen: &[Sighting], today: NaiveDate) -> Events {
        let outlook = Outlook::of_days(
            &Daily::none(today),
            Some(&self.climate),
            &Skill::default(),
            Horizon::YEAR,
        );
        self.events_under(&outlook, kind, seen)
    }

    pub(crate) fn events_under(&self, outlook: &Outlook, kind: &Kind, seen: &[Sighting]) -> Events {
        let seasons = Seasons::of(&self.ground(outlook), &[kind]);
        Arc::unwrap_or_clone(seasons.events(kind, seen))
    }

    fn ground<'a>(&'a self, outlook: &'a Outlook) -> Ground<'a> {
        Ground {
            outlook,
            climate: Some(&self.climate),
            measured: &self.measured,
            hemisphere: self.hemisphere,
        }
    }
}

/// The kinds of the almanac whose first bloom has a published sum above 10 °C (50 °F), each with the sum.
fn bloomers() -> Vec<(Arc<Kind>, f64)> {
    let almanac = embedded().unwrap();
    let bloom = |kind: Arc<Kind>| {
        let is_bloom = |sum: &&HeatSum| {
            sum.event == Event::BloomBegin && (sum.base.degrees() - 10.0).abs() < 1e-9
        };
        let sum = kind.heat.iter().find(is_bloom)?.sum.sum();
        Some((kind, sum))
    };
    let bloomers: Vec<_> = almanac.kinds.into_iter().filter_map(bloom).collect();
    for id in ["forsythia", "common-lilac"] {
        assert!(bloomers.iter().any(|(kind, _)| kind.id == id), "{id}");
    }
    assert!(bloomers.len() >= 7);
    bloomers
}

/// By kind, the days of each year on which its sum is reached, by the peer; none when it is absent.
fn plain_sums(file: &Path, bloomers: &[(Arc<Kind>, f64)]) -> Option<Vec<Vec<(i32, i64)>>> {
    let mut arguments = vec![file.to_string_lossy().into_owned(), "10".to_owned()];
    arguments.extend(bloomers.iter().map(|(_, sum)| sum.to_string()));
    let said = peer_says("degree_days.py", &["numpy"], &arguments)?;
    let years = |(_, sum): &(Arc<Kind>, f64)| {
        let years = said[sum.to_string()].as_object().unwrap().iter();
        let day = |(year, day): (&String, &serde_json::Value)| {
            (year.parse().unwrap(), day.as_i64().unwrap())
        };
        years.map(day).collect()
    };
    Some(bloomers.iter().map(years).collect())
}

/// The day of the year on which each kind blooms in a season, of which the days before today are measured.
fn blooms(
    known: &Known,
    bloomers: &[(Arc<Kind>, f64)],
    today: NaiveDate,
    horizon: Horizon,
) -> Vec<i64> {
    let skill = Skill::default();
    let outlook = Outlook::of_days(&Daily::none(today), Some(&known.climate), &skill, horizon);
    let kinds: Vec<&Kind> = bloomers.iter().map(|(kind, _)| &**kind).collect();
    let seasons = Seasons::of(&known.ground(&outlook), &kinds);
    let start = NaiveDate::from_ymd_opt(today.year(), 1, 1).unwrap();
    let bloom = |kind: &&Kind| {
        let found = first_bloom(&seasons.events(kind, &[]), today.year());
        assert!(
            matches!(found.basis, EventBasis::HeatSum { .. }),
            "{}: {found:?}",
            kind.id
        );
        (found.middle - start).num_days()
    };
    kinds.iter().map(bloom).collect()
}

/// Each published bloom sum of the almanac against the peer's plain sum: in ten years that have passed, where they have
/// to agree to the day, and in the year to come, of which past years alone tell. These are moved to now by their trend,
/// worth some days in thirty years, so that there the middle lies beside the plain median.
fn against_plain_sums(file: &Path) {
    let record = read_record(&std::fs::read_to_string(file).unwrap(), "station").unwrap();
    let last = record.last().year();
    let known = Known::of(&record, record.last());
    let zone = known.climate.hardiness_zone();
    let mut bloomers = bloomers();
    bloomers.retain(|(kind, _)| everywhere::winters(kind, zone));
    assert!(
        bloomers.len() >= 7,
        "few of the kinds winter in zone {zone}"
    );
    let Some(plain) = plain_sums(file, &bloomers) else {
        return;
    };
    let today_alone = Horizon {
        cut_days: 2,
        tail_days: 0,
    };
    let mut wrong = Vec::new();
    let mut compared = 0;
    for year in last - 9..=last {
        let today = NaiveDate::from_ymd_opt(year, 12, 31).unwrap();
        let found = blooms(&known, &bloomers, today, today_alone);
        for (((kind, _), plain), found) in bloomers.iter().zip(&plain).zip(found) {
            // A year with a gap before the bloom has no plain sum.
            let Some((_, expected)) = plain.iter().find(|(of, _)| *of == year) else {
                continue;
            };
            compared += 1;
            if found != *expected {
                wrong.push(format!(
                    "{} {year}: day {found} against {expected}",
                    kind.id
                ));
            }
        }
    }
    assert!(compared >= 50, "only {compared} blooms had a plain sum");
    let ahead = NaiveDate::from_ymd_opt(last + 1, 1, 1).unwrap();
    let found = blooms(&known, &bloomers, ahead, Horizon::YEAR);
    for (((kind, sum), plain), found) in bloomers.iter().zip(&plain).zip(found) {
        let of_climate = plain.iter().filter(|(year, _)| *year > last - 30);
        let mut days: Vec<i64> = of_climate.map(|(_, day)| *day).collect();
        days.sort_unstable();
        let (median, years) = (days[days.len() / 2], days.len());
        eprintln!(
            "{}, {sum} °C·d: day {found} in the year to come, {median} in half of {years} years",
            kind.id
        );
        if (found - median).abs() > 6 {
            wrong.push(format!("{} ahead: day {found} against {median}", kind.id));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn bloom_by_heat_sums_is_that_of_a_plain_sum_in_toronto() {
    against_plain_sums(&project().join("tests/data/ghcn/CA006158350_1969-2003.dly"));
}

#[test]
fn bloom_by_heat_sums_is_that_of_a_plain_sum_in_nebraska() {
    if let Some(file) = sample("open-data/aquacrop/champion_climate.txt") {
        against_plain_sums(&file);
    }
}

fn first_bloom(events: &Events, year: i32) -> Predicted {
    events.in_season(Event::BloomBegin, year).unwrap().clone()
}

fn seen(event: Event, on: NaiveDate) -> Sighting {
    Sighting {
        planting: "hedge".to_owned(),
        event,
        on,
    }
}

/// The same weather half a year later.
fn half_a_year_later(record: &DailyRecord) -> DailyRecord {
    let days = record
        .days()
        .map(|(date, day)| (date + Days::new(181), day));
    DailyRecord::from_days("in the south", days).unwrap()
}

#[test]
fn the_south_has_the_same_events_half_a_year_later() {
    let kind = kind("common-lilac", Some("234"));
    let record = toronto();
    let known = Known::of(&record, day("2003-04-20"));
    let north = known.events(&kind, &[], day("2003-04-21"));
    let mut known = Known::of(&half_a_year_later(&record), day("2003-10-18"));
    known.hemisphere = Hemisphere::South;
    let south = known.events(&kind, &[], day("2003-10-19"));
    // 1 July is day 181 of the year.
    for event in [Event::BloomBegin, Event::LastFreeze, Event::WarmSpell] {
        let of = |events: &Events| events.in_season(event, 2003).unwrap().clone();
        let (north, south) = (of(&north), of(&south));
        for (a, b) in [
            (north.early, south.early),
            (north.middle, south.middle),
            (north.late, south.late),
        ] {
            let apart = (b - a).num_days() - 181;
            assert!(apart.abs() <= 2, "{event:?}: {a} and {b}");
        }
    }
    // The first freeze of autumn 2003 is that of the southern autumn of 2004.
    let freeze = south.in_season(Event::FirstFreeze, 2003).unwrap();
    assert!(
        freeze.middle > day("2004-03-01") && freeze.middle < day("2004-05-31"),
        "{freeze:?}"
    );
}

/// Years of the same weather: a wave of the year about a mean, and nights so much colder than days.
pub(crate) fn made_up(mean: f64, wave: f64) -> DailyRecord {
    let days = day("1990-01-01")
        .iter_days()
        .take_while(|date| *date <= day("2002-12-31"))
        .map(|date| {
            let turn = f64::from(date.ordinal0()) / 365.25 * std::f64::consts::TAU;
            let other = f64::from(date.num_days_from_ce() % 1000 * 79 % 11) - 5.0;
            let middle = mean - wave * (turn - 0.3).cos() + 0.3 * other;
            let at = |step: f64| Some(Celsius::new(middle + step));
            (
                date,
                DayExtremes {
                    min: at(-5.0),
                    max: at(5.0),
                },
            )
        });
    DailyRecord::from_days("made up", days).unwrap()
}

#[test]
fn where_it_never_freezes_no_freeze_bounds_a_season() {
    let known = Known::of(&made_up(26.0, 4.0), day("2003-01-01"));
    let events = known.events(&kind("boxwood", None), &[], day("2003-05-01"));
    for (event, on) in [
        (Event::LastFreeze, "2003-01-01"),
        (Event::FirstFreeze, "2004-01-15"),
        (Event::HardFrost, "2004-01-15"),
    ] {
        let found = events.in_season(event, 2003).unwrap();
        assert_eq!(
            (found.middle, &found.basis),
            (day(on), &EventBasis::NoFreeze)
        );
    }
}

#[test]
fn where_nothing_grows_the_months_stand_unmoved() {
    let known = Known::of(&made_up(-12.0, 10.0), day("2003-01-01"));
    let kind = kind("forsythia", Some("81"));
    let events = known.events(&kind, &[], day("2003-05-01"));
    for event in [Event::BloomBegin, Event::BudBreak, Event::WarmSpell] {
        let found = events.in_season(event, 2003).unwrap();
        let unmoved = EventBasis::ZoneMonths {
            moved_days: 0,
            moved_by: MovedBy::Nothing,
        };
        assert_eq!(found.basis, unmoved, "{event:?}");
        assert!(found.early == found.late);
    }
}

#[test]
fn where_winters_are_mild_published_sums_are_not_counted() {
    // As warm as Córdoba: the sum of forsythia would be reached in the first week of January.
    let known = Known::of(&made_up(18.0, 9.0), day("2003-01-01"));
    let bloom = first_bloom(
        &known.events(&kind("forsythia", Some("81")), &[], day("2003-02-01")),
        2003,
    );
    assert!(
        matches!(bloom.basis, EventBasis::ZoneMonths { .. }),
        "{bloom:?}"
    );
}

#[test]
fn what_the_keeper_saw_rules_and_moves_what_follows() {
    let known = Known::of(&toronto(), day("2003-05-19"));
    let kind = kind("common-lilac", Some("234"));
    let today = day("2003-05-20");
    let counted = known.events(&kind, &[], today);
    let on = day("2003-05-12");
    let reported = known.events(&kind, &[seen(Event::BloomBegin, on)], today);
    let bloom = first_bloom(&reported, 2003);
    assert_eq!(
        (bloom.early, bloom.late, bloom.basis),
        (on, on, EventBasis::Seen)
    );
    let ahead = (first_bloom(&counted, 2003).middle - on).num_days();
    assert!(ahead > 5, "{ahead}");
    let end = |events: &Events| events.in_season(Event::BloomEnd, 2003).unwrap().middle;
    let moved = (end(&counted) - end(&reported)).num_days();
    assert!(0 < moved && moved <= ahead, "{moved} of {ahead}");
    // Next season is not this one, and a report from the future is none.
    assert_eq!(first_bloom(&reported, 2004), first_bloom(&counted, 2004));
    let later = [seen(Event::BloomBegin, day("2003-05-25"))];
    assert_eq!(known.events(&kind, &later, today), counted);
}

#[test]
fn days_that_are_not_measured_are_told_and_leave_the_date_open() {
    let kind = kind("common-lilac", Some("234"));
    let today = day("2003-06-30");
    let width = |until: &str| {
        let known = Known::of(&toronto(), day(until));
        let bloom = first_bloom(&known.events(&kind, &[], today), 2003);
        let EventBasis::HeatSum { counted, .. } = bloom.basis else {
            panic!("{bloom:?}");
        };
        ((bloom.late - bloom.early).num_days(), counted)
    };
    let (passed, whole) = (180, 180);
    let (measured, counted) = width("2003-06-29");
    assert_eq!(
        counted,
        Counted {
            passed,
            measured: whole
        }
    );
    assert_eq!(measured, 0);
    // The record ends with March: past years stand in, each in some of the futures.
    let (open, counted) = width("2003-03-31");
    assert_eq!(
        counted,
        Counted {
            passed,
            measured: 90
        }
    );
    assert!((10..40).contains(&open), "{open}");
}

#[test]
fn a_warm_spring_moves_the_months_ahead_and_a_cold_one_back() {
    let kind: Arc<Kind> = Arc::new(kind("boxwood", None));
    let moved = |shift: f64| {
        let mut known = Known::of(&toronto(), day("2003-04-20"));
        for (date, (min, max)) in &mut known.measured {
            if *date >= day("2003-01-01") {
                let warmer = |t: &Celsius| Celsius::new(t.degrees() + shift);
                (*min, *max) = (warmer(min), warmer(max));
            }
        }
        let events = known.events(&kind, &[], day("2003-04-21"));
        let found = events.in_season(Event::BudBreak, 2003).unwrap().clone();
        let EventBasis::ZoneMonths {
            moved_days,
            moved_by: MovedBy::Heat { .. },
        } = found.basis
        else {
            panic!("{found:?}");
        };
        moved_days
    };
    let (cold, warm) = (moved(-4.0), moved(5.0));
    assert!((1..=21).contains(&cold), "{cold}");
    assert!((-21..=-1).contains(&warm), "{warm}");
}
