//! Every quantity of a solved roof as an [`Estimate`]: areas and pitches of faces, lengths and slopes of edges, what edges
//! carry of water, and their sums. Worked out once, when the job is solved; whoever tells a number takes it from here.
//!
//! Standard deviations come from [`Spread`]. Where the chi-square test says that the measurements disagree, they are
//! widened once, here, by the square root of chi-square over its degrees of freedom (an estimate of the true unit weight:
//! Mikhail and Gracie, "Analysis and Adjustment of Survey Measurements", 1981, from memory).

use super::spread::Spread;
use crate::base::estimate::{Assumption, Estimate, NINETY_FIVE, Reason, State};
use crate::base::ids::{EdgeId, FaceId};
use crate::roof::analysis::drainage::Drainage;
use crate::roof::analysis::opening::CutOpening;
use crate::roof::{Edge, EdgeKind, Face, FaceKind, Roof};
use crate::survey::report::LARGEST_SD;

/// Quantities of a roof, by face, by edge and in all.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Quantities {
    faces: Vec<FaceQuantities>,
    edges: Vec<EdgeQuantities>,
    totals: Totals,
}

/// Of a face. Areas in square metres, the pitch in radians.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FaceQuantities {
    /// On the slope, openings not taken off.
    pub area: Estimate,
    /// In plan; 0 for a wall.
    pub plan_area: Estimate,
    /// What openings take of it, on the slope.
    pub openings_area: Estimate,
    /// On the slope, openings taken off.
    pub net_area: Estimate,
    /// From level.
    pub pitch: Estimate,
    /// How far its plane may lie off at most, square to itself, metres: half the width of the interval that holds 95 of 100
    /// cases at the corner where it is widest; `None` where not known.
    pub off_95: Option<f64>,
}

/// Of an edge. Lengths in metres, angles in radians, the area in square metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EdgeQuantities {
    /// Along the edge.
    pub length: Estimate,
    /// In plan.
    pub plan_length: Estimate,
    /// From level.
    pub slope: Estimate,
    /// Angle inside the solid between its two roof faces; `None` where it does not part two.
    pub dihedral: Option<Estimate>,
    /// Plan area of the roof whose water runs in or over it.
    pub carries: Estimate,
}

/// Of the whole roof.
#[derive(Clone, Debug, PartialEq)]
pub struct Totals {
    /// Roof faces, walls left out.
    pub faces: usize,
    /// Their area on the slope, openings not taken off, square metres.
    pub area: Estimate,
    /// Their area in plan, square metres.
    pub plan_area: Estimate,
    /// How many pieces of openings are cut from them.
    pub openings: usize,
    /// What openings take, on the slope, square metres.
    pub openings_area: Estimate,
    /// On the slope, openings taken off, square metres.
    pub net_area: Estimate,
    /// Gables, cheeks and other plumb parts above the outline, square metres.
    pub walls_area: Estimate,
    /// Volume of the closed solid from datum to roof, cubic metres.
    pub volume: Estimate,
    /// Highest point above datum, metres.
    pub ridge_height: Estimate,
    /// Edges by kind, those of walls alone left out, in the order of [`EdgeKind`].
    pub by_kind: Vec<KindTotal>,
    /// Roof faces by pitch, flattest first.
    pub by_pitch: Vec<PitchTotal>,
}

/// The edges of one kind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KindTotal {
    /// The kind.
    pub kind: EdgeKind,
    /// How many.
    pub count: usize,
    /// Of all together, metres.
    pub length: Estimate,
}

/// The roof faces of one pitch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PitchTotal {
    /// From level, radians.
    pub pitch: Estimate,
    /// Of all together, square metres.
    pub area: Estimate,
}

impl Default for Totals {
    fn default() -> Self {
        let none = Estimate::not_determined(Reason::Absent);
        Self {
            faces: 0,
            area: none,
            plan_area: none,
            openings: 0,
            openings_area: none,
            net_area: none,
            walls_area: none,
            volume: none,
            ridge_height: none,
            by_kind: Vec::new(),
            by_pitch: Vec::new(),
        }
    }
}

impl Totals {
    /// The edges of a kind; none of it have no length.
    #[must_use]
    pub fn of_kind(&self, kind: EdgeKind) -> KindTotal {
        let none = KindTotal { kind, count: 0, length: Estimate::exact(0.0) };
        self.by_kind.iter().find(|total| total.kind == kind).copied().unwrap_or(none)
    }
}

/// What quantities are made from.
pub(super) struct Sources<'a> {
    pub roof: &'a Roof,
    pub openings: &'a [CutOpening],
    pub drainage: &'a Drainage,
    pub spread: &'a Spread,
    /// What standard deviations are multiplied by, 1 where the measurements agree.
    pub widening: f64,
    /// Whether a face that was stated is not located, so that no total holds all of the roof.
    pub part_missing: bool,
}

impl Quantities {
    /// Of every face.
    #[must_use]
    pub fn faces(&self) -> &[FaceQuantities] {
        &self.faces
    }

    /// Of every edge.
    #[must_use]
    pub fn edges(&self) -> &[EdgeQuantities] {
        &self.edges
    }

    /// Of the whole roof.
    #[must_use]
    pub fn totals(&self) -> &Totals {
        &self.totals
    }

    /// The quantities of a roof. O(corners).
    pub(super) fn of(sources: &Sources<'_>) -> Self {
        let roof = sources.roof;
        let faces: Vec<FaceQuantities> =
            roof.faces.iter().enumerate().map(|(at, face)| sources.face(FaceId::new(at), face)).collect();
        // What an edge carries may come from anywhere.
        let carried = faces.iter().all(|face| is_given(&face.area)) && !sources.part_missing;
        let edge = |(at, edge): (usize, &Edge)| sources.edge(EdgeId::new(at), edge, &faces, carried);
        let edges: Vec<EdgeQuantities> = roof.edges.iter().enumerate().map(edge).collect();
        let totals = sources.totals(&faces, &edges);
        Self { faces, edges, totals }
    }
}

/// Whether an estimate stands for a number.
fn is_given(estimate: &Estimate) -> bool {
    estimate.value().is_some()
}

/// A number as it is where what it rests on is given.
fn resting(given: bool, estimate: Estimate) -> Estimate {
    if given { estimate } else { Estimate::not_determined(Reason::PartNotDetermined) }
}

impl Sources<'_> {
    /// A number with the standard deviation found for it, widened.
    fn with_sd(&self, value: f64, sd: Option<f64>) -> Estimate {
        sd.map_or_else(
            || Estimate::taken(value, Assumption::SpreadNotComputed),
            |sd| Estimate::measured(value, sd * self.widening),
        )
    }

    /// The same, not answered where its standard deviation is more than [`LARGEST_SD`] of `whole`.
    fn within(&self, value: f64, sd: Option<f64>, whole: f64) -> Estimate {
        let sd = sd.map(|sd| sd * self.widening);
        match sd.filter(|sd| *sd > LARGEST_SD * whole) {
            Some(sd) => Estimate::not_determined(Reason::TooUncertain { value, sd }),
            None => self.with_sd(value, sd.map(|sd| sd / self.widening)),
        }
    }

    fn face(&self, id: FaceId, face: &Face) -> FaceQuantities {
        let (roof, spread) = (self.roof, self.spread);
        let area = roof.area(face).0;
        let area_sd = spread.area_of(id);
        let area = self.within(area, area_sd, area);
        let given = is_given(&area);
        let plan_area = if face.kind == FaceKind::Roof {
            self.with_sd(roof.plan_area(face).0, at(&spread.face_plan_area, id.index()))
        } else {
            Estimate::exact(0.0)
        };
        let cut = self.openings.iter().filter(|opening| opening.face == id);
        // Adding to a positive zero: the sum of nothing would be a negative one.
        let openings_area = cut.map(|opening| opening.area).fold(0.0, std::ops::Add::add);
        let net = roof.area(face).0 - openings_area;
        FaceQuantities {
            area,
            plan_area: resting(given, plan_area),
            openings_area: Estimate::exact(openings_area),
            net_area: resting(given, self.with_sd(net, area_sd)),
            off_95: spread.plane_of(id).map(|plane| {
                let widest = roof.ring(face).iter().map(|place| plane.at(place)).fold(0.0, f64::max);
                NINETY_FIVE * widest * self.widening
            }),
            // An angle has no size of its own: it is held against one radian.
            pitch: resting(given, self.within(face.plane.pitch(), at(&spread.face_pitch, id.index()), 1.0)),
        }
    }

    fn edge(&self, id: EdgeId, edge: &Edge, faces: &[FaceQuantities], carried: bool) -> EdgeQuantities {
        let (roof, spread) = (self.roof, self.spread);
        let length = roof.length(edge).0;
        let length = self.within(length, spread.length_of(id), length);
        let given = is_given(&length);
        let pitched = edge.faces.iter().all(|face| is_given(&faces[face.index()].pitch));
        let unsure = |value: f64| Estimate::taken(value, Assumption::SpreadNotComputed);
        EdgeQuantities {
            length,
            plan_length: resting(
                given,
                self.with_sd(roof.plan_length(edge).0, at(&spread.edge_plan_length, id.index())),
            ),
            slope: resting(given, self.within(roof.slope(edge), at(&spread.edge_slope, id.index()), 1.0)),
            dihedral: edge.dihedral.map(|dihedral| resting(pitched, unsure(dihedral))),
            carries: resting(carried, unsure(self.drainage.carried_by(id).0)),
        }
    }

    fn totals(&self, faces: &[FaceQuantities], edges: &[EdgeQuantities]) -> Totals {
        let (roof, spread) = (self.roof, self.spread);
        let not_located = || Estimate::not_determined(Reason::NotLocated);
        if roof.faces.is_empty() {
            let missing = Totals {
                area: not_located(),
                plan_area: not_located(),
                net_area: not_located(),
                ridge_height: not_located(),
                ..Totals::default()
            };
            return if self.part_missing { missing } else { Totals::default() };
        }
        let of_kind = |kind: FaceKind| roof.faces.iter().zip(faces).filter(move |(face, _)| face.kind == kind);
        let all_given = of_kind(FaceKind::Roof).all(|(_, face)| is_given(&face.area)) && !self.part_missing;
        let total = |estimate: Estimate| resting(all_given, estimate);
        let area = roof.total_area().0;
        let plan_area = roof.total_plan_area().0;
        let openings_area = sum(self.openings.iter().map(|opening| opening.area));
        let walls = roof.walls_area().0;
        let walls_given = of_kind(FaceKind::Wall).all(|(_, face)| is_given(&face.area)) && !self.part_missing;
        let absent = || Estimate::not_determined(Reason::Absent);
        let kinds = roof.edges_by_kind().into_iter().enumerate();
        Totals {
            faces: of_kind(FaceKind::Roof).count(),
            area: total(self.within(area, spread.total_area, area)),
            plan_area: total(self.with_sd(plan_area, spread.total_plan_area)),
            openings: self.openings.len(),
            openings_area: Estimate::exact(openings_area),
            net_area: total(self.within(area - openings_area, spread.total_area, area)),
            walls_area: resting(walls_given, self.with_sd(walls, spread.walls_area)),
            volume: roof.volume.map_or_else(absent, |volume| total(self.within(volume, spread.volume, volume))),
            ridge_height: roof
                .ridge_height()
                .map_or_else(absent, |height| total(self.with_sd(height, spread.ridge_height))),
            by_kind: kinds
                .map(|(index, (kind, members))| {
                    let length = roof.length_of(&members).0;
                    let given = members.iter().all(|edge| is_given(&edges[edge.index()].length));
                    let length =
                        resting(given && !self.part_missing, self.with_sd(length, at(&spread.kind_length, index)));
                    KindTotal { kind, count: members.len(), length }
                })
                .collect(),
            by_pitch: roof
                .faces_by_pitch()
                .into_iter()
                .enumerate()
                .map(|(index, members)| {
                    let area = roof.area_of(&members).0;
                    let given = members.iter().all(|face| is_given(&faces[face.index()].area));
                    PitchTotal {
                        pitch: faces[members[0].index()].pitch,
                        area: resting(given && !self.part_missing, self.with_sd(area, at(&spread.pitch_area, index))),
                    }
                })
                .collect(),
        }
    }
}

/// A sum that is never a negative zero.
fn sum(values: impl Iterator<Item = f64>) -> f64 {
    values.fold(0.0, std::ops::Add::add)
}

fn at(sds: &[Option<f64>], index: usize) -> Option<f64> {
    sds.get(index).copied().flatten()
}

/// Whether everything that is cut or laid by a face is answered.
pub(super) fn is_determined(face: &FaceQuantities) -> bool {
    !matches!(face.area.state(), State::NotDetermined(_)) && !matches!(face.pitch.state(), State::NotDetermined(_))
}
