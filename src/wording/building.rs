//! Words for the building under its roof.

use super::roof::edge_word;
use super::units::{Format, degrees};
use crate::base::ids::FaceId;
use crate::job::building::{Detail, Layer, LayerOf, Level, LevelOf, Measure};
use crate::roof::{FaceKind, Roof};

/// What a wall's outer face under the roof is called in plan.
pub const WALL_BELOW: &str = "wall below";

/// What a height is called.
fn level(of: LevelOf) -> &'static str {
    match of {
        LevelOf::Ground => "ground",
        LevelOf::DripEdge => "drip edge",
        LevelOf::Plate => "plate",
        LevelOf::Ridge => "ridge",
        LevelOf::Top => "top",
    }
}

/// A height by name: `plate 2.40 m`; what is at the datum has its name alone.
#[must_use]
pub fn height(level: &Level, format: Format) -> String {
    let what = self::level(level.of);
    if format.reads_as_nothing(level.at) { what.to_owned() } else { format!("{what} {}", format.length(level.at)) }
}

/// What is said of walls that are not known to stand anywhere else than under the edge of the roof, of those that are, and of a
/// roof without walls.
#[must_use]
pub fn remark(has_walls: bool, walls_known: bool) -> &'static str {
    match (has_walls, walls_known) {
        (false, _) => "Heights are those of the points measured.",
        (true, true) => "Heights are above datum, drawn as the ground; walls stand where they were measured.",
        (true, false) => {
            "Heights are above datum, drawn as the ground. Where the walls stand was not measured: they are drawn under the edge of \
             the roof."
        }
    }
}

/// Something with its sizes: `fascia 22 mm x 175 mm`.
#[must_use]
pub fn named(format: Format, what: &str, sizes: &[f64]) -> String {
    let sizes: Vec<String> = sizes.iter().map(|size| format.fine(*size)).collect();
    format!("{what} {}", sizes.join(" x "))
}

/// A layer of the roof with its thickness, where that is stated.
#[must_use]
pub fn layer(layer: &Layer, format: Format) -> String {
    let is_laid_over_itself = matches!(layer.of, LayerOf::Shingles | LayerOf::Units) && layer.thickness.is_some();
    let what = match layer.of {
        LayerOf::Shingles if is_laid_over_itself => "strip shingles, where they lap up to",
        LayerOf::Units if is_laid_over_itself => "covering, piece by piece, where it laps up to",
        LayerOf::Caps => "caps",
        LayerOf::Shingles => "strip shingles",
        LayerOf::Units => "covering, piece by piece",
        LayerOf::Sheets => "sheets",
        LayerOf::CapSheet => "cap sheet",
        LayerOf::BaseLayer => "base layer",
        LayerOf::ValleyLining => "valley lining",
        LayerOf::Battens => "battens",
        LayerOf::CounterBattens => "counter-battens, air between them",
        LayerOf::Underlay => "underlay",
        LayerOf::Deck => "deck",
        LayerOf::Rafter => "rafter",
    };
    match (layer.width, layer.thickness) {
        (Some(width), Some(depth)) => named(format, what, &[width, depth]),
        (None, Some(thickness)) => named(format, what, &[thickness]),
        _ => what.to_owned(),
    }
}

/// What a detail is of: `eave at store/A, pitch 35.0°, 3 alike`; with two pitches that differ both in degrees alone.
#[must_use]
pub fn detail_title(detail: &Detail, roof: &Roof, format: Format) -> String {
    let pitch = match detail.pitches[..] {
        [one] => format!("pitch {}", format.pitch(one)),
        [one, other] if degrees(one) == degrees(other) => format!("pitch {}", format.pitch(one)),
        _ => {
            let all: Vec<String> = detail.pitches.iter().map(|pitch| degrees(*pitch)).collect();
            format!("pitches {}", all.join(" and "))
        }
    };
    let count = detail.edges.len();
    let many = if count > 1 { format!(", {count} alike") } else { String::new() };
    let faces = detail.edges.first().map(|edge| &roof.edges[edge.index()].faces);
    let is_roof = |face: &&FaceId| roof.faces[face.index()].kind == FaceKind::Roof;
    let names: Vec<String> =
        faces.into_iter().flatten().filter(is_roof).map(|face| roof.faces[face.index()].name()).collect();
    format!("{} at {}, {pitch}{many}", edge_word(detail.of), names.join(" and "))
}

/// How details are meant.
pub const DETAILS_REMARK: &str = "Drawn is what the roof file and the card state; layers without a thickness are lines, drawn apart. Local codes and licensed \
     practice come first.";

/// The lengths of a detail that are not drawn as dimensions; `None` where there are none.
#[must_use]
pub fn detail_lengths(detail: &Detail, format: Format) -> Option<String> {
    let told = |(measure, length): &(Measure, f64)| {
        let what = match measure {
            Measure::CoveringPast => "covering past the deck",
            Measure::Heel => "heel, plumb from the rafter's top to the plate",
            Measure::Seat => "seat on the plate, level",
            Measure::Notch => "notch, plumb",
            Measure::CapCover => "caps cover each slope by",
            Measure::UnderlayOver => "underlay over the ridge by",
            Measure::Lowered => "top of the timber below the line where the slopes meet, plumb",
            Measure::LiningWidth => "valley lining, wide",
            Measure::ValleyClear => "covering clear of the valley's middle at its head, each side",
            _ => return None,
        };
        Some(format!("{what} {}", format.fine(*length)))
    };
    let lengths: Vec<String> = detail.lengths.iter().filter_map(told).collect();
    let mut said = lengths.join("; ");
    said.get_mut(..1)?.make_ascii_uppercase();
    Some(format!("{said}."))
}
