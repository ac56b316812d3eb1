//! A ring of sides: walked with lengths and turns, or by the places of its corners.

use super::measures::through;
use super::names::{NamedSide, Names};
use super::node::{Item, Table};
use super::reader::Reader;
use super::schema::block::SIDE;
use super::schema::limits;
use super::source_map::SourceMap;
use crate::base::ids::SideId;
use crate::base::place::Place;
use crate::job::model::Stage;
use crate::job::reading::{Bearers, Beside, Conflict, Expected, Fault, Problem};
use crate::outline::Role;
use crate::outline::block::{BlockRole, BlockSide};
use crate::survey::model::{Leg, Measured, MeasuredRing};
use crate::survey::sigma;
use crate::survey::walk::{self, Heading, walk};
use nalgebra::Point2;
use std::f64::consts::{PI, TAU};
use std::ops::Range;
use toml::de::DeValue;

/// The longest side of any outline is at least this long, metres.
const LEAST_OUTLINE: f64 = 0.1;

/// What rounding on a drawing may leave open, metres a side.
const ROUNDED: f64 = 0.001;

/// What a ring belongs to while it is read.
pub(super) struct RingOwner<'a> {
    pub block: &'a str,
    /// The id its first side gets.
    pub first: SideId,
    /// Height of sides that state none.
    pub height: f64,
}

/// A ring as read.
pub(super) struct RingRead {
    pub measured: MeasuredRing,
    /// Whether it is written as a walk.
    pub is_walked: bool,
    pub sides: Vec<BlockSide>,
}

/// How a side says where it runs.
#[derive(Clone, Copy)]
enum Course {
    Walked(Leg),
    Placed(Point2<f64>),
}

impl<'d> Reader<'d> {
    /// Reads `sides`.
    pub fn ring(
        &mut self,
        item: &Item<'d>,
        owner: &RingOwner<'_>,
        names: &mut Names,
        map: &mut SourceMap,
    ) -> Option<RingRead> {
        let items = self.list(item, Expected::Sides)?;
        if items.len() < 3 {
            self.wrong(item, Fault::TooFewSides { count: items.len() });
        }
        let mut fine = items.len() >= 3;
        let mut sides = Vec::with_capacity(items.len());
        let mut courses: Vec<(Course, Range<usize>)> = Vec::with_capacity(items.len());
        let last = items.len().saturating_sub(1);
        for (index, item) in items.iter().enumerate() {
            let Some(table) = self.table(item, &SIDE) else {
                names.incomplete = true;
                fine = false;
                continue;
            };
            let id = SideId { side: u32::try_from(index).unwrap_or(u32::MAX), ..owner.first };
            let role = self.role(&table);
            if id.ring > 0
                && let (Some(BlockRole::RunsInto), Some(item)) = (&role, table.get("runs_into"))
            {
                self.report(Problem::error(item.key_span, Fault::CourtRunsInto));
                fine = false;
            }
            let name = self.side_name(&table, owner, names, map, id, role.as_ref());
            if let Some(role) = &role {
                self.pitches_of_side(&table, id, role, names);
            }
            let height = self.maybe(&table, "height");
            let course = self.course(&table, index == last);
            if let (Some(name), Some(role), Ok(height), Some(course)) = (name, role, height, course) {
                sides.push(BlockSide { name, height: height.unwrap_or(owner.height), role });
                courses.push((course, table.span.clone()));
            } else {
                fine = false;
            }
        }
        let measured = if fine { self.one_form(&courses) } else { None }?;
        if !self.check_size(&measured, item, &courses) || !self.check_turns(&measured, &item.key_span, &courses) {
            return None;
        }
        let is_walked = matches!(measured, MeasuredRing::Walk(_));
        Some(RingRead { measured: self.as_designed(measured, item)?, is_walked, sides })
    }

    fn side_name(
        &mut self,
        table: &Table<'d>,
        owner: &RingOwner<'_>,
        names: &mut Names,
        map: &mut SourceMap,
        id: SideId,
        role: Option<&BlockRole>,
    ) -> Option<String> {
        let item = self.required(table, "from");
        let named = item.as_ref().and_then(|item| self.name(item));
        let (Some(item), Some(name)) = (item, named) else {
            names.incomplete = true;
            return None;
        };
        let place = Place::Side { block: owner.block.to_owned(), side: name.clone() };
        if names.sides_named(&name).any(|other| other.id.block == id.block) {
            self.taken(&item, Bearers::CornersOf(owner.block.to_owned()), map.span(&place));
            return None;
        }
        map.insert(place, table.span.clone());
        let is_eave = match role {
            Some(BlockRole::EaveOfUnknownPitch) | None => true,
            Some(BlockRole::RunsInto) => false,
            Some(BlockRole::Known(role)) => role.is_eave() || matches!(role, Role::HalfHip { .. }),
        };
        names.add_side(NamedSide { block: owner.block.to_owned(), side: name.clone(), id, is_eave });
        Some(name)
    }

    /// Length and turn, or a place.
    fn course(&mut self, table: &Table<'d>, is_last: bool) -> Option<Course> {
        if let Some(at) = table.get("at") {
            if let Some(walked) =
                ["length", "turn", "sigma", "turn_sigma", "method"].iter().find_map(|key| table.get(key))
            {
                self.conflict(&at, &walked, Conflict::PlaceAndWalk);
                return None;
            }
            let place = self.maybe_list::<2>(table, "at").ok()??;
            return Some(Course::Placed(Point2::new(place[0], place[1])));
        }
        let item = self.required(table, "length");
        let is_open =
            item.as_ref().is_some_and(|item| matches!(item.value, DeValue::String(text) if text.trim() == "?"));
        let length = if is_open { Some(0.0) } else { item.and_then(|_| self.maybe(table, "length").ok()?) };
        let length_sigma = if is_open { Ok(f64::INFINITY) } else { self.length_sigma(table, length.unwrap_or(0.0)) };
        let turn_item = table.get("turn");
        if turn_item.is_none() && !is_last {
            self.required(table, "turn");
        }
        let turn = turn_item.as_ref().map(|item| self.turn(item));
        let is_right = matches!(&turn, Some(Some(turn)) if turn.is_right);
        let usual = if is_right { sigma::TURN_RIGHT_ANGLE } else { sigma::TURN_IN_DEGREES };
        let turn_sigma = self.turn_sigma(table, usual);
        let turn = match turn {
            None if is_last => None,
            Some(Some(turn)) => Some(Measured { value: turn.radians, sigma: turn_sigma.ok()? }),
            _ => return None,
        };
        Some(Course::Walked(Leg { length: Measured { value: length?, sigma: length_sigma.ok()? }, turn }))
    }

    /// All sides walked or all placed.
    fn one_form(&mut self, courses: &[(Course, Range<usize>)]) -> Option<MeasuredRing> {
        let mut legs = Vec::new();
        let mut places = Vec::new();
        for (course, _) in courses {
            match course {
                Course::Walked(leg) => legs.push(*leg),
                Course::Placed(place) => places.push(*place),
            }
        }
        if places.is_empty() {
            return self.closed(legs, courses).map(MeasuredRing::Walk);
        }
        if legs.is_empty() {
            return Some(MeasuredRing::Places(places));
        }
        let fewer_walked = legs.len() < places.len();
        let odd = courses.iter().find(|(course, _)| matches!(course, Course::Walked(_)) == fewer_walked);
        let span = odd.map_or(0..0, |(_, span)| span.clone());
        let written = self.written(&span);
        let fault = Fault::MixedSides { placed: places.len(), walked: legs.len() };
        self.report(Problem::error(span, fault).written(written));
        None
    }

    /// A walk with the length that was left open worked out: what the other sides leave along its direction.
    fn closed(&mut self, mut legs: Vec<Leg>, courses: &[(Course, Range<usize>)]) -> Option<Vec<Leg>> {
        let mut open = (0..legs.len()).filter(|&side| legs[side].length.sigma == f64::INFINITY);
        let Some(side) = open.next() else { return Some(legs) };
        let span = courses[side].1.clone();
        if let Some(second) = open.next() {
            let written = self.written(&courses[second].1);
            let error = Problem::error(courses[second].1.clone(), Fault::TwoLengthsOpen).written(written);
            self.report(error.beside(span, Beside::OtherOpen));
            return None;
        }
        let length = walk::left_open(&legs, side);
        if !limits::SIDE.allow(length) {
            let written = self.written(&span);
            self.report(Problem::error(span, Fault::NothingLeftOpen).written(written));
            return None;
        }
        legs[side].length.value = length;
        Some(legs)
    }

    /// Tells of an outline that no building has: sides by the places of their corners that are too long, or one that is
    /// no larger than a hand, all of it, for want of the right unit.
    fn check_size(&mut self, measured: &MeasuredRing, item: &Item<'d>, courses: &[(Course, Range<usize>)]) -> bool {
        let lengths: Vec<f64> = match measured {
            MeasuredRing::Walk(legs) => legs.iter().map(|leg| leg.length.value).collect(),
            MeasuredRing::Places(places) => {
                let next = places.iter().cycle().skip(1);
                places.iter().zip(next).map(|(from, to)| (to - from).norm()).collect()
            }
        };
        let longest = lengths.iter().copied().fold(0.0, f64::max);
        let (least, most) = (LEAST_OUTLINE, limits::SIDE.most);
        if longest < least {
            self.report(Problem::error(item.key_span.clone(), Fault::TinyOutline { longest, least, most }));
            return false;
        }
        let Some(index) = lengths.iter().position(|length| !limits::SIDE.allow(*length) && *length > 0.0) else {
            return true;
        };
        let place = courses[index].1.clone();
        let written = self.written(&place);
        self.report(Problem::error(place, Fault::LongSide { least, most }).written(written));
        false
    }

    /// A walk of exact lengths and turns, as in a design, is given by the places it comes to. What rounding to a
    /// millimetre a side leaves open is shared out; more is an error, since no number may give way.
    fn as_designed(&mut self, measured: MeasuredRing, item: &Item<'d>) -> Option<MeasuredRing> {
        let MeasuredRing::Walk(legs) = &measured else { return Some(measured) };
        let is_exact = |leg: &Leg| {
            matches!(leg.length.sigma, 0.0 | f64::INFINITY) && leg.turn.is_none_or(|turn| turn.sigma == 0.0)
        };
        if self.stage != Stage::Design || !legs.iter().all(is_exact) {
            return Some(measured);
        }
        let walked = walk(legs, Point2::origin(), Heading::new(0.0));
        let (gap, allowed) = (walked.gap.norm(), ROUNDED * legs.len() as f64);
        if gap <= allowed {
            return Some(MeasuredRing::Places(walked.balanced));
        }
        self.report(Problem::error(item.key_span.clone(), Fault::DesignOpen { gap, allowed }));
        None
    }

    /// Whether the turns of a walk go once round.
    fn check_turns(&mut self, measured: &MeasuredRing, key: &Range<usize>, courses: &[(Course, Range<usize>)]) -> bool {
        let MeasuredRing::Walk(legs) = measured else { return true };
        let turns: Vec<Measured> = legs.iter().filter_map(|leg| leg.turn).collect();
        let sum: f64 = turns.iter().map(|turn| turn.value).sum();
        let variance: f64 = turns.iter().map(|turn| turn.sigma * turn.sigma).sum();
        let rounding = turns.iter().map(|turn| turn.value.abs()).sum::<f64>() * legs.len() as f64 * f64::EPSILON;
        let allowed = 4.0 * variance.sqrt() + rounding;
        let once_round = TAU.copysign(sum);
        let degrees = |radians: f64| -> f64 {
            let degrees = radians.to_degrees();
            (degrees * 100.0).round() / 100.0
        };
        let complete = turns.len() == legs.len();
        let wrong = if complete { (sum - once_round).abs() > allowed } else { (once_round - sum).abs() >= PI };
        if !wrong {
            return true;
        }
        let span =
            courses.first().zip(courses.last()).map_or(key.clone(), |((_, first), (_, last))| through(first, last));
        let allowed = complete.then(|| degrees(allowed));
        let error = Problem::error(key.clone(), Fault::TurnSum { sum: degrees(sum), allowed });
        self.report(error.beside(span, Beside::FirstOfSides));
        false
    }
}
