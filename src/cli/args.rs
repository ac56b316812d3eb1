//! The arguments, as clap reads them.

use crate::base::name::SideName;
use crate::base::quantity;
use crate::base::units::{LengthUnit, Pitch};
use crate::drawing::job_sheet::Shape;
use crate::drawing::typeset::paper::PaperSize;
use clap::{Args, CommandFactory, Parser, Subcommand};
use std::path::PathBuf;

/// The version with the revision of the sources that it was built from.
const VERSION: &str = concat!(env!("CARGO_PKG_VERSION"), " (", env!("EAVEWRIGHT_BUILT_FROM"), ")");

/// Turn a tape, a pitch reading and a phone photo into a roof you can trust, order for, cut for and lay.
#[derive(Debug, Parser)]
#[command(name = "eavewright", version = VERSION, arg_required_else_help = true, subcommand_required = true)]
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

impl Cli {
    /// What no single argument can say of itself.
    ///
    /// # Errors
    /// Rows without the JSON they belong to.
    pub fn checked(self) -> Result<Self, clap::Error> {
        match self.command {
            Command::Takeoff { rows: true, .. } if !self.json => {
                let kind = clap::error::ErrorKind::MissingRequiredArgument;
                Err(Self::command().error(kind, "--rows adds to the JSON: give --json as well"))
            }
            _ => Ok(self),
        }
    }
}

/// What places of a map are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub enum PlaceUnits {
    /// Metres.
    M,
    /// Longitude and latitude in degrees.
    Degrees,
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
    /// Measure every edge that the photos show, by itself, and say how much surer it makes the areas
    Edges {
        /// The roof file.
        #[command(flatten)]
        file: File,
        /// Write what was found into the roof file, as `edges` of its photos
        #[arg(long)]
        write: bool,
    },
    /// Say what to order, laid out course by course
    Takeoff {
        /// The roof file.
        #[command(flatten)]
        file: File,
        /// Print the lines as CSV
        #[arg(long, conflicts_with = "json")]
        csv: bool,
        /// Write the order with its prices as a spreadsheet: X.xlsx, X.ods or X.csv
        #[arg(long, value_name = "FILE", conflicts_with_all = ["csv", "full", "rows"])]
        out: Option<PathBuf>,
        /// With --json: add every row of every course, with its pieces and joints
        #[arg(long, conflicts_with_all = ["csv", "full"])]
        rows: bool,
        /// Add the courses of each face, the offer, every note with its source, and the tools
        #[arg(long, conflicts_with_all = ["json", "csv"])]
        full: bool,
    },
    /// The same roof at other pitches: area, height, order, snow and rain
    Compare {
        /// The roof file.
        #[command(flatten)]
        file: File,
        /// First and last pitch in degrees and the step, both ends included, such as 20..50/5
        #[arg(long, value_name = "FROM..TO/STEP", default_value = "20..50/5", value_parser = pitches)]
        pitches: Pitches,
        /// Only these sides, such as store/A,store/C
        #[arg(long, value_name = "BLOCK/SIDE", value_delimiter = ',', value_parser = side)]
        sides: Vec<SideName>,
        /// Instead of a range: the pitch at which the highest point lies here above datum, in metres or with a unit
        #[arg(long, value_name = "HEIGHT", conflicts_with = "pitches", value_parser = height)]
        ridge: Option<f64>,
        /// Also write the curves as SVG
        #[arg(long, value_name = "FILE")]
        svg: Option<PathBuf>,
    },
    /// Write every drawing to scale: SVG and DXF each, and one PDF of all
    Draw {
        /// The roof file.
        #[command(flatten)]
        file: File,
        /// Folder to write them to; made if it is not there
        #[arg(long, value_name = "DIR")]
        out: PathBuf,
        /// Paper: a4, a3, letter, tabloid; else the smallest that goes with the units
        #[arg(long, value_name = "NAME", value_parser = paper)]
        paper: Option<PaperSize>,
        /// Unit of the DXF files: m, cm, mm, ft, in; else metres, or inches for a job in feet and inches
        #[arg(long, value_name = "UNIT", value_parser = unit)]
        dxf_unit: Option<LengthUnit>,
    },
    /// Write the job sheet, or with --field a blank sheet to measure by; .pdf, or .html for a phone, by the ending
    Sheet {
        /// The roof file, or - for standard input
        #[arg(required_unless_present = "field")]
        file: Option<PathBuf>,
        /// File to write: X.pdf or X.html
        #[arg(long, value_name = "FILE")]
        out: PathBuf,
        /// The client's version: description and offer, without purchase prices and cut list
        #[arg(long)]
        client: bool,
        /// Every drawing too: elevations, section, construction, deck and underlay piece by piece, the fold-up net
        #[arg(long, conflicts_with = "client")]
        full: bool,
        /// A blank field sheet for a shape: hip, gable, lean-to, wings, points
        #[arg(long, value_name = "SHAPE", conflicts_with_all = ["file", "client", "full"], value_parser = shape)]
        field: Option<Shape>,
        /// Paper: a4, a3, letter, tabloid; else what goes with the units
        #[arg(long, value_name = "NAME", value_parser = paper)]
        paper: Option<PaperSize>,
    },
    /// Say what the job costs, what has no price first; with --out write the offer for the client
    Offer {
        /// The roof file.
        #[command(flatten)]
        file: File,
        /// File to write: X.pdf or X.html for the client; X.xlsx, X.ods or X.csv for yourself, every line with its price
        #[arg(long, value_name = "FILE")]
        out: Option<PathBuf>,
        /// Paper: a4, a3, letter, tabloid; else what goes with the units
        #[arg(long, value_name = "NAME", value_parser = paper)]
        paper: Option<PaperSize>,
    },
    /// Say what a repair takes: what to lift, what to order, what to do; with --out write it as a sheet
    Repair {
        /// The roof file.
        #[command(flatten)]
        file: File,
        /// File to write: X.pdf or X.html
        #[arg(long, value_name = "FILE")]
        out: Option<PathBuf>,
        /// Paper: a4, a3, letter, tabloid; else what goes with the units
        #[arg(long, value_name = "NAME", value_parser = paper)]
        paper: Option<PaperSize>,
    },
    /// Write what is handed over at the end: what was laid, from which batch, care, inspection
    Handover {
        /// The roof file.
        #[command(flatten)]
        file: File,
        /// File to write: X.pdf or X.html
        #[arg(long, value_name = "FILE")]
        out: PathBuf,
        /// Paper: a4, a3, letter, tabloid; else what goes with the units
        #[arg(long, value_name = "NAME", value_parser = paper)]
        paper: Option<PaperSize>,
    },
    /// Write the roof as a model; the kind by the ending: .glb .gltf .obj .stl .3mf .city.json .ifc .dxf .csv .geojson
    Export {
        /// The roof file.
        #[command(flatten)]
        file: File,
        /// File to write; beside an .obj its colours, as .mtl
        #[arg(long, value_name = "FILE")]
        out: PathBuf,
        /// For printing, .3mf or .stl: this much smaller, in millimetres, overhangs 1.2 mm thick
        #[arg(long, value_name = "1:N", value_parser = scale)]
        scale: Option<f64>,
        /// For printing: the roof alone on a plate of this thickness in the print, such as "3 mm"
        #[arg(long, value_name = "LENGTH", requires = "scale", value_parser = height)]
        base: Option<f64>,
    },
    /// Find the roof over every outline of a file: one line out for each feature in
    Batch {
        /// Outlines by the ending: .geojson .geojsonl .fgb .parquet; - reads a feature a line from standard input
        input: PathBuf,
        /// Answers by the ending: .jsonl a line of JSON each, .city.jsonl a building each; - prints lines of JSON
        #[arg(long, value_name = "FILE")]
        out: PathBuf,
        /// What places are: m or degrees; else as the file says, else degrees
        #[arg(long, value_name = "UNITS")]
        units: Option<PlaceUnits>,
        /// Pitch in degrees of outlines that have no property pitch or pitches
        #[arg(long, value_name = "DEGREES")]
        pitch: Option<f64>,
        /// Height of the eaves above ground, in metres or with a unit, of outlines that have no property height
        #[arg(long, value_name = "HEIGHT", value_parser = height)]
        height: Option<f64>,
        /// Lay every roof out by this card and say the packs; else those alone that have a property covering
        #[arg(long, value_name = "CARD")]
        covering: Option<String>,
        /// A price file, for costs
        #[arg(long, value_name = "FILE")]
        prices: Option<PathBuf>,
        /// List the faces of every roof too
        #[arg(long)]
        faces: bool,
        /// Also write a page about the run: counts, areas, failures, a map
        #[arg(long, value_name = "FILE.html")]
        report: Option<PathBuf>,
        /// How many processors; else all
        #[arg(long, value_name = "COUNT")]
        jobs: Option<std::num::NonZeroUsize>,
    },
    /// Take over a file of another kind as a commented roof file, and say what could not be taken over
    Import {
        /// Roof surfaces: .city.json .ifc .dxf; outlines: .geojson .geojsonl .fgb .parquet .dxf; points: .csv
        input: PathBuf,
        /// Roof file to write; an existing file is left alone
        #[arg(long, value_name = "FILE")]
        out: PathBuf,
        /// Pitch in degrees of outlines that say none
        #[arg(long, value_name = "DEGREES")]
        pitch: Option<f64>,
        /// Height of the eaves of outlines that say none, in metres or with a unit
        #[arg(long, value_name = "HEIGHT", value_parser = height)]
        height: Option<f64>,
        /// What places of a map are: m or degrees; else as the file says, else degrees
        #[arg(long, value_name = "UNITS")]
        units: Option<PlaceUnits>,
        /// Unit of a drawing that names none: m, cm, mm, ft, in
        #[arg(long, value_name = "UNIT", value_parser = unit)]
        unit: Option<LengthUnit>,
    },
    /// Open the window, or with --shot write a picture without one
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
    /// Print the reference page of the roof file and of material cards: every key, its unit, its default, its meaning
    Keys {
        /// One table, such as block, side, tape, covering, strip
        table: Option<String>,
    },
    /// List the material cards, or print one to copy and change
    Cards {
        /// The card
        name: Option<String>,
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

fn shape(text: &str) -> Result<Shape, String> {
    Shape::of(text).ok_or_else(|| {
        let words: Vec<&str> = Shape::ALL.iter().map(|shape| shape.word()).collect();
        format!("{text:?} is no shape of field sheet, expected one of {}", words.join(", "))
    })
}

fn scale(text: &str) -> Result<f64, String> {
    let number = text.trim().strip_prefix("1:").unwrap_or(text).trim().parse::<f64>().ok();
    let fits = |number: &f64| (1.0..=10_000.0).contains(number);
    number.filter(fits).ok_or_else(|| format!("{text:?} is no scale, expected 1:1 to 1:10000, such as 1:50"))
}

fn unit(text: &str) -> Result<LengthUnit, String> {
    LengthUnit::from_symbol(text).ok_or_else(|| format!("{text} is no unit of length; expected m, cm, mm, ft or in"))
}

fn paper(text: &str) -> Result<PaperSize, String> {
    PaperSize::of(text).ok_or_else(|| format!("{text:?} is no paper, expected a4, a3, letter or tabloid"))
}

/// Pitches to compare.
pub type Pitches = std::sync::Arc<[Pitch]>;

/// Most pitches of one comparison.
const MOST_PITCHES: usize = 1000;

fn pitches(text: &str) -> Result<Pitches, String> {
    let expected = || format!("{text:?} is not FROM..TO/STEP in degrees, such as 20..50/5");
    let (range, step) = text.split_once('/').unwrap_or((text, "5"));
    let (from, to) = range.split_once("..").unwrap_or((range, range));
    let number = |part: &str| part.trim().trim_end_matches('°').parse::<f64>().ok().filter(|value| value.is_finite());
    let (Some(from), Some(to), Some(step)) = (number(from), number(to), number(step)) else { return Err(expected()) };
    if step <= 0.0 || to < from {
        return Err(format!("{text:?} runs nowhere, expected FROM not above TO and a STEP above 0"));
    }
    let mut degrees = Vec::new();
    // Counted, not summed up, so that 20..50/0.1 ends at 50 exactly; the slack takes the rounding of a decimal step.
    for count in 0..=MOST_PITCHES {
        let pitch = from + step * count as f64;
        if pitch > to + step * f64::EPSILON.sqrt() {
            break;
        }
        degrees.push(pitch.min(to));
    }
    if degrees.len() > MOST_PITCHES {
        return Err(format!("{text:?} has more than {MOST_PITCHES} pitches"));
    }
    degrees.into_iter().map(|pitch| Pitch::from_degrees(pitch).map_err(|error| not_a_pitch(error.degrees))).collect()
}

/// What is said of a number that is no pitch.
fn not_a_pitch(degrees: f64) -> String {
    format!("pitch is {degrees}°, expected more than 0° and less than 90°")
}

fn side(text: &str) -> Result<SideName, String> {
    match text.split_once('/') {
        Some((block, side)) if !block.is_empty() && !side.is_empty() => Ok(SideName::new(block, side)),
        _ => Err(format!("{text:?} is not BLOCK/SIDE, such as store/A")),
    }
}

fn height(text: &str) -> Result<f64, String> {
    let metres =
        quantity::length(text, Some(LengthUnit::Metre)).map_err(|error| crate::wording::reading::quantity(&error))?;
    if metres > 0.0 { Ok(metres) } else { Err(format!("{text:?} is not a height above datum")) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_include_both_ends() {
        let degrees = |text: &str| pitches(text).map(|all| all.iter().map(|p| p.degrees().round()).collect::<Vec<_>>());
        assert_eq!(degrees("20..50/10"), Ok(vec![20.0, 30.0, 40.0, 50.0]));
        assert_eq!(degrees("20..24/3"), Ok(vec![20.0, 23.0]));
        assert_eq!(pitches("20..50/0.1").map(|all| all.len()), Ok(301));
        assert_eq!(degrees("35"), Ok(vec![35.0]));
        assert!(degrees("50..20/5").is_err());
        assert!(degrees("0..20/5").is_err());
        assert!(degrees("20..50/0").is_err());
        assert!(degrees("a..b/c").is_err());
    }
}
