//! What several tests need: recorded samples where they lie, and peers that may be absent.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

/// The folder of the project.
pub(crate) fn project() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// A recorded payload or open data series from the folder `shared` beside the project; none, said aloud, when it is
/// not there.
pub(crate) fn sample(path: &str) -> Option<PathBuf> {
    let file = project().join("../shared").join(path);
    if file.exists() {
        return Some(file);
    }
    eprintln!("skipped: {path} is not beside the project");
    None
}

/// A Python interpreter that can import the modules; none, said aloud, when there is none.
///
/// With `BUDWARD_PEERS=required` in the environment its absence is a failure: the full check sets it. `BUDWARD_PYTHON`
/// names the interpreter, `python3` otherwise.
pub(crate) fn python(modules: &[&str]) -> Option<PathBuf> {
    let python = std::env::var("BUDWARD_PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let imports = format!("import {}", [&["sys"], modules].concat().join(", "));
    let found = Command::new(&python)
        .args(["-c", &imports])
        .output()
        .is_ok_and(|out| out.status.success());
    if found {
        return Some(PathBuf::from(python));
    }
    say_absent(&format!("{python} with {modules:?}"));
    None
}

/// The JSON that a script of `tests/peers/` prints; none, said aloud, where its modules cannot be imported.
pub(crate) fn peer_says(
    script: &str,
    modules: &[&str],
    arguments: &[impl AsRef<OsStr>],
) -> Option<Value> {
    let out = Command::new(python(modules)?)
        .arg(project().join("tests/peers").join(script))
        .args(arguments)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&out.stderr);
    assert!(out.status.success(), "{said}");
    Some(serde_json::from_slice(&out.stdout).unwrap())
}

/// Says aloud that a peer is absent, which is a failure where peers are required.
pub(crate) fn say_absent(peer: &str) {
    let required = std::env::var("BUDWARD_PEERS").is_ok_and(|value| value == "required");
    assert!(!required, "{peer} is required and was not found");
    eprintln!("skipped: {peer} was not found");
}
