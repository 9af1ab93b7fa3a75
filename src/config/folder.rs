//! Gardens in files of their own, in a folder that the settings name: a file with a fault is left out, the others stand.

use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::NaiveDate;

use super::check::{Checker, Stated};
use super::faults::{ConfigErrors, Faults, Remark, Warning};
use super::raw::RawGardens;
use super::wish::{self, Wish};
use super::{ForecastSettings, GardenSettings, Settings, shape};

/// The environment.
type Env<'a> = &'a dyn Fn(&str) -> Option<String>;

/// A file of gardens that cannot be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOut {
    /// Which.
    pub file: PathBuf,
    /// Why.
    pub faults: ConfigErrors,
}

/// What a file of gardens gives.
struct Piece {
    gardens: Vec<Arc<GardenSettings>>,
    wishes: Vec<Wish>,
    warnings: Vec<Warning>,
}

impl Settings {
    /// The same settings with the gardens of a folder's files, in the order of their names; relative paths in a file are
    /// taken from that folder.
    ///
    /// # Errors
    /// When the folder cannot be read, or when there is no garden at all.
    pub(super) fn with_folder(
        mut self,
        (main, folder): (&Path, &Path),
        env: Env<'_>,
    ) -> Result<Self, ConfigErrors> {
        let on_main = |what: String| ConfigErrors(vec![Remark::on_file(main, what)]);
        let files = files(folder).map_err(|error| {
            let folder = folder.display();
            on_main(format!("cannot read garden_folder {folder}: {error}"))
        })?;
        let own = self.gardens.iter();
        let mut names: BTreeMap<String, PathBuf> = own
            .map(|garden| (garden.garden.name.clone(), main.to_owned()))
            .collect();
        let mut stated = self.stated();
        for file in files {
            match self.piece(&file, (&names, &mut stated), env) {
                Ok(piece) => {
                    let new = piece.gardens.iter().map(|garden| &garden.garden.name);
                    names.extend(new.map(|name| (name.clone(), file.clone())));
                    self.gardens.extend(piece.gardens);
                    self.wishes.extend(piece.wishes);
                    self.warnings.extend(piece.warnings);
                }
                Err(faults) => self.left_out.push(LeftOut { file, faults }),
            }
        }
        if self.gardens.is_empty() && self.left_out.is_empty() {
            let folder = folder.display();
            return Err(on_main(format!("there is no garden, in {folder} neither")));
        }
        self.has_a_garden()?;
        Ok(self)
    }

    fn piece(
        &self,
        file: &Path,
        (names, stated): (&BTreeMap<String, PathBuf>, &mut Stated),
        env: Env<'_>,
    ) -> Result<Piece, ConfigErrors> {
        let text = std::fs::read_to_string(file).map_err(|error| {
            let what = format!("cannot read the gardens: {error}");
            ConfigErrors(vec![Remark::on_file(file, what)])
        })?;
        let mut faults = Faults::new(file, &text);
        let raw = shape::read::<RawGardens>(&mut faults);
        let mut checker = Checker {
            faults,
            folder: file.parent().unwrap_or(Path::new("")),
            almanac: Arc::clone(&self.almanac),
            env,
            wishes: Vec::new(),
            stated: std::mem::take(stated),
        };
        let gardens = raw.and_then(|raw| {
            checker.not_elsewhere(&raw.garden, names);
            checker.gardens(&raw.garden, Ok(self.language))
        });
        let wishes = std::mem::take(&mut checker.wishes);
        *stated = std::mem::take(&mut checker.stated);
        let (gardens, warnings) = checker.faults.close(gardens)?;
        Ok(Piece {
            gardens,
            wishes,
            warnings,
        })
    }

    /// When the data of its forecast files were made, as the gardens say.
    fn stated(&self) -> Stated {
        let sources = self.gardens.iter().flat_map(|garden| &garden.forecasts);
        let files = sources.filter_map(|source| match &source.from {
            ForecastSettings::Files {
                forecast,
                ensemble,
                data_at,
            } => Some(((forecast.clone(), ensemble.clone()), *data_at)),
            ForecastSettings::OpenMeteo { .. }
            | ForecastSettings::MetNorway { .. }
            | ForecastSettings::Nws { .. } => None,
        });
        files.collect()
    }

    /// Holds the wished days against today; the past ones give warnings. One that lies more than two years ahead is a
    /// fault; a file of a folder that has one is left out.
    ///
    /// # Errors
    /// When a day in the settings themselves lies more than two years ahead, or when every garden is left out.
    pub fn check_wishes(&mut self, today: NaiveDate) -> Result<Vec<Warning>, ConfigErrors> {
        let mut warnings = Vec::new();
        let mut left_out = Vec::new();
        for wishes in self.wishes.chunk_by(|one, next| one.file() == next.file()) {
            match (wish::check(wishes, today), wishes.first()) {
                (Ok(past), _) => warnings.extend(past),
                (Err(faults), Some(wish)) if self.is_of_folder(wish.file()) => {
                    left_out.push(LeftOut {
                        file: wish.file().to_owned(),
                        faults,
                    });
                }
                (Err(faults), _) => return Err(faults),
            }
        }
        let is_out = |file: &Path| left_out.iter().any(|left| left.file == file);
        self.gardens.retain(|garden| !is_out(&garden.file));
        self.left_out.extend(left_out);
        self.has_a_garden()?;
        Ok(warnings)
    }

    /// That not all files are left out.
    fn has_a_garden(&self) -> Result<(), ConfigErrors> {
        if self.gardens.is_empty() {
            let faults = self.left_out.iter().flat_map(|left| left.faults.0.clone());
            return Err(ConfigErrors(faults.collect()));
        }
        Ok(())
    }

    fn is_of_folder(&self, file: &Path) -> bool {
        let folder = self.garden_folder.as_deref();
        folder.is_some_and(|folder| file.parent() == Some(folder))
    }

    /// The same settings, with the gardens that the files which are left out had before.
    #[must_use]
    pub fn keeping(mut self, before: &Self) -> Self {
        for garden in &before.gardens {
            let is_left_out = self.left_out.iter().any(|left| left.file == garden.file);
            let name = &garden.garden.name;
            let is_there = self.gardens.iter().any(|known| known.garden.name == *name);
            if is_left_out && !is_there {
                self.gardens.push(Arc::clone(garden));
            }
        }
        self
    }
}

/// The files of a folder that hold gardens, by name.
fn files(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let mut files = Vec::new();
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        let name = path.file_name().and_then(|name| name.to_str());
        let is_hidden = name.is_some_and(|name| name.starts_with('.'));
        if path.extension().is_some_and(|end| end == "toml") && !is_hidden {
            files.push(path);
        }
    }
    files.sort();
    Ok(files)
}
