//! Roofs over outlines for Python: a batch of Arrow in, a batch of the same rows out.
#![allow(missing_docs)]

use arrow_array::builder::{BooleanBuilder, Float64Builder, StringBuilder};
use arrow_array::cast::AsArray;
use arrow_array::types::{Float64Type, Int64Type};
use arrow_array::{Array, ArrayRef, RecordBatch};
use arrow_pyarrow::PyArrowType;
use arrow_schema::{DataType, Field, Schema};
use eavewright_core::base::finding::Finding as _;
use eavewright_core::base::wkb::{self, Geometry};
use eavewright_core::job::features::FeatureFault;
use eavewright_core::job::outlines::{self, PlainOutline, RoofSums, Slopes};
use eavewright_core::roof::EdgeKind;
use pyo3::exceptions::PyValueError;
use pyo3::prelude::*;
use std::sync::Arc;

/// Kinds of edges, each with a column of its length.
const KINDS: [EdgeKind; 9] = EdgeKind::OF_ROOF;

fn columns() -> Schema {
    let number = |name: &str| Field::new(name, DataType::Float64, true);
    let mut fields = vec![Field::new("ok", DataType::Boolean, false)];
    fields.extend(["area", "plan_area", "volume", "ridge_height"].map(number));
    fields.extend(KINDS.map(|kind| number(&format!("{}_length", kind.word().replace('-', "_")))));
    fields.push(Field::new("error", DataType::Utf8, true));
    Schema::new(fields)
}

#[pyfunction]
fn schema() -> PyArrowType<Schema> {
    PyArrowType(columns())
}

/// A column of numbers, whatever numbers they are.
struct Numbers(Option<ArrayRef>);

impl Numbers {
    fn of(batch: &RecordBatch, name: &str) -> PyResult<Self> {
        let Some(column) = batch.column_by_name(name) else { return Ok(Self(None)) };
        match column.data_type() {
            DataType::Float64 | DataType::Int64 => Ok(Self(Some(column.clone()))),
            other => Err(wrong(name, "of float64 or int64", other)),
        }
    }

    fn at(&self, row: usize) -> Option<f64> {
        let column = self.0.as_ref().filter(|column| column.is_valid(row))?;
        match column.data_type() {
            DataType::Float64 => Some(column.as_primitive::<Float64Type>().value(row)),
            #[allow(clippy::cast_precision_loss)]
            _ => Some(column.as_primitive::<Int64Type>().value(row) as f64),
        }
    }
}

fn wrong(name: &str, expected: &str, found: &DataType) -> PyErr {
    PyValueError::new_err(format!("column {name} is of {found}, expected one {expected}"))
}

/// The outline of a row.
fn bytes(column: &ArrayRef, row: usize) -> Option<&[u8]> {
    if !column.is_valid(row) {
        return None;
    }
    Some(match column.data_type() {
        DataType::LargeBinary => column.as_binary::<i64>().value(row),
        DataType::BinaryView => column.as_binary_view().value(row),
        _ => column.as_binary::<i32>().value(row),
    })
}

/// Pitches side by side of a row.
fn pitches(column: Option<&ArrayRef>, row: usize) -> PyResult<Option<Vec<f64>>> {
    let Some(column) = column.filter(|column| column.is_valid(row)) else { return Ok(None) };
    let list = match column.data_type() {
        DataType::List(_) => column.as_list::<i32>().value(row),
        DataType::LargeList(_) => column.as_list::<i64>().value(row),
        other => return Err(wrong("pitches", "of lists of float64 or int64", other)),
    };
    match list.data_type() {
        DataType::Float64 => Ok(Some(list.as_primitive::<Float64Type>().values().to_vec())),
        #[allow(clippy::cast_precision_loss)]
        DataType::Int64 => {
            Ok(Some(list.as_primitive::<Int64Type>().values().iter().map(|value| *value as f64).collect()))
        }
        other => Err(wrong("pitches", "of lists of float64 or int64", other)),
    }
}

fn solved(bytes: Option<&[u8]>, slopes: Option<Slopes>, height: f64, degrees: bool) -> Result<RoofSums, FeatureFault> {
    let polygons = match bytes.map(wkb::read) {
        None => return Err(FeatureFault::NoGeometry),
        Some(None) => return Err(FeatureFault::NotWkb),
        Some(Some(Geometry::Other(kind))) => return Err(FeatureFault::NotAPolygon(kind.to_string())),
        Some(Some(Geometry::Polygons(polygons))) => polygons,
    };
    let (_, polygons) = outlines::place(&polygons, degrees).map_err(FeatureFault::NotAPlace)?;
    let slopes = slopes.ok_or(FeatureFault::NoPitch)?;
    Ok(RoofSums::of(&outlines::solve(&PlainOutline { polygons, slopes, height })?))
}

#[pyfunction]
fn solve(
    python: Python<'_>,
    batch: PyArrowType<RecordBatch>,
    geometry: &str,
    pitch: Option<f64>,
    height: f64,
    degrees: bool,
) -> PyResult<PyArrowType<RecordBatch>> {
    let batch = batch.0;
    let outlines = batch.column_by_name(geometry).ok_or_else(|| {
        PyValueError::new_err(format!("there is no column {geometry}, expected one of outlines as WKB"))
    })?;
    if !matches!(outlines.data_type(), DataType::Binary | DataType::LargeBinary | DataType::BinaryView) {
        return Err(wrong(geometry, "of outlines as WKB", outlines.data_type()));
    }
    let (own_pitch, own_height) = (Numbers::of(&batch, "pitch")?, Numbers::of(&batch, "height")?);
    let by_side = batch.column_by_name("pitches");
    let mut given = Vec::with_capacity(batch.num_rows());
    for row in 0..batch.num_rows() {
        let each = pitches(by_side, row)?.map(Slopes::Each);
        given.push(each.or_else(|| own_pitch.at(row).or(pitch).map(Slopes::One)));
    }
    // Other threads of Python go on meanwhile.
    let rows: Vec<Result<RoofSums, FeatureFault>> = python.detach(|| {
        let row = |(row, slopes)| solved(bytes(outlines, row), slopes, own_height.at(row).unwrap_or(height), degrees);
        given.into_iter().enumerate().map(row).collect()
    });
    answers(&rows).map(PyArrowType).map_err(|error| PyValueError::new_err(error.to_string()))
}

fn answers(rows: &[Result<RoofSums, FeatureFault>]) -> Result<RecordBatch, arrow_schema::ArrowError> {
    let mut ok = BooleanBuilder::with_capacity(rows.len());
    let mut numbers: Vec<Float64Builder> =
        (0..4 + KINDS.len()).map(|_| Float64Builder::with_capacity(rows.len())).collect();
    let mut error = StringBuilder::new();
    for row in rows {
        ok.append_value(row.is_ok());
        error.append_option(row.as_ref().err().map(|fault| fault.code()));
        let mut values = [None; 4 + KINDS.len()];
        if let Ok(sums) = row {
            values[..4].copy_from_slice(&[Some(sums.area), Some(sums.plan_area), sums.volume, Some(sums.ridge_height)]);
            for (value, kind) in values[4..].iter_mut().zip(KINDS) {
                let known = sums.by_kind.iter().find(|(own, ..)| *own == kind);
                *value = Some(known.map_or(0.0, |(.., length)| *length));
            }
        }
        for (column, value) in numbers.iter_mut().zip(values) {
            column.append_option(value);
        }
    }
    let mut columns: Vec<ArrayRef> = vec![Arc::new(ok.finish())];
    columns.extend(numbers.iter_mut().map(|column| Arc::new(column.finish()) as ArrayRef));
    columns.push(Arc::new(error.finish()));
    RecordBatch::try_new(Arc::new(self::columns()), columns)
}

#[pymodule]
fn _native(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_function(wrap_pyfunction!(schema, module)?)?;
    module.add_function(wrap_pyfunction!(solve, module)?)
}
