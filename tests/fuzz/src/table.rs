//! The targets: name, longest input, dictionary, what they begin with, what they read.

use budward::weather::Payload;

use crate::{mail, records, settings, store, weather};

/// One reader under test.
pub struct Target {
    /// Its name.
    pub name: &'static str,
    /// The longest input, in bytes: so short that ten million inputs are a matter of minutes, longer than what tells
    /// one branch of the reader from the other.
    pub max_len: usize,
    /// The file of its words under `dictionaries/`; `-` for none.
    pub words: &'static str,
    /// The inputs to begin with.
    pub seeds: fn() -> Vec<Vec<u8>>,
    /// Reads one input.
    pub read: fn(&[u8]),
}

const fn target(
    (name, max_len, words): (&'static str, usize, &'static str),
    seeds: fn() -> Vec<Vec<u8>>,
    read: fn(&[u8]),
) -> Target {
    Target {
        name,
        max_len,
        words,
        seeds,
        read,
    }
}

/// The targets of one kind of payload.
macro_rules! payload {
    ($name:literal, $max_len:literal, $words:literal, $payload:ident) => {
        target(
            ($name, $max_len, $words),
            || weather::seeds(Payload::$payload),
            |bytes| weather::read(Payload::$payload, bytes),
        )
    };
}

/// The targets of one form of a record of past years.
macro_rules! record {
    ($name:literal, $max_len:literal, $words:literal, $beginnings:expr) => {
        target(
            ($name, $max_len, $words),
            || records::seeds(&$beginnings),
            records::read,
        )
    };
}

/// All of them.
pub const TARGETS: &[Target] = &[
    payload!("open_meteo_forecast", 2048, "open_meteo", OpenMeteoForecast),
    payload!("open_meteo_ensemble", 2048, "open_meteo", OpenMeteoEnsemble),
    payload!("open_meteo_archive", 1024, "open_meteo", OpenMeteoArchive),
    payload!(
        "open_meteo_freshness",
        512,
        "open_meteo",
        OpenMeteoFreshness
    ),
    payload!(
        "open_meteo_elevation",
        256,
        "open_meteo",
        OpenMeteoElevation
    ),
    payload!("met_norway", 4096, "met_norway", MetNorway),
    payload!("nws_point", 1024, "nws", NwsPoint),
    payload!("nws_grid", 3072, "nws", NwsGrid),
    payload!("nws_alerts", 8192, "nws", NwsAlerts),
    payload!("ghcn_station", 2048, "records", GhcnStation),
    record!("record_archive", 1024, "open_meteo", ["archive"]),
    record!(
        "record_tables",
        1024,
        "records",
        ["comma", "semicolon", "tabs", "three", "fahrenheit"]
    ),
    record!("record_ghcn_tables", 1024, "records", ["ghcn_"]),
    record!("record_station", 2048, "records", ["station"]),
    target(
        ("record_forecasts", 1024, "records"),
        records::forecast_seeds,
        records::read_forecasts,
    ),
    target(
        ("readings", 1024, "readings"),
        records::reading_seeds,
        records::read_readings,
    ),
    target(
        ("configuration", 4096, "configuration"),
        settings::seeds,
        settings::read,
    ),
    target(
        ("schedule", 128, "schedule"),
        settings::schedule_seeds,
        settings::read_schedule,
    ),
    target(
        ("quantities", 64, "quantities"),
        settings::quantity_seeds,
        settings::read_quantity,
    ),
    target(
        ("almanac", 4096, "almanac"),
        settings::almanac_seeds,
        settings::read_almanac,
    ),
    target(("link", 256, "-"), mail::link_seeds, mail::read_link),
    target(
        ("mail_relay", 1024, "mail_relay"),
        mail::relay_seeds,
        mail::read_relay,
    ),
    target(
        ("pause", 128, "pause"),
        weather::pause_seeds,
        weather::read_pause,
    ),
    target(("store", 2048, "store"), store::seeds, store::read),
];
