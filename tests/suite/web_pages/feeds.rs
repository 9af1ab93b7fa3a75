//! What other programs read: the calendar of a garden and the figures for a monitor.

use budward::verdict::State;
use chrono::{NaiveDate, TimeDelta};

use super::{Site, now, snapshot, verdict};

fn day(day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2027, 3, day).unwrap()
}

/// The text of the calendar of a garden with one cut that stands so, told of on a day in March or never.
async fn windows(state: State, told: Option<u32>) -> String {
    let mut standing = verdict("hedge", state);
    standing.closes = NaiveDate::from_ymd_opt(2027, 4, 20);
    let mut snapshot = snapshot(vec![standing]);
    let told = told.map(|on| ("hedge-shear".to_owned(), day(on)));
    snapshot.gardens[0].told = told.into_iter().collect();
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

#[tokio::test]
async fn the_figures_follow_the_text_format_of_the_monitor() {
    let cuts = vec![verdict("hedge", State::Go), verdict("rose", State::Wait)];
    let site = Site::showing(snapshot(cuts), now() + TimeDelta::days(2)).await;
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
