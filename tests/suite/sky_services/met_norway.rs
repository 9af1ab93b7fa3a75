//! MET Norway: what is asked, and how its steps become hours, spans and conditions.

use budward::forecast::local_days;

use super::*;

fn data(name: &str) -> Vec<u8> {
    std::fs::read(project().join("tests/data/met_norway").join(name)).unwrap()
}

fn then() -> DateTime<Utc> {
    "2027-04-01T06:30:00Z".parse().unwrap()
}

async fn told(body: &[u8], now: DateTime<Utc>) -> Result<Forecast, WeatherError> {
    let peer = StandIn::start(vec![("/complete", ok(body))]).await;
    let from = ForecastFrom::MetNorway {
        url: format!("{}/complete", peer.url),
    };
    fetcher().forecast(&from, &place(), now).await
}

#[tokio::test]
async fn the_complete_product_is_asked_for_with_the_height() {
    let peer = StandIn::start(vec![("/complete", ok(&data("complete.json")))]).await;
    let from = ForecastFrom::MetNorway {
        url: format!("{}/complete", peer.url),
    };
    let zone = Zone::named("America/New_York").unwrap();
    let high = Place::new(39.512_345_6, -82.1, Some(Metres(212.4)), zone).unwrap();
    let forecast = fetcher().forecast(&from, &high, then()).await.unwrap();
    fetcher().forecast(&from, &place(), then()).await.unwrap();
    assert_eq!(
        peer.targets(),
        [
            "/complete?lat=39.51&lon=-82.10&altitude=212",
            "/complete?lat=39.5123&lon=-82.1000"
        ]
    );
    assert_eq!(forecast.source, "met-norway");
    assert!(forecast.attribution.contains("MET Norway"));
    assert_eq!(forecast.data_at.to_rfc3339(), "2027-04-01T05:12:34+00:00");
    assert_eq!(forecast.elevation, Some(Metres(212.0)));
}

#[tokio::test]
async fn long_steps_become_spans_and_the_nights_are_known_to_the_end() {
    let forecast = told(&data("complete.json"), then()).await.unwrap();
    // 42 hours, then one value every sixth hour.
    let known = degrees(&forecast.run);
    assert!(known[..43].iter().all(Option::is_some));
    assert_eq!(known[43..].iter().flatten().count(), 24);
    assert_eq!(forecast.spans.len(), 24);

    let days = local_days(&forecast, &place().zone);
    let lowest = |date: &str| {
        let day = &days[&date.parse().unwrap()];
        day.run
            .map(|(min, _)| (min.degrees() * 10.0).round() / 10.0)
    };
    // The first day lacks its night, the last its evening; the payload's curve is coldest at 21:00 UTC.
    assert_eq!(lowest("2027-04-01"), None);
    let nights: Vec<Option<f64>> = (2..=8)
        .map(|day| lowest(&format!("2027-04-0{day}")))
        .collect();
    assert!(nights.iter().all(Option::is_some), "{nights:?}");
    // Without the spans only the days of whole hours are left.
    let mut hours = forecast.clone();
    hours.spans.clear();
    let days = local_days(&hours, &place().zone);
    assert_eq!(days.values().filter(|day| day.is_known()).count(), 1);
}

#[tokio::test]
async fn rain_is_taken_from_one_hour_or_shared_out_of_six_and_never_both() {
    let forecast = told(&data("complete.json"), then()).await.unwrap();
    let conditions = forecast.conditions.unwrap();
    let rain = |hour: usize| {
        conditions.hours[hour]
            .rain_mm
            .map(|mm| (mm * 100.0).round() / 100.0)
    };
    assert_eq!(
        [rain(0), rain(1), rain(3)],
        [Some(0.0), Some(0.3), Some(0.9)]
    );
    // Hours 48 to 53 share 0.0 mm, 42 to 47 too: the payload's amounts are 1.2 mm times the hour modulo three.
    assert_eq!(rain(43), Some(0.0));
    assert_eq!(conditions.hours[9].thunder, Some(true));
    assert_eq!(conditions.hours[8].thunder, Some(false));
    assert!(conditions.hours[35].gust.is_some() && conditions.hours[36].gust.is_none());
}

#[tokio::test]
async fn what_is_not_given_is_none_and_what_is_wrong_is_refused() {
    let compact = told(&data("compact.json"), then()).await.unwrap();
    assert_eq!(compact.elevation, None);
    assert_eq!(degrees(&compact.run)[3..5], [None, None]);
    // The dew point comes from temperature and humidity.
    assert!(compact.conditions.unwrap().hours[0].dew_point.is_some());
    for (name, why) in [
        (
            "kelvin.json",
            "field air_temperature is in the unit 'kelvin', allowed are °C, celsius",
        ),
        (
            "absurd.json",
            "field air_temperature is -99.9 °C at 2027-04-01 08:00 UTC, outside -90 to 60 °C",
        ),
        ("no_temperature.json", "field air_temperature has no value"),
    ] {
        let error = told(&data(name), then()).await.unwrap_err();
        assert!(error.to_string().contains(why), "{error}");
        assert_eq!(error.next_step(), NextStep::UseFallback);
    }
}

#[tokio::test]
async fn data_from_later_than_now_are_refused() {
    let body = data("complete.json");
    let early = "2027-04-01T04:00:00Z".parse().unwrap();
    let error = told(&body, early).await.unwrap_err().to_string();
    assert!(error.contains("later than now"), "{error}");
    // A clock that is a little apart is no matter.
    let near = "2027-04-01T05:00:00Z".parse().unwrap();
    assert_eq!(told(&body, near).await.unwrap().data_at, near);
}
