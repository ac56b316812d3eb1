//! Photo files written by general-purpose libraries (tests/data/survey/README.md): size, orientation, focal length, pixels
//! the right way up, as those libraries themselves read them.

use eavewright::input::{self, Beside, picture};
use eavewright::job::Job;
use eavewright::survey::sigma;
use serde_json::Value;
use std::path::{Path, PathBuf};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/survey/exif")
}

fn answers() -> Vec<(String, Value)> {
    let text = std::fs::read_to_string(folder().join("answers.json")).unwrap();
    let json: Value = serde_json::from_str(&text).unwrap();
    json["files"].as_object().unwrap().clone().into_iter().collect()
}

/// A job with the photo, and the codes of what was said about it.
fn job(file: &str) -> (Job, Vec<&'static str>) {
    let text = format!(
        "[points]\nA = {{}}\nB = {{}}\nC = {{}}\n[[face]]\nname = \"f\"\npoints = [\"A\", \"B\", \"C\"]\n\
         [[photo]]\nfile = \"{file}\"\nmarks = {{ A = [1, 2] }}\n"
    );
    let (job, _, told) = input::read("p.toml", &text, &Beside::of(&folder().join("p.toml"))).unwrap();
    (job, told.iter().map(|diagnostic| diagnostic.code).collect())
}

fn focal(file: &str) -> (f64, f64) {
    let focal = job(file).0.survey.cameras[0].focal;
    (focal.value, focal.sigma)
}

#[test]
fn every_orientation_is_turned_upright() {
    let mut turned = 0;
    for (file, answer) in answers() {
        let size: Vec<f64> = answer["size"].as_array().unwrap().iter().map(|v| v.as_f64().unwrap()).collect();
        assert_eq!(job(&file).0.survey.photos[0].size.to_vec(), size, "{file}");
        let corners = answer["corners"].as_array().unwrap();
        let bytes = std::fs::read(folder().join(&file)).unwrap();
        if corners.is_empty() {
            assert_eq!(picture::upright(&bytes).unwrap_err(), picture::PictureError::Heif, "{file}");
            continue;
        }
        let upright = picture::upright(&bytes).unwrap().to_rgb8();
        assert_eq!([f64::from(upright.width()), f64::from(upright.height())].to_vec(), size, "{file}");
        let (right, bottom) = (upright.width() - 5, upright.height() - 5);
        for ((x, y), corner) in [(4, 4), (right, 4), (4, bottom), (right, bottom)].into_iter().zip(corners) {
            for (channel, expected) in upright.get_pixel(x, y).0.iter().zip(corner.as_array().unwrap()) {
                // Decoders of JPEG may differ by a step or two of rounding.
                assert!((i64::from(*channel) - expected.as_i64().unwrap()).abs() <= 3, "{file}: {x}, {y}");
            }
        }
        turned += 1;
    }
    assert_eq!(turned, 17);
}

#[test]
fn focal_lengths_are_read_by_each_way_of_stating_them() {
    let full_frame = 36.0_f64.hypot(24.0);
    let near = |a: f64, b: f64| (a / b - 1.0).abs() < 1e-12;
    // 26 mm beside a frame of 36 x 24 mm, by the diagonal of 48 x 32 pixels.
    let (value, sure) = focal("focal_35.jpg");
    assert!(near(value, 26.0 * 48.0_f64.hypot(32.0) / full_frame) && sure == sigma::FOCAL_FROM_EXIF, "{value} {sure}");
    // 24 mm behind a sensor of 20 pixels a centimetre.
    let (value, sure) = focal("focal_by_sensor.jpg");
    assert!(near(value, 48.0) && sure == sigma::FOCAL_FROM_EXIF, "{value} {sure}");
    // A digital zoom states its own equivalent, and is less sure.
    let (value, sure) = focal("digital_zoom.jpg");
    assert!(near(value, 52.0 * 48.0_f64.hypot(32.0) / full_frame) && sure == sigma::FOCAL_FROM_CROPPED_EXIF);
    // So is a picture that was cut after it was taken.
    assert_eq!(focal("cropped.jpg").1, sigma::FOCAL_FROM_CROPPED_EXIF);
    assert!(near(focal("turned.png").0, 26.0 * 48.0_f64.hypot(32.0) / full_frame));
    assert_eq!(job("no_exif.jpg").1, ["focal-assumed"]);
}

/// Which way the camera looked, as the general-purpose library reads it; where nothing is said of which north, the magnetic.
#[test]
fn compasses_are_read() {
    let mut read = 0;
    for (file, answer) in answers() {
        let found = job(&file).0.survey.photos[0].compass;
        let Some(compass) = answer.get("compass").and_then(Value::as_array) else {
            assert_eq!(found, None, "{file}");
            continue;
        };
        let found = found.unwrap();
        assert!((found.bearing.to_degrees() - compass[1].as_f64().unwrap()).abs() < 1e-9, "{file}: {found:?}");
        assert_eq!(found.is_magnetic, compass[0] != "T", "{file}");
        read += 1;
    }
    assert_eq!(read, 3);
}

#[test]
fn a_heic_photo_is_read_and_asked_for_as_jpeg() {
    let (job, told) = job("front.heic");
    assert_eq!(told, ["photo-heif"]);
    let expected = 26.0 * 192.0_f64.hypot(128.0) / 36.0_f64.hypot(24.0);
    assert!((job.survey.cameras[0].focal.value / expected - 1.0).abs() < 1e-12);
}

#[test]
fn a_jpeg_that_is_cut_off_is_said_to_be() {
    let whole = std::fs::read(folder().join("focal_35.jpg")).unwrap();
    assert!(picture::upright(&whole).is_ok());
    // Trailing data, as phones append them, are none of it.
    assert!(picture::upright(&[&whole[..], b"more"].concat()).is_ok());
    let beside = tempfile::tempdir().unwrap();
    for part in [whole.len() - 2, whole.len() - 40] {
        let cut = &whole[..part];
        assert_eq!(picture::upright(cut).unwrap_err(), picture::PictureError::CutOff);
        std::fs::write(beside.path().join("cut.jpg"), cut).unwrap();
        let text = "[points]\nA = {}\nB = {}\nC = {}\n[[face]]\nname = \"f\"\npoints = [\"A\", \"B\", \"C\"]\n\
                    [[photo]]\nfile = \"cut.jpg\"\nmarks = { A = [1, 2] }\n";
        let (_, _, told) = input::read("p.toml", text, &Beside::of(&beside.path().join("p.toml"))).unwrap();
        assert!(told.iter().any(|told| told.code == "photo-cut-off"), "{told:?}");
    }
}

#[test]
fn a_heic_photo_is_told_first_what_to_do() {
    let bytes = std::fs::read(folder().join("front.heic")).unwrap();
    assert!(picture::upright(&bytes).unwrap_err() == picture::PictureError::Heif);
    let text = "[points]\nA = {}\nB = {}\nC = {}\n[[face]]\nname = \"f\"\npoints = [\"A\", \"B\", \"C\"]\n\
                [[photo]]\nfile = \"front.heic\"\nmarks = { A = [1, 2] }\n";
    let (_, _, told) = input::read("p.toml", text, &Beside::of(&folder().join("p.toml"))).unwrap();
    assert!(told.iter().any(|told| told.message.starts_with("export as JPEG")), "{told:?}");
}

#[test]
fn marks_lines_and_edges_may_state_their_own_sigma() {
    let text = "[points]\nA = {}\nB = {}\nC = {}\n[[face]]\nname = \"f\"\npoints = [\"A\", \"B\", \"C\"]\n\
                [[photo]]\nfile = \"no_exif.jpg\"\nmarks = { A = [1, 2, 0.4], B = [3, 4] }\nmark_sigma = 1.5\n\
                lines = { \"A-B\" = [[1, 2, 0.7], [2, 3]] }\nline_sigma = 0.9\nedges = { \"A-C\" = [[5, 6, 0.3]] }\n";
    let (job, ..) = input::read("p.toml", text, &Beside::of(&folder().join("p.toml"))).unwrap();
    let photo = &job.survey.photos[0];
    assert_eq!(photo.marks.iter().map(|mark| mark.sigma).collect::<Vec<_>>(), [0.4, 1.5]);
    let lines: Vec<(&[f64], bool)> = photo.lines.iter().map(|line| (&line.sigmas[..], line.is_measured)).collect();
    assert_eq!(lines, [(&[0.7, 0.9][..], false), (&[0.3][..], true)]);
}
