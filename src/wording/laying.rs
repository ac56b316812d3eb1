//! Words for how a roof is laid: directions and the reasons for them.

use crate::takeoff::caps::{CapsRun, CapsStart};
use crate::takeoff::card::Direction;
use crate::takeoff::felt::Layer;
use crate::takeoff::pieces::PiecePlan;
use crate::wording::units::{Format, compass};

/// Why caps run the way they do.
#[must_use]
pub fn caps_run(why: CapsRun) -> &'static str {
    match why {
        CapsRun::UpTheHip => "from the eave up; the first cap doubled",
        CapsRun::FromEitherEnd => "from either end",
        CapsRun::TowardsWall => "towards the wall",
        CapsRun::AwayFromWind => "from the end away from the wind",
    }
}

/// Where a line of caps begins: `at the eave`, `at the south-west end`.
#[must_use]
pub fn caps_start(start: CapsStart) -> String {
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

/// The pieces of one strip of felt with the rolls they come from: `roll 1: 5.02 m, roll 2: 1.48 m`.
#[must_use]
pub fn strip(plan: &PiecePlan, row: usize, format: Format) -> String {
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
pub fn strip_width(plan: &PiecePlan, row: usize) -> f64 {
    plan.pieces.iter().find(|piece| piece.row == row).map_or(0.0, |piece| match plan.direction {
        Direction::Across => piece.v[1] - piece.v[0],
        Direction::Up => piece.u[1] - piece.u[0],
    })
}
