//! What lettering says: no lengths of nothing, no number without its unit beside it.

use eavewright::drawing::typeset::model::Role;
use eavewright::drawing::{Drawing, Item, Text};

const UNITS: [&str; 12] = ["m", "mm", "cm", "m²", "m³", "kg", "°", "%", "ft", "sq", "lb", "yd³"];

/// The numbers of a text that have a unit, with it: `0.00 m`, `0"`.
fn measures(words: &str) -> Vec<(f64, String)> {
    let mut found = Vec::new();
    let letters: Vec<char> = words.chars().collect();
    let mut at = 0;
    while at < letters.len() {
        let starts = letters[at].is_ascii_digit()
            && (at == 0
                || !(letters[at - 1].is_alphanumeric()
                    || letters[at - 1] == '.'
                    || letters[at - 1] == ':'
                    || letters[at - 1] == '/'));
        if !starts {
            at += 1;
            continue;
        }
        let start = at;
        while at < letters.len()
            && (letters[at].is_ascii_digit()
                || (letters[at] == '.' && letters.get(at + 1).is_some_and(char::is_ascii_digit)))
        {
            at += 1;
        }
        let number: String = letters[start..at].iter().collect();
        let rest: String = letters[at..].iter().collect();
        let unit: String = rest
            .trim_start_matches(' ')
            .chars()
            .take_while(|letter| letter.is_alphabetic() || matches!(letter, '²' | '³' | '\'' | '"' | '°' | '%'))
            .collect();
        if let Ok(value) = number.parse::<f64>() {
            found.push((value, unit));
        }
    }
    found
}

/// The lettering of a drawing; of a page that of its figures. In a table or a sentence nothing is a number too.
fn lettering(drawing: &Drawing) -> Vec<&Text> {
    if drawing.stretches.is_empty() {
        return drawing.texts().collect();
    }
    let figures = drawing.stretches.iter().filter(|stretch| matches!(stretch.role, Role::Figure(_)));
    let items = figures.flat_map(|stretch| &drawing.items[stretch.items.clone()]);
    items.filter_map(|item| if let Item::Text(text) = item { Some(text) } else { None }).collect()
}

/// Lettering on a drawing that tells a length of nothing.
pub fn zero_lengths(drawing: &Drawing) -> Vec<String> {
    const LENGTHS: [&str; 4] = ["m", "mm", "ft", "\""];
    let is_nothing = |words: &str| {
        let told = measures(words);
        // `0' 0"` is nothing, `14' 0"` is not.
        let feet = told.iter().any(|(value, unit)| unit == "'" && *value > 0.0);
        told.iter().any(|(value, unit)| *value == 0.0 && LENGTHS.contains(&unit.as_str()) && !feet)
    };
    let told = lettering(drawing).into_iter().filter(|text| is_nothing(&text.words));
    told.map(|text| format!("\"{}\" tells of nothing", text.words)).collect()
}

/// Numbers at the end of a line whose unit begins the next one.
pub fn parted_from_unit(page: &Drawing) -> Vec<String> {
    let mut found = Vec::new();
    for stretch in &page.stretches {
        let lines: Vec<&str> = page.items[stretch.items.clone()]
            .iter()
            .filter_map(|item| if let Item::Text(text) = item { Some(text.words.trim()) } else { None })
            .collect();
        for pair in lines.windows(2) {
            let ends = pair[0].split_whitespace().next_back().is_some_and(|word| word.parse::<f64>().is_ok());
            let begins =
                pair[1].split_whitespace().next().unwrap_or_default().trim_end_matches([',', '.', ';', ':', ')']);
            if ends && UNITS.contains(&begins) {
                found.push(format!("\"{}\" is parted from its unit: \"{}\"", pair[0], pair[1]));
            }
        }
    }
    found
}

#[test]
fn measures_are_read_as_written() {
    let told =
        |words: &str| measures(words).into_iter().map(|(value, unit)| format!("{value}{unit}")).collect::<Vec<_>>();
    assert_eq!(told("hip 4.25 m, 0.00 m"), ["4.25m", "0m"]);
    assert_eq!(told("14' 0\""), ["14'", "0\""]);
    assert_eq!(told("scale 1:50 on A4"), ["1"]);
    let mut drawing = Drawing::new("x", "x", [100.0, 100.0]);
    for words in ["0.00 m", "0' 0\"", "14' 0\"", "0", "10.00 m", "0.40 m"] {
        drawing.text(eavewright::drawing::Text::new(nalgebra::Point2::new(5.0, 5.0), words));
    }
    assert_eq!(zero_lengths(&drawing), ["\"0.00 m\" tells of nothing", "\"0' 0\"\" tells of nothing"]);
}
