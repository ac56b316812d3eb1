//! Points of a total station as a table: a name and three numbers a line, and the faces that each is a corner of.
//!
//! Columns are separated by commas, semicolons, tabs or blanks. A first line without numbers names them: `name`, `x` or `east`,
//! `y` or `north`, `z` or `height`, `face`; without one they stand in this order. A point of several faces names them with
//! `;` or `+` between. Corners of a face stand in the order round it.

use super::Refusal;
use crate::job::imported::{FARTHEST, Imported, LeftOut, Why};
use crate::wording::import as words;
use nalgebra::Point3;

/// Places of name, x, y, z and face among the columns.
type Columns = [Option<usize>; 5];

const HEADS: [&[&str]; 5] = [
    &["name", "point", "id", "no", "nr"],
    &["x", "east", "easting", "e"],
    &["y", "north", "northing", "n"],
    &["z", "height", "h", "elevation"],
    &["face", "code", "faces"],
];

/// Reads it. Metres. O(its bytes).
///
/// # Errors
/// A table without points.
pub fn read(text: &str) -> Result<Imported, Refusal> {
    let first = text.lines().find(|line| !line.trim().is_empty()).ok_or_else(words::no_points)?;
    let separator = [',', '\t', ';', ' '].into_iter().find(|mark| first.contains(*mark)).unwrap_or(',');
    let cells = |line: &str| -> Vec<String> {
        let cells = line.split(separator).map(|cell| cell.trim().trim_matches('"').to_owned());
        if separator == ' ' { cells.filter(|cell| !cell.is_empty()).collect() } else { cells.collect() }
    };
    let heads = cells(first);
    let named = |known: &[&str]| heads.iter().position(|head| known.contains(&head.to_lowercase().as_str()));
    let is_headed = heads.iter().all(|head| head.parse::<f64>().is_err());
    let columns: Columns =
        if is_headed { HEADS.map(named) } else { [Some(0), Some(1), Some(2), Some(3), (heads.len() > 4).then_some(4)] };
    let mut imported = Imported::default();
    for (at, line) in text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty()).skip(usize::from(is_headed))
    {
        let cells = cells(line);
        let cell = |column: usize| columns[column].and_then(|at| cells.get(at)).map_or("", String::as_str);
        let name = if cell(0).is_empty() { format!("line {}", at + 1) } else { cell(0).to_owned() };
        let place: Option<Vec<f64>> =
            (1..4).map(|axis| cell(axis).parse().ok().filter(|number: &f64| number.abs() <= FARTHEST)).collect();
        let Some(place) = place else {
            imported.left_out.push(LeftOut { name, why: Why::Number(at + 1) });
            continue;
        };
        let place = Point3::new(place[0], place[1], place[2]);
        let faces: Vec<&str> = cell(4).split([';', '+']).map(str::trim).filter(|face| !face.is_empty()).collect();
        for face in &faces {
            match imported.faces.iter_mut().find(|(known, _)| known == face) {
                Some((_, ring)) => ring.push(place),
                None => imported.faces.push(((*face).to_owned(), vec![place])),
            }
        }
        if faces.is_empty() {
            imported.points.push((name, place));
        }
    }
    if imported.faces.is_empty() && imported.points.is_empty() { Err(words::no_points()) } else { Ok(imported) }
}
