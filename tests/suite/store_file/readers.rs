//! Several readers of one garden's letters: a mail and an end of its own for each.

use budward::garden::Answer;
use budward::message::Reader;
use budward::notice::News;
use budward::store::{Before, Closed, Delivery, Failure, GivenAnswer, Letter, Says, Store};
use chrono::{DateTime, TimeDelta, Utc};
use rusqlite::Connection;

use super::folder;
use super::given::{at, mail, round, told};
use crate::database::new_store;

const MORNING: &str = "2027-04-22T06:00:00Z";
const LATER: &str = "2027-04-22T12:00:00Z";
const ANNA: &str = "garden@example.org";
const BEN: &str = "ben@example.org";

/// A store with one letter to both, and its mails, Anna's first.
fn with_both(store: &mut Store) -> [budward::store::OutboxItem; 2] {
    let mut round = round("museum", MORNING, vec![told("box", "2027-04-22")]);
    copy_to_ben(round.letter.as_mut().unwrap());
    assert_eq!(store.close_round("museum", &round).unwrap(), Closed::Kept);
    store.due(at(MORNING)).unwrap().try_into().unwrap()
}

fn copy_to_ben(letter: &mut Letter) {
    letter.message.enclosed.copies = vec![Reader {
        to: BEN.to_owned(),
        unsubscribe: Some("https://garden.example.org/answer/ben".to_owned()),
    }];
}

fn readers() -> [String; 2] {
    [ANNA.to_owned(), BEN.to_owned()]
}

fn groups(store: &Store, readers: &[String]) -> Vec<(Vec<String>, Before)> {
    let since = "2027-01-01".parse().unwrap();
    store.before("museum", readers, since).unwrap()
}

fn send(store: &mut Store, id: i64) {
    store.mark_sending(id, at(MORNING)).unwrap();
    store.mark_content(id).unwrap();
    store.mark_sent(id, at(MORNING), "250 ok").unwrap();
}

fn fail(store: &mut Store, id: i64, now: DateTime<Utc>, failure: Failure) {
    store.mark_sending(id, now).unwrap();
    store
        .mark_failed(id, now, "550 no such user", failure)
        .unwrap();
}

#[test]
fn each_reader_gets_a_mail_with_an_id_and_a_way_out_of_its_own() {
    let mut store = new_store();
    let [anna, ben] = with_both(&mut store);
    assert_eq!(
        (anna.message.to.as_str(), ben.message.to.as_str()),
        (ANNA, BEN)
    );
    assert_eq!(anna.message.key, "museum.box.now-go.2027-04-22");
    assert_eq!(
        ben.message.key,
        "museum.box.now-go.2027-04-22.to.ben@example.org"
    );
    assert_eq!(
        ben.message.enclosed.unsubscribe.as_deref(),
        Some("https://garden.example.org/answer/ben")
    );
    assert_eq!(
        anna.message.enclosed.copies,
        [],
        "no mail names the other reader"
    );
    assert_eq!(ben.message.enclosed.copies, []);
    assert!(store.knows_mail("museum.box.now-go.2027-04-22").unwrap());
    send(&mut store, anna.id);
    fail(&mut store, ben.id, at(MORNING), Failure::ReaderRefused);
    let counts = store.mail_counts("museum").unwrap();
    assert_eq!(counts[&Delivery::Sent], 1);
    assert_eq!(counts[&Delivery::Refused], 1);
}

#[test]
fn who_is_behind_hears_what_holds_and_the_others_nothing_twice() {
    let mut store = new_store();
    let [anna, ben] = with_both(&mut store);
    assert_eq!(groups(&store, &readers()).len(), 1, "it waits for both");
    send(&mut store, anna.id);
    let found = groups(&store, &readers());
    let [(first, has), (second, behind)] = found.as_slice() else {
        panic!("{found:?}");
    };
    assert_eq!(
        (first.as_slice(), second.as_slice()),
        (&[ANNA.to_owned()][..], &[BEN.to_owned()][..])
    );
    assert_eq!((has.unsent.len(), has.said["box"].news), (0, News::NowGo));
    assert_eq!((behind.unsent.len(), behind.said.len()), (1, 0));
    // A later look tells Ben alone, in place of what waits for him.
    let mut next = round("museum", LATER, Vec::new());
    let for_ben = told("box", "2027-04-22");
    let mut message = mail("museum", &for_ben);
    message.key = "museum.later".to_owned();
    message.to = BEN.to_owned();
    let letter = Letter {
        message,
        goes_at: at(LATER),
        until: None,
    };
    next.behind = vec![(letter, behind_says(for_ben))];
    next.taken_back = behind.unsent[0].ids.clone();
    assert_eq!(next.taken_back, [ben.id]);
    assert_eq!(store.close_round("museum", &next).unwrap(), Closed::Kept);
    let due = store.due(at(LATER)).unwrap();
    let keys: Vec<_> = due.iter().map(|mail| mail.message.key.as_str()).collect();
    assert_eq!(keys, ["museum.later"]);
    let said = store.said("museum", "box").unwrap().unwrap();
    assert_eq!(said.at, at(MORNING), "it was said, and is not said anew");
}

fn behind_says(told: budward::store::Told) -> Says {
    Says {
        is_behind: true,
        ..round("museum", MORNING, vec![told]).says()
    }
}

/// A store in which Ben alone has a letter that waits, with what Anna had before; its number.
fn with_ben_behind(store: &mut Store) -> i64 {
    let [anna, ben] = with_both(store);
    send(store, anna.id);
    let for_ben = told("box", "2027-04-22");
    let mut message = mail("museum", &for_ben);
    "museum.later".clone_into(&mut message.key);
    BEN.clone_into(&mut message.to);
    let letter = Letter {
        message,
        goes_at: at(LATER),
        until: None,
    };
    let mut next = round("museum", LATER, Vec::new());
    next.behind = vec![(letter, behind_says(for_ben))];
    next.taken_back = vec![ben.id];
    store.close_round("museum", &next).unwrap();
    store.due(at(LATER)).unwrap()[0].id
}

#[test]
fn what_waits_for_who_is_behind_was_said_to_the_others() {
    let mut store = new_store();
    let mail = with_ben_behind(&mut store);
    let found = groups(&store, &readers());
    let [(first, has), (second, behind)] = found.as_slice() else {
        panic!("{found:?}");
    };
    assert_eq!(
        (first, second),
        (&vec![ANNA.to_owned()], &vec![BEN.to_owned()])
    );
    assert_eq!((has.unsent.len(), has.said["box"].news), (0, News::NowGo));
    assert_eq!((behind.unsent.len(), behind.said.len()), (1, 0));
    // To take it back does not unsay it: Anna would be told to go a second time.
    let mut next = round("museum", "2027-04-23T06:00:00Z", Vec::new());
    next.taken_back = vec![mail];
    store.close_round("museum", &next).unwrap();
    let said = store.said("museum", "box").unwrap().unwrap();
    assert_eq!((said.news, said.at), (News::NowGo, at(MORNING)));
}

#[test]
fn the_same_news_to_who_is_behind_is_a_mail_of_its_own() {
    let mut store = new_store();
    let [anna, ben] = with_both(&mut store);
    send(&mut store, anna.id);
    let news = || vec![told("lilac", "2027-04-23")];
    let mut for_ben = round("museum", LATER, news());
    for_ben.letter.as_mut().unwrap().message.to = BEN.to_owned();
    for_ben.taken_back = vec![ben.id];
    let whole = round("museum", LATER, news()).and(for_ben);
    store.close_round("museum", &whole).unwrap();
    let due = store.due(at(LATER)).unwrap();
    let to: Vec<_> = due.iter().map(|mail| mail.message.to.as_str()).collect();
    assert_eq!(to, [ANNA, BEN]);
    assert_ne!(due[0].message.key, due[1].message.key);
}

#[test]
fn where_each_lacks_a_letter_that_the_other_has_nobody_stands_for_both() {
    let mut store = new_store();
    let [anna, ben] = with_both(&mut store);
    send(&mut store, anna.id);
    let mut next = round("museum", LATER, vec![told("lilac", "2027-04-22")]);
    copy_to_ben(next.letter.as_mut().unwrap());
    next.letter.as_mut().unwrap().message.key = "museum.second".to_owned();
    store.close_round("museum", &next).unwrap();
    let due = store.due(at(LATER)).unwrap();
    let second = due
        .iter()
        .find(|mail| mail.message.to == BEN && mail.id != ben.id);
    store.mark_sending(second.unwrap().id, at(LATER)).unwrap();
    let found = groups(&store, &readers());
    let [(nobody, all), (_, hers), (_, his)] = found.as_slice() else {
        panic!("{found:?}");
    };
    assert!(nobody.is_empty() && all.unsent.is_empty());
    let cuts = |before: &Before| -> Vec<String> { before.said.keys().cloned().collect() };
    assert_eq!(cuts(all), ["box", "lilac"]);
    assert_eq!(
        (cuts(hers), cuts(his)),
        (vec!["box".to_owned()], vec!["lilac".to_owned()])
    );
}

#[test]
fn of_a_letter_that_waits_for_both_each_has_his_own_mail() {
    let mut store = new_store();
    let [anna, _] = with_both(&mut store);
    send(&mut store, anna.id);
    let mut next = round("museum", LATER, vec![told("lilac", "2027-04-22")]);
    copy_to_ben(next.letter.as_mut().unwrap());
    next.letter.as_mut().unwrap().message.key = "museum.second".to_owned();
    store.close_round("museum", &next).unwrap();
    let found = groups(&store, &readers());
    let ids = |of: usize| -> Vec<Vec<i64>> {
        let unsent = found[of].1.unsent.iter();
        unsent.map(|letter| letter.ids.clone()).collect()
    };
    let (hers, his) = (ids(0), ids(1));
    assert_eq!((hers.len(), his.len()), (1, 2), "{hers:?} {his:?}");
    assert_eq!((hers[0].len(), his[1].len()), (1, 1));
    // What takes the place of his leaves hers alone, and what it says stays said.
    let mut after = round("museum", "2027-04-23T06:00:00Z", Vec::new());
    after.taken_back = his.concat();
    store.close_round("museum", &after).unwrap();
    let due = store.due(at("2027-04-23T06:00:00Z")).unwrap();
    assert_eq!(due.iter().map(|mail| mail.id).collect::<Vec<_>>(), hers[0]);
    assert!(store.said("museum", "lilac").unwrap().is_some());
}

#[test]
fn of_what_waits_for_who_is_behind_that_is_kept_which_is_not_told() {
    let says = |cuts: &[&str]| {
        let told = cuts.iter().map(|cut| told(cut, "2027-04-22"));
        round("museum", MORNING, told.collect()).says()
    };
    let left = says(&["box", "lilac"]).without(&says(&["lilac", "rose"]));
    let cuts: Vec<_> = left.cuts.iter().map(|(cut, _, _)| cut.as_str()).collect();
    assert_eq!((cuts, left.is_behind), (vec!["box"], true));
    assert!(left.without(&says(&["box"])).is_empty());
}

#[test]
fn what_does_not_hold_now_stays_with_who_is_behind_and_does_not_go() {
    let mut store = new_store();
    let mail = with_ben_behind(&mut store);
    let hold = |store: &mut Store, now: &str| {
        let mut next = round("museum", now, Vec::new());
        next.held = vec![(mail, behind_says(told("box", "2027-04-22")))];
        store.close_round("museum", &next).unwrap();
    };
    hold(&mut store, "2027-04-22T18:00:00Z");
    let never = at("9999-12-31T00:00:00Z");
    assert_eq!(store.due(never).unwrap(), []);
    assert!(!store.has_waiting_mail().unwrap(), "nothing is to be tried");
    let found = groups(&store, &readers());
    assert!(!found[0].1.said.is_empty());
    let behind = &found[1].1;
    assert_eq!((behind.unsent[0].is_held, behind.said.len()), (true, 0));
    // As long as a mail is tried, and no longer.
    hold(&mut store, "2027-04-27T11:59:59Z");
    assert_eq!(groups(&store, &readers()).len(), 2);
    hold(&mut store, "2027-04-27T12:00:01Z");
    assert_eq!(groups(&store, &readers()).len(), 1);
    assert_eq!(
        store.mail_counts("museum").unwrap()[&Delivery::Cancelled],
        2
    );
}

#[test]
fn a_letter_that_went_to_nobody_waits_for_whoever_reads_now() {
    let mut store = new_store();
    let both = with_both(&mut store).map(|mail| mail.id);
    let found = groups(&store, &["clara@example.org".to_owned()]);
    assert_eq!(found[0].1.unsent[0].ids, both);
    send(&mut store, both[0]);
    let found = groups(&store, &["clara@example.org".to_owned()]);
    assert_eq!(found[0].1.unsent, [], "it was said");
}

#[test]
fn a_round_that_takes_back_a_mail_on_its_way_is_thought_of_anew() {
    let mut store = new_store();
    let [anna, ben] = with_both(&mut store);
    store.mark_sending(anna.id, at(MORNING)).unwrap();
    let mut next = round(
        "museum",
        "2027-04-22T06:00:30Z",
        vec![told("lilac", "2027-04-22")],
    );
    next.taken_back = vec![anna.id, ben.id];
    assert_eq!(
        store.close_round("museum", &next).unwrap(),
        Closed::Overtaken
    );
    assert_eq!(store.said("museum", "lilac").unwrap(), None);
    assert_eq!(
        store.due(at(MORNING)).unwrap().len(),
        1,
        "Ben's still waits"
    );
}

/// A letter of one day to Anna that the server refuses her.
fn refused(store: &mut Store, day: u32, key: &str) {
    let date = format!("2027-04-{day:02}");
    let now = at(&format!("{date}T06:00:00Z"));
    let mut round = round(
        "museum",
        &now.to_rfc3339(),
        vec![told(&format!("cut-{key}"), &date)],
    );
    key.clone_into(&mut round.letter.as_mut().unwrap().message.key);
    store.close_round("museum", &round).unwrap();
    let mail = of_anna(store, now).unwrap();
    fail(store, mail, now, Failure::ReaderRefused);
}

/// The mail that is due to her.
fn of_anna(store: &Store, now: DateTime<Utc>) -> Option<i64> {
    let mut due = store.due(now).unwrap().into_iter();
    due.find(|mail| mail.message.to == ANNA).map(|mail| mail.id)
}

#[test]
fn three_days_of_refusals_make_a_bad_address_of_which_the_others_hear_once() {
    let mut store = new_store();
    for day in 1..=3 {
        refused(&mut store, day, &format!("{day}-a"));
        refused(&mut store, day, &format!("{day}-b"));
        let is_bad = !store.bad_addresses().unwrap().is_empty();
        assert_eq!(is_bad, day == 3, "twice on one day are one day");
    }
    let bad = store.bad_addresses().unwrap().remove(0);
    assert_eq!(bad.address, ANNA);
    assert_eq!(bad.days.0.to_string(), "2027-04-01");
    assert_eq!(bad.days.1.to_string(), "2027-04-03");
    assert_eq!(
        (bad.reply.as_str(), bad.is_told),
        ("550 no such user", false)
    );
    let now = at("2027-04-03T08:00:00Z");
    let mut news = mail("museum", &told("x", "2027-04-03"));
    news.to = BEN.to_owned();
    let mails = [("museum".to_owned(), news)];
    store.tell_of_address(ANNA, now, &mails).unwrap();
    let due = store.due(now).unwrap();
    assert_eq!(due.len(), 1);
    assert_eq!(due[0].message.to, BEN);
    refused(&mut store, 4, "4");
    assert!(store.bad_addresses().unwrap()[0].is_told, "and not again");
}

#[test]
fn a_mail_that_is_taken_makes_an_address_good() {
    let mut store = new_store();
    for day in 1..=3 {
        refused(&mut store, day, &day.to_string());
    }
    assert_eq!(store.bad_addresses().unwrap().len(), 1);
    with_both(&mut store);
    let id = of_anna(&store, at(MORNING)).unwrap();
    send(&mut store, id);
    assert_eq!(store.bad_addresses().unwrap(), []);
}

#[test]
fn a_no_to_letters_is_one_readers_own() {
    let mut store = new_store();
    with_both(&mut store);
    let now = at("2027-04-22T07:00:00Z");
    let none = GivenAnswer {
        mark: "a".to_owned(),
        garden: "museum".to_owned(),
        cut: String::new(),
        reader: BEN.to_owned(),
        planting: String::new(),
        answer: Answer::NoLetters,
        on: now.date_naive(),
        share: None,
        silent_until: None,
    };
    store.take_answer(&none, now).unwrap();
    let to = |store: &Store| -> Vec<String> {
        let due = store.due(now).unwrap().into_iter();
        due.map(|mail| mail.message.to).collect()
    };
    assert_eq!(to(&store), [ANNA]);
    let mut next = round("museum", MORNING, vec![told("lilac", "2027-04-22")]);
    copy_to_ben(next.letter.as_mut().unwrap());
    store.close_round("museum", &next).unwrap();
    assert_eq!(to(&store), [ANNA, ANNA]);
}

#[test]
fn a_warning_of_unknown_fate_gives_way_to_newer_news_and_its_other_warnings_are_told_again() {
    let mut store = new_store();
    let mut both = [told("box", "2027-04-22"), told("lilac", "2027-04-22")];
    for one in &mut both {
        one.said.news = News::PutOff;
    }
    store
        .close_round("museum", &round("museum", MORNING, both.to_vec()))
        .unwrap();
    let mail = store.due(at(MORNING)).unwrap().remove(0);
    store.mark_sending(mail.id, at(MORNING)).unwrap();
    store.mark_content(mail.id).unwrap();
    store
        .mark_failed(mail.id, at(MORNING), "line lost", Failure::Unknown)
        .unwrap();
    let later = "2027-04-22T06:20:00Z";
    let next = round("museum", later, vec![told("box", "2027-04-23")]);
    store.close_round("museum", &next).unwrap();
    let due = store.due(at("2027-04-22T09:00:00Z")).unwrap();
    assert_eq!(due.len(), 1, "the old letter is not sent once more");
    assert_eq!(
        store.said("museum", "box").unwrap().unwrap().news,
        News::NowGo
    );
    assert_eq!(
        store.said("museum", "lilac").unwrap(),
        None,
        "to be told again"
    );
}

#[test]
fn a_mail_kept_for_five_days_since_the_server_takes_none_is_given_up() {
    let folder = folder();
    let path = folder.path().join("store.sqlite3");
    let mut store = Store::open(&path).unwrap();
    with_both(&mut store);
    let hour = TimeDelta::hours(1);
    let mut now = at(MORNING);
    let mut holds = 0;
    while store.has_waiting_mail().unwrap() {
        store.hold_mails(now, now + hour).unwrap();
        now += hour;
        holds += 1;
        assert!(holds < 200);
    }
    assert_eq!(now - at(MORNING), TimeDelta::hours(121));
    let conn = Connection::open(&path).unwrap();
    let given_up: i64 = conn
        .query_row(
            "SELECT count(*) FROM journal WHERE what = 'mail-given-up'",
            [],
            |row| row.get(0),
        )
        .unwrap();
    assert_eq!(given_up, 2);
}
