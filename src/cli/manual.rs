//! `manual` writes the manual pages.

use std::path::PathBuf;

use clap::{Args, CommandFactory};

use super::{Arguments, Exit};

/// Write the manual pages of all commands, for `man`.
#[derive(Debug, Clone, Args)]
pub(super) struct ManualArgs {
    /// The folder into which they go; it is made when it is not there.
    #[arg(value_name = "FOLDER")]
    folder: PathBuf,
}

/// One page a command, named as `man` looks for them.
///
/// # Errors
/// When the folder cannot be written.
pub(super) fn manual(args: &ManualArgs) -> Result<(), Exit> {
    let unwritable = |source| Exit::Write {
        what: args.folder.display().to_string(),
        source,
    };
    std::fs::create_dir_all(&args.folder).map_err(unwritable)?;
    clap_mangen::generate_to(Arguments::command(), &args.folder).map_err(unwritable)
}
