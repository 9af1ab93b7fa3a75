//! Passwords and tokens: from the environment, or from a file that nobody else may read.

use std::fs::File;
use std::io::{self, Read};
use std::os::unix::fs::PermissionsExt;
use std::path::Path;

use secrecy::SecretString;
use toml::Spanned;

use super::check::Checker;
use super::faults::Checked;

/// A file with a password is not larger.
const BYTES_MAX: u64 = 4096;

/// The variable in which systemd names the folder of a service's credentials.
const CREDENTIALS: &str = "CREDENTIALS_DIRECTORY";

/// What lies in a file with a password.
enum Secret {
    Kept(SecretString),
    Open(u32),
    Empty,
}

impl Checker<'_> {
    /// The secret in an environment variable; `what` is the word for it, by which its keys begin.
    pub(super) fn secret_variable(
        &mut self,
        what: &str,
        name: &Spanned<String>,
    ) -> Checked<SecretString> {
        let written = name.get_ref();
        let fits = |sign: char| sign.is_ascii_uppercase() || sign.is_ascii_digit() || sign == '_';
        if written.is_empty() || !written.chars().all(fits) {
            // It may be the password itself, so it is not shown.
            let fault = self
                .remark(name, format!("{what}_env is not the name of an environment variable"))
                .allowed("capital letters, digits and underscores, such as \"SMTP_PASSWORD\"")
                .hint(format!(
                    "it names the variable that holds the {what}; the {what} never stands in this file"
                ));
            return Err(self.tell(fault));
        }
        let fault = match (self.env)(written) {
            Some(secret) if !secret.trim().is_empty() => return Ok(SecretString::from(secret)),
            Some(_) => format!("the environment variable {written} is empty"),
            None => format!("the environment variable {written} is not set"),
        };
        let fault = self.remark(name, fault);
        let hint = format!("set it where the program is started, or use {what}_file");
        Err(self.tell(fault.hint(hint)))
    }

    /// The secret in a file; `(what, key)` are the word for it and the key that names the file.
    pub(super) fn secret_file(
        &mut self,
        (what, key): (&str, &'static str),
        value: &Spanned<String>,
    ) -> Checked<SecretString> {
        let path = self.path((key, value))?;
        // systemd gives the service access by a list, which shows as a group that may read; the folder itself is
        // closed to all others (systemd issue 29435).
        let by_systemd =
            (self.env)(CREDENTIALS).is_some_and(|folder| path.parent() == Some(Path::new(&folder)));
        let others = if by_systemd { 0o037 } else { 0o077 };
        let shown = path.display();
        let (fault, hint) = match read(&path, others) {
            Ok(Secret::Kept(secret)) => return Ok(secret),
            Ok(Secret::Open(mode)) => (
                format!("{key} {shown} is open to others (mode {mode:03o})"),
                format!("chmod 600 '{shown}'"),
            ),
            Ok(Secret::Empty) => (
                format!("{key} {shown} is empty"),
                format!("write the {what} into it, on one line"),
            ),
            Err(error) => (
                format!("cannot read {key} {shown}: {error}"),
                format!("write the {what} into it, on one line, then: chmod 600 '{shown}'"),
            ),
        };
        let fault = self.remark(value, fault);
        Err(self.tell(fault.hint(hint)))
    }
}

/// Reads a file unless somebody of `others`, a mask of its mode, has access.
fn read(path: &Path, others: u32) -> io::Result<Secret> {
    let file = File::open(path)?;
    let mode = file.metadata()?.permissions().mode() & 0o777;
    if mode & others != 0 {
        return Ok(Secret::Open(mode));
    }
    let mut text = String::new();
    file.take(BYTES_MAX).read_to_string(&mut text)?;
    match text.trim_end_matches(['\r', '\n']) {
        "" => Ok(Secret::Empty),
        secret => Ok(Secret::Kept(SecretString::from(secret))),
    }
}
