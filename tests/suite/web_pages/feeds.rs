//! What other programs read: the calendar of a garden and the figures for a monitor.

use std::sync::Arc;

use budward::forecast::SourceState;
use budward::verdict::State;
use budward::web::{Standing, Trouble, Weight};
use chrono::{NaiveDate, TimeDelta};

use super::{Site, now, snapshot, verdict};
use crate::support::peer_says;

fn day(day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 3, day).unwrap()
}

/// The text of the calendar of a garden with one cut that stands so, told of on a day in March or never.
async fn windows(state: State, told: Option<u32>) -> String {
    let mut standing = verdict("hedge", state);
    standing.closes = NaiveDate::from_ymd_opt(2027, 4, 20);
    let mut snapshot = snapshot(vec![standing]);
    let told = told.map(|on| ("hedge-shear".to_owned(), day(on)));
    Arc::make_mut(&mut snapshot.gardens[0]).told = told.into_iter().collect();
    let site = Site::showing(snapshot, now()).await;
    let reply = site.get("/garden/quarry/windows.ics").await;
    assert_eq!(
        reply.headers()["content-type"],
        "text/calendar; charset=utf-8"
    );
    reply.text().await.unwrap()
}

#[tokio::test]
async fn an_open_window_starts_when_it_was_told_and_a_withdrawn_one_is_cancelled() {
    let open = windows(State::Go, Some(28)).await;
    for line in [
        "UID:quarry.hedge-shear@budward",
        "DTSTART;VALUE=DATE:20270328",
        "DTEND;VALUE=DATE:20270421",
        "STATUS:CONFIRMED",
    ] {
        assert!(open.contains(&format!("{line}\r\n")), "{line}: {open}");
    }
    let withdrawn = windows(State::Wait, Some(28)).await;
    assert!(withdrawn.contains("UID:quarry.hedge-shear@budward\r\n"));
    assert!(withdrawn.contains("STATUS:CANCELLED\r\n"), "{withdrawn}");
    let never = windows(State::Wait, None).await;
    assert!(!never.contains("BEGIN:VEVENT"), "{never}");
}

/// An event as two libraries read it: UID, SEQUENCE, STATUS, first day, day after the last, SUMMARY.
type Event = (String, u64, String, String, String, String);

/// The events of a calendar as it is served now; none, said aloud, without the libraries.
async fn events(site: &Site) -> Option<Vec<Event>> {
    let text = site
        .get("/garden/quarry/windows.ics")
        .await
        .text()
        .await
        .unwrap();
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("windows.ics");
    std::fs::write(&file, text).unwrap();
    let read = peer_says("check_calendar.py", &["icalendar", "vobject"], &[file])?;
    let [events]: [Vec<Event>; 1] = serde_json::from_value(read).unwrap();
    Some(events)
}

#[tokio::test]
async fn a_calendar_that_is_read_again_moves_and_cancels_its_own_windows() {
    let standing = |state, hours: i64, last: u32| {
        let mut hedge = verdict("Hedge; the long one,\n\"by\" the gate \u{1f33f}", state);
        hedge.at += TimeDelta::hours(hours);
        hedge.closes = NaiveDate::from_ymd_opt(2027, 4, last).filter(|_| state.allows());
        let mut rose = verdict("rose", State::Closed);
        rose.cut = "rose-renewal".to_owned();
        rose.at = hedge.at;
        let mut snapshot = snapshot(vec![hedge, rose]);
        let told = ("hedge-shear".to_owned(), day(28));
        Arc::make_mut(&mut snapshot.gardens[0]).told = [told].into_iter().collect();
        snapshot
    };
    let (publish, site) = Site::changing(standing(State::Go, 0, 20), now()).await;
    let mut read = Vec::new();
    for (state, hours, last) in [
        (State::Go, 0, 20),
        (State::Go, 6, 25),
        (State::Closing, 12, 18),
        (State::Wait, 18, 18),
        (State::Go, 24, 29),
    ] {
        publish.send_replace(Arc::new(standing(state, hours, last)));
        let Some(events) = events(&site).await else {
            return;
        };
        let [event] = events.try_into().unwrap();
        let again = self::events(&site).await.unwrap();
        assert_eq!(again, [Event::clone(&event)], "nothing has changed");
        read.push(event);
    }
    assert!(
        read.iter()
            .all(|event| event.0 == "quarry.hedge-shear@budward")
    );
    assert!(read.is_sorted_by(|one, next| one.1 < next.1), "{read:?}");
    let stands: Vec<_> = read
        .iter()
        .map(|event| (event.2.as_str(), event.4.as_str()))
        .collect();
    assert_eq!(
        stands,
        [
            ("CONFIRMED", "2027-04-21"),
            ("CONFIRMED", "2027-04-26"),
            ("CONFIRMED", "2027-04-19"),
            ("CANCELLED", "2027-04-02"),
            ("CONFIRMED", "2027-04-30"),
        ]
    );
    assert!(read[0].5.contains("Hedge; the long one,"), "{}", read[0].5);
    site.end().await;
}

#[tokio::test]
async fn the_figures_follow_the_text_format_of_the_monitor() {
    let cuts = vec![verdict("hedge", State::Go), verdict("rose", State::Wait)];
    let mut shown = snapshot(cuts);
    shown.troubles.push(Trouble {
        about: "store".to_owned(),
        says: "the disk is full".to_owned(),
        since: now(),
        weight: Weight::Grave,
    });
    Arc::make_mut(&mut shown.gardens[0]).sources.push(Standing {
        words: String::new(),
        state: SourceState {
            source: "open-meteo".to_owned(),
            heard: None,
            fresh_for_hours: 36,
            silent_since: Some(now()),
            is_odd: false,
        },
    });
    let site = Site::showing(shown, now() + TimeDelta::days(2)).await;
    let reply = site.get("/metrics").await;
    assert_eq!(
        reply.headers()["content-type"],
        "text/plain; version=0.0.4; charset=utf-8"
    );
    let text = reply.text().await.unwrap();
    for line in [
        "budward_overdue 1",
        "budward_cuts{garden=\"quarry\",state=\"go\"} 1",
        "budward_cuts{garden=\"quarry\",state=\"closed\"} 0",
        "budward_watched{garden=\"quarry\"} 0",
        "budward_trouble{about=\"store\"} 1",
        "budward_source_silent{garden=\"quarry\",source=\"open-meteo\"} 1",
    ] {
        assert!(text.lines().any(|found| found == line), "{line}: {text}");
    }
    // Each figure has its help and its type before it, and each line is a name, labels and a number.
    let mut typed = Vec::new();
    for line in text.lines() {
        if let Some(rest) = line.strip_prefix("# TYPE ") {
            typed.push(rest.split(' ').next().unwrap().to_owned());
        } else if !line.starts_with('#') {
            let (name, value) = line.rsplit_once(' ').unwrap();
            let name = name.split('{').next().unwrap();
            assert_eq!(typed.last().map(String::as_str), Some(name));
            value.parse::<i64>().unwrap();
        }
    }
}
