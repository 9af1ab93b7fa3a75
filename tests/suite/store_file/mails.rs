//! The way of a mail through the outbox, over refusals, stops and newer news.

use budward::store::{Delivery, NextStep, OutboxItem, Store, retry_at};
use chrono::{DateTime, TimeDelta, Utc};

use super::folder;
use super::given::{at, round, told};

const MORNING: &str = "2027-04-22T06:00:00Z";

/// A store with one mail, and that mail.
fn with_mail() -> (Store, OutboxItem) {
    let mut store = Store::in_memory().unwrap();
    queue(&mut store, MORNING, "2027-04-22");
    let mail = store.due(at(MORNING)).unwrap().remove(0);
    (store, mail)
}

fn queue(store: &mut Store, when: &str, date: &str) {
    store
        .close_round("museum", &round("museum", when, vec![told("box", date)]))
        .unwrap();
}

fn due(store: &Store, now: DateTime<Utc>) -> Vec<i64> {
    store
        .due(now)
        .unwrap()
        .into_iter()
        .map(|mail| mail.id)
        .collect()
}

/// What the journal says about mails, oldest first.
fn journal(store: &Store) -> Vec<(String, String)> {
    let lines = store.journal("museum", 100).unwrap().into_iter().rev();
    lines
        .filter(|line| line.what.starts_with("mail-"))
        .map(|line| (line.what, line.detail))
        .collect()
}

fn told_of(what: &str, detail: &str) -> (String, String) {
    (what.to_owned(), detail.to_owned())
}

#[test]
fn a_mail_is_due_at_once_and_after_it_was_sent_never_again() {
    let (mut store, mail) = with_mail();
    let now = at(MORNING);
    assert_eq!(
        (mail.delivery, mail.tries, mail.queued_at),
        (Delivery::Queued, 0, now)
    );
    store.mark_sending(mail.id, now).unwrap();
    assert!(due(&store, now).is_empty());
    store.mark_sent(mail.id, now, "250 2.0.0 taken").unwrap();
    assert!(due(&store, now + TimeDelta::days(400)).is_empty());
    assert_eq!(store.in_flight().unwrap(), []);
    assert_eq!(journal(&store), [told_of("mail-sent", "250 2.0.0 taken")]);
}

#[test]
fn a_mail_that_is_put_off_comes_back_at_its_time() {
    let (mut store, mail) = with_mail();
    let now = at(MORNING);
    let next = retry_at(mail.tries + 1, mail.queued_at, now).unwrap();
    assert_eq!(next, now + TimeDelta::minutes(5));
    store.mark_sending(mail.id, now).unwrap();
    store
        .mark_failed(mail.id, now, "451 later", Some(next))
        .unwrap();
    assert!(due(&store, next - TimeDelta::seconds(1)).is_empty());
    let again = store.due(next).unwrap().remove(0);
    assert_eq!((again.delivery, again.tries), (Delivery::Queued, 1));
    assert_eq!(again.last_reply.as_deref(), Some("451 later"));
    assert_eq!(again.message, mail.message);
    assert_eq!(
        retry_at(again.tries + 1, again.queued_at, next),
        Some(next + TimeDelta::minutes(15))
    );
    assert_eq!(journal(&store), [told_of("mail-deferred", "451 later")]);
}

#[test]
fn a_mail_that_is_given_up_stays_so() {
    let (mut store, mail) = with_mail();
    let now = at(MORNING);
    store.mark_sending(mail.id, now).unwrap();
    store
        .mark_failed(mail.id, now, "550 no such mailbox", None)
        .unwrap();
    assert!(due(&store, now + TimeDelta::days(30)).is_empty());
    assert_eq!(
        journal(&store),
        [told_of("mail-given-up", "550 no such mailbox")]
    );
}

#[test]
fn a_mail_left_in_flight_by_a_stop_is_due_after_an_hour_and_the_journal_says_so() {
    let folder = folder();
    let path = folder.path().join("store.sqlite3");
    let now = at(MORNING);
    let mut store = Store::open(&path).unwrap();
    queue(&mut store, MORNING, "2027-04-22");
    let mail = store.due(now).unwrap().remove(0);
    store.mark_sending(mail.id, now).unwrap();
    drop(store);

    let mut store = Store::open(&path).unwrap();
    let hour = TimeDelta::hours(1);
    assert!(due(&store, now + hour - TimeDelta::seconds(1)).is_empty());
    assert_eq!(store.in_flight().unwrap().len(), 1);
    let again = store.due(now + hour).unwrap().remove(0);
    assert_eq!(again.message.key, mail.message.key);
    store.mark_sending(mail.id, now + hour).unwrap();
    let line = told_of(
        "mail-unconfirmed",
        "the end of try 1 is not known; it may arrive twice",
    );
    assert_eq!(journal(&store), [line]);
    store.mark_sent(mail.id, now + hour, "250 ok").unwrap();
    assert_eq!(store.in_flight().unwrap(), []);
}

#[test]
fn a_step_that_does_not_fit_is_refused_and_changes_nothing() {
    let (mut store, mail) = with_mail();
    let now = at(MORNING);
    let refused = [
        store.mark_sending(mail.id, now - TimeDelta::seconds(1)),
        store.mark_sent(mail.id, now, "250 ok"),
        store.mark_failed(mail.id, now, "451 later", None),
        store.mark_sending(4711, now),
    ];
    for error in refused.map(Result::unwrap_err) {
        assert_eq!(error.next_step(), NextStep::UseFallback, "{error}");
    }
    assert_eq!(store.due(now).unwrap(), [mail]);
    assert_eq!(journal(&store), []);
}

#[test]
fn of_two_processes_one_gets_the_mail() {
    let folder = folder();
    let path = folder.path().join("store.sqlite3");
    let now = at(MORNING);
    let (mut one, mut other) = (Store::open(&path).unwrap(), Store::open(&path).unwrap());
    queue(&mut one, MORNING, "2027-04-22");
    let mail = other.due(now).unwrap().remove(0);
    one.mark_sending(mail.id, now).unwrap();
    assert!(other.mark_sending(mail.id, now).is_err());
}

#[test]
fn newer_news_on_a_cut_replaces_a_mail_that_still_waits() {
    let (mut store, mail) = with_mail();
    store.mark_sending(mail.id, at(MORNING)).unwrap();
    let later = at("2027-04-23T06:00:00Z");
    store
        .mark_failed(mail.id, at(MORNING), "451 later", Some(later))
        .unwrap();
    queue(&mut store, "2027-04-23T06:00:00Z", "2027-04-23");
    let due = store.due(later + TimeDelta::days(1)).unwrap();
    let keys: Vec<_> = due.iter().map(|mail| mail.message.key.as_str()).collect();
    assert_eq!(keys, ["museum.box.now-go.2027-04-23"]);
    assert_eq!(
        journal(&store)[1],
        told_of("mail-replaced", &mail.message.subject)
    );
}

#[test]
fn newer_news_does_not_stop_a_mail_on_its_way_but_its_next_try() {
    for failed in [false, true] {
        let (mut store, mail) = with_mail();
        store.mark_sending(mail.id, at(MORNING)).unwrap();
        let later = at("2027-04-22T06:00:30Z");
        queue(&mut store, "2027-04-22T06:00:30Z", "2027-04-23");
        if failed {
            store
                .mark_failed(mail.id, later, "451 later", Some(later))
                .unwrap();
            assert_eq!(journal(&store)[1].0, "mail-given-up");
        } else {
            store.mark_sent(mail.id, later, "250 ok").unwrap();
            assert_eq!(journal(&store)[1].0, "mail-sent");
        }
        assert_eq!(due(&store, later + TimeDelta::days(1)), [mail.id + 1]);
    }
}

#[test]
fn news_on_another_cut_or_garden_replaces_nothing() {
    let (mut store, mail) = with_mail();
    store
        .close_round(
            "museum",
            &round("museum", MORNING, vec![told("lilac", "2027-04-22")]),
        )
        .unwrap();
    let mut elsewhere = told("box", "2027-04-22");
    elsewhere.message.as_mut().unwrap().key = "abbey.box.now-go.2027-04-22".to_owned();
    store
        .close_round("abbey", &round("abbey", MORNING, vec![elsewhere]))
        .unwrap();
    assert_eq!(
        due(&store, at(MORNING)),
        [mail.id, mail.id + 1, mail.id + 2]
    );
}

#[test]
fn mails_are_forgotten_long_after_their_end_and_not_before() {
    let (mut store, mail) = with_mail();
    let now = at(MORNING);
    store.mark_sending(mail.id, now).unwrap();
    let later = now + TimeDelta::days(91);
    let mut empty = round("museum", MORNING, Vec::new());
    empty.at = later;
    store.close_round("museum", &empty).unwrap();
    assert_eq!(store.in_flight().unwrap().len(), 1);
    store.mark_sent(mail.id, later, "250 ok").unwrap();
    empty.at = now + TimeDelta::days(89);
    store.close_round("museum", &empty).unwrap();
    // Its key is still taken, so the news cannot be queued again.
    queue(&mut store, MORNING, "2027-04-22");
    assert!(due(&store, later).is_empty());
    empty.at = later;
    store.close_round("museum", &empty).unwrap();
    queue(&mut store, MORNING, "2027-04-22");
    assert_eq!(due(&store, later).len(), 1);
}
