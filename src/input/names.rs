//! Names and what they stand for: corners and sides of blocks, points, faces.

use super::nearest::nearest;
use super::node::{Item, Table};
use super::reader::Reader;
use crate::base::ids::{PlaneId, PointId, SideId};
use crate::job::model::{SideReading, StatedPitch};
use crate::job::reading::{Bearers, Beside, Counted, Expected, Fault, Named, Problem};
use crate::survey::model::{Known, Point};
use std::collections::{BTreeMap, HashMap};
use std::ops::Range;
use toml::de::DeValue;

/// A side of a block whose name could be read.
#[derive(Clone, Debug)]
pub(super) struct NamedSide {
    pub block: String,
    pub side: String,
    pub id: SideId,
    pub is_eave: bool,
}

/// Everything with a name.
#[derive(Debug, Default)]
pub(super) struct Names {
    pub sides: Vec<NamedSide>,
    /// Which of them bear a name within their block, in order.
    by_side: HashMap<String, Vec<usize>>,
    pub points: Vec<Point>,
    pub point_ids: BTreeMap<String, PointId>,
    pub faces: BTreeMap<String, PlaneId>,
    pub dormers: Vec<String>,
    /// Pitches of sides and dormers, each once.
    pub pitches: Vec<StatedPitch>,
    /// Pitches read on faces over sides.
    pub side_readings: Vec<SideReading>,
    /// A name somewhere could not be read, so one that seems unknown may be that one.
    pub incomplete: bool,
}

/// What a name turned out to be.
enum Found<T> {
    One(T),
    Several(Vec<String>),
    None,
}

impl Names {
    /// Adds a side.
    pub(crate) fn add_side(&mut self, side: NamedSide) {
        self.by_side.entry(side.side.clone()).or_default().push(self.sides.len());
        self.sides.push(side);
    }

    /// The sides that bear a name within their block, in order.
    pub(crate) fn sides_named(&self, name: &str) -> impl Iterator<Item = &NamedSide> {
        self.by_side.get(name).into_iter().flatten().map(|&at| &self.sides[at])
    }

    /// A corner, written `block.corner`, or by itself where one block alone has it.
    fn corner(&self, name: &str) -> Found<&NamedSide> {
        self.found(name, '.')
    }

    /// A side, written `block/side`, or by itself where one block alone has it.
    fn side(&self, name: &str) -> Found<&NamedSide> {
        self.found(name, '/')
    }

    /// Whether a name is that of a side.
    pub(crate) fn means_side(&self, name: &str, block: &str, side: &str) -> bool {
        matches!(self.side(name), Found::One(found) if found.block == block && found.side == side)
    }

    /// Whether a point or a corner bears a name.
    pub(crate) fn is_point(&self, name: &str) -> bool {
        self.point_ids.contains_key(name) || matches!(self.corner(name), Found::One(_))
    }

    /// The side with a name in full: its block's and its own with a sign between, which either may hold too.
    pub(crate) fn in_full(&self, name: &str, between: char) -> Option<&NamedSide> {
        let places = name.match_indices(between).flat_map(|(at, sign)| {
            let (block, side) = (&name[..at], &name[at + sign.len()..]);
            let found = self.by_side.get(side).into_iter().flatten().copied();
            found.filter(move |&at| self.sides[at].block == block)
        });
        places.min().map(|first| &self.sides[first])
    }

    fn found(&self, name: &str, between: char) -> Found<&NamedSide> {
        if let Some(side) = self.in_full(name, between) {
            return Found::One(side);
        }
        let mut alone = self.sides_named(name);
        match (alone.next(), alone.next()) {
            (None, _) => Found::None,
            (Some(side), None) => Found::One(side),
            _ => {
                let full = |side: &NamedSide| format!("{}{between}{}", side.block, side.side);
                Found::Several(self.sides_named(name).map(full).collect())
            }
        }
    }
}

/// The side and the number of a face's name that has one: the second piece from below is `block/side:2`.
fn piece_of(name: &str) -> Option<(&str, u32)> {
    let (side, number) = name.rsplit_once(':')?;
    let number = number.parse().ok().filter(|&count| count > 1 && !number.starts_with(['+', '0']))?;
    Some((side, number))
}

impl<'d> Reader<'d> {
    fn unknown_name(&mut self, names: &Names, item: &Item<'d>, of: Named, known: Vec<String>) {
        if names.incomplete {
            return;
        }
        let name = self.written(&item.span).trim_matches(['"', '\'']).to_owned();
        let near = nearest(&name, known.iter().map(String::as_str)).map(str::to_owned);
        self.wrong(item, Fault::UnknownName { of, name, known, near });
    }

    fn ambiguous(&mut self, item: &Item<'d>, choices: Vec<String>) {
        self.wrong(item, Fault::AmbiguousName { choices });
    }

    /// A point: of `[points]`, or a corner of a block, which becomes a named point by being asked for.
    pub fn point(&mut self, names: &mut Names, item: &Item<'d>) -> Option<PointId> {
        let name = self.words(item, Expected::Point)?;
        self.point_named(names, name, item)
    }

    /// The same, by a name that stands at an item: its value or its key.
    pub(crate) fn point_named(&mut self, names: &mut Names, name: &str, item: &Item<'d>) -> Option<PointId> {
        if let Some(id) = names.point_ids.get(name) {
            return Some(*id);
        }
        match names.corner(name) {
            Found::One(side) => {
                let full = format!("{}.{}", side.block, side.side);
                let corner = side.id;
                if let Some(id) = names.point_ids.get(&full) {
                    return Some(*id);
                }
                let id = PointId::new(names.points.len());
                names.points.push(Point { name: full.clone(), known: Known::Corner(corner) });
                names.point_ids.insert(full, id);
                Some(id)
            }
            Found::Several(choices) => {
                self.ambiguous(item, choices);
                None
            }
            Found::None => {
                let corners = names.sides.iter().map(|side| format!("{}.{}", side.block, side.side));
                let mut known: Vec<String> = names.point_ids.keys().cloned().chain(corners).collect();
                known.sort();
                known.dedup();
                self.unknown_name(names, item, Named::Point, known);
                None
            }
        }
    }

    /// A list of points, `least` or more, each once.
    pub fn points(&mut self, names: &mut Names, item: &Item<'d>, least: usize) -> Option<Vec<PointId>> {
        let items = self.list(item, Expected::Points(least))?;
        if items.len() < least {
            let (key, count, of) = (item.key.to_owned(), items.len(), Counted::Points);
            self.wrong(item, Fault::WrongCount { key, count, of, expected: Err(least) });
            return None;
        }
        let read: Vec<Option<PointId>> = items.iter().map(|item| self.point(names, item)).collect();
        self.all_different(&items, &read)
    }

    /// Exactly `N` points, each another.
    pub(crate) fn exact_points<const N: usize>(&mut self, names: &mut Names, item: &Item<'d>) -> Option<[PointId; N]> {
        let items: [Item<'d>; N] = self.exactly(item, Expected::ExactPoints(N))?;
        let read: Vec<Option<PointId>> = items.iter().map(|item| self.point(names, item)).collect();
        self.all_different(&items, &read)?.try_into().ok()
    }

    /// Tells of a point that comes twice where each must be another.
    pub(crate) fn all_different(&mut self, items: &[Item<'d>], read: &[Option<PointId>]) -> Option<Vec<PointId>> {
        let mut first: BTreeMap<PointId, Range<usize>> = BTreeMap::new();
        let mut fine = true;
        for (item, id) in items.iter().zip(read) {
            let Some(id) = id else {
                fine = false;
                continue;
            };
            if let Some(before) = first.insert(*id, item.span.clone()) {
                let written = self.written(&item.span);
                let error = Problem::error(item.span.clone(), Fault::PointTwice).written(written);
                self.report(error.beside(before, Beside::FirstHere));
                fine = false;
            }
        }
        if fine { read.iter().copied().collect() } else { None }
    }

    /// The side of a face over a side, where a name is one; nothing is told of a name that is not.
    pub(crate) fn side_of_face(names: &Names, item: &Item<'d>) -> Option<NamedSide> {
        let DeValue::String(name) = item.value else { return None };
        if names.faces.contains_key(name.as_ref()) {
            return None;
        }
        if let Found::One(side) = names.side(name) { Some(side.clone()) } else { None }
    }

    /// Whether a pitch was read on the face over a side, wherever in the file that stands.
    pub(crate) fn is_read_on(root: &Table<'d>, names: &Names, block: &str, side: &str) -> bool {
        let Some(DeValue::Array(readings)) = root.get("pitch_reading").map(|item| item.value) else { return false };
        readings.iter().any(|reading| {
            let DeValue::Table(reading) = reading.get_ref() else { return false };
            let face = reading.get("face").and_then(|face| face.get_ref().as_str());
            face.is_some_and(|face| names.means_side(face, block, side))
        })
    }

    /// A face given by its points.
    pub fn plane(&mut self, names: &Names, item: &Item<'d>) -> Option<PlaneId> {
        let name = self.words(item, Expected::FaceByPoints)?;
        if let Some(id) = names.faces.get(name) {
            return Some(*id);
        }
        if let Found::One(_) = names.side(name) {
            self.wrong(item, Fault::SideForFace);
            return None;
        }
        let known: Vec<String> = names.faces.keys().cloned().collect();
        self.unknown_name(names, item, Named::FaceByPoints, known);
        None
    }

    /// A side of a block, by `block/side`, or by its own name where only one block has it.
    pub fn side(&mut self, names: &Names, item: &Item<'d>) -> Option<NamedSide> {
        let name = self.words(item, Expected::Side)?;
        self.side_named(names, name, item)
    }

    /// A side and which piece of its face: `block/side`, or `block/side:2` as answers name the second from below.
    pub fn piece(&mut self, names: &Names, item: &Item<'d>) -> Option<(NamedSide, u32)> {
        let name = self.words(item, Expected::Side)?;
        let (side, piece) = match (names.side(name), piece_of(name)) {
            (Found::None, Some(piece)) => piece,
            _ => (name, 1),
        };
        Some((self.side_named(names, side, item)?, piece))
    }

    /// A side by a name that stands at an item.
    fn side_named(&mut self, names: &Names, name: &str, item: &Item<'d>) -> Option<NamedSide> {
        match names.side(name) {
            Found::One(side) => Some(side.clone()),
            Found::Several(choices) => {
                self.ambiguous(item, choices);
                None
            }
            Found::None => {
                let known: Vec<String> =
                    names.sides.iter().map(|side| format!("{}/{}", side.block, side.side)).collect();
                self.unknown_name(names, item, Named::Side, known);
                None
            }
        }
    }

    /// A face of the roof as answers will name it: a face by points, or `block/side` with a piece's number.
    pub(crate) fn roof_face(&mut self, names: &Names, item: &Item<'d>) -> Option<String> {
        let name = self.words(item, Expected::Face)?;
        if names.faces.contains_key(name) {
            return Some(name.to_owned());
        }
        let side = piece_of(name).map_or(name, |(side, _)| side);
        match names.side(side) {
            Found::One(found) => {
                let full = format!("{}/{}", found.block, found.side);
                return Some(name.replacen(side, &full, 1));
            }
            Found::Several(choices) => {
                self.ambiguous(item, choices);
                return None;
            }
            Found::None => {}
        }
        let of_dormer = name.split_once('/').is_some_and(|(block, _)| names.dormers.iter().any(|d| d == block));
        if of_dormer {
            return Some(name.to_owned());
        }
        let sides = names.sides.iter().map(|side| format!("{}/{}", side.block, side.side));
        let known: Vec<String> = names.faces.keys().cloned().chain(sides).collect();
        self.unknown_name(names, item, Named::Face, known);
        None
    }

    /// Tells of a name that is taken.
    pub fn taken(&mut self, item: &Item<'d>, by: Bearers, first: Option<Range<usize>>) {
        let written = self.written(&item.span);
        let error = Problem::error(item.span.clone(), Fault::NameTaken(by)).written(written);
        self.report(match first {
            Some(first) => error.beside(first, Beside::FirstUsed),
            None => error,
        });
    }
}
