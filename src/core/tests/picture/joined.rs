//! Edges measured in three rendered photos join the adjustment: what they gain, held against the true areas. Building,
//! photos, marks and tapes are invented.

use crate::scene::{Building, Scene, Spoilt, sight};
use eavewright_core::base::ids::{PlaneId, PointId};
use eavewright_core::picture::Grey;
use eavewright_core::picture::join::join;
use eavewright_core::roof::Roof;
use eavewright_core::roof::kernel::points::{self, Options};
use eavewright_core::survey::model::{
    AxisHint, Camera, FaceByPoints, Known, Mark, Measured, Observation, ObservationKind, Photo, Point, SeenLine, Survey,
};
use eavewright_core::survey::sight::Sight;
use eavewright_core::survey::{adjust, sigma};
use nalgebra::{Point3, Vector3};
use support::survey::random::Random;

/// A careful person's marks, pixels of a photo 4000 wide.
const MARK: f64 = 1.5;
/// Feet of walls, as many as there are outer corners that tapes run between.
const FEET: [&str; 5] = ["a", "b", "c", "d", "e"];

/// The corners over the feet: along the first wall, the second and the third, and round to where it began.
fn corners(building: &Building) -> &'static [&'static str] {
    if building.name == "wing" { &["W1", "W2", "E3", "E4", "E1"] } else { &["E1", "E2", "E3", "E4"] }
}

/// A building, its photos and what a survey of it states but for marks and tapes.
struct Case {
    building: Building,
    sights: Vec<Sight>,
    pictures: Vec<Option<Grey>>,
    /// Points with their names, the roof's and then the feet.
    points: Vec<(String, Point3<f64>)>,
    /// Which of them each photo shows.
    shown: Vec<Vec<usize>>,
}

impl Case {
    fn new(building: Building, width: f64) -> Self {
        let scene = Scene::new(&building);
        let size = [width, 0.75 * width];
        let middle: Vector3<f64> =
            building.points.iter().map(|(_, at)| at.coords).sum::<Vector3<f64>>() / building.points.len() as f64;
        let at = |round: f64, far: f64, tilt: f64| {
            let round = round.to_radians();
            let from = [middle.x + far * round.cos(), middle.y + far * round.sin(), 1.65];
            sight(from, [middle.x, middle.y, 2.0], tilt, size, -0.02)
        };
        let sights = vec![at(-50.0, 10.5, 0.01), at(55.0, 11.0, -0.02), at(-150.0, 11.0, 0.015)];
        let spoilt = Spoilt { blur: 1.0, noise: 2.0, quality: 90 };
        let pictures = sights
            .iter()
            .enumerate()
            .map(|(number, sight)| Some(scene.photo(sight, spoilt, &[], &[], 26.0, 500 + number as u64)))
            .collect();
        let mut points: Vec<(String, Point3<f64>)> =
            building.points.iter().map(|(name, at)| ((*name).to_owned(), *at)).collect();
        for (foot, over) in FEET.iter().zip(corners(&building)) {
            let at = building.place(over);
            points.push(((*foot).to_owned(), Point3::new(at.x, at.y, 0.0)));
        }
        let sees = |sight: &Sight, at: &Point3<f64>| {
            let inside =
                sight.pixel(at).is_some_and(|p| p.x > 5.0 && p.y > 5.0 && p.x < size[0] - 5.0 && p.y < size[1] - 5.0);
            // A foot is seen where its wall's corner is.
            let lifted = Point3::new(at.x, at.y, at.z.max(0.3));
            inside && scene.sees(sight, &lifted)
        };
        let shown = sights
            .iter()
            .map(|sight| (0..points.len()).filter(|&point| sees(sight, &points[point].1)).collect())
            .collect();
        Self { building, sights, pictures, points, shown }
    }

    fn index(&self, name: &str) -> PointId {
        PointId::new(self.points.iter().position(|(known, _)| known == name).unwrap())
    }

    /// The survey with errors of its own: marks in three photos, tapes along the walls and up two of them.
    fn survey(&self, random: &mut Random, lines: bool) -> Survey {
        let point = |(name, at): &(String, Point3<f64>)| Point {
            name: name.clone(),
            known: if name == "a" { Known::At(*at) } else { Known::Unknown },
        };
        let tape = |from: &str, to: &str, random: &mut Random| {
            let (from, to) = (self.index(from), self.index(to));
            let length = (self.points[from.index()].1 - self.points[to.index()].1).norm();
            let sigma = sigma::STEEL_TAPE.of(length);
            let length = length + sigma * random.normal();
            Observation { kind: ObservationKind::Tape { from, to, length, plan: false }, sigma }
        };
        let mut observations = Vec::new();
        let over = corners(&self.building);
        // Round a rectangle, or along all walls of an L but those between its ends.
        let round = if over.len() == 4 { ("d", "a") } else { ("d", "e") };
        for (from, to) in [("a", "b"), ("b", "c"), ("c", "d"), round, ("a", over[0]), ("c", over[2])] {
            observations.push(tape(from, to, random));
        }
        for (foot, over) in FEET.iter().zip(over) {
            let kind = ObservationKind::Plumb { a: self.index(foot), b: self.index(over) };
            observations.push(Observation { kind, sigma: sigma::PLUMB });
        }
        let axis =
            |from: &str, to: &str, along: Vector3<f64>| AxisHint { from: self.index(from), to: self.index(to), along };
        let focal = self.sights[0].lens.focal() * (1.0 + 0.03 * random.normal());
        let size = self.sights[0].size;
        let camera = Camera {
            name: "phone".to_owned(),
            focal: Measured { value: focal, sigma: sigma::FOCAL_FROM_EXIF },
            centre: [size[0] / 2.0, size[1] / 2.0],
            centre_sigma: sigma::CENTRE,
            k1: Measured { value: 0.0, sigma: sigma::K1 },
            k2: Measured { value: 0.0, sigma: 0.0 },
        };
        let mark_sigma = MARK * size[0] / sigma::MARK_WIDTH;
        let photos = self.sights.iter().zip(&self.shown).map(|(sight, shown)| {
            let marks = shown
                .iter()
                .map(|&point| {
                    let at = sight.pixel(&self.points[point].1).unwrap();
                    let at = [at.x + mark_sigma * random.normal(), at.y + mark_sigma * random.normal()];
                    Mark { point: PointId::new(point), at, sigma: mark_sigma }
                })
                .collect();
            let drawn = |pair: &[usize; 2]| pair.iter().all(|end| shown.contains(end));
            let sigma = sigma::line(size[0]);
            let mut by_hand = Vec::new();
            for pair in self.building.edges().iter().filter(|pair| lines && drawn(pair)) {
                let ends = pair.map(|end| self.points[end].1);
                let at = [0.25, 0.75].map(|share| {
                    let at = sight.pixel(&(ends[0] + (ends[1] - ends[0]) * share)).unwrap();
                    [at.x + sigma * random.normal(), at.y + sigma * random.normal()]
                });
                by_hand.push(SeenLine {
                    ends: pair.map(PointId::new),
                    at: at.to_vec(),
                    sigmas: vec![sigma; 2],
                    is_measured: false,
                });
            }
            Photo {
                camera: 0,
                file: None,
                size,
                marks,
                lines: by_hand,
                sheet: None,
                compass: None,
                plumb: Vec::new(),
                plumb_sigma: sigma,
            }
        });
        let photos = photos.collect();
        let faces = self.building.faces.iter().map(|(name, ring)| FaceByPoints {
            name: (*name).to_owned(),
            points: ring.iter().map(|name| self.index(name)).collect(),
            sigma: sigma::ON_FACE,
        });
        Survey {
            points: self.points.iter().map(point).collect(),
            faces: faces.collect(),
            observations,
            axes: vec![
                axis("a", "b", Vector3::x()),
                axis("b", "c", Vector3::y()),
                axis("c", "d", -Vector3::x()),
                axis("a", over[0], Vector3::z()),
            ],
            cameras: vec![camera],
            photos,
        }
    }

    fn area(&self) -> f64 {
        (0..self.building.faces.len()).map(|face| self.building.area(face)).sum()
    }

    fn areas(report: &eavewright_core::survey::Report) -> f64 {
        report.faces.iter().map(|face| face.area.unwrap()).sum()
    }

    fn roof(survey: &Survey, report: &eavewright_core::survey::Report) -> Roof {
        let at: Vec<Option<Point3<f64>>> = report.points.iter().map(|point| Some(point.at)).collect();
        let unsure: Vec<PlaneId> = Vec::new();
        points::solve(survey, &at, &Options { covariances: &[], unsure: &unsure }).unwrap().roof
    }
}

/// Errors of the total area, parts of it; and whether each lay within what was promised in 95 of 100 cases.
#[derive(Default)]
struct Errors {
    off: Vec<f64>,
    promised: Vec<f64>,
}

impl Errors {
    fn add(&mut self, report: &eavewright_core::survey::Report, truth: f64) {
        self.off.push((Case::areas(report) / truth - 1.0).abs());
        self.promised.push(report.area_95().unwrap() / truth);
    }

    /// The part within which 95 of 100 lie, from the root mean square of so many: errors of many small causes are normal.
    fn at_95(&self) -> f64 {
        1.96 * (self.off.iter().map(|off| off * off).sum::<f64>() / self.off.len() as f64).sqrt()
    }

    fn covered(&self) -> f64 {
        let within = self.off.iter().zip(&self.promised).filter(|(off, promised)| off <= promised).count();
        within as f64 / self.off.len() as f64
    }

    fn describe(&self, name: &str) {
        let promised = self.promised.iter().sum::<f64>() / self.promised.len() as f64;
        println!(
            "{name:<20} 95 % of areas within {:.2} %, promised {:.2} %, covered {:.0} %",
            100.0 * self.at_95(),
            100.0 * promised,
            100.0 * self.covered()
        );
    }
}

fn run(building: Building, width: f64, draws: u64) -> [Errors; 3] {
    let case = Case::new(building, width);
    let truth = case.area();
    let [mut marks, mut lines, mut edges] = [Errors::default(), Errors::default(), Errors::default()];
    let (mut found, mut tried, mut out) = (0, 0, 0);
    let mut took = std::time::Duration::ZERO;
    for draw in 0..draws {
        let mut random = Random::new(9000 + draw);
        let plain = case.survey(&mut random, false);
        let report = adjust(&[], &plain).unwrap().report;
        marks.add(&report, truth);
        let with_lines = case.survey(&mut Random::new(9000 + draw), true);
        lines.add(&adjust(&[], &with_lines).unwrap().report, truth);
        let roof = Case::roof(&plain, &report);
        let begun = std::time::Instant::now();
        let joined = join(&[], &plain, &roof, &case.pictures).unwrap();
        took += begun.elapsed();
        edges.add(&joined.adjusted.report, truth);
        tried += joined.edges.len();
        found += joined.edges.iter().filter(|edge| edge.found.is_ok()).count();
        out += joined.left_out.len();
        if std::env::var("TELL").is_ok() && draw == 0 {
            for edge in &joined.edges {
                let names = edge.ends.map(|end| case.points[end.index()].0.as_str());
                println!(
                    "photo {} {names:?} {:?}",
                    edge.photo,
                    edge.found.as_ref().map(|f| (f.at.len(), f.sigma, f.in_picture, f.off))
                );
            }
            for out in &joined.left_out {
                println!("left out {out:?}");
            }
            println!("chi2 {:?} {:?}", joined.adjusted.report.chi2, joined.adjusted.report.chi2_bounds);
        }
    }
    assert!(found * 20 > tried * 19 && out * 20 < found, "{tried} seen, {found} found, {out} left out");
    println!(
        "{}: {draws} draws, {tried} edges seen, {found} found, {out} left out, {:.0} ms a job",
        case.building.name,
        took.as_secs_f64() * 1e3 / draws as f64
    );
    marks.describe("marks alone");
    lines.describe("with lines by hand");
    edges.describe("with edges");
    [marks, lines, edges]
}

/// What limits the area of a marked shed is less its marks than its tapes and plumb lines and the lens that is found
/// together with it: edges take a little off what is promised, and never add to it.
#[test]
fn edges_measured_by_themselves_are_found_fit_and_make_the_area_surer() {
    let [marks, _, edges] = run(Building::gable(), 2000.0, 3);
    for (with, without) in edges.promised.iter().zip(&marks.promised) {
        assert!(with < &(0.99 * without), "{with} {without}");
    }
    assert_eq!(edges.covered(), 1.0);
}

#[test]
#[ignore = "three buildings in twelve megapixels, sixty draws each"]
fn edges_of_three_buildings() {
    let buildings = [Building::gable(), Building::hip(), Building::wing()];
    for building in buildings.into_iter().take(support::part_of(3)) {
        let [marks, _, edges] = run(building, 4000.0, support::part_of(60).max(6) as u64);
        assert!(edges.at_95() < marks.at_95(), "{} {}", edges.at_95(), marks.at_95());
        assert!(edges.covered() > 0.9, "{}", edges.covered());
    }
}

/// Of what the ± of the area is made: how far it falls where one kind of measurement is ten times as sure.
#[test]
#[ignore = "a minute of computing"]
fn what_limits_the_area() {
    let buildings = [Building::gable(), Building::hip(), Building::wing()];
    for building in buildings.into_iter().take(support::part_of(3)) {
        let case = Case::new(building, 4000.0);
        let plain = case.survey(&mut Random::new(9000), false);
        let report = adjust(&[], &plain).unwrap().report;
        let joined = join(&[], &plain, &Case::roof(&plain, &report), &case.pictures).unwrap();
        let promised =
            |survey: &Survey| 100.0 * adjust(&[], survey).unwrap().report.area_sd.unwrap() * 1.96 / case.area();
        println!(
            "{}: promised {:.2} % by marks, {:.2} % with edges",
            case.building.name,
            promised(&plain),
            promised(&joined.survey)
        );
        let with = |what: &str, change: &dyn Fn(&mut Survey)| {
            let mut survey = joined.survey.clone();
            change(&mut survey);
            println!("  {:.2} % with surer {what}", promised(&survey));
            promised(&survey)
        };
        let is_tape = |o: &&mut Observation| matches!(o.kind, ObservationKind::Tape { .. });
        let is_plumb = |o: &&mut Observation| matches!(o.kind, ObservationKind::Plumb { .. });
        with("tapes", &|s| s.observations.iter_mut().filter(is_tape).for_each(|o| o.sigma *= 0.1));
        with("marks", &|s| s.photos.iter_mut().flat_map(|p| &mut p.marks).for_each(|m| m.sigma *= 0.1));
        let lines = |s: &mut Survey| {
            let all = s.photos.iter_mut().flat_map(|photo| &mut photo.lines).flat_map(|line| &mut line.sigmas);
            all.for_each(|sigma| *sigma *= 0.1);
        };
        with("edges", &lines);
        let plumb = with("plumb lines", &|s| s.observations.iter_mut().filter(is_plumb).for_each(|o| o.sigma *= 0.1));
        let lens = with("lens", &|s| {
            for camera in &mut s.cameras {
                camera.focal.sigma *= 0.1;
                camera.centre_sigma *= 0.1;
                camera.k1.sigma *= 0.1;
            }
        });
        // What is found out about the lens together with the roof, and how plumb walls stand, make most of it.
        let now = promised(&joined.survey);
        assert!(plumb < 0.7 * now && lens < 0.8 * now, "{plumb} {lens} of {now}");
    }
}
