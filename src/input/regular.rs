//! Regular outlines by how many sides they have and how wide they are: `sides = 8`, `width = 3.60`.

use super::names::{NamedSide, Names};
use super::node::{Item, Table};
use super::reader::Reader;
use super::ring::{RingOwner, RingRead};
use super::schema::limits;
use super::source_map::SourceMap;
use crate::base::ids::SideId;
use crate::base::place::Place;
use crate::job::reading::{Conflict, Expected};
use crate::outline::Role;
use crate::outline::block::{BlockRole, BlockSide};
use crate::survey::model::MeasuredRing;
use nalgebra::{Point2, Vector2};
use std::f64::consts::{PI, TAU};
use toml::de::DeValue;

/// Keys that go with a regular outline alone.
const KEYS: [&str; 4] = ["width", "pitch", "pitch_by", "pitch_sigma"];

impl<'d> Reader<'d> {
    /// Whether an outline is given by the number of its sides; tells of keys that go with such alone where it is not.
    pub(crate) fn is_regular(&mut self, block: &Table<'d>, sides: &Item<'d>) -> bool {
        if matches!(sides.value, DeValue::Integer(_) | DeValue::Float(_)) {
            return true;
        }
        for item in KEYS.iter().filter_map(|key| block.get(key)) {
            self.conflict(sides, &item, Conflict::SidesAndRegular);
        }
        false
    }

    /// Reads a regular outline: anticlockwise from its first corner, or clockwise where it stands on another block's side, so
    /// that it lies outside that block.
    pub fn regular(
        &mut self,
        block: &Table<'d>,
        item: &Item<'d>,
        owner: &RingOwner<'_>,
        names: &mut Names,
        map: &mut SourceMap,
    ) -> Option<RingRead> {
        let count = self.count(item, &limits::REGULAR);
        let needed = self.required_as(block, "width", Expected::RegularWidth);
        let width = needed.and_then(|_| self.maybe(block, "width").ok()?);
        let pitch = self.required_as(block, "pitch", Expected::RegularPitch);
        let pitch = pitch.and_then(|item| self.pitch(&item));
        let (count, width, pitch) = (count?, width?, pitch?);
        let clockwise = block.has("at_side");
        let mut sides = Vec::new();
        for (number, name) in side_names(count).enumerate() {
            let id = SideId { side: u32::try_from(number).unwrap_or(u32::MAX), ..owner.first };
            let role = BlockRole::Known(Role::Eave { pitch, breaks: Vec::new() });
            map.insert(Place::Side { block: owner.block.to_owned(), side: name.clone() }, item.span.clone());
            names.add_side(NamedSide { block: owner.block.to_owned(), side: name.clone(), id, is_eave: true });
            // What is wrong with the pitch's keys is told once.
            if !self.has_errors() || number == 0 {
                self.pitches_of_side(block, id, &role, names);
            }
            sides.push(BlockSide { name, height: owner.height, role });
        }
        let measured = MeasuredRing::Places(corners(count, width, clockwise));
        Some(RingRead { measured, is_walked: false, sides })
    }
}

/// Names of sides in order: A to Z, then A2 to Z2.
fn side_names(count: u32) -> impl Iterator<Item = String> {
    let letter = |number: u32| char::from(b'A' + u8::try_from(number % 26).unwrap_or_default());
    (0..count).map(move |number| match number / 26 {
        0 => letter(number).to_string(),
        round => format!("{}{}", letter(number), round + 1),
    })
}

/// The length of a side of a regular polygon that is so wide from a side straight across: to the side opposite, or where
/// their number is odd to the corner opposite.
fn side(count: u32, width: f64) -> f64 {
    let half = PI / f64::from(count);
    let inner = if count.is_multiple_of(2) { width / 2.0 } else { width / (1.0 + half.cos().recip()) };
    2.0 * inner * half.tan()
}

/// Its corners from the origin on, the first side along +x.
fn corners(count: u32, width: f64, clockwise: bool) -> Vec<Point2<f64>> {
    let length = side(count, width);
    let turn = TAU / f64::from(count) * if clockwise { -1.0 } else { 1.0 };
    let mut at = Point2::origin();
    (0..count)
        .map(|number| {
            let start = at;
            let heading = turn * f64::from(number);
            at += length * Vector2::new(heading.cos(), heading.sin());
            start
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::polygon::signed_area;

    #[test]
    fn polygons_have_the_area_of_the_closed_form() {
        for (count, width) in [(3, 2.0), (5, 3.0), (6, 4.0), (8, 3.6), (12, 10.0)] {
            let half = PI / f64::from(count);
            let inner = if count % 2 == 0 { width / 2.0 } else { width * half.cos() / (1.0 + half.cos()) };
            // n r² tan(π / n) of the inner radius r (I. N. Bronshtein and others, "Handbook of Mathematics", from memory).
            let expected = f64::from(count) * inner * inner * half.tan();
            let area = signed_area(&corners(count, width, false));
            assert!((area - expected).abs() < 1e-12 * expected, "{count}: {area} {expected}");
            assert!((signed_area(&corners(count, width, true)) + expected).abs() < 1e-12 * expected);
            // As wide as asked for, across from the first side.
            let highest = corners(count, width, false).iter().map(|corner| corner.y).fold(0.0, f64::max);
            assert!((highest - width).abs() < 1e-12 * width, "{count}: {highest}");
        }
    }

    #[test]
    fn sides_go_by_letters() {
        let names: Vec<String> = side_names(28).collect();
        assert_eq!((&*names[0], &*names[25], &*names[26], &*names[27]), ("A", "Z", "A2", "B2"));
    }
}
