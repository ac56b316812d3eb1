//! Any bytes as lines of features of a map: each line is answered, or says why not; nothing panics.

use eavewright::input::outlines::{Content, Defaults, Piece, read};
use eavewright::job::outlines::{RoofSums, solve};

pub fn check(bytes: &[u8]) {
    let (mut from, mut features) = (0, Vec::new());
    for (line, text) in (1..).zip(bytes.split_inclusive(|byte| *byte == b'\n')) {
        features.push((line, from, from + text.len()));
        from += text.len();
    }
    let count = features.len() as u64;
    let content = Content::Texts { text: bytes.to_vec(), features };
    let piece = Piece { end: bytes.len() as u64, content, before: 0, count };
    let defaults = Defaults { pitch: Some(35.0), ..Defaults::default() };
    let read = read(&piece, &defaults);
    assert_eq!(read.len() as u64, count, "a line in, a feature out");
    for feature in read {
        let Ok(placed) = feature.outline else { continue };
        if let Ok(roof) = solve(&placed.outline) {
            let sums = RoofSums::of(&roof);
            assert!(sums.area.is_finite() && sums.plan_area.is_finite() && sums.ridge_height.is_finite());
        }
    }
}
