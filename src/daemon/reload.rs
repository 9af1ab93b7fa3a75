//! The settings read again while the program runs: what is wrong leaves the old ones, and what was said is kept.

use std::fmt;
use std::sync::Arc;

use tokio::net::TcpListener;

use super::{DaemonError, House, contact, postman};
use crate::config::{LeftOut, Settings};
use crate::link::{Links, Signer};
use crate::weather::Fetcher;
use crate::web::{self, Weight};

/// What the trouble is about.
const SETTINGS: &str = "settings";

/// Reads the settings again; what is wrong with them comes in words.
#[derive(Clone)]
pub struct Source(Arc<dyn Fn() -> Result<Settings, String> + Send + Sync>);

/// Settings that were read again and can be used.
#[derive(Debug)]
pub(super) struct Reread {
    pub(super) settings: Settings,
    /// The listener, where the page is served at another address than before.
    pub(super) listener: Option<TcpListener>,
}

/// What a trouble with a file of gardens is about.
fn about(left: &LeftOut) -> String {
    format!("garden file {}", left.file.display())
}

impl Source {
    /// Whatever reads them.
    pub fn of(read: impl Fn() -> Result<Settings, String> + Send + Sync + 'static) -> Self {
        Self(Arc::new(read))
    }
}

impl fmt::Debug for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Source")
    }
}

impl House {
    /// The settings anew; none, said in log and status, when they cannot be used or there is nowhere to read them.
    pub(super) async fn read_again(&self) -> Option<Reread> {
        match self.new_settings().await {
            Ok(reread) => {
                self.troubles.end(SETTINGS);
                Some(reread)
            }
            Err(problem) => {
                let says = format!("the new settings are not used, the old ones stay: {problem}");
                let now = self.clock.now();
                self.troubles.begin(SETTINGS, (Weight::Slight, &says), now);
                self.to_show.notify_one();
                None
            }
        }
    }

    /// Notes the files of gardens that cannot be used.
    pub(super) fn tell_left_out(&self, files: &[LeftOut]) {
        for left in files {
            let says = format!(
                "it is left out, its gardens stay as they were: {}",
                left.faults
            );
            let now = self.clock.now();
            self.troubles
                .begin(&about(left), (Weight::Slight, &says), now);
        }
    }

    async fn new_settings(&self) -> Result<Reread, String> {
        let source = self.source.clone();
        let source = source.ok_or("this program has no file to read them from")?;
        let read = tokio::task::spawn_blocking(move || (source.0)()).await;
        let settings = read.map_err(|problem| problem.to_string())??;
        let settings = settings.keeping(&self.settings);
        if settings.store != self.settings.store {
            return Err("another store needs a new start".to_owned());
        }
        let listener = if settings.web.listen == self.settings.web.listen {
            None
        } else {
            let listening = web::listen(settings.web.listen).await;
            Some(listening.map_err(|problem| crate::store::chain(&problem))?)
        };
        Ok(Reread { settings, listener })
    }

    /// The same house under other settings: store, memory and clock are the same.
    pub(super) async fn with_settings(&self, settings: Settings) -> Result<Self, DaemonError> {
        let is_same = contact(&settings) == contact(&self.settings)
            && settings.weather.timeout == self.settings.weather.timeout;
        let fetcher = if is_same {
            // It knows which service may be asked when.
            Arc::clone(&self.fetcher)
        } else {
            let timeout = settings.weather.timeout;
            Arc::new(Fetcher::new(contact(&settings), timeout)?)
        };
        let fresh = super::fresh_key()?;
        let key = self
            .keeper
            .with(move |store| store.link_key(&fresh))
            .await?;
        let links = Links::new(Signer::new(&key), settings.web.address.as_deref());
        for left in &self.settings.left_out {
            let is_still = settings.left_out.iter().any(|new| new.file == left.file);
            if !is_still {
                self.troubles.end(&about(left));
            }
        }
        self.tell_left_out(&settings.left_out);
        Ok(Self {
            links: Arc::new(links),
            postman: Arc::new(postman(&settings)),
            settings: Arc::new(settings),
            fetcher,
            ..self.clone()
        })
    }
}
