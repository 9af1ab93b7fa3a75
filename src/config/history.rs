//! Where the past years of a garden come from.

use super::check::{Checker, Given};
use super::faults::{Checked, Table};
use super::paid::plan;
use super::raw::RawHistory;
use super::sources::{SOURCE, place};
use super::{HistoryFile, HistorySettings};
use crate::climate::Site;
use toml::Spanned;

/// Its archive of past days.
pub const ARCHIVE_URL: &str = "https://archive-api.open-meteo.com/v1/archive";
/// How many past years are asked for: the span of a climate normal of the WMO.
pub const HISTORY_YEARS: u32 = 30;

#[derive(Clone, Copy)]
enum HistorySource {
    OpenMeteo,
    GhcnFile,
    ArchiveFile,
    None,
}

const HISTORY_SOURCES: [(&str, HistorySource); 4] = [
    ("open-meteo", HistorySource::OpenMeteo),
    ("ghcn-file", HistorySource::GhcnFile),
    ("archive-file", HistorySource::ArchiveFile),
    ("none", HistorySource::None),
];

impl Checker<'_> {
    /// `[garden.history]`; without it, the service.
    pub(super) fn history(&mut self, raw: Given<'_, RawHistory>) -> Checked<HistorySettings> {
        let Some(table) = raw else {
            return Ok(HistorySettings::OpenMeteo {
                url: ARCHIVE_URL.to_owned(),
                years: HISTORY_YEARS,
                key: None,
            });
        };
        let raw = table.get_ref();
        let heading = Table::of("[garden.history]", table);
        let source = self.required(raw.source.as_ref(), &heading, "source", SOURCE)?;
        let chosen = self.choice(("source", source), &HISTORY_SOURCES)?;
        let beside = format!("source = \"{}\"", source.get_ref());
        let (url, years) = (("url", place(&raw.url)), ("years", place(&raw.years)));
        let file = ("file", place(&raw.file));
        let site = [
            ("latitude", place(&raw.latitude)),
            ("longitude", place(&raw.longitude)),
            ("elevation", place(&raw.elevation)),
        ];
        if !matches!(chosen, HistorySource::GhcnFile | HistorySource::ArchiveFile) {
            self.meaningless(&beside, &site);
        }
        let key = [
            ("key_file", place(&raw.key_file)),
            ("key_env", place(&raw.key_env)),
            ("key", place(&raw.key)),
        ];
        if !matches!(chosen, HistorySource::OpenMeteo) {
            self.meaningless(&beside, &key);
        }
        match chosen {
            HistorySource::OpenMeteo => {
                self.meaningless(&beside, &[file]);
                self.history_service(raw)
            }
            HistorySource::GhcnFile => {
                self.meaningless(&beside, &[url, years]);
                self.history_file(raw, &heading)
                    .map(HistorySettings::GhcnFile)
            }
            HistorySource::ArchiveFile => {
                self.meaningless(&beside, &[url, years]);
                self.history_file(raw, &heading)
                    .map(HistorySettings::ArchiveFile)
            }
            HistorySource::None => {
                self.meaningless(&beside, &[url, years, file]);
                let what = "without past years no cut that leaves a plant tender is ever go";
                let warning = self.remark(source, what);
                let hint =
                    "take out the table [garden.history]: then past years come from the service";
                self.faults.warn(warning.hint(hint));
                Ok(HistorySettings::None)
            }
        }
    }

    fn history_file(&mut self, raw: &RawHistory, table: &Table) -> Checked<HistoryFile> {
        let example = "file = \"past-years\"";
        let file = self.required(raw.file.as_ref(), table, "file", example)?;
        let path = self.path(("file", file));
        let site = self.site(raw, table);
        Ok(HistoryFile {
            path: path?,
            site: site?,
        })
    }

    /// Where the record was measured, as the station list has it; of latitude and longitude both or none.
    fn site(&mut self, raw: &RawHistory, table: &Table) -> Checked<Option<Site>> {
        if raw.latitude.is_none() && raw.longitude.is_none() && raw.elevation.is_none() {
            return Ok(None);
        }
        let latitude = self.latitude(raw.latitude.as_ref(), table);
        let longitude = self.longitude(raw.longitude.as_ref(), table);
        let elevation = self.elevation(raw.elevation.as_ref());
        Ok(Some(Site {
            latitude: latitude?,
            longitude: longitude?,
            elevation: elevation?,
        }))
    }

    fn history_service(&mut self, raw: &RawHistory) -> Checked<HistorySettings> {
        let key = self.key(
            raw.key.as_ref().map(Spanned::span),
            raw.key_file.as_ref(),
            raw.key_env.as_ref(),
        );
        let url = self.url_or("url", raw.url.as_ref(), plan(key.as_ref())(ARCHIVE_URL));
        let years = match &raw.years {
            Some(value) => self.whole(("years", value), 10..=80),
            None => Ok(HISTORY_YEARS),
        };
        Ok(HistorySettings::OpenMeteo {
            url: url?,
            years: years?,
            key: key?,
        })
    }
}
