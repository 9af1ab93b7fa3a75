//! The end of a round: all of it or nothing.

use budward::garden::Answer;
use budward::look::{Prospect, UsualWindow};
use budward::notice::News;
use budward::outlook::NightFan;
use budward::plan::Frost;
use budward::risk::DateRange;
use budward::store::{GivenAnswer, NextStep, Store};
use budward::units::{Celsius, Chance};
use budward::verdict::State;
use rusqlite::Connection;

use super::folder;
use super::given::{STATES, at, round, told, verdict};
use crate::database::new_store;

fn cause(error: &dyn std::error::Error) -> String {
    error.source().unwrap().to_string()
}

fn whats(store: &Store) -> Vec<String> {
    let lines = store.journal("museum", 100).unwrap();
    lines.into_iter().rev().map(|line| line.what).collect()
}

#[test]
fn a_verdict_in_any_state_comes_back_as_it_was() {
    let mut store = new_store();
    let closed = round("museum", "2027-04-22T06:00:00Z", Vec::new());
    assert_eq!(closed.verdicts.len(), STATES.len());
    store.close_round("museum", &closed).unwrap();
    assert_eq!(store.verdicts("museum").unwrap(), closed.verdicts);
}

#[test]
fn the_verdicts_are_replaced_as_a_whole_and_by_garden() {
    let mut store = new_store();
    let other = round("abbey", "2027-04-22T06:00:00Z", Vec::new());
    store.close_round("abbey", &other).unwrap();
    store
        .close_round(
            "museum",
            &round("museum", "2027-04-22T06:00:00Z", Vec::new()),
        )
        .unwrap();
    let mut next = round("museum", "2027-04-23T06:00:00Z", Vec::new());
    next.verdicts.truncate(2);
    next.verdicts.reverse();
    store.close_round("museum", &next).unwrap();
    assert_eq!(store.verdicts("museum").unwrap(), next.verdicts);
    assert_eq!(store.last_round("museum").unwrap(), Some(next.at));
    assert_eq!(store.verdicts("abbey").unwrap(), other.verdicts);
}

#[test]
fn the_last_word_is_the_last_one() {
    let mut store = new_store();
    let mut later = told("box", "2027-04-24");
    later.said.news = News::PutOff;
    later.said.wished = None;
    for (when, news) in [
        ("2027-04-22T06:00:00Z", told("box", "2027-04-22")),
        ("2027-04-24T06:00:00Z", later.clone()),
    ] {
        store
            .close_round("museum", &round("museum", when, vec![news]))
            .unwrap();
    }
    assert_eq!(store.said("museum", "box").unwrap(), Some(later.said));
    assert_eq!(store.said("museum", "lilac").unwrap(), None);
    assert_eq!(store.said("abbey", "box").unwrap(), None);
}

#[test]
fn the_journal_tells_changes_and_news_and_not_what_stays() {
    let mut store = new_store();
    let of = |when, state, told| {
        let mut round = round("museum", when, told);
        round.verdicts = vec![verdict("museum", "box", state)];
        round
    };
    store
        .close_round("museum", &of("2027-04-21T06:00:00Z", State::Wait, vec![]))
        .unwrap();
    store
        .close_round("museum", &of("2027-04-21T12:00:00Z", State::Wait, vec![]))
        .unwrap();
    let news = vec![told("box", "2027-04-22")];
    store
        .close_round("museum", &of("2027-04-22T06:00:00Z", State::Go, news))
        .unwrap();
    let lines = store.journal("museum", 100).unwrap();
    let told: Vec<_> = lines
        .iter()
        .rev()
        .map(|line| (line.what.as_str(), line.detail.as_str()))
        .collect();
    assert_eq!(
        told,
        [
            ("verdict", "wait"),
            ("verdict", "wait -> go"),
            ("now-go", "box: from today (2027-04-22)")
        ]
    );
    assert_eq!(store.journal("museum", 1).unwrap(), lines[..1]);
}

#[test]
fn a_garden_without_an_address_is_told_by_the_journal_alone() {
    let mut store = new_store();
    let mut closed = round(
        "museum",
        "2027-04-22T06:00:00Z",
        vec![told("box", "2027-04-22")],
    );
    closed.letter = None;
    store.close_round("museum", &closed).unwrap();
    assert_eq!(
        store.said("museum", "box").unwrap(),
        Some(closed.told[0].said)
    );
    let line = store.journal("museum", 1).unwrap().remove(0);
    assert_eq!(
        (line.what.as_str(), line.detail.as_str()),
        ("now-go", "nobody is mailed")
    );
    assert_eq!(store.due(closed.at).unwrap(), []);
}

#[test]
fn a_key_that_is_known_changes_nothing() {
    let mut store = new_store();
    let first = round(
        "museum",
        "2027-04-22T06:00:00Z",
        vec![told("box", "2027-04-22")],
    );
    store.close_round("museum", &first).unwrap();
    let (before, journal) = (store.due(first.at).unwrap(), whats(&store));
    let mut again = first.clone();
    again.at = at("2027-04-22T12:00:00Z");
    again.letter.as_mut().unwrap().message.subject = "something else".to_owned();
    store.close_round("museum", &again).unwrap();
    assert_eq!(store.due(again.at).unwrap(), before);
    assert_eq!(whats(&store), journal);
    store.mark_sending(before[0].id, again.at).unwrap();
    store.mark_sent(before[0].id, again.at, "250 ok").unwrap();
    store.close_round("museum", &again).unwrap();
    assert_eq!(store.due(at("2099-01-01T00:00:00Z")).unwrap(), []);
}

/// Breaks one table for inserts, closes a round, and shows that nothing of it was kept.
fn nothing_is_kept_when_it_breaks_at(table: &str) {
    let folder = folder();
    let path = folder.path().join("store.sqlite3");
    let mut store = Store::open(&path).unwrap();
    let first = round(
        "museum",
        "2027-04-22T06:00:00Z",
        vec![told("box", "2027-04-22")],
    );
    store.close_round("museum", &first).unwrap();
    let breaker = Connection::open(&path).unwrap();
    let trigger = format!(
        "CREATE TRIGGER breaks BEFORE INSERT ON {table} WHEN (SELECT count(*) FROM {table}) > 0
         BEGIN SELECT RAISE(ABORT, 'broken on purpose'); END"
    );
    breaker.execute_batch(&trigger).unwrap();
    let mut second = round(
        "museum",
        "2027-04-23T06:00:00Z",
        vec![told("box", "2027-04-23"), told("lilac", "2027-04-23")],
    );
    second.verdicts.reverse();
    second.verdicts[0].state = State::Go;
    let journal = whats(&store);
    let error = store.close_round("museum", &second).unwrap_err();
    assert!(cause(&error).contains("broken on purpose"), "{error}");
    assert_eq!(error.next_step(), NextStep::Stop);
    assert_eq!(store.verdicts("museum").unwrap(), first.verdicts, "{table}");
    assert_eq!(
        store.last_round("museum").unwrap(),
        Some(first.at),
        "{table}"
    );
    assert_eq!(
        store.said("museum", "box").unwrap(),
        Some(first.told[0].said),
        "{table}"
    );
    assert_eq!(store.said("museum", "lilac").unwrap(), None, "{table}");
    assert_eq!(whats(&store), journal, "{table}");
    let due = store.due(second.at).unwrap();
    assert_eq!(due.len(), 1, "{table}");
    let letter = first.letter.as_ref();
    assert_eq!(
        Some(&due[0].message),
        letter.map(|letter| &letter.message),
        "{table}"
    );

    breaker.execute_batch("DROP TRIGGER breaks").unwrap();
    store.close_round("museum", &second).unwrap();
    assert_eq!(store.due(second.at).unwrap().len(), 2, "{table}");
}

#[test]
fn a_round_that_breaks_in_the_middle_leaves_nothing() {
    for table in ["verdict", "said", "journal", "outbox"] {
        nothing_is_kept_when_it_breaks_at(table);
    }
}

#[test]
fn two_verdicts_on_one_cut_are_refused_as_a_whole() {
    let mut store = new_store();
    let mut twice = round(
        "museum",
        "2027-04-22T06:00:00Z",
        vec![told("box", "2027-04-22")],
    );
    twice.verdicts.push(twice.verdicts[0].clone());
    assert!(store.close_round("museum", &twice).is_err());
    assert_eq!(store.last_round("museum").unwrap(), None);
    assert_eq!(store.due(twice.at).unwrap(), []);
}

#[test]
fn a_journal_line_can_be_neither_edited_nor_deleted() {
    let folder = folder();
    let path = folder.path().join("store.sqlite3");
    let mut store = Store::open(&path).unwrap();
    store
        .close_round("museum", &round("museum", "2027-04-22T06:00:00Z", vec![]))
        .unwrap();
    let hand = Connection::open(&path).unwrap();
    for change in ["UPDATE journal SET what = 'nothing'", "DELETE FROM journal"] {
        let error = hand.execute_batch(change).unwrap_err();
        assert!(
            error.to_string().contains("a journal line is never"),
            "{error}"
        );
    }
}

#[test]
fn a_verdict_in_a_form_that_is_not_known_is_told_from_a_broken_store() {
    let folder = folder();
    let path = folder.path().join("store.sqlite3");
    let mut store = Store::open(&path).unwrap();
    let closed = round("museum", "2027-04-22T06:00:00Z", vec![]);
    store.close_round("museum", &closed).unwrap();
    let hand = Connection::open(&path).unwrap();
    hand.execute_batch("UPDATE verdict SET verdict = '{\"form\": \"of next year\"}'")
        .unwrap();
    let error = store.verdicts("museum").unwrap_err();
    assert_eq!(error.next_step(), NextStep::UseFallback);
    assert_eq!(error.to_string(), "cannot understand the last verdicts");
    assert!(cause(&error).contains("missing field"), "{error:?}");
    store.close_round("museum", &closed).unwrap();
    assert_eq!(store.verdicts("museum").unwrap(), closed.verdicts);
}

#[test]
fn what_lies_before_a_garden_outlives_a_restart() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("store.sqlite3");
    let today = chrono::NaiveDate::from_ymd_opt(2027, 4, 1).unwrap();
    let window = DateRange {
        from: today,
        to: today + chrono::Days::new(30),
    };
    let prospect = Prospect {
        today,
        futures: 930,
        nights: vec![NightFan {
            quantiles: [-3.5, -1.0, 0.5, 2.0, 4.5].map(Celsius::new),
            forecast: Some(Celsius::new(0.1)),
        }],
        freezing: vec![Chance::of(0.25); 367],
        heat: None,
        events: Vec::new(),
        usual: vec![UsualWindow {
            cut: "box-edging-shear".to_owned(),
            window: Some(window),
            frost: Frost::Never {
                day: today,
                chance: Chance::of(0.15),
            },
        }],
    };
    let mut store = Store::open(&file).unwrap();
    assert_eq!(store.prospect("museum").unwrap(), None);
    let mut round = round("museum", "2027-04-01T12:00:00Z", Vec::new());
    round.prospect = Some(prospect.clone());
    store.close_round("museum", &round).unwrap();
    drop(store);
    let store = Store::open(&file).unwrap();
    assert_eq!(store.prospect("museum").unwrap(), Some(prospect));
}

#[test]
fn who_wants_no_letters_gets_none_and_hears_of_it_all_when_that_is_taken_back() {
    let mut store = new_store();
    let go = || vec![told("museum-go", "2027-04-22")];
    let first = round("museum", "2027-04-22T06:00:00Z", go());
    store.close_round("museum", &first).unwrap();
    let now = at("2027-04-22T07:00:00Z");
    assert_eq!(store.due(now).unwrap().len(), 1);
    let none = GivenAnswer {
        mark: "a".to_owned(),
        garden: "museum".to_owned(),
        cut: String::new(),
        reader: String::new(),
        planting: String::new(),
        answer: Answer::NoLetters,
        on: now.date_naive(),
        share: None,
        silent_until: None,
    };
    store.take_answer(&none, now).unwrap();
    assert!(
        store.due(now).unwrap().is_empty(),
        "one that waited is given up"
    );
    let second = round(
        "museum",
        "2027-05-22T06:00:00Z",
        vec![told("other-go", "2027-05-22")],
    );
    store.close_round("museum", &second).unwrap();
    let later = at("2027-05-22T07:00:00Z");
    assert!(store.due(later).unwrap().is_empty());
    // What was not sent counts as unsaid.
    assert_eq!(store.said("museum", "other-go").unwrap(), None);
    assert!(store.take_back_answer(&none, later).unwrap());
    store.close_round("museum", &second).unwrap();
    assert_eq!(store.due(later).unwrap().len(), 1);
}
