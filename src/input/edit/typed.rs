//! From what a person typed to a value of the file.

use super::read;
use crate::base::file_tree::Kind;
use crate::job::reading::EditError;
use toml_edit::{Array, Value};

/// What was typed as a value of its kind.
///
/// # Errors
/// [`EditError::NotToml`] for raw text that is none.
pub fn value(typed: &str, kind: Kind) -> Result<Value, EditError> {
    match kind {
        Kind::Measure => Ok(as_typed(&with_point(typed))),
        Kind::Words => Ok(quoted(typed.trim())),
        Kind::Measures => Ok(list(typed, as_typed)),
        Kind::Names => Ok(list(typed, quoted)),
        Kind::Raw => typed.parse::<Value>().map_err(|error| EditError::NotToml(error.to_string())),
    }
}

/// A decimal comma as the point that the file's language wants: `9,20` is 9.20. One comma between digits only.
fn with_point(typed: &str) -> String {
    let trimmed = typed.trim();
    let is_digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    match trimmed.split_once(',') {
        Some((whole, rest)) => {
            let unit = rest.find(|letter: char| !letter.is_ascii_digit()).unwrap_or(rest.len());
            let (decimals, after) = rest.split_at(unit);
            let is_one = is_digits(whole.strip_prefix('-').unwrap_or(whole)) && is_digits(decimals);
            if is_one && !after.contains(',') { format!("{whole}.{decimals}{after}") } else { typed.to_owned() }
        }
        None => typed.to_owned(),
    }
}

/// A number, a day or `true`/`false` as typed, all else a string.
#[must_use]
pub(crate) fn as_typed(typed: &str) -> Value {
    let typed = typed.trim();
    let plain = typed.parse::<Value>().ok();
    let plain = plain.filter(|value| value.is_integer() || value.is_float() || value.is_bool());
    plain.unwrap_or_else(|| quoted(typed))
}

/// A string as people write one: in plain quotes, with inch marks escaped.
fn quoted(text: &str) -> Value {
    let escaped = text.replace('\\', "\\\\").replace('"', "\\\"");
    format!("\"{escaped}\"").parse().unwrap_or_else(|_| Value::from(text))
}

/// Items between commas; what stands in brackets is a list within. Empty items are left out.
fn list(typed: &str, item: fn(&str) -> Value) -> Value {
    let mut array = Array::new();
    for part in parts(typed) {
        match part.strip_prefix('[') {
            Some(inner) => array.push(list(inner.trim_end_matches(']'), item)),
            None => array.push(item(part)),
        }
    }
    Value::Array(array)
}

fn parts(typed: &str) -> Vec<&str> {
    let mut depth = 0_i32;
    let is_between = |letter: char| {
        depth += i32::from(letter == '[') - i32::from(letter == ']');
        letter == ',' && depth <= 0
    };
    typed.split(is_between).map(str::trim).filter(|part| !part.is_empty()).collect()
}

/// Puts a value in another's place. Blanks and comments about the old value stay; of a list only the items that differ
/// change.
pub(super) fn replace(old: &mut Value, new: Value) {
    if let (Value::Array(old), Value::Array(new)) = (&mut *old, &new) {
        let kept = old.len().min(new.len());
        for (old, new) in old.iter_mut().zip(new.iter()).take(kept) {
            let same = read::typed("", old) == read::typed("", new) && old.is_str() == new.is_str();
            if !same {
                replace(old, new.clone());
            }
        }
        for added in new.iter().skip(kept) {
            old.push(added.clone());
        }
        while old.len() > new.len() {
            old.remove(old.len() - 1);
        }
        return;
    }
    let decor = old.decor().clone();
    *old = new;
    *old.decor_mut() = decor;
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn what_is_no_number_is_text() {
        assert!(as_typed("9.20").is_float());
        assert!(as_typed("35").is_integer());
        for text in ["9.", "7:12", "11' 3 1/2\"", "1979-05-27", "[1]"] {
            assert_eq!(as_typed(text).as_str(), Some(text));
        }
    }

    #[test]
    fn a_decimal_comma_is_a_point() {
        let describe = |typed| value(typed, Kind::Measure).unwrap().to_string();
        assert_eq!(describe("9,20"), "9.20");
        assert_eq!(describe("-0,5"), "-0.5");
        assert_eq!(describe("9,20 m"), "\"9.20 m\"");
        for text in ["9,2,0", "a,5", ",5", "9,"] {
            assert_eq!(describe(text), format!("\"{text}\""));
        }
        assert_eq!(value("9,20", Kind::Measures).unwrap().to_string(), "[9, 20]");
    }

    #[test]
    fn lists_are_typed_between_commas() {
        let describe = |typed, kind| value(typed, kind).unwrap().to_string();
        assert_eq!(describe("E1, E2,R1", Kind::Names), r#"["E1", "E2", "R1"]"#);
        assert_eq!(describe("1, 2", Kind::Names), r#"["1", "2"]"#);
        assert_eq!(describe("3.20, 11' 3\",", Kind::Measures), r#"[3.20, "11' 3\""]"#);
        assert_eq!(describe("[1, 2], [3, 4.5], [0, 9]", Kind::Measures), "[[1, 2], [3, 4.5], [0, 9]]");
    }
}
