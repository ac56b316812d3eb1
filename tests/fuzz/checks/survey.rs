//! Measurements out of bytes: a roof by points with tapes, levels, plumb lines, directions and pitches, read and adjusted. What
//! is answered is finite, and no variance is negative.

use eavewright::input::{self, NoFiles};
use eavewright::job;
use std::fmt::Write as _;

/// The names of the points; four of them make each of two faces.
const NAMES: [&str; 8] = ["A", "B", "C", "D", "E", "F", "R", "S"];

/// A roof file of the bytes: eight for the points' places (given, rough or open), then four a measurement.
fn text(bytes: &[u8]) -> Option<String> {
    let (head, rest) = bytes.split_at_checked(8)?;
    let mut text = String::from("title = \"Fuzzed\"\nunits = \"m\"\n[points]\n");
    for (name, byte) in NAMES.iter().zip(head) {
        let value = |shift: u32| f64::from(byte.rotate_left(shift) & 31) / 3.0;
        let place = format!("[{}, {}, {}]", value(0), value(2), value(4));
        let _ = match byte & 3 {
            0 => writeln!(text, "{name} = {{}}"),
            1 => writeln!(text, "{name} = {place}"),
            _ => writeln!(text, "{name} = {{ near = {place} }}"),
        };
    }
    for side in rest.chunks_exact(4).take(60) {
        let (from, to) = (NAMES[usize::from(side[1] & 7)], NAMES[usize::from(side[1] >> 3 & 7)]);
        let length = f64::from(u16::from_le_bytes([side[2], side[3]])) / 4096.0;
        let face = ["north", "south"][usize::from(side[1] & 1)];
        let _ = match side[0] % 8 {
            0..=2 => writeln!(text, "[[tape]]\nfrom = \"{from}\"\nto = \"{to}\"\nlength = {length}"),
            3 => writeln!(text, "[[tape]]\nfrom = \"{from}\"\nto = \"{to}\"\nlength = {length}\nplan = true"),
            4 => writeln!(text, "[[level]]\npoints = [\"{from}\", \"{to}\"]"),
            5 => writeln!(text, "[[plumb]]\npoints = [\"{from}\", \"{to}\"]"),
            6 => writeln!(text, "[[axis]]\nfrom = \"{from}\"\nto = \"{to}\""),
            _ => writeln!(text, "[[pitch_reading]]\nface = \"{face}\"\npitch = {}", length * 5.0),
        };
    }
    text.push_str("[[face]]\nname = \"south\"\npoints = [\"A\", \"B\", \"S\", \"R\"]\n");
    text.push_str("[[face]]\nname = \"north\"\npoints = [\"C\", \"D\", \"R\", \"S\"]\n");
    Some(text)
}

pub fn check(bytes: &[u8]) {
    let Some(text) = text(bytes) else { return };
    let Ok((job, ..)) = input::read("roof.toml", &text, &NoFiles) else { return };
    let Ok(answer) = job::solve(&job, &job::Options::default()) else { return };
    for point in &answer.survey.points {
        if point.located {
            assert!(point.at.coords.iter().all(|value| value.is_finite()), "{text}");
            assert!(point.sd.is_none_or(|sd| sd.iter().all(|value| value.is_finite() && *value >= 0.0)), "{text}");
        }
    }
}
