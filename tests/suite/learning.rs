//! Skill that a place has taught: figures from made-up nights, nights from kept forecasts, and the way to the board.

mod board;
mod pairs;
mod score;
mod skill;

use budward::climate::{Climate, DailyRecord, DayExtremes};
use budward::units::Celsius;
use chrono::{Days, NaiveDate};

/// The day of the tests.
fn today() -> NaiveDate {
    "2027-04-01".parse().unwrap()
}

fn days_ago(days: u64) -> NaiveDate {
    today() - Days::new(days)
}

/// Numbers that look like chance and are the same each time (SplitMix64: Steele et al., OOPSLA 2014).
struct Noise(u64);

impl Noise {
    fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Nearly normal, of mean 0 and spread 1: twelve uniform numbers less six.
    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.uniform()).sum::<f64>() - 6.0
    }
}

/// Twelve years of invented days up to yesterday: a wave through the year, spells of a few days.
fn record() -> DailyRecord {
    let (mut noise, mut anomaly) = (Noise(7), 0.0);
    let given = days_ago(12 * 366)
        .iter_days()
        .take_while(|date| *date < today())
        .map(|date| {
            anomaly = 0.6 * anomaly + 0.8 * noise.normal();
            let min = seasonal(date) + 4.0 * anomaly;
            let extremes = DayExtremes {
                min: Some(Celsius::new(min)),
                max: Some(Celsius::new(min + 9.0)),
            };
            (date, extremes)
        });
    DailyRecord::from_days("an invented station", given).unwrap()
}

/// The coldest nights in January, of -6 °C, the warmest in July, of 16 °C.
fn seasonal(date: NaiveDate) -> f64 {
    use chrono::Datelike;
    5.0 - 11.0 * (std::f64::consts::TAU * (f64::from(date.ordinal()) - 15.0) / 365.25).cos()
}

fn climate() -> Climate {
    Climate::of(&record()).unwrap()
}
