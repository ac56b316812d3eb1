//! The solved roof over a photo: what hides what, by closed forms of straight sight lines; marks with where their points
//! appear; the page that shows it.

use eavewright::base::ids::PointId;
use eavewright::base::place::Place;
use eavewright::cli::photo::taken;
use eavewright::drawing::Pen;
use eavewright::drawing::job_sheet::{Audience, SheetInput, job_sheet_with_photos};
use eavewright::drawing::typeset::document::Document;
use eavewright::drawing::typeset::pages::pages;
use eavewright::drawing::views::overlay::{Overlay, SeenLine, overlay};
use eavewright::drawing::views::photo_page;
use eavewright::drawing::{Context, Drawing, Item};
use eavewright::input::{self, Beside, NoFiles};
use eavewright::job::{self, Options, order};
use eavewright::roof::{EdgeKind, Roof};
use eavewright::survey::model::{Known, Mark, Photo, Point, Survey};
use eavewright::survey::observation::{ObservationId, Unit};
use eavewright::survey::report::{AdjustedPoint, Report, Suspect};
use eavewright::survey::sight::Sight;
use eavewright::survey::state::{Lens, Pose};
use eavewright::write::pdf::pdf;
use nalgebra::{Matrix3, Point2, Point3};

fn roof(text: &str) -> Roof {
    let (job, ..) = input::read("roof.toml", text, &NoFiles).unwrap();
    job::solve(&job, &Options { steps: false, spread: false }).unwrap().roof
}

const GABLE: &str = r#"
units = "m"
[[block]]
name = "shed"
height = 2.4
sides = [
  { from = "A", at = [0, 0], pitch = 40 },
  { from = "B", at = [8, 0], verge = true },
  { from = "C", at = [8, 6], pitch = 40 },
  { from = "D", at = [0, 6], verge = true },
]
"#;

/// Looks north from (4, -12, 1.6), 1000 pixels a unit of slope, no distortion.
fn northward() -> Sight {
    let rotation = Matrix3::new(1.0, 0.0, 0.0, 0.0, 0.0, -1.0, 0.0, 1.0, 0.0);
    let pose = Pose { rotation, centre: Point3::new(4.0, -12.0, 1.6) };
    Sight { pose, lens: Lens { values: [1000.0_f64.ln(), 1000.0, 800.0, 0.0, 0.0] }, size: [2000.0, 1600.0] }
}

fn seen(roof: &Roof, sight: Sight) -> Overlay {
    let photo = Photo {
        camera: 0,
        file: None,
        size: sight.size,
        marks: Vec::new(),
        lines: Vec::new(),
        sheet: None,
        compass: None,
        plumb: Vec::new(),
        plumb_sigma: 1.0,
    };
    let survey = Survey { photos: vec![photo], ..Survey::default() };
    let report = Report { photos: vec![Some(sight)], ..Report::default() };
    overlay(roof, &survey, &report, 0).unwrap()
}

/// The pieces of the edge between two places.
fn pieces<'o>(roof: &Roof, overlay: &'o Overlay, ends: [[f64; 3]; 2]) -> Vec<&'o SeenLine> {
    let ends = ends.map(Point3::from);
    let is_it = |line: &&SeenLine| {
        line.edge.is_some_and(|edge| {
            let edge = &roof.edges[edge.index()];
            let (a, b) = (roof.at(edge.from), roof.at(edge.to));
            let near = |p: Point3<f64>, q: Point3<f64>| (p - q).norm() < 1e-6;
            (near(a, ends[0]) && near(b, ends[1])) || (near(a, ends[1]) && near(b, ends[0]))
        })
    };
    overlay.lines.iter().filter(is_it).collect()
}

#[test]
fn a_gable_seen_from_its_eave() {
    let roof = roof(GABLE);
    let overlay = seen(&roof, northward());
    let top = 2.4 + 3.0 * 40.0_f64.to_radians().tan();
    let state = |ends| pieces(&roof, &overlay, ends).iter().map(|line| line.hidden).collect::<Vec<_>>();
    assert_eq!(state([[0.0, 0.0, 2.4], [8.0, 0.0, 2.4]]), [false]);
    assert_eq!(state([[8.0, 6.0, 2.4], [0.0, 6.0, 2.4]]), [true]);
    assert_eq!(state([[0.0, 3.0, top], [8.0, 3.0, top]]), [false]);
    assert_eq!(state([[0.0, 0.0, 2.4], [0.0, 3.0, top]]), [false]);
    assert_eq!(state([[0.0, 6.0, 2.4], [0.0, 3.0, top]]), [true]);
    // Walls: their edges below the eave are drawn too.
    assert!(overlay.lines.iter().any(|line| line.pen == Pen::Wall && !line.hidden && line.edge.is_none()));
    // What is seen lies over what is hidden.
    assert!(overlay.lines.is_sorted_by_key(|line| !line.hidden));
    let eave = pieces(&roof, &overlay, [[0.0, 0.0, 2.4], [8.0, 0.0, 2.4]])[0];
    assert_eq!(eave.pen, Pen::Edge(EdgeKind::Eave));
    let mut ends = [eave.points[0], *eave.points.last().unwrap()];
    ends.sort_by(|a, b| a.x.total_cmp(&b.x));
    for (found, x) in ends.iter().zip([0.0, 8.0]) {
        let expected = Point2::new(1000.0 + 1000.0 * (x - 4.0) / 12.0, 800.0 - 1000.0 * 0.8 / 12.0);
        assert!((found - expected).norm() < 1e-9, "{found} {expected}");
    }
}

#[test]
fn an_eave_behind_a_gable_is_hidden_as_far_as_sight_lines_meet_the_slope() {
    let behind = r#"
[[block]]
name = "barn"
height = 5.0
sides = [
  { from = "E", at = [-10, 10], pitch = 40 },
  { from = "F", at = [20, 10], verge = true },
  { from = "G", at = [20, 16], pitch = 40 },
  { from = "H", at = [-10, 16], verge = true },
]
"#;
    let roof = roof(&format!("{GABLE}{behind}"));
    let overlay = seen(&roof, northward());
    let mut found: Vec<(f64, f64, bool)> = pieces(&roof, &overlay, [[-10.0, 10.0, 5.0], [20.0, 10.0, 5.0]])
        .iter()
        .map(|line| {
            let x = |at: &Point2<f64>| 4.0 + 22.0 * (at.x - 1000.0) / 1000.0;
            let (a, b) = (x(&line.points[0]), x(line.points.last().unwrap()));
            (a.min(b), a.max(b), line.hidden)
        })
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    // A sight line to the eave at height 5 and depth 22 meets the slope where 1.6 + 3.4 (y + 12)/22 = 2.4 + y tan 40°;
    // it is cut off when it is then between the gables, 4 to either side of the middle.
    let meets = (1.6 + 3.4 * 12.0 / 22.0 - 2.4) / (40.0_f64.to_radians().tan() - 3.4 / 22.0);
    let reach = 4.0 * 22.0 / (12.0 + meets);
    // The picture ends 1.25 half diagonals from its middle.
    assert_eq!(found.iter().map(|piece| piece.2).collect::<Vec<_>>(), [false, true, false]);
    for (value, expected) in [(found[0].1, 4.0 - reach), (found[1].0, 4.0 - reach), (found[1].1, 4.0 + reach)] {
        assert!((value - expected).abs() < 1e-4, "{value} {expected}");
    }
}

#[test]
fn faces_without_walls_hide_by_what_must_carry_them() {
    let text = r#"
units = "m"
[points]
a = [0, 0, 2.4]
b = [8, 0, 2.4]
c = [8, 6, 2.4]
d = [0, 6, 2.4]
r = [0, 3, 4.9]
s = [8, 3, 4.9]
[[face]]
name = "south"
points = ["a", "b", "s", "r"]
[[face]]
name = "north"
points = ["c", "d", "r", "s"]
"#;
    let roof = roof(text);
    let overlay = seen(&roof, northward());
    // The far eave, seen from below the near one, would show between the posts: it is taken to stand behind a wall.
    let far = pieces(&roof, &overlay, [[8.0, 6.0, 2.4], [0.0, 6.0, 2.4]]);
    assert_eq!(far.iter().map(|line| line.hidden).collect::<Vec<_>>(), [true]);
    let near = pieces(&roof, &overlay, [[0.0, 0.0, 2.4], [8.0, 0.0, 2.4]]);
    assert_eq!(near.iter().map(|line| line.hidden).collect::<Vec<_>>(), [false]);
}

#[test]
fn marks_stand_with_where_their_points_appear() {
    let roof = roof(GABLE);
    let sight = northward();
    let place = Point3::new(0.0, 0.0, 2.4);
    let computed = sight.pixel(&place).unwrap();
    let mark = Mark { point: PointId::new(0), at: [computed.x + 3.0, computed.y - 4.0], sigma: 2.0 };
    let survey = Survey {
        points: vec![Point { name: "E1".into(), known: Known::Unknown }],
        photos: vec![Photo {
            camera: 0,
            file: None,
            size: sight.size,
            marks: vec![mark],
            lines: Vec::new(),
            sheet: None,
            compass: None,
            plumb: Vec::new(),
            plumb_sigma: 1.0,
        }],
        ..Survey::default()
    };
    let report = Report {
        points: vec![AdjustedPoint { name: "E1".into(), at: place, sd: None, located: true }],
        photos: vec![Some(sight)],
        suspects: vec![Suspect {
            observation: ObservationId::Mark { photo: 0, point: PointId::new(0) },
            place: Place::Mark { photo: 0, point: "E1".into() },
            w: 4.0,
            redundancy: 0.5,
            smallest_detectable: 10.0,
            unit: Unit::Pixel,
        }],
        ..Report::default()
    };
    let found = overlay(&roof, &survey, &report, 0).unwrap();
    assert_eq!(found.marks.len(), 1);
    assert!((found.marks[0].miss().unwrap() - 5.0).abs() < 1e-9);
    assert!(found.marks[0].is_suspect);
    assert_eq!(overlay(&roof, &survey, &Report { photos: vec![None], ..report }, 0), None);
}

/// Photos on a page, with where they lie.
fn photos_on(page: &Drawing) -> Vec<[f64; 4]> {
    let of = |item: &Item| match item {
        Item::Photo(photo) => {
            Some([photo.low.x, photo.low.y, photo.low.x + photo.size[0], photo.low.y + photo.size[1]])
        }
        _ => None,
    };
    page.items.iter().filter_map(of).collect()
}

#[test]
fn the_pdf_and_the_sheet_carry_the_photos() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/apple_store.toml");
    let text = std::fs::read_to_string(&path).unwrap();
    let (job, ..) = input::read("apple_store.toml", &text, &Beside::of(&path)).unwrap();
    let answer = job::solve(&job, &Options { steps: false, spread: true }).unwrap();
    let (photos, without) = taken(&job, &path, &answer);
    assert_eq!((photos.len(), without.len()), (2, 0));
    let context = Context::of(&job);
    let drawn: Vec<Drawing> = photos.iter().map(|photo| photo_page::page(photo, &answer, &context)).collect();
    let written = pdf(&drawn, "photos").unwrap();
    assert_eq!(written, pdf(&drawn, "photos").unwrap());
    let holds = |part: &[u8]| written.windows(part.len()).filter(|window| *window == part).count();
    assert_eq!(holds(b"/DCTDecode"), 2);
    for photo in &photos {
        // The picture is taken over as it is, not coded anew.
        assert_eq!(holds(&photo.shown.jpeg), 1);
    }
    let take_off = order::take_off(&job, &answer);
    let sheet = |audience, photos: &[photo_page::Taken]| -> Document {
        let (job, answer, take_off, context) = (&job, &answer, &take_off, &context);
        job_sheet_with_photos(&SheetInput { job, answer, take_off, context, audience, full: false }, photos)
    };
    let paper = eavewright::drawing::typeset::paper::PaperSize::family(context.series)[0];
    let count = |document: &Document| {
        let on: Vec<[f64; 4]> = pages(document, paper).iter().flat_map(photos_on).collect();
        for [left, low, right, high] in &on {
            assert!(*left > 14.0 && *right < paper.width - 14.0 && *low > 10.0 && *high < paper.height - 10.0);
            assert!((right - left) / (high - low) > 1.33 && (right - left) / (high - low) < 1.34);
            assert!(right - left > 110.0);
        }
        on.len()
    };
    assert_eq!(count(&sheet(Audience::Own, &photos)), 2);
    assert_eq!(count(&sheet(Audience::Own, &[])), 0);
    assert_eq!(count(&sheet(Audience::Client, &photos)), 0);
}

#[test]
fn photos_that_cannot_be_shown_are_told() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/apple_store.toml");
    let text = std::fs::read_to_string(&path).unwrap();
    let (job, ..) = input::read("apple_store.toml", &text, &Beside::of(&path)).unwrap();
    let answer = job::solve(&job, &Options { steps: false, spread: false }).unwrap();
    let elsewhere = std::env::temp_dir().join("apple_store.toml");
    let (photos, without) = taken(&job, &elsewhere, &answer);
    assert!(photos.is_empty());
    assert_eq!(without[0], "apple_store_south_east.jpg: not shown, the file is not there");
}
