//! The store on a PostgreSQL server, beside the tests of the store that run on both engines: its tables, its leases, a
//! lost line, and a whole program on it.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;
use std::time::{Duration, Instant};

use budward::garden::Deed;
use budward::store::{Database, NextStep, Round, Store, StoreAt, StoreError, Trouble};
use rusqlite::Connection;

use crate::database::{batch, new_database, on};
use crate::simulated::{Wanted, run_on};
use crate::store_file::given::{at, day};

const HOUR: Duration = Duration::from_hours(1);

fn open(database: &Arc<Database>) -> Store {
    Store::open_at(&StoreAt::Database(Arc::clone(database))).unwrap()
}

fn names(count: usize) -> Vec<String> {
    (0..count).map(|n| format!("garden-{n:03}")).collect()
}

fn deed(on: &str) -> Deed {
    Deed {
        planting: "box".to_owned(),
        cut: "box-shear".to_owned(),
        on: day(on),
        share: None,
        note: Some("with a \0 in it".to_owned()),
    }
}

/// Each table with its columns.
type Tables = BTreeMap<String, BTreeSet<String>>;

fn of_file() -> Tables {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("store.sqlite3");
    drop(Store::open(&path).unwrap());
    let conn = Connection::open(&path).unwrap();
    let mut select = conn
        .prepare(
            "SELECT kept.name, field.name FROM sqlite_schema AS kept, pragma_table_info(kept.name) AS field
             WHERE kept.type = 'table' AND kept.name NOT LIKE 'sqlite_%'",
        )
        .unwrap();
    let mut tables = Tables::new();
    let rows = select.query_map([], |row| Ok((row.get(0)?, row.get(1)?)));
    for row in rows.unwrap() {
        let (table, column): (String, String) = row.unwrap();
        tables.entry(table).or_default().insert(column);
    }
    tables
}

fn of_server(database: &Database) -> Tables {
    let rows = on(&database.server, |client| async move {
        let find =
            "SELECT CAST(table_name AS text), CAST(column_name AS text) FROM information_schema.columns
                    WHERE table_schema = 'public'";
        client.query(find, &[]).await.unwrap()
    });
    let mut tables = Tables::new();
    for row in rows {
        tables.entry(row.get(0)).or_default().insert(row.get(1));
    }
    tables
}

#[test]
fn a_server_has_the_tables_and_columns_of_a_file_and_its_own_three() {
    let Some(database) = new_database(HOUR) else {
        return;
    };
    drop(open(&database));
    let mut found = of_server(&database);
    for own in ["form", "daemon", "lease", "changes"] {
        let is_there = found.remove(own).is_some();
        assert!(is_there || own == "changes", "{own}");
    }
    assert_eq!(found, of_file());
}

#[test]
fn daemons_that_start_together_on_an_empty_database_make_the_tables_once() {
    let Some(database) = new_database(HOUR) else {
        return;
    };
    let start = || {
        let database = Arc::clone(&database);
        std::thread::spawn(move || open(&database).link_key(&[7; 32]).unwrap())
    };
    let threads: Vec<_> = (0..6).map(|_| start()).collect();
    for thread in threads {
        assert_eq!(thread.join().unwrap(), [7; 32]);
    }
}

#[test]
fn a_database_of_a_newer_program_is_refused() {
    let Some(database) = new_database(HOUR) else {
        return;
    };
    drop(open(&database));
    batch(&database, "UPDATE form SET number = 99");
    let error = Store::open_at(&StoreAt::Database(Arc::clone(&database))).unwrap_err();
    assert!(
        matches!(error, StoreError::Newer { found: 99, .. }),
        "{error}"
    );
}

#[test]
fn daemons_share_the_gardens_and_take_over_those_of_one_that_is_gone() {
    let lease = Duration::from_secs(2);
    let Some(database) = new_database(lease) else {
        return;
    };
    let gardens = names(100);
    let mut daemons: Vec<Store> = (0..3).map(|_| open(&database)).collect();
    let held = |daemon: &mut Store| daemon.lease(&gardens).unwrap().unwrap().gardens;
    assert_eq!(held(&mut daemons[0]).len(), 100, "the first has all");
    for _ in 0..3 {
        for daemon in &mut daemons {
            held(daemon);
        }
    }
    let shares: Vec<_> = daemons.iter_mut().map(held).collect();
    assert!(shares.iter().all(|share| share.len() >= 32), "{shares:?}");
    let all: BTreeSet<&String> = shares.iter().flatten().collect();
    let sum: usize = shares.iter().map(BTreeSet::len).sum();
    assert_eq!((all.len(), sum), (100, 100), "each garden is one daemon's");
    // One is gone without a word: the others have its gardens. How soon `tests/peers/kill_many.py` measures.
    drop(daemons.pop());
    let gone_at = Instant::now();
    let two: usize = loop {
        std::thread::sleep(lease / 8);
        let two = daemons.iter_mut().map(|daemon| held(daemon).len()).sum();
        if two == 100 || gone_at.elapsed() > lease * 20 {
            break two;
        }
    };
    assert_eq!(two, 100, "after {:?}", gone_at.elapsed());
    // One that says goodbye leaves its gardens at once.
    daemons[1].end_lease().unwrap();
    assert_eq!(held(&mut daemons[0]).len(), 100);
}

#[test]
fn a_garden_that_the_settings_have_no_more_is_shared_no_more() {
    let Some(database) = new_database(HOUR) else {
        return;
    };
    let mut store = open(&database);
    let held = |store: &mut Store, names: &[String]| store.lease(names).unwrap().unwrap().gardens;
    assert_eq!(held(&mut store, &names(5)).len(), 5);
    assert_eq!(held(&mut store, &names(3)).len(), 3);
    let mut other = open(&database);
    held(&mut other, &names(3));
    held(&mut store, &names(3));
    let both = held(&mut other, &names(3)).len() + held(&mut store, &names(3)).len();
    assert_eq!(both, 3);
}

#[test]
fn for_a_garden_of_another_daemon_nothing_is_decided_or_sent() {
    let Some(database) = new_database(HOUR) else {
        return;
    };
    let (mut own, mut other) = (open(&database), open(&database));
    let gardens = names(1);
    let garden = &gardens[0];
    own.lease(&gardens).unwrap();
    let round = Round::at(at("2027-04-22T06:00:00Z"));
    let error = other.close_round(garden, &round).unwrap_err();
    assert_eq!(error.next_step(), NextStep::LeaveIt, "{error}");
    assert_eq!(other.last_round(garden).unwrap(), None);
    let noted = other.note_trouble(garden, ("it", Trouble::Silent), round.at, Some("it is"));
    assert_eq!(noted.unwrap(), None, "whoever only looks notes nothing");
    assert_eq!(own.trouble(garden, "it", Trouble::Silent).unwrap(), None);
    own.close_round(garden, &round).unwrap();
    assert_eq!(other.last_round(garden).unwrap(), Some(round.at));
    // What a keeper tells any daemon is kept, and the one that looks after the garden is asked to look.
    other
        .note_deed(garden, &deed("2027-04-21"), round.at)
        .unwrap();
    other.ask_for_look(garden).unwrap();
    let asked = own.lease(&gardens).unwrap().unwrap().to_look_at;
    assert_eq!(asked, BTreeSet::from([garden.clone()]));
    assert!(own.lease(&gardens).unwrap().unwrap().to_look_at.is_empty());
    assert_eq!(own.deeds(garden).unwrap().len(), 1);
}

#[test]
fn whether_another_daemon_has_changed_the_store_is_known() {
    let Some(database) = new_database(HOUR) else {
        return;
    };
    let (mut own, mut other) = (open(&database), open(&database));
    let gardens = names(1);
    own.lease(&gardens).unwrap();
    let before = own.state().unwrap();
    own.note_deed("abbey", &deed("2027-04-21"), at("2027-04-22T06:00:00Z"))
        .unwrap();
    let after = own.state().unwrap();
    assert!(after != before && after.is_own_change_of(&before));
    other.lease(&gardens).unwrap();
    assert_eq!(own.state().unwrap(), after, "a lease is nothing to show");
    other
        .note_deed("abbey", &deed("2027-04-20"), at("2027-04-22T06:00:00Z"))
        .unwrap();
    assert!(!own.state().unwrap().is_own_change_of(&after));
}

#[test]
fn a_line_that_is_lost_is_opened_anew_and_the_gardens_are_still_held() {
    let Some(database) = new_database(HOUR) else {
        return;
    };
    let mut store = open(&database);
    let gardens = names(2);
    store.lease(&gardens).unwrap();
    let end = "SELECT pg_terminate_backend(pid) FROM pg_stat_activity
               WHERE datname = current_database() AND pid <> pg_backend_pid()";
    batch(&database, end);
    let told = (deed("2027-04-21"), at("2027-04-22T06:00:00Z"));
    let mut steps = Vec::new();
    for _ in 0..20 {
        match store.note_deed("garden-000", &told.0, told.1) {
            Ok(()) => break,
            Err(error) => {
                assert_eq!(error.next_step(), NextStep::Reopen, "{error:?}");
                steps.push(error.to_string());
                store.reopen().unwrap();
            }
        }
    }
    assert!(!steps.is_empty(), "the line was not lost");
    assert_eq!(store.deeds("garden-000").unwrap().len(), 1);
    let round = Round::at(told.1);
    store.close_round("garden-000", &round).unwrap();
}

#[test]
fn a_season_of_faults_on_a_server_goes_as_in_a_file_to_the_byte() {
    let Some(database) = new_database(HOUR) else {
        return;
    };
    let wanted = Wanted {
        seed: 5,
        gardens: 3,
        days: 60,
        has_full_disks: false,
    };
    let (file, _) = run_on(wanted, None);
    let (server, sums) = run_on(wanted, Some(database));
    for (one, other) in file.iter().zip(&server) {
        assert_eq!(one, other);
    }
    assert_eq!(file.len(), server.len());
    assert!(sums.mails > 0 && sums.kills > 0, "{sums:?}");
}
