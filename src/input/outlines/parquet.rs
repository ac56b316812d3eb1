//! Outlines in `GeoParquet` 1.1: a table whose primary geometry column is in the well-known binary form.

use super::crs::System;
use super::feature::KEYS;
use super::{Content, Piece, Pieces, Row};
use crate::wording::batch as words;
use parquet::file::reader::{FileReader, SerializedFileReader};
use parquet::record::Field;
use parquet::record::reader::RowIter;
use parquet::schema::types::Type;
use serde_json::{Map, Value};
use std::fs::File;
use std::io;
use std::sync::Arc;

/// Rows of a piece.
const ROWS: usize = 1024;

/// An open file.
pub struct Table {
    rows: RowIter<'static>,
    geometry: String,
    system: System,
    count: u64,
    read: u64,
}

fn invalid(error: impl std::fmt::Display) -> io::Error {
    io::Error::new(io::ErrorKind::InvalidData, words::no_table(&error.to_string()))
}

impl Table {
    /// Reads the foot.
    ///
    /// # Errors
    /// A file that is not in this format, or whose geometries are in another form.
    pub fn open(input: File) -> io::Result<Self> {
        let reader = SerializedFileReader::new(input).map_err(invalid)?;
        let about = reader.metadata().file_metadata();
        let geo = about.key_value_metadata().and_then(|pairs| pairs.iter().find(|pair| pair.key == "geo"));
        let geo: Option<Value> = geo
            .and_then(|pair| pair.value.as_ref())
            .map(|text| serde_json::from_str(text))
            .transpose()
            .map_err(invalid)?;
        let fields = about.schema_descr().root_schema().get_fields();
        let geometry = match &geo {
            Some(geo) => geo["primary_column"].as_str().unwrap_or("geometry").to_owned(),
            None => "geometry".to_owned(),
        };
        if !fields.iter().any(|field| field.name() == geometry) {
            return Err(invalid(words::NO_GEOMETRY_COLUMN));
        }
        let column = geo.as_ref().map_or(&Value::Null, |geo| &geo["columns"][&geometry]);
        if let Some(encoding) = column["encoding"].as_str().filter(|encoding| *encoding != "WKB") {
            return Err(invalid(words::other_encoding(encoding)));
        }
        let system = match (&geo, column.get("crs")) {
            (None, _) => System::Unsaid,
            // Without one it is longitude and latitude, says the format; null is no known system.
            (Some(_), None) => System::Degrees,
            (Some(_), Some(Value::Null)) => System::Metres,
            (Some(_), Some(crs)) => System::from_json(crs),
        };
        let wanted = |field: &&Arc<Type>| field.name() == geometry || KEYS.contains(&field.name());
        let wanted: Vec<Arc<Type>> = fields.iter().filter(wanted).cloned().collect();
        let name = about.schema_descr().root_schema().name().to_owned();
        let schema = Type::group_type_builder(&name).with_fields(wanted).build().map_err(invalid)?;
        let count = u64::try_from(about.num_rows()).unwrap_or(0);
        let rows = RowIter::from_file_into(Box::new(reader)).project(Some(schema)).map_err(invalid)?;
        Ok(Self { rows, geometry, system, count, read: 0 })
    }
}

impl Pieces for Table {
    fn next_piece(&mut self) -> io::Result<Option<Piece>> {
        let before = self.read;
        let mut rows = Vec::with_capacity(ROWS);
        while rows.len() < ROWS {
            let Some(row) = self.rows.next().transpose().map_err(invalid)? else { break };
            self.read += 1;
            let mut read = Row { number: self.read, ..Row::default() };
            for (name, field) in row.into_columns() {
                if name == self.geometry {
                    read.geometry = match field {
                        Field::Bytes(bytes) => Some(bytes.data().to_vec()),
                        _ => None,
                    };
                } else if name == "id" {
                    let id = json(&field);
                    read.id = if id.is_null() { String::new() } else { id.to_string() };
                } else {
                    read.properties.insert(name, json(&field));
                }
            }
            rows.push(read);
        }
        let count = rows.len() as u64;
        Ok((count > 0).then_some(Piece { content: Content::Rows(rows), end: self.read, before, count }))
    }

    fn size(&self) -> Option<u64> {
        Some(self.count)
    }

    fn system(&self) -> System {
        self.system.clone()
    }
}

/// A value as JSON; `null` for what means nothing here.
fn json(field: &Field) -> Value {
    match field {
        Field::Bool(value) => (*value).into(),
        Field::Byte(value) => (*value).into(),
        Field::Short(value) => (*value).into(),
        Field::Int(value) => (*value).into(),
        Field::Long(value) => (*value).into(),
        Field::UByte(value) => (*value).into(),
        Field::UShort(value) => (*value).into(),
        Field::UInt(value) => (*value).into(),
        Field::ULong(value) => (*value).into(),
        Field::Float(value) => (*value).into(),
        Field::Double(value) => (*value).into(),
        Field::Str(text) => text.as_str().into(),
        Field::ListInternal(list) => list.elements().iter().map(json).collect(),
        Field::Group(row) => {
            Value::Object(row.get_column_iter().map(|(name, field)| (name.clone(), json(field))).collect::<Map<_, _>>())
        }
        _ => Value::Null,
    }
}
