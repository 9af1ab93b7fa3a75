//! What the hours make: local days, their water, spells and halves.

use budward::garden::{Place, Zone};
use budward::science::evaporation::hargreaves;
use budward::units::{Celsius, Metres, Millimetres};
use budward::work::{Half, WorkWeather};
use chrono::{DateTime, NaiveDate, TimeDelta, Utc};

use super::given::{Weather, place, rain};

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}

#[test]
fn rain_belongs_to_the_local_day_on_which_it_falls() {
    let weather = Weather::mild(6, 10).on(0..1, rain(0.5));
    let work = weather.work();
    assert_eq!(
        work.day(weather.today()).unwrap().rain,
        Some(Millimetres(12.0))
    );
    // On the clock of New York the same hours begin on the evening before.
    let zone = Zone::named("America/New_York").unwrap();
    let there = Place::new(40.0, -75.0, None, zone).unwrap();
    let work = WorkWeather::of(&weather.conditions, &there, weather.now);
    let of = |date: NaiveDate| work.day(date).unwrap().rain.unwrap().0;
    assert!(close(of(weather.today().pred_opt().unwrap()), 2.0));
    assert!(close(of(weather.today()), 10.0));
}

#[test]
fn water_is_counted_by_the_full_equation_or_by_the_extremes_alone() {
    let weather = Weather::mild(6, 10).warmed(-31..16, 54.14, 70.7);
    // Brussels in July, by the worked example 18 of FAO-56: 12.3 to 21.5 °C, 1.409 kPa, 10 km/h at 10 m, 22.07 MJ/m²:
    // 3.9 mm.
    let brussels = Place::new(50.8, 0.0, Some(Metres(100.0)), Zone::utc()).unwrap();
    let dew_point = Celsius::new(12.06);
    let change = |hour: &mut budward::forecast::Condition| {
        hour.dew_point = Some(dew_point);
        hour.wind = Some(budward::units::MetresPerSecond(10.0 / 3.6));
        hour.radiation_w_m2 = Some(22.07 / 0.0036 / 24.0);
    };
    let mut weather = weather.on(-31..16, change);
    weather.now = "2027-07-06T08:00:00Z".parse().unwrap();
    weather.conditions.start = weather.now - TimeDelta::hours(31 * 24 + 8);
    let work = WorkWeather::of(&weather.conditions, &brussels, weather.now);
    let day = work.day(weather.today()).unwrap();
    let water = day.evapotranspiration.unwrap().0;
    assert!((water - 3.88).abs() < 0.05, "{water}");

    let bare = weather.on(0..1, |hour| hour.wind = None);
    let work = WorkWeather::of(&bare.conditions, &brussels, bare.now);
    let day = work.day(bare.today()).unwrap();
    let by_extremes = hargreaves(50.8, bare.today(), day.min.unwrap(), day.max.unwrap());
    assert_eq!(day.evapotranspiration, by_extremes);
    let unknown = bare.on(0..1, |hour| hour.temperature = None);
    let work = WorkWeather::of(&unknown.conditions, &brussels, unknown.now);
    assert_eq!(work.day(unknown.today()).unwrap().evapotranspiration, None);
}

#[test]
fn a_balance_wants_every_day() {
    let weather = Weather::mild(6, 10).on(-3..-2, rain(1.0));
    let work = weather.work();
    let balance = work.balance(14).unwrap();
    assert!(close(balance.rain.0, 24.0));
    assert!(balance.deficit().0 > 0.0 && balance.days == 14);
    assert_eq!(work.balance(31).map(|balance| balance.days), Some(31));
    assert_eq!(work.balance(32), None);
    let gap = weather.on(-9..-8, |hour| hour.rain_mm = None);
    assert_eq!(gap.work().balance(14), None);
    assert!(gap.work().balance(8).is_some());
}

#[test]
fn wet_spells_have_their_hours_mean_and_rain() {
    let weather = Weather::mild(6, 10).hours_from_now(2..8, rain(0.4));
    let work = weather.work();
    let spells = work.wet_spells(weather.now, weather.now + TimeDelta::hours(24));
    assert_eq!(spells.len(), 1);
    let spell = spells[0];
    assert_eq!(
        (spell.from, spell.hours),
        (weather.now + TimeDelta::hours(2), 6)
    );
    assert!(close(spell.rain.0, 2.4));
    let mean = work.mean(spell.from, spell.from + TimeDelta::hours(6));
    assert_eq!(spell.mean, mean);
}

fn spans(work: &WorkWeather) -> Vec<(NaiveDate, Half, DateTime<Utc>, DateTime<Utc>)> {
    let of = |half: &budward::work::HalfDay| (half.date, half.half, half.from, half.to);
    work.half_days.iter().map(of).collect()
}

#[test]
fn half_days_run_from_sunrise_to_noon_and_from_noon_to_sunset() {
    let weather = Weather::mild(6, 10);
    let halves = spans(&weather.work());
    assert_eq!(halves.len(), 14);
    let at = |text: &str| -> DateTime<Utc> { text.parse().unwrap() };
    // The morning has begun at 08:00.
    assert_eq!(halves[0].2, weather.now);
    assert_eq!(halves[0].3, at("2027-06-10T12:00:00Z"));
    // At 40° north on the meridian of the clock the sun sets about 19:28 on 10 June (any almanac, to the minute).
    assert!(
        (halves[1].3 - at("2027-06-10T19:28:00Z"))
            .num_minutes()
            .abs()
            <= 2
    );
    assert!(
        (halves[2].2 - at("2027-06-11T04:31:00Z"))
            .num_minutes()
            .abs()
            <= 2
    );
    // After sunset the day is over.
    let mut evening = Weather::mild(6, 10);
    evening.now = at("2027-06-10T21:00:00Z");
    assert_eq!(spans(&evening.work())[0].0, weather.day(1));
}

#[test]
fn there_is_no_half_day_in_the_polar_night_and_there_are_two_in_the_polar_day() {
    let north = Place::new(70.0, 0.0, None, Zone::utc()).unwrap();
    let halves = |month| {
        let weather = Weather::mild(month, 20);
        WorkWeather::of(&weather.conditions, &north, weather.now).half_days
    };
    assert_eq!(halves(12), []);
    let summer = halves(6);
    assert_eq!(summer.len(), 14);
    assert!(
        summer
            .iter()
            .all(|half| (half.to - half.from).num_hours() <= 8)
    );
}

#[test]
fn a_half_day_has_the_weather_of_its_own_hours() {
    let weather = Weather::mild(6, 10)
        .hours_from_now(4..5, rain(6.0))
        .hours_from_now(4..5, |hour| hour.thunder = Some(true));
    let work = weather.work();
    let [morning, afternoon, tomorrow, next] = &work.half_days[..4] else {
        panic!("four half-days");
    };
    assert_eq!(morning.rain, Some(Millimetres(0.0)));
    assert_eq!(morning.thunder, Some(false));
    assert_eq!(afternoon.rain, Some(Millimetres(6.0)));
    assert_eq!(afternoon.thunder, Some(true));
    // A day later the ground is dry again.
    assert_eq!(
        [morning, afternoon, tomorrow, next].map(|half| half.wet_ground),
        [Some(false), Some(true), Some(true), Some(false)]
    );
    assert_eq!(morning.leaves_dry(), Some(true));
    assert_eq!(place().zone.name(), "UTC");
}
