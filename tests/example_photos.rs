//! The example that is measured from photos, `examples/apple_store.toml`: its photos, marks and tapes come from an invented
//! building and known cameras (`photo_scene`), so what the tool answers can be held against the truth.
//!
//! Made anew by `cargo nextest run --test example_photos --run-ignored all --no-capture`, which writes the photos and
//! prints the marks and tapes.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod photo_scene;
#[path = "survey_support/random.rs"]
mod random;

use eavewright::input::{self, Beside, picture};
use eavewright::job::{self, Answer, Job, Options};
use eavewright::survey::model::ObservationKind;
use exif::experimental::Writer;
use exif::{Field, In, Tag, Value};
use image::codecs::jpeg::JpegEncoder;
use photo_scene::render::Scene;
use photo_scene::{EQUIVALENT_FOCAL, FACES, MARK_SIGMA, area, marks, sights, tapes};
use std::io::Cursor;
use std::path::{Path, PathBuf};

const FILES: [&str; 2] = ["apple_store_south_east.jpg", "apple_store_north_west.jpg"];

fn examples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("examples")
}

fn example() -> (Job, Answer) {
    let path = examples().join("apple_store.toml");
    let text = std::fs::read_to_string(&path).unwrap();
    let (job, _, told) = input::read("apple_store.toml", &text, &Beside::of(&path)).unwrap();
    assert!(told.is_empty(), "{told:?}");
    let answer = job::solve(&job, &Options::default()).unwrap();
    (job, answer)
}

/// EXIF data as a phone writes them: the size and the focal length beside a 36 x 24 mm frame.
fn exif() -> Vec<u8> {
    let field = |tag: Tag, value: Value| Field { tag, ifd_num: In::PRIMARY, value };
    let fields = [
        field(Tag::Orientation, Value::Short(vec![1])),
        field(Tag::PixelXDimension, Value::Long(vec![photo_scene::SIZE[0]])),
        field(Tag::PixelYDimension, Value::Long(vec![photo_scene::SIZE[1]])),
        field(Tag::FocalLengthIn35mmFilm, Value::Short(vec![EQUIVALENT_FOCAL])),
    ];
    let mut writer = Writer::new();
    for field in &fields {
        writer.push_field(field);
    }
    let mut tiff = Cursor::new(Vec::new());
    writer.write(&mut tiff, false).unwrap();
    [b"Exif\0\0".to_vec(), tiff.into_inner()].concat()
}

#[test]
#[ignore = "writes the example's photos; half a minute of computing"]
fn make_the_photos() {
    let scene = Scene::new();
    for (photo, file) in FILES.iter().enumerate() {
        let (wide, high, pixels) = scene.photo(&sights()[photo], 1, 3, 40 + photo as u64);
        let mut plain = Vec::new();
        JpegEncoder::new_with_quality(&mut plain, 78)
            .encode(&pixels, wide, high, image::ExtendedColorType::Rgb8)
            .unwrap();
        let exif = exif();
        let length = u16::try_from(exif.len() + 2).unwrap().to_be_bytes();
        let bytes = [&plain[..2], &[0xff, 0xe1], &length, &exif, &plain[2..]].concat();
        println!("{file}: {} bytes", bytes.len());
        std::fs::write(examples().join(file), bytes).unwrap();
        let list: Vec<String> =
            marks(photo).iter().map(|(name, [x, y])| format!("{name} = [{x:.1}, {y:.1}]")).collect();
        println!("marks = {{ {} }}", list.join(", "));
    }
    for ([from, to], length) in tapes() {
        println!("[[tape]]\nfrom = \"{from}\"\nto = \"{to}\"\nlength = {length:.3}\n");
    }
}

#[test]
fn the_file_states_what_was_measured_of_the_invented_building() {
    let (job, _) = example();
    let name = |point: &eavewright::base::ids::PointId| job.survey.points[point.index()].name.as_str();
    for (photo, stated) in job.survey.photos.iter().enumerate() {
        let found: Vec<(&str, [f64; 2])> = stated.marks.iter().map(|mark| (name(&mark.point), mark.at)).collect();
        assert_eq!(found, marks(photo));
        assert!(stated.marks.iter().all(|mark| mark.sigma == MARK_SIGMA));
    }
    let found: Vec<([&str; 2], f64)> = job
        .survey
        .observations
        .iter()
        .filter_map(|observation| match &observation.kind {
            ObservationKind::Tape { from, to, length, .. } => Some(([name(from), name(to)], *length)),
            _ => None,
        })
        .collect();
    assert_eq!(found, tapes());
}

/// The photos are the renderer's: small pictures of the same scene agree with them.
#[test]
fn the_photos_show_the_invented_building() {
    const SHRINK: u32 = 20;
    let scene = Scene::new();
    for (photo, file) in FILES.iter().enumerate() {
        let kept = picture::upright(&std::fs::read(examples().join(file)).unwrap()).unwrap();
        let (wide, high, pixels) = scene.photo(&sights()[photo], SHRINK, 4, 1);
        let kept = kept.resize_exact(wide, high, image::imageops::FilterType::Triangle).to_rgb8();
        let difference: f64 = kept.as_raw().iter().zip(&pixels).map(|(a, b)| f64::from(a.abs_diff(*b))).sum::<f64>()
            / pixels.len() as f64;
        assert!(difference < 6.0, "{file}: {difference}");
    }
}

#[test]
fn areas_are_the_true_ones_within_three_standard_deviations() {
    let (_, answer) = example();
    for (face, _) in FACES {
        let found = answer.survey.faces.iter().find(|found| found.name == face).unwrap();
        let (value, sd) = (found.area.unwrap(), found.area_sd.unwrap());
        assert!((value - area(face)).abs() < 3.0 * sd, "{face}: {value} ± {sd}, truly {}", area(face));
        assert!(sd < 0.03 * value, "{face}: {value} ± {sd}");
    }
    let solved: f64 = answer.roof.roof_faces().map(|(_, face)| answer.roof.area(face).0).sum();
    let truth: f64 = FACES.iter().map(|(face, _)| area(face)).sum();
    let sd = answer.spread.total_area.unwrap();
    assert!((solved - truth).abs() < 3.0 * sd, "{solved} ± {sd}, truly {truth}");
    let [low, high] = answer.survey.chi2_bounds.unwrap();
    assert!((low..=high).contains(&answer.survey.chi2.unwrap()));
    assert!(answer.survey.suspects.is_empty(), "{:?}", answer.survey.suspects);
}

#[test]
fn the_cameras_are_found_where_they_stood() {
    let (_, answer) = example();
    for (found, truth) in answer.survey.photos.iter().zip(sights()) {
        let found = found.unwrap();
        // Some ten metres away, with a focal length that is known to a few parts in a hundred.
        let off = (found.pose.centre - truth.pose.centre).norm();
        assert!(off < 0.3, "{off} m from where it stood");
        let turn = (found.pose.rotation * truth.pose.rotation.transpose()).trace();
        assert!(((turn - 1.0) / 2.0).acos().to_degrees() < 2.0);
        assert!((found.lens.focal() / truth.lens.focal() - 1.0).abs() < 0.03, "{}", found.lens.focal());
        assert!((found.lens.values[3] - truth.lens.values[3]).abs() < 0.03, "{}", found.lens.values[3]);
    }
}
