//! Every fault of a mail server at every stage of the talk, over every kind of line, through the outbox: where the mail
//! stands afterwards.

mod keys;
mod server;

use std::path::Path;
use std::sync::{Arc, OnceLock};
use std::time::Duration;

use budward::almanac;
use budward::config::Settings;
use budward::daemon::{Clock, House, Keeper, Troubles};
use budward::mail::{Limits, Postman, Route, SmtpSecurity};
use budward::notice::News;
use budward::store::Store;
use rusqlite::Connection;
use tempfile::TempDir;
use tokio::net::TcpListener;
use tokio::task::{JoinHandle, JoinSet};
use tokio::time::timeout;
use tokio_rustls::TlsAcceptor;
use tokio_util::sync::CancellationToken;

use self::keys::{keys, trusting};
use self::server::{At, FAULTS, Fault, STAGES, Server};
use super::FROM;
use crate::store_file::given::{at, round, told};

const NOW: &str = "2027-04-22T06:00:00Z";
const HALF_AN_HOUR: &str = "2027-04-22T06:30:00.000000000Z";

/// Where a mail stands after its try: its state, and whether a person is asked.
#[derive(Debug, PartialEq, Eq)]
struct Stand {
    state: &'static str,
    asks: bool,
}

/// What is to become of a mail: a "later" is tried later; a "never" before the recipient is named is about the settings
/// and no mail's own; after that it is this mail's end. A line that breaks before the mail went is tried again, one that
/// breaks after leaves a doubt (RFC 5321, sections 4.2.1, 4.5.4.1 and 6.1; RFC 1047).
fn wanted(at: At, fault: Fault) -> Stand {
    let stand = |state, asks| Stand { state, asks };
    match fault {
        Fault::Later => stand("deferred", false),
        Fault::Never if at < At::Recipient => stand("deferred", true),
        Fault::Never => stand("refused", false),
        Fault::Stalls
        | Fault::HangsUp
        | Fault::Resets
        | Fault::Drips
        | Fault::Babbles
        | Fault::LongLine => {
            let is_gone = at >= At::Body;
            stand(if is_gone { "unknown" } else { "deferred" }, false)
        }
    }
}

/// How long a stage may take here; long enough for a machine that has much to do.
const LIMIT: Duration = Duration::from_secs(4);

/// A garden with one mail that waits, and its mail server.
struct Trial {
    house: House,
    folder: TempDir,
    playing: JoinHandle<()>,
}

/// Where a mail stands in the outbox after its try.
#[derive(Debug)]
struct Left {
    state: String,
    next: Option<String>,
    asks: bool,
    /// For whoever reads why a cell fails.
    #[allow(dead_code, reason = "it is shown")]
    reply: String,
}

impl Trial {
    async fn new(server: Server, news: News) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
        let port = listener.local_addr().unwrap().port();
        let security = server.security;
        let playing = tokio::spawn(async move {
            while let Ok((tcp, _)) = listener.accept().await {
                server.play(tcp).await.ok();
            }
        });
        let folder = tempfile::tempdir().unwrap();
        let mut store = Store::open(&folder.path().join("store.sqlite3")).unwrap();
        let mut said = told("box", "2027-04-22");
        said.said.news = news;
        store
            .close_round("museum", &round("museum", NOW, vec![said]))
            .unwrap();
        let mut house = house();
        house.keeper = Keeper::of(store);
        house.troubles = Troubles::default();
        let route = Route::Smtp {
            host: "127.0.0.1".to_owned(),
            port,
            security,
            login: Some(("gardener".to_owned(), "geheim".to_owned().into())),
            hello: Some("garden.example".to_owned()),
        };
        let limits = Limits {
            connect: LIMIT,
            command: LIMIT,
            content: LIMIT,
        };
        house.postman = Arc::new(Postman::new(FROM.to_owned(), route).within(limits));
        Self {
            house,
            folder,
            playing,
        }
    }

    /// What becomes of the mail; every stage ends within its limit, so all of them do within some of these.
    async fn send(self) -> Left {
        let stop = CancellationToken::new();
        let sending = timeout(10 * LIMIT, self.house.deliver(&stop));
        sending.await.expect("a stage has no limit").unwrap();
        self.playing.abort();
        let mut troubles = self.house.troubles.all().into_iter();
        let asks = troubles.any(|one| one.about == "mail");
        let row = |row: &rusqlite::Row<'_>| {
            Ok(Left {
                state: row.get(0)?,
                next: row.get(1)?,
                asks,
                reply: row.get(2)?,
            })
        };
        Connection::open(self.folder.path().join("store.sqlite3"))
            .unwrap()
            .query_row("SELECT state, next_try_at, last_reply FROM outbox", [], row)
            .unwrap()
    }
}

/// A house; its store, its mail server and what is amiss in it are each trial's own.
fn house() -> House {
    static HOUSE: OnceLock<House> = OnceLock::new();
    const TEXT: &str = "[mail]\nfrom = \"garden@example.org\"\nfolder = \"out\"\n\n[[garden]]\nname = \"museum\"\n\
        latitude = 43.67\nlongitude = -79.4\nelevation = \"30 m\"\nmail_to = \"garden@example.org\"\n\
        forecast = { source = \"files\", forecast = \"f.json\" }\nhistory = { source = \"none\" }\n\
        plant = [{ name = \"box\", kind = \"boxwood\" }]\n";
    let open = || {
        let almanac = almanac::embedded().unwrap();
        let settings = Settings::parse(TEXT, Path::new("garden.toml"), &almanac, &|_| None);
        let store = Store::in_memory().unwrap();
        House::open(settings.unwrap(), store, Clock::standing(at(NOW))).unwrap()
    };
    HOUSE.get_or_init(open).clone()
}

/// All faults at all stages over one kind of line, and a talk without one.
async fn all_cells(security: SmtpSecurity, keys: Option<&TlsAcceptor>) {
    let server = |fault| Server {
        security,
        keys: keys.cloned(),
        fault,
        clear: Arc::default(),
    };
    let mut trials = JoinSet::new();
    let mut begin = async |fault, news| {
        let trial = Trial::new(server(fault), news).await;
        trials.spawn(async move { (fault, news, trial.send().await) });
    };
    begin(None, News::NowGo).await;
    for at in STAGES {
        if at == At::StartTls && security != SmtpSecurity::StartTls {
            continue;
        }
        for fault in FAULTS {
            begin(Some((at, fault)), News::NowGo).await;
            if wanted(at, fault).state == "unknown" {
                begin(Some((at, fault)), News::PutOff).await;
            }
        }
    }
    let mut cells = 0;
    while let Some(ended) = trials.join_next().await {
        let (fault, news, left) = ended.unwrap();
        let cell = format!("{security:?} {fault:?} {news:?}: {left:?}");
        let wanted = fault.map_or(
            Stand {
                state: "sent",
                asks: false,
            },
            |(at, fault)| wanted(at, fault),
        );
        assert_eq!(
            (left.state.as_str(), left.asks),
            (wanted.state, wanted.asks),
            "{cell}"
        );
        match (wanted.state, news) {
            ("deferred", _) => assert!(left.next.is_some(), "{cell}"),
            ("unknown", News::PutOff) => {
                assert_eq!(
                    left.next.as_deref(),
                    Some(HALF_AN_HOUR),
                    "{cell}: a warning goes again"
                );
            }
            _ => assert_eq!(left.next, None, "{cell}"),
        }
        cells += 1;
    }
    eprintln!("{security:?}: {cells} talks");
}

#[tokio::test]
async fn every_fault_at_every_stage_in_the_clear() {
    rustls::crypto::ring::default_provider()
        .install_default()
        .ok();
    all_cells(SmtpSecurity::Plain, None).await;
}

#[tokio::test]
async fn every_fault_at_every_stage_after_starttls() {
    let name = "mail_route::matrix::every_fault_at_every_stage_after_starttls";
    let Some(folder) = trusting(name) else { return };
    all_cells(
        SmtpSecurity::StartTls,
        Some(&keys(folder.as_path(), "good")),
    )
    .await;
}

#[tokio::test]
async fn every_fault_at_every_stage_on_an_encrypted_line() {
    let name = "mail_route::matrix::every_fault_at_every_stage_on_an_encrypted_line";
    let Some(folder) = trusting(name) else { return };
    all_cells(SmtpSecurity::Tls, Some(&keys(folder.as_path(), "good"))).await;
}

#[tokio::test]
async fn a_certificate_that_is_over_or_of_another_name_gets_no_mail_and_no_password() {
    let name = "mail_route::matrix::a_certificate_that_is_over_or_of_another_name_gets_no_mail_and_no_password";
    let Some(folder) = trusting(name) else { return };
    for certificate in ["over", "other"] {
        for security in [SmtpSecurity::StartTls, SmtpSecurity::Tls] {
            let server = Server {
                security,
                keys: Some(keys(folder.as_path(), certificate)),
                fault: None,
                clear: Arc::default(),
            };
            let clear = Arc::clone(&server.clear);
            let left = Trial::new(server, News::PutOff).await.send().await;
            assert_eq!(
                (left.state.as_str(), left.asks),
                ("deferred", true),
                "{certificate} {security:?}"
            );
            let hour = "2027-04-22T07:00:00.000000000Z";
            assert_eq!(
                left.next.as_deref(),
                Some(hour),
                "{certificate} {security:?}"
            );
            assert!(!clear.lock().unwrap().contains("AUTH"));
        }
    }
}
