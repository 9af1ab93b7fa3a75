//! The US National Weather Service: point, cell and alerts.

use budward::forecast::{FrostWarning, local_warnings};

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

/// The forecast of our own cell.
async fn told() -> Forecast {
    let points = ok(&data("points.json"));
    let grid = ok(&data("grid.json"));
    answered_so(vec![(POINTS, points), (GRID, grid)])
        .await
        .unwrap()
}

/// The warnings of a point.
pub(super) async fn warned(point: &[u8], alerts: &[u8]) -> Result<Vec<FrostWarning>, WeatherError> {
    let answers = vec![(POINTS, ok(point)), (ALERTS, ok(alerts))];
    let peer = StandIn::start(answers).await;
    let from = ForecastFrom::Nws {
        url: peer.url.clone(),
    };
    let warnings = fetcher().warnings(&from, &place(), then()).await?;
    Ok(warnings.unwrap())
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
    let fetcher = fetcher();
    let forecast = fetcher.forecast(&from, &place(), then()).await.unwrap();
    let warnings = fetcher.warnings(&from, &place(), then()).await.unwrap();
    // The point is asked for once.
    assert_eq!(
        peer.targets(),
        [POINTS, GRID, "/alerts/active?point=39.5123,-82.1"]
    );
    assert_eq!(forecast.source, "nws");
    assert_eq!(forecast.data_at.to_rfc3339(), "2027-04-01T05:40:11+00:00");
    assert_eq!(forecast.elevation, Some(Metres(212.1)));
    assert_eq!(warnings, Some(Vec::new()));
}

#[tokio::test]
async fn the_listed_minimum_of_a_night_stands_where_it_is_lower() {
    let forecast = told().await;
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
    let forecast = told().await;
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
    let warnings = warned(&data("points.json"), &data("alerts.json"))
        .await
        .unwrap();
    let local = local_warnings(&warnings, &place().zone, then());
    let told: Vec<String> = local
        .iter()
        .map(|one| format!("{} {} {}", one.event, one.from, one.until))
        .collect();
    // The county's advisory has no end of its own: its message's end stands. The update of warning 10 stands for both.
    assert_eq!(
        told,
        [
            "Freeze Warning 2027-04-02 02:00:00 2027-04-02 09:00:00",
            "Freeze Warning 2027-04-02 02:00:00 2027-04-02 10:00:00",
            "Frost Advisory 2027-04-02 02:00:00 2027-04-02 10:00:00",
        ]
    );
    // The one of the day before is kept as data and no longer told.
    assert_eq!(warnings.len(), 4);
    let later = "2027-04-02T15:00:00Z".parse().unwrap();
    assert_eq!(local_warnings(&warnings, &place().zone, later), []);
}

#[tokio::test]
async fn a_source_without_warnings_gives_none_and_asks_nobody() {
    let from = service("http://127.0.0.1:9", None);
    let warnings = fetcher().warnings(&from, &place(), then()).await.unwrap();
    assert_eq!(warnings, None);
}

/// A point that leads to another cell.
fn moved() -> Vec<u8> {
    let body = String::from_utf8(data("points.json")).unwrap();
    let mut body: serde_json::Value = serde_json::from_str(&body).unwrap();
    body["properties"]["gridX"] = 13.into();
    serde_json::to_vec(&body).unwrap()
}

#[tokio::test]
async fn a_cell_that_is_gone_is_asked_for_anew_at_its_point_once() {
    let peer = StandIn::start(vec![
        (POINTS, ok(&data("points.json"))),
        (GRID, ok(&data("grid.json"))),
    ])
    .await;
    let from = ForecastFrom::Nws {
        url: peer.url.clone(),
    };
    let fetcher = fetcher();
    let ask = async |hours| {
        let at = then() + chrono::TimeDelta::hours(hours);
        fetcher.forecast(&from, &place(), at).await
    };
    ask(0).await.unwrap();
    // The point is known for a week.
    ask(12).await.unwrap();
    assert_eq!(peer.targets(), [POINTS, GRID, GRID]);
    // The office moves its grid: what was known of the point does not hold.
    peer.say(GRID, whole("404 Not Found", &[], b""));
    peer.say(POINTS, ok(&moved()));
    let there = "/gridpoints/ABC/13,34";
    peer.say(there, ok(&data("grid.json")));
    ask(24).await.unwrap();
    assert_eq!(peer.targets()[3..], [GRID, POINTS, there]);
    ask(36).await.unwrap();
    assert_eq!(peer.targets()[6..], [there]);
    // Where the point leads to the same cell still, nobody asks in circles.
    peer.say(there, whole("404 Not Found", &[], b""));
    let error = ask(48).await.unwrap_err();
    assert!(matches!(error, WeatherError::Refused { status: 404, .. }));
    assert_eq!(peer.targets()[7..], [there, POINTS]);
}

#[tokio::test]
async fn alerts_that_fail_do_not_close_the_forecast() {
    let peer = StandIn::start(vec![
        (POINTS, ok(&data("points.json"))),
        (GRID, ok(&data("grid.json"))),
        (ALERTS, whole("500 Internal Server Error", &[], b"")),
    ])
    .await;
    let from = ForecastFrom::Nws {
        url: peer.url.clone(),
    };
    let fetcher = fetcher().with_patience(budward::weather::Patience {
        tries: 1,
        ..Default::default()
    });
    let error = fetcher.warnings(&from, &place(), then()).await.unwrap_err();
    assert!(matches!(error, WeatherError::Busy { status: 500, .. }));
    let error = fetcher.warnings(&from, &place(), then()).await.unwrap_err();
    assert!(matches!(error, WeatherError::Resting { .. }), "{error}");
    fetcher.forecast(&from, &place(), then()).await.unwrap();
    // Too many questions are about who asks: then all of it is left alone.
    peer.say(ALERTS, whole("429 Too Many Requests", &[], b""));
    let later = then() + chrono::TimeDelta::minutes(20);
    fetcher.warnings(&from, &place(), later).await.unwrap_err();
    let error = fetcher.forecast(&from, &place(), later).await.unwrap_err();
    assert!(matches!(error, WeatherError::Resting { .. }), "{error}");
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
