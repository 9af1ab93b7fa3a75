//! Certificates of the trial, and a run of a test in which this machine vouches for them.

use std::path::Path;
use std::process::Command;
use std::sync::Arc;

use rustls::ServerConfig;
use rustls::pki_types::pem::PemObject;
use rustls::pki_types::{CertificateDer, PrivateKeyDer};
use tempfile::TempDir;
use tokio_rustls::TlsAcceptor;

use crate::support::say_absent;

/// Where the certificates lie, for the run of a test in which this machine vouches for them.
const TRUSTED: &str = "BUDWARD_TEST_CERTIFICATES";

pub(super) fn keys(folder: &Path, name: &str) -> TlsAcceptor {
    rustls::crypto::ring::default_provider()
        .install_default()
        .ok();
    let certificate = CertificateDer::from_pem_file(folder.join(format!("{name}.pem"))).unwrap();
    let key = PrivateKeyDer::from_pem_file(folder.join(format!("{name}.key"))).unwrap();
    let config = ServerConfig::builder()
        .with_no_client_auth()
        .with_single_cert(vec![certificate], key)
        .unwrap();
    TlsAcceptor::from(Arc::new(config))
}

/// Makes a certificate and its key; says whether it could.
fn certify(folder: &Path, (name, host, days): (&str, &str, &str)) -> bool {
    let openssl = |arguments: &[&str]| {
        let made = Command::new("openssl")
            .args(arguments)
            .current_dir(folder)
            .output();
        made.is_ok_and(|made| made.status.success())
    };
    let (key, request, made) = (
        format!("{name}.key"),
        format!("{name}.csr"),
        format!("{name}.pem"),
    );
    let about = format!("basicConstraints=critical,CA:FALSE\nsubjectAltName={host}\n");
    std::fs::write(folder.join("about"), about).unwrap();
    openssl(&[
        "req",
        "-newkey",
        "rsa:2048",
        "-nodes",
        "-subj",
        "/CN=relay",
        "-keyout",
        &key,
        "-out",
        &request,
    ]) && openssl(&[
        "x509", "-req", "-in", &request, "-signkey", &key, "-days", days, "-extfile", "about",
        "-out", &made,
    ])
}

/// Runs a test once more in a process of its own in which this machine vouches for the certificates; there, gives their
/// folder.
///
/// The trust comes from the environment, which a running process does not change safely.
pub(super) fn trusting(test: &str) -> Option<std::path::PathBuf> {
    if let Some(trusted) = std::env::var_os(TRUSTED) {
        return Some(trusted.into());
    }
    let folder: TempDir = tempfile::tempdir().unwrap();
    let all = [
        ("good", "IP:127.0.0.1", "2"),
        ("over", "IP:127.0.0.1", "-1"),
        ("other", "DNS:other.example", "2"),
    ];
    if !all.iter().all(|one| certify(folder.path(), *one)) {
        say_absent("openssl");
        return None;
    }
    let read = |(name, ..): &(&str, &str, &str)| {
        std::fs::read_to_string(folder.path().join(format!("{name}.pem"))).unwrap()
    };
    let bundle: String = all.iter().map(read).collect();
    std::fs::write(folder.path().join("all.pem"), bundle).unwrap();
    let again = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", test, "--nocapture"])
        .env(TRUSTED, folder.path())
        .env("SSL_CERT_FILE", folder.path().join("all.pem"))
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&again.stdout);
    assert!(
        again.status.success() && said.contains("1 passed"),
        "{said}{}",
        String::from_utf8_lossy(&again.stderr)
    );
    None
}
