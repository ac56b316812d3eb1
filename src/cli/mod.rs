//! The command line: arguments, commands, tables, progress, exit codes.
//!
//! A command gathers its whole answer before anything is printed, so that after an error standard output is empty and
//! no file was written. Exit status: 0 an answer, 1 the file has errors or nothing can be answered, 2 usage, input or
//! output.

pub mod args;
pub mod batch;
pub mod cards;
pub mod commands;
pub mod compare;
pub mod diagnostics;
pub mod draw;
pub mod edges;
pub mod export;
pub mod import;
pub mod keys;
pub mod load;
pub mod new;
mod new_shapes;
pub mod offer;
pub mod outcome;
pub mod output;
pub mod output_set;
mod paragraphs;
pub mod photo;
#[cfg(feature = "viewer")]
mod picture;
pub mod repair;
pub mod sheet;
pub mod solve_text;
pub mod table;
pub mod takeoff;
mod takeoff_full;
#[cfg(feature = "viewer")]
pub mod view;
#[cfg(feature = "viewer")]
pub mod view_files;
#[cfg(feature = "viewer")]
pub mod view_out;

use args::Cli;
use clap::Parser;
use diagnostics::Style;
use load::Stop;
use std::io::Write;
use std::process::ExitCode;

/// Runs the command the arguments ask for.
#[must_use]
pub fn run() -> ExitCode {
    let cli = match Cli::try_parse().and_then(Cli::checked) {
        Ok(cli) => cli,
        Err(error) => {
            // Help and version are answers; everything else is wrong usage.
            let code = if error.use_stderr() { 2 } else { 0 };
            let _ = error.print();
            return ExitCode::from(code);
        }
    };
    let style = if cli.json { None } else { Some(Style::of_stderr()) };
    let (result, code) = match commands::run(&cli, style) {
        Ok(done) => {
            let _ = std::io::stderr().lock().write_all(done.aside.as_bytes());
            (output::print(done.printed), 0)
        }
        Err(stop) => {
            let (text, code) = explain(&stop, style);
            (std::io::stderr().lock().write_all(text.as_bytes()), code)
        }
    };
    match result {
        Ok(()) => ExitCode::from(code),
        Err(error) => {
            let _ = writeln!(std::io::stderr(), "error: {error}");
            ExitCode::from(2)
        }
    }
}

/// What standard error says, and the exit status. Without a style: JSON lines.
fn explain(stop: &Stop, style: Option<Style>) -> (String, u8) {
    let line = |code: &str, message: &str| match style {
        None => format!("{}\n", serde_json::json!({ "severity": "error", "code": code, "message": message })),
        Some(_) => format!("error: {message}\n"),
    };
    match stop {
        Stop::File { source, diagnostics } => {
            let mut text = diagnostics::of_file(source.named_text(), diagnostics, style);
            let tally = diagnostics::tally(diagnostics);
            if style.is_some() && !tally.is_empty() {
                text.push_str(&format!("{}: {tally}\n", source.name));
            }
            (text, 1)
        }
        Stop::NoAnswer { code, message } => (line(code, message), 1),
        Stop::System(message) => (line("system", message), 2),
    }
}
