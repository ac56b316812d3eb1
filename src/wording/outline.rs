//! Findings about outlines in words.

use super::amount::{distance, list, to_millimetre};
use crate::base::name::SideName;
use crate::outline::finding::{Crossing, Finding, FoldKind, Held};
use crate::wording::units::{Format, degrees};

/// A finding about an outline.
#[must_use]
pub fn finding(finding: &Finding, format: Format) -> String {
    match finding {
        Finding::SquaredUp { block, turns, lengths } => {
            let turns = turns
                .iter()
                .map(|(corner, turn)| format!("the turn at {} {:.2}° made 90°", corner.side, turn.to_degrees()));
            let lengths = lengths.iter().map(|(side, [from, to])| {
                format!("{} {} made {}", side.side, to_millimetre(*from, format), to_millimetre(*to, format))
            });
            format!("{block} squared up: {}", turns.chain(lengths).collect::<Vec<_>>().join(", "))
        }
        Finding::LengthWorkedOut { side, length } => format!(
            "the length of side {} of {} was left open: the other sides make it {}; nothing checks it, tape it where you can",
            side.side,
            side.block,
            to_millimetre(*length, format)
        ),
        Finding::BroughtToDripEdge { block, by } => format!(
            "the outline of {block} was brought {} {} to the drip edge; its height was taken as the drip edge's",
            if *by > 0.0 { "out" } else { "in" },
            distance(by.abs(), format)
        ),
        Finding::OverhangsDiffer { sides } => {
            format!("one fascia level, so steeper sides overhang less: {}", each(sides, format))
        }
        Finding::FasciaLevelsDiffer { overhang, sides } => format!(
            "one overhang of {}, so fascia levels differ and a gutter can't run round the corner: {}",
            to_millimetre(*overhang, format),
            each(sides, format)
        ),
        Finding::PlatesRaised { sides } => format!(
            "one overhang and one fascia level, so the roof stands higher over the plates of steeper sides: {}",
            each(sides, format)
        ),
        Finding::RecessBridged { sides, width, overhangs } => format!(
            "the recess at {} is {} wide, and overhangs of its two flanks take {} of it: the roof runs on over the recess",
            list(&sides.iter().map(ToString::to_string).collect::<Vec<_>>()),
            to_millimetre(*width, format),
            to_millimetre(*overhangs, format)
        ),
        Finding::HipOffCorner { corner, fold, wall, drip, .. } => {
            let fold = match fold {
                FoldKind::Hip => "hip",
                FoldKind::Valley => "valley",
            };
            let over = if wall.is_some() { "does not pass" } else { "passes" };
            let crosses = |crossing: &Crossing, line: &str| {
                let at = to_millimetre(crossing.at, format);
                format!("crosses the {line} of {} {at} from the corner", crossing.side.side)
            };
            let wall = wall.iter().map(|crossing| crosses(crossing, "wall line"));
            let parts: Vec<String> = wall.chain(drip.iter().map(|crossing| crosses(crossing, "drip edge"))).collect();
            format!(
                "the {fold} at corner {} of {} {over} over the wall corner: it {}",
                corner.side,
                corner.block,
                list(&parts)
            )
        }
        Finding::PitchFound { block, pitch, ridge_height, rafter, .. } => {
            let source = match (ridge_height, rafter) {
                (Some(height), Some(rafter)) => {
                    let doubt =
                        if finding.readings_disagree() { "; they do not agree: measure both again" } else { "" };
                    format!(
                        " from both the ridge height ({}) and the taped rafter ({}){doubt}",
                        held(height, format),
                        held(rafter, format)
                    )
                }
                (Some(height), None) => format!(" from the ridge height of {}", to_millimetre(height.read, format)),
                (None, Some(rafter)) => format!(" from the taped rafter of {}", to_millimetre(rafter.read, format)),
                (None, None) => String::new(),
            };
            format!("the pitch of {block} was found to be {}{source}", degrees(*pitch))
        }
    }
}

/// A reading, and by how much the roof differs from it.
fn held(held: &Held, format: Format) -> String {
    let way = if held.over >= 0.0 { "more" } else { "less" };
    format!("{}; the roof has {} {way}", to_millimetre(held.read, format), distance(held.over.abs(), format))
}

/// Sides with a length each.
fn each(sides: &[(SideName, f64)], format: Format) -> String {
    let one = |(side, value): &(SideName, f64)| format!("{side} {}", to_millimetre(*value, format));
    sides.iter().map(one).collect::<Vec<_>>().join(", ")
}
