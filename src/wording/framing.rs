//! Cutting data and timbers in words.

use super::units::Format;
use crate::framing::Finding;
use crate::framing::timber::TimberKind;
use crate::framing::timber::piece::Cut;

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

/// A cut of an end: "plumb, saw tilted 45.0°"; both of a double cheek joined by "and".
#[must_use]
pub fn cuts(cuts: &[Cut], slopes: bool) -> String {
    let one = |cut: &Cut| {
        let line = if cut.plumb == 0.0 && slopes {
            "square to the slope"
        } else if slopes {
            "plumb"
        } else {
            "square"
        };
        let tilt = cut.tilt.abs().to_degrees();
        if tilt < 0.05 { line.to_owned() } else { format!("{line}, saw tilted {tilt:.1}°") }
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
