//! The commands.
//!
//! In: arguments. Out: text or JSON on the terminal, an exit status. Has no logic of its own beyond what to show.

mod almanac;
mod backtest;
mod backup;
mod board;
mod check;
mod demo;
mod done;
mod exit;
mod find;
mod health;
mod invented;
mod logging;
mod manual;
mod once;
mod plan;
mod progress;
mod record;
mod rehearse;
mod run;
mod seen;
mod setup;
mod skill;
mod spoken;
mod tell;
mod why;

use std::path::PathBuf;

use chrono::{DateTime, Utc};
use clap::{Args, CommandFactory, Parser, Subcommand};

use logging::Form;

pub use exit::{Exit, USAGE, exit_code};

/// Tells gardeners by mail when a planned cut is safe, when to put it off, and why.
///
/// Set a place once with `budward setup`, look at what it understood with `budward check`, then keep `budward run`
/// running. `budward demo` shows it all on invented gardens, without file or network.
#[derive(Debug, Parser)]
#[command(name = "budward", version, after_help = EXIT_STATUS)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    command: Command,

    /// Tell more on standard error: once for each forecast and mail, twice for everything.
    #[arg(short, long, action = clap::ArgAction::Count, global = true)]
    verbose: u8,

    /// Log lines as JSON.
    #[arg(long, global = true)]
    log_json: bool,
}

const EXIT_STATUS: &str = "Exit status: 0 good, 1 nothing found in the almanac, 64 wrong use, 69 a service or address cannot be reached, 70 a fault of the \
                           program, 73 a file cannot be \
                           written, 74 the store cannot be read or written, 75 another budward has the store, 78 the garden file is wrong.";

#[derive(Debug, Subcommand)]
enum Command {
    /// Show it all on two invented gardens with invented weather: board, page on loopback, mails as files.
    Demo(demo::DemoArgs),
    /// Set a place once: write a garden file from a position, a mail address and some plants.
    Setup(setup::SetupArgs),
    /// Read the garden file and tell what was understood.
    Check(check::CheckArgs),
    /// Print the board for now or another moment; tells nobody.
    Once(once::OnceArgs),
    /// Look at the weather on schedule, mail what is new, serve the page.
    Run(FileArgs),
    /// Ask the running daemon whether it is well.
    Health(FileArgs),
    /// Copy the store to a file, also while the daemon runs.
    Backup(backup::BackupArgs),
    /// Put a copy in place of the store, which is kept under another name; not while the daemon runs.
    Restore(backup::RestoreArgs),
    /// Explain one cut: every finding with its numbers and sources.
    Why(why::WhyArgs),
    /// Note a cut that was made; from then on the plant is watched until what the cut left tender is firm.
    Done(done::DoneArgs),
    /// Note an event that was seen, such as the first flowers.
    Seen(seen::SeenArgs),
    /// Print the plan of a year: what to cut when, why and how.
    Plan(plan::PlanArgs),
    /// Look a kind of plant up: its cuts with their windows, what it bears, cautions, and the source of each.
    Almanac(almanac::AlmanacArgs),
    /// Walk a garden through a year on record: what would have been told, and when each window opened.
    Rehearse(rehearse::RehearseArgs),
    /// Hold the chance of frost against the past years of a record: what would have been said, and what came.
    Backtest(backtest::BacktestArgs),
    /// Show how far the forecasts of each garden have been verified.
    Skill(skill::SkillArgs),
    /// Print completions for a shell.
    Completions {
        /// Which shell.
        shell: clap_complete::Shell,
    },
    /// Write the manual pages of all commands, for `man`.
    Manual(manual::ManualArgs),
}

/// Which garden file.
#[derive(Debug, Clone, Args)]
pub(crate) struct FileArgs {
    /// The garden file.
    #[arg(
        short,
        long,
        value_name = "FILE",
        env = "BUDWARD_CONFIG",
        default_value = "garden.toml"
    )]
    pub(crate) config: PathBuf,
}

/// Which moment.
#[derive(Debug, Clone, Args)]
pub(crate) struct MomentArgs {
    /// The moment instead of now, such as 2027-04-22T08:00:00-04:00; files and the store are read, no service is asked.
    #[arg(long, value_name = "RFC3339")]
    pub(crate) at: Option<DateTime<Utc>>,
}

impl Arguments {
    /// Does what the arguments say.
    ///
    /// # Errors
    /// Whatever keeps it from being done; [`exit_code`] gives its status.
    pub async fn run(self) -> anyhow::Result<()> {
        // The daemon's log is its only voice, so it starts one step louder.
        let loudness = self.verbose + u8::from(matches!(self.command, Command::Run(_)));
        logging::start(
            loudness,
            if self.log_json {
                Form::Json
            } else {
                Form::Text
            },
        );
        match self.command {
            Command::Demo(args) => demo::demo(args).await,
            Command::Setup(args) => setup::setup(args).await,
            Command::Check(args) => check::check(&args).await,
            Command::Once(args) => once::once(&args).await,
            Command::Run(args) => run::run(&args).await,
            Command::Backup(args) => backup::backup(&args),
            Command::Restore(args) => backup::restore(&args),
            Command::Health(args) => health::health(&args).await,
            Command::Why(args) => why::why(&args).await,
            Command::Done(args) => done::done(&args).await,
            Command::Seen(args) => seen::seen(&args).await,
            Command::Plan(args) => plan::plan(&args).await,
            Command::Almanac(args) => almanac::almanac(&args),
            Command::Rehearse(args) => rehearse::rehearse(&args),
            Command::Backtest(args) => backtest::backtest(&args),
            Command::Skill(args) => skill::skill(&args).await,
            Command::Completions { shell } => {
                clap_complete::generate(
                    shell,
                    &mut Self::command(),
                    "budward",
                    &mut std::io::stdout(),
                );
                Ok(())
            }
            Command::Manual(args) => Ok(manual::manual(&args)?),
        }
    }
}
