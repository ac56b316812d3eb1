//! How a roof comes about: level cuts of the solid, what happens at which height, and the way into the net.

use eavewright::base::plane::Plane;
use eavewright::drawing::views::body::Body;
use eavewright::drawing::views::net::Net;
use eavewright::drawing::views::unfold::Unfolding;
use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Answer, Options};
use eavewright::roof::EdgeKind;
use eavewright::roof::analysis::cut::Cut;
use eavewright::roof::analysis::rise::{RiseEvent, rise_events};
use eavewright::roof::model::solid;
use nalgebra::{Point3, Vector3};

const TOLERANCE: f64 = 1e-6;

fn solved(text: &str) -> Answer {
    let (job, _, _) = input::read("test", text, &NoFiles).unwrap_or_else(|errors| panic!("{errors:?}"));
    job::solve(&job, &Options { steps: true, spread: false }).unwrap_or_else(|failure| panic!("{failure}"))
}

fn block(height: f64, corners: &[(f64, f64, &str)]) -> String {
    let side = |(index, (x, y, rest)): (usize, &(f64, f64, &str))| {
        format!("  {{ from = \"{}\", at = [{x}, {y}], {rest} }},\n", char::from(b'A' + u8::try_from(index).unwrap()))
    };
    let sides: String = corners.iter().enumerate().map(side).collect();
    format!("title = \"t\"\nunits = \"m\"\n[[block]]\nname = \"b\"\nheight = {height}\nsides = [\n{sides}]\n")
}

fn hip() -> Answer {
    let p = "pitch = 35";
    solved(&block(2.4, &[(0.0, 0.0, p), (9.2, 0.0, p), (9.2, 5.6, p), (0.0, 5.6, p)]))
}

/// An L with two gables: a hip and a valley in one line.
fn gabled_l() -> Answer {
    let p = "pitch = 30";
    let v = "verge = true";
    solved(&block(2.4, &[(0.0, 0.0, p), (8.0, 0.0, v), (8.0, 4.0, p), (4.0, 4.0, p), (4.0, 7.0, v), (0.0, 7.0, p)]))
}

fn several() -> Vec<Answer> {
    let [p, q] = ["pitch = 35", "pitch = 50"];
    let u = block(
        2.0,
        &[
            (0.0, 0.0, p),
            (12.0, 0.0, q),
            (12.0, 7.0, p),
            (9.0, 7.0, p),
            (9.0, 3.5, q),
            (4.0, 3.5, p),
            (4.0, 8.0, p),
            (0.0, 8.0, q),
        ],
    );
    let courtyard = block(2.4, &[(0.0, 0.0, p), (9.0, 0.0, p), (9.0, 9.0, p), (0.0, 9.0, p)])
        + "holes = [ { sides = [ { from = \"P\", at = [3, 3], pitch = 35 }, { from = \"Q\", at = [6, 3], pitch = 35 }, \
         { from = \"R\", at = [6, 6.5], pitch = 35 }, { from = \"S\", at = [3, 6.5], pitch = 35 } ] } ]\n";
    let gambrel = block(
        2.4,
        &[
            (0.0, 0.0, "pitch = 60, breaks = [{ rise = 1.7, pitch = 30 }]"),
            (7.0, 0.0, "verge = true"),
            (7.0, 6.0, "pitch = 60, breaks = [{ rise = 1.7, pitch = 30 }]"),
            (0.0, 6.0, "verge = true, hip_from = 1.0, pitch = 60"),
        ],
    );
    let mut answers = vec![hip(), gabled_l(), solved(&u), solved(&courtyard), solved(&gambrel)];
    let stable = include_str!("../../examples/stable_l.toml");
    answers.push(solved(stable));
    answers
}

fn level(height: f64) -> Plane {
    Plane { normal: Vector3::z(), offset: height }
}

/// Every side moves inwards by height / tan(pitch): the outline of a hip roof stays a rectangle.
#[test]
fn the_outline_of_a_hip_roof_shrinks_to_its_ridge() {
    let answer = hip();
    let solid = solid::build(&answer.roof, 0.0);
    let tangent = 35_f64.to_radians().tan();
    for rise in [0.0, 0.3, 1.0, 1.9] {
        let plane = level(2.4 + rise);
        let cut = Cut::of(&solid, &plane);
        assert_eq!(cut.lines.len(), 1, "{rise}");
        let inset = 2.0 * rise / tangent;
        assert!((cut.area(&plane) - (9.2 - inset) * (5.6 - inset)).abs() < 1e-9, "{rise}");
        assert_eq!(cut.lines[0].places.len(), 4);
        let names: Vec<&str> = cut.lines[0]
            .faces
            .iter()
            .map(|face| answer.roof.faces[face.unwrap().index()].side().unwrap().side.as_str())
            .collect();
        let start = names.iter().position(|name| *name == "A").unwrap();
        let turned: Vec<&str> = names[start..].iter().chain(&names[..start]).copied().collect();
        assert_eq!(turned, ["A", "B", "C", "D"], "anticlockwise from above");
    }
    assert!(Cut::of(&solid, &level(2.4 + 2.8 * tangent + 1e-9)).lines.is_empty());
}

/// Cavalieri: the areas of level cuts add up to the volume. Between two happenings an area is a quadratic of the height,
/// which Simpson's rule integrates exactly.
#[test]
fn level_cuts_add_up_to_the_volume() {
    for answer in several() {
        let roof = &answer.roof;
        let built = solid::build(roof, 0.0);
        let mut heights: Vec<f64> = built.positions.iter().map(|place| place.z).collect();
        heights.sort_by(f64::total_cmp);
        heights.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
        let area = |height: f64| Cut::of(&built, &level(height)).area(&level(height));
        let mut volume = 0.0;
        for slab in heights.windows(2) {
            // Just inside the slab: a cut through a corner is the limit from one side only.
            let inset = (slab[1] - slab[0]) * 1e-7;
            let (low, high) = (slab[0] + inset, slab[1] - inset);
            volume += (slab[1] - slab[0]) / 6.0 * (area(low) + 4.0 * area(f64::midpoint(low, high)) + area(high));
        }
        let expected = solid::volume(roof, 0.0);
        assert!((volume - expected).abs() < 1e-5 * expected, "{volume} against {expected}");
    }
}

/// A courtyard is a hole of the wavefront until the ring has risen to a closed ridge.
#[test]
fn a_courtyard_is_a_hole_of_the_wavefront() {
    let answer = &several()[3];
    let solid = solid::build(&answer.roof, 0.0);
    let cut = Cut::of(&solid, &level(2.6));
    let mut areas: Vec<f64> =
        (cut.lines.iter()).map(|line| eavewright::base::polygon::vector_area(&line.places).z).collect();
    areas.sort_by(f64::total_cmp);
    let inset = 0.2 / 35_f64.to_radians().tan();
    let expected = [-(3.0 + 2.0 * inset) * (3.5 + 2.0 * inset), (9.0 - 2.0 * inset) * (9.0 - 2.0 * inset)];
    assert_eq!(areas.len(), 2);
    assert!(areas.iter().zip(expected).all(|(a, b)| (a - b).abs() < 1e-9), "{areas:?}");
}

#[test]
fn a_hip_roof_has_one_happening_its_ridge() {
    let answer = hip();
    let list = rise_events(&answer.roof, TOLERANCE);
    let [ridge] = list.as_slice() else { panic!("{list:?}") };
    assert!((ridge.height - 2.4 - 2.8 * 35_f64.to_radians().tan()).abs() < 1e-9);
    assert_eq!((ridge.end.len(), ridge.begin.len(), ridge.level.len(), ridge.used_up.len()), (4, 0, 1, 4));
    assert_eq!(answer.roof.edges[ridge.level[0].index()].kind, EdgeKind::Ridge);
}

/// What the solved roof tells agrees with what the sweep met on its way: every event of the sweep lies at a height at
/// which something happens there, and the other way round.
#[test]
fn happenings_are_the_events_of_the_sweep() {
    for answer in several() {
        let list = rise_events(&answer.roof, TOLERANCE);
        assert!(!answer.roof.events.is_empty());
        let corners = |event: &RiseEvent| -> Vec<Point3<f64>> {
            event.corners.iter().map(|corner| answer.roof.at(*corner)).collect()
        };
        for event in &answer.roof.events {
            let met = list
                .iter()
                .flat_map(corners)
                .any(|at| (at.z - event.height).abs() < 1e-6 && (at.xy() - event.at).norm() < 1e-6);
            // A side that begins at its own height changes its speed on the outline: nothing meets there.
            assert!(met || event.kind == "speed change", "{event:?}");
        }
        for event in &list {
            let met = answer.roof.events.iter().any(|event| (event.height - event.height).abs() < 1e-6);
            assert!(met, "{event:?}");
        }
    }
}

/// The end of the way is the printed net, corner for corner; its start is the body; and on the way every fold stays
/// together.
#[test]
fn unfolding_ends_at_the_net() {
    for answer in several() {
        let body = Body::of(&answer.roof, 0.0);
        let net = Net::of(&answer.roof, &body);
        let way = Unfolding::of(&body, &net);
        // Corners lie on their faces to the job's tolerance, not nearer: a contracted remnant moves one by as much.
        let epsilon = eavewright::base::tolerance::default_for(body.size());
        let (start, end) = (way.at(0.0), way.at(1.0));
        for (flat, shape) in body.flats.iter().enumerate() {
            for (ring, laid) in shape.rings.iter().zip(&net.laid[flat].rings) {
                for (&corner, on_paper) in ring.iter().zip(laid) {
                    let place = body.places[corner];
                    assert!((start[flat] * place - place).norm() < epsilon);
                    let off = end[flat] * place - Point3::new(on_paper.x, on_paper.y, 0.0);
                    assert!(off.norm() < epsilon, "{} off {off}", answer.roof.faces.len());
                }
            }
            let up = end[flat] * shape.normal;
            assert!((up - Vector3::z()).norm() < 1e-6, "the outside lies up");
        }
        for share in [0.1, 0.37, 0.8] {
            let poses = way.at(share);
            for (flat, laid) in net.laid.iter().enumerate() {
                let Some((on, fold)) = laid.beside else { continue };
                for end in body.folds[fold].ends {
                    let gap = poses[flat] * body.places[end] - poses[on] * body.places[end];
                    assert!(gap.norm() < epsilon);
                }
            }
        }
    }
}

/// Half-way the angle between two neighbours of the net is half-way between its own and flat.
#[test]
fn folds_open_evenly() {
    let answer = hip();
    let body = Body::of(&answer.roof, 0.0);
    let net = Net::of(&answer.roof, &body);
    let way = Unfolding::of(&body, &net);
    let angle = |share: f64, a: usize, b: usize| {
        let poses = way.at(share);
        (poses[a] * body.flats[a].normal).angle(&(poses[b] * body.flats[b].normal))
    };
    let mut seen = 0;
    for (flat, laid) in net.laid.iter().enumerate() {
        if let Some((on, _)) = laid.beside {
            assert!((angle(0.5, flat, on) - angle(0.0, flat, on) / 2.0).abs() < 1e-9);
            seen += 1;
        }
    }
    assert!(seen > 4);
}

/// The rafter drawn is the rafter told: its ends lie in its face, straight up the slope.
#[test]
fn a_common_rafter_runs_up_its_face() {
    for answer in several() {
        for rafter in &answer.framing.commons {
            let face = &answer.roof.faces[rafter.face.index()];
            let [foot, head] = rafter.line;
            assert!(face.plane.distance(&foot).abs() < 1e-9 && face.plane.distance(&head).abs() < 1e-9);
            assert!(((head - foot).norm() - rafter.length.0).abs() < 1e-9);
            assert!(((head - foot).xy().norm() - rafter.run.0).abs() < 1e-9);
            assert!((head.z - foot.z - rafter.rise).abs() < 1e-9);
        }
    }
}
