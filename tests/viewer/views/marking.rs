//! A shed marked in three photos from nothing: points before any face, the next one foreseen, faces built of them; every
//! click is counted.

use super::plain::{keep, settle, sized};
use super::state::{Dropped, area};
use eavewright::input::{self, NoFiles};
use eavewright::job;
use eavewright::roof::model::solid;
use eavewright::viewer::app::state::AppState;
use eavewright::viewer::backend::Unsure;
use eavewright::viewer::editors::views::Tab;
use eavewright::viewer::editors::views::photos::guided::Guided;
use eavewright::viewer::render::camera::Camera;
use eavewright::viewer::render::gpu::Gpu;
use eavewright::viewer::render::scene::{Scene, Shade};
use eavewright::viewer::render::stage::{Dressing, Look};
use eavewright::viewer::render::theme::Theme;
use eavewright_headless::Headless;
use eframe::egui::{Event, Key, Modifiers, PointerButton, Pos2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use nalgebra::Point3;
use std::path::PathBuf;
use std::sync::Arc;

const SIZE: [u32; 2] = [1600, 1200];

/// An invented shed under a gable roof: corners of the eaves, ends of the ridge, feet of the walls.
const POINTS: [(&str, [f64; 3]); 10] = [
    ("E1", [0.0, 0.0, 2.2]),
    ("E2", [5.2, 0.0, 2.2]),
    ("R1", [0.0, 1.8, 3.5]),
    ("R2", [5.2, 1.8, 3.5]),
    ("F1", [0.0, 0.0, 0.0]),
    ("F2", [5.2, 0.0, 0.0]),
    ("E4", [0.0, 3.6, 2.2]),
    ("F4", [0.0, 3.6, 0.0]),
    ("E3", [5.2, 3.6, 2.2]),
    ("F3", [5.2, 3.6, 0.0]),
];

/// The shed in 3D, to be photographed.
fn shed() -> String {
    let side = |from: &str, length: f64, role: &str| {
        format!("  {{ from = \"{from}\", length = {length}, turn = \"L\", {role} }},\n")
    };
    let pitch = format!("pitch = {}", (1.3_f64 / 1.8).atan().to_degrees());
    let sides: String = [
        side("A", 5.2, &pitch),
        side("B", 3.6, "verge = true"),
        side("C", 5.2, &pitch),
        side("D", 3.6, "verge = true"),
    ]
    .concat();
    format!("units = \"m\"\nstage = \"design\"\n[[block]]\nname = \"shed\"\nheight = 2.2\nsides = [\n{sides}]\n")
}

/// A photo: its file, and where each point appears in it.
struct Photo {
    marks: Vec<(&'static str, [f64; 2])>,
    /// Where a corner appears that stands behind the building.
    hidden: [f64; 2],
}

/// Three photos of the shed, as files in a folder, and the focal length in pixels.
fn photograph(folder: &std::path::Path) -> (Vec<Photo>, f64) {
    let (read, _, _) = input::read("shed", &shed(), &NoFiles).unwrap();
    let answer = job::solve(&read, &job::Options { steps: false, spread: false }).unwrap();
    let scene = Scene::new(&answer.roof, &solid::build(&answer.roof, 0.0), |_| None);
    let aspect = f64::from(SIZE[0]) / f64::from(SIZE[1]);
    let headless = Headless::new([16, 16]).unwrap();
    let mut gpu = Gpu::new(headless.gl()).unwrap();
    let (palette, look) = (Theme::Light.palette(), Look::plain(Shade::Plain));
    let mut dressing = Dressing::default();
    dressing.dress(&answer.roof, &scene, &look, palette, &Unsure::default());
    let views: [(&str, f64, [&'static str; 8]); 3] = [
        ("one.png", -120.0, ["E1", "E2", "R1", "F1", "F2", "R2", "E4", "F4"]),
        ("two.png", -55.0, ["E1", "E2", "R1", "F1", "F2", "R2", "E3", "F3"]),
        ("three.png", 140.0, ["E1", "F1", "R1", "R2", "E4", "F4", "E3", "F3"]),
    ];
    let mut focal = 0.0;
    let photos = views.map(|(file, azimuth, seen)| {
        let mut camera = Camera {
            target: Point3::new(2.6, 1.8, 1.5) - scene.origin,
            azimuth: f64::to_radians(azimuth),
            elevation: 0.12,
            distance: 11.0,
            lens: 0.75,
        };
        camera.loosen();
        (camera.elevation, camera.distance, camera.lens) = (0.12, 11.0, 0.75);
        gpu.draw(&scene, &dressing.picture(&scene, &camera, &look, palette, SIZE, 1.0));
        let rgb: Vec<u8> = gpu.read().into_iter().flat_map(|[r, g, b, _]| [r, g, b]).collect();
        image::save_buffer(folder.join(file), &rgb, SIZE[0], SIZE[1], image::ColorType::Rgb8).unwrap();
        focal = f64::from(SIZE[1]) / 2.0 / (camera.lens / 2.0).tan();
        let place = |name: &str| POINTS.iter().find(|(of, _)| *of == name).unwrap().1;
        let marks = seen.map(|name| {
            let at = camera.appears(&(Point3::from(place(name)) - scene.origin), aspect).unwrap();
            assert!((0.02..0.98).contains(&at.x) && (0.02..0.98).contains(&at.y), "{name} in {file}: {at:?}");
            (name, [at.x * f64::from(SIZE[0]), at.y * f64::from(SIZE[1])])
        });
        let at = camera.appears(&(Point3::from(place("E4")) - scene.origin), aspect).unwrap();
        let hidden = [at.x * f64::from(SIZE[0]), at.y * f64::from(SIZE[1])];
        Photo { marks: marks.to_vec(), hidden }
    });
    (photos.into(), focal)
}

/// Somebody at the desk, whose clicks and keys are counted.
struct Hand {
    harness: Harness<'static, AppState>,
    clicks: usize,
    keys: usize,
}

impl Hand {
    fn click(&mut self, at: Pos2) {
        self.clicks += 1;
        self.harness.hover_at(at);
        self.harness.run_steps(1);
        for pressed in [true, false] {
            let modifiers = Modifiers::NONE;
            self.harness.event(Event::PointerButton { pos: at, button: PointerButton::Primary, pressed, modifiers });
            self.harness.run_steps(1);
        }
        settle(&mut self.harness);
    }

    fn press(&mut self, name: &str) {
        let at = self.harness.get_by_label(name).rect().center();
        self.click(at);
    }

    fn key(&mut self, key: Key) {
        self.keys += 1;
        self.harness.key_press(key);
        settle(&mut self.harness);
    }

    /// Where a pixel of the open photo is on the screen.
    fn at(&self, pixel: [f64; 2]) -> Pos2 {
        let view = self.harness.get_by_label_contains(".png, ").rect().shrink(8.0);
        #[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation)]
        let (size, pixel) = (vec2(SIZE[0] as f32, SIZE[1] as f32), vec2(pixel[0] as f32, pixel[1] as f32));
        let scale = (view.width() / size.x).min(view.height() / size.y);
        view.center() - size * scale / 2.0 + pixel * scale
    }

    fn wanted(&self) -> Option<String> {
        let app = self.harness.state();
        eavewright::viewer::editors::views::photos::wanted(app).wanted().map(str::to_owned)
    }
}

/// A job of photos alone: the camera is known, and one length.
fn begun(folder: &std::path::Path, focal: f64) -> (String, PathBuf) {
    let text = format!(
        "title = \"Shed\"\nunits = \"m\"\n\n[[camera]]\nname = \"phone\"\nfocal = {focal:.1}\nfocal_sigma = \"1 %\"\n\n\
         [covering]\ncard = \"strip-shingle\"\n"
    );
    let photo =
        |file: &str| format!("\n[[photo]]\ncamera = \"phone\"\nfile = \"{file}\"\nmark_sigma = 1\nmarks = {{}}\n");
    (text + &["one.png", "two.png", "three.png"].map(photo).concat(), folder.join("shed.toml"))
}

#[test]
fn a_shed_is_marked_in_three_photos_with_no_more_than_forty_clicks() {
    let folder = tempfile::tempdir().unwrap();
    let (photos, focal) = photograph(folder.path());
    assert_eq!(photos.iter().map(|photo| photo.marks.len()).sum::<usize>(), 24);
    let (text, path) = begun(folder.path(), focal);
    let mut harness = sized(&text, Some(path), [1280.0, 800.0]);
    harness.state_mut().views.tab = Tab::Photos;
    settle(&mut harness);
    let mut hand = Hand { harness, clicks: 0, keys: 0 };
    // The names the program gives, by ours.
    let mut named: Vec<(&str, String)> = Vec::new();
    assert!(hand.harness.query_by_label("click any corner: it becomes P1").is_some());
    for (number, photo) in photos.iter().enumerate() {
        if number > 0 {
            hand.press(["one.png", "two.png", "three.png"][number]);
        }
        let mut left: Vec<(&str, [f64; 2])> = photo.marks.clone();
        while !left.is_empty() {
            let wanted = hand.wanted();
            let ours =
                wanted.as_ref().and_then(|wanted| named.iter().find(|(_, name)| name == wanted)).map(|(ours, _)| *ours);
            let next = match ours {
                // It is marked where it is asked for, if it is seen here; else it is left out by key.
                Some(ours) => match left.iter().position(|(name, _)| *name == ours) {
                    Some(at) => left.remove(at),
                    None => {
                        hand.key(Key::N);
                        continue;
                    }
                },
                None => {
                    if wanted.is_none() {
                        hand.press("New point");
                        continue;
                    }
                    left.remove(0)
                }
            };
            let wanted = wanted.unwrap();
            if ours.is_none() {
                named.push((next.0, wanted.clone()));
            }
            let at = hand.at(next.1);
            hand.click(at);
            let text = &hand.harness.state().text;
            let line = text.lines().filter(|line| line.starts_with("marks")).nth(number).unwrap();
            assert!(line.contains(&format!("{wanted} = [")), "{} is {wanted}: {line}", next.0);
            if number == 1 && left.len() == 2 {
                keep(&mut hand.harness, "marking-two");
            }
            if number == 2 && left.len() == 3 {
                keep(&mut hand.harness, "marking-three");
            }
        }
    }
    let marked = hand.clicks;
    assert!(hand.harness.state().shown.is_none(), "there is no face yet");
    // Two faces, by their corners in order.
    hand.press("Build faces");
    let third: Vec<(&str, [f64; 2])> = photos[2].marks.clone();
    let in_third = |name: &str| third.iter().find(|(of, _)| *of == name).unwrap().1;
    for name in ["E3", "E4", "R1", "R2"] {
        let at = hand.at(in_third(name));
        hand.click(at);
    }
    keep(&mut hand.harness, "building");
    hand.key(Key::Enter);
    assert!(hand.harness.state().text.contains("[[face]]"), "{}", hand.harness.state().text);
    hand.press("one.png");
    let first: Vec<(&str, [f64; 2])> = photos[0].marks.clone();
    for name in ["E1", "E2", "R2", "R1"] {
        let pixel = first.iter().find(|(of, _)| *of == name).unwrap().1;
        let at = hand.at(pixel);
        hand.click(at);
    }
    hand.key(Key::Enter);
    hand.key(Key::Escape);
    println!("{} clicks, {marked} of them until all was marked; {} keys", hand.clicks, hand.keys);
    assert!(hand.clicks <= 40, "{} clicks", hand.clicks);
    assert!(hand.clicks + hand.keys <= 48, "{} clicks and {} keys", hand.clicks, hand.keys);
    // A tape along the front wall, typed, gives it its size.
    let ours = |name: &str| named.iter().find(|(of, _)| *of == name).unwrap().1.clone();
    let tape = format!("\n[[tape]]\nfrom = \"{}\"\nto = \"{}\"\nlength = 5.20\n", ours("F1"), ours("F2"));
    let plumb: String = ["1", "2", "3", "4"]
        .map(|corner| {
            format!(
                "\n[[plumb]]\npoints = [\"{}\", \"{}\"]\n",
                ours(&format!("F{corner}")),
                ours(&format!("E{corner}"))
            )
        })
        .concat();
    let text = hand.harness.state().text.clone() + &tape + &plumb;
    hand.harness.state_mut().change(text, "a tape");
    settle(&mut hand.harness);
    let state = hand.harness.state();
    assert_eq!(state.errors().count(), 0, "{:?}\n{}", state.diagnostics, state.text);
    let found = area(&hand.harness);
    let truth = 2.0 * 5.2 * 1.8_f64.hypot(1.3);
    assert!((found / truth - 1.0).abs() < 0.01, "{found} of {truth} m2");
    keep(&mut hand.harness, "marked");
}

/// From six shared marks on the next point is drawn where it must be, before there is any face; a click elsewhere is refused,
/// one on another point that must be there means that one.
#[test]
fn the_next_point_is_foreseen_from_six_shared_marks_on() {
    let folder = tempfile::tempdir().unwrap();
    let (photos, focal) = photograph(folder.path());
    let (text, path) = begun(folder.path(), focal);
    // The first photo has eight marks, the second six that they share.
    let marks = |of: &[(&str, [f64; 2])]| {
        of.iter().map(|(name, [x, y])| format!("{name} = [{x:.1}, {y:.1}]")).collect::<Vec<_>>().join(", ")
    };
    let points: String = POINTS.iter().map(|(name, _)| format!("{name} = {{}}\n")).collect();
    let text = text.replacen("marks = {}", &format!("marks = {{ {} }}", marks(&photos[0].marks)), 1);
    let text = text.replacen("marks = {}", &format!("marks = {{ {} }}", marks(&photos[1].marks[..6])), 1);
    let text = text.replacen("\n[[camera]]", &format!("\n[points]\n{points}\n[[camera]]"), 1);
    let mut harness = sized(&text, Some(path), [1280.0, 800.0]);
    harness.state_mut().views.tab = Tab::Photos;
    harness.state_mut().views.photos.open = 1;
    settle(&mut harness);
    let mut hand = Hand { harness, clicks: 0, keys: 0 };
    assert!(hand.harness.state().shown.is_none());
    assert_eq!(hand.wanted().as_deref(), Some("E4"));
    let marking = &hand.harness.state().views.photos.markings.here().unwrap().marking;
    assert!(hand.harness.query_by_label("it must lie on the line").is_some(), "{:?}", marking.foreseen);
    let truth = photos[1].hidden;
    // Far off the line: nothing is marked, and it is said why.
    keep(&mut hand.harness, "line-of-sight-before");
    let before = hand.harness.state().text.clone();
    let off = hand.at([truth[0] - 100.0, truth[1] + 260.0]);
    hand.click(off);
    assert_eq!(hand.harness.state().text, before);
    assert!(hand.harness.state().said.0.contains("can't appear there"), "{:?}", hand.harness.state().said);
    keep(&mut hand.harness, "line-of-sight");
    let at = hand.at(truth);
    hand.click(at);
    assert_ne!(hand.harness.state().text, before);
    // The magnifier shows what is under the pointer before the click.
    keep(&mut hand.harness, "magnifier");
    assert!(matches!(
        eavewright::viewer::editors::views::photos::wanted(hand.harness.state()),
        Guided::Next(name, _) if name == "F4"
    ));
}

#[test]
fn pictures_dropped_on_an_empty_window_begin_a_job_beside_them() {
    let folder = tempfile::tempdir().unwrap();
    photograph(folder.path());
    let mut harness = sized("", None, [1280.0, 800.0]);
    for file in ["one.png", "two.png", "three.png"] {
        harness.input_mut().dropped_files.push(Arc::new(Dropped(folder.path().join(file))));
    }
    harness.run_steps(1);
    settle(&mut harness);
    let state = harness.state();
    assert_eq!(state.path.as_deref(), Some(folder.path().join("roof.toml").as_path()));
    assert!(!folder.path().join("roof.toml").exists(), "nothing is written before it is saved");
    for file in ["one.png", "two.png", "three.png"] {
        assert!(state.text.contains(&format!("file = \"{file}\"")), "{}", state.text);
        assert!(harness.query_by_label(file).is_some(), "{file}");
    }
    assert_eq!(harness.state().views.photos.open, 0);
    keep(&mut harness, "dropped");
}
