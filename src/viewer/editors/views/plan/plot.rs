//! Blocks as written, where their corners are, and what a handle that is moved makes of them.

use super::frame::Frame;
use super::moved;
use super::write::{self, Bare, Change, Ground};
use crate::base::file_tree::{Edit, FileTable, Kind};
use crate::job::Job;
use crate::outline::block::Placement;
use crate::viewer::editors::rows;
use crate::viewer::editors::rows::BlockRow;
use crate::viewer::render::shown::Shown;
use nalgebra::{Point2, Vector2};

/// What is held.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Handle {
    /// A corner: block, ring, which.
    Corner(usize, usize, usize),
    /// A side, by the corner it starts from.
    Side(usize, usize, usize),
    /// A point of the file with all its coordinates, by name.
    Point(String),
}

/// A drag under way: all as it was when it began.
#[derive(Clone, Debug)]
pub struct Drag {
    pub(super) handle: Handle,
    pub(super) text: String,
    pub(super) ground: Plot,
    pub(super) from: Point2<f64>,
    /// The plan stands still meanwhile.
    pub frame: Frame,
}

/// Blocks as written and where their corners are.
#[derive(Clone, Debug)]
pub(super) struct Plot {
    pub(super) blocks: Vec<BlockRow>,
    pub(super) grounds: Vec<Vec<Ground>>,
    pub(super) corners: Vec<Vec<Vec<Point2<f64>>>>,
    pub(super) points: Vec<(String, Point2<f64>, String)>,
    pub(super) bare: Bare,
}

impl Plot {
    pub(super) fn new(file: &FileTable, shown: &Shown) -> Self {
        let blocks = rows::blocks(file);
        let corners = &shown.answered.answer.corners;
        // While the file has errors the answer is an older one: only blocks that still fit it can be moved.
        let fits = |(block, rings): (&BlockRow, &Vec<Vec<Point2<f64>>>)| {
            let same = block.rings.iter().zip(rings).all(|(row, ring)| row.sides.len() == ring.len() && ring.len() > 2);
            same && block.rings.len() == rings.len()
        };
        let fit = blocks.len() == corners.len() && blocks.iter().zip(corners).all(fits);
        let corners = if fit { corners.clone() } else { Vec::new() };
        let grounds = (0..corners.len()).map(|block| grounds(&shown.answered.job, block, &corners));
        Self {
            grounds: grounds.collect(),
            points: points(file, shown),
            bare: Bare::of(file),
            blocks: if fit { blocks } else { Vec::new() },
            corners,
        }
    }

    /// The ring after a handle was moved by so much; `None` for a point.
    pub(super) fn moved(&self, handle: &Handle, by: Vector2<f64>, tidy: bool) -> Option<Vec<Point2<f64>>> {
        let step = self.bare.step();
        match *handle {
            Handle::Corner(block, ring, index) => {
                let corners = &self.corners[block][ring];
                let mut to = corners[index] + by;
                if tidy {
                    let first = corners[1] - corners[0];
                    to = moved::tidied(corners, index, to, first.y.atan2(first.x), step);
                }
                Some(moved::corner(corners, index, to))
            }
            Handle::Side(block, ring, index) => {
                let corners = &self.corners[block][ring];
                let along = corners[(index + 1) % corners.len()] - corners[index];
                let mut sideways = along.normalize().perp(&by);
                if tidy {
                    sideways = moved::tidy_by(corners, index, sideways, step);
                }
                Some(moved::side(corners, index, sideways))
            }
            Handle::Point(_) => None,
        }
    }

    /// What the file says then.
    pub(super) fn edits(&self, handle: &Handle, by: Vector2<f64>, tidy: bool) -> Result<Vec<Edit>, String> {
        match handle {
            Handle::Corner(block, ring, _) | Handle::Side(block, ring, _) => {
                let after = self.moved(handle, by, tidy).unwrap_or_default();
                let change = Change {
                    block: &self.blocks[*block],
                    ring: *ring,
                    grounds: &self.grounds[*block],
                    before: &self.corners[*block],
                    after: &after,
                };
                write::edits(&change, self.bare)
            }
            Handle::Point(name) => {
                let Some((_, place, height)) = self.points.iter().find(|(known, ..)| known == name) else {
                    return Ok(Vec::new());
                };
                let mut to = place + by;
                if tidy {
                    to = to.map(|side| (side / self.bare.step()).round() * self.bare.step());
                }
                let text = format!("{}, {}, {height}", self.bare.typed(to.x), self.bare.typed(to.y));
                let at = vec!["points".into(), name.as_str().into()];
                Ok(vec![Edit::Set { at, value: Some(text), kind: Kind::Measures }])
            }
        }
    }

    pub(super) fn name(&self, handle: &Handle) -> String {
        let of = |block: usize, ring: usize, index: usize| {
            let sides = &self.blocks[block].rings[ring].sides;
            let courtyard = if ring > 0 { format!(", courtyard {ring}") } else { String::new() };
            format!("{} of {}{courtyard}", sides[index].name, self.blocks[block].name)
        };
        match handle {
            Handle::Corner(block, ring, index) => format!("corner {}", of(*block, *ring, *index)),
            Handle::Side(block, ring, index) => format!("plan side {}", of(*block, *ring, *index)),
            Handle::Point(name) => format!("plan point {name}"),
        }
    }
}

/// Where a block's numbers count from, then each of its courtyards' within it.
fn grounds(job: &Job, block: usize, corners: &[Vec<Vec<Point2<f64>>>]) -> Vec<Ground> {
    let ring = &corners[block][0];
    let along = |from: Point2<f64>, to: Point2<f64>| (to - from).y.atan2((to - from).x);
    let from_corners = Ground { start: ring[0], heading: along(ring[0], ring[1]) };
    let Some(stated) = job.blocks.get(block) else { return vec![from_corners; corners[block].len()] };
    let frame = match stated.placement {
        Placement::At { start, heading } => Ground { start, heading },
        Placement::OnSide { side, offset } => {
            let host = corners.get(side.block.index()).and_then(|rings| rings.get(side.ring as usize));
            host.filter(|host| !host.is_empty()).map_or(from_corners, |host| {
                let (from, to) = (host[side.side as usize % host.len()], host[(side.side as usize + 1) % host.len()]);
                Ground { start: from + (to - from).normalize() * offset, heading: along(from, to) }
            })
        }
    };
    let holes = stated.rings.iter().skip(1).map(|hole| Ground { start: hole.start, heading: hole.heading });
    std::iter::once(frame).chain(holes).collect()
}

/// Points of the file with all three coordinates: name, place, height as written.
fn points(file: &FileTable, shown: &Shown) -> Vec<(String, Point2<f64>, String)> {
    use crate::survey::model::Known;
    let stated = &shown.answered.job.survey.points;
    let of = |point: &crate::survey::model::Point| {
        let Known::At(place) = point.known else { return None };
        let written = file.table("points")?.value(&point.name)?;
        let height = written.text.split(',').nth(2)?.trim().to_owned();
        Some((point.name.clone(), Point2::new(place.x, place.y), height))
    };
    stated.iter().filter_map(of).collect()
}
