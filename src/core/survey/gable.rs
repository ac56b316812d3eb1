//! The pitches over a gable from one picture of it: plumb edges, level ones along its wall and ones square to it tell how the
//! camera was turned and its focal length; a verge is then an edge that rises in the gable's plumb plane, and its rise is an
//! unknown like the others. One least squares, so that each pitch has its standard deviation.

use super::chi_square;
use super::equation::{Equation, Source, Term};
use super::model::{Camera, Measured};
use super::solver::cofactor::Cofactor;
use super::solver::marquardt::{Problem, Stop, minimise};
use super::solver::rows::Rows;
use super::state::{EdgeDirection, Layout, Lens, Pose, State};
use super::unconstrained::Unconstrained;
use nalgebra::{Matrix3, Point3, Rotation3, Vector3};
use std::f64::consts::FRAC_PI_2;

/// Two places of a straight edge, pixels.
pub type Segment = [[f64; 2]; 2];

/// Edges of a gable as a picture shows them.
#[derive(Clone, Debug, PartialEq)]
pub struct Gable {
    /// What it was taken with.
    pub camera: Camera,
    /// Plumb edges: corners of walls, jambs.
    pub plumb: Vec<Segment>,
    /// Level edges along the gable's wall: sills, courses, the line between its eaves.
    pub level: Vec<Segment>,
    /// Level edges square to it: eaves, a ridge.
    pub square: Vec<Segment>,
    /// Verges.
    pub verges: Vec<Segment>,
    /// Standard deviation of a place's distance from its edge, pixels.
    pub sigma: f64,
}

/// What a picture of a gable tells.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// Pitch over each verge, radians.
    pub pitches: Vec<Measured>,
    /// Focal length, pixels, with its standard deviation.
    pub focal: Measured,
    /// From the gable's frame (x along the wall to the right, y into it, z up) to the camera's.
    pub rotation: Matrix3<f64>,
    /// Standard deviations of its turns about the camera's axes, radians.
    pub turn_sd: [f64; 3],
    /// Weighted sum of squared residuals.
    pub chi2: f64,
    /// 95 % bounds of it; `None` where every edge is needed.
    pub chi2_bounds: Option<[f64; 2]>,
}

/// Why a picture tells no pitch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GableError {
    /// Its edges do not tell how the camera was turned: plumb ones and ones along the wall or square to it are needed.
    NotTurned,
    /// They do not fit one another.
    NoMinimum,
}

/// Standard deviations of a pitch or a turn beyond this, radians (10°), are none to answer with.
const MOST_SD: f64 = std::f64::consts::PI / 18.0;
const STOP: Stop = Stop { relative: 1e-12, absolute: 1e-12, turns: 100 };
/// Both places of an edge are off by chance.
const BOTH_PLACES: f64 = std::f64::consts::SQRT_2;

/// First unknown of the camera's place, which edges without a point say nothing about: it is held.
const HELD: f64 = 1.0;

/// The picture's edges and what is known of the lens, as equations.
fn problem_of(gable: &Gable) -> Unconstrained {
    let mut layout = Layout { poses: vec![Some(0)], unknowns: 6, ..Layout::default() };
    let Camera { focal, centre: [cx, cy], centre_sigma, k1, k2, .. } = gable.camera;
    let known = [
        (focal.value.ln(), focal.sigma),
        (cx, centre_sigma),
        (cy, centre_sigma),
        (k1.value, k1.sigma),
        (k2.value, k2.sigma),
    ];
    let columns = known.map(|(_, sigma)| (sigma > 0.0).then(|| layout.column()));
    layout.lenses.push(columns);
    let mut equations = Vec::new();
    for (which, (observed, sigma)) in known.into_iter().enumerate().filter(|(_, (_, sigma))| *sigma > 0.0) {
        let term = Term::LensValue { lens: 0, which };
        equations.push(Equation { term, observed, sigma, source: Source::Lens(0, which) });
    }
    let mut along = |along: Vector3<f64>, rise: Option<usize>, at: Segment| {
        let term = Term::Along { pose: 0, lens: 0, way: EdgeDirection { along, rise }, at };
        let sigma = BOTH_PLACES * gable.sigma;
        equations.push(Equation { term, observed: 0.0, sigma, source: Source::Datum });
    };
    gable.plumb.iter().for_each(|&at| along(Vector3::z(), None, at));
    gable.level.iter().for_each(|&at| along(Vector3::x(), None, at));
    gable.square.iter().for_each(|&at| along(Vector3::y(), None, at));
    for (verge, &at) in gable.verges.iter().enumerate() {
        layout.levels.push(layout.unknowns);
        layout.column();
        along(Vector3::x(), Some(verge), at);
    }
    Unconstrained { equations, layout }
}

/// The equations, and that the camera's place stands still.
fn held_rows(problem: &Unconstrained, state: &State) -> Rows {
    let mut rows = problem.linearise(state);
    (3..6).for_each(|column| rows.push(0.0, &mut [(column, HELD)]));
    rows
}

/// Cameras to start from: upright or on their sides, looking along the normal of the wall or aslant.
fn starts() -> impl Iterator<Item = Matrix3<f64>> {
    let ahead = Matrix3::new(1.0, 0.0, 0.0, 0.0, 0.0, -1.0, 0.0, 1.0, 0.0);
    let turned = |axis: Vector3<f64>, by: f64| Rotation3::new(axis * by).into_inner();
    [0.0, FRAC_PI_2, -FRAC_PI_2].into_iter().flat_map(move |roll| {
        [-0.7, 0.0, 0.7].into_iter().flat_map(move |yaw| {
            [-0.3, 0.1].map(move |tilt| {
                turned(Vector3::z(), roll) * turned(Vector3::x(), tilt) * ahead * turned(Vector3::z(), yaw)
            })
        })
    })
}

impl Gable {
    /// What the picture tells.
    ///
    /// # Errors
    /// [`GableError`].
    pub fn solve(&self) -> Result<Found, GableError> {
        let problem = problem_of(self);
        let Camera { focal, centre: [cx, cy], k1, k2, .. } = self.camera;
        let lens = Lens { values: [focal.value.ln(), cx, cy, k1.value, k2.value] };
        let best = starts()
            .flat_map(|rotation| {
                // A verge rises either way.
                let pose = Pose { rotation, centre: Point3::origin() };
                let rises = if self.verges.is_empty() { vec![0.0] } else { vec![0.7, -0.7] };
                rises.into_iter().map(move |first| {
                    let levels = (0..self.verges.len()).map(|k| if k % 2 == 0 { first } else { -first }).collect();
                    State { poses: vec![pose], lenses: vec![lens], levels, ..State::default() }
                })
            })
            .map(|start| minimise(&problem, start, &STOP))
            .filter(|found| found.cost.is_finite())
            // Among twins that fit alike the upright camera, which comes first.
            .reduce(|kept, next| if next.cost < kept.cost * (1.0 - ALIKE) - ALIKE { next } else { kept })
            .ok_or(GableError::NoMinimum)?;
        let rows = held_rows(&problem, &best.state);
        let cofactor = Cofactor::new(&rows);
        let sd = |column: usize| -> Option<f64> {
            let own = [(column, 1.0)];
            cofactor.null_part(&own).is_none().then(|| cofactor.between(&own, &own).max(0.0).sqrt())
        };
        let turn_sd = [0, 1, 2].map(sd);
        let [Some(pitch), Some(yaw), Some(roll)] = turn_sd else { return Err(GableError::NotTurned) };
        let mut pitches = Vec::new();
        for (verge, rise) in best.state.levels.iter().enumerate() {
            let sigma = sd(problem.layout.levels[verge]).ok_or(GableError::NotTurned)? / (1.0 + rise * rise);
            if sigma > MOST_SD {
                return Err(GableError::NotTurned);
            }
            pitches.push(Measured { value: rise.abs().atan(), sigma });
        }
        let found = best.state.lenses[0].focal();
        let focal_sd = problem.layout.lenses[0][0].and_then(sd).unwrap_or(0.0);
        // Priors and what they are of cancel.
        let unknowns = 3 + self.verges.len();
        let dof =
            (self.plumb.len() + self.level.len() + self.square.len() + self.verges.len()).saturating_sub(unknowns);
        Ok(Found {
            pitches,
            focal: Measured { value: found, sigma: found * focal_sd },
            rotation: best.state.poses[0].rotation,
            turn_sd: [pitch, yaw, roll],
            chi2: best.cost,
            chi2_bounds: (dof > 0).then(|| chi_square::bounds_95(dof)),
        })
    }
}

/// Sums of squares that differ by less are one minimum.
const ALIKE: f64 = 1e-6;
