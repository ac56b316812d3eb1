//! What can be lifted of a face: its eave, its pitch, its ridge; and what the file says then.

use crate::base::file_tree::{Edit, FileTable, Kind, under};
use crate::base::ids::FaceId;
use crate::outline::Role;
use crate::outline::block::{BlockRole, OutlineDatum};
use crate::roof::model::frame::FaceFrame;
use crate::roof::{EdgeKind, Face, Roof};
use crate::viewer::editors::rows::{self, BlockRow, SideRow};
use crate::viewer::editors::views::plan::write::Bare;
use crate::viewer::render::shown::Shown;
use nalgebra::{Point2, Point3};

/// What a handle lifts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Lifts {
    /// The height of an outline.
    Eave,
    /// A slope about its eave.
    Pitch,
    /// A ridge: both slopes about their eaves.
    Ridge,
}

/// A slope by its side in the file, and the level line it turns about.
#[derive(Clone, Debug, PartialEq)]
pub struct Slope {
    /// The block, and its ring and side.
    pub at: [usize; 3],
    /// Its name, `store/A`.
    pub name: String,
    /// Height of the line, metres above datum.
    pub height: f64,
    /// As the file states the side's height.
    pub stated: f64,
    /// Ends of the line.
    pub line: [Point2<f64>; 2],
}

impl Slope {
    /// The slope over a side of the file that has one pitch and no breaks.
    fn of(shown: &Shown, face: &Face) -> Option<Self> {
        let side = face.side()?;
        let (job, corners) = (&shown.answered.job, &shown.answered.answer.corners);
        let block = job.blocks.iter().position(|block| block.name == *side.block)?;
        for (ring, stated) in job.blocks[block].rings.iter().enumerate() {
            let Some(index) = stated.sides.iter().position(|of| of.name == *side.side) else { continue };
            let of = &stated.sides[index];
            let BlockRole::Known(Role::Eave { breaks, .. }) = &of.role else { return None };
            let places = corners.get(block)?.get(ring)?;
            if !breaks.is_empty() || places.len() != stated.sides.len() {
                return None;
            }
            let above = match &job.blocks[block].datum {
                OutlineDatum::Wall { above_plate, .. } => *above_plate,
                OutlineDatum::Eaves { .. } => 0.0,
            };
            return Some(Self {
                at: [block, ring, index],
                name: face.name(),
                height: of.height + above,
                stated: of.height,
                line: [places[index], places[(index + 1) % places.len()]],
            });
        }
        None
    }

    /// Level distance of a place from the line.
    fn run(&self, place: &Point3<f64>) -> f64 {
        let along = (self.line[1] - self.line[0]).normalize();
        along.perp(&(place.xy() - self.line[0])).abs()
    }

    /// The pitch at which the slope goes through a place, degrees; `None` where that is none.
    fn pitch_to(&self, place: &Point3<f64>) -> Option<f64> {
        let run = self.run(place);
        let degrees = (place.z - self.height).atan2(run).to_degrees();
        (run > NEAR && (LEAST..=MOST).contains(&degrees)).then_some(degrees)
    }
}

/// A place nearer to the line than this turns nothing, metres.
const NEAR: f64 = 0.05;

/// Pitches that a hand can set, degrees.
const LEAST: f64 = 2.0;
const MOST: f64 = 80.0;

/// Something to take hold of.
#[derive(Clone, Debug, PartialEq)]
pub struct Handle {
    /// What it lifts.
    pub lifts: Lifts,
    /// Where it is on the site.
    pub at: Point3<f64>,
    /// The slope, or both beside a ridge.
    pub slopes: Vec<Slope>,
}

impl Handle {
    /// What it is called.
    #[must_use]
    pub fn name(&self) -> String {
        let of = self.slopes.first().map_or("", |slope| slope.name.as_str());
        match self.lifts {
            Lifts::Eave => format!("eave height of {of}"),
            Lifts::Pitch => format!("pitch of {of}, by hand"),
            Lifts::Ridge => format!("ridge height of {of}"),
        }
    }

    /// The file's changes when the handle is lifted by so much, and the number it is at then: metres above datum, or degrees.
    /// Numbers are whole steps; `None` where the roof can't be so.
    #[must_use]
    pub fn lifted(&self, file: &FileTable, by: f64, step: Step) -> Option<(Vec<Edit>, f64)> {
        let blocks = rows::blocks(file);
        let row = |slope: &Slope| -> Option<(&BlockRow, &SideRow)> {
            let block = blocks.get(slope.at[0])?;
            Some((block, block.rings.get(slope.at[1])?.sides.get(slope.at[2])?))
        };
        let pitch = |slope: &Slope, degrees: f64| {
            let (_, side) = row(slope)?;
            let value = Some(decimals(degrees, 2));
            Some(Edit::Set { at: under(&side.at, ["pitch".into()]), value, kind: Kind::Measure })
        };
        let to = Point3::new(self.at.x, self.at.y, self.at.z + by);
        match self.lifts {
            Lifts::Eave => {
                let (block, side) = row(self.slopes.first()?)?;
                // A side with a height of its own is lifted alone.
                let owner = if side.written.value("height").is_some() { &side.at } else { &block.at };
                let height = rounded(to.z, step.metres);
                let by = height - self.at.z;
                let stated = self.slopes.first()?.stated + by;
                let value = Some(step.bare.typed(stated));
                (stated > 0.0).then(|| {
                    (vec![Edit::Set { at: under(owner, ["height".into()]), value, kind: Kind::Measure }], height)
                })
            }
            Lifts::Pitch => {
                let slope = self.slopes.first()?;
                let degrees = rounded(slope.pitch_to(&to)?, step.degrees).clamp(LEAST, MOST);
                Some((vec![pitch(slope, degrees)?], degrees))
            }
            Lifts::Ridge => {
                let height = rounded(to.z, step.metres);
                let to = Point3::new(to.x, to.y, height);
                let edits = self.slopes.iter().map(|slope| pitch(slope, slope.pitch_to(&to)?));
                Some((edits.collect::<Option<Vec<Edit>>>()?, height))
            }
        }
    }

    /// The same by whole steps of a key: of height, or of pitch.
    #[must_use]
    pub fn stepped(&self, file: &FileTable, steps: f64, step: Step) -> Option<(Vec<Edit>, f64)> {
        let by = match self.lifts {
            Lifts::Eave | Lifts::Ridge => steps * step.metres,
            Lifts::Pitch => {
                let slope = self.slopes.first()?;
                let now = slope.pitch_to(&self.at)?;
                let run = slope.run(&self.at);
                slope.height + run * (now + steps * step.degrees).to_radians().tan() - self.at.z
            }
        };
        self.lifted(file, by, step)
    }
}

/// By what a hand moves things.
#[derive(Clone, Copy, Debug)]
pub struct Step {
    /// Heights.
    pub metres: f64,
    /// Pitches.
    pub degrees: f64,
    /// How the file writes lengths.
    pub bare: Bare,
}

fn rounded(value: f64, step: f64) -> f64 {
    (value / step).round() * step
}

/// With so many decimals, zeros at the end left out.
fn decimals(value: f64, most: usize) -> String {
    let text = format!("{value:.most$}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The handles of a face that rises from a side. O(edges of the face).
#[must_use]
pub fn of(shown: &Shown, face: FaceId) -> Vec<Handle> {
    let roof = &shown.answered.answer.roof;
    let Some(stated) = roof.faces.get(face.index()) else { return Vec::new() };
    let Some(slope) = Slope::of(shown, stated) else { return Vec::new() };
    let Some(frame) = FaceFrame::of(roof, stated) else { return Vec::new() };
    let edges = || stated.edges.iter().map(|id| &roof.edges[id.index()]);
    let middle = |edge: &crate::roof::Edge| nalgebra::center(&roof.at(edge.from), &roof.at(edge.to));
    let longest = |kind: EdgeKind| {
        edges().filter(|edge| edge.kind == kind).max_by(|a, b| roof.length(a).total_cmp(&roof.length(b)))
    };
    let mut found = Vec::new();
    let eave = longest(EdgeKind::Eave).map(middle);
    found.extend(eave.map(|at| Handle { lifts: Lifts::Eave, at, slopes: vec![slope.clone()] }));
    let ridge = longest(EdgeKind::Ridge);
    let top = ridge.map(middle).or_else(|| highest(roof, stated));
    if let (Some(eave), Some(top)) = (eave, top) {
        let (low, high) = (frame.to_face(&eave), frame.to_face(&top));
        let at = frame.to_space(&Point2::new(f64::midpoint(low.x, high.x), low.y + 0.6 * (high.y - low.y)));
        found.push(Handle { lifts: Lifts::Pitch, at, slopes: vec![slope.clone()] });
    }
    if let Some(edge) = ridge {
        let other = edge.faces.iter().find(|other| **other != face);
        let other = other.and_then(|other| Slope::of(shown, &roof.faces[other.index()]));
        if let Some(other) = other {
            found.push(Handle { lifts: Lifts::Ridge, at: middle(edge), slopes: vec![slope, other] });
        }
    }
    found
}

fn highest(roof: &Roof, face: &Face) -> Option<Point3<f64>> {
    roof.ring(face).into_iter().max_by(|a, b| a.z.total_cmp(&b.z))
}
