//! Every reader of foreign bytes under libFuzzer, in one program: `FUZZ_TARGET` names the one that runs.
//!
//! In: bytes that libFuzzer makes, with the program's branches as its guide. Out: an abort, and the input in a file, when
//! a reader panics, takes longer than it may, or breaks what has to hold of all that it reads. `tests/fuzz/run` builds
//! it and starts it. Does not keep what it found.
//!
//! Instead of a run it answers with `FUZZ_LIST=1`: a line for each target, and with `FUZZ_SEEDS=FOLDER`: the inputs
//! that the target begins with, written there.

#![no_main]

mod limit;
mod mail;
mod records;
mod seeds;
mod settings;
mod store;
mod table;
mod weather;

use std::path::Path;
use std::sync::OnceLock;

use libfuzzer_sys::fuzz_target;

use limit::Limit;
use table::{TARGETS, Target};

/// What this process runs.
struct Run {
    target: &'static Target,
    limit: Limit,
}

static RUN: OnceLock<Run> = OnceLock::new();

fuzz_target!(init: begin(), |bytes: &[u8]| {
    if let Some(run) = RUN.get() {
        run.limit.hold(|| (run.target.read)(bytes));
    }
});

fn begin() {
    let set = |name: &str| std::env::var(name).ok();
    if set("FUZZ_LIST").is_some() {
        for target in TARGETS {
            println!("{} {} {}", target.name, target.max_len, target.words);
        }
        std::process::exit(0);
    }
    let name = set("FUZZ_TARGET").unwrap_or_default();
    let Some(target) = TARGETS.iter().find(|target| target.name == name) else {
        panic!("FUZZ_TARGET is \"{name}\"; FUZZ_LIST=1 names those there are");
    };
    let seeds = (target.seeds)();
    assert!(!seeds.is_empty(), "{name} has nothing to begin with");
    if let Some(folder) = set("FUZZ_SEEDS") {
        seeds::write(Path::new(&folder), &seeds, target.max_len);
        std::process::exit(0);
    }
    // Where the mail library breaks down over an answer the program goes on; if it does not, the run ends all the same.
    let abort = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |broken| {
        let is_of_library = |at: &std::panic::Location<'_>| at.file().contains("/lettre-");
        if !broken.location().is_some_and(is_of_library) {
            abort(broken);
        }
    }));
    // What is read once and kept, such as the almanac, is not a matter of one input.
    seeds.iter().for_each(|seed| (target.read)(seed));
    let limit = Limit::set();
    assert!(RUN.set(Run { target, limit }).is_ok(), "begun twice");
}
