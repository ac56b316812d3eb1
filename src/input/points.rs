//! `[points]` and `[[face]]`.

use super::names::Names;
use super::node::{Item, Table};
use super::reader::Reader;
use super::schema::limits;
use super::schema::points::{POINT, POINTS};
use super::source_map::SourceMap;
use crate::base::ids::{PlaneId, PointId};
use crate::base::place::Place;
use crate::job::reading::{Bearers, Expected, Fault, Problem};
use crate::survey::model::{FaceByPoints, Known, Point};
use nalgebra::Point3;
use toml::de::DeValue;

impl<'d> Reader<'d> {
    /// Reads `[points]`; every name counts as known, even where its place is wrong.
    pub(crate) fn named_points(&mut self, root: &Table<'d>, names: &mut Names, map: &mut SourceMap) {
        let Some(item) = root.get("points") else { return };
        let DeValue::Table(entries) = item.value else {
            self.wrong_type(&item, Expected::PointTable);
            return;
        };
        let table = Table { shape: &POINTS, entries: Some(entries), span: item.span.clone() };
        for entry in table.items() {
            let name = entry.key.to_owned();
            map.insert(Place::Point(name.clone()), super::measures::through(&entry.key_span, &entry.span));
            if let Some(side) = names.sides_named(&name).next() {
                let fault = Fault::ShadowedName { name: name.clone(), block: side.block.clone() };
                self.report(Problem::warning(entry.key_span.clone(), fault));
            }
            let known = self.known_place(&entry).unwrap_or(Known::Unknown);
            names.point_ids.insert(name.clone(), PointId::new(names.points.len()));
            names.points.push(Point { name, known });
        }
        self.check_spread(&table, names);
    }

    /// Tells of points farther apart than any building is: a coordinate in another unit, or with a digit too many.
    fn check_spread(&mut self, table: &Table<'d>, names: &Names) {
        let place = |point: &Point| match point.known {
            Known::At(place) | Known::Near(place) => Some(place),
            Known::Unknown | Known::Corner(_) => None,
        };
        let mut places = names.points.iter().filter_map(|point| Some((point, place(point)?)));
        let Some((first, origin)) = places.next() else { return };
        for (point, at) in places {
            let apart = (at - origin).norm();
            if apart <= limits::TAPED.most {
                continue;
            }
            let Some(item) = table.get(&point.name) else { continue };
            let points = [first.name.clone(), point.name.clone()];
            self.wrong(&item, Fault::FarApart { points, most: limits::TAPED.most });
            return;
        }
    }

    fn known_place(&mut self, item: &Item<'d>) -> Option<Known> {
        match item.value {
            DeValue::Array(_) => self.place(item).map(Known::At),
            DeValue::Table(_) => {
                let table = self.table(item, &POINT)?;
                match table.get("near") {
                    None => Some(Known::Unknown),
                    Some(near) => self.place(&near).map(Known::Near),
                }
            }
            _ => {
                self.wrong_type(item, Expected::PlaceOfPoint);
                None
            }
        }
    }

    fn place(&mut self, item: &Item<'d>) -> Option<Point3<f64>> {
        let items: [Item<'d>; 3] = self.exactly(item, Expected::ThreeLengths)?;
        let [x, y, z] = items.map(|item| self.length(&item, &limits::POINT));
        Some(Point3::new(x?, y?, z?))
    }

    /// Reads every face by points. Names first, so that observations may name faces with mistakes in them.
    pub fn faces(&mut self, root: &Table<'d>, names: &mut Names, map: &mut SourceMap) -> Vec<FaceByPoints> {
        let tables = self.tables(root, "face");
        let mut faces = Vec::new();
        for (index, table) in tables.iter().enumerate() {
            let item = self.required(table, "name");
            let name = item.as_ref().and_then(|item| self.name(item));
            if let (Some(item), Some(name)) = (&item, &name) {
                let place = Place::Face(name.clone());
                let side = names.in_full(name, '/');
                let side = side.map(|side| Place::Side { block: side.block.clone(), side: side.side.clone() });
                let first = map.span(&place).or_else(|| side.and_then(|side| map.span(&side)));
                if first.is_some() {
                    self.taken(item, Bearers::Faces, first);
                } else {
                    map.insert(place, table.span.clone());
                    names.faces.insert(name.clone(), PlaneId::new(index));
                }
            } else {
                names.incomplete = true;
            }
            let points = self.required(table, "points");
            let points = points.and_then(|item| self.points(names, &item, 3));
            let sigma = self.value(table, "sigma");
            if let (Some(name), Some(points), Some(sigma)) = (name, points, sigma) {
                faces.push(FaceByPoints { name, points, sigma });
            }
        }
        faces
    }
}
