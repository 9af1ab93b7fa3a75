//! Passwords, keys and tokens: from the environment, or from a file that nobody else may read.

use std::fs::File;
use std::io::{self, Read};
use std::os::unix::fs::PermissionsExt;
use std::path::Path;

use secrecy::{ExposeSecret, SecretString};
use serde::de::IgnoredAny;
use toml::Spanned;

use super::check::{Checker, Given};
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

/// What kind of secret it is, and how its settings are called.
#[derive(Clone, Copy)]
pub(super) struct Naming {
    /// In a sentence.
    what: &'static str,
    /// The key that names a file.
    file: &'static str,
    /// The key that names a variable.
    variable: &'static str,
    /// A variable as an example.
    example: &'static str,
}

/// The password of a mail server.
pub(super) const PASSWORD: Naming = Naming {
    what: "password",
    file: "password_file",
    variable: "password_env",
    example: "SMTP_PASSWORD",
};

/// The password of a database's user.
pub(super) const DATABASE_PASSWORD: Naming = Naming {
    example: "DATABASE_PASSWORD",
    ..PASSWORD
};

/// The key of a paid weather plan.
pub(super) const KEY: Naming = Naming {
    what: "key",
    file: "key_file",
    variable: "key_env",
    example: "OPEN_METEO_KEY",
};

/// The token with which readings are posted.
pub(super) const READINGS_TOKEN: Naming = Naming {
    what: "token",
    file: "token_file",
    variable: "token_env",
    example: "READINGS_TOKEN",
};

/// The token with which the page is read.
pub(super) const PAGE_TOKEN: Naming = Naming {
    example: "PAGE_TOKEN",
    ..READINGS_TOKEN
};

/// A shorter token can be guessed (estimate: 16 signs of base 64 are 96 bits).
const TOKEN_SIGNS_MIN: usize = 16;

/// The keys of a token, and the one that is refused.
pub(super) struct TokenKeys<'a> {
    pub(super) file: Given<'a, String>,
    pub(super) variable: Given<'a, String>,
    pub(super) plain: Given<'a, IgnoredAny>,
}

impl Checker<'_> {
    /// A secret that has a file or a variable; none where neither is named.
    pub(super) fn secret(
        &mut self,
        naming: Naming,
        file: Given<'_, String>,
        variable: Given<'_, String>,
    ) -> Checked<Option<SecretString>> {
        match (file, variable) {
            (Some(file), None) => self.secret_file(naming, file).map(Some),
            (None, Some(name)) => self.secret_variable(naming, name).map(Some),
            (Some(_), Some(name)) => {
                let Naming {
                    what,
                    file,
                    variable,
                    ..
                } = naming;
                let what = format!("the {what} comes either from {file} or from {variable}");
                let fault = self.remark(name, what);
                Err(self.tell(fault.hint("take one of the two lines out")))
            }
            (None, None) => Ok(None),
        }
    }

    /// A token that cannot be guessed; none where no key names one.
    pub(super) fn token(
        &mut self,
        naming: Naming,
        keys: &TokenKeys<'_>,
    ) -> Checked<Option<SecretString>> {
        if let Some(written) = keys.plain {
            let what = "a token does not belong into this file, which gets shown and copied";
            let fault = self.remark(written, what);
            let hint = format!(
                "write it into a file of its own, chmod 600 that, and name it here: token_file = \"{}\"",
                naming.example.to_ascii_lowercase().replace('_', "-")
            );
            return Err(self.tell(fault.hint(hint)));
        }
        let token = self.secret(naming, keys.file, keys.variable)?;
        let Some((token, at)) = token.zip(keys.file.or(keys.variable)) else {
            return Ok(None);
        };
        if token.expose_secret().chars().count() < TOKEN_SIGNS_MIN {
            let what =
                format!("the token has fewer than {TOKEN_SIGNS_MIN} signs, which can be guessed");
            let fault = self.remark(at, what);
            return Err(self.tell(fault.hint("make one with: openssl rand -base64 24")));
        }
        Ok(Some(token))
    }

    fn secret_variable(&mut self, naming: Naming, name: &Spanned<String>) -> Checked<SecretString> {
        let what = naming.what;
        let written = name.get_ref();
        let fits = |sign: char| sign.is_ascii_uppercase() || sign.is_ascii_digit() || sign == '_';
        if written.is_empty() || !written.chars().all(fits) {
            // It may be the password itself, so it is not shown.
            let fault = self
                .remark(name, format!("{} is not the name of an environment variable", naming.variable))
                .allowed(format!("capital letters, digits and underscores, such as \"{}\"", naming.example))
                .hint(format!("it names the variable that holds the {what}; the {what} never stands in this file"));
            return Err(self.tell(fault));
        }
        let why = match (self.env)(written) {
            Some(secret) if !secret.trim().is_empty() => return Ok(SecretString::from(secret)),
            Some(_) => format!("the environment variable {written} is empty"),
            None => format!("the environment variable {written} is not set"),
        };
        let fault = self.remark(name, why);
        let hint = format!(
            "set it where the program is started, or use {}",
            naming.file
        );
        Err(self.tell(fault.hint(hint)))
    }

    fn secret_file(&mut self, naming: Naming, value: &Spanned<String>) -> Checked<SecretString> {
        let Naming { what, file, .. } = naming;
        let path = self.path((file, value))?;
        // systemd gives the service access by a list, which shows as a group that may read; the folder itself is
        // closed to all others (systemd issue 29435).
        let by_systemd =
            (self.env)(CREDENTIALS).is_some_and(|folder| path.parent() == Some(Path::new(&folder)));
        let others = if by_systemd { 0o037 } else { 0o077 };
        let shown = path.display();
        let (why, hint) = match read(&path, others) {
            Ok(Secret::Kept(secret)) => return Ok(secret),
            Ok(Secret::Open(mode)) => (
                format!("{file} {shown} is open to others (mode {mode:03o})"),
                format!("chmod 600 '{shown}'"),
            ),
            Ok(Secret::Empty) => (
                format!("{file} {shown} is empty"),
                format!("write the {what} into it, on one line"),
            ),
            Err(error) => (
                format!("cannot read {file} {shown}: {error}"),
                format!("write the {what} into it, on one line, then: chmod 600 '{shown}'"),
            ),
        };
        let fault = self.remark(value, why);
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
