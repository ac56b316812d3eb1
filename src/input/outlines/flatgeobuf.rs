//! Outlines in `FlatGeobuf` (specification 3.0), read in the order of the file.

use super::crs::System;
use super::feature::KEYS;
use super::{Content, Piece, Pieces, Row};
use crate::base::wkb;
use crate::wording::batch as words;
use flatgeobuf::geozero::{ColumnValue, PropertyProcessor, error::Result as Processed};
use flatgeobuf::{
    FallibleStreamingIterator, FeatureIter, FeatureProperties, FgbFeature, FgbReader, Geometry, GeometryType,
    NotSeekable,
};
use nalgebra::Point2;
use serde_json::{Map, Value};
use std::io::{self, Read};

/// Features of a piece.
const ROWS: usize = 1024;

/// An open file.
pub struct Table<R> {
    features: FeatureIter<R, NotSeekable>,
    kind: GeometryType,
    system: System,
    /// Features the header tells of; 0 where it does not.
    count: u64,
    read: u64,
}

fn invalid(error: impl std::fmt::Display) -> io::Error {
    io::Error::new(io::ErrorKind::InvalidData, words::no_table(&error.to_string()))
}

impl<R: Read> Table<R> {
    /// Reads the head and passes over the index. `size` is the file's, bytes.
    ///
    /// # Errors
    /// A file that is not in this format.
    pub fn open(input: R, size: u64) -> io::Result<Self> {
        let reader = FgbReader::open(input).map_err(invalid)?;
        let header = reader.header();
        let system = header.crs().map_or(System::Unsaid, |crs| {
            let numbered = u32::try_from(crs.code()).ok().filter(|code| *code > 0).map(System::numbered);
            let named = || crs.code_string().or(crs.name()).map_or(System::Unsaid, System::named);
            numbered.unwrap_or_else(named)
        });
        let (kind, count) = (header.geometry_type(), header.features_count());
        // A count beyond what the file can hold is none: a feature takes some bytes.
        let count = if count > size { 0 } else { count };
        let features = reader.select_all_seq().map_err(invalid)?;
        Ok(Self { features, kind, system, count, read: 0 })
    }
}

impl<R: Read + Send> Pieces for Table<R> {
    fn next_piece(&mut self) -> io::Result<Option<Piece>> {
        let before = self.read;
        let mut rows = Vec::with_capacity(ROWS);
        while rows.len() < ROWS {
            let Some(feature) = self.features.next().map_err(invalid)? else { break };
            self.read += 1;
            rows.push(row(self.read, feature, self.kind)?);
        }
        let count = rows.len() as u64;
        Ok((count > 0).then_some(Piece { content: Content::Rows(rows), end: self.read, before, count }))
    }

    fn size(&self) -> Option<u64> {
        (self.count > 0).then_some(self.count)
    }

    fn system(&self) -> System {
        self.system.clone()
    }
}

fn row(number: u64, feature: &FgbFeature, kind: GeometryType) -> io::Result<Row> {
    let mut taken = Taken(Map::new());
    feature.process_properties(&mut taken).map_err(invalid)?;
    let Taken(mut properties) = taken;
    let id = properties.remove("id").map_or_else(String::new, |id| id.to_string());
    let geometry = feature.geometry().map(|geometry| binary(&geometry, kind));
    Ok(Row { number, id, geometry, properties })
}

/// A geometry in the well-known binary form; of what is no polygon its number alone.
fn binary(geometry: &Geometry, kind: GeometryType) -> Vec<u8> {
    let kind = if kind == GeometryType::Unknown { geometry.type_() } else { kind };
    let polygons: Vec<Vec<Vec<Point2<f64>>>> = match kind {
        GeometryType::Polygon => vec![rings(geometry)],
        GeometryType::MultiPolygon => {
            geometry.parts().map(|parts| parts.iter().map(|part| rings(&part)).collect()).unwrap_or_default()
        }
        other => {
            let mut bytes = vec![1];
            bytes.extend(u32::from(other.0).to_le_bytes());
            return bytes;
        }
    };
    wkb::write(&polygons)
}

fn rings(geometry: &Geometry) -> Vec<Vec<Point2<f64>>> {
    let Some(places) = geometry.xy() else { return Vec::new() };
    let count = places.len() / 2;
    let ends: Vec<usize> =
        geometry.ends().map_or_else(|| vec![count], |ends| ends.iter().map(|end| end as usize).collect());
    let mut from = 0;
    let mut rings = Vec::with_capacity(ends.len());
    for end in ends {
        let end = end.min(count);
        rings.push((from..end).map(|at| Point2::new(places.get(2 * at), places.get(2 * at + 1))).collect());
        from = from.max(end);
    }
    rings
}

/// The properties that mean something.
struct Taken(Map<String, Value>);

impl PropertyProcessor for Taken {
    fn property(&mut self, _: usize, name: &str, value: &ColumnValue) -> Processed<bool> {
        if KEYS.contains(&name) {
            let value = match value {
                ColumnValue::Byte(value) => (*value).into(),
                ColumnValue::UByte(value) => (*value).into(),
                ColumnValue::Bool(value) => (*value).into(),
                ColumnValue::Short(value) => (*value).into(),
                ColumnValue::UShort(value) => (*value).into(),
                ColumnValue::Int(value) => (*value).into(),
                ColumnValue::UInt(value) => (*value).into(),
                ColumnValue::Long(value) => (*value).into(),
                ColumnValue::ULong(value) => (*value).into(),
                ColumnValue::Float(value) => (*value).into(),
                ColumnValue::Double(value) => (*value).into(),
                // The format has no lists: they come as JSON, in a column of it or of texts.
                ColumnValue::Json(text) => serde_json::from_str(text).unwrap_or_else(|_| (*text).into()),
                ColumnValue::String(text) if name == "pitches" => {
                    serde_json::from_str(text).unwrap_or_else(|_| (*text).into())
                }
                ColumnValue::String(text) | ColumnValue::DateTime(text) => (*text).into(),
                ColumnValue::Binary(_) => Value::Null,
            };
            self.0.insert(name.to_owned(), value);
        }
        Ok(false)
    }
}
