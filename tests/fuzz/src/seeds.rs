//! What a target begins with: the project's own test data.

use std::path::{Path, PathBuf};

/// The folder of the project.
pub fn project() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// The files of a folder of the project whose names begin with one of these.
pub fn files(folder: &str, beginnings: &[&str]) -> Vec<Vec<u8>> {
    let folder = project().join(folder);
    let entries = std::fs::read_dir(&folder).unwrap_or_else(|error| panic!("{folder:?}: {error}"));
    let mut paths: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    let is_meant = |path: &&PathBuf| {
        let name = path.file_name().unwrap().to_string_lossy();
        path.is_file()
            && beginnings
                .iter()
                .any(|beginning| name.starts_with(beginning))
    };
    paths
        .iter()
        .filter(is_meant)
        .map(|path| std::fs::read(path).unwrap())
        .collect()
}

/// The same of texts that stand in the code.
pub fn texts(texts: &[&str]) -> Vec<Vec<u8>> {
    texts.iter().map(|text| text.as_bytes().to_vec()).collect()
}

/// Writes those that are not longer than the target takes.
pub fn write(folder: &Path, seeds: &[Vec<u8>], max_len: usize) {
    std::fs::create_dir_all(folder).unwrap();
    let short: Vec<_> = seeds.iter().filter(|seed| seed.len() <= max_len).collect();
    assert!(!short.is_empty(), "all of them are longer than {max_len}");
    for (number, seed) in short.iter().enumerate() {
        std::fs::write(folder.join(format!("seed-{number}")), seed).unwrap();
    }
}
