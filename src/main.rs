//! The command `budward`.

use std::io::Write;
use std::process::ExitCode;

use budward::cli::{Arguments, USAGE, exit_code};
use clap::Parser;

fn main() -> ExitCode {
    // One provider of cryptography for all clients; a second installation would only be refused.
    rustls::crypto::ring::default_provider()
        .install_default()
        .ok();
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(told) => {
            told.print().ok();
            return ExitCode::from(if told.use_stderr() { USAGE } else { 0 });
        }
    };
    let runtime = match tokio::runtime::Runtime::new() {
        Ok(runtime) => runtime,
        Err(problem) => return told(&problem.into()),
    };
    let outcome = runtime.block_on(arguments.run());
    // A piece of work that hangs, such as a read from a disk that is gone, must not hold up the end.
    runtime.shutdown_background();
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) if is_closed_pipe(&error) => ExitCode::SUCCESS,
        Err(error) => told(&error),
    }
}

/// Tells why the command failed, and gives its exit status.
fn told(error: &anyhow::Error) -> ExitCode {
    let causes: String = error.chain().skip(1).fold(String::new(), |text, cause| {
        text + &format!("  caused by: {cause}\n")
    });
    let text = format!("budward: {error}\n{causes}");
    // When not even this can be written there is nobody left to tell.
    std::io::stderr().write_all(text.as_bytes()).ok();
    exit_code(error)
}

/// Whether the reader of the output has seen enough, as `head` does.
fn is_closed_pipe(error: &anyhow::Error) -> bool {
    error
        .chain()
        .filter_map(|cause| cause.downcast_ref::<std::io::Error>())
        .any(|cause| cause.kind() == std::io::ErrorKind::BrokenPipe)
}
