//! What each service says when it is well, and how its answers can be spoiled, product by product.

use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use serde_json::{Value, json};

use super::home::{PATH, nights_of, service};

/// One product of a service.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Product {
    Forecast,
    Ensemble,
    Freshness,
    MetNorway,
    Point,
    Grid,
    Alerts,
    Archive,
}

/// A way in which an answer can be wrong that is well formed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Spoil {
    /// A bare nan where a number stands.
    Nan,
    /// Null where the values stand.
    Nulls,
    /// A value that does not occur on earth.
    Absurd,
    /// Not what was asked for.
    Missing,
    /// Another unit.
    Unit,
    /// Another place.
    Elsewhere,
}

impl Product {
    pub(super) const ALL: [Self; 8] = [
        Self::Forecast,
        Self::Ensemble,
        Self::Freshness,
        Self::MetNorway,
        Self::Point,
        Self::Grid,
        Self::Alerts,
        Self::Archive,
    ];

    pub(super) const fn path(self) -> &'static str {
        match self {
            Self::Forecast => PATH,
            Self::Ensemble => "/v1/ensemble",
            Self::Freshness => "/data/icon/static/meta.json",
            Self::MetNorway => "/complete",
            Self::Point => "/points/40.63,-74.43",
            Self::Grid => "/gridpoints/ABC/12,34",
            Self::Alerts => "/alerts/active",
            Self::Archive => "/v1/archive",
        }
    }

    /// The products that are asked for together with it.
    pub(super) const fn together(self) -> &'static [Self] {
        match self {
            Self::Forecast | Self::Archive => &[Self::Forecast],
            Self::Ensemble => &[Self::Forecast, Self::Ensemble],
            Self::Freshness => &[Self::Freshness, Self::Forecast],
            Self::MetNorway => &[Self::MetNorway],
            Self::Point | Self::Grid | Self::Alerts => &[Self::Point, Self::Grid, Self::Alerts],
        }
    }

    /// The source as a garden file has it: this product at one address, all else at another.
    pub(super) fn table(self, this: &str, else_where: &str) -> String {
        let plain = service(else_where);
        match self {
            Self::Forecast => service(this),
            Self::Ensemble => {
                let url = format!("{this}{}", self.path());
                format!("{plain}ensemble_model = \"icon_seamless\"\nensemble_url = \"{url}\"\n")
            }
            Self::Freshness => format!("{plain}freshness_url = \"{this}{}\"\n", self.path()),
            Self::MetNorway => format!(
                "[[garden.forecast]]\nsource = \"met-norway\"\nurl = \"{this}{}\"\n",
                self.path()
            ),
            Self::Point | Self::Grid | Self::Alerts => {
                format!("[[garden.forecast]]\nsource = \"nws\"\nurl = \"{this}\"\n")
            }
            Self::Archive => format!(
                "{plain}[garden.history]\nsource = \"open-meteo\"\nyears = 10\nurl = \"{this}{}\"\n",
                self.path()
            ),
        }
    }

    /// A good answer made at a moment: mild nights.
    pub(super) fn good(self, now: DateTime<Utc>) -> Vec<u8> {
        match self {
            Self::Forecast => nights_of(12.0, now).into_bytes(),
            Self::Ensemble => ensemble(now).to_string().into_bytes(),
            Self::Freshness => {
                let at = now.timestamp();
                json!({ "last_run_availability_time": at, "update_interval_seconds": 21600 })
                    .to_string()
                    .into_bytes()
            }
            Self::MetNorway => met_norway(now).to_string().into_bytes(),
            Self::Point => json!({ "properties": {
                "gridId": "ABC", "gridX": 12, "gridY": 34,
                "forecastZone": "https://x/XYZ015", "county": "https://x/XYC037",
            } })
            .to_string()
            .into_bytes(),
            Self::Grid => grid(now).to_string().into_bytes(),
            Self::Alerts => json!({ "features": [] }).to_string().into_bytes(),
            Self::Archive => archive(now).to_string().into_bytes(),
        }
    }

    /// A spoiled answer; none where a product has nothing of the kind.
    pub(super) fn spoiled(self, how: Spoil, now: DateTime<Utc>) -> Option<Vec<u8>> {
        let good = self.good(now);
        let mut body: Value = serde_json::from_slice(&good).unwrap();
        if how == Spoil::Nan {
            if self == Self::Alerts {
                return Some(b"{\"features\": nan}".to_vec());
            }
            // The last number, which is a value in each of them.
            let text = String::from_utf8(good).unwrap();
            let end = text.rfind(|c: char| c.is_ascii_digit()).unwrap();
            let start = text.get(..end).unwrap().rfind([':', ',', '[']).unwrap() + 1;
            return Some(
                [
                    text.get(..start).unwrap(),
                    "nan",
                    text.get(end + 1..).unwrap(),
                ]
                .concat()
                .into_bytes(),
            );
        }
        if how == Spoil::Elsewhere {
            return self
                .elsewhere(body)
                .map(|body| body.to_string().into_bytes());
        }
        let (values, unit) = self.places(&body);
        for at in &values {
            let place = body.pointer_mut(at).unwrap();
            match how {
                Spoil::Nan | Spoil::Elsewhere => unreachable!(),
                Spoil::Nulls => *place = Value::Null,
                Spoil::Absurd => *place = self.absurd(),
                Spoil::Missing => {
                    let (above, key) = at.rsplit_once('/').unwrap();
                    let above = body.pointer_mut(above).unwrap();
                    if let Value::Object(map) = above {
                        map.remove(key);
                    } else {
                        above.take();
                    }
                }
                Spoil::Unit => *body.pointer_mut(unit?).unwrap() = "K".into(),
            }
        }
        Some(serde_json::to_vec(&body).unwrap())
    }

    /// The answer as if for a place on the other side of the earth; none where an answer tells no place.
    fn elsewhere(self, mut body: Value) -> Option<Value> {
        match self {
            Self::Forecast | Self::Ensemble | Self::Archive => {
                body["latitude"] = json!(-40.5);
                body["longitude"] = json!(105.5);
            }
            Self::MetNorway | Self::Point => {
                body["geometry"] = json!({ "type": "Point", "coordinates": [105.5, -40.5] });
            }
            Self::Grid => {
                let corners = [
                    [105.5, -40.5],
                    [105.6, -40.5],
                    [105.6, -40.4],
                    [105.5, -40.5],
                ];
                body["geometry"] = json!({ "type": "Polygon", "coordinates": [corners] });
            }
            Self::Freshness | Self::Alerts => return None,
        }
        Some(body)
    }

    /// Where the values of an answer stand, and their unit.
    fn places(self, body: &Value) -> (Vec<String>, Option<&'static str>) {
        let one = |at: &str| vec![at.to_owned()];
        let each = |list: &str, rest: &str| {
            let count = body.pointer(list).unwrap().as_array().unwrap().len();
            (0..count).map(|n| format!("{list}/{n}{rest}")).collect()
        };
        match self {
            Self::Forecast => (
                one("/hourly/temperature_2m"),
                Some("/hourly_units/temperature_2m"),
            ),
            Self::Ensemble => (
                vec![
                    "/hourly/temperature_2m".to_owned(),
                    "/hourly/temperature_2m_member01".to_owned(),
                ],
                Some("/hourly_units/temperature_2m_member01"),
            ),
            Self::Freshness => (one("/last_run_availability_time"), None),
            Self::MetNorway => (
                each(
                    "/properties/timeseries",
                    "/data/instant/details/air_temperature",
                ),
                Some("/properties/meta/units/air_temperature"),
            ),
            Self::Point => (one("/properties/gridX"), None),
            Self::Grid => (
                one("/properties/temperature"),
                Some("/properties/temperature/uom"),
            ),
            Self::Alerts => (one("/features"), None),
            Self::Archive => (
                vec![
                    "/daily/temperature_2m_min".to_owned(),
                    "/daily/temperature_2m_max".to_owned(),
                ],
                Some("/daily_units/temperature_2m_min"),
            ),
        }
    }

    fn absurd(self) -> Value {
        match self {
            Self::Forecast | Self::Ensemble | Self::Archive => json!([4312.2]),
            Self::MetNorway => json!(4312.2),
            Self::Freshness => json!(99_999_999_999_999_i64),
            Self::Point => json!(-7),
            Self::Grid => json!({ "uom": "wmoUnit:degC", "values": [
                { "validTime": "2026-06-15T00:00:00+00:00/PT1H", "value": 4312.2 } ] }),
            Self::Alerts => json!([{ "properties": {
                "id": "x", "status": "Actual", "messageType": "Alert", "event": "Freeze Warning",
                "onset": "9999-01-01T00:00:00Z", "ends": "9999-01-02T00:00:00Z",
                "parameters": {}, "geocode": {} } }]),
        }
    }
}

/// An alert of frost over the next two nights.
pub(super) fn freeze_warning(now: DateTime<Utc>) -> Vec<u8> {
    let at = |hours| (now + TimeDelta::hours(hours)).to_rfc3339();
    json!({ "features": [{ "properties": {
        "id": "one", "status": "Actual", "messageType": "Alert", "event": "Freeze Warning",
        "senderName": "NWS Anytown", "headline": "Freeze Warning for two nights",
        "sent": at(-1), "onset": at(4), "ends": at(64), "expires": at(12),
        "parameters": { "VTEC": ["/O.NEW.KABC.FZ.W.0013.260616T0000Z-260618T1200Z/"] },
        "geocode": { "UGC": ["XYZ015"] } } }] })
    .to_string()
    .into_bytes()
}

/// Nights of 12 °C and days of 22 °C, no two runs the same.
fn degrees(at: DateTime<Utc>, now: DateTime<Utc>) -> f64 {
    use chrono::Timelike;
    let run = now.timestamp().div_euclid(3600).rem_euclid(50) as f64 / 100.0;
    let night = (4..16).contains(&at.hour());
    12.0 + run + if night { 0.0 } else { 10.0 }
}

fn hours(now: DateTime<Utc>, count: i64) -> Vec<DateTime<Utc>> {
    let start = now.date_naive().and_hms_opt(0, 0, 0).unwrap().and_utc();
    (0..count)
        .map(|hour| start + TimeDelta::hours(hour))
        .collect()
}

fn ensemble(now: DateTime<Utc>) -> Value {
    let mut body: Value = serde_json::from_str(&nights_of(12.0, now)).unwrap();
    let series = body["hourly"]["temperature_2m"].clone();
    body["hourly"]["temperature_2m_member01"] = series;
    body["hourly_units"]["temperature_2m_member01"] = "°C".into();
    body
}

fn met_norway(now: DateTime<Utc>) -> Value {
    let step = |at: &DateTime<Utc>| {
        let time = at.format("%Y-%m-%dT%H:%M:%SZ").to_string();
        let details = json!({ "air_temperature": degrees(*at, now) });
        json!({ "time": time, "data": { "instant": { "details": details } } })
    };
    let steps: Vec<Value> = hours(now, 9 * 24).iter().map(step).collect();
    json!({
        "type": "Feature",
        "geometry": { "type": "Point", "coordinates": [-74.43, 40.63, 30] },
        "properties": {
            "meta": { "updated_at": now.to_rfc3339(), "units": { "air_temperature": "celsius" } },
            "timeseries": steps,
        }
    })
}

fn grid(now: DateTime<Utc>) -> Value {
    let value = |at: &DateTime<Utc>| {
        let time = at.format("%Y-%m-%dT%H:%M:%S+00:00/PT1H").to_string();
        json!({ "validTime": time, "value": degrees(*at, now) })
    };
    let values: Vec<Value> = hours(now, 8 * 24).iter().map(value).collect();
    json!({ "properties": {
        "updateTime": now.to_rfc3339(),
        "elevation": { "unitCode": "wmoUnit:m", "value": 30.0 },
        "temperature": { "uom": "wmoUnit:degC", "values": values },
    } })
}

/// Ten years of an even climate, which has its seasons; whatever span is asked for.
fn archive(now: DateTime<Utc>) -> Value {
    let last = now.date_naive() - TimeDelta::days(6);
    archive_of(last - TimeDelta::days(3655), last)
}

/// The days of a span.
pub(super) fn archive_of(first: NaiveDate, last: NaiveDate) -> Value {
    use chrono::Datelike;
    let days: Vec<NaiveDate> = first.iter_days().take_while(|day| *day <= last).collect();
    let night = |day: &NaiveDate| {
        let season = (f64::from(day.ordinal0()) - 200.0) / 365.25 * std::f64::consts::TAU;
        let wobble = (f64::from(day.num_days_from_ce().rem_euclid(97)) - 48.0) / 12.0;
        ((8.0 + 12.0 * season.cos() + wobble) * 10.0).round() / 10.0
    };
    let minima: Vec<f64> = days.iter().map(night).collect();
    let maxima: Vec<f64> = minima.iter().map(|night| night + 10.0).collect();
    json!({
        "latitude": 40.5, "longitude": -74.5, "elevation": 44.0, "utc_offset_seconds": -14_400,
        "daily_units": { "time": "iso8601", "temperature_2m_min": "°C", "temperature_2m_max": "°C" },
        "daily": { "time": days, "temperature_2m_min": minima, "temperature_2m_max": maxima },
    })
}
