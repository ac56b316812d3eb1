//! The checks of the fuzzer (`tests/fuzz/checks`), without the fuzzer: over what is kept in its corpora, and over files of the
//! project of which bytes are changed, left out, doubled and put into others. The same inputs each time.

#[path = "../fuzz/checks/mod.rs"]
mod checks;

use image::{ExtendedColorType, ImageEncoder};
use std::panic::catch_unwind;
use std::path::Path;
use support::random::Random;

/// Files of folders that end so.
fn files(folders: &[&str], ending: &str) -> Vec<Vec<u8>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut paths: Vec<_> = (folders.iter())
        .flat_map(|folder| std::fs::read_dir(root.join(folder)).unwrap().map(|entry| entry.unwrap().path()))
        .filter(|path| path.is_file() && path.to_string_lossy().ends_with(ending))
        .collect();
    paths.sort();
    paths.into_iter().map(|path| std::fs::read(path).unwrap()).collect()
}

/// What the fuzzer found worth keeping for a target.
fn corpus(target: &str) -> Vec<Vec<u8>> {
    files(&[&format!("tests/fuzz/corpus/{target}")], "")
}

/// A file of which some stretches are changed.
fn changed(random: &mut Random, seeds: &[Vec<u8>]) -> Vec<u8> {
    let mut bytes = seeds[random.below(seeds.len())].clone();
    for _ in 0..=random.below(6) {
        let from = random.below(bytes.len() + 1);
        let length = random.below(9).min(bytes.len() - from);
        match random.below(5) {
            0 => bytes[from..from + length].iter_mut().for_each(|byte| *byte = (random.bits() & 0x7f) as u8),
            1 => drop(bytes.drain(from..from + length)),
            2 => {
                let again: Vec<u8> = bytes[from..from + length].to_vec();
                bytes.splice(from..from, again);
            }
            3 => {
                let other = &seeds[random.below(seeds.len())];
                let at = random.below(other.len() + 1);
                let part = &other[at..(at + random.below(60)).min(other.len())];
                bytes.splice(from..from, part.iter().copied());
            }
            // A number of another size.
            _ => {
                let digits = [&b"0"[..], b"1e9", b"-1", b"1e-9", b"9999", b"nan", b"\"", b"[", b"}"];
                bytes.splice(from..from, digits[random.below(digits.len())].iter().copied());
            }
        }
    }
    bytes
}

/// Runs a check over what is kept, over the seeds, and over so many changes of both.
fn run(target: &str, check: fn(&[u8]), mut seeds: Vec<Vec<u8>>, changes: u64) {
    seeds.extend(corpus(target));
    assert!(!seeds.is_empty(), "{target} has nothing to begin from");
    let held = |bytes: &[u8], what: &str| {
        let start = &bytes[..bytes.len().min(4000)];
        assert!(catch_unwind(|| check(bytes)).is_ok(), "{target}, {what}: {}", String::from_utf8_lossy(start));
    };
    for (number, seed) in seeds.iter().enumerate() {
        held(seed, &format!("seed {number}"));
    }
    for number in 0..changes {
        held(&changed(&mut Random(number), &seeds), &format!("change {number}"));
    }
}

/// Bytes without a form.
fn noise(count: u64, longest: usize) -> Vec<Vec<u8>> {
    let one = |seed| {
        let mut random = Random(seed);
        let length = random.below(longest);
        (0..length).map(|_| (random.bits() & 0xff) as u8).collect()
    };
    (0..count).map(one).collect()
}

const ROOF_FILES: [&str; 7] = [
    "examples",
    "tests/roofs",
    "tests/findings",
    "tests/diagnostics",
    "tests/refused",
    "tests/formats",
    "tests/drawings",
];

#[test]
fn any_text_is_a_roof_file_or_refused_with_a_place() {
    run("roof_file", checks::roof_file::check, files(&ROOF_FILES, ".toml"), 4000);
}

#[test]
fn any_text_goes_through_the_whole_chain() {
    run("command", checks::command::check, files(&["examples", "tests/refused"], ".toml"), 300);
}

#[test]
fn any_text_is_a_card_or_refused_with_a_reason() {
    run("card", checks::card::check, files(&["src/input/cards"], ".toml"), 3000);
}

#[test]
fn any_text_is_a_quantity_or_refused() {
    let seeds = ["11' 3 1/2\"", "345 cm", "7:12", "70 %", "35°", "L 45", "SW", "9.2", "1e400", "½ m", "- 3 ft"];
    run("quantity", checks::quantity::check, seeds.map(|text| text.as_bytes().to_vec()).to_vec(), 20_000);
}

#[test]
fn any_bytes_make_an_outline_that_is_covered_once() {
    run("kernel", checks::kernel::check, noise(1000, 200), 4000);
}

#[test]
fn any_bytes_make_a_survey_with_finite_answers() {
    run("survey", checks::survey::check, noise(150, 200), 300);
}

#[test]
fn any_text_of_another_kind_is_taken_over_or_refused() {
    run("import", checks::import::check, Vec::new(), 4000);
}

#[test]
fn any_line_is_a_feature_or_says_why_not() {
    run("outlines", checks::outlines::check, files(&["tests/data/outlines", "examples"], ".geojsonl"), 300);
}

#[test]
fn any_bytes_are_a_picture_or_refused() {
    let pixels: Vec<u8> = (0..32 * 24 * 3).map(|at: u32| (at * 37 % 251) as u8).collect();
    let (mut png, mut jpeg) = (Vec::new(), Vec::new());
    let color = ExtendedColorType::Rgb8;
    image::codecs::png::PngEncoder::new(&mut png).write_image(&pixels, 32, 24, color).unwrap();
    image::codecs::jpeg::JpegEncoder::new(&mut jpeg).write_image(&pixels, 32, 24, color).unwrap();
    run("picture", checks::picture::check, vec![png, jpeg], 3000);
}
