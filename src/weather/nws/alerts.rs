//! Alerts in force: the warnings of frost and freeze among them.
//!
//! The list holds what is no longer meant: a watch that a warning has replaced (action UPG in its VTEC string), what was
//! cancelled (CAN) or has run out (EXP), tests, and messages that later ones refer to. Since October 2024 the name of an
//! event no longer tells a hard freeze, and some offices warn of the season's first freezes only: no warning does not
//! mean no freeze. Warnings of extreme cold are not among these: they are about people and come in any month.

use std::collections::{BTreeMap, BTreeSet};

use chrono::{DateTime, Utc};
use serde::Deserialize;

use super::{Point, last_part};
use crate::forecast::FrostWarning;
use crate::weather::json;
use crate::weather::question::{ReplyError, tidy};
use crate::weather::run::possible_instant;

/// Phenomena in VTEC strings: freeze, frost, hard freeze (the last until 2024; NWS Directive 10-1703, from memory).
const PHENOMENA: [&str; 3] = ["FZ", "FR", "HZ"];

/// The same by name, where an alert has no VTEC string.
const EVENTS: [&str; 5] = [
    "Freeze Warning",
    "Freeze Watch",
    "Frost Advisory",
    "Hard Freeze Warning",
    "Hard Freeze Watch",
];

/// Actions that end an event: upgraded to another, cancelled, expired.
const ENDING: [&str; 3] = ["UPG", "CAN", "EXP"];

/// One warning of frost or freeze in force, wherever it is.
#[derive(Debug, Clone)]
pub(in crate::weather) struct Alert {
    pub(in crate::weather) warning: FrostWarning,
    /// The zones and counties that it concerns; none where it names none.
    zones: Vec<String>,
    /// Office, phenomenon, significance and number: the same through all updates of a year.
    key: String,
    sent: Option<DateTime<Utc>>,
}

#[derive(Deserialize)]
struct Body {
    features: Vec<Feature>,
}

#[derive(Deserialize)]
struct Feature {
    properties: Properties,
}

#[derive(Deserialize)]
#[serde(rename_all = "camelCase")]
struct Properties {
    id: Option<String>,
    event: Option<String>,
    status: Option<String>,
    message_type: Option<String>,
    urgency: Option<String>,
    sent: Option<DateTime<Utc>>,
    effective: Option<DateTime<Utc>>,
    onset: Option<DateTime<Utc>>,
    ends: Option<DateTime<Utc>>,
    expires: Option<DateTime<Utc>>,
    sender_name: Option<String>,
    headline: Option<String>,
    #[serde(default)]
    geocode: Geocode,
    affected_zones: Option<Vec<String>>,
    references: Option<Vec<Reference>>,
    #[serde(default)]
    parameters: Parameters,
}

#[derive(Deserialize, Default)]
struct Geocode {
    #[serde(rename = "UGC")]
    ugc: Option<Vec<String>>,
}

#[derive(Deserialize)]
struct Reference {
    identifier: Option<String>,
}

#[derive(Deserialize, Default)]
struct Parameters {
    #[serde(rename = "VTEC")]
    vtec: Option<Vec<String>>,
}

/// Reads the warnings of frost and freeze in force.
pub(in crate::weather) fn read(bytes: &[u8]) -> Result<Vec<Alert>, ReplyError> {
    let Body { features } = json::typed(super::body(bytes)?)?;
    let alerts: Vec<Properties> = features.into_iter().map(|one| one.properties).collect();
    let replaced: BTreeSet<&str> = alerts
        .iter()
        .flat_map(|alert| alert.references.iter().flatten())
        .filter_map(|reference| reference.identifier.as_deref())
        .collect();
    let is_replaced =
        |alert: &Properties| alert.id.as_deref().is_some_and(|id| replaced.contains(id));
    let standing = alerts
        .iter()
        .filter(|alert| alert.is_meant() && !is_replaced(alert));
    standing
        .filter_map(|alert| alert.frost_key().map(|key| alert.read(key)))
        .collect()
}

/// The warnings that concern a point, each event once, by its latest message.
pub(in crate::weather) fn concerning(alerts: Vec<Alert>, point: &Point) -> Vec<FrostWarning> {
    let mut latest: BTreeMap<String, Alert> = BTreeMap::new();
    // What names no zone, or a point without zones, counts as concerned: the service was asked for the point alone.
    let concerns = |alert: &Alert| {
        let named = |zone| point.zones.contains(zone);
        alert.zones.is_empty() || point.zones.is_empty() || alert.zones.iter().any(named)
    };
    for alert in alerts.into_iter().filter(concerns) {
        let is_older = |kept: &Alert| kept.sent <= alert.sent;
        if latest.get(&alert.key).is_none_or(is_older) {
            latest.insert(alert.key.clone(), alert);
        }
    }
    latest.into_values().map(|alert| alert.warning).collect()
}

impl Properties {
    /// Whether it is a real message on something that is not over.
    fn is_meant(&self) -> bool {
        self.status.as_deref() == Some("Actual")
            && self.message_type.as_deref() != Some("Cancel")
            && self.urgency.as_deref() != Some("Past")
    }

    /// The key of the event in force, if it is frost or freeze.
    fn frost_key(&self) -> Option<String> {
        match &self.parameters.vtec {
            Some(strings) if !strings.is_empty() => {
                strings.iter().find_map(|string| frost_in_force(string))
            }
            Some(_) | None => {
                let event = self.event.as_deref()?;
                EVENTS.contains(&event).then(|| event.to_owned())
            }
        }
    }

    fn read(&self, key: String) -> Result<Alert, ReplyError> {
        let id = self.id.as_deref().unwrap_or("without id");
        let lacks = |field| {
            let what = format!("of a frost warning is missing ({})", tidy(id));
            ReplyError::field(field, what)
        };
        let onset = self.onset.or(self.effective).or(self.sent);
        let ends = self.ends.or(self.expires);
        let words = |text: &Option<String>| tidy(text.as_deref().unwrap_or_default());
        let geocodes = self.geocode.ugc.iter().flatten();
        let affected = self.affected_zones.iter().flatten();
        let zones = geocodes.chain(affected).map(|zone| last_part(zone));
        Ok(Alert {
            warning: FrostWarning {
                event: words(&self.event),
                sender: words(&self.sender_name),
                headline: words(&self.headline),
                onset: possible_instant(onset.ok_or_else(|| lacks("onset"))?, "onset")?,
                ends: possible_instant(ends.ok_or_else(|| lacks("ends"))?, "ends")?,
            },
            zones: zones.collect(),
            key,
            sent: self.sent,
        })
    }
}

/// The key of an operational VTEC string on frost or freeze that has not ended, such as
/// `/O.NEW.KTAE.FZ.W.0013.251216T0600Z-251216T1400Z/`.
fn frost_in_force(vtec: &str) -> Option<String> {
    let parts: Vec<&str> = vtec.trim_matches('/').split('.').collect();
    let [
        class,
        action,
        office,
        phenomenon,
        significance,
        number,
        _times,
    ] = parts.as_slice()
    else {
        return None;
    };
    let is_in_force = *class == "O" && !ENDING.contains(action);
    (is_in_force && PHENOMENA.contains(phenomenon))
        .then(|| [*office, *phenomenon, *significance, *number].join("."))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_operational_frost_in_force_counts() {
        let key = frost_in_force;
        let times = "251216T0600Z-251216T1400Z";
        assert_eq!(
            key(&format!("/O.NEW.KTAE.FZ.W.0013.{times}/")),
            Some("KTAE.FZ.W.0013".to_owned())
        );
        assert!(key(&format!("/O.CON.KTAE.FR.Y.0002.{times}/")).is_some());
        for other in [
            "O.UPG.KTAE.FZ.A.0004",
            "O.CAN.KTAE.FZ.A.0004",
            "O.EXP.KTAE.FZ.W.0013",
            "T.NEW.KTAE.FZ.W.0013",
            "O.NEW.KTAE.WS.W.0013",
        ] {
            assert_eq!(key(&format!("/{other}.{times}/")), None, "{other}");
        }
        assert_eq!(key("nonsense"), None);
    }
}
