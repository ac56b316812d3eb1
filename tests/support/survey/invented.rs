//! Surveys of invented hip-roofed houses: other sizes, building errors, tapes, cameras and marks with every draw. Written
//! from the definitions of the observations alone, apart from the adjustment.
#![allow(dead_code)]

use super::random::Random;
use eavewright_core::base::ids::{PlaneId, PointId};
use eavewright_core::survey::model::{
    AxisHint, Camera, FaceByPoints, Known, Mark, Measured, Observation, ObservationKind, Photo, Point, SeenLine, Survey,
};
use eavewright_core::survey::{Adjusted, adjust};
use nalgebra::{Matrix3, Point3, Rotation3, Vector3};

/// Eaves' corners anticlockwise, ends of the ridge, feet below the eaves' corners.
pub const NAMES: [&str; 10] = ["E1", "E2", "E3", "E4", "R1", "R2", "a", "b", "c", "d"];
const FACES: [(&str, &[usize]); 4] =
    [("south", &[0, 1, 5, 4]), ("east", &[1, 2, 5]), ("north", &[2, 3, 4, 5]), ("west", &[3, 0, 4])];

/// Where a camera stands and how it looks at the house.
#[derive(Clone, Copy, Debug)]
pub enum View {
    /// From the ground, towards an eaves' corner by its number, turned about its axis by so many quarter turns.
    Corner(usize, u32),
    /// From so high above, straight down but for a few degrees.
    Above(f64),
}

/// What is measured.
#[derive(Clone, Debug)]
// Each one a choice of its own.
#[allow(clippy::struct_excessive_bools)]
pub struct Plan {
    pub tapes: Vec<[&'static str; 2]>,
    pub views: Vec<View>,
    pub axes: bool,
    pub levels: bool,
    pub plumb: bool,
    /// Points whose places are given.
    pub given: Vec<&'static str>,
    /// Points with a rough place, good to this, metres.
    pub rough: Option<f64>,
    /// Opposite faces of one pitch.
    pub equal_pitch: bool,
    /// Places marked along each eave that a photo shows.
    pub on_eaves: usize,
    /// Of the focal length, a part of it.
    pub focal_sigma: f64,
    /// Of a lens's first radial coefficient, as drawn and as stated.
    pub k1: [f64; 2],
    /// Of its second, likewise.
    pub k2: [f64; 2],
    /// The building's own errors, metres a coordinate.
    pub building: f64,
}

impl Plan {
    pub fn new(tapes: &[[&'static str; 2]], views: &[View]) -> Self {
        Self {
            tapes: tapes.to_vec(),
            views: views.to_vec(),
            axes: true,
            levels: true,
            plumb: true,
            given: vec!["a"],
            rough: None,
            equal_pitch: false,
            on_eaves: 0,
            focal_sigma: 0.03,
            k1: [0.02, 0.02],
            k2: [0.0, 0.0],
            building: BUILDING,
        }
    }
}

pub fn number(name: &str) -> usize {
    NAMES.iter().position(|other| *other == name).unwrap()
}

/// A survey with the truth it was drawn from.
pub struct Drawn {
    pub survey: Survey,
    pub places: Vec<Point3<f64>>,
}

impl Drawn {
    /// Area of a face's true points (Newell).
    pub fn area(&self, face: usize) -> f64 {
        let ring: Vec<Point3<f64>> = FACES[face].1.iter().map(|&p| self.places[p]).collect();
        let about = ring[0];
        let mut sum = Vector3::zeros();
        for pair in ring.windows(2) {
            sum += (pair[0] - about).cross(&(pair[1] - about));
        }
        sum.norm() / 2.0
    }

    /// How an adjustment of it came out.
    pub fn judge(&self, found: &Adjusted) -> Outcome {
        let mut worst = Outcome::Right;
        for (face, report) in found.report.faces.iter().enumerate() {
            let (Some(area), Some(sd)) = (report.area, report.area_sd) else { return Outcome::Refused };
            // A wrong minimum misses by far more than any chance.
            if (area - self.area(face)).abs() > 6.0 * sd + 1e-9 {
                worst = Outcome::Wrong;
            }
        }
        let ridge = |k: usize| found.report.points[k].at.z;
        if ridge(4).min(ridge(5)) < ridge(0).max(ridge(2)) {
            return Outcome::UpsideDown;
        }
        worst
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    Right,
    Wrong,
    UpsideDown,
    Refused,
    Failed,
}

/// A house of another size with every draw, with its building errors; the first corner's foot at the
/// origin.
pub fn house(random: &mut Random, building: f64) -> Vec<Point3<f64>> {
    let mut between = |low: f64, high: f64| low + (high - low) * random.unit();
    let (length, width) = (between(5.0, 11.0), between(3.5, 5.0));
    let (eaves, rise) = (between(2.2, 3.5), between(0.7, 2.2));
    let hip = between(0.8, 0.45 * length.min(width * 1.2));
    let plan = [[0.0, 0.0], [length, 0.0], [length, width], [0.0, width]];
    let mut places: Vec<Point3<f64>> = plan.iter().map(|p| Point3::new(p[0], p[1], eaves)).collect();
    places.push(Point3::new(hip, width / 2.0, eaves + rise));
    places.push(Point3::new(length - hip, width / 2.0, eaves + rise));
    places.extend(plan.iter().map(|p| Point3::new(p[0], p[1], 0.0)));
    for place in &mut places {
        *place += Vector3::new(random.normal(), random.normal(), random.normal()) * building;
    }
    let shift = places[6].coords;
    for place in &mut places {
        *place -= shift;
    }
    places
}

/// A camera's rotation (site to camera: x right, y down, z ahead) that looks along `ahead` with its top towards `up`.
fn looking(ahead: &Vector3<f64>, up: &Vector3<f64>) -> Matrix3<f64> {
    let ahead = ahead.normalize();
    let right = ahead.cross(up).normalize();
    let down = ahead.cross(&right);
    Matrix3::from_rows(&[right.transpose(), down.transpose(), ahead.transpose()])
}

fn pose(view: View, places: &[Point3<f64>], random: &mut Random) -> (Matrix3<f64>, Point3<f64>) {
    let eaves = places[..4].iter().fold(Vector3::zeros(), |sum, p| sum + p.coords) / 4.0;
    let wobble = Rotation3::new(Vector3::new(random.normal(), random.normal(), random.normal()) * 0.03).into_inner();
    match view {
        View::Corner(corner, quarters) => {
            let out = (places[corner].coords - eaves).xy().normalize();
            let turn = nalgebra::Rotation2::new(0.3 * random.signed());
            let out = turn * out;
            let distance = 8.0 + 5.0 * random.unit() + (places[1] - places[0]).norm() / 2.0;
            let centre =
                Point3::new(eaves.x + out.x * distance, eaves.y + out.y * distance, 1.6 + 0.1 * random.signed());
            let aim = Point3::new(eaves.x, eaves.y, 0.8 * eaves.z);
            let roll = Rotation3::new(Vector3::z() * f64::from(quarters) * std::f64::consts::FRAC_PI_2).into_inner();
            (roll * wobble * looking(&(aim - centre), &Vector3::z()), centre)
        }
        View::Above(height) => {
            let aside = Vector3::new(random.signed(), random.signed(), 0.0) * 4.0;
            let centre = Point3::from(eaves + aside + Vector3::new(0.0, 0.0, height));
            let bearing = std::f64::consts::TAU * random.unit();
            let top = Vector3::new(bearing.cos(), bearing.sin(), 0.0);
            let ahead = Vector3::new(-0.8 * aside.x, -0.8 * aside.y, -height);
            (wobble * looking(&ahead, &top), centre)
        }
    }
}

/// Errors of a building, metres a coordinate: what levels of 10 mm, plumb lines of 12.5 mm and faces flat to 10 mm allow for.
const BUILDING: f64 = 0.009;
pub const MARK_SIGMA: f64 = 1.5;
const LINE_SIGMA: f64 = 1.0;
const TAPE_SIGMA: f64 = 0.003;

/// A survey drawn by a plan.
pub fn draw(plan: &Plan, random: &mut Random) -> Drawn {
    let places = house(random, plan.building);
    let id = |name: &str| PointId::new(number(name));
    let mut observations = Vec::new();
    for [from, to] in &plan.tapes {
        let length = (places[number(from)] - places[number(to)]).norm() + TAPE_SIGMA * random.normal();
        let kind = ObservationKind::Tape { from: id(from), to: id(to), length, plan: false };
        observations.push(Observation { kind, sigma: TAPE_SIGMA });
    }
    if plan.levels {
        for group in [&["E1", "E2", "E3", "E4"][..], &["R1", "R2"]] {
            let kind = ObservationKind::Level { points: group.iter().map(|name| id(name)).collect() };
            observations.push(Observation { kind, sigma: 0.010 });
        }
    }
    if plan.plumb {
        for [foot, corner] in [["a", "E1"], ["b", "E2"], ["c", "E3"], ["d", "E4"]] {
            let kind = ObservationKind::Plumb { a: id(foot), b: id(corner) };
            observations.push(Observation { kind, sigma: 0.0125 });
        }
    }
    if plan.equal_pitch {
        let faces = [0, 2].map(PlaneId::new).to_vec();
        observations.push(Observation { kind: ObservationKind::EqualPitch { faces }, sigma: 0.5_f64.to_radians() });
    }
    let axes = if plan.axes {
        [("a", "b", Vector3::x()), ("b", "c", Vector3::y()), ("c", "d", -Vector3::x()), ("d", "a", -Vector3::y())]
            .map(|(from, to, along)| AxisHint { from: id(from), to: id(to), along })
            .to_vec()
    } else {
        Vec::new()
    };
    let points = NAMES
        .iter()
        .zip(&places)
        .map(|(name, at)| {
            let known = if plan.given.contains(name) {
                Known::At(*at)
            } else if let Some(within) = plan.rough {
                Known::Near(at + Vector3::new(random.normal(), random.normal(), random.normal()) * within)
            } else {
                Known::Unknown
            };
            Point { name: (*name).to_owned(), known }
        })
        .collect();
    let prior = 3004.6;
    let focal = prior * (plan.focal_sigma * random.normal()).exp();
    let middle = [2000.0 + 20.0 * random.normal(), 1500.0 + 20.0 * random.normal()];
    let k1 = plan.k1[0] * random.normal();
    let k2 = plan.k2[0] * random.normal();
    let mut photos = Vec::new();
    for (index, &view) in plan.views.iter().enumerate() {
        let (rotation, centre) = pose(view, &places, random);
        let hidden: &[usize] = match view {
            View::Corner(corner, _) => &[(corner + 2) % 4, 6 + (corner + 2) % 4],
            View::Above(_) => &[6, 7, 8, 9],
        };
        let pixel = |place: &Point3<f64>, random: &mut Random, sigma: f64| -> Option<[f64; 2]> {
            let q = rotation * (place - centre);
            let (x, y) = (q.x / q.z, q.y / q.z);
            let square = x * x + y * y;
            let gain = focal * (1.0 + k1 * square + k2 * square * square);
            let at = [middle[0] + gain * x + sigma * random.normal(), middle[1] + gain * y + sigma * random.normal()];
            (q.z > 0.5 && (0.0..4000.0).contains(&at[0]) && (0.0..3000.0).contains(&at[1])).then_some(at)
        };
        let mut marks = Vec::new();
        for (point, place) in places.iter().enumerate().filter(|(point, _)| !hidden.contains(point)) {
            if let Some(at) = pixel(place, random, MARK_SIGMA) {
                marks.push(Mark { point: PointId::new(point), at, sigma: MARK_SIGMA });
            }
        }
        let mut lines = Vec::new();
        for ends in [[0, 1], [1, 2], [2, 3], [3, 0]] {
            if plan.on_eaves > 0 && !ends.iter().any(|end| hidden.contains(end)) {
                let [a, b] = ends.map(|end| places[end]);
                let shares = (0..plan.on_eaves).map(|k| (k as f64 + 0.5) / plan.on_eaves as f64);
                let at: Vec<[f64; 2]> =
                    shares.filter_map(|share| pixel(&(a + (b - a) * share), random, LINE_SIGMA)).collect();
                let sigmas = vec![LINE_SIGMA; at.len()];
                lines.push(SeenLine { ends: ends.map(PointId::new), at, sigmas, is_measured: false });
            }
        }
        photos.push(Photo {
            camera: 0,
            file: Some(format!("p{index}.jpg")),
            size: [4000.0, 3000.0],
            marks,
            lines,
            sheet: None,
            compass: None,
            plumb: Vec::new(),
            plumb_sigma: 1.0,
        });
    }
    let camera = Camera {
        name: String::from("phone"),
        focal: Measured { value: prior, sigma: plan.focal_sigma },
        centre: [2000.0, 1500.0],
        centre_sigma: 20.0,
        k1: Measured { value: 0.0, sigma: plan.k1[1] },
        k2: Measured { value: 0.0, sigma: plan.k2[1] },
    };
    let faces = FACES
        .iter()
        .map(|(name, ring)| FaceByPoints {
            name: (*name).to_owned(),
            points: ring.iter().map(|&p| PointId::new(p)).collect(),
            sigma: 0.010,
        })
        .collect();
    let cameras = if photos.is_empty() { Vec::new() } else { vec![camera] };
    Drawn { survey: Survey { points, faces, observations, axes, cameras, photos }, places }
}

/// How many draws came out each way, and how many of the areas answered were within 1.96 of their standard deviations.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    pub right: usize,
    pub wrong: usize,
    pub upside_down: usize,
    pub refused: usize,
    pub failed: usize,
    pub within: usize,
    pub areas: usize,
    /// Answers in which something was doubted.
    pub doubted: usize,
    /// Areas answered that miss the truth by more than six standard deviations.
    pub false_areas: usize,
    /// Draws that did not come out right, by number.
    pub odd: Vec<(usize, Outcome)>,
}

/// Draws by a plan, adjusted.
pub fn tally(plan: &Plan, runs: usize, seed: u64) -> Tally {
    let mut random = Random::new(seed);
    let mut tally = Tally::default();
    for run in 0..runs {
        let drawn = draw(plan, &mut random);
        let Ok(found) = adjust(&[], &drawn.survey) else {
            tally.failed += 1;
            tally.odd.push((run, Outcome::Failed));
            continue;
        };
        let outcome = drawn.judge(&found);
        if outcome != Outcome::Right {
            tally.odd.push((run, outcome));
        }
        match outcome {
            Outcome::Right => tally.right += 1,
            Outcome::Wrong => tally.wrong += 1,
            Outcome::UpsideDown => tally.upside_down += 1,
            Outcome::Refused => tally.refused += 1,
            Outcome::Failed => tally.failed += 1,
        }
        tally.doubted += usize::from(!found.report.suspects.is_empty());
        for (face, report) in found.report.faces.iter().enumerate() {
            if let (Some(area), Some(sd)) = (report.area, report.area_sd) {
                let error = (area - drawn.area(face)).abs();
                tally.areas += 1;
                tally.within += usize::from(error <= 1.96 * sd);
                tally.false_areas += usize::from(error > 6.0 * sd + 1e-9);
            }
        }
    }
    tally
}

/// The kinds of job that broke.
pub fn kinds() -> Vec<(&'static str, Plan)> {
    let round = [["a", "b"], ["b", "c"], ["c", "d"], ["d", "a"], ["a", "E1"], ["c", "E3"], ["a", "c"], ["b", "d"]];
    let eaves = [["E1", "E2"], ["E2", "E3"], ["E3", "E4"], ["E4", "E1"], ["E1", "E3"], ["E2", "E4"]];
    let slopes = [["E1", "R1"], ["E4", "R1"], ["E2", "R2"], ["E3", "R2"], ["R1", "R2"]];
    let all: Vec<[&'static str; 2]> = eaves.iter().chain(&slopes).copied().collect();
    let mut kinds = Vec::new();
    let mut tapes = Plan::new(&slopes, &[]);
    tapes.given = vec!["E1", "E2", "E3", "E4"];
    (tapes.plumb, tapes.axes, tapes.levels) = (false, false, false);
    kinds.push(("tapes from given eaves", tapes.clone()));
    tapes.levels = true;
    kinds.push(("tapes from given eaves, level", tapes));
    let mut free = Plan::new(&all, &[]);
    free.given = vec![];
    (free.plumb, free.axes) = (false, false);
    kinds.push(("tapes alone", free.clone()));
    free.axes = true;
    free.tapes.extend([
        ["a", "E1"],
        ["c", "E3"],
        ["b", "E2"],
        ["d", "E4"],
        ["a", "b"],
        ["b", "c"],
        ["c", "d"],
        ["d", "a"],
        ["a", "c"],
    ]);
    free.plumb = true;
    kinds.push(("tapes alone with feet and axes", free.clone()));
    free.axes = false;
    kinds.push(("tapes alone with feet", free));
    let mut rough = Plan::new(&all, &[]);
    rough.given = vec![];
    (rough.plumb, rough.axes, rough.rough) = (false, false, Some(0.3));
    kinds.push(("tapes with rough places", rough));
    let mut one = Plan::new(&round, &[View::Corner(1, 0)]);
    one.focal_sigma = 0.05;
    kinds.push(("one photo, ridge's height open", one.clone()));
    one.equal_pitch = true;
    kinds.push(("one photo, equal pitches", one.clone()));
    one.views = vec![View::Corner(1, 1)];
    kinds.push(("one photo, phone rolled", one.clone()));
    one.views = vec![View::Corner(1, 0)];
    one.equal_pitch = false;
    one.tapes.push(["E2", "R2"]);
    kinds.push(("one photo, hip taped", one));
    let two = [["a", "b"], ["b", "c"], ["c", "d"], ["d", "a"], ["a", "E1"], ["c", "E3"]];
    let mut opposite = Plan::new(&two, &[View::Corner(1, 0), View::Corner(3, 0)]);
    opposite.axes = false;
    kinds.push(("two opposite photos, no axes", opposite.clone()));
    opposite.axes = true;
    kinds.push(("two opposite photos, axes", opposite.clone()));
    opposite.views = vec![View::Corner(1, 0), View::Corner(2, 0)];
    opposite.axes = false;
    kinds.push(("two neighbouring photos, no axes", opposite.clone()));
    opposite.views = vec![View::Corner(1, 1), View::Corner(2, 1)];
    kinds.push(("two photos, phone rolled, no axes", opposite.clone()));
    opposite.axes = true;
    kinds.push(("two photos, phone rolled, axes", opposite));
    let mut above = Plan::new(&[["E1", "E2"], ["E2", "E3"]], &[View::Above(12.0), View::Above(14.0)]);
    (above.axes, above.plumb) = (false, false);
    above.given = vec![];
    kinds.push(("two photos straight down, no axes", above));
    let three = [View::Corner(1, 0), View::Corner(3, 0), View::Corner(0, 0)];
    kinds.push(("three photos, one tape", Plan::new(&[["a", "b"]], &three)));
    let mut bare = Plan::new(&[["a", "b"]], &three);
    bare.axes = false;
    kinds.push(("three photos, one tape, no axes", bare));
    kinds
}

/// The same survey as a roof file.
pub fn text(drawn: &Drawn) -> String {
    let survey = &drawn.survey;
    let name = |point: PointId| NAMES[point.index()];
    let names = |points: &[PointId]| points.iter().map(|&p| format!("\"{}\"", name(p))).collect::<Vec<_>>().join(", ");
    let mut text = String::from("units = \"m\"\n[points]\n");
    for point in &survey.points {
        let known = match point.known {
            Known::At(at) => format!("[{}, {}, {}]", at.x, at.y, at.z),
            Known::Near(at) => format!("{{ near = [{}, {}, {}] }}", at.x, at.y, at.z),
            _ => String::from("{}"),
        };
        text += &format!("{} = {known}\n", point.name);
    }
    for face in &survey.faces {
        text += &format!("[[face]]\nname = \"{}\"\npoints = [{}]\n", face.name, names(&face.points));
    }
    for observation in &survey.observations {
        text += &match &observation.kind {
            ObservationKind::Tape { from, to, length, .. } => format!(
                "[[tape]]\nfrom = \"{}\"\nto = \"{}\"\nlength = {length}\nsigma = \"{} m\"\n",
                name(*from),
                name(*to),
                observation.sigma
            ),
            ObservationKind::Level { points } => format!("[[level]]\npoints = [{}]\n", names(points)),
            ObservationKind::Plumb { a, b } => format!("[[plumb]]\npoints = [{}]\n", names(&[*a, *b])),
            ObservationKind::EqualPitch { faces } => {
                let faces: Vec<&str> = faces.iter().map(|face| survey.faces[face.index()].name.as_str()).collect();
                format!("[[equal_pitch]]\nfaces = {faces:?}\n")
            }
            other => panic!("not drawn: {other:?}"),
        };
    }
    for axis in &survey.axes {
        let (sign, along) = match (axis.along.x, axis.along.y) {
            (x, 0.0) => (x, "x"),
            (_, y) => (y, "y"),
        };
        let sign = if sign < 0.0 { "-" } else { "+" };
        let (from, to) = (name(axis.from), name(axis.to));
        text += &format!("[[axis]]\nfrom = \"{from}\"\nto = \"{to}\"\nalong = \"{sign}{along}\"\n");
    }
    for camera in &survey.cameras {
        text += &format!(
            "[[camera]]\nname = \"{}\"\nfocal = {}\nfocal_sigma = \"{} %\"\nk1_sigma = {}\nk2_sigma = {}\n",
            camera.name,
            camera.focal.value,
            100.0 * camera.focal.sigma,
            camera.k1.sigma,
            camera.k2.sigma
        );
    }
    for photo in &survey.photos {
        let marks: Vec<String> =
            photo.marks.iter().map(|mark| format!("{} = [{}, {}]", name(mark.point), mark.at[0], mark.at[1])).collect();
        let lines: Vec<String> = photo
            .lines
            .iter()
            .map(|line| format!("\"{}-{}\" = {:?}", name(line.ends[0]), name(line.ends[1]), line.at))
            .collect();
        text += &format!(
            "[[photo]]\ncamera = \"phone\"\nfile = \"{}\"\nsize = [4000, 3000]\nmark_sigma = {MARK_SIGMA}\nmarks = {{ {} }}\n\
             line_sigma = {LINE_SIGMA}\nlines = {{ {} }}\n",
            photo.file.as_deref().unwrap_or("photo.jpg"),
            marks.join(", "),
            lines.join(", ")
        );
    }
    text
}
