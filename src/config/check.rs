//! Checks that several tables share: presence, choices, numbers, quantities, addresses, paths.

use std::collections::BTreeMap;
use std::fmt::Display;
use std::net::IpAddr;
use std::ops::{Range, RangeInclusive};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::{DateTime, TimeDelta, Utc};
use lettre::message::Mailbox;
use reqwest::Url;
use toml::Spanned;

use super::duration;
use super::faults::{Checked, Faults, Remark, Table, Told};
use super::shape::nearest_part;
use super::wish::Wish;
use crate::almanac::{Almanac, nearest};

const URLS: &str =
    "an address that begins with https:// (http:// only for a service on this machine)";

/// One run over a file: what its values are held against, and what was found.
pub(super) struct Checker<'a> {
    /// All that was remarked so far.
    pub(super) faults: Faults<'a>,
    /// The folder of the file, from which relative paths are taken.
    pub(super) folder: &'a Path,
    /// The kinds of plants that exist.
    pub(super) almanac: Arc<Almanac>,
    /// The environment.
    pub(super) env: &'a dyn Fn(&str) -> Option<String>,
    /// The wished days so far.
    pub(super) wishes: Vec<Wish>,
    /// When the data of each forecast file were made, as the gardens so far say.
    pub(super) stated: Stated,
}

/// Forecast and ensemble file, and when their data were made.
pub(super) type Stated = BTreeMap<(PathBuf, Option<PathBuf>), Option<DateTime<Utc>>>;

/// A key that may be left out.
pub(super) type Given<'r, T> = Option<&'r Spanned<T>>;

/// A value with its key, as faults name it.
pub(super) type Named<'r, T> = (&'static str, &'r Spanned<T>);

impl Checker<'_> {
    /// A remark on a value.
    pub(super) fn remark<T>(&self, value: &Spanned<T>, what: impl Into<String>) -> Remark {
        self.faults.remark(&value.span(), what)
    }

    /// Keeps a fault.
    pub(super) fn tell(&mut self, fault: Remark) -> Told {
        self.faults.keep(fault)
    }

    /// The value of a key that has to be there.
    pub(super) fn required<'r, T>(
        &mut self,
        value: Given<'r, T>,
        table: &Table,
        key: &str,
        example: &str,
    ) -> Checked<&'r Spanned<T>> {
        value.ok_or_else(|| self.faults.missing(table, key, example))
    }

    /// A line of text that is not empty and can be shown anywhere.
    pub(super) fn line(&mut self, (key, value): Named<'_, String>) -> Checked<String> {
        let text = value.get_ref().trim();
        if text.is_empty() {
            let fault = self.remark(value, format!("{key} is empty"));
            return Err(self.tell(fault.hint("write it, or take the line out")));
        }
        if text.contains(char::is_control) {
            let what = format!("{key} holds a control character, such as a line break");
            let fault = self.remark(value, what);
            return Err(self.tell(fault.hint("keep it on one line")));
        }
        Ok(text.to_owned())
    }

    /// One of a few names.
    pub(super) fn choice<T: Copy>(
        &mut self,
        (key, value): Named<'_, String>,
        options: &[(&'static str, T)],
    ) -> Checked<T> {
        let written = value.get_ref();
        let chosen = options.iter().find(|(name, _)| name == written);
        chosen.map(|(_, value)| *value).ok_or_else(|| {
            let names: Vec<_> = options.iter().map(|(name, _)| *name).collect();
            let meant = nearest_part(nearest(written, names.iter().copied()));
            let fault = self.remark(value, format!("{key} \"{written}\" is not known{meant}"));
            self.tell(fault.allowed(names.join(", ")))
        })
    }

    /// A number within limits.
    pub(super) fn within(
        &mut self,
        (key, value): Named<'_, f64>,
        limits: RangeInclusive<f64>,
        unit: &str,
    ) -> Checked<f64> {
        let number = *value.get_ref();
        if limits.contains(&number) {
            return Ok(number);
        }
        let fault = self.remark(value, format!("{key} {number} is out of range"));
        let allowed = format!("{} to {}{unit}", limits.start(), limits.end());
        Err(self.tell(fault.allowed(allowed)))
    }

    /// A whole number within limits.
    pub(super) fn whole<N: TryFrom<i64> + PartialOrd + Display>(
        &mut self,
        (key, value): Named<'_, i64>,
        limits: RangeInclusive<N>,
    ) -> Checked<N> {
        let number = *value.get_ref();
        let small = N::try_from(number).ok();
        small.filter(|small| limits.contains(small)).ok_or_else(|| {
            let fault = self.remark(value, format!("{key} {number} is out of range"));
            self.tell(fault.allowed(format!("{} to {}", limits.start(), limits.end())))
        })
    }

    /// A quantity with its unit; `allowed` names units and limits.
    pub(super) fn quantity<Q: PartialOrd, E: Display>(
        &mut self,
        (key, value): Named<'_, String>,
        read: fn(&str) -> Result<Q, E>,
        limits: RangeInclusive<Q>,
        allowed: &str,
    ) -> Checked<Q> {
        let what = match read(value.get_ref()) {
            Ok(quantity) if limits.contains(&quantity) => return Ok(quantity),
            Ok(_) => format!("{key} \"{}\" is out of range", value.get_ref()),
            Err(error) => format!("{key} {error}"),
        };
        let fault = self.remark(value, what);
        Err(self.tell(fault.allowed(allowed)))
    }

    /// A span of time within limits.
    pub(super) fn duration(
        &mut self,
        value: Named<'_, String>,
        limits: RangeInclusive<TimeDelta>,
        allowed: &str,
    ) -> Checked<TimeDelta> {
        self.quantity(value, duration::read, limits, allowed)
    }

    /// One mail address, with a name before it if the keeper likes.
    pub(super) fn mail_address(&mut self, (key, value): Named<'_, String>) -> Checked<String> {
        let written = self.line((key, value))?;
        if written.parse::<Mailbox>().is_ok() {
            return Ok(written);
        }
        let fault = self.remark(value, format!("{key} \"{written}\" is not a mail address"));
        let one = "one address, such as \"garden@example.org\" or \"Garden <garden@example.org>\"";
        Err(self.tell(fault.allowed(one)))
    }

    /// The address of a web service.
    pub(super) fn url(&mut self, (key, value): Named<'_, String>) -> Checked<String> {
        let written = value.get_ref().trim();
        let safe = |url: &Url| match url.scheme() {
            "https" => true,
            "http" => url.host_str().is_some_and(is_loopback),
            _ => false,
        };
        match Url::parse(written) {
            Ok(url) if safe(&url) => Ok(written.to_owned()),
            Ok(url) => {
                let scheme = url.scheme();
                let what =
                    format!("{key} \"{written}\" goes by {scheme}, which may be tampered with");
                let fault = self.remark(value, what);
                Err(self.tell(fault.allowed(URLS)))
            }
            Err(_) => {
                let what = format!("{key} \"{written}\" is not a web address");
                let fault = self.remark(value, what);
                Err(self.tell(fault.allowed(URLS)))
            }
        }
    }

    /// A file or folder; relative paths are taken from the folder of the settings file.
    pub(super) fn path(&mut self, (key, value): Named<'_, String>) -> Checked<PathBuf> {
        let path = self.line((key, value))?;
        if path.starts_with('~') {
            let what = format!("{key} \"{path}\" begins with ~, which only a shell understands");
            let hint = "write the whole path, or one that begins at the folder of this file";
            let fault = self.remark(value, what);
            return Err(self.tell(fault.hint(hint)));
        }
        Ok(self.folder.join(path))
    }

    /// Complains of keys that mean nothing beside a choice that was made.
    pub(super) fn meaningless(&mut self, beside: &str, keys: &[(&str, Option<Range<usize>>)]) {
        for (key, span) in keys {
            let Some(span) = span else { continue };
            let what = format!("{key} means nothing beside {beside}");
            let fault = self.faults.remark(span, what);
            self.tell(fault.hint("take the line out, or choose another source"));
        }
    }

    /// Complains of names that stand more than once.
    pub(super) fn only_once(
        &mut self,
        (what, hint): (&str, &str),
        names: impl Iterator<Item = (String, Range<usize>)>,
    ) {
        let mut seen: Vec<(String, usize)> = Vec::new();
        for (name, span) in names {
            let first = seen.iter().find(|(other, _)| *other == name);
            let Some(&(_, line)) = first else {
                seen.push((name, self.faults.line(&span)));
                continue;
            };
            let fault = self.faults.remark(
                &span,
                format!("{what} \"{name}\" stands already in line {line}"),
            );
            self.tell(fault.hint(hint));
        }
    }
}

/// Whether a host is this machine.
pub(super) fn is_loopback(host: &str) -> bool {
    let bare = host.trim_start_matches('[').trim_end_matches(']');
    let is_here = |address: IpAddr| address.is_loopback();
    bare.eq_ignore_ascii_case("localhost") || bare.parse().is_ok_and(is_here)
}
