//! How mails leave: into a folder, or to a mail server.

use std::net::IpAddr;

use toml::Spanned;

use super::check::{Checker, Given, Named, is_loopback};
use super::faults::{Checked, Table};
use super::raw::{RawMail, RawSmtp};
use super::secret::PASSWORD;
use super::{Login, MailRoute, MailSettings, Security};

impl Checker<'_> {
    /// `[mail]`
    pub(super) fn mail(&mut self, raw: Given<'_, RawMail>) -> Checked<MailSettings> {
        let hint = "add [mail], and below it: from = \"garden@example.org\", folder = \"mail-out\", each on its line";
        let table = raw.ok_or_else(|| self.faults.lacking("mail", "no table [mail]", hint))?;
        let heading = Table::of("[mail]", table);
        let raw = table.get_ref();
        let example = "from = \"garden@example.org\"";
        let from = self
            .required(raw.from.as_ref(), &heading, "from", example)
            .and_then(|from| self.mail_address(("from", from)));
        let route = match (&raw.folder, &raw.smtp) {
            (Some(folder), None) => self.path(("folder", folder)).map(MailRoute::Folder),
            (None, Some(smtp)) => self.smtp(smtp),
            (Some(folder), Some(smtp)) => {
                let what = "mails go either into a folder or to a server, not both ways";
                let fault = self.remark(folder, what);
                self.tell(fault.hint("take out folder, or the whole table [mail.smtp]"));
                self.smtp(smtp)
            }
            (None, None) => {
                let either = "folder or a table [mail.smtp]";
                Err(self
                    .faults
                    .missing(&heading, either, "folder = \"mail-out\""))
            }
        };
        Ok(MailSettings {
            from: from?,
            route: route?,
        })
    }

    fn smtp(&mut self, table: &Spanned<RawSmtp>) -> Checked<MailRoute> {
        let raw = table.get_ref();
        let heading = Table::of("[mail.smtp]", table);
        let example = "host = \"mail.example.org\"";
        let host = self
            .required(raw.host.as_ref(), &heading, "host", example)
            .and_then(|host| self.host(("host", host)));
        let security = match &raw.security {
            Some(value) => self.security(value, host.as_deref().ok()),
            None => Ok(Security::StartTls),
        };
        let port = match &raw.port {
            Some(value) => self.whole(("port", value), 1..=u16::MAX),
            None => security.map(usual_port),
        };
        let login = self.login(raw, &heading);
        let hello = raw.hello.as_ref().map(|hello| self.host(("hello", hello)));
        Ok(MailRoute::Smtp {
            host: host?,
            port: port?,
            security: security?,
            login: login?,
            hello: hello.transpose()?,
        })
    }

    /// A bare host name or address.
    fn host(&mut self, (key, value): Named<'_, String>) -> Checked<String> {
        let written = value.get_ref().trim();
        let fits = |sign: char| sign.is_alphanumeric() || matches!(sign, '.' | '-');
        let is_name = !written.is_empty() && written.chars().all(fits);
        if is_name || written.parse::<IpAddr>().is_ok() {
            return Ok(written.to_owned());
        }
        let fault = self.remark(
            value,
            format!("{key} \"{written}\" is not the name of a machine"),
        );
        let fault = fault.allowed("a bare name, such as \"mail.example.org\"");
        Err(self.tell(fault.hint("no smtp:// before it; the port has a line of its own")))
    }

    fn security(&mut self, value: &Spanned<String>, host: Option<&str>) -> Checked<Security> {
        let options = [
            ("starttls", Security::StartTls),
            ("tls", Security::Tls),
            ("plain", Security::Plain),
        ];
        let security = self.choice(("security", value), &options)?;
        let host = host.filter(|host| !is_loopback(host));
        if let (Security::Plain, Some(host)) = (security, host) {
            let what =
                format!("security \"plain\" would let anyone on the way to {host} read the mails");
            let fault = self
                .remark(value, what)
                .allowed("plain only to this machine (localhost, 127.0.0.1, ::1)");
            let hint = "write \"starttls\" (usually port 587) or \"tls\" (usually port 465)";
            return Err(self.tell(fault.hint(hint)));
        }
        Ok(security)
    }

    /// Name and password; neither where the server wants none.
    fn login(&mut self, raw: &RawSmtp, table: &Table) -> Checked<Option<Login>> {
        if let Some(written) = &raw.password {
            let what = "a password does not belong into this file, which gets shown and copied";
            let hint = "write it into a file of its own, chmod 600 that, and name it here: password_file = \"smtp-password\"; change the password if others have seen this file";
            let fault = self.remark(written, what);
            return Err(self.tell(fault.hint(hint)));
        }
        let (file, variable) = (raw.password_file.as_ref(), raw.password_env.as_ref());
        let password = match self.secret(PASSWORD, file, variable) {
            Ok(Some(password)) => Ok(password),
            Err(told) => Err(told),
            Ok(None) => {
                let Some(user) = &raw.user else {
                    return Ok(None);
                };
                let fault = self.remark(user, "user stands without a password");
                let hint = "add a line such as: password_file = \"smtp-password\"";
                Err(self.tell(fault.hint(hint)))
            }
        };
        let example = "user = \"garden@example.org\"";
        let user = self
            .required(raw.user.as_ref(), table, "user", example)
            .and_then(|user| self.line(("user", user)));
        Ok(Some(Login {
            user: user?,
            password: password?,
        }))
    }
}

/// The port on which servers take mail with that security (RFC 6409, RFC 8314, RFC 5321).
fn usual_port(security: Security) -> u16 {
    match security {
        Security::StartTls => 587,
        Security::Tls => 465,
        Security::Plain => 25,
    }
}
