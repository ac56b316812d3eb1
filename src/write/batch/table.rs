//! Answers as a table in `GeoParquet` 1.1: a row a feature, with its outline.

use super::Answered;
use crate::base::finding::Finding as _;
use crate::base::wkb;
use crate::roof::EdgeKind;
use crate::wording::batch::reason;
use nalgebra::Point2;
use parquet::basic::Compression;
use parquet::data_type::{BoolType, ByteArray, ByteArrayType, DataType, DoubleType, Int32Type, Int64Type};
use parquet::errors::ParquetError;
use parquet::file::metadata::KeyValue;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::{SerializedFileWriter, SerializedRowGroupWriter};
use parquet::schema::parser::parse_message_type;
use std::io::Write;
use std::sync::Arc;

/// Rows of a group.
const ROWS: usize = 1 << 16;

/// Kinds of edges that a roof over an outline may have, each with a column of its length.
const KINDS: [EdgeKind; 9] = EdgeKind::OF_ROOF;

/// A row of the table.
#[derive(Clone, Debug, Default)]
pub struct TableRow {
    id: Option<String>,
    line: i64,
    ok: bool,
    numbers: [Option<f64>; 5],
    packs: Option<i32>,
    lengths: [Option<f64>; KINDS.len()],
    why: Option<(String, String)>,
    geometry: Option<Vec<u8>>,
}

/// Names of [`TableRow::numbers`].
const NUMBERS: [&str; 5] = ["area", "plan_area", "volume", "ridge_height", "cost"];

impl TableRow {
    /// Of an answer.
    #[must_use]
    pub fn of(answered: &Answered) -> Self {
        let id = serde_json::from_str::<serde_json::Value>(&answered.id).ok();
        let id = id.map(|id| id.as_str().map_or_else(|| id.to_string(), str::to_owned));
        let row = Self { id, line: i64::try_from(answered.line).unwrap_or(i64::MAX), ..Self::default() };
        match &answered.roof {
            Ok(solved) => {
                let sums = &solved.sums;
                let cost = solved.laid.and_then(|(_, cost)| cost);
                let length = |kind: EdgeKind| {
                    sums.by_kind
                        .iter()
                        .find(|(known, ..)| *known == kind)
                        .map_or(Some(0.0), |(.., length)| Some(*length))
                };
                let place = |place: &Point2<f64>| Point2::from(solved.frame.to_file(place));
                let polygons: Vec<Vec<Vec<Point2<f64>>>> = (solved.polygons.iter())
                    .map(|polygon| polygon.iter().map(|ring| ring.iter().map(place).collect()).collect())
                    .collect();
                Self {
                    ok: true,
                    numbers: [Some(sums.area), Some(sums.plan_area), sums.volume, Some(sums.ridge_height), cost],
                    packs: solved.laid.and_then(|(packs, _)| packs).and_then(|packs| i32::try_from(packs).ok()),
                    lengths: KINDS.map(length),
                    geometry: Some(wkb::write(&polygons)),
                    ..row
                }
            }
            Err(fault) => Self { why: Some((fault.code().to_owned(), reason(fault))), ..row },
        }
    }
}

/// A table in the making, a group of rows in memory.
pub struct Table<W: Write + Send> {
    writer: SerializedFileWriter<W>,
    rows: Vec<TableRow>,
}

impl<W: Write + Send> Table<W> {
    /// Begins one. `is_degrees` says that places are longitude and latitude; otherwise they are metres of a system that is
    /// not known.
    ///
    /// # Errors
    /// What the writer says.
    pub fn begin(out: W, is_degrees: bool) -> Result<Self, ParquetError> {
        let mut message =
            String::from("message answers { optional binary id (UTF8); required int64 line; required boolean ok;");
        for name in NUMBERS {
            message.push_str(&format!(" optional double {name};"));
        }
        message.push_str(" optional int32 packs;");
        for kind in KINDS {
            message.push_str(&format!(" optional double {}_length;", kind.word().replace('-', "_")));
        }
        message.push_str(
            " optional binary error_code (UTF8); optional binary error_reason (UTF8); optional binary geometry; }",
        );
        let mut column = serde_json::json!({ "encoding": "WKB", "geometry_types": ["Polygon", "MultiPolygon"] });
        if !is_degrees {
            column["crs"] = serde_json::Value::Null;
        }
        let geo = serde_json::json!({
            "version": "1.1.0", "primary_column": "geometry", "columns": { "geometry": column },
        });
        let properties = WriterProperties::builder()
            .set_compression(Compression::SNAPPY)
            .set_key_value_metadata(Some(vec![KeyValue::new("geo".to_owned(), geo.to_string())]))
            .build();
        let writer = SerializedFileWriter::new(out, Arc::new(parse_message_type(&message)?), Arc::new(properties))?;
        Ok(Self { writer, rows: Vec::with_capacity(ROWS) })
    }

    /// Adds rows.
    ///
    /// # Errors
    /// What the writer says.
    pub fn add(&mut self, rows: Vec<TableRow>) -> Result<(), ParquetError> {
        self.rows.extend(rows);
        if self.rows.len() >= ROWS { self.flush() } else { Ok(()) }
    }

    fn flush(&mut self) -> Result<(), ParquetError> {
        if self.rows.is_empty() {
            return Ok(());
        }
        let rows = std::mem::take(&mut self.rows);
        let mut group = self.writer.next_row_group()?;
        let text = |text: &str| ByteArray::from(text.as_bytes().to_vec());
        optional::<ByteArrayType, _>(&mut group, &rows, |row| row.id.as_deref().map(text))?;
        required::<Int64Type, _>(&mut group, &rows, |row| row.line)?;
        required::<BoolType, _>(&mut group, &rows, |row| row.ok)?;
        for at in 0..NUMBERS.len() {
            optional::<DoubleType, _>(&mut group, &rows, |row| row.numbers[at])?;
        }
        optional::<Int32Type, _>(&mut group, &rows, |row| row.packs)?;
        for at in 0..KINDS.len() {
            optional::<DoubleType, _>(&mut group, &rows, |row| row.lengths[at])?;
        }
        optional::<ByteArrayType, _>(&mut group, &rows, |row| row.why.as_ref().map(|(code, _)| text(code)))?;
        optional::<ByteArrayType, _>(&mut group, &rows, |row| row.why.as_ref().map(|(_, reason)| text(reason)))?;
        optional::<ByteArrayType, _>(&mut group, &rows, |row| row.geometry.clone().map(ByteArray::from))?;
        group.close()?;
        Ok(())
    }

    /// Ends it.
    ///
    /// # Errors
    /// What the writer says.
    pub fn finish(mut self) -> Result<W, ParquetError> {
        self.flush()?;
        self.writer.into_inner()
    }
}

/// A column that may lack values.
fn optional<T: DataType, W: Write + Send>(
    group: &mut SerializedRowGroupWriter<'_, W>,
    rows: &[TableRow],
    value: impl Fn(&TableRow) -> Option<T::T>,
) -> Result<(), ParquetError> {
    let values: Vec<Option<T::T>> = rows.iter().map(value).collect();
    let levels: Vec<i16> = values.iter().map(|value| i16::from(value.is_some())).collect();
    let values: Vec<T::T> = values.into_iter().flatten().collect();
    if let Some(mut column) = group.next_column()? {
        column.typed::<T>().write_batch(&values, Some(&levels), None)?;
        column.close()?;
    }
    Ok(())
}

/// A column of which every row has a value.
fn required<T: DataType, W: Write + Send>(
    group: &mut SerializedRowGroupWriter<'_, W>,
    rows: &[TableRow],
    value: impl Fn(&TableRow) -> T::T,
) -> Result<(), ParquetError> {
    let values: Vec<T::T> = rows.iter().map(value).collect();
    if let Some(mut column) = group.next_column()? {
        column.typed::<T>().write_batch(&values, None, None)?;
        column.close()?;
    }
    Ok(())
}
