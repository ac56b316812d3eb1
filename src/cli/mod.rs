//! The command line: arguments, commands, tables, progress, exit codes.
//!
//! A command gathers its whole answer before anything is printed, so that after an error standard output is empty and
//! no file was written. Exit status: 0 an answer, 1 the file has errors or nothing can be answered, 2 usage, input or
//! output.

pub mod args;
pub mod cards;
pub mod commands;
pub mod compare;
pub mod diagnostics;
pub mod draw;
pub mod edges;
pub mod export;
pub mod keys;
pub mod load;
pub mod new;
mod new_shapes;
pub mod offer;
pub mod output;
pub mod output_set;
mod paragraphs;
pub mod photo;
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

use crate::base::diagnostic::Diagnostic;
use args::Cli;
use clap::Parser;
use diagnostics::Style;
use load::{Source, Stop};
use std::io::Write;
use std::process::ExitCode;

/// What a command that gave an answer prints.
#[derive(Default)]
pub struct Done {
    /// The answer, to standard output.
    pub printed: Printed,
    /// Warnings and what was written, to standard error.
    pub aside: String,
}

/// An answer to be printed.
pub enum Printed {
    /// As it is.
    Text(String),
    /// A long one, made while it is printed. Everything that may go wrong has been done before, but for printing itself.
    Stream(Box<dyn FnOnce(&mut dyn Write) -> std::io::Result<()>>),
}

impl Default for Printed {
    fn default() -> Self {
        Self::Text(String::new())
    }
}

impl Done {
    /// A text, and what goes to standard error.
    #[must_use]
    pub fn new(text: String, aside: String) -> Self {
        Self { printed: Printed::Text(text), aside }
    }
}

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
            let mut text = describe(source, diagnostics, style);
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

/// Diagnostics as the reader wants them.
fn describe(source: &Source, diagnostics: &[Diagnostic], style: Option<Style>) -> String {
    match style {
        Some(style) => diagnostics::render(&source.name, &source.text, diagnostics, style),
        None => diagnostics::render_json(&source.name, &source.text, diagnostics),
    }
}
