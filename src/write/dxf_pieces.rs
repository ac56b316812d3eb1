//! Timbers as DXF for a saw: every piece a block in real size, placed one above another, a layer for each operation.
//!
//! On `cut` stands the closed outline of the side near the eye, the notch over the plate with it; on `mark` the outline of the far
//! side where the saw is tilted, or of the middle where both sides are cut alike, to check the tilt by. Marks and counts are on `text`.
//! Nothing is drilled.

use super::dxf::{Layer, TEXT_LAYER, ascii, head};
use super::dxf_out::{Out, polyline};
use crate::base::tolerance::BESIDE;
use crate::base::units::LengthUnit;
use crate::framing::timber::Timber;
use crate::framing::{Framing, Piece};
use crate::wording::framing as words;
use nalgebra::Point2;

/// The layer of what is cut.
pub const CUT_LAYER: &str = "cut";

/// The layer of what is marked and not cut.
pub const MARK_LAYER: &str = "mark";

/// Between one piece and the next, metres.
const APART: f64 = 0.100;

/// A saw set to less is set square, radians: a tenth of a degree.
const TILTED: f64 = 0.1 * std::f64::consts::PI / 180.0;

/// Height of lettering, metres.
const LETTERS: f64 = 0.025;

/// A piece with its outlines, metres.
struct Outlined<'a> {
    piece: &'a Piece,
    near: Vec<Point2<f64>>,
    /// Where the saw is tilted: of the far side, or of the middle where both sides are cut alike.
    marked: Option<Vec<Point2<f64>>>,
}

impl<'a> Outlined<'a> {
    fn of(framing: &'a Framing, piece: &'a Piece) -> Option<Self> {
        let timber: &Timber = framing.timbers.as_ref()?.all.get(*piece.timbers.first()?)?;
        let half = piece.section.thickness / 2.0;
        let (near, far) = (timber.side_at(-half)?, timber.side_at(half)?);
        let alike = near.len() == far.len() && near.iter().zip(&far).all(|(a, b)| (a - b).norm() <= BESIDE);
        let is_tilted = piece.ends.iter().flatten().any(|cut| cut.tilt.abs() > TILTED);
        let marked = is_tilted.then(|| if alike { timber.side_at(0.0) } else { Some(far) }).flatten();
        Some(Self { piece, near, marked })
    }

    /// Its block's name.
    fn name(&self) -> String {
        self.piece.mark().replace(' ', "_")
    }
}

/// The pieces of a roof, each mark once; `None` where no timbers are worked out. O(pieces).
#[must_use]
pub fn pieces(framing: &Framing, unit: LengthUnit) -> Option<String> {
    let all: Vec<Outlined<'_>> = framing.pieces.iter().filter_map(|piece| Outlined::of(framing, piece)).collect();
    if all.is_empty() {
        return None;
    }
    let layer = |name, colour| Layer { name, colour, pattern: Vec::new() };
    let layers = [layer(CUT_LAYER, 1), layer(MARK_LAYER, 5), layer(TEXT_LAYER, 7)];
    let flat = |at: &Point2<f64>| [at.x / unit.metres(), at.y / unit.metres(), 0.0];
    let height: f64 = all.iter().map(|piece| piece.piece.section.depth + APART).sum();
    let length = all.iter().map(|piece| piece.piece.length).fold(0.0, f64::max);
    let mut out = Out::default();
    head(&mut out, unit, [flat(&Point2::new(0.0, -height)), flat(&Point2::new(length, 0.0))], &layers);
    out.section("BLOCKS");
    for piece in &all {
        out.entity("BLOCK", "0");
        out.put(2, piece.name());
        out.put(70, 0);
        out.point(10, [0.0; 3]);
        out.put(3, piece.name());
        polyline(&mut out, CUT_LAYER, piece.near.iter().map(flat), true, false);
        if let Some(marked) = &piece.marked {
            polyline(&mut out, MARK_LAYER, marked.iter().map(flat), true, false);
        }
        out.entity("TEXT", TEXT_LAYER);
        out.point(10, flat(&Point2::new(piece.piece.length * 0.4, -piece.piece.section.depth / 2.0)));
        out.real(40, LETTERS / unit.metres());
        out.put(1, ascii(&words::counted(piece.piece)));
        out.entity("ENDBLK", "0");
    }
    out.end_section();
    out.section("ENTITIES");
    let mut down = 0.0;
    for piece in &all {
        out.entity("INSERT", "0");
        out.put(2, piece.name());
        out.point(10, flat(&Point2::new(0.0, -down)));
        down += piece.piece.section.depth + APART;
    }
    out.end_section();
    out.put(0, "EOF");
    Some(out.text)
}
