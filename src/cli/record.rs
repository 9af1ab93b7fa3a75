//! A daily record from a file.

use std::ffi::OsStr;
use std::path::Path;

use anyhow::Context;

use super::Exit;
use crate::climate::{DailyRecord, read_record};

/// Reads a record with its name: the file's, without folder and ending.
pub(super) fn read(path: &Path) -> anyhow::Result<(String, DailyRecord)> {
    let shown = path.display().to_string();
    let text = std::fs::read_to_string(path).with_context(|| format!("cannot read {shown}"))?;
    let part = |part: Option<&OsStr>| {
        part.unwrap_or(path.as_os_str())
            .to_string_lossy()
            .into_owned()
    };
    let record = read_record(&text, &part(path.file_name()))
        .map_err(|error| Exit::Usage(format!("cannot use {shown}: {error}")))?;
    Ok((part(path.file_stem()), record))
}
