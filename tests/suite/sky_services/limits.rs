//! The limits that every question keeps: time, size, redirects, encryption, and what is told to whom.

use super::*;

#[tokio::test]
async fn an_answer_that_drips_or_breaks_off_is_given_up() {
    let limit = Duration::from_millis(300);
    let error = answered_within(Answer::Drip, limit).await.unwrap_err();
    assert!(matches!(error, WeatherError::TimedOut { limit: l, .. } if l == limit));
    assert!(error.to_string().ends_with("within 0.3 s"), "{error}");
    assert_eq!(error.next_step(), NextStep::Retry { after: None });

    let error = answered(Answer::BreaksOff).await.unwrap_err();
    assert!(matches!(error, WeatherError::Unreachable { .. }));
}

#[tokio::test]
async fn a_small_body_that_unpacks_to_a_huge_one_is_cut_off() {
    let bomb = payload("nine_mebibytes_of_blanks.gz");
    assert!(bomb.len() < BODY_CAP / 100);
    let error = answered(whole("200 OK", &["Content-Encoding: gzip"], &bomb))
        .await
        .unwrap_err();
    assert!(matches!(
        error,
        WeatherError::TooLarge { cap: BODY_CAP, .. }
    ));
    assert_eq!(error.next_step(), NextStep::UseFallback);
}

#[tokio::test]
async fn circles_and_ways_out_are_not_followed() {
    let error = answered(whole("302 Found", &["Location: /v1/forecast"], b""))
        .await
        .unwrap_err();
    assert!(matches!(error, WeatherError::Redirected { .. }));
    assert!(error.to_string().ends_with("too many redirects"), "{error}");

    // 192.0.2.0/24 belongs to nobody (RFC 5737).
    let out = "Location: http://192.0.2.1/v1/forecast?apikey=quince";
    let error = answered(whole("302 Found", &[out], b"")).await.unwrap_err();
    assert!(
        error.to_string().ends_with("it leads to another host"),
        "{error}"
    );
    assert!(!format!("{error:?}").contains("quince"));
    assert_eq!(error.next_step(), NextStep::AskHuman);
}

#[tokio::test]
async fn a_redirect_on_the_way_is_followed_and_tells_nobody_where_it_came_from() {
    let peer = StandIn::start(vec![
        (
            "/v1/forecast",
            whole("301 Moved Permanently", &["Location: /v2/forecast"], b""),
        ),
        ("/v2/forecast", ok(&payload("forecast.json"))),
    ])
    .await;
    let from = service(&peer.url, None);
    let forecast = fetcher().forecast(&from, &place(), now()).await.unwrap();
    assert_eq!(forecast.run.temperature.len(), 24);
    assert!(!peer.asked()[1].to_ascii_lowercase().contains("referer"));
}

#[tokio::test]
async fn a_closed_door_names_the_host_and_keeps_the_key() {
    let url = format!("{}?apikey=quince", closed_port().await);
    let from = ForecastFrom::OpenMeteo {
        url,
        ensemble_url: String::new(),
        ensemble_model: None,
        freshness_url: None,
        key: None,
    };
    let error = fetcher()
        .forecast(&from, &place(), now())
        .await
        .unwrap_err();
    assert!(matches!(error, WeatherError::Unreachable { .. }));
    let text = error.to_string();
    assert!(
        text.starts_with("cannot reach open-meteo at 127.0.0.1:"),
        "{text}"
    );
    assert!(text.contains("refused"), "{text}");
    let debug = format!("{error:?} {from:?} {from}");
    for secret in ["quince", "39.51", "-82.1"] {
        assert!(!debug.contains(secret), "{secret} in {debug}");
    }
    assert_eq!(error.next_step(), NextStep::Retry { after: None });
}

#[tokio::test]
async fn an_address_without_encryption_is_for_this_machine_only() {
    for (address, complaint) in [
        ("http://sky.example/v1/forecast", "its scheme is 'http'"),
        ("file:///etc/hostname", "its scheme is 'file'"),
        ("sky.example/v1/forecast", "relative URL without a base"),
    ] {
        let url = fetcher().elevation(address, &place(), now()).await;
        let error = url.unwrap_err();
        assert!(matches!(error, WeatherError::Address { .. }));
        assert!(error.to_string().contains(complaint), "{error}");
        assert_eq!(error.next_step(), NextStep::AskHuman);
    }
}

#[test]
fn a_client_without_a_contact_is_refused() {
    let timeout = Duration::from_secs(20);
    let error = Fetcher::new("  ", timeout).unwrap_err();
    assert!(matches!(error, WeatherError::NoContact));
    assert_eq!(error.next_step(), NextStep::Stop);
    fetcher();
    let error = Fetcher::new("line\nbreak", timeout).unwrap_err();
    assert!(matches!(error, WeatherError::NoClient(_)), "{error}");
}

#[test]
fn a_proxy_of_the_environment_is_not_asked_for_this_machine() {
    // Another run of this binary, since the environment of a process is not changed while it runs. Nobody listens on
    // the port of the discard service.
    let proxy = "http://127.0.0.1:9";
    let run = std::process::Command::new(std::env::current_exe().unwrap())
        .args([
            "--exact",
            "sky_services::the_height_of_a_place_is_asked_for_and_read",
        ])
        .envs(["HTTP_PROXY", "http_proxy", "ALL_PROXY"].map(|name| (name, proxy)))
        .env_remove("NO_PROXY")
        .env_remove("no_proxy")
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&run.stdout);
    assert!(said.contains("1 passed"), "{said}");
}
