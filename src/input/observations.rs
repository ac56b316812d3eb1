//! Tapes, readings, levels and the rest: what was observed between points and faces.

use super::names::Names;
use super::node::{Item, Table};
use super::reader::Reader;
use super::schema::words::{DIRECTIONS, KNOWN_THINGS};
use super::source_map::SourceMap;
use crate::base::ids::{PlaneId, PointId};
use crate::base::place::Place;
use crate::job::model::SideReading;
use crate::job::reading::{Counted, Expected, Fault, Problem};
use crate::survey::model::{AxisHint, Known, Observation, ObservationKind};
use crate::survey::sigma;
use nalgebra::Vector3;

type ReadOne<'d> = fn(&mut Reader<'d>, &Table<'d>, &mut Names) -> Option<Observation>;

impl<'d> Reader<'d> {
    /// Reads every observation, kind by kind, each kind in file order.
    pub fn observations(&mut self, root: &Table<'d>, names: &mut Names, map: &mut SourceMap) -> Vec<Observation> {
        let kinds: [(&str, ReadOne<'d>); 9] = [
            ("tape", Self::tape),
            ("known", Self::known_size),
            ("offset", Self::offset),
            ("pitch_reading", Self::pitch_reading),
            ("level", Self::level),
            ("plumb", Self::plumb),
            ("square", Self::square),
            ("equal_pitch", Self::equal_pitch),
            ("upright", Self::upright),
        ];
        let mut observations = Vec::new();
        for (key, read) in kinds {
            for table in self.tables(root, key) {
                if let Some(observation) = read(self, &table, names) {
                    map.insert(Place::Observation(observations.len()), table.span.clone());
                    observations.push(observation);
                }
            }
        }
        observations
    }

    fn two_points(&mut self, table: &Table<'d>, names: &mut Names) -> Option<[PointId; 2]> {
        let from = self.required(table, "from");
        let to = self.required(table, "to");
        let first = from.as_ref().and_then(|item| self.point(names, item));
        let second = to.as_ref().and_then(|item| self.point(names, item));
        let (from, to) = (from?, to?);
        self.all_different(&[from, to], &[first, second])?.try_into().ok()
    }

    fn tape(&mut self, table: &Table<'d>, names: &mut Names) -> Option<Observation> {
        let ends = self.two_points(table, names);
        let length = self.value(table, "length");
        let sigma = self.length_sigma(table, length.unwrap_or(0.0));
        let plan = self.switch(table, "plan");
        let [from, to] = ends?;
        let kind = ObservationKind::Tape { from, to, length: length?, plan: plan? };
        Some(Observation { kind, sigma: sigma.ok()? })
    }

    fn known_size(&mut self, table: &Table<'d>, names: &mut Names) -> Option<Observation> {
        let ends = self.two_points(table, names);
        let what = self.maybe_word(table, "what", &KNOWN_THINGS);
        let one = self.maybe(table, "length");
        let count = self.whole(table, "count");
        let sigma = self.maybe(table, "sigma");
        let ([from, to], what, count) = (ends?, what.ok()??, count?);
        let times = f64::from(count);
        let kind = ObservationKind::Known { from, to, length: times * one.ok()??, what, count };
        Some(Observation { kind, sigma: sigma.ok()?.unwrap_or_else(|| times * sigma::known(what)) })
    }

    fn offset(&mut self, table: &Table<'d>, names: &mut Names) -> Option<Observation> {
        let points_item = self.required(table, "points");
        let points = points_item.as_ref().and_then(|item| self.points(names, item, 1));
        let wall = self.required(table, "wall");
        let wall: Option<[PointId; 2]> = wall.as_ref().and_then(|item| self.exact_points(names, item));
        let out = self.maybe(table, "out");
        let sigma = self.value(table, "sigma");
        let (points, line) = (points?, wall?);
        for &point in &points {
            self.not_among(points_item.as_ref()?, point, &line, Fault::PointEndsLine)?;
        }
        // From left to right as seen from outside: outside is to the right.
        let kind = ObservationKind::Offset { points, line, distance: out.ok()?? };
        Some(Observation { kind, sigma: sigma? })
    }

    fn pitch_reading(&mut self, table: &Table<'d>, names: &mut Names) -> Option<Observation> {
        let item = self.required(table, "face");
        let pitch = self.required(table, "pitch").and_then(|item| self.pitch(&item));
        let sigma = self.pitch_sigma(table);
        // On the face over a side it is no part of the adjustment of places: it joins the side's own pitch.
        if let Some(side) = item.as_ref().and_then(|item| Self::side_of_face(names, item)) {
            if !side.is_eave {
                let span = item.map_or(table.span.clone(), |item| item.span);
                let written = self.written(&span);
                self.report(Problem::error(span, Fault::NoFaceOnSide { or_face: true }).written(written));
                return None;
            }
            let reading = SideReading { side: side.id, pitch: pitch?.radians(), sigma: sigma.ok()? };
            names.side_readings.push(reading);
            return None;
        }
        let face = item.and_then(|item| self.plane(names, &item));
        let kind = ObservationKind::PitchReading { face: face?, pitch: pitch?.radians() };
        Some(Observation { kind, sigma: sigma.ok()? })
    }

    fn level(&mut self, table: &Table<'d>, names: &mut Names) -> Option<Observation> {
        let points = self.required(table, "points");
        let points = points.and_then(|item| self.points(names, &item, 2));
        let sigma = self.value(table, "sigma");
        let kind = ObservationKind::Level { points: points? };
        Some(Observation { kind, sigma: sigma? })
    }

    fn plumb(&mut self, table: &Table<'d>, names: &mut Names) -> Option<Observation> {
        let points = self.required(table, "points");
        let points: Option<[PointId; 2]> = points.and_then(|item| self.exact_points(names, &item));
        let sigma = self.maybe(table, "sigma");
        let [a, b] = points?;
        let height = |point: PointId| match names.points[point.index()].known {
            Known::At(place) | Known::Near(place) => Some(place.z),
            Known::Unknown | Known::Corner(_) => None,
        };
        let usual = match (height(a), height(b)) {
            (Some(a), Some(b)) if a != b => sigma::plumb(a - b),
            _ => sigma::PLUMB,
        };
        Some(Observation { kind: ObservationKind::Plumb { a, b }, sigma: sigma.ok()?.unwrap_or(usual) })
    }

    fn square(&mut self, table: &Table<'d>, names: &mut Names) -> Option<Observation> {
        let at_item = self.required(table, "at");
        let at = at_item.as_ref().and_then(|item| self.point(names, item));
        let arms_item = self.required(table, "arms");
        let arms: Option<[PointId; 2]> = arms_item.as_ref().and_then(|item| self.exact_points(names, item));
        let sigma = self.value(table, "sigma");
        let (at, arms) = (at?, arms?);
        self.not_among(&arms_item?, at, &arms, Fault::CornerIsArm)?;
        Some(Observation { kind: ObservationKind::Square { at, arms }, sigma: sigma? })
    }

    fn not_among(&mut self, item: &Item<'d>, point: PointId, others: &[PointId], fault: Fault) -> Option<()> {
        if !others.contains(&point) {
            return Some(());
        }
        self.wrong(item, fault);
        None
    }

    fn equal_pitch(&mut self, table: &Table<'d>, names: &mut Names) -> Option<Observation> {
        let sigma = self.value(table, "sigma");
        let item = self.required(table, "faces")?;
        let items = self.list(&item, Expected::TwoFaces)?;
        if items.len() < 2 {
            let (key, count, of) = ("faces".to_owned(), items.len(), Counted::Faces);
            self.wrong(&item, Fault::WrongCount { key, count, of, expected: Err(2) });
            return None;
        }
        let faces: Vec<Option<PlaneId>> = items.iter().map(|item| self.plane(names, item)).collect();
        let faces: Vec<PlaneId> = faces.into_iter().collect::<Option<_>>()?;
        if let Some(again) = (1..faces.len()).find(|&index| faces[..index].contains(&faces[index])) {
            self.wrong(&items[again], Fault::FaceTwice);
            return None;
        }
        let kind = ObservationKind::EqualPitch { faces };
        Some(Observation { kind, sigma: sigma? })
    }

    fn upright(&mut self, table: &Table<'d>, names: &mut Names) -> Option<Observation> {
        let point_item = self.required(table, "point");
        let point = point_item.as_ref().and_then(|item| self.point(names, item));
        let over_item = self.required(table, "over");
        let over: Option<[PointId; 2]> = over_item.as_ref().and_then(|item| self.exact_points(names, item));
        let sigma = self.value(table, "sigma");
        let (point, over) = (point?, over?);
        self.not_among(&over_item?, point, &over, Fault::PointEndsLine)?;
        Some(Observation { kind: ObservationKind::Upright { point, over }, sigma: sigma? })
    }

    /// Reads every `[[axis]]`.
    pub fn axes(&mut self, root: &Table<'d>, names: &mut Names) -> Vec<AxisHint> {
        let mut axes = Vec::new();
        for table in self.tables(root, "axis") {
            let ends = self.two_points(&table, names);
            let along = self.word(&table, "along", &DIRECTIONS).map(Vector3::from);
            if let (Some([from, to]), Some(along)) = (ends, along) {
                axes.push(AxisHint { from, to, along });
            }
        }
        axes
    }
}
