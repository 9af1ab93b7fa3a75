//! What several tests need: recorded samples where they lie, and peers that may be absent.

use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Arc;

use budward::climate::Climate;
use budward::events::{Events, Ground, Seasons};
use budward::forecast::ForecastDay;
use budward::garden::{Choices, Hemisphere, Place, PlannedCut, Zone};
use budward::outlook::{Daily, Horizon, MeasuredDays, Outlook, Skill};
use budward::rules::Case;
use chrono::NaiveDate;
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

/// A garden in the Ohio valley of which nothing is known: no weather, no deeds, the choices that follow from its place.
pub(crate) struct Quiet {
    pub(crate) choices: Choices,
    days: BTreeMap<NaiveDate, ForecastDay>,
    measured: MeasuredDays,
}

impl Quiet {
    pub(crate) fn new() -> Self {
        let zone = Zone::named("America/New_York").unwrap();
        Self {
            choices: Choices::of(&Place::new(38.74, -85.38, None, zone).unwrap()),
            days: BTreeMap::new(),
            measured: MeasuredDays::new(),
        }
    }

    /// When the events of a planned cut's kind come by the zone months alone.
    pub(crate) fn events(
        cut: &PlannedCut,
        today: NaiveDate,
        climate: Option<&Climate>,
        hemisphere: Hemisphere,
    ) -> Events {
        let outlook = Outlook::of_days(&Daily::none(today), None, &Skill::default(), Horizon::YEAR);
        let ground = Ground {
            outlook: &outlook,
            climate,
            measured: &MeasuredDays::new(),
            hemisphere,
        };
        let seasons = Seasons::of(&ground, &[&cut.kind]);
        Arc::unwrap_or_clone(seasons.events(&cut.kind, &[]))
    }

    /// A planned cut on a day in the north, without a climate.
    pub(crate) fn case<'a>(
        &'a self,
        cut: &'a PlannedCut,
        events: &'a Events,
        today: NaiveDate,
    ) -> Case<'a> {
        Case {
            cut,
            at: today.and_hms_opt(12, 0, 0).unwrap().and_utc(),
            today,
            hemisphere: Hemisphere::North,
            climate: None,
            risk: None,
            events,
            season_before: None,
            before: None,
            choices: &self.choices,
            planting: &cut.facts,
            days: &self.days,
            measured: &self.measured,
            deeds: &[],
            work: None,
            warnings: &[],
        }
    }
}
