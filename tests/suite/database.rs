//! A PostgreSQL server for tests: `BUDWARD_POSTGRES` names it by a connection URI of one who may make databases.
//!
//! `BUDWARD_STORE=postgres` beside it lets every test of the store use a new database in place of memory.

use std::sync::Arc;
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::Duration;

use budward::store::{Database, Store, StoreAt};
use tokio_postgres::{Client, Config, NoTls};

use super::support::say_absent;

/// The gardens of the tests of the store.
const GARDENS: [&str; 10] = [
    "museum",
    "abbey",
    "quarry",
    "mill",
    "garden",
    "it's \"quoted\"",
    "x'); DROP TABLE outbox; --",
    "two\nlines\r\nand\ta tab",
    "Hortensie \u{1f33c}\u{200d}\u{2b1b} \u{5d2}\u{5df}",
    "",
];

/// Longer than a test.
const LONG: Duration = Duration::from_hours(1);

static MADE: AtomicU32 = AtomicU32::new(0);

/// How the server is reached; none, said aloud, where none is named.
fn server() -> Option<Config> {
    let Ok(address) = std::env::var("BUDWARD_POSTGRES") else {
        say_absent("a PostgreSQL server, by BUDWARD_POSTGRES,");
        return None;
    };
    Some(address.parse().unwrap())
}

/// Does something on a database from a thread of its own, apart from the runtime of a test.
pub(crate) fn on<T: Send + 'static, F: Future<Output = T>>(
    config: &Config,
    work: impl FnOnce(Client) -> F + Send + 'static,
) -> T {
    let config = config.clone();
    let thread = std::thread::spawn(move || {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()
            .unwrap();
        runtime.block_on(async move {
            let (client, line) = config.connect(NoTls).await.unwrap();
            tokio::spawn(line);
            work(client).await
        })
    });
    thread.join().unwrap()
}

/// Executes statements on a database.
pub(crate) fn batch(database: &Database, sql: &str) {
    let sql = sql.to_owned();
    on(&database.server, |client| async move {
        client.batch_execute(&sql).await.unwrap();
    });
}

/// A new database; none, said aloud, where no server is named.
pub(crate) fn new_database(lease: Duration) -> Option<Arc<Database>> {
    let mut config = server()?;
    let number = MADE.fetch_add(1, Ordering::Relaxed);
    let name = format!("budward_{}_{number}", std::process::id());
    let make = format!("CREATE DATABASE {name}");
    on(&config, |client| async move {
        client.batch_execute(&make).await.unwrap();
    });
    config.dbname(&name);
    Some(Arc::new(Database {
        name,
        server: config,
        lease,
    }))
}

/// A new store in memory; on a server where `BUDWARD_STORE` says so.
pub(crate) fn new_store() -> Store {
    if std::env::var("BUDWARD_STORE").is_ok_and(|store| store == "postgres") {
        let database = new_database(LONG).expect("BUDWARD_POSTGRES names the server");
        let mut store = Store::open_at(&StoreAt::Database(database)).unwrap();
        store.lease(&GARDENS.map(str::to_owned)).unwrap();
        return store;
    }
    Store::in_memory().unwrap()
}
