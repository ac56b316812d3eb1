//! A side made two: each half as long, in one line, so that one of them can become another thing.

use crate::base::file_tree::{Edit, Kind, Step, under};
use crate::base::quantity;
use crate::viewer::editors::rows::{RingRow, SideRow};

/// The changes that split a side in its middle; `None` where its length or place is not a number yet.
pub(super) fn split(ring: &RingRow, index: usize) -> Option<Vec<Edit>> {
    let side = ring.sides.get(index)?;
    let set = |at: &[Step], key: &str, value: String| Edit::Set {
        at: under(at, [key.into()]),
        value: Some(value),
        kind: if key == "at" { Kind::Measures } else { Kind::Measure },
    };
    let second = under(&ring.list, [Step::At(index + 1)]);
    let repeat = Edit::Repeat { list: ring.list.clone(), index };
    if side.is_placed() {
        let next = ring.sides.get((index + 1) % ring.sides.len())?;
        let [from, to] = [place(side)?, place(next)?];
        let middle = [0, 1].map(|axis| plain(f64::midpoint(from[axis], to[axis])));
        return Some(vec![repeat, set(&second, "at", format!("{}, {}", middle[0], middle[1]))]);
    }
    let half = half(&side.field("length").text)?;
    let turn = side.field("turn").text;
    let mut edits = vec![set(&side.at, "length", half), set(&side.at, "turn", "0".to_owned()), repeat];
    let turn = Edit::Set {
        at: under(&second, ["turn".into()]),
        value: (!turn.is_empty()).then_some(turn),
        kind: Kind::Measure,
    };
    edits.push(turn);
    Some(edits)
}

/// Half a length as it is written: `9.20` is `4.6`, `11' 4"` is `5' 8"`, `345 cm` is `172.5 cm`.
fn half(text: &str) -> Option<String> {
    let text = text.trim();
    if let Ok(number) = text.parse::<f64>() {
        return Some(plain(number / 2.0));
    }
    if text.contains(['\'', '"']) || text.contains("ft") || text.contains("in") {
        return quantity::length(text, None).ok().map(|metres| quantity::feet_inches(metres / 2.0));
    }
    let unit = text.find(|letter: char| letter.is_ascii_alphabetic())?;
    let number: f64 = text[..unit].trim().parse().ok()?;
    Some(format!("{} {}", plain(number / 2.0), &text[unit..]))
}

/// The two numbers of a place.
fn place(side: &SideRow) -> Option<[f64; 2]> {
    let text = side.field("at").text;
    let mut numbers = text.trim_matches(['[', ']', ' ']).split(',').map(|part| part.trim().parse::<f64>());
    match (numbers.next()?, numbers.next()?, numbers.next()) {
        (Ok(x), Ok(y), None) => Some([x, y]),
        _ => None,
    }
}

/// To a tenth of a thousandth, without zeros at its end.
fn plain(number: f64) -> String {
    let text = format!("{number:.4}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::half;

    #[test]
    fn halves_are_written_as_wholes_are() {
        for (whole, expected) in [("9.20", "4.6"), ("345 cm", "172.5 cm"), ("11' 4\"", "5' 8\""), ("7", "3.5")] {
            assert_eq!(half(whole).as_deref(), Some(expected), "{whole}");
        }
        assert_eq!(half("?"), None);
        assert_eq!(half(""), None);
    }
}
