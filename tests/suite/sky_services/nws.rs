//! The US National Weather Service: point, cell and alerts.

use budward::forecast::local_warnings;

use super::*;

fn data(name: &str) -> Vec<u8> {
    std::fs::read(project().join("tests/data/nws").join(name)).unwrap()
}

fn then() -> DateTime<Utc> {
    "2027-04-01T06:30:00Z".parse().unwrap()
}

const POINTS: &str = "/points/39.5123,-82.1";
const GRID: &str = "/gridpoints/ABC/12,34";
const ALERTS: &str = "/alerts/active";

async fn answered_so(answers: Vec<(&'static str, Answer)>) -> Result<Forecast, WeatherError> {
    let peer = StandIn::start(answers).await;
    let from = ForecastFrom::Nws {
        url: peer.url.clone(),
    };
    fetcher().forecast(&from, &place(), then()).await
}

/// A forecast of our own cell under another point and other alerts.
pub(super) async fn told(point: &[u8], alerts: &[u8]) -> Result<Forecast, WeatherError> {
    let grid = ok(&data("grid.json"));
    answered_so(vec![
        (POINTS, ok(point)),
        (GRID, grid),
        (ALERTS, ok(alerts)),
    ])
    .await
}

#[tokio::test]
async fn a_point_leads_to_its_cell_at_the_configured_address_alone() {
    let peer = StandIn::start(vec![
        (POINTS, ok(&data("points.json"))),
        (GRID, ok(&data("grid.json"))),
        (ALERTS, ok(&data("alerts_none.json"))),
    ])
    .await;
    let from = ForecastFrom::Nws {
        url: format!("{}/", peer.url),
    };
    let forecast = fetcher().forecast(&from, &place(), then()).await.unwrap();
    assert_eq!(
        peer.targets(),
        [POINTS, GRID, "/alerts/active?point=39.5123,-82.1"]
    );
    assert_eq!(forecast.source, "nws");
    assert_eq!(forecast.data_at.to_rfc3339(), "2027-04-01T05:40:11+00:00");
    assert_eq!(forecast.elevation, Some(Metres(212.1)));
    assert_eq!(forecast.warnings, []);
}

#[tokio::test]
async fn the_listed_minimum_of_a_night_stands_where_it_is_lower() {
    let forecast = told(&data("points.json"), &data("alerts_none.json"))
        .await
        .unwrap();
    let hours = degrees(&forecast.run);
    let coldest = |range: std::ops::Range<usize>| {
        hours[range]
            .iter()
            .flatten()
            .copied()
            .fold(f64::INFINITY, f64::min)
    };
    // -5.0 °C is listed from hour 24 on, and -20 °C for a night whose end the hours do not reach.
    assert!((coldest(24..38) - -5.0).abs() < 1e-9);
    assert!(coldest(100..150) > -10.0);
    // A listed minimum above the hours changes nothing.
    assert!(coldest(48..62) < -1.0);
}

#[tokio::test]
async fn sums_are_shared_out_evenly_and_thunder_is_told_at_any_chance() {
    let forecast = told(&data("points.json"), &data("alerts_none.json"))
        .await
        .unwrap();
    let conditions = forecast.conditions.unwrap();
    let rain: Vec<Option<f64>> = conditions.hours.iter().map(|hour| hour.rain_mm).collect();
    assert_eq!(rain[2..5], [Some(0.0), Some(0.75), Some(0.75)]);
    assert_eq!(rain[9], None);
    assert_eq!(conditions.hours[7].thunder, Some(true));
    assert_eq!(conditions.hours[0].thunder, Some(false));
    assert_eq!(conditions.hours[0].cloud, Some(0.2));
    assert_eq!(conditions.hours[0].gust, None);
}

#[tokio::test]
async fn only_warnings_in_force_for_the_zone_are_kept() {
    let forecast = told(&data("points.json"), &data("alerts.json"))
        .await
        .unwrap();
    let local = local_warnings(&forecast, &place().zone, then());
    let told: Vec<String> = local
        .iter()
        .map(|one| format!("{} {} {}", one.event, one.from, one.until))
        .collect();
    // The county's advisory has no end of its own: its message's end stands. The update of warning 10 stands for both.
    assert_eq!(
        told,
        [
            "Freeze Warning 2027-04-02 02:00:00 2027-04-02 09:00:00",
            "Frost Advisory 2027-04-02 02:00:00 2027-04-02 10:00:00",
            "Freeze Warning 2027-04-02 02:00:00 2027-04-02 10:00:00",
        ]
    );
    // The one of the day before is kept as data and no longer told.
    assert_eq!(forecast.warnings.len(), 4);
    let later = "2027-04-02T15:00:00Z".parse().unwrap();
    assert_eq!(local_warnings(&forecast, &place().zone, later), []);
}

#[tokio::test]
async fn without_alerts_the_forecast_goes_on() {
    let forecast = answered_so(vec![
        (POINTS, ok(&data("points.json"))),
        (GRID, ok(&data("grid.json"))),
    ])
    .await
    .unwrap();
    assert_eq!(forecast.warnings, []);
}

#[tokio::test]
async fn refusals_say_why() {
    let point = ok(&data("points.json"));
    let nowhere = whole("404 Not Found", &[], &data("problem_point.json"));
    let error = answered_so(vec![(POINTS, nowhere)]).await.unwrap_err();
    assert!(matches!(error, WeatherError::NotCovered { .. }), "{error}");
    let expired = whole(
        "503 Service Unavailable",
        &[],
        &data("problem_expired.json"),
    );
    let error = answered_so(vec![(POINTS, point.clone()), (GRID, expired)])
        .await
        .unwrap_err();
    assert!(matches!(error, WeatherError::Busy { status: 503, .. }));
    assert!(
        error.to_string().contains("was issued 2027-03-29"),
        "{error}"
    );
    for (name, why) in [
        (
            "grid_kelvin.json",
            "field properties.temperature is in the unit 'K', allowed are",
        ),
        (
            "grid_absurd.json",
            "is 4321.0 °C at 2027-04-01 00:00 UTC, outside",
        ),
        (
            "grid_now.json",
            "field properties.temperature has 'NOW/PT1H', expected a time",
        ),
        (
            "grid_empty.json",
            "field properties.temperature has no value",
        ),
    ] {
        let answers = vec![(POINTS, point.clone()), (GRID, ok(&data(name)))];
        let error = answered_so(answers).await.unwrap_err().to_string();
        assert!(error.contains(why), "{error}");
    }
}
