//! A store over years: copies, damage, the way back, files of older programs.

use std::collections::BTreeMap;
use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};

use budward::store::{Place, Store, StoreError, StoreLock, older_question};
use budward::units::Celsius;
use rusqlite::Connection;
use rusqlite::types::Value;
use tempfile::TempDir;

use super::given::{at, day, record, round, told};
use crate::support::project;

const BEFORE: &str = "2027-04-22T06:00:00Z";
const AFTER: &str = "2027-04-24T09:30:00Z";

/// A store with a record, a round and a letter that waits, in a folder of its own.
struct Kept {
    folder: TempDir,
    path: PathBuf,
}

impl Kept {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("store.sqlite3");
        let mut store = Store::open(&path).unwrap();
        store
            .save_record("museum", ("here", &record()), at(BEFORE))
            .unwrap();
        let closed = round("museum", BEFORE, vec![told("box", "2027-04-22")]);
        store.close_round("museum", &closed).unwrap();
        Self { folder, path }
    }

    /// Makes the copy of a day, as the daemon does.
    fn copied(&self, on: &str) {
        let store = Store::open(&self.path).unwrap();
        assert!(store.keep_copy(day(on)).unwrap());
        assert!(!store.keep_copy(day(on)).unwrap(), "one a day");
    }

    /// The start of a daemon.
    fn started(&self) -> Result<Store, StoreError> {
        let lock = StoreLock::take(&self.path)?;
        let gardens = ["museum".to_owned()];
        let place = Place {
            at: at(AFTER),
            gardens: &gardens,
        };
        Store::open_or_rescue(&lock, &place)
    }

    fn copy(&self, on: &str) -> PathBuf {
        let folder = self.folder.path().join("store.sqlite3.copies");
        folder.join(format!("{on}.sqlite3"))
    }

    fn names(&self) -> Vec<String> {
        let files = fs::read_dir(self.folder.path()).unwrap();
        let name = |file: Result<fs::DirEntry, _>| file.unwrap().file_name().into_string().unwrap();
        let mut names: Vec<String> = files.map(name).collect();
        names.sort();
        names
    }
}

/// Writes over a file from a place on.
fn spoil(path: &Path, from: usize, to: usize) {
    let mut bytes = fs::read(path).unwrap();
    let to = to.min(bytes.len());
    bytes[from..to].fill(0x5a);
    fs::write(path, bytes).unwrap();
}

#[test]
fn a_second_daemon_is_refused_with_the_number_of_the_first() {
    let kept = Kept::new();
    let lock = StoreLock::take(&kept.path).unwrap();
    let error = StoreLock::take(&kept.path).map(|_| ()).unwrap_err();
    let number = std::process::id();
    assert!(
        matches!(error, StoreError::Held { pid: Some(pid), .. } if pid == number),
        "{error:?}"
    );
    assert!(error.to_string().contains(&number.to_string()), "{error}");
    // A link to the store is the same store.
    let link = kept.folder.path().join("link.sqlite3");
    std::os::unix::fs::symlink(&kept.path, &link).unwrap();
    assert!(matches!(
        StoreLock::take(&link),
        Err(StoreError::Held { .. })
    ));
    // Whoever reads or notes something goes without the lock.
    Store::open(&kept.path).unwrap();
    drop(lock);
    StoreLock::take(&kept.path).unwrap();
}

#[test]
fn a_copy_is_whole_and_private_and_never_written_over() {
    let kept = Kept::new();
    let to = kept.folder.path().join("copy.sqlite3");
    let store = Store::open(&kept.path).unwrap();
    store.back_up(&to).unwrap();
    let bytes = fs::read(&to).unwrap();
    assert_eq!(
        fs::metadata(&to).unwrap().permissions().mode() & 0o777,
        0o600
    );
    let copy = Store::open(&to).unwrap();
    assert_eq!(
        copy.last_words("museum").unwrap(),
        store.last_words("museum").unwrap()
    );
    assert_eq!(
        copy.due(at(BEFORE)).unwrap(),
        store.due(at(BEFORE)).unwrap()
    );
    drop(copy);
    let error = store.back_up(&to).unwrap_err();
    assert!(matches!(error, StoreError::Exists { .. }), "{error}");
    assert_eq!(fs::read(&to).unwrap().len(), bytes.len());
    assert!(
        kept.names().iter().all(|name| !name.contains("part")),
        "{:?}",
        kept.names()
    );
}

#[test]
fn a_new_store_is_private() {
    let kept = Kept::new();
    let mode = fs::metadata(&kept.path).unwrap().permissions().mode();
    assert_eq!(mode & 0o777, 0o600);
}

#[test]
fn copies_of_a_year_stay_a_few() {
    let kept = Kept::new();
    let store = Store::open(&kept.path).unwrap();
    for day in day("2027-01-01").iter_days().take(60) {
        assert!(store.keep_copy(day).unwrap());
    }
    let left = fs::read_dir(kept.folder.path().join("store.sqlite3.copies")).unwrap();
    assert!(left.count() <= 9);
    assert!(kept.copy("2027-03-01").exists());
    assert!(!kept.copy("2027-01-20").exists());
}

/// What may happen to a file, and what is left of it.
#[test]
fn a_damaged_store_is_set_aside_and_the_newest_good_copy_takes_its_place() {
    type Damage = fn(&Path);
    let damages: [(&str, Damage); 6] = [
        ("pages written over", |path| spoil(path, 4096, usize::MAX)),
        ("one page written over", |path| spoil(path, 8192, 12288)),
        ("the head written over", |path| spoil(path, 0, 4096)),
        ("cut short", |path| {
            let len = fs::metadata(path).unwrap().len();
            fs::File::options()
                .write(true)
                .open(path)
                .unwrap()
                .set_len(len / 2)
                .unwrap();
        }),
        ("empty", |path| fs::write(path, "").unwrap()),
        ("gone", |path| fs::remove_file(path).unwrap()),
    ];
    for (name, damage) in damages {
        let kept = Kept::new();
        kept.copied("2027-04-22");
        kept.copied("2027-04-23");
        spoil(&kept.copy("2027-04-23"), 4096, usize::MAX);
        damage(&kept.path);
        let before = fs::read(&kept.path).ok();
        let store = kept
            .started()
            .unwrap_or_else(|error| panic!("{name}: {error}"));
        assert!(store.record("museum", "here").unwrap().is_some(), "{name}");
        assert!(store.said("museum", "box").unwrap().is_some(), "{name}");
        // What the copy does not know counts as announced.
        assert_eq!(store.due(at("2099-01-01T00:00:00Z")).unwrap(), [], "{name}");
        let restored = store.restored("museum").unwrap().unwrap();
        assert_eq!(restored.told_at, None);
        assert_eq!(restored.known_until, Some(at(BEFORE)));
        assert!(
            restored.why.contains("copy of 2027-04-22"),
            "{}",
            restored.why
        );
        let aside = kept
            .folder
            .path()
            .join("store.sqlite3.damaged-20270424T093000Z");
        assert_eq!(fs::read(&aside).ok(), before, "{name}");
        drop(store);
        // The next start finds all well.
        let store = kept.started().unwrap();
        assert_eq!(store.restored("museum").unwrap().unwrap().at, at(AFTER));
        assert!(
            !kept.names().iter().any(|name| name.ends_with("restored")),
            "{:?}",
            kept.names()
        );
    }
}

#[test]
fn without_a_good_copy_all_is_begun_anew_and_the_damaged_file_is_kept() {
    let kept = Kept::new();
    spoil(&kept.path, 4096, usize::MAX);
    let before = fs::read(&kept.path).unwrap();
    let store = kept.started().unwrap();
    assert_eq!(store.record("museum", "here").unwrap(), None);
    let restored = store.restored("museum").unwrap().unwrap();
    assert_eq!(restored.known_until, None);
    assert_eq!(fs::read(restored.kept_as.unwrap()).unwrap(), before);
}

#[test]
fn a_foreign_file_is_no_damaged_store() {
    let kept = Kept::new();
    fs::write(&kept.path, "Buy twine.\n".repeat(50)).unwrap();
    let before = fs::read(&kept.path).unwrap();
    let error = kept.started().map(|_| ()).unwrap_err();
    assert!(matches!(error, StoreError::Foreign { .. }), "{error}");
    assert_eq!(fs::read(&kept.path).unwrap(), before);
}

#[test]
fn a_stop_between_the_two_names_is_made_good_at_the_next_start() {
    let kept = Kept::new();
    kept.copied("2027-04-22");
    spoil(&kept.path, 4096, usize::MAX);
    drop(kept.started().unwrap());
    // As if the machine had stopped when the damaged file had its new name, and the good one not yet.
    fs::rename(
        &kept.path,
        kept.folder.path().join("store.sqlite3.restored"),
    )
    .unwrap();
    let store = kept.started().unwrap();
    assert!(store.said("museum", "box").unwrap().is_some());
    assert!(store.restored("museum").unwrap().is_some());
}

#[test]
fn a_copy_is_put_back_by_hand_and_checked_before() {
    let kept = Kept::new();
    let (good, bad, foreign) = (
        kept.folder.path().join("good.sqlite3"),
        kept.folder.path().join("bad.sqlite3"),
        kept.folder.path().join("note.txt"),
    );
    Store::open(&kept.path).unwrap().back_up(&good).unwrap();
    fs::copy(&good, &bad).unwrap();
    spoil(&bad, 4096, usize::MAX);
    fs::write(&foreign, "Buy twine.\n".repeat(50)).unwrap();
    let lock = StoreLock::take(&kept.path).unwrap();
    let gardens = ["museum".to_owned()];
    let place = Place {
        at: at(AFTER),
        gardens: &gardens,
    };
    let now = || {
        Store::open(&kept.path)
            .unwrap()
            .journal("museum", 100)
            .unwrap()
    };
    let before = now();
    for file in [&bad, &foreign, &kept.folder.path().join("none")] {
        let error = Store::restore(&lock, file, &place).unwrap_err();
        assert!(
            error.to_string().contains(file.to_str().unwrap()),
            "{error}"
        );
        assert_eq!(now(), before);
    }
    let mut store = Store::open(&kept.path).unwrap();
    let later = round("museum", AFTER, vec![told("hedge", "2027-04-24")]);
    store.close_round("museum", &later).unwrap();
    drop(store);
    let kept_as = Store::restore(&lock, &good, &place).unwrap().unwrap();
    let store = Store::open(&kept.path).unwrap();
    assert_eq!(store.said("museum", "hedge").unwrap(), None);
    assert!(store.said("museum", "box").unwrap().is_some());
    let old = Store::open(&kept_as).unwrap();
    assert!(old.said("museum", "hedge").unwrap().is_some());
    assert!(
        good.exists()
            && !kept
                .names()
                .iter()
                .any(|name| name.contains("good.sqlite3-"))
    );
}

/// Every row of every table that a file has, by the columns that it has now.
fn rows(path: &Path) -> BTreeMap<String, (Vec<String>, Vec<Vec<Value>>)> {
    let conn = Connection::open(path).unwrap();
    let names = "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%'";
    let names: Vec<String> = conn
        .prepare(names)
        .unwrap()
        .query_map([], |row| row.get(0))
        .unwrap()
        .map(Result::unwrap)
        .collect();
    let table = |name: String| {
        let columns: Vec<String> = conn
            .prepare(&format!("SELECT name FROM pragma_table_info('{name}')"))
            .unwrap()
            .query_map([], |row| row.get(0))
            .unwrap()
            .map(Result::unwrap)
            .collect();
        let rows = values(&conn, &name, &columns);
        (name, (columns, rows))
    };
    names.into_iter().map(table).collect()
}

fn values(conn: &Connection, table: &str, columns: &[String]) -> Vec<Vec<Value>> {
    let columns = columns.join(", ");
    let mut select = conn
        .prepare(&format!("SELECT {columns} FROM {table} ORDER BY {columns}"))
        .unwrap();
    let n = select.column_count();
    let row = |row: &rusqlite::Row<'_>| (0..n).map(|at| row.get(at)).collect();
    select
        .query_map([], row)
        .unwrap()
        .map(Result::unwrap)
        .collect()
}

/// The formats that programs on the way to this one have written, each as that program made it.
#[test]
fn a_store_of_every_earlier_format_is_brought_up_to_date_and_keeps_every_row() {
    let mut formats = 0;
    for file in fs::read_dir(project().join("tests/data/stores")).unwrap() {
        let file = file.unwrap().path();
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("store.sqlite3");
        let old = fs::read_to_string(&file).unwrap();
        Connection::open(&path)
            .unwrap()
            .execute_batch(&old)
            .unwrap();
        let before = rows(&path);
        let mut store = Store::open(&path).unwrap();
        let closed = round("quarry", BEFORE, vec![told("box", "2027-04-22")]);
        let (known, _) = store.record("museum", "here").unwrap().unwrap();
        let nights: Vec<_> = known.days().map(|(_, day)| day.min).collect();
        assert_eq!(
            nights,
            [Some(Celsius::new(-3.5)), None],
            "{}",
            file.display()
        );
        assert_eq!(store.record("abbey", "there").unwrap(), None);
        assert!(store.said("museum", "box-edging-shear").unwrap().is_some());
        let asked = ["here", &older_question("museum")];
        assert!(store.heard(asked, "invented").unwrap().is_some());
        assert_eq!(
            store.due(at(BEFORE)).unwrap().len(),
            1,
            "{}",
            file.display()
        );
        let new = Connection::open(&path).unwrap();
        // The past years have other tables now.
        let stayed = before
            .iter()
            .filter(|(table, _)| !table.starts_with("record"));
        for (table, (columns, rows)) in stayed {
            assert!(!rows.is_empty() || table == "verdict", "{table} has no row");
            // The runs of a garden stand as the answers to a question of its own.
            let now = |column: &String| match (table.as_str(), column.as_str()) {
                ("run", "garden") => "substr(question, 4)".to_owned(),
                _ => column.clone(),
            };
            let columns: Vec<String> = columns.iter().map(now).collect();
            assert_eq!(
                &values(&new, table, &columns),
                rows,
                "{}: {table}",
                file.display()
            );
        }
        store.close_round("quarry", &closed).unwrap();
        drop(store);
        // The file as it was is kept, in one piece.
        let copies = folder.path().join("store.sqlite3.copies");
        let kept: Vec<_> = fs::read_dir(copies).unwrap().collect();
        assert_eq!(kept.len(), 1);
        assert_eq!(rows(&kept[0].as_ref().unwrap().path()), before);
        formats += 1;
    }
    // Formats 3, 4, 5, 6, 7, 9, 11, 13, 15, 16 and 19.
    assert_eq!(formats, 11);
}

#[test]
fn what_became_of_older_mails_is_told_as_exactly_as_it_is_known() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("store.sqlite3");
    let old = fs::read_to_string(project().join("tests/data/stores/format-13.sql")).unwrap();
    let conn = Connection::open(&path).unwrap();
    conn.execute_batch(&old).unwrap();
    let cases = [
        ("failed", 1, "'550 no such mailbox'", "refused"),
        ("failed", 0, "NULL", "cancelled"),
        ("queued", 2, "'451 later'", "deferred"),
        ("sending", 1, "NULL", "sending"),
    ];
    for (n, (state, tries, reply, _)) in (100..).zip(cases) {
        conn.execute_batch(&format!(
            "INSERT INTO outbox (id, key, garden, cut, recipient, subject, text, html, queued_at, state, tries,
                 last_reply)
             VALUES ({n}, 'mail-{n}', 'museum', 'box', 'a@example.org', 's', 't', 'h',
                 '2027-01-02T03:04:05.000000000Z', '{state}', {tries}, {reply})"
        ))
        .unwrap();
    }
    drop(conn);
    drop(Store::open(&path).unwrap());
    let conn = Connection::open(&path).unwrap();
    for (n, (.., wanted)) in (100..).zip(cases) {
        let state: String = conn
            .query_row("SELECT state FROM outbox WHERE id = ?1", [n], |row| {
                row.get(0)
            })
            .unwrap();
        assert_eq!(state, wanted);
    }
}
