//! The command line: arguments, commands, tables, progress, exit codes.

use std::process::ExitCode;

/// Runs the command the arguments ask for.
#[must_use]
pub fn run() -> ExitCode {
    ExitCode::SUCCESS
}
