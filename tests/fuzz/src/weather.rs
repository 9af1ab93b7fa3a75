//! Replies of weather services.

use std::time::Duration;

use budward::forecast::{Forecast, local_days};
use budward::garden::Zone;
use budward::weather::{Payload, pause_of};
use chrono::DateTime;

use crate::seeds::{files, texts};

/// The project's own replies of a kind.
pub fn seeds(payload: Payload) -> Vec<Vec<u8>> {
    let (folder, beginning) = match payload {
        Payload::OpenMeteoForecast => ("openmeteo", "forecast"),
        Payload::OpenMeteoEnsemble => ("openmeteo", "ensemble"),
        Payload::OpenMeteoArchive => ("openmeteo", "archive"),
        Payload::OpenMeteoFreshness => ("openmeteo", "freshness"),
        Payload::OpenMeteoElevation => ("openmeteo", "elevation"),
        Payload::MetNorway => ("met_norway", "c"),
        Payload::NwsPoint => ("nws", "p"),
        Payload::NwsGrid => ("nws", "grid"),
        Payload::NwsAlerts => ("nws", "alerts"),
        Payload::GhcnStation => ("records", "station"),
    };
    files(&format!("tests/data/{folder}"), &[beginning])
}

/// Reads a reply as one of that kind.
pub fn read(payload: Payload, bytes: &[u8]) {
    let received_at = DateTime::from_timestamp(1_806_561_000, 0).unwrap_or_default();
    match payload.read(bytes, received_at) {
        Ok(Some(forecast)) => holds(&forecast),
        Ok(None) => {}
        Err(error) => assert!(error.to_string().chars().count() < 1000, "{error}"),
    }
}

/// What holds of every forecast that was read.
fn holds(forecast: &Forecast) {
    assert!(forecast.run.temperature.len() <= 366 * 24 + 1);
    for t in forecast.run.temperature.iter().flatten() {
        assert!((-90.0..=60.0).contains(&t.degrees()), "{t:?}");
    }
    assert!(forecast.spans.iter().all(|span| span.min <= span.max));
    for hour in forecast.conditions.iter().flat_map(|all| &all.hours) {
        assert!(
            hour.rain_mm
                .is_none_or(|rain| (0.0..=450.0).contains(&rain))
        );
        assert!(hour.cloud.is_none_or(|cloud| (0.0..=1.0).contains(&cloud)));
    }
    // What is kept in the store comes back the same, and the days can be made.
    let kept = serde_json::to_string(forecast).expect("it can be kept");
    let back: Forecast = serde_json::from_str(&kept).expect("it can be read back");
    assert_eq!(&back, forecast);
    if let Ok(zone) = Zone::named("America/New_York") {
        local_days(forecast, &zone);
    }
}

/// The date of a reply and when it says to ask again, on two lines.
pub fn pause_seeds() -> Vec<Vec<u8>> {
    texts(&[
        "Thu, 01 Apr 2027 06:30:00 GMT\n120",
        "Thu, 01 Apr 2027 06:30:00 GMT\nThu, 01 Apr 2027 06:31:00 GMT",
        "\nFri, 31 Dec 9999 23:59:60 +1400",
        "\n18446744073709551615",
    ])
}

/// Reads how long a service asks to be left alone.
pub fn read_pause(bytes: &[u8]) {
    let mut lines = bytes.splitn(2, |byte| *byte == b'\n');
    let mut line = || lines.next().unwrap_or_default();
    let pause = pause_of(line(), line());
    assert!(pause.is_none_or(|pause| pause <= Duration::from_hours(24)));
}
