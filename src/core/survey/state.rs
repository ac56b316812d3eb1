//! What the adjustment solves for, and where each number stands among the unknowns.
//!
//! Places, heights of level groups and lenses are plain numbers; a plane's normal and a camera's rotation move in
//! their tangent spaces: three numbers that are 0 at the current state, so that no state is singular.

use super::scalar::Scalar;
use nalgebra::{Matrix3, Point2, Point3, Unit, Vector3};

/// A roof plane: `normal · (p − anchor) = offset`. The anchor stands still during the adjustment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlaneState {
    /// Unit normal, upwards.
    pub normal: Unit<Vector3<f64>>,
    /// A place near the face, so that far coordinates cost no digits.
    pub anchor: Point3<f64>,
    /// Distance of the plane from the anchor along the normal, metres.
    pub offset: f64,
}

impl PlaneState {
    /// Two unit vectors square to the normal and to each other.
    #[must_use]
    pub fn tangents(&self) -> [Vector3<f64>; 2] {
        let n = self.normal.into_inner();
        let away = if n.x.abs() < 0.5 { Vector3::x() } else { Vector3::y() };
        let first = n.cross(&away).normalize();
        [first, n.cross(&first)]
    }
}

/// Where a camera stood and how it looked: `[X, Y, Z] = rotation · (P − centre)`, x right, y down, z ahead.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose {
    /// From the site to the camera.
    pub rotation: Matrix3<f64>,
    /// Where its lens stood, metres.
    pub centre: Point3<f64>,
}

/// A lens: natural logarithm of the focal length in pixels, principal point, radial coefficients (D. C. Brown,
/// "Close-range camera calibration", 1971, the first two).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lens {
    /// `[ln f, cx, cy, k1, k2]`.
    pub values: [f64; 5],
}

impl Lens {
    /// Focal length, pixels.
    #[must_use]
    pub fn focal(&self) -> f64 {
        self.values[0].exp()
    }

    /// The ray of a pixel in the camera's frame, with Z = 1; the distortion is undone by fixed-point iteration.
    #[must_use]
    pub fn ray(&self, pixel: [f64; 2]) -> Vector3<f64> {
        let f = self.focal();
        let distorted = [(pixel[0] - self.values[1]) / f, (pixel[1] - self.values[2]) / f];
        let [mut x, mut y] = distorted;
        // Contracts by about k1 r² a turn: 40 turns reach the last digit for any phone.
        for _ in 0..40 {
            let gain = self.gain(x * x + y * y);
            (x, y) = (distorted[0] / gain, distorted[1] / gain);
        }
        Vector3::new(x, y, 1.0)
    }

    /// What the lens makes a ray longer by, at the square of its distance from the axis (at Z = 1).
    #[must_use]
    pub fn gain(&self, square: f64) -> f64 {
        1.0 + square * (self.values[3] + square * self.values[4])
    }
}

/// How a plan lies on the site: `u = u0 + p x + q y`, `v = v0 + q x − p y` for a place (x, y) from the anchor. Pixels a metre
/// are the length of (p, q), and no state of these four numbers is singular.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SheetState {
    /// A place near what it shows, so that far coordinates cost no digits. Stands still during the adjustment.
    pub anchor: Point2<f64>,
    /// `[u0, v0, p, q]`.
    pub values: [f64; 4],
}

/// Where a straight edge runs to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EdgeDirection {
    /// A vector of the site, level or plumb.
    pub along: Vector3<f64>,
    /// What it rises by along that vector: the number of one of the state's levels, which is that rise and no height.
    pub rise: Option<usize>,
}

/// Every number the adjustment may change.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct State {
    /// Corners of rings first, then named points that are no corners.
    pub places: Vec<Point3<f64>>,
    /// Planes of faces by points.
    pub planes: Vec<PlaneState>,
    /// Heights of level groups.
    pub levels: Vec<f64>,
    /// One a photo.
    pub poses: Vec<Pose>,
    /// One a camera.
    pub lenses: Vec<Lens>,
    /// One a plan that is used.
    pub sheets: Vec<SheetState>,
}

/// Which unknown each number of a [`State`] is; `None` where it is given and stands still.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Layout {
    /// Of x, y, z.
    pub places: Vec<[Option<usize>; 3]>,
    /// First of three: two turns of the normal, the offset.
    pub planes: Vec<usize>,
    /// Of the height.
    pub levels: Vec<usize>,
    /// First of six: three turns, three coordinates. `None` for a photo that is left out.
    pub poses: Vec<Option<usize>>,
    /// Of ln f, cx, cy, k1, k2.
    pub lenses: Vec<[Option<usize>; 5]>,
    /// First of four: u0, v0, p, q.
    pub sheets: Vec<usize>,
    /// Number of unknowns.
    pub unknowns: usize,
}

impl Layout {
    /// Takes the next unknown.
    pub fn column(&mut self) -> usize {
        self.unknowns += 1;
        self.unknowns - 1
    }

    /// Takes the next so many, and gives the first.
    pub fn columns(&mut self, size: usize) -> usize {
        self.unknowns += size;
        self.unknowns - size
    }
}

/// A state moved by a step that may carry derivatives.
pub struct Moved<'a, S> {
    /// Where it moves from.
    pub state: &'a State,
    /// Which unknown is which.
    pub layout: &'a Layout,
    /// One a unknown.
    pub step: &'a [S],
}

impl<S: Scalar> Moved<'_, S> {
    fn by(&self, column: Option<usize>) -> S {
        column.map_or(S::constant(0.0), |column| self.step[column])
    }

    /// A place.
    #[must_use]
    pub fn place(&self, index: usize) -> [S; 3] {
        let at = self.state.places[index];
        let columns = self.layout.places[index];
        [0, 1, 2].map(|k| S::constant(at[k]) + self.by(columns[k]))
    }

    /// A plane's normal and offset.
    #[must_use]
    pub fn plane(&self, index: usize) -> ([S; 3], S) {
        let plane = &self.state.planes[index];
        let first = self.layout.planes[index];
        let [t, s] = plane.tangents();
        let (a, b) = (self.step[first], self.step[first + 1]);
        let n = [0, 1, 2].map(|k| S::constant(plane.normal[k]) + S::constant(t[k]) * a + S::constant(s[k]) * b);
        let length = (n[0] * n[0] + n[1] * n[1] + n[2] * n[2]).sqrt();
        (n.map(|c| c / length), S::constant(plane.offset) + self.step[first + 2])
    }

    /// The height of a level group.
    #[must_use]
    pub fn level(&self, index: usize) -> S {
        S::constant(self.state.levels[index]) + self.step[self.layout.levels[index]]
    }

    /// A camera's rotation and centre. The turn is Cayley's: a rational function, always a rotation.
    #[must_use]
    pub fn pose(&self, index: usize) -> ([[S; 3]; 3], [S; 3]) {
        let pose = &self.state.poses[index];
        let zero = S::constant(0.0);
        let step: [S; 6] = match self.layout.poses[index] {
            Some(first) => [0, 1, 2, 3, 4, 5].map(|k| self.step[first + k]),
            None => [zero; 6],
        };
        let half = [0, 1, 2].map(|k| step[k] * S::constant(0.5));
        let cross = [[zero, -half[2], half[1]], [half[2], zero, -half[0]], [-half[1], half[0], zero]];
        let gain = S::constant(2.0) / (S::constant(1.0) + half[0] * half[0] + half[1] * half[1] + half[2] * half[2]);
        let turn = [0, 1, 2].map(|i| {
            [0, 1, 2].map(|j| {
                let square = cross[i][0] * cross[0][j] + cross[i][1] * cross[1][j] + cross[i][2] * cross[2][j];
                S::constant(f64::from(u8::from(i == j))) + gain * (cross[i][j] + square)
            })
        });
        let rotation = [0, 1, 2].map(|i| {
            [0, 1, 2].map(|j| {
                turn[i][0] * S::constant(pose.rotation[(0, j)])
                    + turn[i][1] * S::constant(pose.rotation[(1, j)])
                    + turn[i][2] * S::constant(pose.rotation[(2, j)])
            })
        });
        (rotation, [0, 1, 2].map(|k| S::constant(pose.centre[k]) + step[3 + k]))
    }

    /// A lens: focal length, principal point, k1, k2.
    #[must_use]
    pub fn lens(&self, index: usize) -> [S; 5] {
        let values = self.state.lenses[index].values;
        let columns = self.layout.lenses[index];
        let moved = [0, 1, 2, 3, 4].map(|k| S::constant(values[k]) + self.by(columns[k]));
        [moved[0].exp(), moved[1], moved[2], moved[3], moved[4]]
    }

    /// A plan: u0, v0, p, q.
    #[must_use]
    pub fn sheet(&self, index: usize) -> [S; 4] {
        let values = self.state.sheets[index].values;
        let first = self.layout.sheets[index];
        [0, 1, 2, 3].map(|k| S::constant(values[k]) + self.step[first + k])
    }
}

impl State {
    /// The state a step away.
    #[must_use]
    pub fn advanced(&self, layout: &Layout, step: &[f64]) -> Self {
        let moved = Moved { state: self, layout, step };
        let places = (0..self.places.len()).map(|i| moved.place(i).into()).collect();
        let planes = self
            .planes
            .iter()
            .enumerate()
            .map(|(i, plane)| {
                let (normal, offset) = moved.plane(i);
                let mut normal = Unit::new_normalize(Vector3::from(normal));
                let mut offset = offset;
                if normal.z < 0.0 {
                    normal = -normal;
                    offset = -offset;
                }
                PlaneState { normal, anchor: plane.anchor, offset }
            })
            .collect();
        let levels = (0..self.levels.len()).map(|i| moved.level(i)).collect();
        let poses = (0..self.poses.len())
            .map(|i| {
                let (rotation, centre) = moved.pose(i);
                Pose { rotation: Matrix3::from_fn(|r, c| rotation[r][c]), centre: centre.into() }
            })
            .collect();
        let lenses = self
            .lenses
            .iter()
            .zip(&layout.lenses)
            .map(|(lens, columns)| Lens {
                values: [0, 1, 2, 3, 4].map(|k| lens.values[k] + columns[k].map_or(0.0, |c| step[c])),
            })
            .collect();
        let sheets = self
            .sheets
            .iter()
            .enumerate()
            .map(|(i, sheet)| SheetState { anchor: sheet.anchor, values: moved.sheet(i) })
            .collect();
        Self { places, planes, levels, poses, lenses, sheets }
    }
}
