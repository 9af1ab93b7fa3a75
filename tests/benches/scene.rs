//! What the benches look at: a garden of forty cuts, a fortnight of forecast, futures of a made-up place.

use budward::almanac::Tender;
use budward::climate::{Climate, DailyRecord, DayExtremes, Normals, ghcn};
use budward::forecast::{Forecast, Hours};
use budward::garden::{Choices, Garden, LetterTimes, Place, PlannedCut, Planting, Spot, Zone};
use budward::locale::Locale;
use budward::outlook::{Basis, Bound, Futures, Guide, Horizon, MeasuredDays, Outlook, Skill};
use budward::units::{Celsius, CelsiusStep, Chance, UnitSystem, count};
use chrono::{DateTime, Days, NaiveDate, Utc};

const CUTS: usize = 40;

/// Cutting days and further nights of the futures of a made-up place.
const HORIZON: Horizon = Horizon {
    cut_days: 120,
    tail_days: 60,
};

/// The days of a forecast of a made-up place.
const FORECAST_DAYS: usize = 15;

/// When all benches look.
pub(crate) fn now() -> DateTime<Utc> {
    "2027-03-24T13:00:00Z".parse().unwrap()
}

/// The text of a file of `tests/data`.
pub(crate) fn data(path: &str) -> Vec<u8> {
    std::fs::read(format!("{}/tests/data/{path}", env!("CARGO_MANIFEST_DIR"))).unwrap()
}

/// The climate of the station file.
pub(crate) fn climate() -> Climate {
    let text = String::from_utf8(data("ghcn/CA006158350_1969-2003.dly")).unwrap();
    Climate::of(&ghcn::parse(&text).unwrap()).unwrap()
}

/// The record of a made-up place over so many years to the end of 2020.
pub(crate) fn record(years: i32) -> DailyRecord {
    let first = NaiveDate::from_ymd_opt(2021 - years, 1, 1).unwrap();
    let mut weather = Weather::default();
    let days = first
        .iter_days()
        .take_while(|date| *date < NaiveDate::from_ymd_opt(2021, 1, 1).unwrap());
    let days = days.enumerate().map(|(day, _)| {
        let season = (count(day) * std::f64::consts::TAU / 365.25).cos();
        let min = 4.0 - 11.0 * season + 3.0 * weather.next();
        DayExtremes {
            min: Some(Celsius::new(min)),
            max: Some(Celsius::new(min + 11.0)),
        }
    });
    DailyRecord::from_run("made up", first, days.collect()).unwrap()
}

/// Anomalies that go on from day to day, the same in every run.
#[derive(Default)]
struct Weather {
    state: u32,
    anomaly: f64,
}

impl Weather {
    fn next(&mut self) -> f64 {
        // The multiplier and increment of Numerical Recipes, 2nd ed., section 7.1.
        self.state = self
            .state
            .wrapping_mul(1_664_525)
            .wrapping_add(1_013_904_223);
        let even = f64::from(self.state) / f64::from(u32::MAX) - 0.5;
        self.anomaly = 0.7 * self.anomaly + even * 2.4;
        self.anomaly
    }
}

/// What the futures of a made-up place are laid from: members of a fortnight, and past years.
pub(crate) struct Strands {
    guides: [Guide; 2],
    past: Vec<[Vec<f64>; 2]>,
    members: usize,
}

impl Strands {
    pub(crate) fn of(members: usize, years: usize) -> Self {
        let mut weather = Weather::default();
        let normals = |mean| {
            let day = |day: usize| Normals {
                mean: mean + 0.12 * count(day),
                spread: 4.0,
                persistence: 0.7,
            };
            (0..HORIZON.days()).map(day).collect::<Vec<_>>()
        };
        let skill = Skill::default();
        let guides = [2.0, 12.0].map(|mean| {
            let mut day = || {
                let members = (0..members).map(|_| Some(Celsius::new(mean + 3.0 * weather.next())));
                members.collect::<Vec<_>>()
            };
            let days: Vec<_> = (0..=FORECAST_DAYS).map(|_| day()).collect();
            Guide::of(Some(Celsius::new(mean)), &days, &normals(mean), &skill, 1)
        });
        let mut year = || (0..HORIZON.days()).map(|_| weather.next()).collect();
        Self {
            guides,
            past: (0..years).map(|_| [year(), year()]).collect(),
            members,
        }
    }

    /// Every member continued by every past year.
    pub(crate) fn outlook(&self) -> Outlook {
        let futures_many = self.members * self.past.len();
        let mut futures = Futures::with_room(futures_many, HORIZON.days());
        let [by_night, by_noon] = &self.guides;
        let (mut min, mut max) = (Vec::new(), Vec::new());
        for [nights, noons] in &self.past {
            for member in 0..self.members {
                by_night.future(nights, member, &mut min);
                by_noon.future(noons, member, &mut max);
                futures.push(&min, &max);
            }
        }
        Outlook {
            basis: Basis {
                today: now().date_naive(),
                futures: futures.len(),
                years: self.past.len(),
                members: self.members,
                forecast_days: FORECAST_DAYS,
                forecast_from: None,
                forecast_age_hours: None,
                record_from: None,
                record_site: None,
                missing: Vec::new(),
            },
            bound: Bound::Whole,
            horizon: HORIZON,
            midwinter: Some(300),
            coming_nights: Vec::new(),
            leaf: Vec::new(),
            futures,
        }
    }
}

/// The tender period with most parts in the almanac, and a spot.
pub(crate) fn cut() -> (Tender, Spot) {
    let almanac = budward::almanac::embedded().unwrap();
    let cuts = almanac.kinds.iter().flat_map(|kind| &kind.cuts);
    let parts = |tender: &Tender| {
        [
            tender.edges.is_some(),
            tender.growth.is_some(),
            tender.unhardened.is_some(),
        ]
        .iter()
        .filter(|has| **has)
        .count()
    };
    let tender = cuts.filter_map(|cut| cut.tender.clone()).max_by_key(parts);
    (tender.unwrap(), spot("open", -1.0))
}

fn spot(name: &str, offset: f64) -> Spot {
    Spot {
        name: name.to_owned(),
        offset: CelsiusStep::new(offset),
        doubt: CelsiusStep::new(1.0),
    }
}

/// Forty cuts: the almanac's tender ones in turn, on so many spots.
pub(crate) fn garden(spots: usize) -> Garden {
    let almanac = budward::almanac::embedded().unwrap();
    let kinds = almanac
        .kinds
        .iter()
        .flat_map(|kind| kind.cuts.iter().map(move |cut| (kind, cut)));
    let cuts = kinds
        .filter(|(_, cut)| cut.tender.is_some())
        .cycle()
        .take(CUTS)
        .enumerate()
        .map(|(n, (kind, cut))| PlannedCut {
            name: format!("cut-{n}"),
            planting: kind.common.clone(),
            facts: Planting::named(&kind.common).into(),
            kind: kind.clone(),
            cut: cut.clone(),
            spot: spot(&format!("spot {}", n % spots), [0.0, -1.0, -2.0][n % spots]),
            wished: None,
            tolerance: Chance::of(0.1),
        });
    let zone = Zone::named("America/Toronto").unwrap();
    let place = Place::new(43.67, -79.4, None, zone).unwrap();
    Garden {
        name: "quarry".to_owned(),
        title: "Quarry".to_owned(),
        choices: Choices::of(&place),
        place,
        locale: Locale::english(UnitSystem::Metric),
        mail_to: Vec::new(),
        letters: LetterTimes::USUAL,
        remark: None,
        cuts: cuts.collect(),
        uncut: Vec::new(),
    }
}

/// A fortnight of hours with 31 members.
pub(crate) fn forecast(start: DateTime<Utc>) -> Forecast {
    let hours = |member: u32| Hours {
        start,
        temperature: (0..15 * 24_u32)
            .map(|hour| {
                let wave = (f64::from(hour % 24) / 24.0 * std::f64::consts::TAU).cos();
                Some(Celsius::new(5.0 - 6.0 * wave + f64::from(member) * 0.1))
            })
            .collect(),
    };
    Forecast {
        spans: Vec::new(),
        source: "bench".to_owned(),
        attribution: String::new(),
        data_at: start,
        elevation: None,
        run: hours(0),
        members: (0..31).map(hours).collect(),
        conditions: None,
    }
}

/// The days of the season at hand: those of the record's last years.
pub(crate) fn measured_days(climate: &Climate) -> MeasuredDays {
    let (last, _) = climate.record.days().last().unwrap();
    let days = climate.record.days();
    let days = days.filter_map(|(date, day)| Some((date, day.min.zip(day.max)?)));
    let yesterday = now().date_naive() - Days::new(1);
    days.map(|(date, day)| (date + (yesterday - last), day))
        .filter(|(date, _)| *date > yesterday - Days::new(735))
        .collect()
}
