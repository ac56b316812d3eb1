//! From moved corners to what the file says: lengths and turns of the sides that changed, or places.

use super::moved::legs;
use crate::base::file_tree::{Edit, FileTable, Kind, Step, under};
use crate::base::quantity;
use crate::viewer::editors::rows::{BlockRow, RingRow, SideRow};
use nalgebra::{Point2, Rotation2};

/// What differs by less is written as it was: metres, and radians.
const SAME: (f64, f64) = (0.0004, 0.0001);

/// How the file writes bare lengths.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bare {
    /// `units = "m"`.
    Metre,
    /// `units = "cm"`.
    Centimetre,
    /// `units = "mm"`.
    Millimetre,
    /// `units = "ft"` or `"in"`.
    Imperial,
    /// No units stated: each length carries its own.
    Stated,
}

impl Bare {
    /// As the file says.
    #[must_use]
    pub fn of(file: &FileTable) -> Self {
        match file.field("units").text.as_str() {
            "m" => Self::Metre,
            "cm" => Self::Centimetre,
            "mm" => Self::Millimetre,
            "ft" | "in" => Self::Imperial,
            _ => Self::Stated,
        }
    }

    /// A length as one would type it: to the millimetre, or to an eighth of an inch.
    #[must_use]
    pub fn typed(self, metres: f64) -> String {
        match self {
            Self::Metre => decimals(metres, 3, 2),
            Self::Centimetre => decimals(metres * 1e2, 1, 0),
            Self::Millimetre => decimals(metres * 1e3, 0, 0),
            Self::Imperial => quantity::feet_inches(metres),
            Self::Stated => format!("{} m", decimals(metres, 3, 2)),
        }
    }

    /// Lengths that are tidy are multiples of this: a decimetre, three inches.
    #[must_use]
    pub fn step(self) -> f64 {
        if self == Self::Imperial { 0.0762 } else { 0.1 }
    }

    /// A step of the keyboard: a centimetre, half an inch.
    #[must_use]
    pub(crate) fn nudge(self) -> f64 {
        if self == Self::Imperial { 0.0127 } else { 0.01 }
    }
}

/// With at most and at least so many decimals.
fn decimals(value: f64, most: usize, least: usize) -> String {
    let text = format!("{value:.most$}");
    let Some(point) = text.find('.') else { return text };
    let keep = if least == 0 { point } else { point + 1 + least };
    let trimmed = text.trim_end_matches('0').len().max(keep);
    let text = text[..trimmed].trim_end_matches('.').to_owned();
    if text.trim_start_matches('-').chars().all(|letter| letter == '0' || letter == '.') {
        text.trim_start_matches('-').to_owned()
    } else {
        text
    }
}

/// A turn as one would type it, radians.
fn turn(radians: f64) -> String {
    let degrees = radians.to_degrees();
    match () {
        () if (degrees - 90.0).abs() < 0.006 => "L".to_owned(),
        () if (degrees + 90.0).abs() < 0.006 => "R".to_owned(),
        () => decimals(degrees, 2, 0),
    }
}

/// Where a block stands, metres and radians: the frame its file places are in.
#[derive(Clone, Copy, Debug)]
pub struct Ground {
    /// Of its first corner.
    pub start: Point2<f64>,
    /// Of its first side.
    pub heading: f64,
}

impl Ground {
    fn inner(self, place: Point2<f64>) -> Point2<f64> {
        Rotation2::new(-self.heading) * Point2::from(place - self.start)
    }
}

/// A ring before and after.
#[derive(Clone, Copy, Debug)]
pub struct Change<'a> {
    /// Its block as written before.
    pub block: &'a BlockRow,
    /// Which ring of it.
    pub ring: usize,
    /// The block's frame on the site, then each courtyard's in the block's.
    pub grounds: &'a [Ground],
    /// Corners before, of every ring of the block.
    pub before: &'a [Vec<Point2<f64>>],
    /// Corners of the ring after.
    pub after: &'a [Point2<f64>],
}

/// The changes of the file that move a ring's corners; what did not change is left as it is written.
///
/// # Errors
/// Why not, in words: the file says the place in a way that can't follow.
pub fn edits(change: &Change, bare: Bare) -> Result<Vec<Edit>, String> {
    let ring = &change.block.rings[change.ring];
    let before = &change.before[change.ring];
    let frame = change.grounds[0];
    if ring.sides.iter().any(SideRow::is_placed) {
        return Ok(placed(ring, before, change.after, frame, bare));
    }
    let mut edits = walked(ring, before, change.after, bare);
    let step = change.after[0] - before[0];
    let turned = wrapped(heading(change.after) - heading(before));
    let (is_moved, is_turned) = (step.norm() > SAME.0, turned.abs() > SAME.1);
    if !is_moved && !is_turned {
        return Ok(edits);
    }
    if change.ring > 0 {
        let own = change.grounds[change.ring];
        let start = own.start + Rotation2::new(-frame.heading) * step;
        edits.extend(ground_edits(
            &ring.owner,
            is_moved.then_some(start),
            is_turned.then_some(own.heading + turned),
            bare,
        ));
        return Ok(edits);
    }
    if let Some(on) = change.block.written.value("at_side") {
        let on = &on.text;
        return Err(format!("this corner is held by side {on}: its place is on the left, under more about the block"));
    }
    let frame = Ground { start: frame.start + step, heading: frame.heading + turned };
    edits.extend(ground_edits(&ring.owner, is_moved.then_some(frame.start), is_turned.then_some(frame.heading), bare));
    // Courtyards stand in the frame that moved: they stay where they are.
    for (number, hole) in change.block.rings.iter().enumerate().skip(1) {
        let corners = &change.before[number];
        if hole.sides.iter().any(SideRow::is_placed) {
            edits.extend(placed(hole, &[], corners, frame, bare));
        } else {
            let heading = change.grounds[number].heading - turned;
            let start = frame.inner(corners[0]);
            edits.extend(ground_edits(&hole.owner, Some(start), is_turned.then_some(heading), bare));
        }
    }
    Ok(edits)
}

fn ground_edits(way: &[Step], start: Option<Point2<f64>>, heading: Option<f64>, bare: Bare) -> Vec<Edit> {
    let set = |key: &str, value, kind| Edit::Set { at: under(way, [key.into()]), value: Some(value), kind };
    let start = start.map(|start| set("start", pair(start, bare), Kind::Measures));
    let heading = heading.map(|heading| set("heading", decimals(wrapped(heading).to_degrees(), 2, 0), Kind::Measure));
    start.into_iter().chain(heading).collect()
}

fn pair(place: Point2<f64>, bare: Bare) -> String {
    format!("{}, {}", bare.typed(place.x), bare.typed(place.y))
}

fn walked(ring: &RingRow, before: &[Point2<f64>], after: &[Point2<f64>], bare: Bare) -> Vec<Edit> {
    let mut edits = Vec::new();
    for ((side, old), new) in ring.sides.iter().zip(legs(before)).zip(legs(after)) {
        let set = |key: &str, value: String| Edit::Set {
            at: under(&side.at, [key.into()]),
            value: Some(value),
            kind: Kind::Measure,
        };
        if (old.0 - new.0).abs() > SAME.0 {
            edits.push(set("length", bare.typed(new.0)));
        }
        // The last turn may be left out: it is what closes the outline.
        if side.written.entry("turn").is_some() && wrapped(old.1 - new.1).abs() > SAME.1 {
            edits.push(set("turn", turn(new.1)));
        }
    }
    edits
}

fn placed(ring: &RingRow, before: &[Point2<f64>], after: &[Point2<f64>], frame: Ground, bare: Bare) -> Vec<Edit> {
    let corners = ring.sides.iter().zip(after).enumerate();
    let moved = corners.filter(|(index, (_, new))| before.get(*index).is_none_or(|old| (old - *new).norm() > SAME.0));
    let set = |(_, (side, new)): (usize, (&SideRow, &Point2<f64>))| Edit::Set {
        at: under(&side.at, ["at".into()]),
        value: Some(pair(frame.inner(*new), bare)),
        kind: Kind::Measures,
    };
    moved.map(set).collect()
}

fn heading(corners: &[Point2<f64>]) -> f64 {
    let way = corners[1] - corners[0];
    way.y.atan2(way.x)
}

fn wrapped(angle: f64) -> f64 {
    let turn = std::f64::consts::TAU;
    angle - turn * (angle / turn).round()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_as_one_would_type_them() {
        assert_eq!(Bare::Metre.typed(9.2), "9.20");
        assert_eq!(Bare::Metre.typed(9.2374), "9.237");
        assert_eq!(Bare::Metre.typed(-0.0001), "0.00");
        assert_eq!(Bare::Centimetre.typed(9.2374), "923.7");
        assert_eq!(Bare::Centimetre.typed(9.0), "900");
        assert_eq!(Bare::Millimetre.typed(9.2374), "9237");
        assert_eq!(Bare::Imperial.typed(3.4417), "11' 3 1/2\"");
        assert_eq!(Bare::Stated.typed(9.2), "9.20 m");
        assert_eq!(turn(std::f64::consts::FRAC_PI_2), "L");
        assert_eq!(turn(-0.5 * std::f64::consts::FRAC_PI_2), "-45");
        assert_eq!(turn(0.300), "17.19");
    }
}
