//! Paid plans of Open-Meteo: the key and the addresses that take it.

use std::ops::Range;

use secrecy::SecretString;

use super::check::{Checker, Given};
use super::faults::{Checked, Told};
use super::history::ARCHIVE_URL;
use super::secret::KEY;
use super::sources::{ENSEMBLE_URL, FORECAST_URL};

/// The same three for those who pay: the service's names with `customer-` before them, and a key in the query.
const PAID_URLS: [(&str, &str); 3] = [
    (
        FORECAST_URL,
        "https://customer-api.open-meteo.com/v1/forecast",
    ),
    (
        ENSEMBLE_URL,
        "https://customer-ensemble-api.open-meteo.com/v1/ensemble",
    ),
    (
        ARCHIVE_URL,
        "https://customer-archive-api.open-meteo.com/v1/archive",
    ),
];

impl Checker<'_> {
    /// The key of a paid plan. One that stands in the file itself is refused, and never shown.
    pub(super) fn key(
        &mut self,
        written: Option<Range<usize>>,
        file: Given<'_, String>,
        variable: Given<'_, String>,
    ) -> Checked<Option<SecretString>> {
        if let Some(span) = written {
            let what = "a key does not belong into this file, which gets shown and copied";
            let hint = "write it into a file of its own, chmod 600 that, and name it here: key_file = \"open-meteo-key\"";
            let fault = self.faults.remark(&span, what);
            return Err(self.tell(fault.hint(hint)));
        }
        self.secret(KEY, file, variable)
    }
}

/// The address of a free service, or of the same for those who have a key.
pub(super) fn plan(key: Result<&Option<SecretString>, &Told>) -> fn(&'static str) -> &'static str {
    match key {
        Ok(Some(_)) => |free| {
            let paid = PAID_URLS.iter().find(|(url, _)| *url == free);
            paid.map_or(free, |(_, paid)| paid)
        },
        Ok(None) | Err(_) => |free| free,
    }
}
