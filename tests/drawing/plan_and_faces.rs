//! Drawings: what stands on them, that no label overlaps another or leaves the page, and that measures read back.

use super::by_hand;
use by_hand::{context, hip, lean_to, tee};
use eavewright::drawing::typeset::board::faults;
use eavewright::drawing::typeset::figure;
use eavewright::drawing::views::face;
use eavewright::drawing::views::plan::plan;
use eavewright::drawing::{Drawing, Pen};
use eavewright::job::Answer;
use eavewright::roof::Roof;
use eavewright::write::svg::{Setting, svg};
use support::random;

fn looked_at(drawing: &Drawing) {
    // The pages are kept where a person can look at them.
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("drawings");
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join(format!("{}.svg", drawing.name)), svg(drawing, Setting::Document)).unwrap();
}

fn plan_of(roof: &Roof, title: &str) -> Drawing {
    let mut pages = plan(&Answer::of_roof(roof.clone()), &context(title));
    eavewright::drawing::number_pages(&mut pages);
    assert_eq!(pages.len(), 1, "{title} needs a key page");
    let mut page = pages.remove(0);
    page.name = title.into();
    looked_at(&page);
    page
}

fn words(drawing: &Drawing) -> Vec<String> {
    drawing.texts().map(|text| text.words.clone()).collect()
}

#[test]
fn a_plan_names_and_measures_every_edge() {
    let page = plan_of(&hip(9.2, 5.6, 2.4, 35.0), "hip");
    let words = words(&page);
    // Ridge 9.20 - 5.60; hip sqrt(2 x 2.8² + (2.8 tan 35°)²) = 4.419.
    for expected in ["eave 9.20 m", "eave 5.60 m", "ridge 3.60 m", "hip 4.42 m", "21.88 m²", "9.57 m²", "pitch 35.0°"]
    {
        assert!(words.iter().any(|line| line == expected), "{expected} not in {words:?}");
    }
    assert_eq!(words.iter().filter(|line| *line == "hip 4.42 m").count(), 4);
    assert_eq!(faults(&page), Vec::<String>::new());
}

#[test]
fn no_label_overlaps_or_leaves_the_page() {
    for (title, roof) in [
        ("tee", tee()),
        ("lean_to", lean_to()),
        ("small", hip(1.3, 0.9, 1.0, 50.0)),
        ("long", hip(31.0, 4.0, 3.0, 22.0)),
    ] {
        let page = plan_of(&roof, title);
        assert_eq!(faults(&page), Vec::<String>::new(), "{title}");
    }
}

#[test]
fn a_plan_is_to_scale() {
    let page = plan_of(&hip(9.2, 5.6, 2.4, 35.0), "scale");
    let view = page.view.unwrap();
    assert_eq!(view.scale().round(), 50.0);
    let eaves = page.strokes(|pen| pen == Pen::Edge(eavewright::roof::EdgeKind::Eave));
    // The key shows a sample of each line, 14 mm long.
    let longest = eaves.iter().map(|(_, from, to)| (to - from).norm()).fold(0.0, f64::max);
    assert!((longest - 9200.0 / 50.0).abs() < 1e-9, "{longest}");
}

#[test]
fn a_face_in_true_shape_tells_every_angle() {
    let roof = hip(9.2, 5.6, 2.4, 35.0);
    let answer = Answer::of_roof(roof.clone());
    let groups = face::groups(&roof, &[]);
    let names: Vec<(usize, usize)> = groups.iter().map(|(id, alike)| (id.index(), alike.len())).collect();
    assert_eq!(names, [(0, 1), (1, 1)], "opposite faces are alike");
    for (id, alike) in groups {
        let shape = face::FaceShape::new(&answer, id, face::Laid::Bare, &alike, context("Boat store").words).unwrap();
        let mut pages = figure::pages(&shape, &context("Boat store"));
        eavewright::drawing::number_pages(&mut pages);
        let page = &pages[0];
        looked_at(page);
        assert_eq!(faults(page), Vec::<String>::new());
        // The sheathing angle of an equal-pitch hip at a square corner: tan = 1 / cos(pitch), 50.68 degrees at 35.
        let angle = format!("{:.1}°", (1.0 / 35f64.to_radians().cos()).atan().to_degrees());
        assert_eq!(angle, "50.7°");
        assert_eq!(words(page).iter().filter(|line| **line == angle).count(), 2);
        assert_eq!(words(page).iter().filter(|line| *line == "hip 4.42 m").count(), 2);
    }
}

#[test]
fn plans_of_random_outlines_keep_their_lettering_apart() {
    for seed in 0..5 {
        for (sides, many) in [(8, false), (16, true), (30, false), (60, true)] {
            let footprint = random::rectilinear(seed, sides, many);
            let Ok(roof) = eavewright::roof::solve(&[footprint], &eavewright::roof::Options::default()) else {
                continue;
            };
            let pages = plan(&Answer::of_roof(roof.clone()), &context("random"));
            let told: usize = pages.iter().flat_map(words).map(|line| line.matches(" m").count()).sum();
            // Every edge that is not nothing to two decimals is somewhere: on the plan, or by number beneath it or on a page
            // of its own.
            let edges = roof.edges.iter().filter(|edge| !edge.kind.is_wall_only() && roof.plan_length(edge).0 >= 0.005);
            assert!(told >= edges.count(), "seed {seed}, {sides} sides");
            for page in &pages {
                assert_eq!(faults(page), Vec::<String>::new(), "seed {seed}, {sides} sides");
            }
        }
    }
}

#[test]
fn dimension_lines_neither_cross_lettering_nor_lie_on_one_another() {
    for (title, roof) in [("tee", tee()), ("hip", hip(9.2, 5.6, 2.4, 35.0)), ("lean_to", lean_to())] {
        let page = plan_of(&roof, title);
        let lines = page.strokes(|pen| pen == Pen::Dimension);
        for (_, from, to) in &lines {
            for text in page.texts() {
                assert!(!text.bounds().meets(from, to), "{title}: a dimension line runs through \"{}\"", text.words);
            }
        }
        // Two of one direction on one line overlap nowhere, extension lines that two dimensions share aside.
        let long: Vec<_> = lines.iter().filter(|(_, from, to)| (to - from).norm() > 12.5).collect();
        for (index, (_, a, b)) in long.iter().enumerate() {
            for (_, c, d) in &long[index + 1..] {
                let along = (b - a).normalize();
                let parallel = along.perp(&(d - c).normalize()).abs() < 1e-9;
                if parallel && along.perp(&(c - a)).abs() < 0.5 {
                    let (low, high) = (along.dot(&(c - a)), along.dot(&(d - a)));
                    let overlap = low.max(high).min((b - a).norm()) - low.min(high).max(0.0);
                    assert!(overlap < 1e-9, "{title}: dimension lines overlap by {overlap} mm");
                }
            }
        }
    }
}
