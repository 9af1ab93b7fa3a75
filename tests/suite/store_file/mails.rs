//! The way of a mail through the outbox, over refusals, stops and newer news.

use budward::notice::{News, Waiting};
use budward::store::{Before, Delivery, Failure, NextStep, OutboxItem, Store, retry_at};
use chrono::{DateTime, TimeDelta, Utc};

use super::folder;
use super::given::{at, round, told};
use crate::database::new_store;

const MORNING: &str = "2027-04-22T06:00:00Z";

/// A store with one mail, and that mail.
fn with_mail() -> (Store, OutboxItem) {
    let mut store = new_store();
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
        .mark_failed(mail.id, now, "451 later", Failure::Later(next))
        .unwrap();
    assert!(due(&store, next - TimeDelta::seconds(1)).is_empty());
    let again = store.due(next).unwrap().remove(0);
    assert_eq!((again.delivery, again.tries), (Delivery::Deferred, 1));
    assert_eq!(again.last_reply.as_deref(), Some("451 later"));
    assert_eq!(again.message, mail.message);
    assert_eq!(
        retry_at(again.tries + 1, again.queued_at, next),
        Some(next + TimeDelta::minutes(10))
    );
    assert_eq!(
        journal(&store),
        [told_of("mail-deferred", "garden@example.org: 451 later")]
    );
}

#[test]
fn a_mail_that_is_given_up_stays_so() {
    let (mut store, mail) = with_mail();
    let now = at(MORNING);
    store.mark_sending(mail.id, now).unwrap();
    store
        .mark_failed(mail.id, now, "550 no such mailbox", Failure::Refused)
        .unwrap();
    assert!(due(&store, now + TimeDelta::days(30)).is_empty());
    assert_eq!(
        journal(&store),
        [told_of(
            "mail-given-up",
            "garden@example.org: 550 no such mailbox"
        )]
    );
}

/// When the program is stopped: before or after the mail itself went.
#[derive(Clone, Copy, PartialEq)]
enum Stop {
    BeforeItWent,
    AfterItWent,
}

/// A store on disk with one mail on its way, broken off by a stop of the program before or after the mail itself went.
fn stopped(news: News, when: Stop) -> (tempfile::TempDir, Store, OutboxItem) {
    let folder = folder();
    let path = folder.path().join("store.sqlite3");
    let now = at(MORNING);
    let mut store = Store::open(&path).unwrap();
    let mut said = told("box", "2027-04-22");
    said.said.news = news;
    store
        .close_round("museum", &round("museum", MORNING, vec![said]))
        .unwrap();
    let mail = store.due(now).unwrap().remove(0);
    store.mark_sending(mail.id, now).unwrap();
    if when == Stop::AfterItWent {
        store.mark_content(mail.id).unwrap();
    }
    drop(store);
    let mut store = Store::open(&path).unwrap();
    store.settle_sending(now).unwrap();
    (folder, store, mail)
}

#[test]
fn a_mail_that_a_stop_kept_from_going_goes_at_once() {
    let (_folder, store, mail) = stopped(News::NowGo, Stop::BeforeItWent);
    let again = store.due(at(MORNING)).unwrap().remove(0);
    assert_eq!(again.message, mail.message);
    assert_eq!((again.delivery, again.doubts), (Delivery::Deferred, 0));
    let says = "garden@example.org: the program was stopped before the mail went";
    assert_eq!(journal(&store), [told_of("mail-deferred", says)]);
}

#[test]
fn a_go_that_may_have_arrived_is_not_told_again() {
    let (_folder, store, _) = stopped(News::NowGo, Stop::AfterItWent);
    assert!(due(&store, at(MORNING) + TimeDelta::days(4)).is_empty());
    let says = "garden@example.org: the program was stopped while the mail was on its way";
    assert_eq!(journal(&store), [told_of("mail-unconfirmed", says)]);
    let found = before(&store);
    assert_eq!(
        (found.unsent.len(), found.said.len(), found.letters.len()),
        (0, 1, 1)
    );
}

#[test]
fn a_put_off_that_may_have_arrived_is_told_once_more_and_says_so() {
    let (_folder, mut store, mail) = stopped(News::PutOff, Stop::AfterItWent);
    let half_an_hour = at(MORNING) + TimeDelta::minutes(30);
    assert!(due(&store, half_an_hour - TimeDelta::seconds(1)).is_empty());
    let again = store.due(half_an_hour).unwrap().remove(0);
    assert_eq!((again.delivery, again.doubts), (Delivery::Unknown, 1));
    assert_eq!(again.message, mail.message);
    let told = again.message.once_more();
    assert_eq!(told.key, mail.message.key);
    assert!(told.text.starts_with(&mail.message.text));
    assert!(
        told.text
            .ends_with("\nThis letter may have reached you already.\n")
    );
    assert!(
        told.html
            .ends_with("<p>This letter may have reached you already.</p></body></html>")
    );
    // Twice in doubt is enough.
    store.mark_sending(mail.id, half_an_hour).unwrap();
    store.mark_content(mail.id).unwrap();
    store
        .mark_failed(mail.id, half_an_hour, "line lost", Failure::Unknown)
        .unwrap();
    assert!(due(&store, half_an_hour + TimeDelta::days(4)).is_empty());
}

#[test]
fn what_keeps_one_mail_from_going_keeps_all() {
    let mut store = new_store();
    queue(&mut store, MORNING, "2027-04-22");
    let now = at(MORNING);
    let hour = now + TimeDelta::hours(1);
    store.hold_mails(now, hour).unwrap();
    assert!(due(&store, hour - TimeDelta::seconds(1)).is_empty());
    let mail = store.due(hour).unwrap().remove(0);
    assert_eq!((mail.delivery, mail.tries), (Delivery::Deferred, 0));
    assert!(store.has_waiting_mail().unwrap());
    let mut next = round("museum", "2027-04-22T06:30:00Z", Vec::new());
    next.taken_back = vec![mail.id];
    store.close_round("museum", &next).unwrap();
    assert!(!store.has_waiting_mail().unwrap());
}

#[test]
fn a_step_that_does_not_fit_is_refused_and_changes_nothing() {
    let (mut store, mail) = with_mail();
    let now = at(MORNING);
    let refused = [
        store.mark_sending(mail.id, now - TimeDelta::seconds(1)),
        store.mark_sent(mail.id, now, "250 ok"),
        store.mark_failed(mail.id, now, "451 later", Failure::TooOld),
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

/// What a round finds that comes before the mail went out.
fn before(store: &Store) -> Before {
    let readers = ["garden@example.org".to_owned()];
    let since = "2027-01-01".parse().unwrap();
    let mut groups = store.before("museum", &readers, since).unwrap();
    assert_eq!(groups.len(), 1);
    groups.remove(0).1
}

#[test]
fn a_letter_that_has_not_gone_out_counts_as_never_written() {
    let (mut store, mail) = with_mail();
    let found = before(&store);
    assert_eq!(found.unsent.len(), 1);
    assert_eq!((found.said.len(), found.letters.len()), (0, 0));
    store.mark_sending(mail.id, at(MORNING)).unwrap();
    assert_eq!(before(&store).said.len(), 1, "it may arrive");
    assert_eq!(before(&store).unsent, []);
    store.mark_sent(mail.id, at(MORNING), "250 ok").unwrap();
    let found = before(&store);
    assert_eq!(found.unsent, []);
    assert_eq!(found.said["box"].news, News::NowGo);
    assert_eq!(found.letters, [at(MORNING)]);
}

#[test]
fn a_letter_that_is_overtaken_is_taken_back_with_what_it_said() {
    let (mut store, mail) = with_mail();
    store.mark_sending(mail.id, at(MORNING)).unwrap();
    let later = at("2027-04-23T06:00:00Z");
    store
        .mark_failed(mail.id, at(MORNING), "451 later", Failure::Later(later))
        .unwrap();
    let mut next = round(
        "museum",
        "2027-04-23T06:00:00Z",
        vec![told("lilac", "2027-04-23")],
    );
    next.taken_back = vec![mail.id];
    store.close_round("museum", &next).unwrap();
    let due = store.due(later + TimeDelta::days(1)).unwrap();
    let keys: Vec<_> = due.iter().map(|mail| mail.message.key.as_str()).collect();
    assert_eq!(keys, ["museum.lilac.now-go.2027-04-23"]);
    assert_eq!(store.said("museum", "box").unwrap(), None);
    assert_eq!(
        journal(&store)[1],
        told_of("mail-replaced", &mail.message.subject)
    );
    let dropped =
        |line: &budward::store::JournalLine| (line.what == "dropped").then(|| line.cut.clone());
    let lines = store.journal("museum", 100).unwrap();
    assert_eq!(
        lines.iter().filter_map(dropped).collect::<Vec<_>>(),
        ["box"]
    );
}

#[test]
fn what_waits_is_remembered_and_its_begin_and_end_stand_in_the_journal() {
    let mut store = new_store();
    let waits = |cut: &str| Waiting {
        cut: cut.to_owned(),
        news: News::NowGo,
        since: at(MORNING),
    };
    let days = [
        vec![waits("box"), waits("lilac")],
        vec![waits("lilac")],
        vec![],
    ];
    for (day, waiting) in (22..).zip(days) {
        let mut round = round("museum", &format!("2027-04-{day}T06:00:00Z"), Vec::new());
        round.waiting = waiting.clone();
        store.close_round("museum", &round).unwrap();
        assert_eq!(before(&store).waiting, waiting);
    }
    let lines = store.journal("museum", 100).unwrap().into_iter().rev();
    let told: Vec<(String, String)> = lines
        .filter(|line| line.what != "verdict")
        .map(|line| (line.what, line.cut))
        .collect();
    let line = |what, cut| told_of(what, cut);
    assert_eq!(
        told,
        [
            line("waits", "box"),
            line("waits", "lilac"),
            line("dropped", "box"),
            line("dropped", "lilac")
        ]
    );
}

#[test]
fn a_mail_that_waits_for_the_end_of_the_night_is_due_then() {
    let mut store = new_store();
    let mut night = round("museum", MORNING, vec![told("box", "2027-04-22")]);
    let end = at("2027-04-22T11:00:00Z");
    night.letter.as_mut().unwrap().goes_at = end;
    store.close_round("museum", &night).unwrap();
    assert!(due(&store, end - TimeDelta::seconds(1)).is_empty());
    assert_eq!(store.due(end).unwrap()[0].queued_at, at(MORNING));
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
