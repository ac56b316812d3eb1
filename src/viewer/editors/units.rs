//! Another unit for a file's bare numbers: the lengths stay what they are, and are written in the new unit.

use crate::base::file_tree::{Edit, Entry, FileTable, Kind, Step, under};
use crate::base::schema::{self, Table};
use crate::base::units::LengthUnit;

/// The changes that write every length without a unit in another one; what has a unit of its own stays. O(file).
#[must_use]
pub fn edits(schema: &'static Table, file: &FileTable, [from, to]: [LengthUnit; 2]) -> Vec<Edit> {
    let mut edits = Vec::new();
    follow(schema, file, &[], [from, to], &mut edits);
    edits
}

fn follow(shape: &'static Table, table: &FileTable, way: &[Step], units: [LengthUnit; 2], edits: &mut Vec<Edit>) {
    for (name, entry) in &table.entries {
        let at = under(way, [name.as_str().into()]);
        let Some(key) = shape.key(name).or(shape.names.map(|own| own.values)) else { continue };
        let kind = match key.kind {
            schema::Kind::Length(_) => Some(Kind::Measure),
            schema::Kind::Lengths(..)
            | schema::Kind::AnyLengths(_)
            | schema::Kind::Outline(_)
            | schema::Kind::Point(..) => Some(Kind::Measures),
            _ => None,
        };
        match (kind, entry) {
            (Some(kind), Entry::Value(value)) => {
                let converted = converted(&value.text, units);
                if converted != value.text {
                    edits.push(Edit::Set { at, value: Some(converted), kind });
                }
            }
            (_, Entry::Table(inner)) => {
                if let Some(shape) = key.table() {
                    follow(shape, inner, &at, units, edits);
                }
            }
            (_, Entry::List(list)) => {
                for (index, inner) in list.iter().enumerate() {
                    if let Some(shape) = key.table() {
                        follow(shape, inner, &under(&at, [index.into()]), units, edits);
                    }
                }
            }
            _ => {}
        }
    }
}

/// Bare numbers between commas and brackets in another unit; all else as it stands.
fn converted(text: &str, [from, to]: [LengthUnit; 2]) -> String {
    let is_mark = |letter: char| matches!(letter, ',' | '[' | ']');
    let mut out = String::new();
    for part in text.split_inclusive(is_mark) {
        let (item, mark) = part.strip_suffix(is_mark).map_or((part, ""), |item| (item, &part[item.len()..]));
        match item.trim().replace('_', "").parse::<f64>() {
            Ok(value) if value.is_finite() => {
                let blank = &item[..item.len() - item.trim_start().len()];
                out += &format!("{blank}{}{mark}", written(from.to_metres(value) / to.metres(), to));
            }
            _ => out += part,
        }
    }
    out
}

/// A number to a hundredth of a millimetre or finer, without zeros that say nothing.
fn written(value: f64, unit: LengthUnit) -> String {
    let decimals = match unit {
        LengthUnit::Metre | LengthUnit::Foot => 5,
        LengthUnit::Centimetre | LengthUnit::Inch => 4,
        LengthUnit::Millimetre => 2,
    };
    let text = format!("{value:.decimals$}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The international foot is 0.3048 m by definition (NIST Handbook 44, appendix C, from memory).
    #[test]
    fn bare_numbers_are_converted_and_what_has_a_unit_stays() {
        let to_feet = [LengthUnit::Metre, LengthUnit::Foot];
        assert_eq!(converted("3.048", to_feet), "10");
        assert_eq!(converted("[0, 6.096], [3.048, 1]", to_feet), "[0, 20], [10, 3.28084]");
        assert_eq!(converted("9.2 m", to_feet), "9.2 m");
        assert_eq!(converted("?", to_feet), "?");
        assert_eq!(converted("1_000", [LengthUnit::Millimetre, LengthUnit::Metre]), "1");
    }
}
