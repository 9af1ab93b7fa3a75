//! Mail servers and their passwords, which are never shown.

use std::fs;
use std::os::unix::fs::PermissionsExt;

use budward::config::{
    FORECAST_URL, ForecastSettings, HistorySettings, MailRoute, Security, Settings,
};
use secrecy::ExposeSecret;

use super::{almanac, parse, small};

#[test]
fn a_mail_server_has_its_usual_port_and_its_secret() {
    let smtp = |more: &str| {
        let mail = format!("[mail.smtp]\nhost = \"localhost\"\n{more}");
        match parse(&small(&mail, "")).unwrap().mail.route {
            MailRoute::Smtp {
                port,
                security,
                login,
                ..
            } => (port, security, login),
            MailRoute::Folder(folder) => panic!("{}", folder.display()),
        }
    };
    let (port, security, login) = smtp("");
    assert_eq!(
        (port, security, login.is_none()),
        (587, Security::StartTls, true)
    );
    assert_eq!(smtp("security = \"tls\"").0, 465);
    assert_eq!(smtp("security = \"plain\"").0, 25);
    let (port, _, login) = smtp("port = 2525\nuser = \"garden\"\npassword_env = \"SMTP_PASSWORD\"");
    let login = login.unwrap();
    assert_eq!((port, login.user.as_str()), (2525, "garden"));
    assert_eq!(login.password.expose_secret(), "correct horse");
    assert!(!format!("{login:?}").contains("horse"));
}

/// The password of a file with that mode, or what is said of it; the variable names its folder.
fn secret_in(variable: &str, mode: u32, text: &str) -> Result<String, String> {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("smtp-password");
    fs::write(&file, text).unwrap();
    fs::set_permissions(&file, fs::Permissions::from_mode(mode)).unwrap();
    let mail = "[mail.smtp]\nhost = \"mail.example.org\"\nuser = \"garden\"\npassword_file = \"smtp-password\"";
    let folder_name = folder.path().to_str().unwrap().to_owned();
    let env = |name: &str| (name == variable).then(|| folder_name.clone());
    let settings = folder.path().join("garden.toml");
    let parsed = Settings::parse(&small(mail, ""), &settings, &almanac(), &env);
    match parsed.map_err(|errors| errors.to_string())?.mail.route {
        MailRoute::Smtp { login, .. } => Ok(login.unwrap().password.expose_secret().to_owned()),
        MailRoute::Folder(folder) => panic!("{}", folder.display()),
    }
}

fn secret(mode: u32, text: &str) -> Result<String, String> {
    secret_in("ELSEWHERE", mode, text)
}

fn credential(mode: u32, text: &str) -> Result<String, String> {
    secret_in("CREDENTIALS_DIRECTORY", mode, text)
}

#[test]
fn a_secret_file_is_read_without_its_line_end() {
    assert_eq!(
        secret(0o600, "correct horse\n").as_deref(),
        Ok("correct horse")
    );
    assert_eq!(
        secret(0o400, "correct horse\r\n").as_deref(),
        Ok("correct horse")
    );
}

#[test]
fn a_secret_file_that_others_may_read_is_refused_with_the_remedy() {
    for mode in [0o644, 0o640, 0o604, 0o660] {
        let said = secret(mode, "correct horse").unwrap_err();
        assert!(said.contains(&format!("mode {mode:03o}")), "{said}");
        assert!(said.contains("hint: chmod 600 '/"), "{said}");
        assert!(!said.contains("horse"), "{said}");
    }
}

#[test]
fn a_credential_of_systemd_may_show_a_group_that_reads() {
    // Mode 0440 in CREDENTIALS_DIRECTORY since systemd 254 (systemd issue 29435).
    assert_eq!(
        credential(0o440, "correct horse").as_deref(),
        Ok("correct horse")
    );
    assert!(credential(0o444, "correct horse").is_err());
    assert!(secret(0o440, "correct horse").is_err());
}

#[test]
fn an_empty_secret_file_is_refused() {
    let said = secret(0o600, "\n").unwrap_err();
    assert!(said.contains("is empty"), "{said}");
}

#[test]
fn a_password_in_the_file_is_never_repeated() {
    for line in [
        "password = \"hunter2\"",
        "password = hunter2",
        "password_env = \"hunter2\"",
        "password_env = hunter2",
        "password_env = [\"hunter2\"]",
        "password_file = hunter2",
        "passwort = \"hunter2\"",
    ] {
        let mail = format!("[mail.smtp]\nhost = \"localhost\"\nuser = \"garden\"\n{line}");
        let errors = parse(&small(&mail, "")).unwrap_err();
        assert!(
            !format!("{errors}{errors:?}").contains("hunter2"),
            "{errors}"
        );
    }
}

#[test]
fn a_key_for_the_weather_leads_to_the_paid_addresses_and_is_not_shown() {
    let garden = |key: &str| {
        let tables = format!(
            "[garden.forecast]\nsource = \"open-meteo\"\n{key}\n[garden.history]\nsource = \"open-meteo\"\n{key}"
        );
        let text = small("folder = \"mail-out\"", &tables);
        let mut gardens = parse(&text).unwrap().gardens;
        let mut garden = std::sync::Arc::unwrap_or_clone(gardens.remove(0));
        (garden.forecasts.remove(0).from, garden.history)
    };
    let (forecast, history) = garden("key_env = \"SMTP_PASSWORD\"");
    let ForecastSettings::OpenMeteo { url, key, .. } = &forecast else {
        panic!("{forecast:?}");
    };
    assert_eq!(url, "https://customer-api.open-meteo.com/v1/forecast");
    assert_eq!(key.as_ref().unwrap().expose_secret(), "correct horse");
    let HistorySettings::OpenMeteo { url, .. } = &history else {
        panic!("{history:?}");
    };
    assert_eq!(
        url,
        "https://customer-archive-api.open-meteo.com/v1/archive"
    );
    assert!(!format!("{forecast:?} {history:?}").contains("horse"));
    let (forecast, _) = garden("");
    let ForecastSettings::OpenMeteo { url, key, .. } = &forecast else {
        panic!("{forecast:?}");
    };
    assert_eq!((url.as_str(), key.is_none()), (FORECAST_URL, true));
}
