//! Words for how a roof is laid: directions and the reasons for them.

use super::roof::edge_word;
use crate::roof::Roof;
use crate::takeoff::caps::{CapRun, CapsRun, CapsStart};
use crate::takeoff::card::Direction;
use crate::takeoff::details::PieceKind;
use crate::takeoff::felt::{Layer, LayerLaid};
use crate::takeoff::layout::FaceLayout;
use crate::takeoff::pieces::PiecePlan;
use crate::wording::units::{Format, compass};

/// Why caps run the way they do.
#[must_use]
pub(crate) fn caps_run(why: CapsRun) -> &'static str {
    match why {
        CapsRun::UpTheHip => "from the eave up; the first cap doubled",
        CapsRun::FromEitherEnd => "from either end",
        CapsRun::TowardsWall => "towards the wall",
        CapsRun::AwayFromWind => "from the end away from the wind",
    }
}

/// Where a line of caps begins: `at the eave`, `at the south-west end`.
#[must_use]
pub(crate) fn caps_start(start: CapsStart) -> String {
    match start {
        CapsStart::Eave => "at the eave".to_owned(),
        CapsStart::End(bearing) => format!("at the {} end", compass(bearing)),
    }
}

/// What a layer of felt is called.
#[must_use]
pub fn layer(layer: Layer) -> &'static str {
    match layer {
        Layer::Base => "base layer",
        Layer::Cap => "cap sheet",
    }
}

/// What the columns of [`strips`] are called. The edge is the deck's: at the eave, or on the left where strips run up the
/// slope.
pub const STRIPS_HEADS: [&str; 5] = ["face", "strip", "from the edge", "width", "pieces, in order along it"];

/// The strips of a layer of felt, a row each, with the pieces each is made of and the rolls they come from:
/// `garage/A`, `2`, `848 mm`, `950 mm`, `roll 3: 6.50 m, roll 4: 2.76 m`.
#[must_use]
pub fn strips(layer: &LayerLaid, roof: &Roof, format: Format) -> Vec<[String; 5]> {
    let row = |plan: &PiecePlan, row: usize, from: f64| {
        let begins = if from < 0.0 { format!("past it by {}", format.fine(-from)) } else { format.fine(from) };
        [
            roof.faces[plan.face.index()].name(),
            (row + 1).to_string(),
            begins,
            format.fine(strip_width(plan, row)),
            strip(plan, row, format),
        ]
    };
    let of_plan = |plan| PiecePlan::rows(plan).into_iter().enumerate().map(move |(at, from)| row(plan, at, from));
    layer.plans.iter().flat_map(of_plan).collect()
}

/// The pieces of one strip with the rolls they come from.
fn strip(plan: &PiecePlan, row: usize, format: Format) -> String {
    let of_row = plan.pieces.iter().filter(|piece| piece.row == row);
    let told = of_row.map(|piece| {
        let [from, to] = match plan.direction {
            Direction::Across => piece.u,
            Direction::Up => piece.v,
        };
        let length = format.length(to - from);
        piece.roll.map_or_else(|| length.clone(), |roll| format!("roll {roll}: {length}"))
    });
    told.collect::<Vec<_>>().join(", ")
}

/// Width of one strip of felt.
#[must_use]
pub(crate) fn strip_width(plan: &PiecePlan, row: usize) -> f64 {
    plan.pieces.iter().find(|piece| piece.row == row).map_or(0.0, |piece| match plan.direction {
        Direction::Across => piece.v[1] - piece.v[0],
        Direction::Up => piece.u[1] - piece.u[0],
    })
}

/// What courses, their gauge, what a search saved and where their lower edges lie are called: of sheets in other words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CourseHeads {
    /// How many there are.
    pub courses: &'static str,
    /// From one to the next.
    pub gauge: &'static str,
    /// Pieces saved.
    pub saved: &'static str,
    /// Lower edges.
    pub butts: &'static str,
}

/// The words for a roof's layouts. O(layouts).
#[must_use]
pub(crate) fn course_heads(layouts: &[FaceLayout]) -> CourseHeads {
    if layouts.iter().any(|layout| layout.details.piece.kind == PieceKind::Sheet) {
        CourseHeads {
            courses: "rows",
            gauge: "sheet less lap",
            saved: "saved by side",
            butts: "feet of sheets up the slope from the deck's edge",
        }
    } else {
        CourseHeads {
            courses: "courses",
            gauge: "gauge",
            saved: "saved by bond",
            butts: "butt lines up the slope from the deck's edge",
        }
    }
}

/// What the columns of [`caps`] are called.
pub const CAPS_HEADS: [&str; 6] = ["line", "how many", "length", "caps each", "start", "because"];

/// Lines of caps, a row each; those that read alike share one, with their number. `north` is the bearing of the drawing's +y
/// axis, radians clockwise from north.
#[must_use]
pub fn caps(runs: &[CapRun], north: f64, format: Format) -> Vec<[String; 6]> {
    let mut alike: Vec<([String; 5], usize)> = Vec::new();
    for run in runs {
        let cells = [
            edge_word(run.kind).to_owned(),
            format.length(run.length),
            run.caps.to_string(),
            caps_start(run.start(north)),
            caps_run(run.why).to_owned(),
        ];
        match alike.iter_mut().find(|(other, _)| *other == cells) {
            Some((_, count)) => *count += 1,
            None => alike.push((cells, 1)),
        }
    }
    let row = |([line, length, caps, start, why], count): ([String; 5], usize)| {
        [line, count.to_string(), length, caps, start, why]
    };
    alike.into_iter().map(row).collect()
}

/// Butt lines of a face to snap by, the second, every fifth and the last: `2: 135, 5: 562, 22: 2985 mm`.
#[must_use]
pub(crate) fn butt_lines(layout: &FaceLayout, format: Format) -> String {
    let last = layout.courses.len();
    let numbered = layout.courses.iter().enumerate().map(|(index, course)| (index + 1, course.butt_v));
    let told = numbered.filter(|(number, _)| *number == 2 || number % 5 == 0 || *number == last);
    listed(told.map(|(number, butt)| (format!("{number}: "), butt)), format)
}

/// Lower edges of the rows of underlay or deck: `0, 900, 1800 mm`.
#[must_use]
pub(crate) fn row_edges(plan: &PiecePlan, format: Format) -> String {
    listed(plan.rows().into_iter().map(|edge| (String::new(), edge.max(0.0))), format)
}

/// Lengths in a row, each behind its own words, the unit said once.
fn listed(lengths: impl Iterator<Item = (String, f64)>, format: Format) -> String {
    const MILLIMETRES: &str = " mm";
    let each = lengths.map(|(lead, length)| format!("{lead}{}", format.fine(length).trim_end_matches(MILLIMETRES)));
    let unit = if format.imperial { "" } else { MILLIMETRES };
    format!("{}{unit}", each.collect::<Vec<_>>().join(", "))
}
