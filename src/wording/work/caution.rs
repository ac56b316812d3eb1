//! Cautions, each with its source. Local law and the material's own instructions come first.

use crate::takeoff::work::Caution;
use crate::wording::units::Format;

/// A caution as one or two sentences.
#[must_use]
pub fn caution(caution: Caution, format: Format) -> String {
    match caution {
        Caution::Fall { from } => format!(
            "A fall from a low roof kills. Secure yourself as local law says before you leave the ladder, at any height and from \
             {} at the latest (29 CFR 1926.501(b)(13)).",
            format.length(from)
        ),
        Caution::Ladder { above } => format!(
            "Ladder: foot out by a quarter of its working length, top {} above the landing, tied (29 CFR 1926.1053, from memory).",
            format.length(above)
        ),
        Caution::Weather => {
            "Not alone, not on a wet, iced or windy roof, not near power lines.".to_owned()
        }
        Caution::Fragile => {
            "Brittle sheets, rooflights and rotten boards carry nobody: boards and guards first.".to_owned()
        }
        Caution::Structure => {
            "Whether rafters and deck carry covering, snow and people is for a licensed practitioner.".to_owned()
        }
        Caution::Asbestos => {
            "Old sheets, shingles and felts may hold asbestos: have a sample tested before anything is lifted, cut or broken. If \
             it does, a licensed firm strips it (40 CFR 61 subpart M, appendix A, for its classes)."
                .to_owned()
        }
        Caution::FallingRubble => {
            "Nobody under the eaves: fence the ground, lower what comes off, throw nothing.".to_owned()
        }
        Caution::OpenEdge => "Stay secured at the open edge.".to_owned(),
        Caution::MetalEdges => "Cut metal is sharp: gloves, and no loose offcut on the slope.".to_owned(),
        Caution::Lead => {
            "Where the metal is lead: gloves, wash hands before eating, no dust from sanding.".to_owned()
        }
        Caution::SlipperyUnderlay => {
            "Underlay is slippery, most of all when damp, and wind gets under it: fix each row before you step on it.".to_owned()
        }
        Caution::Heat => {
            "In the heat keep off the sunny side: it marks under the foot and burns the hand. Work the shaded slope.".to_owned()
        }
        Caution::Blades => "Cut away from yourself and on a board; change blades, close the knife to move.".to_owned(),
        Caution::Nailing => "Eye protection at nailing; a nailer's safety is never tied back.".to_owned(),
        Caution::StoneDust => {
            "Sawing slates and tiles makes dust that harms the lungs: cut wet or with a cutter, and wear a mask.".to_owned()
        }
        Caution::SheetInWind => {
            "A long sheet sails: two people, no wind, and fix each sheet before the next is carried up.".to_owned()
        }
        Caution::Sparks => "No grinder: sparks burn the coating and set fire to dust. Shears or nibbler.".to_owned(),
        Caution::Cold => {
            "Laid cold: no torch, no flame and no hot air comes near deck, felt or adhesive.".to_owned()
        }
        Caution::Flame => {
            "Warm with hot air, gently and away from adhesive and its fumes; a flame on a boarded deck starts fires: extinguisher \
             at hand, and a watch afterwards."
                .to_owned()
        }
        Caution::Solvent => {
            "Adhesive and primer hold solvent: gloves, fresh air, no flame and no smoking beside it.".to_owned()
        }
        Caution::Load => "What goes up is heavy: hoist it, or carry one pack or piece at a time, three points on the ladder.".to_owned(),
    }
}

/// A caution by name, where it was told in full before.
#[must_use]
pub fn name(caution: Caution) -> &'static str {
    match caution {
        Caution::Fall { .. } => "falls",
        Caution::Ladder { .. } => "the ladder",
        Caution::Weather => "weather and power lines",
        Caution::Fragile => "what carries nobody",
        Caution::Structure => "structure",
        Caution::Asbestos => "asbestos",
        Caution::FallingRubble => "nobody under the eaves",
        Caution::OpenEdge => "the open edge",
        Caution::MetalEdges => "sharp metal",
        Caution::Lead => "lead",
        Caution::SlipperyUnderlay => "slippery underlay",
        Caution::Heat => "the sunny side",
        Caution::Blades => "blades",
        Caution::Nailing => "eyes at nailing",
        Caution::StoneDust => "dust",
        Caution::SheetInWind => "wind under sheets",
        Caution::Sparks => "sparks",
        Caution::Cold => "no flame",
        Caution::Flame => "flame",
        Caution::Solvent => "solvent",
        Caution::Load => "loads",
    }
}
