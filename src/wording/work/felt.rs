//! Roll felt in words. What stands here without a source is common practice of the trade.

use super::capital::capital;
use super::metal::along;
use crate::takeoff::card::Direction;
use crate::takeoff::felt::Layer;
use crate::takeoff::work::{Collar, FeltEdges, FeltLayer};
use crate::wording::amount::list;
use crate::wording::units::Format;

/// A layer.
pub(super) fn layer(felt: &FeltLayer, format: Format) -> String {
    let mut told = Vec::new();
    match felt.layer {
        Layer::Base => told.push("On a deck that is dry, swept and free of proud nails.".to_owned()),
        Layer::Cap => told.push(
            "On a base layer that is dry and clean. Unroll each strip, cut it, let it lie until it is flat, then roll it back to \
             its middle and bond one half after the other."
                .to_owned(),
        ),
    }
    if let Some(width) = felt.in_valleys {
        told.push(format!("First a strip {} wide down each valley, pressed well into it.", format.fine(width)));
    }
    let width = format.fine(felt.width);
    told.push(match felt.direction {
        Direction::Across => format!("Strips of {width} across the slope, from the eave up, the upper over the lower."),
        Direction::Up => format!(
            "Strips of {width} up the slope, from the face's left end seen from outside: begin at the other end where the wind \
             mostly comes from the left, so that laps face away from it."
        ),
    });
    match (felt.layer, felt.first) {
        (Layer::Base, Some(first)) => told.push(format!(
            "The first strip {} wide, so that side laps of the two layers stand apart.",
            format.fine(first)
        )),
        (Layer::Cap, _) => {
            told.push("The first strip at its full width: its side laps stand beside those below.".to_owned());
        }
        (Layer::Base, None) => {}
    }
    told.push(format!(
        "Side laps {}, end laps {}, those of neighbouring strips at least {} apart; what a roll has left begins a later strip, as \
         listed strip by strip.",
        format.fine(felt.side_lap),
        format.fine(felt.end_lap),
        format.fine(felt.stagger)
    ));
    if let Some(over) = felt.over {
        told.push(format!(
            "{} over ridges, hips and breaks and past the centre of valleys; the slope that runs over a ridge is laid last.",
            capital(&format.fine(over))
        ));
    }
    if let Some(upstand) = felt.upstand {
        told.push(format!("At walls over a triangular fillet and {} up, never in a sharp bend.", format.fine(upstand)));
    }
    match felt.layer {
        Layer::Base => {
            let each: Vec<String> = felt.nails.iter().map(|nails| format!("{nails:.0}")).collect();
            let nails = if each.is_empty() {
                String::new()
            } else {
                format!(
                    "Nails with large heads, {} a square metre, closer along edges and laps, heads flush.",
                    list(&each)
                )
            };
            told.push(nails);
        }
        Layer::Cap => {
            if let Some([eave, verge]) = felt.past {
                told.push(format!(
                    "Bonded onto the metal, {} past the deck at the eave and {} at verges, so that water drips clear.",
                    format.fine(eave),
                    format.fine(verge)
                ));
            }
            if let Some(adhesive) = felt.adhesive {
                told.push(format!(
                    "Adhesive all over, {}, laps with it: too much blisters and slides. Rolled down from the middle outwards, \
                     laps last, until a little shows along every edge.",
                    format.spread(adhesive)
                ));
            }
        }
    }
    told.retain(|sentence| !sentence.is_empty());
    told.join(" ")
}

/// Metal between the layers.
pub(super) fn edges(edges: &FeltEdges, format: Format) -> String {
    let eaves = edges.eaves.as_ref().map(|metal| format!("drip metal, {}", along(metal, "eaves and breaks", format)));
    let verges = edges.verges.as_ref().map(|metal| {
        format!("with an upstand that keeps water on the roof, {}", along(metal, "verges and top edges", format))
    });
    let each: Vec<String> = [eaves, verges].into_iter().flatten().collect();
    let primed = if edges.primed {
        " Its flange primed, and the primer dry, before the cap sheet comes over it."
    } else {
        " Its flange clean and dry for the cap sheet that comes over it."
    };
    format!("Over the base layer: {}.{primed}", each.join("; "))
}

/// Round an opening.
pub(super) fn collar(collar: &Collar, format: Format) -> String {
    let what = if collar.what.is_empty() { "opening" } else { &collar.what };
    let lengths: Vec<String> = collar.lengths.iter().map(|length| format.length(*length)).collect();
    format!(
        "{}: over a triangular fillet, strips of cap sheet {} wide, {} up its sides and the rest out over the slope, bonded all \
         over: the lower side first, then the two beside it, the upper one last, each over the one before. Lengths: {}.",
        capital(what),
        format.fine(collar.width),
        format.fine(collar.upstand),
        list(&lengths)
    )
}
