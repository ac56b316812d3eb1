//! The command line: arguments, commands, tables, progress, exit codes.

pub mod diagnostics;
pub mod draw;
pub mod new;
pub mod output;
pub mod sheet;
pub mod table;
pub mod takeoff;

use std::process::ExitCode;

/// Runs the command the arguments ask for.
#[must_use]
pub fn run() -> ExitCode {
    ExitCode::SUCCESS
}
