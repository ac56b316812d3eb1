//! Sentences about files of other kinds: what they are not, what could not be taken over.

use super::amount::count;
use crate::job::imported::{LeftOut, Why};

/// JSON that is torn.
#[must_use]
pub fn torn(said: &str) -> String {
    format!("this is no JSON: {said}")
}

/// JSON of another type.
#[must_use]
pub fn other_type(found: &str, expected: &str) -> String {
    format!("its type is {found}, expected {expected}")
}

/// What is no drawing.
#[must_use]
pub fn not_dxf() -> String {
    "this is no DXF in text form: expected lines of codes and values, and a section ENTITIES".to_owned()
}

/// A drawing without a unit.
#[must_use]
pub fn no_unit() -> String {
    "the drawing's header names no unit ($INSUNITS): say --unit m, cm, mm, ft or in".to_owned()
}

/// Outlines without a pitch.
#[must_use]
pub fn no_pitch() -> String {
    "an outline needs a pitch: say --pitch, in degrees, for all of them".to_owned()
}

/// A table without points.
#[must_use]
pub fn no_points() -> String {
    "this table holds no points: expected a name and three numbers a line, and the faces that each is a corner of"
        .to_owned()
}

/// What is no building model.
#[must_use]
pub fn not_step() -> String {
    "this is no IFC in text form: expected ISO-10303-21 with a section DATA".to_owned()
}

/// A file in which nothing could be taken over.
#[must_use]
pub fn nothing(path: &str) -> String {
    format!("{path}: nothing in it could be taken over as a roof")
}

/// A name whose ending says no kind of file.
#[must_use]
pub fn no_kind(path: &str, kinds: &[&str]) -> String {
    format!("{path}: the ending says no kind of file; expected one of {}", kinds.join(", "))
}

/// A file that is there already.
#[must_use]
pub fn is_there(path: &str) -> String {
    format!("{path}: is there already, and is left as it is")
}

/// A roof file that was written and does not solve.
#[must_use]
pub fn unsolved(said: &str) -> String {
    format!("the file is written, but has no roof as it stands: {said}\n")
}

/// Faces whose corners were kept apart, as their planes do not meet.
pub const KEPT_APART: &str = "corners of neighbouring faces are kept apart, as they lie in no common planes: their areas are \
     those of the file, and no ridge or valley is known between them\n";

/// What could not be taken over.
#[must_use]
pub fn left_out(left: &LeftOut) -> String {
    let name = &left.name;
    match &left.why {
        Why::Hole => format!("{name}: it stands plumb and has holes, so it is left out"),
        Why::NoUpper => format!("{name}: no face of its body looks up"),
        Why::Geometry(kind) => format!("{name}: its geometry is {kind}, which is not read"),
        Why::NoSemantics => format!("{name}: no semantic surfaces say which of its surfaces are roof"),
        Why::NotRoof(parts) => format!("{name}: {} of what is no roof left out", count(*parts, "part", "parts")),
        Why::Outline(code) => format!("{name}: its outline is left out: {code}"),
        Why::Open => format!("{name}: the polyline is open or has fewer than three corners"),
        Why::Place => {
            format!("{name}: a corner lies nowhere on earth: its coordinates are no numbers, or far too large")
        }
        Why::Number(line) => format!("{name}: line {line} has no three numbers"),
        Why::TooMany(more) => {
            format!("{name}: {more} more outlines are left out; `eavewright batch` answers any number of them")
        }
    }
}

/// How the areas of the written file compare: of the source, and solved, square metres.
#[must_use]
pub fn areas(source: f64, solved: f64) -> String {
    format!("roof area {solved:.3} m², {source:.3} m² in the file it was taken from\n")
}

/// Comments of the file that is written.
pub mod comment {
    /// At its head: where it comes from.
    #[must_use]
    pub fn source(name: &str) -> String {
        format!(
            "# Taken over from {name}. Numbers are that file's, in metres, and count as exact (stage = \"design\"):"
        )
    }

    /// Under it.
    pub const MEASURE: &str = "# before anything is ordered or cut, measure on site and make it stage = \"measured\".";

    /// What was taken off places.
    #[must_use]
    pub fn origin([x, y]: [f64; 2]) -> String {
        format!("# {x:.0}, {y:.0} is taken off every place, so that numbers stay short.")
    }

    /// Over the blocks.
    pub const OUTLINES: &str =
        "# Outlines: the drip edge, every side an eave of one pitch. A gable end is verge = true instead.";

    /// Over the points.
    pub const POINTS: &str = "# Corners, x and y on the site plan, z above datum.";

    /// Over the faces.
    pub const FACES: &str = "# Faces by their corners, in order round each.";

    /// Where no faces are named.
    pub const NO_FACES: &str = "# Which corners make a face, in order round it:\n# [[face]]\n# name = \"south\"\n# points = [\"E1\", \"E2\", \"R2\", \"R1\"]";

    /// A face's area as the source has it.
    #[must_use]
    pub fn area(square_metres: f64) -> String {
        format!("# {square_metres:.3} m² in the file it was taken from")
    }
}
