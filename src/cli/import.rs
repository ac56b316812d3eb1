//! `import`: a file of another kind as a commented roof file, with what could not be taken over.

use super::batch::{ends_with, reader};
use super::load::Stop;
use super::outcome::Done;
use super::output;
use crate::base::finding::Finding as _;
use crate::base::units::LengthUnit;
use crate::input::import::{city, dxf, ifc, survey};
use crate::input::outlines::{Defaults, Pieces, read};
use crate::input::{self, NoFiles};
use crate::job::imported::{Imported, LeftOut, Why, area};
use crate::job::outlines::LocalFrame;
use crate::job::{self, Options};
use crate::wording::import as words;
use crate::write::roof_file;
use std::path::Path;

/// Endings of what is taken over.
const KINDS: [&str; 8] = [".city.json", ".geojson", ".geojsonl", ".fgb", ".parquet", ".ifc", ".dxf", ".csv"];

/// Corners nearer than this are one point, metres: what models are usually true to.
const WITHIN: f64 = 0.001;

/// Most outlines that one roof file takes.
const MOST: usize = 200;

/// What is asked for.
#[derive(Clone, Copy, Debug)]
pub struct Asked<'a> {
    /// The file.
    pub input: &'a Path,
    /// The roof file to be written.
    pub out: &'a Path,
    /// The pitch of outlines that say none, degrees.
    pub pitch: Option<f64>,
    /// The height of their eaves, metres.
    pub height: f64,
    /// Whether places of a map are degrees; `None`: as it says.
    pub is_degrees: Option<bool>,
    /// The unit of a drawing that says none.
    pub unit: Option<LengthUnit>,
}

/// Takes a file over.
///
/// # Errors
/// [`Stop::System`] for what cannot be read or written, [`Stop::NoAnswer`] where nothing could be taken over.
pub fn run(asked: &Asked, json: bool) -> Result<Done, Stop> {
    if asked.out.exists() {
        return Err(Stop::System(words::is_there(&asked.out.display().to_string())));
    }
    let mut imported = taken(asked)?;
    let refused = |message: String| Stop::NoAnswer { code: "not-imported", message };
    if imported.outlines.is_empty() && imported.faces.is_empty() && imported.points.is_empty() {
        let said: String = imported.left_out.iter().map(|left| format!("\n{}", words::left_out(left))).collect();
        return Err(refused(format!("{}{said}", words::nothing(&asked.input.display().to_string()))));
    }
    imported.bring_near();
    let source = asked.input.file_name().unwrap_or_default().to_string_lossy();
    let title = source.split('.').next().unwrap_or_default();
    let write = |within: f64| roof_file::taken_over(&imported, title, &source, within);
    let mut text = write(WITHIN);
    let mut solved = solve(&text);
    let mut aside: String = imported.left_out.iter().map(|left| format!("{}\n", words::left_out(left))).collect();
    if solved.is_err() && !imported.faces.is_empty() {
        let apart = write(0.0);
        if let Ok(area) = solve(&apart) {
            (text, solved) = (apart, Ok(area));
            aside.push_str(words::KEPT_APART);
        }
    }
    output::write_file(asked.out, text.as_bytes())?;
    let from_faces: f64 = imported.faces.iter().map(|(_, ring)| area(ring)).sum();
    let of_outlines = imported.outlines.iter().map(|(_, outline)| job::outlines::solve(outline));
    let from_outlines: f64 = of_outlines.map(|roof| roof.map_or(0.0, |roof| roof.total_area().0)).sum();
    let expected = from_faces + from_outlines;
    aside.push_str(&match &solved {
        Ok(area) => words::areas(expected, *area),
        Err(said) => words::unsolved(said),
    });
    let name = asked.out.display().to_string();
    if !json {
        aside.push_str(&format!("wrote {name}\n"));
        return Ok(Done::new(String::new(), aside));
    }
    let left: Vec<String> = imported.left_out.iter().map(words::left_out).collect();
    let told = serde_json::json!({
        "format": "eavewright-import/1",
        "files": [name],
        "blocks": imported.outlines.iter().map(|(_, outline)| outline.polygons.len()).sum::<usize>(),
        "faces": imported.faces.len(),
        "area": solved.ok(),
        "area_in_source": expected,
        "left_out": left,
    });
    Ok(Done::new(format!("{told}\n"), aside))
}

/// The area of the roof of a file, square metres, or why it has none.
fn solve(text: &str) -> Result<f64, String> {
    let read = input::read("the file", text, &NoFiles);
    let (job, ..) = read.map_err(|said| said.first().map_or_else(String::new, |first| first.message.clone()))?;
    let answer = job::solve(&job, &Options { steps: false, spread: false }).map_err(|failure| failure.to_string())?;
    Ok(answer.roof.total_area().0)
}

fn taken(asked: &Asked) -> Result<Imported, Stop> {
    let path = asked.input.display().to_string();
    let text = || {
        let bytes = std::fs::read(asked.input).map_err(|error| output::named(asked.input, &error))?;
        Ok::<_, Stop>(String::from_utf8_lossy(&bytes).into_owned())
    };
    let refused = |message: String| Stop::NoAnswer { code: "not-imported", message: format!("{path}: {message}") };
    if ends_with(asked.input, ".city.json") {
        return city::read(&text()?).map_err(refused);
    }
    if ends_with(asked.input, ".ifc") {
        return ifc::read(&text()?).map_err(refused);
    }
    if ends_with(asked.input, ".dxf") {
        let unit = asked.unit.map(LengthUnit::metres);
        return dxf::read(&text()?, (asked.pitch, asked.height), unit).map_err(refused);
    }
    if ends_with(asked.input, ".csv") {
        return survey::read(&text()?).map_err(refused);
    }
    if !KINDS.iter().any(|kind| ends_with(asked.input, kind)) {
        return Err(Stop::System(words::no_kind(&path, &KINDS)));
    }
    outlines(asked, reader(asked.input)?.as_mut())
}

/// The outlines of a map file, all in the frame of the first.
fn outlines(asked: &Asked, pieces: &mut dyn Pieces) -> Result<Imported, Stop> {
    let mut imported = Imported::default();
    let mut frame: Option<LocalFrame> = None;
    let mut more = 0;
    while let Some(piece) = pieces.next_piece().map_err(|error| output::named(asked.input, &error))? {
        let is_degrees = match asked.is_degrees {
            Some(is_degrees) => is_degrees,
            None => super::batch::degrees_of(&pieces.system(), asked.input)?,
        };
        let defaults = Defaults { pitch: asked.pitch, height: asked.height, covering: None, is_degrees };
        for feature in read(&piece, &defaults) {
            let id: String = feature.id.trim_matches('"').chars().filter(|letter| !"/\\\"".contains(*letter)).collect();
            let name = if id.is_empty() { format!("outline {}", feature.line) } else { id };
            let placed = match feature.outline {
                Ok(placed) => placed,
                Err(fault) => {
                    imported.left_out.push(LeftOut { name, why: Why::Outline(fault.code().to_owned()) });
                    continue;
                }
            };
            if imported.outlines.len() >= MOST {
                more += 1;
                continue;
            }
            let common = *frame.get_or_insert(placed.frame);
            let mut outline = placed.outline;
            for place in outline.polygons.iter_mut().flatten().flatten() {
                *place = common.to_metres(placed.frame.to_file(place));
            }
            // Names of blocks are unique, and no two of a file need be.
            let known = imported.outlines.iter().any(|(known, _)| *known == name);
            let name = if known { format!("{name} line {}", feature.line) } else { name };
            imported.outlines.push((name, outline));
        }
    }
    // Places in degrees have no whole metres that could be told.
    if let Some(frame) = frame.filter(|frame| frame.scale == [1.0; 2]) {
        imported.origin = [frame.origin[0], frame.origin[1], 0.0];
    }
    if more > 0 {
        imported.left_out.push(LeftOut { name: "the file".to_owned(), why: Why::TooMany(more) });
    }
    Ok(imported)
}
