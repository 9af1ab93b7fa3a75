//! Open-Meteo's paid plans and its page on freshness: the key goes to the service and nowhere else.

use secrecy::SecretString;

use super::*;

fn paid(url: &str) -> ForecastFrom {
    ForecastFrom::OpenMeteo {
        url: format!("{url}/v1/forecast"),
        ensemble_url: format!("{url}/v1/ensemble"),
        ensemble_model: Some("icon_seamless".to_owned()),
        freshness_url: Some(format!("{url}/data/icon/static/meta.json")),
        key: Some(SecretString::from("quince-7")),
    }
}

#[tokio::test]
async fn the_key_goes_with_every_question_and_the_newest_run_dates_the_data() {
    let peer = StandIn::start(vec![
        ("/v1/forecast", ok(&payload("forecast.json"))),
        ("/v1/ensemble", ok(&payload("ensemble.json"))),
        (
            "/data/icon/static/meta.json",
            ok(&payload("freshness.json")),
        ),
    ])
    .await;
    let from = paid(&peer.url);
    let forecast = fetcher().forecast(&from, &place(), now()).await.unwrap();
    // 1775018700 s after 1970, by GNU date.
    assert_eq!(forecast.data_at.to_rfc3339(), "2026-04-01T04:45:00+00:00");
    assert_eq!(forecast.members.len(), 3);
    let targets = peer.targets();
    assert_eq!(targets.len(), 3);
    assert!(
        targets.iter().all(|one| one.ends_with("apikey=quince-7")),
        "{targets:?}"
    );
    assert!(!format!("{from:?} {from} {forecast:?}").contains("quince"));
}

#[tokio::test]
async fn no_error_tells_the_key() {
    let refused = whole("400 Bad Request", &[], &payload("error_400.json"));
    let page = (
        "/data/icon/static/meta.json",
        ok(&payload("freshness.json")),
    );
    let moved = whole(
        "302 Found",
        &["Location: http://elsewhere.example/?apikey=quince-7"],
        b"",
    );
    for answer in [refused, moved, ok(b"{"), Answer::BreaksOff] {
        let peer = StandIn::start(vec![page.clone(), ("/v1/forecast", answer)]).await;
        let error = fetcher()
            .forecast(&paid(&peer.url), &place(), now())
            .await
            .unwrap_err();
        assert!(
            !format!("{error} {error:?}").contains("quince"),
            "{error:?}"
        );
    }
    let nobody = closed_port().await;
    let error = fetcher()
        .forecast(&paid(&nobody), &place(), now())
        .await
        .unwrap_err();
    assert!(
        !format!("{error} {error:?}").contains("quince"),
        "{error:?}"
    );
}

#[tokio::test]
async fn data_whose_age_is_asked_for_and_not_told_are_none() {
    let peer = StandIn::start(vec![("/v1/forecast", ok(&payload("forecast.json")))]).await;
    let error = fetcher()
        .forecast(&paid(&peer.url), &place(), now())
        .await
        .unwrap_err();
    assert!(matches!(error, WeatherError::Refused { status: 404, .. }));
}
