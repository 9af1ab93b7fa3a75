//! The invented yard: one planting and one cut, looked at twice in an invented climate.

use std::path::Path;
use std::sync::OnceLock;

use budward::almanac::embedded;
use budward::climate::{Climate, DailyRecord, DayExtremes};
use budward::config::Settings;
use budward::forecast::{FRESH_FOR, Forecast, Hours};
use budward::garden::{Choices, Deed, Garden};
use budward::outlook::{MeasuredDays, Skill};
use budward::units::Celsius;
use budward::verdict::{Footing, Sky, State, Verdict, assess};
use chrono::{DateTime, Datelike, Days, NaiveDate, TimeDelta, Utc};

/// Mean of the night minima over the year, half the way from winter to summer nights, day over night: in K and °C.
const NIGHT_MEAN: f64 = 8.0;
const HALF_RANGE: f64 = 12.0;
const DAY_OVER_NIGHT: f64 = 11.0;

/// Spread from day to day in K, and what of it lasts to the next day.
const SPREAD: f64 = 4.0;
const PERSISTENCE: f64 = 0.7;

/// One planting with one cut.
pub(super) struct Yard {
    garden: Garden,
    /// What was done to the planting.
    pub(super) deeds: Vec<Deed>,
    /// How much warmer than usual the forecast is, in K.
    pub(super) anomaly: f64,
}

pub(super) fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn usual_night(date: NaiveDate) -> f64 {
    let phase = std::f64::consts::TAU * (f64::from(date.ordinal()) - 20.0) / 365.25;
    NIGHT_MEAN - HALF_RANGE * phase.cos()
}

/// Thirty invented years, zone 7, to the end of 2025.
fn climate() -> &'static Climate {
    static CLIMATE: OnceLock<Climate> = OnceLock::new();
    CLIMATE.get_or_init(|| {
        let mut state = 7_u64;
        let mut share = || {
            // Knuth, The Art of Computer Programming 2, 3.3.4, table 1.
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            f64::from(u32::try_from(state >> 32).unwrap()) / f64::from(u32::MAX)
        };
        let mut anomaly = 0.0;
        let days = day("1996-01-01")
            .iter_days()
            .take_while(|date| date.year() < 2026);
        let days = days.map(|date| {
            let normal = (0..12).map(|_| share()).sum::<f64>() - 6.0;
            anomaly = PERSISTENCE * anomaly + (1.0 - PERSISTENCE * PERSISTENCE).sqrt() * normal;
            let min = usual_night(date) + SPREAD * anomaly;
            let extremes = DayExtremes {
                min: Some(Celsius::new(min)),
                max: Some(Celsius::new(min + DAY_OVER_NIGHT)),
            };
            (date, extremes)
        });
        let record = DailyRecord::from_days("invented weather", days.collect::<Vec<_>>()).unwrap();
        Climate::of(&record).unwrap()
    })
}

fn settings(plant: &str, cut: &str) -> Option<Settings> {
    let text = format!(
        "[mail]\nfrom = \"yard@example.org\"\nfolder = \"out\"\n[[garden]]\nname = \"yard\"\nlatitude = 38.74\n\
         longitude = -85.38\ntime_zone = \"America/New_York\"\nunits = \"us\"\nmail_to = \"a@example.org\"\n\
         [garden.forecast]\nsource = \"files\"\nforecast = \"none.json\"\n[garden.history]\nsource = \"none\"\n\
         [[garden.plant]]\nname = \"planting\"\n{plant}\n[[garden.plant.cut]]\ncut = \"{cut}\"\n"
    );
    let almanac = embedded().unwrap();
    match Settings::parse(&text, Path::new("yard.toml"), &almanac, &|_| None) {
        Ok(settings) => Some(settings),
        Err(errors) => {
            eprintln!("{errors}");
            None
        }
    }
}

impl Yard {
    /// A yard with a plant, as the garden file tells of it, and a cut.
    pub(super) fn of(plant: &str, cut: &str) -> Self {
        let settings = settings(plant, cut).unwrap();
        Self {
            garden: settings.gardens[0].garden.clone(),
            deeds: Vec::new(),
            anomaly: 0.0,
        }
    }

    /// Whether the plant does not take the cut.
    pub(super) fn refused(plant: &str, cut: &str) -> bool {
        settings(plant, cut).is_none()
    }

    pub(super) fn choices(&mut self) -> &mut Choices {
        &mut self.garden.choices
    }

    /// How the cut is done.
    pub(super) fn how(&self) -> &str {
        &self.garden.cuts[0].cut.how
    }

    pub(super) fn state(&self, today: &str) -> State {
        self.verdict(today).state
    }

    /// The verdict at noon, after a look on the day before.
    pub(super) fn verdict(&self, today: &str) -> Verdict {
        let now = day(today).and_hms_opt(16, 0, 0).unwrap().and_utc();
        let before = self.look(&[], now - TimeDelta::days(1));
        self.look(&before, now).remove(0)
    }

    fn look(&self, before: &[Verdict], now: DateTime<Utc>) -> Vec<Verdict> {
        let climate = climate();
        let forecast = self.forecast(now);
        let sky = Sky {
            warnings: &[],
            climate: Some(climate),
            measured: &Self::measured(now),
            sightings: &[],
            forecast: Some(&forecast),
            skill: &Skill::default(),
            fresh_for: FRESH_FOR,
            deeds: &self.deeds,
        };
        assess(&self.garden, &sky, &Footing::from_all(before), now)
    }

    /// The year so far as usual.
    fn measured(now: DateTime<Utc>) -> MeasuredDays {
        let today = now.date_naive();
        let since = today - Days::new(400);
        let days = since.iter_days().take_while(|date| *date < today);
        days.map(|date| {
            let night = usual_night(date);
            let extremes = (Celsius::new(night), Celsius::new(night + DAY_OVER_NIGHT));
            (date, extremes)
        })
        .collect()
    }

    /// A fortnight as usual, or warmer: night from 4 to 15 UTC, day in the other hours.
    fn forecast(&self, now: DateTime<Utc>) -> Forecast {
        let start = now.date_naive().and_hms_opt(4, 0, 0).unwrap().and_utc();
        let hour = |hour: i64| {
            let at = start + TimeDelta::hours(hour);
            let night = usual_night((at - TimeDelta::hours(4)).date_naive()) + self.anomaly;
            let is_night = hour % 24 < 12;
            let over = if is_night { 0.0 } else { DAY_OVER_NIGHT };
            Some(Celsius::new(night + over))
        };
        Forecast {
            spans: Vec::new(),
            source: "invented".to_owned(),
            attribution: "invented weather".to_owned(),
            data_at: now,
            elevation: None,
            run: Hours {
                start,
                temperature: (0..24 * 15).map(hour).collect(),
            },
            members: Vec::new(),
            conditions: None,
        }
    }
}
