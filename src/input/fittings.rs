//! What stands in a roof: `[[dormer]]` and `[[opening]]`.

use super::measures::Sign;
use super::names::Names;
use super::nearest::counted;
use super::node::{Item, Table};
use super::reader::Reader;
use super::schema;
use super::source_map::SourceMap;
use crate::base::diagnostic::Diagnostic;
use crate::base::place::Place;
use crate::outline::Dormer;
use crate::outline::block::DormerKind;
use crate::roof::opening::{Opening, OpeningShape};
use nalgebra::Point2;

impl<'d> Reader<'d> {
    /// Reads every dormer.
    pub fn dormers(&mut self, root: &Table<'d>, names: &mut Names, map: &mut SourceMap) -> Vec<Dormer> {
        let mut dormers = Vec::new();
        for table in self.tables(root, "dormer", &schema::DORMER) {
            let item = self.required(&table, "name", "the dormer's name");
            let name = item.as_ref().and_then(|item| self.name(item));
            if let (Some(item), Some(name)) = (&item, &name) {
                let place = Place::Dormer(name.clone());
                let block = map.span(&Place::Block(name.clone()));
                let first = map.span(&place).or(block);
                if first.is_some() {
                    self.taken(item, "blocks or dormers", first);
                } else {
                    map.insert(place, table.span.clone());
                    names.dormers.push(name.clone());
                }
            } else {
                names.incomplete = true;
            }
            dormers.extend(self.dormer(&table, name, names));
        }
        dormers
    }

    fn dormer(&mut self, table: &Table<'d>, name: Option<String>, names: &Names) -> Option<Dormer> {
        let face = self.required(table, "face", "the side whose face it stands in, such as \"store/A\"");
        let face = face.and_then(|item| {
            let (side, piece) = self.piece(names, &item)?;
            if !side.is_eave {
                let found = self.written(&item.span);
                let error = Diagnostic::error("unknown-face", item.span, "no roof face rises from that side");
                self.report(error.found(found).expected("a side with a pitch"));
                return None;
            }
            Some((side.id, piece))
        });
        let at = self.required(table, "at", "[along the eave, in from it], level, of its front's left corner");
        let at = at.and_then(|item| self.length_pair(&item, Sign::NotNegative, "two lengths: [along, in]"));
        let width = self.required_length(table, "width", Sign::Positive);
        let front_height = self.required_length(table, "front_height", Sign::Positive);
        let pitch = self.required(table, "pitch", "the pitch of its roof").and_then(|item| self.pitch(&item));
        let kinds = [("gable", DormerKind::Gable), ("hip", DormerKind::Hip), ("shed", DormerKind::Shed)];
        let kind = self.required(table, "kind", "\"gable\", \"hip\" or \"shed\"");
        let kind = kind.and_then(|item| self.choice(&item, &kinds));
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
        let tables = self.tables(root, "opening", &schema::OPENING);
        let mut openings = Vec::new();
        for (index, table) in tables.iter().enumerate() {
            map.insert(Place::Opening(index), table.span.clone());
            openings.extend(self.opening(table, names));
        }
        openings
    }

    fn opening(&mut self, table: &Table<'d>, names: &Names) -> Option<Opening> {
        let kind = self.optional(table, "kind", |reader, item| reader.words(item, "what it is: \"roof window\""));
        if let Some(plan) = table.get("plan") {
            if let Some(other) = ["face", "at", "size"].iter().find_map(|key| table.get(key)) {
                let message = format!("this opening gives both `plan` and `{}`", other.key);
                self.conflict(&plan, &other, message, "either `plan`, or `face`, `at` and `size`");
                return None;
            }
            let shape = self.plan(&plan)?;
            return Some(Opening { kind: kind.ok()?.unwrap_or("opening").to_owned(), shape });
        }
        let face = self.required(table, "face", "the face it lies in; or `plan` for one that cuts several");
        let face = face.and_then(|item| self.roof_face(names, &item));
        let at = self.required(table, "at", "[along the eave, up the slope] of its lower left corner");
        let at = at.and_then(|item| self.length_pair(&item, Sign::NotNegative, "two lengths: [along, up]"));
        let size = self.required(table, "size", "[along the eave, up the slope]");
        let size = size.and_then(|item| self.length_pair(&item, Sign::Positive, "two lengths: [along, up]"));
        let shape = OpeningShape::InFace { face: face?, at: at?, size: size? };
        Some(Opening { kind: kind.ok()?.unwrap_or("opening").to_owned(), shape })
    }

    fn plan(&mut self, plan: &Item<'d>) -> Option<OpeningShape> {
        let expected = "a list of three or more places: [[x, y], …]";
        let items = self.list(plan, expected)?;
        let places: Vec<Option<[f64; 2]>> =
            items.iter().map(|item| self.length_pair(item, Sign::Any, "two lengths: [x, y]")).collect();
        if places.len() < 3 {
            let found = self.written(&plan.span);
            let message = format!("`plan` has {}", counted(places.len(), "corner"));
            let error = Diagnostic::error("wrong-count", plan.span.clone(), message);
            self.report(error.found(found).expected(expected));
            return None;
        }
        let places: Vec<[f64; 2]> = places.into_iter().collect::<Option<_>>()?;
        Some(OpeningShape::Plan(places.into_iter().map(|[x, y]| Point2::new(x, y)).collect()))
    }
}
