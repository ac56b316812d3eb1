//! What stands in a roof: `[[dormer]]` and `[[opening]]`.

use super::names::Names;
use super::node::{Item, Table};
use super::reader::Reader;
use super::schema::fittings::OPENING;
use super::schema::words::DORMERS;
use super::source_map::SourceMap;
use crate::base::place::Place;
use crate::job::reading::{Bearers, Conflict, Counted, Expected, Fault};
use crate::outline::Dormer;
use crate::roof::analysis::opening::{Opening, OpeningShape};
use nalgebra::Point2;

impl<'d> Reader<'d> {
    /// Reads every dormer.
    pub fn dormers(&mut self, root: &Table<'d>, names: &mut Names, map: &mut SourceMap) -> Vec<Dormer> {
        let mut dormers = Vec::new();
        for table in self.tables(root, "dormer") {
            let item = self.required(&table, "name");
            let name = item.as_ref().and_then(|item| self.name(item));
            if let (Some(item), Some(name)) = (&item, &name) {
                let place = Place::Dormer(name.clone());
                let block = map.span(&Place::Block(name.clone()));
                let first = map.span(&place).or(block);
                if first.is_some() {
                    self.taken(item, Bearers::BlocksOrDormers, first);
                } else {
                    map.insert(place, table.span.clone());
                    names.dormers.push(name.clone());
                }
            } else {
                names.incomplete = true;
            }
            let dormer = self.dormer(&table, name, names);
            if let Some(dormer) = dormer {
                self.pitch_of_dormer(&table, dormers.len(), dormer.pitch, names);
                dormers.push(dormer);
            }
        }
        dormers
    }

    fn dormer(&mut self, table: &Table<'d>, name: Option<String>, names: &Names) -> Option<Dormer> {
        let face = self.required(table, "face");
        let face = face.and_then(|item| {
            let (side, piece) = self.piece(names, &item)?;
            if !side.is_eave {
                self.wrong(&item, Fault::NoFaceOnSide { or_face: false });
                return None;
            }
            Some((side.id, piece))
        });
        let at = self.maybe_list(table, "at").ok().flatten();
        let width = self.value(table, "width");
        let front_height = self.value(table, "front_height");
        let pitch = self.required(table, "pitch").and_then(|item| self.pitch(&item));
        let kind = self.word(table, "kind", &DORMERS);
        let (face, piece) = face?;
        Some(Dormer {
            name: name?,
            face,
            piece,
            at: at?,
            width: width?,
            front_height: front_height?,
            pitch: pitch?,
            kind: kind?,
        })
    }

    /// Reads every opening.
    pub fn openings(&mut self, root: &Table<'d>, names: &Names, map: &mut SourceMap) -> Vec<Opening> {
        let tables = self.tables(root, "opening");
        let mut openings = Vec::new();
        for (index, table) in tables.iter().enumerate() {
            map.insert(Place::Opening(index), table.span.clone());
            openings.extend(self.opening(table, names));
        }
        openings
    }

    fn opening(&mut self, table: &Table<'d>, names: &Names) -> Option<Opening> {
        let kind = self.maybe_text(table, "kind").map(|kind| kind.unwrap_or_else(|| "opening".to_owned()));
        let height = self.maybe(table, "height");
        if let Some(plan) = table.get("plan") {
            if let Some(other) = ["face", "at", "size"].iter().find_map(|key| table.get(key)) {
                self.conflict(&plan, &other, Conflict::PlanAndFace);
                return None;
            }
            let shape = self.plan(&plan)?;
            return Some(Opening { kind: kind.ok()?, shape, height: height.ok()? });
        }
        let face = self.required(table, "face");
        let face = face.and_then(|item| self.roof_face(names, &item));
        let at = self.required(table, "at").and_then(|_| self.maybe_list(table, "at").ok().flatten());
        let size = self.required(table, "size").and_then(|_| self.maybe_list(table, "size").ok().flatten());
        let shape = OpeningShape::InFace { face: face?, at: at?, size: size? };
        Some(Opening { kind: kind.ok()?, shape, height: height.ok()? })
    }

    fn plan(&mut self, plan: &Item<'d>) -> Option<OpeningShape> {
        let items = self.list(plan, Expected::ThreePlaces)?;
        let entry = OPENING.key("plan")?;
        let places: Vec<Option<[f64; 2]>> = items.iter().map(|item| self.numbers(entry, item)).collect();
        if places.len() < 3 {
            let (key, count, of) = ("plan".to_owned(), places.len(), Counted::Corners);
            self.wrong(plan, Fault::WrongCount { key, count, of, expected: Ok(Expected::ThreePlaces) });
            return None;
        }
        let places: Vec<[f64; 2]> = places.into_iter().collect::<Option<_>>()?;
        Some(OpeningShape::Plan(places.into_iter().map(|[x, y]| Point2::new(x, y)).collect()))
    }
}
