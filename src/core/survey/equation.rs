//! The observation equations: what each observation would read at a state, and its derivatives.
//!
//! A residual is (computed − observed) / sigma. [`Term::computed`] is the definition, over any [`Scalar`];
//! [`Equation::linearise`] has the derivatives written out. Angles are radians, lengths metres, marks pixels.

use super::edge;
use super::scalar::Scalar;
use super::seen_line::{self, View};
use super::sheet;
use super::slopes::{Slopes, left, level, pitch_slopes, pixel_slopes, turned_slopes};
use super::state::{EdgeDirection, Layout, Moved, State};
use nalgebra::Vector2;
use std::f64::consts::{PI, TAU};

/// What is observed. Numbers are indices into the state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Term {
    /// Distance of two places in space.
    Distance(usize, usize),
    /// Level distance of two places.
    LevelDistance(usize, usize),
    /// Change of direction at the second place on the way over three, in plan, left positive.
    Turn([usize; 3]),
    /// Level distance of the second place, left positive, from the ray that leaves the first in a fixed direction.
    OffRay {
        /// Where the ray starts.
        from: usize,
        /// The place observed.
        to: usize,
        /// Unit vector.
        direction: Vector2<f64>,
    },
    /// Level distance of a place, left positive, from a line through two.
    OffLine {
        /// The place observed.
        place: usize,
        /// The line.
        line: [usize; 2],
    },
    /// The same, less a distance that several places have in common.
    OffLineBy {
        /// The place observed.
        place: usize,
        /// The line.
        line: [usize; 2],
        /// The distance: one of the state's levels, which is that and no height.
        level: usize,
    },
    /// One of the state's levels itself.
    LevelValue(usize),
    /// Level distance of a place along a line through two, from the first.
    AlongLine {
        /// The place observed.
        place: usize,
        /// The line.
        line: [usize; 2],
    },
    /// Level distance of the second place, left positive, from the ray that leaves the first in a direction fixed in the
    /// frame of a line through two.
    OffTurnedLine {
        /// Where the ray starts.
        from: usize,
        /// The place observed.
        to: usize,
        /// The line.
        line: [usize; 2],
        /// Unit vector: along the line, to its left.
        direction: Vector2<f64>,
    },
    /// Height of a place above its level group's own height.
    AboveLevel {
        /// The place observed.
        place: usize,
        /// The group.
        level: usize,
    },
    /// Difference of one coordinate (0 x, 1 y, 2 z): second place minus first.
    Difference {
        /// The places.
        places: [usize; 2],
        /// Which coordinate.
        axis: usize,
    },
    /// Plan angle between the arms from the first place to the second and to the third, 0 ..= π.
    PlanAngle([usize; 3]),
    /// Distance of a place from a plane, upwards positive.
    OffPlane {
        /// The place observed.
        place: usize,
        /// The plane.
        plane: usize,
    },
    /// Pitch of a plane.
    Pitch(usize),
    /// Pitch of the second plane minus the first's.
    PitchDifference([usize; 2]),
    /// Column (axis 0) or row (axis 1) of a place in a photo.
    Mark {
        /// The photo.
        pose: usize,
        /// Its camera.
        lens: usize,
        /// The place observed.
        place: usize,
        /// 0 for u, 1 for v.
        axis: usize,
    },
    /// Distance of an edge through two places, as the lens bends it, from a pixel.
    OnLine {
        /// The photo.
        pose: usize,
        /// Its camera.
        lens: usize,
        /// The places.
        ends: [usize; 2],
        /// The pixel.
        at: [f64; 2],
    },
    /// Distance, in the picture that the lens does not bend, of the second place of a straight edge from the line that leaves
    /// the first along the edge's direction: the edge has no point that is known, only where it runs to.
    Along {
        /// The photo.
        pose: usize,
        /// Its camera.
        lens: usize,
        /// The direction it runs in.
        way: EdgeDirection,
        /// Two places of it, pixels.
        at: [[f64; 2]; 2],
    },
    /// Column (axis 0) or row (axis 1) of a place in a plan.
    OnSheet {
        /// The plan.
        sheet: usize,
        /// The place observed.
        place: usize,
        /// 0 for u, 1 for v.
        axis: usize,
    },
    /// Distance of a pixel of a plan from the line through two places.
    OffSheetLine {
        /// The plan.
        sheet: usize,
        /// The places.
        ends: [usize; 2],
        /// The pixel.
        at: [f64; 2],
    },
    /// Pixels a metre of a plan.
    SheetScale(usize),
    /// A number of a lens itself: ln f, cx, cy, k1, k2.
    LensValue {
        /// The camera.
        lens: usize,
        /// Which number.
        which: usize,
    },
}

/// Which observation of the file an equation stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Source {
    /// Length of a walked side.
    Length {
        /// Index of the ring.
        ring: usize,
        /// Index of the side.
        side: usize,
    },
    /// Turn at the end of a walked side.
    Turn {
        /// Index of the ring.
        ring: usize,
        /// Index of the side.
        side: usize,
    },
    /// An entry of the survey's observations, and which of its parts.
    Observation(usize, usize),
    /// A point of a face by points.
    OnFace {
        /// The face.
        face: usize,
        /// Index of the point in the face.
        point: usize,
    },
    /// A mark: photo, index of the mark.
    Mark(usize, usize),
    /// A place on a line: photo, index of the line, index of the place.
    Line(usize, usize, usize),
    /// A plumb edge: photo, index of the edge.
    PlumbEdge(usize, usize),
    /// What a camera is taken to be before its photos are used.
    Lens(usize, usize),
    /// The stated scale of a plan, by its photo.
    Scale(usize),
    /// Where a ring's first corner stands and heads; pins of a network that hangs nowhere.
    Datum,
}

/// One observation equation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Equation {
    /// What is observed.
    pub term: Term,
    /// The reading.
    pub observed: f64,
    /// Its standard deviation, 0 when exact.
    pub sigma: f64,
    /// Where it comes from.
    pub source: Source,
}

impl Term {
    /// Whether the number is an angle, known up to whole turns.
    fn wraps(&self) -> bool {
        matches!(self, Self::Turn(_))
    }

    /// What the observation would read. NaN where a mark's place lies behind the camera.
    #[must_use]
    pub fn computed<S: Scalar>(&self, at: &Moved<'_, S>) -> S {
        let plan = |a: usize, b: usize| {
            let (a, b) = (at.place(a), at.place(b));
            [b[0] - a[0], b[1] - a[1]]
        };
        let cross = |u: [S; 2], v: [S; 2]| u[0] * v[1] - u[1] * v[0];
        let dot = |u: [S; 2], v: [S; 2]| u[0] * v[0] + u[1] * v[1];
        let pitch = |plane: usize| {
            let (n, _) = at.plane(plane);
            (n[0] * n[0] + n[1] * n[1]).sqrt().atan2(n[2])
        };
        match *self {
            Self::Distance(a, b) => {
                let (a, b) = (at.place(a), at.place(b));
                let d = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
                (d[0] * d[0] + d[1] * d[1] + d[2] * d[2]).sqrt()
            }
            Self::LevelDistance(a, b) => {
                let d = plan(a, b);
                dot(d, d).sqrt()
            }
            Self::Turn([a, b, c]) => {
                let (u, v) = (plan(a, b), plan(b, c));
                cross(u, v).atan2(dot(u, v))
            }
            Self::OffRay { from, to, direction } => {
                cross([S::constant(direction.x), S::constant(direction.y)], plan(from, to))
            }
            Self::OffLine { place, line: [a, b] } => {
                let u = plan(a, b);
                cross(u, plan(a, place)) / dot(u, u).sqrt()
            }
            Self::OffLineBy { place, line, level } => Self::OffLine { place, line }.computed(at) - at.level(level),
            Self::LevelValue(level) => at.level(level),
            Self::AlongLine { place, line: [a, b] } => {
                let u = plan(a, b);
                dot(u, plan(a, place)) / dot(u, u).sqrt()
            }
            Self::OffTurnedLine { from, to, line: [a, b], direction } => {
                let u = plan(a, b);
                let (x, y) = (S::constant(direction.x), S::constant(direction.y));
                cross([x * u[0] - y * u[1], y * u[0] + x * u[1]], plan(from, to)) / dot(u, u).sqrt()
            }
            Self::AboveLevel { place, level } => at.place(place)[2] - at.level(level),
            Self::Difference { places: [a, b], axis } => at.place(b)[axis] - at.place(a)[axis],
            Self::PlanAngle([at, b, c]) => {
                let (u, v) = (plan(at, b), plan(at, c));
                let turn = cross(u, v);
                (if turn.value() < 0.0 { -turn } else { turn }).atan2(dot(u, v))
            }
            Self::OffPlane { place, plane } => {
                let anchor = at.state.planes[plane].anchor;
                let (n, offset) = at.plane(plane);
                let p = at.place(place);
                let d = [0, 1, 2].map(|k| n[k] * (p[k] - S::constant(anchor[k])));
                d[0] + d[1] + d[2] - offset
            }
            Self::Pitch(plane) => pitch(plane),
            Self::PitchDifference([a, b]) => pitch(b) - pitch(a),
            Self::Mark { pose, lens, place, axis } => {
                let (rotation, centre) = at.pose(pose);
                let p = at.place(place);
                let d = [0, 1, 2].map(|k| p[k] - centre[k]);
                let q = rotation.map(|row| row[0] * d[0] + row[1] * d[1] + row[2] * d[2]);
                if q[2].value() <= 0.0 {
                    return S::constant(f64::NAN);
                }
                let (x, y) = (q[0] / q[2], q[1] / q[2]);
                let [f, cx, cy, k1, k2] = at.lens(lens);
                let square = x * x + y * y;
                let gain = f * (S::constant(1.0) + square * (k1 + square * k2));
                if axis == 0 { cx + gain * x } else { cy + gain * y }
            }
            Self::OnLine { pose, lens, ends, at: mark } => {
                let (rotation, centre) = at.pose(pose);
                View { rotation, centre, lens: at.lens(lens), ends: ends.map(|end| at.place(end)) }.distance(mark)
            }
            Self::Along { pose, lens, way, at: places } => {
                let (rotation, _) = at.pose(pose);
                let lens = at.lens(lens);
                let rise = way.rise.map_or(S::constant(0.0), |level| at.level(level));
                let along = [way.along.x, way.along.y, way.along.z].map(S::constant);
                edge::off(&rotation, lens, [along[0], along[1], along[2] + rise], places)
            }
            Self::OnSheet { sheet: index, place, axis } => {
                sheet::pixel(at.sheet(index), &at.state.sheets[index].anchor, at.place(place))[axis]
            }
            Self::OffSheetLine { sheet: index, ends, at: mark } => {
                let anchor = &at.state.sheets[index].anchor;
                sheet::off_line(at.sheet(index), anchor, ends.map(|end| at.place(end)), mark)
            }
            Self::SheetScale(index) => sheet::pixels_a_metre(at.sheet(index)),
            Self::LensValue { lens, which } => {
                let value = S::constant(at.state.lenses[lens].values[which]);
                at.layout.lenses[lens][which].map_or(value, |column| value + at.step[column])
            }
        }
    }
}

impl Equation {
    /// The residual over its sigma (bare for an exact equation), its derivatives put into `out`, which is emptied
    /// first. A column may occur twice: the entries add. O(1).
    pub fn linearise(&self, state: &State, layout: &Layout, out: &mut Vec<(usize, f64)>) -> f64 {
        out.clear();
        let scale = if self.sigma > 0.0 { 1.0 / self.sigma } else { 1.0 };
        let mut slopes = Slopes { layout, scale, out };
        let computed = self.term.slopes(state, &mut slopes);
        let mut difference = computed - self.observed;
        if self.term.wraps() {
            difference = (difference + PI).rem_euclid(TAU) - PI;
        }
        difference * scale
    }

    /// The same number from the definition, at a step away from a state: what [`Equation::linearise`] is tested with.
    #[must_use]
    pub fn residual<S: Scalar>(&self, at: &Moved<'_, S>) -> S {
        let scale = if self.sigma > 0.0 { 1.0 / self.sigma } else { 1.0 };
        let difference = self.term.computed(at) - S::constant(self.observed);
        let turns = if self.term.wraps() { ((difference.value() + PI) / TAU).floor() * TAU } else { 0.0 };
        (difference - S::constant(turns)) * S::constant(scale)
    }
}

impl Term {
    /// The value, with its derivatives.
    // One arm a kind of equation.
    #[allow(clippy::too_many_lines)]
    fn slopes(&self, state: &State, slopes: &mut Slopes<'_>) -> f64 {
        match *self {
            Self::Distance(a, b) => {
                let d = state.places[b] - state.places[a];
                let length = d.norm();
                if length > 0.0 {
                    slopes.place(b, &(d / length));
                    slopes.place(a, &(-d / length));
                }
                length
            }
            Self::LevelDistance(a, b) => {
                let (_, length, unit) = level(state, a, b);
                slopes.plan(b, &unit);
                slopes.plan(a, &-unit);
                length
            }
            Self::Turn([a, b, c]) => {
                let (u, lu, eu) = level(state, a, b);
                let (v, lv, ev) = level(state, b, c);
                // A direction turns by left(unit) · movement / length.
                let du = if lu > 0.0 { left(eu) / lu } else { Vector2::zeros() };
                let dv = if lv > 0.0 { left(ev) / lv } else { Vector2::zeros() };
                slopes.plan(a, &du);
                slopes.plan(b, &(-du - dv));
                slopes.plan(c, &dv);
                u.perp(&v).atan2(u.dot(&v))
            }
            Self::OffRay { from, to, direction } => {
                let (d, _, _) = level(state, from, to);
                slopes.plan(to, &left(direction));
                slopes.plan(from, &-left(direction));
                direction.perp(&d)
            }
            Self::OffLine { place, line: [a, b] } => {
                let (_, length, unit) = level(state, a, b);
                let (d, _, _) = level(state, a, place);
                let square = left(unit);
                let along = if length > 0.0 { unit.dot(&d) / length } else { 0.0 };
                slopes.plan(place, &square);
                slopes.plan(a, &(-square * (1.0 - along)));
                slopes.plan(b, &(-square * along));
                unit.perp(&d)
            }
            Self::OffLineBy { place, line, level } => {
                slopes.add(Some(slopes.layout.levels[level]), -1.0);
                Self::OffLine { place, line }.slopes(state, slopes) - state.levels[level]
            }
            Self::LevelValue(level) => {
                slopes.add(Some(slopes.layout.levels[level]), 1.0);
                state.levels[level]
            }
            Self::AlongLine { place, line: [a, b] } => {
                let (_, length, unit) = level(state, a, b);
                let (d, _, _) = level(state, a, place);
                let off = if length > 0.0 { unit.perp(&d) / length } else { 0.0 };
                let swing = left(unit) * off;
                slopes.plan(place, &unit);
                slopes.plan(a, &(-unit - swing));
                slopes.plan(b, &swing);
                unit.dot(&d)
            }
            Self::OffTurnedLine { from, to, line: [a, b], direction } => {
                turned_slopes(state, [from, to, a, b], direction, slopes)
            }
            Self::AboveLevel { place, level } => {
                slopes.add(slopes.layout.places[place][2], 1.0);
                slopes.add(Some(slopes.layout.levels[level]), -1.0);
                state.places[place].z - state.levels[level]
            }
            Self::Difference { places: [a, b], axis } => {
                slopes.add(slopes.layout.places[b][axis], 1.0);
                slopes.add(slopes.layout.places[a][axis], -1.0);
                state.places[b][axis] - state.places[a][axis]
            }
            Self::PlanAngle([at, b, c]) => {
                let (u, lu, eu) = level(state, at, b);
                let (v, lv, ev) = level(state, at, c);
                let turn = u.perp(&v);
                let sign = if turn < 0.0 { -1.0 } else { 1.0 };
                let du = if lu > 0.0 { -left(eu) * (sign / lu) } else { Vector2::zeros() };
                let dv = if lv > 0.0 { left(ev) * (sign / lv) } else { Vector2::zeros() };
                slopes.plan(b, &du);
                slopes.plan(c, &dv);
                slopes.plan(at, &(-du - dv));
                turn.abs().atan2(u.dot(&v))
            }
            Self::OffPlane { place, plane } => {
                let p = &state.planes[plane];
                let d = state.places[place] - p.anchor;
                let [t, s] = p.tangents();
                let first = slopes.layout.planes[plane];
                slopes.place(place, &p.normal);
                slopes.add(Some(first), t.dot(&d));
                slopes.add(Some(first + 1), s.dot(&d));
                slopes.add(Some(first + 2), -1.0);
                p.normal.dot(&d) - p.offset
            }
            Self::Pitch(plane) => pitch_slopes(state, plane, 1.0, slopes),
            Self::PitchDifference([a, b]) => pitch_slopes(state, b, 1.0, slopes) - pitch_slopes(state, a, -1.0, slopes),
            Self::Mark { pose, lens, place, axis } => {
                let across = if axis == 0 { [1.0, 0.0] } else { [0.0, 1.0] };
                let pixel = pixel_slopes(state, (pose, lens), &[(place, 1.0)], across, slopes);
                pixel[axis]
            }
            Self::OnLine { pose, lens, ends, at } => {
                let camera = &state.poses[pose];
                let places = ends.map(|end| state.places[end]);
                let view = seen_line::view(&camera.rotation, &camera.centre, state.lenses[lens].values, places);
                let Some((share, seen)) = view.nearest(at).and_then(|share| Some((share, view.at(share)?))) else {
                    return f64::NAN;
                };
                let place = [(ends[0], 1.0 - share), (ends[1], share)];
                let pixel = pixel_slopes(state, (pose, lens), &place, seen.across, slopes);
                (pixel[0] - at[0]) * seen.across[0] + (pixel[1] - at[1]) * seen.across[1]
            }
            Self::Along { pose, lens, way, at } => edge::slopes(state, (pose, lens), way, at, slopes),
            Self::OnSheet { sheet, place, axis } => sheet::mark_slopes(state, sheet, place, axis, slopes),
            Self::OffSheetLine { sheet, ends, at } => sheet::line_slopes(state, sheet, ends, at, slopes),
            Self::SheetScale(sheet) => sheet::scale_slopes(state, sheet, slopes),
            Self::LensValue { lens, which } => {
                slopes.add(slopes.layout.lenses[lens][which], 1.0);
                state.lenses[lens].values[which]
            }
        }
    }
}
