//! What the keeper did and saw: it comes back, it can be set right and taken back, it is never lost.

use budward::almanac::Event;
use budward::garden::{Deed, Sighting};
use budward::notice::{Alarm, SaidAfter};
use budward::store::{Failure, Letter, Store, ToldAfter};
use rusqlite::Connection;

use super::folder;
use super::given::{AWKWARD_NAMES, at, day, mail, round, told};
use crate::database::new_store;

fn deed(cut: &str, on: &str, share: Option<u8>) -> Deed {
    Deed {
        cut: cut.to_owned(),
        planting: "Hydrangea \u{2014} \"walk\"".to_owned(),
        on: day(on),
        share,
        note: share.map(|share| format!("{share} %; it's done")),
    }
}

fn seen(planting: &str, event: Event, on: &str) -> Sighting {
    Sighting {
        planting: planting.to_owned(),
        event,
        on: day(on),
    }
}

fn whats(store: &Store) -> Vec<(String, String)> {
    let lines = store.journal("museum", 100).unwrap().into_iter().rev();
    lines.map(|line| (line.what, line.detail)).collect()
}

#[test]
fn deeds_and_sightings_come_back_as_they_were_over_a_stop() {
    let folder = folder();
    let path = folder.path().join("store.sqlite3");
    let now = at("2027-04-22T06:00:00Z");
    let deeds: Vec<Deed> = (1..)
        .zip(AWKWARD_NAMES)
        .map(|(share, cut)| deed(cut, "2027-04-20", Some(share)))
        .collect();
    let seen: Vec<Sighting> = Event::ALL
        .map(|event| seen("lilac", event, "2027-04-21"))
        .to_vec();
    {
        let mut store = Store::open(&path).unwrap();
        for deed in &deeds {
            store.note_deed("museum", deed, now).unwrap();
        }
        for seen in &seen {
            store.note_sighting("museum", seen, now).unwrap();
        }
    }
    let store = Store::open(&path).unwrap();
    assert_eq!(store.deeds("museum").unwrap(), deeds);
    assert_eq!(store.sightings("museum").unwrap(), seen);
    assert_eq!(store.deeds("abbey").unwrap(), []);
    assert_eq!(store.sightings("abbey").unwrap(), []);
}

#[test]
fn what_is_told_again_of_a_day_stands_in_place_of_what_was_told() {
    let mut store = new_store();
    let now = at("2027-04-22T06:00:00Z");
    let (first, again) = (
        deed("box-shear", "2027-04-20", None),
        deed("box-shear", "2027-04-20", Some(30)),
    );
    let other = deed("box-shear", "2027-04-01", Some(10));
    for deed in [&first, &again, &other] {
        store.note_deed("museum", deed, now).unwrap();
    }
    assert_eq!(store.deeds("museum").unwrap(), [other.clone(), again]);
    assert!(
        store
            .undo_deed("museum", ("box-shear", day("2027-04-20")), now)
            .unwrap()
    );
    assert_eq!(
        store.deeds("museum").unwrap(),
        std::slice::from_ref(&other),
        "the whole day is taken back"
    );
    assert!(
        !store
            .undo_deed("museum", ("box-shear", day("2027-04-20")), now)
            .unwrap()
    );
    assert!(
        !store
            .undo_deed("abbey", ("box-shear", day("2027-04-01")), now)
            .unwrap()
    );
    store.note_deed("museum", &first, now).unwrap();
    assert_eq!(store.deeds("museum").unwrap(), [other, first]);
    let journal = whats(&store);
    let whats: Vec<&str> = journal.iter().map(|(what, _)| what.as_str()).collect();
    assert_eq!(whats, ["done", "done", "done", "done-undone", "done"]);
    assert_eq!(journal[1].1, "2027-04-20 (30 % taken)");
}

#[test]
fn of_an_event_the_later_word_of_the_season_counts() {
    let mut store = new_store();
    let now = at("2027-04-22T06:00:00Z");
    let bloom = |on| seen("lilac", Event::BloomBegin, on);
    let last_year = bloom("2026-05-01");
    for seen in [&last_year, &bloom("2027-04-25"), &bloom("2027-04-22")] {
        store.note_sighting("museum", seen, now).unwrap();
    }
    store
        .note_sighting("museum", &seen("lilac", Event::BloomEnd, "2027-05-20"), now)
        .unwrap();
    store
        .note_sighting(
            "museum",
            &seen("rose", Event::BloomBegin, "2027-05-20"),
            now,
        )
        .unwrap();
    let lilac: Vec<_> = store
        .sightings("museum")
        .unwrap()
        .into_iter()
        .filter(|one| one.planting == "lilac" && one.event == Event::BloomBegin)
        .collect();
    assert_eq!(lilac, [last_year, bloom("2027-04-22")]);
    assert!(
        store
            .undo_sighting("museum", &bloom("2027-04-22"), now)
            .unwrap()
    );
    assert!(
        store
            .sightings("museum")
            .unwrap()
            .contains(&bloom("2027-04-25")),
        "what was told before stands again"
    );
    assert!(
        !store
            .undo_sighting("museum", &bloom("2027-04-22"), now)
            .unwrap()
    );
}

#[test]
fn a_row_can_be_neither_edited_nor_deleted() {
    let folder = folder();
    let path = folder.path().join("store.sqlite3");
    let now = at("2027-04-22T06:00:00Z");
    let mut store = Store::open(&path).unwrap();
    store
        .note_deed("museum", &deed("box-shear", "2027-04-20", None), now)
        .unwrap();
    store
        .note_sighting("museum", &seen("lilac", Event::BudBreak, "2027-04-20"), now)
        .unwrap();
    let hand = Connection::open(&path).unwrap();
    for change in [
        "UPDATE deed SET day = '2020-01-01'",
        "DELETE FROM deed",
        "UPDATE sighting SET event = 'bud-set'",
        "DELETE FROM sighting",
    ] {
        let error = hand.execute_batch(change).unwrap_err().to_string();
        assert!(error.contains("is never"), "{change}: {error}");
    }
}

/// Breaks the journal, and shows that nothing is kept without its line.
#[test]
fn what_cannot_be_journalled_is_not_kept() {
    let folder = folder();
    let path = folder.path().join("store.sqlite3");
    let now = at("2027-04-22T06:00:00Z");
    let mut store = Store::open(&path).unwrap();
    let first = deed("box-shear", "2027-04-20", None);
    let bud = seen("lilac", Event::BudBreak, "2027-04-20");
    store.note_deed("museum", &first, now).unwrap();
    store.note_sighting("museum", &bud, now).unwrap();
    let breaker = Connection::open(&path).unwrap();
    breaker
        .execute_batch(
            "CREATE TRIGGER breaks BEFORE INSERT ON journal BEGIN SELECT RAISE(ABORT, 'broken on purpose'); END",
        )
        .unwrap();
    let journal = whats(&store);
    assert!(
        store
            .note_deed("museum", &deed("box-shear", "2027-04-21", None), now)
            .is_err()
    );
    assert!(
        store
            .undo_deed("museum", ("box-shear", first.on), now)
            .is_err()
    );
    assert!(
        store
            .note_sighting(
                "museum",
                &seen("lilac", Event::BloomBegin, "2027-04-21"),
                now
            )
            .is_err()
    );
    assert!(store.undo_sighting("museum", &bud, now).is_err());
    assert_eq!(store.deeds("museum").unwrap(), [first]);
    assert_eq!(store.sightings("museum").unwrap(), [bud]);
    assert_eq!(whats(&store), journal);
}

fn told_after(alarm: Alarm, night: &str, until: Option<&str>) -> ToldAfter {
    let mut message = mail("museum", &told("box-shear", night));
    message.key = format!("museum.box-shear.{}.{night}", alarm.name());
    ToldAfter {
        said: vec![SaidAfter {
            cut: "box-shear".to_owned(),
            done_on: day("2027-04-12"),
            alarm,
            night: day(night),
        }],
        message: Some(message),
        until: until.map(at),
    }
}

#[test]
fn what_is_said_after_a_cut_is_kept_with_the_round_or_not_at_all() {
    let folder = folder();
    let path = folder.path().join("store.sqlite3");
    let mut store = Store::open(&path).unwrap();
    let mut first = round("museum", "2027-04-20T18:30:00Z", Vec::new());
    let cover = told_after(Alarm::CoverTonight, "2027-04-21", None);
    first.told_after.clone_from(&cover.said);
    first.letter = Some(Letter {
        message: cover.message.unwrap(),
        goes_at: first.at,
        until: None,
    });
    let breaker = Connection::open(&path).unwrap();
    for table in ["said_after", "outbox"] {
        breaker
            .execute_batch(&format!(
                "CREATE TRIGGER breaks BEFORE INSERT ON {table} BEGIN SELECT RAISE(ABORT, 'broken on purpose'); END"
            ))
            .unwrap();
        assert!(store.close_round("museum", &first).is_err());
        assert_eq!(store.said_after("museum", day("2027-04-12")).unwrap(), []);
        assert_eq!(store.last_round("museum").unwrap(), None);
        assert_eq!(store.due(first.at).unwrap(), []);
        breaker.execute_batch("DROP TRIGGER breaks").unwrap();
    }
    store.close_round("museum", &first).unwrap();
    drop(store);
    let store = Store::open(&path).unwrap();
    assert_eq!(
        store.said_after("museum", day("2027-04-12")).unwrap(),
        first.told_after
    );
    assert_eq!(store.said_after("museum", day("2027-04-13")).unwrap(), []);
    assert_eq!(store.said_after("abbey", day("2027-04-12")).unwrap(), []);
    assert_eq!(store.due(first.at).unwrap().len(), 1);
}

#[test]
fn a_word_on_a_night_and_one_on_the_cut_do_not_push_each_other_out() {
    let mut store = new_store();
    let (evening, next) = (at("2027-04-20T18:30:00Z"), at("2027-04-21T18:30:00Z"));
    let both = round(
        "museum",
        "2027-04-20T18:30:00Z",
        vec![told("box-shear", "2027-04-20")],
    );
    store.close_round("museum", &both).unwrap();
    for (alarm, night) in [
        (Alarm::BelowNow, "2027-04-21"),
        (Alarm::FrostSeen, "2027-04-19"),
    ] {
        let told = told_after(alarm, night, None);
        store.tell_after("museum", evening, &told).unwrap();
    }
    assert_eq!(store.due(evening).unwrap().len(), 3);
    let again = told_after(Alarm::BelowNow, "2027-04-22", None);
    store.tell_after("museum", next, &again).unwrap();
    let keys: Vec<String> = store
        .due(next)
        .unwrap()
        .into_iter()
        .map(|item| item.message.key)
        .collect();
    assert_eq!(
        keys,
        [
            "museum.box-shear.now-go.2027-04-20",
            "museum.box-shear.frost-seen.2027-04-19",
            "museum.box-shear.below-now.2027-04-22"
        ],
        "the night that is over gives way to the next"
    );
}

#[test]
fn a_mail_on_a_night_is_not_sent_when_the_night_is_over() {
    let mut store = new_store();
    let asked_at = at("2027-04-20T18:30:00Z");
    let until = Some("2027-04-21T04:00:00Z");
    let asked = told_after(Alarm::CoverTonight, "2027-04-21", until);
    store.tell_after("museum", asked_at, &asked).unwrap();
    let item = store.due(asked_at).unwrap().remove(0);
    store.mark_sending(item.id, asked_at).unwrap();
    let later = at("2027-04-20T18:35:00Z");
    store
        .mark_failed(item.id, asked_at, "451 later", Failure::Later(later))
        .unwrap();
    assert_eq!(
        store.due(later).unwrap().len(),
        1,
        "there is time for another try"
    );
    assert_eq!(
        store.due(at("2027-04-21T04:00:01Z")).unwrap(),
        [],
        "and none after midnight"
    );
    store.mark_sending(item.id, later).unwrap();
    store
        .mark_failed(
            item.id,
            later,
            "451 later",
            Failure::Later(at("2027-04-21T06:00:00Z")),
        )
        .unwrap();
    let last = store.journal("museum", 1).unwrap().remove(0);
    assert_eq!(last.what, "mail-given-up");

    let until = Some("2027-04-22T04:00:00Z");
    let lost = told_after(Alarm::CoverTonight, "2027-04-22", until);
    store
        .tell_after("museum", at("2027-04-21T18:30:00Z"), &lost)
        .unwrap();
    store
        .close_round(
            "museum",
            &round("museum", "2027-04-22T05:30:00Z", Vec::new()),
        )
        .unwrap();
    assert_eq!(store.due(at("2027-04-22T05:30:00Z")).unwrap(), []);
}
