//! An eave that runs on over a porch without overhang borders free air, the wall over the porch, free air again: three
//! edges of one face, and one eave to whoever measures along it, buys for it or lays from it. However the house is turned.

use eavewright::base::finding::Finding as _;
use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Answer, Job, Options};
use eavewright::roof::model::frame::FaceFrame;
use eavewright::roof::{Edge, EdgeKind, Roof};
use eavewright::takeoff::{TakeOff, rain};
use nalgebra::{Point2, Rotation2, Vector2};

const HEADINGS: [f64; 8] = [0.0, 13.7, 30.0, 45.0, 90.0, 203.0, 270.0, 301.0];
const START: [f64; 2] = [317.3, 4211.9];

/// A block by its corners in a frame that is turned and moved.
fn block(name: &str, heading: f64, what: &str, sides: [([f64; 2], &str); 4]) -> String {
    let side = |(letter, ([x, y], role)): (char, ([f64; 2], &str))| {
        format!("  {{ from = \"{letter}\", at = [{x:?}, {y:?}], {role} }},\n")
    };
    let sides: String = ('A'..).zip(sides).map(side).collect();
    format!("[[block]]\nname = \"{name}\"\nstart = {START:?}\nheading = {heading:?}\n{what}\nsides = [\n{sides}]\n\n")
}

/// A gable 8 x 6, eaves 4.0 up at 35°.
fn house(heading: f64, what: &str) -> String {
    let sides = [
        ([0.0, 0.0], "pitch = 35"),
        ([8.0, 0.0], "verge = true"),
        ([8.0, 6.0], "pitch = 35"),
        ([0.0, 6.0], "verge = true"),
    ];
    format!("units = \"m\"\n\n{}", block("house", heading, what, sides))
}

/// A lean-to 2.4 wide and 1.5 deep, 2.4 up at 30°, against the front or the back of the house, 2.0 from its left corner.
fn porch(heading: f64, at_back: bool) -> String {
    let place = |x: f64, out: f64| if at_back { [8.0 - x, 6.0 + out] } else { [x, -out] };
    let sides = [
        (place(2.0, 1.5), "pitch = 30"),
        (place(4.4, 1.5), "verge = true"),
        (place(4.4, 0.0), "abutment = true"),
        (place(2.0, 0.0), "verge = true"),
    ];
    block("porch", heading, "height = 2.4", sides)
}

fn solved(text: &str) -> (Job, Answer) {
    let (job, ..) = input::read("roof.toml", text, &NoFiles).unwrap_or_else(|errors| panic!("{errors:?}\n{text}"));
    let answer = job::solve(&job, &Options { spread: false, ..Options::default() });
    let answer = answer.unwrap_or_else(|failure| panic!("{failure}\n{text}"));
    (job, answer)
}

fn near(found: f64, wanted: f64, what: &str) {
    assert!((found - wanted).abs() < 1e-6, "{what}: {found}, expected {wanted}");
}

/// Where a place of the unturned house lies.
fn site(heading: f64, place: [f64; 2]) -> Point2<f64> {
    Point2::from(START) + Rotation2::new(heading.to_radians()) * Vector2::from(place)
}

/// The edges of one kind on a face, from left to right, each with how long it is and what lies beyond it.
fn edges_on(roof: &Roof, face: &str, kind: EdgeKind) -> Vec<(f64, Vec<String>)> {
    let face = &roof.faces[roof.face_named(face).unwrap().index()];
    let frame = FaceFrame::of(roof, face).unwrap();
    let left = |edge: &Edge| frame.to_face(&roof.at(edge.from)).x.min(frame.to_face(&roof.at(edge.to)).x);
    let mut edges: Vec<&Edge> =
        face.edges.iter().map(|&id| &roof.edges[id.index()]).filter(|edge| edge.kind == kind).collect();
    edges.sort_by(|a, b| left(a).total_cmp(&left(b)));
    let beyond = |edge: &Edge| edge.faces.iter().skip(1).map(|face| roof.faces[face.index()].name()).collect();
    edges.iter().map(|edge| (roof.length(edge).0, beyond(edge))).collect()
}

#[test]
fn an_eave_over_a_porch_is_three_edges_of_one_length() {
    for heading in HEADINGS {
        for (at_back, face, wall) in [(false, "house/A", "house/A:wall"), (true, "house/C", "house/C:wall")] {
            let (_, answer) = solved(&(house(heading, "height = 4") + &porch(heading, at_back)));
            let roof = &answer.roof;
            let eaves = edges_on(roof, face, EdgeKind::Eave);
            let beyond: Vec<Vec<String>> = eaves.iter().map(|(_, beyond)| beyond.clone()).collect();
            assert_eq!(beyond, [vec![], vec![wall.to_owned()], vec![]], "{heading} {face}");
            for ((length, _), wanted) in eaves.iter().zip([2.0, 2.4, 3.6]) {
                near(*length, wanted, face);
            }
            // Both eaves of the house, and the porch's own.
            let total: f64 =
                roof.edges.iter().filter(|edge| edge.kind == EdgeKind::Eave).map(|edge| roof.length(edge).0).sum();
            near(total, 8.0 + 8.0 + 2.4, "eaves");
            let above = &roof.faces[roof.face_named(wall).unwrap().index()];
            near(roof.area(above).0, 2.4 * (4.0 - 2.4 - 1.5 * 30_f64.to_radians().tan()), wall);
            assert!(
                answer.findings.iter().all(|one| one.faces().is_empty() && one.sides().is_empty()),
                "{:?}",
                answer.findings
            );
        }
    }
}

/// Under an overhang the porch runs on to the wall: nothing touches the eave, and it is one edge.
#[test]
fn an_overhanging_eave_over_a_porch_is_one_edge() {
    for heading in HEADINGS {
        let what = "height = 4\nmeasured_at = \"wall\"\noverhang = { eave = 0.4, verge = 0.2 }";
        let (_, answer) = solved(&(house(heading, what) + &porch(heading, false)));
        let eaves = edges_on(&answer.roof, "house/A", EdgeKind::Eave);
        assert!(eaves.len() == 1 && eaves[0].1.is_empty(), "{eaves:?}");
        near(eaves[0].0, 8.4, "eave");
    }
}

/// A porch whose roof ends just at the eave takes that stretch of it: water runs on over a level valley.
#[test]
fn a_porch_up_to_the_eave_takes_its_stretch() {
    for heading in HEADINGS {
        let height = 2.4 + 1.5 * 30_f64.to_radians().tan();
        let (_, answer) = solved(&(house(heading, &format!("height = {height:?}")) + &porch(heading, false)));
        let eaves = edges_on(&answer.roof, "house/A", EdgeKind::Eave);
        let valleys = edges_on(&answer.roof, "house/A", EdgeKind::Valley);
        assert_eq!((eaves.len(), valleys.len()), (2, 1), "{eaves:?} {valleys:?}");
        near(eaves[0].0, 2.0, "left of it");
        near(eaves[1].0, 3.6, "right of it");
        near(valleys[0].0, 2.4, "between");
        assert_eq!(valleys[0].1, ["porch/A"]);
    }
}

/// What is measured along the eave is measured from its left end, whatever stands under it or cuts through it.
#[test]
fn places_count_from_the_left_end_of_the_whole_eave() {
    let window = |face: &str| format!("[[opening]]\nface = \"{face}\"\nat = [5.0, 1.2]\nsize = [0.6, 0.8]\n");
    let dormer = |face: &str| {
        format!(
            "[[dormer]]\nname = \"d\"\nface = \"{face}\"\nat = [5.0, 0.4]\nwidth = 1.6\nfront_height = 0.8\npitch = 35\nkind = \"gable\"\n"
        )
    };
    for heading in HEADINGS {
        // Another house's gable stands through the eave, so that it goes on beyond a gap.
        let sides = [
            ([1.0, -2.0], "verge = true"),
            ([3.0, -2.0], "pitch = 35"),
            ([3.0, 3.0], "verge = true"),
            ([1.0, 3.0], "pitch = 35"),
        ];
        let wing = block("wing", heading, "height = 4", sides);
        for (other, face, at_back) in [
            (porch(heading, false), "house/A", false),
            (porch(heading, true), "house/C", true),
            (wing, "house/A", false),
        ] {
            let turned = |x: f64, y: f64| site(heading, if at_back { [8.0 - x, 6.0 - y] } else { [x, y] });
            let text = house(heading, "height = 4") + &other;
            let (_, answer) = solved(&(text.clone() + &window(face)));
            let roof = &answer.roof;
            let of_face = &roof.faces[roof.face_named(face).unwrap().index()];
            let corner = FaceFrame::of(roof, of_face).unwrap().to_space(&answer.openings[0].ring[0]);
            let wanted = turned(5.0, 1.2 * 35_f64.to_radians().cos());
            assert!((corner.xy() - wanted).norm() < 1e-6, "{heading} {face}: {corner}, expected {wanted}");

            let (_, answer) = solved(&(text + &dormer(face)));
            let roof = &answer.roof;
            let stands = |place: Point2<f64>| roof.corners.iter().any(|corner| (corner.xy() - place).norm() < 1e-6);
            assert!(stands(turned(5.0, 0.4)) && stands(turned(6.6, 0.4)), "{heading} {face}: the dormer's front");
        }
    }
}

/// Starter, metal and gutter run on over the porch: the house's are those of the house alone.
#[test]
fn what_is_bought_for_the_eave_runs_on() {
    let starters = |taken: &TakeOff, roof: &Roof, face: &str| {
        let id = roof.face_named(face).unwrap();
        let layout = taken.layouts.iter().find(|layout| layout.face == id).unwrap();
        (layout.starter.len(), layout.starter.iter().map(|piece| piece.area).sum::<f64>())
    };
    let mut of_house = None;
    for heading in HEADINGS {
        let (job, answer) = solved(&house(heading, "height = 4"));
        let (count, area) = starters(&job::order::take_off(&job, &answer), &answer.roof, "house/A");
        let (first, first_area) = *of_house.get_or_insert((count, area));
        assert_eq!(count, first, "{heading}");
        for (at_back, face) in [(false, "house/A"), (true, "house/C")] {
            let (job, answer) = solved(&(house(heading, "height = 4") + &porch(heading, at_back)));
            let taken = job::order::take_off(&job, &answer);
            let (count, area) = starters(&taken, &answer.roof, face);
            assert_eq!(count, first, "starter pieces at {heading} on {face}");
            near(area, first_area, "starter");
            near(taken.line("edge-strip-eave").unwrap().quantity.value().unwrap(), 8.0 + 8.0 + 2.4, "metal at eaves");
            let mut lengths: Vec<f64> =
                rain::gutters(&answer.roof, &answer.drainage).iter().map(|gutter| gutter.length).collect();
            lengths.sort_by(f64::total_cmp);
            assert_eq!(lengths.len(), 3, "{lengths:?}");
            for (length, wanted) in lengths.iter().zip([2.4, 8.0, 8.0]) {
                near(*length, wanted, "gutter");
            }
        }
    }
}

/// A slope above a break has no eave: its left end is that of the break, whichever corner its ring begins with. So an opening
/// in it stays where it is when a dormer is set into another face, and however the house is turned.
#[test]
fn an_opening_above_a_break_stays_when_a_dormer_joins() {
    let sides = [
        ([0.0, 0.0], "pitch = 60, breaks = [{ rise = 1.5, pitch = 25 }]"),
        ([7.0, 0.0], "verge = true"),
        ([7.0, 5.0], "pitch = 60, breaks = [{ rise = 1.5, pitch = 25 }]"),
        ([0.0, 5.0], "verge = true"),
    ];
    let opening = "[[opening]]\nkind = \"roof window\"\nface = \"barn/A:2\"\nat = [4.5, 0.4]\nsize = [0.78, 1.18]\n\n";
    let dormer = "[[dormer]]\nname = \"d1\"\nkind = \"gable\"\nface = \"barn/C\"\nat = [3.2, 0.26]\nwidth = 0.56\nfront_height = 0.315\npitch = 35\n\n";
    for heading in HEADINGS {
        let barn = format!("units = \"m\"\n\n{}{opening}", block("barn", heading, "height = 2.4", sides));
        // The break lies 1.5 / tan 60 in, the opening's lower edge 0.4 up a slope of 25 degrees beyond it.
        let in_plan = [4.5, 1.5 / 60_f64.to_radians().tan() + 0.4 * 25_f64.to_radians().cos()];
        for text in [barn.clone(), format!("{barn}{dormer}")] {
            let (_, answer) = solved(&text);
            let face = &answer.roof.faces[answer.roof.face_named("barn/A:2").unwrap().index()];
            let corner = FaceFrame::of(&answer.roof, face).unwrap().to_space(&answer.openings[0].ring[0]);
            let gap = (corner.xy() - site(heading, in_plan)).norm();
            assert!(gap < 1e-6, "heading {heading}: {gap} m off\n{text}");
        }
    }
}
