//! Cutting data and timbers in words.

use super::units::{Format, degrees};
use crate::framing::timber::TimberKind;
use crate::framing::timber::piece::Cut;
use crate::framing::{Finding, Piece, TimberLine};

/// A finding about cutting data.
#[must_use]
pub fn finding(finding: &Finding, format: Format) -> String {
    match finding {
        Finding::GeometryOnly => {
            "rafter lengths and cuts are geometry, of theoretical lines: take off half the hip's thickness at its angle and \
             half the ridge board, add seat and tail; sizes of timber, fixings and what may be cut are for the engineer"
                .to_owned()
        }
        Finding::SectionsAreTheEngineers => {
            "timbers are cut to the sections and the spacing of the roof file: sections, fixings, what carries hips, valleys and \
             ridge, and what may be notched are for a structural engineer"
                .to_owned()
        }
        Finding::SectionAssumed { thickness, depth } => format!(
            "no section of rafters is given: lengths and cuts are those of {} x {}; give `rafter` under [framing] before cutting",
            format.fine(*thickness),
            format.fine(*depth)
        ),
        Finding::LiftedByHeel { by } => format!(
            "rafters stand {} {} over the plates than the roof was worked out with: every height of the roof is so much {}; state \
             `above_plate` of the block, or `heel` under [framing], so that both are the same",
            format.fine(by.abs()),
            if *by > 0.0 { "higher" } else { "lower" },
            if *by > 0.0 { "more" } else { "less" }
        ),
        Finding::NotchTooDeep { notch, depth } => format!(
            "rafters are notched by {} of their {}: more than a third; raise the heel, or ask the engineer",
            format.fine(*notch),
            format.fine(*depth)
        ),
        Finding::PlatesNotKnown => {
            "where the plates lie is not known, as the outline was measured at the eaves: no seat is set out; measure at the wall, or \
             give `tail` under [framing]"
                .to_owned()
        }
        Finding::PiecesTooShort { count, shortest } => format!(
            "{} shorter than {} {} left out of the cutting list",
            if *count == 1 { "1 piece".to_owned() } else { format!("{count} pieces") },
            format.fine(*shortest),
            if *count == 1 { "is" } else { "are" }
        ),
        Finding::FoldCutThrough { edges, .. } => format!(
            "an opening cuts through {}: no timber is given there; how the ends are carried is for a structural engineer",
            if edges.len() == 1 { "1 hip or valley".to_owned() } else { format!("{} hips and valleys", edges.len()) }
        ),
        Finding::DoNotClear { pairs, by, .. } => format!(
            "{} of timbers reach into one another by up to {}, where ridges, hips and valleys end close together: fit them on site",
            if *pairs == 1 { "1 pair".to_owned() } else { format!("{pairs} pairs") },
            format.fine(*by)
        ),
        Finding::LongerThanStock { count, longest, stock } => format!(
            "{} longer than the longest stock of {}, the longest {}: order to length, or ask the engineer for a joint",
            if *count == 1 { "1 piece is".to_owned() } else { format!("{count} pieces are") },
            format.stock(*stock),
            format.stock(*longest)
        ),
        Finding::JacksNotInPairs { uneven, folds, .. } => format!(
            "at {} of {} the pitches differ: backing differs a side, and jacks of the two sides do not meet in pairs",
            uneven.len(),
            if *folds == 1 { "1 hip or valley".to_owned() } else { format!("{folds} hips and valleys") }
        ),
    }
}

/// What purlins and collars are called together.
pub const LINES: &str = "purlin or collar";

/// How the lines of purlins and collars are meant.
pub const LINES_REMARK: &str = "Purlins and collars are lines alone, in the face of the roof: their sizes, joints and what carries them \
                                are left to a structural engineer.";

/// A purlin or a collar with its length: `purlin 8.50 m`.
#[must_use]
pub fn line(line: &TimberLine, format: Format) -> String {
    format!("{} {}", line.kind.word(), format.length(line.length()))
}

/// A kind of timber in a word or two.
#[must_use]
pub fn kind(kind: TimberKind) -> &'static str {
    match kind {
        TimberKind::Hip => "hip rafter",
        TimberKind::Valley => "valley rafter",
        TimberKind::Ridge => "ridge board",
        other => other.word(),
    }
}

/// A piece's mark with how many there are: `J3 L, 4 of it`.
#[must_use]
pub fn counted(piece: &Piece) -> String {
    format!("{}, {} of it", piece.mark(), piece.count())
}

/// The heading of a kind's rows in the cutting list.
#[must_use]
pub fn heading(kind: TimberKind) -> &'static str {
    match kind {
        TimberKind::Rafter => "Rafters",
        TimberKind::Jack => "Jacks",
        TimberKind::Hip => "Hip rafters",
        TimberKind::Valley => "Valley rafters",
        TimberKind::Ridge => "Ridge boards",
        TimberKind::Trimmer => "Trimmers round openings",
        TimberKind::Plate => "Wall plates",
        TimberKind::Fascia => "Fascias and verge boards",
    }
}

/// A cut of an end of a piece that leans so much from level, radians: "plumb, saw tilted 45.0°"; both of a double cheek joined by
/// "and".
#[must_use]
pub fn cuts(cuts: &[Cut], slope: f64) -> String {
    // Half a tenth of a degree, as far as angles are told.
    let same = |a: f64, b: f64| (a - b).abs() < 0.05_f64.to_radians();
    let slopes = slope.abs() > 1e-6;
    let one = |cut: &Cut| {
        let line = if !slopes {
            "square".to_owned()
        } else if same(cut.plumb, slope.abs()) {
            "plumb".to_owned()
        } else if same(cut.plumb, 0.0) {
            "square to the slope".to_owned()
        } else {
            format!("{} from square", degrees(cut.plumb))
        };
        let tilt = cut.tilt.abs().to_degrees();
        if tilt < 0.05 { line } else { format!("{line}, saw tilted {tilt:.1}°") }
    };
    match cuts {
        [] => "square".to_owned(),
        [a, b, c] if (a.tilt + c.tilt).abs() < 1e-3 && b.tilt.abs() < 1e-3 && a.tilt != 0.0 => {
            format!("{}, both its corners off with the saw tilted {:.1}°", one(b), a.tilt.abs().to_degrees())
        }
        [a, b] if (a.tilt + b.tilt).abs() < 1e-3 && a.tilt != 0.0 => format!("{} from both sides", one(a)),
        _ => cuts.iter().map(one).collect::<Vec<_>>().join("; "),
    }
}
