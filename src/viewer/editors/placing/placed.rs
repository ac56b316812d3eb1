//! Parts that the file has: where they stand, and what the file says when they are moved or one of their dimensions is
//! typed.

use super::entry;
use super::part::Part;
use super::spot::{self, Ground, Measure, Spot, Surface};
use crate::base::file_tree::{Edit, FileTable, Kind, Step};
use crate::base::quantity;
use crate::base::units::LengthUnit;
use crate::outline::block::Placement;
use crate::roof::analysis::opening::OpeningShape;
use crate::viewer::editors::views::plan::write::Bare;
use crate::viewer::render::shown::Shown;
use nalgebra::Point2;

/// What differs by less stays as it is written, metres.
const SAME: f64 = 0.0004;

/// A part of the file that can be moved and dimensioned on the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Placed {
    /// A block on a side, by its number.
    Block(usize),
    /// A dormer, by its number.
    Dormer(usize),
    /// An opening in a face, by its number.
    Opening(usize),
    /// An opening given from above, by its number.
    Prism(usize),
}

/// A part of the file, where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Movable {
    /// Which.
    pub of: Placed,
    /// What it is called.
    pub name: String,
    /// Where it stands.
    pub spot: Spot,
    /// What the file says of it that moves with it: how far along its side a block begins, the outline of an opening given
    /// from above.
    pub stated: Stated,
}

/// What a part's place is written as, beside its face's own frame; metres.
#[derive(Clone, Debug, PartialEq)]
pub enum Stated {
    /// As its spot says.
    InFace,
    /// So far along its side.
    Offset(f64),
    /// By its corners on the site.
    Plan(Vec<Point2<f64>>),
}

/// The parts of a file that stand where the answer has them; while the file has errors those that no longer fit it are left
/// out. O(parts × sides).
#[must_use]
pub fn all(file: &FileTable, shown: &Shown) -> Vec<Movable> {
    let (job, answer) = (&shown.answered.job, &shown.answered.answer);
    let mut found = Vec::new();
    if file.list("block").len() == job.blocks.len() {
        found.extend(blocks(shown));
    }
    let roof = &answer.roof;
    let surface = |name: &str, is_walked| Surface::of(roof, roof.face_named(name)?, is_walked);
    if file.list("dormer").len() == job.dormers.len() {
        for (number, (dormer, written)) in job.dormers.iter().zip(file.list("dormer")).enumerate() {
            let Some(surface) = surface(&written.field("face").text, true) else { continue };
            let at = [dormer.at[0], dormer.at[1] / surface.level().max(0.1)];
            let size = entry::takes(Part::Dormer, [dormer.width, dormer.front_height], &surface);
            let spot = Spot { ground: Ground::Face(surface), at, size };
            found.push(Movable {
                of: Placed::Dormer(number),
                name: format!("dormer {}", dormer.name),
                spot,
                stated: Stated::InFace,
            });
        }
    }
    if file.list("opening").len() == job.openings.len() {
        for (number, opening) in job.openings.iter().enumerate() {
            let name = format!("{} {}", opening.kind, number + 1);
            match &opening.shape {
                OpeningShape::InFace { face, at, size } => {
                    let Some(surface) = surface(face, false) else { continue };
                    let spot = Spot { ground: Ground::Face(surface), at: *at, size: *size };
                    found.push(Movable { of: Placed::Opening(number), name, spot, stated: Stated::InFace });
                }
                OpeningShape::Plan(plan) => {
                    let Some(spot) = prism(shown, plan) else { continue };
                    found.push(Movable { of: Placed::Prism(number), name, spot, stated: Stated::Plan(plan.clone()) });
                }
            }
        }
    }
    found
}

fn blocks(shown: &Shown) -> Vec<Movable> {
    let (job, corners) = (&shown.answered.job, &shown.answered.answer.corners);
    let hosts = spot::hosts(job, corners);
    let mut found = Vec::new();
    for (number, block) in job.blocks.iter().enumerate() {
        let Placement::OnSide { side, offset } = block.placement else { continue };
        let name = job.blocks.get(side.block.index()).and_then(|host| {
            let ring = host.rings.get(side.ring as usize)?;
            Some(format!("{}/{}", host.name, ring.sides.get(side.side as usize)?.name))
        });
        let Some(host) = hosts.iter().find(|host| Some(&host.name) == name.as_ref()) else { continue };
        let Some(ring) = corners.get(number).and_then(|rings| rings.first()) else { continue };
        let along = ring.iter().map(|place| host.along().dot(&(place - host.ends[0])));
        let (low, high) = along.fold((f64::MAX, f64::MIN), |(low, high), at| (low.min(at), high.max(at)));
        let out = ring.iter().map(|place| host.out.dot(&(place - host.ends[0]))).fold(0.0, f64::max);
        let spot = Spot { ground: Ground::Side(host.clone()), at: [low, 0.0], size: [high - low, out] };
        found.push(Movable {
            of: Placed::Block(number),
            name: format!("block {}", block.name),
            spot,
            stated: Stated::Offset(offset),
        });
    }
    found
}

/// Where an opening given from above stands in the face under its middle.
fn prism(shown: &Shown, plan: &[Point2<f64>]) -> Option<Spot> {
    let middle = plan.iter().fold(Point2::origin(), |sum, place| sum + place.coords / plan.len() as f64);
    let roof = &shown.answered.answer.roof;
    let around = |reach: f64| {
        [[0.0, 0.0], [1.0, 0.0], [-1.0, 0.0], [0.0, 1.0], [0.0, -1.0]]
            .map(|[x, y]| middle + nalgebra::Vector2::new(x, y) * reach)
    };
    // What is cut out there is no face any longer; beside it there is one.
    let size = plan.iter().map(|place| (place - middle).norm()).fold(0.0, f64::max);
    let (face, _) = around(size * 1.2).iter().find_map(|place| spot::face_over(roof, place))?;
    let surface = Surface::of(roof, face, false)?;
    let plane = &roof.faces[face.index()].plane;
    let on = |place: &Point2<f64>| {
        let height = plane.height_at(place)?;
        Some(surface.frame.to_face(&nalgebra::Point3::new(place.x, place.y, height)))
    };
    let places: Vec<Point2<f64>> = plan.iter().filter_map(on).collect();
    let low = |axis: usize| places.iter().map(|place| place[axis]).fold(f64::MAX, f64::min);
    let high = |axis: usize| places.iter().map(|place| place[axis]).fold(f64::MIN, f64::max);
    let (at, to) = ([low(0), low(1)], [high(0), high(1)]);
    Some(Spot { ground: Ground::Face(surface), at, size: [to[0] - at[0], to[1] - at[1]] })
}

/// Whether a dimension of a part can be typed.
#[must_use]
pub fn is_typed(of: Placed, measure: Measure) -> bool {
    !matches!((of, measure), (Placed::Prism(_), Measure::Width))
}

/// The part when a dimension of it has a length.
#[must_use]
pub fn with(movable: &Movable, measure: Measure, metres: f64) -> Spot {
    let mut spot = movable.spot.clone();
    let length = match &spot.ground {
        Ground::Side(host) => host.length(),
        Ground::Face(surface) => surface.extent()[0],
    };
    match (measure, &spot.ground) {
        (Measure::Before, _) => spot.at[0] = metres,
        (Measure::After, _) => spot.at[0] = length - spot.size[0] - metres,
        (Measure::Width, _) => spot.size[0] = metres,
        (Measure::Reach, Ground::Side(_)) => spot.size[1] = metres,
        (Measure::Reach, Ground::Face(_)) => spot.at[1] = metres,
    }
    spot
}

/// A length as it is typed into a dimension; a comma is a decimal point.
#[must_use]
pub fn read(text: &str, bare: Bare) -> Option<f64> {
    let unit = match bare {
        Bare::Metre | Bare::Stated => LengthUnit::Metre,
        Bare::Centimetre => LengthUnit::Centimetre,
        Bare::Millimetre => LengthUnit::Millimetre,
        Bare::Imperial => LengthUnit::Foot,
    };
    quantity::length(text.trim().replace(',', ".").as_str(), Some(unit)).ok().filter(|metres| metres.is_finite())
}

/// What the file says when a part stands elsewhere or has another size; what does not change is left as it is written.
#[must_use]
pub fn edits(file: &FileTable, movable: &Movable, to: &Spot, bare: Bare) -> Vec<Edit> {
    let from = &movable.spot;
    let set = |way: Vec<Step>, value: String, kind| Edit::Set { at: way, value: Some(value), kind };
    let pair = |[x, y]: [f64; 2]| format!("{}, {}", bare.typed(x), bare.typed(y));
    let is_moved = |axis: usize| (to.at[axis] - from.at[axis]).abs() > SAME;
    let is_sized = |axis: usize| (to.size[axis] - from.size[axis]).abs() > SAME;
    let mut edits = Vec::new();
    match movable.of {
        Placed::Block(number) => {
            let way = |steps: &[Step]| [&["block".into(), number.into()], steps].concat();
            if let (true, Stated::Offset(offset)) = (is_moved(0), &movable.stated) {
                let offset = offset + to.at[0] - from.at[0];
                edits.push(set(way(&["offset".into()]), bare.typed(offset), Kind::Measure));
            }
            let sides = file.list("block").get(number).map_or(&[][..], |block| block.list("sides"));
            for (side, written) in sides.iter().enumerate().filter(|(side, _)| sides.len() == 4 && is_sized(side % 2)) {
                // One that is left open is found from the others.
                if written.value("length").is_some_and(|length| length.text != "?") {
                    let way = way(&["sides".into(), side.into(), "length".into()]);
                    edits.push(set(way, bare.typed(to.size[side % 2]), Kind::Measure));
                }
            }
        }
        Placed::Dormer(number) => {
            let way = |key: &str| vec!["dormer".into(), number.into(), key.into()];
            let level = match &from.ground {
                Ground::Face(surface) => surface.level(),
                Ground::Side(_) => 1.0,
            };
            if is_moved(0) || is_moved(1) {
                edits.push(set(way("at"), pair([to.at[0], to.at[1] * level]), Kind::Measures));
            }
            if is_sized(0) {
                edits.push(set(way("width"), bare.typed(to.size[0]), Kind::Measure));
            }
        }
        Placed::Opening(number) => {
            let way = |key: &str| vec!["opening".into(), number.into(), key.into()];
            if is_moved(0) || is_moved(1) {
                edits.push(set(way("at"), pair(to.at), Kind::Measures));
            }
            if is_sized(0) || is_sized(1) {
                edits.push(set(way("size"), pair(to.size), Kind::Measures));
            }
        }
        Placed::Prism(number) => {
            let Stated::Plan(plan) = &movable.stated else { return edits };
            let by = (to.corners()[0] - from.corners()[0]).xy();
            let moved: Vec<String> =
                plan.iter().map(|place| format!("[{}]", pair([place.x + by.x, place.y + by.y]))).collect();
            edits.push(set(vec!["opening".into(), number.into(), "plan".into()], moved.join(", "), Kind::Measures));
        }
    }
    edits
}
