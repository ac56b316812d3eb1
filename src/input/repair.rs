//! `[[repair]]`: part of a face that is covered anew.

use super::names::Names;
use super::node::Table;
use super::reader::Reader;
use crate::job::reading::Conflict;
use crate::takeoff::repair::{Repair, Where};

impl<'d> Reader<'d> {
    /// Reads every repair; `None` where one is wrong.
    pub fn repairs(&mut self, root: &Table<'d>, names: &Names) -> Option<Vec<Repair>> {
        self.each(root, "repair", |reader, table| reader.repair(table, names))
    }

    fn repair(&mut self, table: &Table<'d>, names: &Names) -> Option<Repair> {
        let face = self.required(table, "face").and_then(|item| self.roof_face(names, &item));
        let at = self.maybe_list(table, "at");
        let size = self.maybe_list(table, "size");
        let first = self.maybe_count(table, "first_course");
        let last = self.maybe_count(table, "last_course");
        let along = self.maybe_list(table, "along");
        let underlay = self.switch(table, "underlay");
        let deck = self.switch(table, "deck");
        let by_place = ["at", "size"].iter().find_map(|key| table.get(key));
        let by_course = ["first_course", "last_course", "along"].iter().find_map(|key| table.get(key));
        let place = match (by_place, by_course) {
            (Some(place), Some(course)) => {
                self.conflict(&place, &course, Conflict::PlaceAndCourses);
                None
            }
            (None, Some(_)) => {
                let item = self.required(table, "first_course");
                let first = first.ok().flatten().filter(|_| item.is_some());
                first.zip(last.ok()).map(|(first, last)| {
                    let along = along.ok().flatten();
                    Where::Courses { first, last: last.unwrap_or(first).max(first), along }
                })
            }
            _ => {
                let (has_at, has_size) = (self.required(table, "at"), self.required(table, "size"));
                let both = at.ok().flatten().zip(size.ok().flatten());
                both.filter(|_| has_at.is_some() && has_size.is_some()).map(|(at, size)| Where::Rectangle { at, size })
            }
        };
        Some(Repair { face: face?, place: place?, underlay: underlay?, deck: deck? })
    }
}
