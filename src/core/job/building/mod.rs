//! The building under its roof as it is drawn: walls where they stand, heights by name, how deep the roof's edges are, what
//! stands out of the roof.
//!
//! | file | what |
//! |---|---|
//! | `model` | the building as data |
//! | `walls` | walls with their plates where the outline was measured there; what dormers stand in |
//! | `detail` | details of eaves, verges, ridges and valleys |
//! | `levels` | heights by name |
//! | `raised` | chimneys and the like, as far up as the file says |
//! | `solid` | the solid that is drawn, and what stands out of the roof as solids of their own |

mod detail;
mod levels;
mod model;
mod raised;
mod solid;
mod walls;

pub use model::{Building, Detail, Layer, LayerOf, Level, LevelOf, Measure, Overhang, Raised};
pub use solid::{raised_solids, solid, with_raised};
pub(super) use walls::{hosts, walls_of};

use super::model::Job;
use crate::framing::Framing;
use crate::framing::timber::Wall;
use crate::roof::Roof;

/// The building of a job under its roof. O(walls · corners + openings · corners).
#[must_use]
pub(super) fn building(job: &Job, roof: &Roof, framing: &Framing, walls: Vec<Wall>) -> Building {
    let raised = raised::raised(roof, &job.openings);
    let overhangs = walls::overhangs(roof, &walls);
    Building {
        details: detail::details(job, roof, framing, &overhangs),
        overhangs,
        levels: levels::levels(roof, &walls, &raised),
        edge_depth: solid::edge_depth(job),
        raised,
        walls,
    }
}
