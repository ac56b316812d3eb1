//! The building under its roof as JSON: the `building` key of `solve --json`. Lengths metres, heights above datum.

use crate::framing::timber::Wall;
use crate::job::building::{Building, Detail, Layer, Level, Measure, Overhang, Raised};
use serde::Serialize;

/// Twin of [`Building`].
#[derive(Serialize)]
pub struct BuildingTwin {
    walls: Vec<WallTwin>,
    overhangs: Vec<OverhangTwin>,
    heights: Vec<HeightTwin>,
    /// Plumb, from the roof's surface at its edges down; `null` where nothing that closes them is stated.
    edge_depth: Option<f64>,
    raised: Vec<RaisedTwin>,
    details: Vec<DetailTwin>,
}

/// A wall in plan, where it was measured.
#[derive(Serialize)]
struct WallTwin {
    side: String,
    from: [f64; 2],
    to: [f64; 2],
}

#[derive(Serialize)]
struct OverhangTwin {
    edge: usize,
    /// Level, from the wall's outer face to the drip edge.
    overhang: f64,
}

#[derive(Serialize)]
struct HeightTwin {
    of: &'static str,
    height: f64,
}

/// What stands out of the roof.
#[derive(Serialize)]
struct RaisedTwin {
    kind: String,
    /// Of its top.
    height: f64,
}

/// What an eave, verge, ridge or valley is made of.
#[derive(Serialize)]
struct DetailTwin {
    of: &'static str,
    edges: Vec<usize>,
    /// Of the slopes beside it, the flatter first.
    pitch: Vec<f64>,
    /// From the covering down.
    layers: Vec<LayerTwin>,
    lengths: Vec<LengthTwin>,
}

#[derive(Serialize)]
struct LayerTwin {
    of: &'static str,
    thickness: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    width: Option<f64>,
}

#[derive(Serialize)]
struct LengthTwin {
    of: &'static str,
    length: f64,
}

impl DetailTwin {
    fn of(detail: &Detail) -> Self {
        let layer = |of: &Layer| LayerTwin { of: of.of.word(), thickness: of.thickness, width: of.width };
        let told = detail.lengths.iter().filter(|(measure, _)| *measure != Measure::ReachAcross);
        Self {
            of: detail.of.word(),
            edges: detail.edges.iter().map(|edge| edge.index()).collect(),
            pitch: detail.pitches.iter().map(|pitch| pitch.to_degrees()).collect(),
            layers: detail.layers.iter().map(layer).collect(),
            lengths: told.map(|(of, length)| LengthTwin { of: of.word(), length: *length }).collect(),
        }
    }
}

impl BuildingTwin {
    /// The twin of a building.
    #[must_use]
    pub fn of(building: &Building) -> Self {
        let wall = |wall: &Wall| {
            let [from, to] = wall.ends.map(|end| [end.x, end.y]);
            WallTwin { side: wall.side.to_string(), from, to }
        };
        let overhang = |of: &Overhang| OverhangTwin { edge: of.edge.index(), overhang: of.reach };
        let raised = |of: &Raised| RaisedTwin { kind: of.kind.clone(), height: of.top };
        Self {
            walls: building.walls.iter().map(wall).collect(),
            overhangs: building.overhangs.iter().map(overhang).collect(),
            heights: building.levels.iter().map(|of: &Level| HeightTwin { of: of.of.word(), height: of.at }).collect(),
            edge_depth: (building.edge_depth > 0.0).then_some(building.edge_depth),
            raised: building.raised.iter().map(raised).collect(),
            details: building.details.iter().map(DetailTwin::of).collect(),
        }
    }
}
