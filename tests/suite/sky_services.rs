//! Weather services and files: what is asked, how good and bad answers are read, and that every limit holds.

mod conditions;
mod fault_table;
mod faults;
mod home;
mod limits;
mod met_norway;
mod month;
mod nws;
mod paid;
mod past_years;
mod paused;
mod peer_runs;
mod recorded;
mod services;
mod several;
mod silence;
mod stand_in;

use std::path::PathBuf;
use std::time::Duration;

use budward::climate::RecordError;
use budward::forecast::{Forecast, Hours};
use budward::garden::{Place, Zone};
use budward::units::{Celsius, Metres};
use budward::weather::{
    ArchiveFrom, BODY_CAP, Fetcher, ForecastFrom, NextStep, ReplyError, WeatherError,
};
use chrono::{DateTime, Utc};

use crate::support::project;
use stand_in::{Answer, StandIn, closed_port, ok, whole};

fn fetcher_within(timeout: Duration) -> Fetcher {
    rustls::crypto::ring::default_provider()
        .install_default()
        .ok();
    Fetcher::new("head.gardener@example.org", timeout).unwrap()
}

fn fetcher() -> Fetcher {
    fetcher_within(Duration::from_secs(20))
}

/// An invented garden.
fn place() -> Place {
    let zone = Zone::named("America/New_York").unwrap();
    Place::new(39.512_345_6, -82.1, None, zone).unwrap()
}

fn now() -> DateTime<Utc> {
    "2026-04-01T06:30:00Z".parse().unwrap()
}

fn payload_path(name: &str) -> PathBuf {
    project().join("tests/data/openmeteo").join(name)
}

fn payload(name: &str) -> Vec<u8> {
    std::fs::read(payload_path(name)).unwrap()
}

fn service(url: &str, ensemble_model: Option<&str>) -> ForecastFrom {
    ForecastFrom::OpenMeteo {
        url: format!("{url}/v1/forecast"),
        ensemble_url: format!("{url}/v1/ensemble"),
        ensemble_model: ensemble_model.map(str::to_owned),
        freshness_url: None,
        key: None,
    }
}

/// A forecast from recorded replies.
async fn from_files(
    forecast: PathBuf,
    ensemble: Option<PathBuf>,
) -> Result<Forecast, WeatherError> {
    let from = ForecastFrom::Files {
        forecast,
        ensemble,
        data_at: None,
    };
    fetcher().forecast(&from, &place(), now()).await
}

async fn from_file(name: &str) -> Result<Forecast, WeatherError> {
    from_files(payload_path(name), None).await
}

/// What comes of a service that answers so.
async fn answered(answer: Answer) -> Result<Forecast, WeatherError> {
    answered_within(answer, Duration::from_secs(20)).await
}

async fn answered_within(answer: Answer, timeout: Duration) -> Result<Forecast, WeatherError> {
    let peer = StandIn::start(vec![("/v1/forecast", answer)]).await;
    let from = service(&peer.url, None);
    fetcher_within(timeout)
        .forecast(&from, &place(), now())
        .await
}

fn degrees(hours: &Hours) -> Vec<Option<f64>> {
    let degrees = |t: &Option<Celsius>| t.map(|t| (t.degrees() * 100.0).round() / 100.0);
    hours.temperature.iter().map(degrees).collect()
}

#[tokio::test]
async fn a_forecast_with_its_ensemble_is_asked_for_and_read() {
    let peer = StandIn::start(vec![
        ("/v1/forecast", ok(&payload("forecast.json"))),
        ("/v1/ensemble", ok(&payload("ensemble.json"))),
    ])
    .await;
    let from = service(&peer.url, Some("icon_seamless"));
    let forecast = fetcher().forecast(&from, &place(), now()).await.unwrap();

    assert_eq!(forecast.source, "open-meteo");
    assert_eq!(
        forecast.attribution,
        "Weather data by Open-Meteo.com (CC BY 4.0)"
    );
    assert_eq!(forecast.data_at, now());
    assert_eq!(forecast.elevation, Some(Metres(212.0)));
    assert_eq!(forecast.run.start.to_rfc3339(), "2026-04-01T00:00:00+00:00");
    assert_eq!(forecast.run.temperature.len(), 24);
    assert_eq!(degrees(&forecast.run)[10], Some(-1.7));
    // The control run and two of three members: one has no value at all.
    let sixth: Vec<Option<f64>> = forecast.members.iter().map(|m| degrees(m)[5]).collect();
    assert_eq!(sixth, [Some(1.1), Some(-0.4), Some(1.9)]);

    let query = |hourly: &str, past_days: u32| {
        format!(
            "latitude=39.5123&longitude=-82.1000&hourly={hourly}&past_days={past_days}\
             &forecast_days=16&timezone=GMT&timeformat=iso8601"
        )
    };
    let conditions = "temperature_2m%2Cdew_point_2m%2Cprecipitation%2Cwind_speed_10m%2Cwind_gusts_10m\
                      %2Ccloud_cover%2Cshortwave_radiation%2Cweather_code";
    assert_eq!(
        peer.targets(),
        [
            format!("/v1/forecast?{}", query(conditions, 31)),
            format!(
                "/v1/ensemble?{}&models=icon_seamless",
                query("temperature_2m", 2)
            ),
        ]
    );
    let agent = format!(
        "user-agent: budward/{} (head.gardener@example.org)",
        env!("CARGO_PKG_VERSION")
    );
    assert!(peer.asked().iter().all(|head| head.contains(&agent)));
}

#[tokio::test]
async fn without_its_ensemble_the_main_run_stands_alone() {
    let peer = StandIn::start(vec![("/v1/forecast", ok(&payload("forecast.json")))]).await;
    let from = service(&peer.url, Some("icon_seamless"));
    let forecast = fetcher().forecast(&from, &place(), now()).await.unwrap();
    assert_eq!(peer.targets().len(), 2);
    assert_eq!(forecast.members, []);
    assert_eq!(forecast.run.temperature.len(), 24);
}

#[tokio::test]
async fn without_its_main_run_there_is_no_forecast() {
    let peer = StandIn::start(vec![("/v1/ensemble", ok(&payload("ensemble.json")))]).await;
    let from = service(&peer.url, Some("icon_seamless"));
    let error = fetcher()
        .forecast(&from, &place(), now())
        .await
        .unwrap_err();
    assert!(matches!(error, WeatherError::Refused { status: 404, .. }));
}

#[tokio::test]
async fn past_years_are_asked_for_as_one_homogeneous_record() {
    let peer = StandIn::start(vec![("/v1/archive", ok(&payload("archive_daily.json")))]).await;
    // A key in the configured address stays where it is.
    let from = ArchiveFrom {
        url: format!("{}/v1/archive?apikey=quince", peer.url),
        years: 30,
        key: None,
    };
    let span = from.span("2026-04-01".parse().unwrap());
    let record = fetcher()
        .archive(&from, &place(), span, now())
        .await
        .unwrap();
    assert_eq!(record.first().to_string(), "2026-03-21");
    assert_eq!(record.days().count(), 5);
    assert_eq!(
        record.day("2026-03-22".parse().unwrap()).min,
        Some(Celsius::new(-0.3))
    );
    assert_eq!(
        peer.targets(),
        [
            "/v1/archive?apikey=quince&latitude=39.5123&longitude=-82.1000&start_date=1996-04-01\
             &end_date=2026-03-26&daily=temperature_2m_min%2Ctemperature_2m_max&models=era5\
             &timezone=America%2FNew_York"
        ]
    );
    assert!(!format!("{from:?} {}", from.question(&place())).contains("quince"));
}

#[tokio::test]
async fn the_height_of_a_place_is_asked_for_and_read() {
    let peer = StandIn::start(vec![
        ("/v1/elevation", ok(&payload("elevation.json"))),
        ("/nowhere", ok(b"{\"elevation\":[nan]}")),
        ("/absurd", ok(b"{\"elevation\":[99999]}")),
    ])
    .await;
    let ask = async |path: &str| {
        let url = format!("{}{path}", peer.url);
        fetcher().elevation(&url, &place(), now()).await
    };
    assert_eq!(ask("/v1/elevation").await.unwrap(), Metres(212.0));
    assert!(matches!(
        ask("/nowhere").await,
        Err(WeatherError::NotCovered { .. })
    ));
    assert!(matches!(
        ask("/absurd").await,
        Err(WeatherError::Unreadable { .. })
    ));
    assert_eq!(
        peer.targets()[0],
        "/v1/elevation?latitude=39.5123&longitude=-82.1000"
    );
}

#[tokio::test]
async fn a_refusal_is_given_in_the_services_own_words() {
    let error = answered(whole("400 Bad Request", &[], &payload("error_400.json")))
        .await
        .unwrap_err();
    let text = error.to_string();
    assert!(text.starts_with("open-meteo at 127.0.0.1:"), "{text}");
    assert!(
        text.ends_with(
            "refuses the question: status 400, Parameter 'forecast_days' is out of allowed range \
             from 0 to 16. Given 17."
        ),
        "{text}"
    );
    assert_eq!(error.next_step(), NextStep::AskHuman);
    // The same body under a good status is no forecast either.
    let error = answered(ok(&payload("error_400.json"))).await.unwrap_err();
    assert!(matches!(error, WeatherError::Refused { status: 200, .. }));
}

#[tokio::test]
async fn a_full_quota_says_when_to_come_back() {
    let pause = async |headers: &[&str], body: &str| {
        let answer = whole("429 Too Many Requests", headers, &payload(body));
        let error = answered(answer).await.unwrap_err();
        assert!(matches!(error, WeatherError::Busy { status: 429, .. }));
        error.next_step()
    };
    let retry = |seconds| NextStep::Retry {
        after: Some(Duration::from_secs(seconds)),
    };
    let date = "Date: Wed, 01 Apr 2026 06:45:00 GMT";
    let until = "Retry-After: Wed, 01 Apr 2026 06:47:00 GMT";
    assert_eq!(
        pause(&["Retry-After: 90", date], "error_429.json").await,
        retry(90)
    );
    assert_eq!(pause(&[until, date], "error_429.json").await, retry(120));
    // Without the header the quota of the hour is free again when the service's clock strikes.
    assert_eq!(pause(&[date], "error_429.json").await, retry(15 * 60));
    assert_eq!(pause(&[], "error_429.json").await, retry(60 * 60));
    // No service may silence the garden for longer than a day.
    let never = "Retry-After: 99999999999";
    assert_eq!(pause(&[never], "error_429.json").await, retry(24 * 60 * 60));
    assert_eq!(
        pause(&[], "web_page.html").await,
        NextStep::Retry { after: None }
    );
}

#[tokio::test]
async fn a_service_that_is_down_is_asked_again() {
    let page = payload("web_page.html");
    let error = answered(whole(
        "502 Bad Gateway",
        &["Content-Type: text/html"],
        &page,
    ))
    .await
    .unwrap_err();
    assert!(matches!(error, WeatherError::Busy { status: 502, .. }));
    assert!(!error.to_string().contains('<'), "{error}");
    assert_eq!(error.next_step(), NextStep::Retry { after: None });

    for answer in [ok(&page), ok(&payload("forecast_truncated.json")), ok(b"")] {
        let error = answered(answer).await.unwrap_err();
        assert!(matches!(
            error,
            WeatherError::Unreadable {
                problem: ReplyError::WebPage | ReplyError::CutOff,
                ..
            }
        ));
        assert_eq!(error.next_step(), NextStep::Retry { after: None });
    }
}
