//! Evaporation, humidity, heat index and wind chill against published examples, charts and libraries, row by row from
//! `tests/data/check_values/`.
//!
//! A cell `inputs` holds `name=value` pairs parted by blanks.

use budward::science::evaporation::{
    Coast, MonthMean, Site, USUAL_WIND, Weather, air_pressure, clear_sky_radiation, daylight_hours,
    extraterrestrial_radiation, hargreaves, mean_saturation, monthly_soil_heat, net_longwave,
    net_radiation, net_shortwave, penman_monteith, psychrometric_constant, solar_by_range,
    solar_by_sunshine, solar_geometry, vapour_by_humidity, wind_at_two_metres,
};
use budward::science::exposure::{heat_index, wind_chill, wind_chill_metric};
use budward::science::humidity::{
    dew_point, frost_point, psychrometer, relative_humidity, saturation_over_ice,
    saturation_over_water, saturation_slope, vapour_pressure, wet_bulb,
};
use budward::units::{
    Celsius, Kilopascals, MegajoulesPerSquareMetre, Metres, MetresPerSecond, Millimetres,
    RelativeHumidity,
};
use chrono::NaiveDate;
use proptest::prelude::*;

use crate::check_values::{Row, rows};

/// The named inputs of a row.
struct Inputs<'a>(&'a Row);

impl Inputs<'_> {
    fn text(&self, name: &str) -> &str {
        let mut pairs = self.0.text("inputs").split(' ');
        pairs
            .find_map(|pair| pair.strip_prefix(name)?.strip_prefix('='))
            .unwrap_or_else(|| panic!("no {name} in '{}'", self.0.text("inputs")))
    }

    fn number(&self, name: &str) -> f64 {
        self.text(name).parse().unwrap()
    }

    fn celsius(&self, name: &str) -> Celsius {
        Celsius::new(self.number(name))
    }

    fn extremes(&self) -> (Celsius, Celsius) {
        (self.celsius("min"), self.celsius("max"))
    }

    fn kilopascals(&self, name: &str) -> Kilopascals {
        Kilopascals(self.number(name))
    }

    fn energy(&self, name: &str) -> MegajoulesPerSquareMetre {
        MegajoulesPerSquareMetre(self.number(name))
    }

    fn percent(&self, name: &str) -> RelativeHumidity {
        RelativeHumidity::of_percent(self.number(name)).unwrap()
    }

    fn date(&self) -> NaiveDate {
        self.text("date").parse().unwrap()
    }

    fn site(&self) -> Site {
        Site {
            latitude: self.number("latitude"),
            elevation: Metres(self.number("elevation")),
        }
    }

    /// The weather of a worked example, with what is missing estimated as there.
    fn weather(&self) -> Weather {
        let (min, max) = self.extremes();
        let coast = |name: &str| match name {
            "interior" => Coast::Interior,
            "coastal" => Coast::Coastal,
            other => panic!("no lie {other}"),
        };
        let (site, date) = (self.site(), self.date());
        Weather {
            min,
            max,
            vapour: match self.text("vapour") {
                "extremes" => {
                    let humidity = (self.percent("rh_min"), self.percent("rh_max"));
                    vapour_by_humidity(min, max, humidity)
                }
                "lowest" => saturation_over_water(min),
                number => Kilopascals(number.parse().unwrap()),
            },
            wind: match self.text("wind").split_once("km/h@") {
                Some((speed, height)) => {
                    let wind = MetresPerSecond::from_kilometres_per_hour(speed.parse().unwrap());
                    wind_at_two_metres(wind, Metres(height.parse().unwrap())).unwrap()
                }
                None if self.text("wind") == "usual" => USUAL_WIND,
                None => MetresPerSecond(self.number("wind")),
            },
            solar: match self.text("solar").split_once(':') {
                Some(("sunshine", hours)) => {
                    solar_by_sunshine(site.latitude, date, hours.parse().unwrap()).unwrap()
                }
                Some(("range", lie)) => solar_by_range(site, date, (min, max), coast(lie)).unwrap(),
                _ => self.energy("solar"),
            },
            soil_heat: self.energy("soil_heat"),
        }
    }

    fn above(&self) -> MegajoulesPerSquareMetre {
        extraterrestrial_radiation(self.number("latitude"), self.date()).unwrap()
    }
}

/// What the formulas give for a row of the evaporation examples.
fn evaporation(figure: &str, with: &Inputs<'_>) -> f64 {
    match figure {
        "air-pressure" => air_pressure(Metres(with.number("elevation"))).0,
        "psychrometric-constant" => psychrometric_constant(with.kilopascals("air")),
        "saturation" => saturation_over_water(with.celsius("t")).0,
        "mean-saturation" => mean_saturation(with.celsius("min"), with.celsius("max")).0,
        "slope" => saturation_slope(with.celsius("t")),
        "psychrometer" => {
            let air = air_pressure(Metres(with.number("elevation")));
            psychrometer(with.celsius("dry"), with.celsius("wet"), air)
                .unwrap()
                .0
        }
        "vapour-by-humidity" | "vapour-lack" => {
            let (min, max) = with.extremes();
            let humidity = (with.percent("rh_min"), with.percent("rh_max"));
            let vapour = vapour_by_humidity(min, max, humidity).0;
            if figure == "vapour-lack" {
                mean_saturation(min, max).0 - vapour
            } else {
                vapour
            }
        }
        "wind-at-two-metres" => {
            let wind = MetresPerSecond(with.number("wind"));
            wind_at_two_metres(wind, Metres(with.number("height")))
                .unwrap()
                .0
        }
        "penman-monteith" => {
            let weather = with.weather();
            penman_monteith(with.site(), with.date(), &weather)
                .unwrap()
                .0
        }
        "hargreaves" => {
            let (min, max) = with.extremes();
            hargreaves(with.number("latitude"), with.date(), min, max)
                .unwrap()
                .0
        }
        other => radiation(other, with),
    }
}

/// The same for what has to do with radiation and heat.
fn radiation(figure: &str, with: &Inputs<'_>) -> f64 {
    let geometry = || solar_geometry(with.number("latitude"), with.date()).unwrap();
    match figure {
        "nearness" => geometry().nearness,
        "declination" => geometry().declination,
        "sunset-angle" => geometry().sunset_angle,
        "above-air" => with.above().0,
        "daylight" => daylight_hours(with.number("latitude"), with.date()).unwrap(),
        "clear-sky" => clear_sky_radiation(Metres(with.number("elevation")), with.above()).0,
        "net-shortwave" => net_shortwave(with.energy("solar")).0,
        "net-longwave" => {
            let clearness = with.number("solar") / with.number("clear");
            net_longwave(with.extremes(), with.kilopascals("vapour"), clearness).0
        }
        "soil-heat" => {
            let (before, next) = (with.celsius("before"), with.celsius("next"));
            monthly_soil_heat(before, MonthMean::Next(next)).0
        }
        "soil-heat-of-month" => {
            let (before, same) = (with.celsius("before"), with.celsius("same"));
            monthly_soil_heat(before, MonthMean::Same(same)).0
        }
        "solar" => with.weather().solar.0,
        "net-radiation" => {
            let weather = with.weather();
            net_radiation(with.site(), with.date(), &weather).unwrap().0
        }
        other => panic!("no figure {other}"),
    }
}

#[test]
fn evaporation_agrees_with_the_worked_examples_to_the_last_digit() {
    for row in rows("evaporation.csv") {
        let found = evaporation(row.text("figure"), &Inputs(&row));
        row.expect(found, row.number("expected"));
    }
}

#[test]
fn a_day_s_energy_is_the_sum_of_its_hours() {
    // 1 W/m² through a day is 0.0864 MJ/m² (FAO-56, table 3).
    let day = MegajoulesPerSquareMetre::from_watt_hours(24.0);
    assert!((day.0 - 0.0864).abs() < 1e-12);
}

#[test]
fn nonsense_evaporates_nothing() {
    let site = Site {
        latitude: 50.0,
        elevation: Metres(100.0),
    };
    let date: NaiveDate = "2025-07-01".parse().unwrap();
    let good = Weather {
        min: Celsius::new(12.0),
        max: Celsius::new(25.0),
        vapour: Kilopascals(1.3),
        wind: MetresPerSecond(2.0),
        solar: MegajoulesPerSquareMetre(20.0),
        soil_heat: MegajoulesPerSquareMetre(0.0),
    };
    assert!(penman_monteith(site, date, &good).is_some());
    let broken = [
        Weather {
            min: Celsius::new(26.0),
            ..good
        },
        Weather {
            max: Celsius::new(f64::NAN),
            ..good
        },
        Weather {
            vapour: Kilopascals(-0.1),
            ..good
        },
        Weather {
            wind: MetresPerSecond(-1.0),
            ..good
        },
        Weather {
            wind: MetresPerSecond(f64::NAN),
            ..good
        },
        Weather {
            solar: MegajoulesPerSquareMetre(-1.0),
            ..good
        },
        Weather {
            solar: MegajoulesPerSquareMetre(f64::NAN),
            ..good
        },
    ];
    for weather in broken {
        assert_eq!(penman_monteith(site, date, &weather), None, "{weather:?}");
    }
    let nowhere = Site {
        latitude: 91.0,
        ..site
    };
    assert_eq!(penman_monteith(nowhere, date, &good), None);
    assert_eq!(hargreaves(91.0, date, good.min, good.max), None);
    assert_eq!(hargreaves(50.0, date, good.max, good.min), None);
    assert_eq!(
        hargreaves(50.0, date, good.min, Celsius::new(f64::NAN)),
        None
    );
    assert_eq!(solar_by_sunshine(50.0, date, -1.0), None);
    assert_eq!(wind_at_two_metres(good.wind, Metres(0.1)), None);
}

#[test]
fn the_polar_night_evaporates_little_and_no_cold_day_less_than_nothing() {
    let date: NaiveDate = "2025-12-21".parse().unwrap();
    let (min, max) = (Celsius::new(-30.0), Celsius::new(-20.0));
    assert_eq!(hargreaves(80.0, date, min, max), Some(Millimetres(0.0)));
    let site = Site {
        latitude: 80.0,
        elevation: Metres(0.0),
    };
    let weather = Weather {
        min,
        max,
        vapour: saturation_over_water(min),
        wind: MetresPerSecond(2.0),
        solar: MegajoulesPerSquareMetre(0.0),
        soil_heat: MegajoulesPerSquareMetre(0.0),
    };
    let water = penman_monteith(site, date, &weather).unwrap().0;
    assert!((0.0..0.5).contains(&water), "{water}");
}

/// What the formulas give for a row of humidity.
fn humidity(figure: &str, with: &Inputs<'_>) -> f64 {
    let vapour = || vapour_pressure(with.celsius("t"), with.percent("rh"));
    match figure {
        "water" => saturation_over_water(with.celsius("t")).0 * 10.0,
        "ice" => saturation_over_ice(with.celsius("t")).unwrap().0 * 10.0,
        "dew-point" => dew_point(vapour()).unwrap().degrees(),
        "frost-point" => frost_point(vapour()).unwrap().degrees(),
        "wet-bulb" => wet_bulb(with.celsius("t"), vapour(), Kilopascals(101.325))
            .unwrap()
            .degrees(),
        other => panic!("no figure {other}"),
    }
}

#[test]
fn humidity_agrees_with_published_values() {
    for row in rows("humidity.csv") {
        let found = humidity(row.text("figure"), &Inputs(&row));
        row.expect(found, row.number("expected"));
    }
}

#[test]
fn air_without_vapour_has_no_dew_point_and_warm_air_no_frost_point() {
    let vapour = |t: f64, rh: f64| {
        vapour_pressure(Celsius::new(t), RelativeHumidity::of_percent(rh).unwrap())
    };
    assert_eq!(dew_point(vapour(20.0, 0.0)), None);
    assert_eq!(frost_point(vapour(20.0, 0.0)), None);
    assert_eq!(frost_point(vapour(20.0, 50.0)), None);
    assert_eq!(saturation_over_ice(Celsius::new(0.1)), None);
    assert_eq!(dew_point(Kilopascals(f64::NAN)), None);
    assert_eq!(dew_point(Kilopascals(f64::INFINITY)), None);
    let air = Kilopascals(101.3);
    let (dry, wet) = (Celsius::new(20.0), Celsius::new(15.0));
    assert_eq!(psychrometer(wet, dry, air), None);
    assert_eq!(
        psychrometer(Celsius::new(40.0), Celsius::new(-10.0), air),
        None
    );
    assert_eq!(wet_bulb(dry, Kilopascals(2.4), air), None);
    assert_eq!(wet_bulb(dry, Kilopascals(f64::NAN), air), None);
    assert_eq!(relative_humidity(dry, Kilopascals(-0.1)), None);
    assert_eq!(relative_humidity(dry, Kilopascals(f64::NAN)), None);
    assert_eq!(
        relative_humidity(dry, Kilopascals(9.0)),
        RelativeHumidity::of_percent(100.0)
    );
    for percent in [-0.1, 100.1, f64::NAN] {
        assert_eq!(RelativeHumidity::of_percent(percent), None);
    }
}

proptest! {
    #[test]
    fn dew_point_wet_bulb_and_humidity_belong_together(t in -40.0_f64..50.0, rh in 0.5_f64..=100.0) {
        let temperature = Celsius::new(t);
        let given = RelativeHumidity::of_percent(rh).unwrap();
        let vapour = vapour_pressure(temperature, given);
        let air = Kilopascals(95.0);
        let dew = dew_point(vapour).unwrap();
        let wet = wet_bulb(temperature, vapour, air).unwrap();
        let back = psychrometer(temperature, wet, air).unwrap();
        prop_assert!((back.0 - vapour.0).abs() < 1e-9);
        prop_assert!((saturation_over_water(dew).0 - vapour.0).abs() < 1e-9);
        prop_assert!(dew.degrees() <= wet.degrees() + 1e-9 && wet <= temperature);
        let percent = relative_humidity(temperature, vapour).unwrap().percent();
        prop_assert!((percent - rh).abs() < 1e-9);
        if let Some(frost) = frost_point(vapour) {
            prop_assert!(dew.degrees() <= frost.degrees() + 1e-9);
        }
    }

    #[test]
    fn the_slope_is_that_of_the_saturation(t in -40.0_f64..50.0) {
        let at = |t: f64| saturation_over_water(Celsius::new(t)).0;
        let slope = (at(t + 1e-4) - at(t - 1e-4)) / 2e-4;
        prop_assert!((saturation_slope(Celsius::new(t)) - slope).abs() < 1e-7);
    }
}

/// What the weather service adds to its chart's regression in humid air, in °F.
fn added(t: f64, rh: f64) -> f64 {
    if rh > 85.0 && (80.0..=87.0).contains(&t) {
        (rh - 85.0) / 10.0 * (87.0 - t) / 5.0
    } else {
        0.0
    }
}

fn felt(row: &Row) -> f64 {
    let humidity = RelativeHumidity::of_percent(row.number("humidity")).unwrap();
    heat_index(
        Celsius::from_fahrenheit(row.number("temperature")),
        humidity,
    )
    .fahrenheit()
}

#[test]
fn the_heat_index_agrees_with_the_chart_of_the_weather_service() {
    let chart = rows("heat_index_chart.csv");
    assert_eq!(chart.len(), 135);
    for row in chart {
        let adjustment = added(row.number("temperature"), row.number("humidity"));
        row.expect(felt(&row) - adjustment, row.number("expected"));
    }
}

#[test]
fn the_heat_index_agrees_with_libraries() {
    for row in rows("heat_index.csv") {
        row.expect(felt(&row), row.number("expected"));
    }
}

#[test]
fn cool_air_feels_as_warm_as_it_is() {
    let humid = RelativeHumidity::of_percent(80.0).unwrap();
    for degrees in [-20.0, 32.0, 40.0] {
        let air = Celsius::from_fahrenheit(degrees);
        assert_eq!(heat_index(air, humid), air);
    }
}

fn chilled(row: &Row) -> Option<f64> {
    let (temperature, wind) = (row.number("temperature"), row.number("wind"));
    match row.text("unit") {
        "°F" => {
            let wind = MetresPerSecond::from_miles_per_hour(wind);
            Some(wind_chill(Celsius::from_fahrenheit(temperature), wind)?.fahrenheit())
        }
        "°C" => {
            let wind = MetresPerSecond::from_kilometres_per_hour(wind);
            Some(wind_chill_metric(Celsius::new(temperature), wind)?.degrees())
        }
        other => panic!("the unit {other} is no temperature"),
    }
}

#[test]
fn the_wind_chill_agrees_with_every_cell_of_the_chart() {
    let chart = rows("wind_chill_chart.csv");
    assert_eq!(chart.len(), 18 * 12);
    for row in chart {
        row.expect(chilled(&row).unwrap(), row.number("expected"));
    }
}

#[test]
fn the_metric_wind_chill_agrees_with_the_canadian_calculator() {
    for row in rows("wind_chill_metric.csv") {
        match row.text("expected") {
            "none" => assert_eq!(chilled(&row), None),
            _ => row.expect(chilled(&row).unwrap(), row.number("expected")),
        }
    }
}

#[test]
fn warm_or_still_air_has_no_wind_chill() {
    let chill = |t: f64, mph: f64| {
        let wind = MetresPerSecond::from_miles_per_hour(mph);
        wind_chill(Celsius::from_fahrenheit(t), wind)
    };
    assert!(chill(49.9, 3.1).is_some());
    assert_eq!(chill(50.1, 20.0), None);
    assert_eq!(chill(20.0, 2.9), None);
    assert_eq!(chill(f64::NAN, 20.0), None);
    assert_eq!(chill(20.0, f64::NAN), None);
    assert_eq!(
        wind_chill_metric(Celsius::new(-5.0), MetresPerSecond(-1.0)),
        None
    );
}
