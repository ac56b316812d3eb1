//! The whole survey as one set of equations: rings, points, faces, observations and photos.

use super::equation::{Equation, Source, Term};
use super::error::SurveyError;
use super::model::{Camera, Known, Measured, ObservationKind, Photo, RingInput, Sheet, Survey};
use super::sheet;
use super::sigma;
use super::solver::marquardt::Problem;
use super::solver::rows::Rows;
use super::state::{EdgeDirection, Layout, Lens, PlaneState, Pose, SheetState, State};
use crate::base::polygon::vector_area;
use nalgebra::{Matrix3, Point2, Point3, Unit, Vector2, Vector3};
use std::f64::consts::{FRAC_PI_2, SQRT_2};

/// A plan with fewer marks is not used.
pub(super) const FEWEST_ON_A_SHEET: usize = 2;

/// Unknowns and equations of a survey.
#[derive(Clone, Debug)]
pub struct Network<'a> {
    /// The rings.
    pub rings: &'a [RingInput<'a>],
    /// The rest.
    pub survey: &'a Survey,
    /// Which unknown is which.
    pub layout: Layout,
    /// Weighted observations.
    pub weighted: Vec<Equation>,
    /// What holds exactly.
    pub exact: Vec<Equation>,
    /// Place of each ring's first corner.
    pub ring_first: Vec<usize>,
    /// Place of each named point.
    pub point_place: Vec<usize>,
    /// The photo that each plan in use is.
    pub sheets: Vec<usize>,
    /// Plan gap of each walked ring with lengths and turns as written.
    pub gaps: Vec<Option<f64>>,
}

impl<'a> Network<'a> {
    /// Sets up the equations, and a state in which rings stand where their walk puts them and points where the file
    /// puts them (unknown ones at the origin, for the start values to improve). Photos take part from the start; those
    /// that cannot be placed are taken out by `Network::leave_out_photo`.
    ///
    /// # Errors
    /// A ring whose turns do not come round, with fewer than three sides, or on a side that nothing places.
    pub fn new(rings: &'a [RingInput<'a>], survey: &'a Survey) -> Result<(Self, State), SurveyError> {
        let mut network = Self {
            rings,
            survey,
            layout: Layout::default(),
            weighted: Vec::new(),
            exact: Vec::new(),
            ring_first: Vec::new(),
            point_place: Vec::new(),
            sheets: Vec::new(),
            gaps: Vec::new(),
        };
        let mut state = State::default();
        network.add_rings(&mut state)?;
        network.add_points(&mut state);
        network.add_faces(&mut state);
        network.add_observations(&mut state);
        network.add_photos(&mut state);
        Ok((network, state))
    }

    pub(super) fn observe(&mut self, term: Term, observed: f64, sigma: f64, source: Source) {
        let equation = Equation { term, observed, sigma, source };
        if sigma > 0.0 { self.weighted.push(equation) } else { self.exact.push(equation) }
    }

    fn add_points(&mut self, state: &mut State) {
        // A block's index counts its outer rings.
        let mut rings_of_blocks: Vec<Vec<usize>> = Vec::new();
        for (index, ring) in self.rings.iter().enumerate() {
            if ring.ring == 0 || rings_of_blocks.is_empty() {
                rings_of_blocks.push(Vec::new());
            }
            if let Some(last) = rings_of_blocks.last_mut() {
                last.push(index);
            }
        }
        for point in &self.survey.points {
            let (at, free) = match point.known {
                Known::Corner(side) => {
                    let corner = rings_of_blocks
                        .get(side.block.index())
                        .and_then(|rings| rings.get(side.ring as usize))
                        .map(|&ring| self.ring_first[ring] + side.side as usize);
                    if let Some(corner) = corner.filter(|&corner| corner < state.places.len()) {
                        self.point_place.push(corner);
                        continue;
                    }
                    (Point3::origin(), true)
                }
                Known::At(at) => (at, false),
                Known::Near(near) => (near, true),
                Known::Unknown => (Point3::origin(), true),
            };
            self.point_place.push(state.places.len());
            state.places.push(at);
            let columns = if free { [0; 3].map(|_| Some(self.layout.column())) } else { [None; 3] };
            self.layout.places.push(columns);
        }
    }

    fn add_faces(&mut self, state: &mut State) {
        for (index, face) in self.survey.faces.iter().enumerate() {
            self.layout.planes.push(self.layout.unknowns);
            self.layout.columns(3);
            state.planes.push(PlaneState { normal: Vector3::z_axis(), anchor: Point3::origin(), offset: 0.0 });
            for (i, point) in face.points.iter().enumerate() {
                let place = self.point_place[point.index()];
                let source = Source::OnFace { face: index, point: i };
                self.observe(Term::OffPlane { place, plane: index }, 0.0, face.sigma, source);
            }
        }
    }

    fn add_observations(&mut self, state: &mut State) {
        for (index, observation) in self.survey.observations.iter().enumerate() {
            let place = |point: &crate::base::ids::PointId| self.point_place[point.index()];
            let sigma = observation.sigma;
            if let ObservationKind::Offset { points, line: [a, b], distance } = &observation.kind {
                // To the right of the way from first to second is to the left of the way back.
                let line = [place(b), place(a)];
                let places: Vec<usize> = points.iter().map(place).collect();
                self.add_offset(index, &places, line, Measured { value: *distance, sigma }, state);
                continue;
            }
            let terms: Vec<(Term, f64)> = match &observation.kind {
                ObservationKind::Tape { from, to, length, plan } => {
                    let (a, b) = (place(from), place(to));
                    vec![(if *plan { Term::LevelDistance(a, b) } else { Term::Distance(a, b) }, *length)]
                }
                ObservationKind::Known { from, to, length, .. } => {
                    vec![(Term::Distance(place(from), place(to)), *length)]
                }
                ObservationKind::Offset { .. } => Vec::new(),
                ObservationKind::PitchReading { face, pitch } => vec![(Term::Pitch(face.index()), *pitch)],
                ObservationKind::Level { points } => {
                    let level = state.levels.len();
                    self.layout.levels.push(self.layout.unknowns);
                    self.layout.column();
                    state.levels.push(0.0);
                    points.iter().map(|p| (Term::AboveLevel { place: place(p), level }, 0.0)).collect()
                }
                ObservationKind::Plumb { a, b } => {
                    let places = [place(a), place(b)];
                    [0, 1].map(|axis| (Term::Difference { places, axis }, 0.0)).to_vec()
                }
                ObservationKind::Square { at, arms } => {
                    vec![(Term::PlanAngle([place(at), place(&arms[0]), place(&arms[1])]), FRAC_PI_2)]
                }
                ObservationKind::EqualPitch { faces } => match faces.split_first() {
                    Some((first, others)) => others
                        .iter()
                        .map(|other| (Term::PitchDifference([first.index(), other.index()]), 0.0))
                        .collect(),
                    None => Vec::new(),
                },
                ObservationKind::Upright { point, over } => {
                    vec![(Term::OffLine { place: place(point), line: [place(&over[0]), place(&over[1])] }, 0.0)]
                }
            };
            for (part, (term, observed)) in terms.into_iter().enumerate() {
                self.observe(term, observed, sigma, Source::Observation(index, part));
            }
        }
    }

    /// One reading of how far several points stand out is wrong for all of them alike: they have a distance in common, which
    /// was read once, and each keeps to it as eaves run along their walls.
    fn add_offset(&mut self, index: usize, places: &[usize], line: [usize; 2], out: Measured, state: &mut State) {
        let source = |part| Source::Observation(index, part);
        if let [place] = *places {
            self.observe(Term::OffLine { place, line }, out.value, out.sigma, source(0));
            return;
        }
        let level = state.levels.len();
        let column = self.layout.column();
        self.layout.levels.push(column);
        state.levels.push(out.value);
        self.observe(Term::LevelValue(level), out.value, out.sigma, source(0));
        for (part, &place) in places.iter().enumerate() {
            self.observe(Term::OffLineBy { place, line, level }, 0.0, sigma::ALONG_WALL, source(part + 1));
        }
    }

    fn add_photos(&mut self, state: &mut State) {
        for (index, camera) in self.survey.cameras.iter().enumerate() {
            let [cx, cy] = camera.centre;
            let values = [camera.focal.value.ln(), cx, cy, camera.k1.value, camera.k2.value];
            let takes = |photo: &Photo| photo.camera == index && photo.sheet.is_none() && !photo.marks.is_empty();
            let used = self.survey.photos.iter().any(takes);
            let Camera { focal, centre_sigma, k1, k2, .. } = camera;
            let sigmas = [focal.sigma, *centre_sigma, *centre_sigma, k1.sigma, k2.sigma];
            state.lenses.push(Lens { values });
            let columns = sigmas.map(|sigma| (used && sigma > 0.0).then(|| self.layout.column()));
            self.layout.lenses.push(columns);
            for which in 0..values.len() {
                if columns[which].is_some() {
                    let term = Term::LensValue { lens: index, which };
                    self.observe(term, values[which], sigmas[which], Source::Lens(index, which));
                }
            }
        }
        for (index, photo) in self.survey.photos.iter().enumerate() {
            state.poses.push(Pose { rotation: Matrix3::identity(), centre: Point3::origin() });
            if let Some(sheet) = &photo.sheet {
                self.layout.poses.push(None);
                self.add_sheet(index, photo, sheet, state);
                continue;
            }
            let used = !photo.marks.is_empty();
            let first = used.then(|| self.layout.columns(6));
            self.layout.poses.push(first);
            for (k, mark) in photo.marks.iter().enumerate() {
                let place = self.point_place[mark.point.index()];
                for axis in 0..2 {
                    let term = Term::Mark { pose: index, lens: photo.camera, place, axis };
                    self.observe(term, mark.at[axis], mark.sigma, Source::Mark(index, k));
                }
            }
            for (k, &at) in photo.plumb.iter().enumerate().filter(|_| used) {
                let way = EdgeDirection { along: Vector3::z(), rise: None };
                let term = Term::Along { pose: index, lens: photo.camera, way, at };
                // Both places of the edge are off by chance.
                self.observe(term, 0.0, SQRT_2 * photo.plumb_sigma, Source::PlumbEdge(index, k));
            }
            // Lines join an adjustment that marks have placed: a photo without marks is not used.
            for (k, line) in photo.lines.iter().enumerate().filter(|_| used) {
                let ends = line.ends.map(|end| self.point_place[end.index()]);
                for (i, (&at, &sigma)) in line.at.iter().zip(&line.sigmas).enumerate() {
                    let term = Term::OnLine { pose: index, lens: photo.camera, ends, at };
                    self.observe(term, 0.0, sigma, Source::Line(index, k, i));
                }
            }
        }
    }

    /// A plan by itself could lie anyhow: fewer than two marks tell nothing.
    fn add_sheet(&mut self, index: usize, photo: &Photo, stated: &Sheet, state: &mut State) {
        if photo.marks.len() < FEWEST_ON_A_SHEET {
            return;
        }
        let sheet = self.sheets.len();
        self.sheets.push(index);
        state.sheets.push(SheetState { anchor: Point2::origin(), values: [0.0; 4] });
        let first = self.layout.columns(4);
        self.layout.sheets.push(first);
        for (k, mark) in photo.marks.iter().enumerate() {
            let place = self.point_place[mark.point.index()];
            for axis in 0..2 {
                self.observe(Term::OnSheet { sheet, place, axis }, mark.at[axis], mark.sigma, Source::Mark(index, k));
            }
        }
        for (k, line) in photo.lines.iter().enumerate() {
            let ends = line.ends.map(|end| self.point_place[end.index()]);
            for (i, (&at, &sigma)) in line.at.iter().zip(&line.sigmas).enumerate() {
                self.observe(Term::OffSheetLine { sheet, ends, at }, 0.0, sigma, Source::Line(index, k, i));
            }
        }
        if let Some(scale) = stated.scale {
            let pixels = 1.0 / scale.value;
            self.observe(Term::SheetScale(sheet), pixels, pixels * scale.sigma, Source::Scale(index));
        }
    }

    /// Where a plan shows marked places: each with its pixel.
    pub(super) fn on_sheet(&self, sheet: usize) -> impl Iterator<Item = (usize, [f64; 2])> {
        let marks = &self.survey.photos[self.sheets[sheet]].marks;
        marks.iter().map(|mark| (self.point_place[mark.point.index()], mark.at))
    }

    /// Lays each plane through its points, each level at the mean height of its points and each plan on what it shows.
    pub(crate) fn fit_to_places(&self, state: &mut State) {
        for index in 0..state.sheets.len() {
            let pairs: Vec<(Point2<f64>, [f64; 2])> =
                self.on_sheet(index).map(|(place, at)| (state.places[place].xy(), at)).collect();
            if let Some(fitted) = sheet::fitted(&pairs) {
                state.sheets[index] = fitted;
            }
        }
        for (face, plane) in self.survey.faces.iter().zip(&mut state.planes) {
            let ring: Vec<Point3<f64>> =
                face.points.iter().map(|point| state.places[self.point_place[point.index()]]).collect();
            let anchor = centroid(&ring);
            let normal = vector_area(&ring);
            let normal = if normal.z < 0.0 { -normal } else { normal };
            let normal = Unit::try_new(normal, f64::MIN_POSITIVE).unwrap_or(Vector3::z_axis());
            *plane = PlaneState { normal, anchor, offset: 0.0 };
        }
        let mut sums = vec![(0.0, 0.0); state.levels.len()];
        for equation in self.weighted.iter().chain(&self.exact) {
            if let Term::AboveLevel { place, level } = equation.term {
                sums[level].0 += state.places[place].z;
                sums[level].1 += 1.0;
            }
        }
        for (level, (sum, count)) in state.levels.iter_mut().zip(sums) {
            if count > 0.0 {
                *level = sum / count;
            }
        }
    }

    /// Number of places that are corners of rings; they come first.
    #[must_use]
    pub fn corners(&self) -> usize {
        match (self.ring_first.last(), self.rings.last()) {
            (Some(first), Some(ring)) => first + ring.corners(),
            _ => 0,
        }
    }

    /// Holds the distance of two places.
    pub(crate) fn hold_distance(&mut self, a: usize, b: usize, observed: f64) {
        let term = Term::Distance(a, b);
        self.exact.push(Equation { term, observed, sigma: 0.0, source: Source::Datum });
    }

    /// Holds what a network needs that hangs on no given place: a place in plan, a height and a bearing.
    pub fn pin(&mut self, place: usize, height_of: usize, bearing: Option<(usize, Vector2<f64>)>) {
        self.layout.places[place][..2].fill(None);
        self.layout.places[height_of][2] = None;
        if let Some((to, direction)) = bearing {
            let term = Term::OffRay { from: place, to, direction };
            self.exact.push(Equation { term, observed: 0.0, sigma: 0.0, source: Source::Datum });
        }
    }

    /// Takes a photo out: its marks observe nothing, its pose is no unknown.
    pub(crate) fn leave_out_photo(&mut self, photo: usize) {
        let of_photo = |equation: &Equation| matches!(equation.term, Term::Mark { pose, .. } | Term::OnLine { pose, .. } | Term::Along { pose, .. } if pose == photo);
        self.weighted.retain(|equation| !of_photo(equation));
        self.exact.retain(|equation| !of_photo(equation));
        self.layout.poses[photo] = None;
    }

    /// Numbers the unknowns anew, without those that no longer occur.
    pub(crate) fn renumber(&mut self) {
        let mut used = vec![false; self.layout.unknowns];
        let layout = &mut self.layout;
        let mut mark = |column: usize| used[column] = true;
        layout.places.iter().flatten().flatten().for_each(|&c| mark(c));
        layout.planes.iter().for_each(|&c| (c..c + 3).for_each(&mut mark));
        layout.levels.iter().for_each(|&c| mark(c));
        layout.poses.iter().flatten().for_each(|&c| (c..c + 6).for_each(&mut mark));
        layout.lenses.iter().flatten().flatten().for_each(|&c| mark(c));
        layout.sheets.iter().for_each(|&c| (c..c + 4).for_each(&mut mark));
        let mut number = vec![0; used.len()];
        let mut next = 0;
        for (column, used) in used.iter().enumerate() {
            number[column] = next;
            next += usize::from(*used);
        }
        layout.places.iter_mut().flatten().flatten().for_each(|c| *c = number[*c]);
        layout.planes.iter_mut().for_each(|c| *c = number[*c]);
        layout.levels.iter_mut().for_each(|c| *c = number[*c]);
        layout.poses.iter_mut().flatten().for_each(|c| *c = number[*c]);
        layout.lenses.iter_mut().flatten().flatten().for_each(|c| *c = number[*c]);
        layout.sheets.iter_mut().for_each(|c| *c = number[*c]);
        layout.unknowns = next;
    }
}

/// The mean of places; the origin when there are none.
#[must_use]
pub(crate) fn centroid(places: &[Point3<f64>]) -> Point3<f64> {
    let sum: Vector3<f64> = places.iter().map(|p| p.coords).sum();
    Point3::from(sum / (places.len().max(1) as f64))
}

fn rows(equations: &[Equation], state: &State, layout: &Layout) -> Rows {
    let mut rows = Rows::new(layout.unknowns);
    let mut entries = Vec::with_capacity(16);
    for equation in equations {
        let residual = equation.linearise(state, layout, &mut entries);
        rows.push(residual, &mut entries);
    }
    rows
}

impl Problem for Network<'_> {
    type State = State;

    fn linearise(&self, state: &State) -> Rows {
        rows(&self.weighted, state, &self.layout)
    }

    fn constraints(&self, state: &State) -> Rows {
        rows(&self.exact, state, &self.layout)
    }

    fn advance(&self, state: &State, step: &[f64]) -> State {
        state.advanced(&self.layout, step)
    }

    fn alike(&self) -> Vec<[usize; 3]> {
        self.layout.places.iter().filter_map(|&[x, y, z]| Some([x?, y?, z?])).collect()
    }
}
