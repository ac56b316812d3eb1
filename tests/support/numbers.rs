//! Numbers as sentences tell them, read back to SI units and degrees, each with half of its last digit.
#![allow(dead_code)]

/// A number of a sentence.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// In SI units, degrees and percent.
    pub value: f64,
    /// Half of its last printed digit, in the same unit.
    pub within: f64,
    /// As it stands there.
    pub text: String,
    /// Whether it carries a metric unit.
    pub is_metric: bool,
}

impl Told {
    /// Whether a value, whichever way it counts, prints as this.
    pub fn tells(&self, value: f64) -> bool {
        (value.abs() - self.value).abs() <= self.within * (1.0 + 1e-9) + 1e-12
    }
}

const FOOT: f64 = 0.3048;

/// Units with how many SI units they are, and whether they are metric; the longest first.
const UNITS: [(&str, f64, bool); 9] = [
    ("mm", 0.001, true),
    ("m²", 1.0, true),
    ("m³", 1.0, true),
    ("m", 1.0, true),
    ("ft²", FOOT * FOOT, false),
    ("ft³", FOOT * FOOT * FOOT, false),
    ("in", FOOT / 12.0, false),
    ("°", 1.0, false),
    ("%", 1.0, false),
];

/// Every number of a sentence. `names` are what it may name; those that hold digits are no numbers.
pub fn numbers(sentence: &str, names: &[String]) -> Vec<Told> {
    let mut text = sentence.to_owned();
    let mut names: Vec<&String> = names.iter().filter(|name| name.chars().any(|c| c.is_ascii_digit())).collect();
    names.sort_by_key(|name| std::cmp::Reverse(name.len()));
    for name in names {
        text = text.replace(name.as_str(), "NAME");
    }
    let letters: Vec<char> = text.chars().collect();
    let mut told: Vec<Told> = Vec::new();
    let mut at = 0;
    while at < letters.len() {
        let is_start = letters[at].is_ascii_digit() && (at == 0 || !letters[at - 1].is_alphanumeric());
        if !is_start {
            at += 1;
            continue;
        }
        let (one, next) = one(&letters, at);
        told.push(one);
        at = next;
    }
    told
}

/// The number that starts at a place, and where it ends.
fn one(letters: &[char], start: usize) -> (Told, usize) {
    if let Some((metres, end)) = feet_and_inches(letters, start) {
        let text: String = letters[start..end].iter().collect();
        return (Told { value: metres, within: FOOT / 12.0 / 16.0, text, is_metric: false }, end);
    }
    let (number, decimals, end) = decimal(letters, start);
    let (unit, end) = unit_behind(letters, end);
    let (factor, is_metric) = unit.map_or((1.0, false), |(_, factor, is_metric)| (factor, is_metric));
    let text: String = letters[start..end].iter().collect();
    let within = 0.5 * 0.1_f64.powi(decimals) * factor;
    (Told { value: number * factor, within, text, is_metric }, end)
}

/// A number with decimals; how many, and where it ends.
fn decimal(letters: &[char], start: usize) -> (f64, i32, usize) {
    let mut end = start;
    let mut decimals = 0;
    let mut is_behind_point = false;
    while end < letters.len() {
        match letters[end] {
            digit if digit.is_ascii_digit() => decimals += i32::from(is_behind_point),
            '.' if !is_behind_point && letters.get(end + 1).is_some_and(char::is_ascii_digit) => is_behind_point = true,
            _ => break,
        }
        end += 1;
    }
    let text: String = letters[start..end].iter().collect();
    (text.parse().unwrap(), decimals, end)
}

/// The unit behind a number, or behind the deviation that follows it: `43.9 ± 20.4 m²`.
fn unit_behind(letters: &[char], end: usize) -> (Option<(&'static str, f64, bool)>, usize) {
    let rest: String = letters[end..].iter().collect();
    let spaced = rest.trim_start_matches(' ');
    let gap = rest.len() - spaced.len();
    let unit = UNITS.iter().find(|(sign, ..)| {
        spaced.strip_prefix(sign).is_some_and(|tail| !tail.starts_with(|c: char| c.is_alphanumeric()))
    });
    if let Some(unit) = unit.filter(|_| gap <= 1) {
        return (Some(*unit), end + gap + unit.0.chars().count());
    }
    let behind = spaced.strip_prefix("± ").map(|tail| tail.chars().collect::<Vec<char>>());
    let unit = behind.filter(|tail| tail.first().is_some_and(char::is_ascii_digit)).and_then(|tail| {
        let (_, _, after) = decimal(&tail, 0);
        unit_behind(&tail, after).0
    });
    (unit, end)
}

/// A length in feet and inches: `11' 3 1/2"`, `3 1/2"`, `1/2"`, `0"`.
fn feet_and_inches(letters: &[char], start: usize) -> Option<(f64, usize)> {
    let whole = |from: usize| -> Option<(f64, usize)> {
        let end = (from..letters.len()).find(|&at| !letters[at].is_ascii_digit()).unwrap_or(letters.len());
        let text: String = letters[from..end].iter().collect();
        text.parse().ok().map(|number| (number, end))
    };
    let is = |at: usize, letter: char| letters.get(at) == Some(&letter);
    let inches = |from: usize| -> Option<(f64, usize)> {
        let (first, end) = whole(from)?;
        if is(end, '"') {
            return Some((first, end + 1));
        }
        let (over, under_from) = if is(end, '/') {
            (first, end + 1)
        } else {
            let (over, end) = whole(if is(end, ' ') { end + 1 } else { return None })?;
            if !is(end, '/') {
                return None;
            }
            (over, end + 1)
        };
        let (under, last) = whole(under_from)?;
        let before = if is(end, '/') { 0.0 } else { first };
        is(last, '"').then_some((before + over / under, last + 1))
    };
    let (feet, end) = whole(start)?;
    if is(end, '\'') {
        return match inches(end + 2).filter(|_| is(end + 1, ' ')) {
            Some((inches, end)) => Some((FOOT * (feet + inches / 12.0), end)),
            None => Some((FOOT * feet, end + 1)),
        };
    }
    inches(start).map(|(inches, end)| (FOOT * inches / 12.0, end))
}
