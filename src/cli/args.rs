//! The arguments, as clap reads them.

use clap::{Args, Parser, Subcommand};
use std::path::PathBuf;

/// Turn a tape, a pitch reading and a phone photo into a roof you can trust, order for, cut for and lay.
#[derive(Debug, Parser)]
#[command(name = "eavewright", version, arg_required_else_help = true, subcommand_required = true)]
#[command(
    after_help = "FILE is a roof file (TOML); - reads standard input. `eavewright new hip` prints one to begin from.\n\
Exit status: 0 an answer, 1 the file has errors or nothing can be answered, 2 usage, input or output."
)]
pub struct Cli {
    /// Print one JSON document instead of text for a person; errors become JSON lines
    #[arg(long, global = true)]
    pub json: bool,
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// A roof file.
#[derive(Args, Debug)]
pub struct File {
    /// The roof file, or - for standard input
    pub file: PathBuf,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Read a roof file and say everything that is wrong with it
    Check(File),
    /// Find the roof: its faces, edges, areas and lengths, and how sure they are
    Solve {
        /// The roof file.
        #[command(flatten)]
        file: File,
        /// Add the events by which the folds appear as the eaves' planes rise
        #[arg(long)]
        steps: bool,
    },
    /// Say what to order, laid out course by course
    Takeoff {
        /// The roof file.
        #[command(flatten)]
        file: File,
        /// Print the lines as CSV
        #[arg(long, conflicts_with = "json")]
        csv: bool,
    },
    /// Write drawings as SVG, to scale
    Draw {
        /// The roof file.
        #[command(flatten)]
        file: File,
        /// Folder to write them to; made if it is not there
        #[arg(long, value_name = "DIR")]
        out: PathBuf,
    },
    /// Write the roof as a model; the kind by the ending: .glb .gltf .obj .stl .city.json
    Export {
        /// The roof file.
        #[command(flatten)]
        file: File,
        /// File to write
        #[arg(long, value_name = "FILE")]
        out: PathBuf,
    },
    /// Open the window, or with --shot write a picture without one
    #[cfg(feature = "viewer")]
    View {
        /// The roof file
        file: Option<PathBuf>,
        /// Write a PNG picture and open no window
        #[arg(long, value_name = "FILE", requires = "file")]
        shot: Option<PathBuf>,
        /// Where the picture is taken from: corner, far-corner, plan, front, right, back, left, ground
        #[arg(long, value_name = "NAME", requires = "shot")]
        camera: Option<String>,
        /// How faces are shaded: covering, plain, pitch, height, water, certainty
        #[arg(long, value_name = "NAME", requires = "shot")]
        shade: Option<String>,
        /// Colours: light, dark, high-contrast
        #[arg(long, value_name = "NAME")]
        theme: Option<String>,
        /// Width and height of the picture in pixels
        #[arg(long, value_name = "WxH", requires = "shot")]
        size: Option<String>,
    },
    /// Print a roof file to begin from
    New {
        /// The shape
        shape: String,
        /// File to write instead of standard output; an existing file is left alone
        #[arg(long, value_name = "FILE")]
        out: Option<PathBuf>,
    },
}
