//! Heights by name: ground, drip edges, plates, the ridge, tops of chimneys.

use super::model::{Level, LevelOf, Raised};
use crate::base::tolerance::{BESIDE, ONE_LEVEL};
use crate::framing::timber::Wall;
use crate::roof::{EdgeKind, Roof};

/// The heights of a roof and its walls, lowest first; what lies within a centimetre of another of its kind is told once. Of a
/// roof by points alone there is no ground. O(edges · levels + walls · faces).
pub(super) fn levels(roof: &Roof, walls: &[Wall], raised: &[Raised]) -> Vec<Level> {
    let mut levels: Vec<Level> = Vec::new();
    let mut add = |of: LevelOf, at: f64| {
        let is_known = levels.iter().any(|level| level.of == of && (level.at - at).abs() < ONE_LEVEL);
        if !is_known {
            levels.push(Level { of, at });
        }
    };
    if !roof.feet.is_empty() {
        add(LevelOf::Ground, 0.0);
    }
    for edge in roof.edges.iter().filter(|edge| edge.kind == EdgeKind::Eave) {
        add(LevelOf::DripEdge, roof.at(edge.from).z);
    }
    for at in walls.iter().filter_map(|wall| plate(roof, wall)) {
        add(LevelOf::Plate, at);
    }
    if let Some(at) = roof.ridge_height() {
        add(LevelOf::Ridge, at);
    }
    for prism in raised {
        add(LevelOf::Top, prism.top);
    }
    levels.sort_by(|a, b| a.at.total_cmp(&b.at).then(a.of.cmp(&b.of)));
    levels
}

/// The height of a wall's plate; `None` where no slope rises along the wall.
fn plate(roof: &Roof, wall: &Wall) -> Option<f64> {
    let (_, face) = roof.roof_faces().find(|(_, face)| face.is_of(&wall.side))?;
    let [from, to] = wall.ends.each_ref().map(|end| face.plane.height_at(end));
    let (from, to) = (from?, to?);
    ((from - to).abs() <= BESIDE).then(|| f64::midpoint(from, to) - wall.above_plate)
}
