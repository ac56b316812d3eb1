//! Numbers as people read them, read back out of text: `12' 3 1/2"`, `62.89 ± 0.30 m²`, `7.0:12`, `4 × 3.46 m`,
//! `732, 1465 mm`. Written apart from what writes them.

/// What a number measures, as far as its unit tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Class {
    Length,
    Area,
    Volume,
    Angle,
    Weight,
    /// Weight on an area.
    Spread,
    Percent,
    Temperature,
    Pixels,
    /// Without a unit: counted, paid or a ratio.
    Bare,
}

/// A number read from text.
#[derive(Clone, Debug)]
pub struct Printed {
    /// In SI units and degrees; percent as percent.
    pub value: f64,
    /// Half of its last digit, likewise.
    pub half: f64,
    pub class: Class,
    /// As it stood, with what stood about it.
    pub context: String,
}

/// Units with their class and how many SI units one of them is; longer signs first.
const UNITS: &[(&str, Class, f64)] = &[
    ("degrees", Class::Angle, 1.0),
    ("squares", Class::Area, 100.0 * 0.3048 * 0.3048),
    ("kg/m²", Class::Spread, 1.0),
    ("lb/ft²", Class::Spread, 0.453_592_37 / (0.3048 * 0.3048)),
    ("mm", Class::Length, 1e-3),
    ("cm²", Class::Area, 1e-4),
    ("m²", Class::Area, 1.0),
    ("m2", Class::Area, 1.0),
    ("m³", Class::Volume, 1.0),
    ("cm", Class::Length, 1e-2),
    ("ft²", Class::Area, 0.3048 * 0.3048),
    ("in²", Class::Area, 0.0254 * 0.0254),
    ("ft³", Class::Volume, 0.3048 * 0.3048 * 0.3048),
    ("yd³", Class::Volume, 0.9144 * 0.9144 * 0.9144),
    ("kg", Class::Weight, 1.0),
    ("lb", Class::Weight, 0.453_592_37),
    ("px", Class::Pixels, 1.0),
    ("°C", Class::Temperature, 1.0),
    ("°F", Class::Temperature, 1.0 / 1.8),
    ("ft", Class::Length, 0.3048),
    ("in", Class::Length, 0.0254),
    ("m", Class::Length, 1.0),
    ("°", Class::Angle, 1.0),
    ("%", Class::Percent, 1.0),
];

/// The class and size of a unit, by its sign.
#[must_use]
pub fn unit(sign: &str) -> Option<(Class, f64)> {
    UNITS.iter().find(|(known, ..)| *known == sign).map(|&(_, class, size)| (class, size))
}

/// Words that a number follows which counts and does not measure.
const ORDINALS: &[&str] = &["strip", "roll", "course", "row"];

enum Amount {
    /// With its last digit, without a unit as yet.
    Decimal(f64, f64),
    /// In metres, to an eighth of an inch.
    FeetInches(f64),
    /// Rise on 12, with its last digit.
    OnTwelve(f64, f64),
}

struct Token {
    amount: Amount,
    unit: Option<(Class, f64)>,
    /// Where it begins and ends, in characters.
    from: usize,
    to: usize,
}

/// Every number of a text. A number without a unit takes that of the next one where `±`, `to`, `and` or a list leads to it; else
/// `column`, the unit that stands over a table's column.
#[must_use]
pub fn numbers(text: &str, column: Option<(Class, f64)>) -> Vec<Printed> {
    let text: Vec<char> = text.replace('\u{a0}', " ").chars().collect();
    let mut tokens: Vec<Token> = Vec::new();
    let mut at = 0;
    while at < text.len() {
        if !text[at].is_ascii_digit() {
            at += 1;
            continue;
        }
        let part_of_a_name = at > 0
            && (text[at - 1].is_alphanumeric()
                || text[at - 1] == '_'
                || (matches!(text[at - 1], '-' | '.' | '/') && at > 1 && text[at - 2].is_alphanumeric()));
        let (amount, end) = amount(&text, at);
        let name_goes_on = text.get(end).is_some_and(|next| next.is_alphabetic() && !starts_unit(&text, end));
        if !part_of_a_name && !name_goes_on {
            let (unit, to) = match amount {
                Amount::Decimal(..) => unit_at(&text, end),
                _ => (None, end),
            };
            tokens.push(Token { amount, unit, from: at, to });
            at = to;
        } else {
            at = end;
        }
    }
    let mut read = Vec::new();
    for index in (0..tokens.len()).rev() {
        if tokens[index].unit.is_none() && matches!(tokens[index].amount, Amount::Decimal(..)) {
            let between = |one: usize| -> String {
                let ends = tokens.get(one).zip(tokens.get(one + 1));
                ends.map_or_else(String::new, |(one, next)| {
                    text[one.to..next.from].iter().collect::<String>().trim().to_owned()
                })
            };
            let after = |steps: usize| tokens.get(index + steps).and_then(|token| token.unit);
            // What numbers a strip, a roll or a course measures nothing: `strip 7, 950 mm wide`.
            let before: String = text[..tokens[index].from].iter().collect();
            let numbers_something = before.split_whitespace().last().is_some_and(|word| ORDINALS.contains(&word));
            let lent = match between(index).as_str() {
                _ if numbers_something => None,
                // A list with its unit at the end, each of its lengths behind a count or a number of its own.
                "," if matches!(between(index + 1).as_str(), "of" | ":") => after(2),
                "±" | "to" | "and" | "," => after(1),
                _ => None,
            };
            tokens[index].unit = if numbers_something { None } else { lent.or(column) };
        }
    }
    for token in &tokens {
        let (value, half, class) = match (&token.amount, token.unit) {
            (Amount::Decimal(value, digit), Some((Class::Temperature, size))) if size < 1.0 => {
                ((value - 32.0) * size, digit * size / 2.0, Class::Temperature)
            }
            (Amount::Decimal(value, digit), Some((class, size))) => (value * size, digit * size / 2.0, class),
            (Amount::Decimal(value, digit), None) => (*value, digit / 2.0, Class::Bare),
            (Amount::FeetInches(metres), _) => (*metres, 0.0254 / 16.0, Class::Length),
            (Amount::OnTwelve(rise, digit), _) => {
                let degrees = |rise: f64| (rise / 12.0).atan().to_degrees();
                (degrees(*rise), degrees(rise + digit / 2.0) - degrees(*rise), Class::Angle)
            }
        };
        let about =
            |at: usize| -> String { text[at.saturating_sub(30)..(token.to + 30).min(text.len())].iter().collect() };
        let context = format!("{} in …{}…", text[token.from..token.to].iter().collect::<String>(), about(token.from));
        read.push(Printed { value, half, class, context });
    }
    read
}

/// The number that begins here, and where it ends.
fn amount(text: &[char], from: usize) -> (Amount, usize) {
    let digits = |at: usize| text[at..].iter().take_while(|letter| letter.is_ascii_digit()).count();
    let number =
        |from: usize, to: usize| -> f64 { text[from..to].iter().collect::<String>().parse().unwrap_or(f64::NAN) };
    let is = |at: usize, letter: char| text.get(at) == Some(&letter);
    // Inches from here: `3 1/2"`, `1/2"`, `3"`.
    let inches = |at: usize| -> Option<(f64, usize)> {
        let first = digits(at);
        if first == 0 {
            return None;
        }
        let whole = number(at, at + first);
        let mut next = at + first;
        if is(next, '/') {
            let under = digits(next + 1);
            let end = next + 1 + under;
            return (under > 0 && is(end, '"')).then(|| (whole / number(next + 1, end), end + 1));
        }
        if is(next, '"') {
            return Some((whole, next + 1));
        }
        if is(next, ' ') {
            next += 1;
            let over = digits(next);
            if over > 0 && is(next + over, '/') {
                let under = digits(next + over + 1);
                let end = next + over + 1 + under;
                if under > 0 && is(end, '"') {
                    return Some((whole + number(next, next + over) / number(next + over + 1, end), end + 1));
                }
            }
        }
        None
    };
    let first = digits(from);
    if is(from + first, '\'') {
        let feet = number(from, from + first) * 0.3048;
        let after = from + first + 1;
        let after_blank = if is(after, ' ') { after + 1 } else { after };
        return match inches(after_blank) {
            Some((inches, end)) => (Amount::FeetInches(feet + inches * 0.0254), end),
            None => (Amount::FeetInches(feet), after),
        };
    }
    if let Some((inches, end)) = inches(from) {
        return (Amount::FeetInches(inches * 0.0254), end);
    }
    let mut to = from + first;
    let mut decimals = 0;
    if is(to, '.') && digits(to + 1) > 0 {
        decimals = digits(to + 1);
        to += 1 + decimals;
    }
    let digit = 10_f64.powi(-i32::try_from(decimals).unwrap_or(0));
    if is(to, ':') && is(to + 1, '1') && is(to + 2, '2') && digits(to + 1) == 2 {
        return (Amount::OnTwelve(number(from, to), digit), to + 3);
    }
    // A decimal number of inches: `0.25"`.
    if is(to, '"') && decimals > 0 {
        return (Amount::Decimal(number(from, to), digit), to);
    }
    (Amount::Decimal(number(from, to), digit), to)
}

fn starts_unit(text: &[char], at: usize) -> bool {
    unit_at(text, at).0.is_some()
}

/// The unit that follows, after a blank or none, and where it ends.
fn unit_at(text: &[char], end: usize) -> (Option<(Class, f64)>, usize) {
    if text.get(end) == Some(&'"') {
        return (Some((Class::Length, 0.0254)), end + 1);
    }
    let at = if text.get(end) == Some(&' ') { end + 1 } else { end };
    for (sign, class, size) in UNITS {
        let letters: Vec<char> = sign.chars().collect();
        let to = at + letters.len();
        let bounded = !text.get(to).is_some_and(|next| next.is_alphanumeric());
        if text.len() >= to && text[at..to] == letters[..] && bounded {
            return (Some((*class, *size)), to);
        }
    }
    (None, end)
}

/// Every number of a text with tables as a terminal shows them: a rule of `─` under the heads, columns beneath it. Words
/// of one paragraph are read on over the ends of its lines.
#[must_use]
pub fn numbers_of_page(page: &str) -> Vec<Printed> {
    let lines: Vec<&str> = page.lines().collect();
    let mut read = Vec::new();
    let mut running = String::new();
    let mut at = 0;
    while at < lines.len() {
        let is_rule = |line: &str| line.contains('─') && line.chars().all(|letter| matches!(letter, '─' | ' '));
        if lines.get(at + 1).is_some_and(|next| is_rule(next)) {
            read.extend(numbers(&running, None));
            running.clear();
            let columns = columns(lines[at], lines[at + 1]);
            read.extend(numbers(lines[at], None));
            at += 2;
            while at < lines.len() && !lines[at].trim().is_empty() && lines[at].starts_with(' ') {
                let letters: Vec<char> = lines[at].chars().collect();
                // A line of running words under a table reaches over its columns' gaps.
                let runs_on = columns.windows(2).any(|pair| {
                    let gap = pair[0].0.1.min(letters.len())..pair[1].0.0.min(letters.len());
                    letters[gap].iter().any(|letter| *letter != ' ')
                });
                let beyond = columns.last().is_some_and(|last| last.0.1 < letters.len());
                if runs_on || beyond && columns.len() == 1 {
                    break;
                }
                for (index, &((from, to), unit)) in columns.iter().enumerate() {
                    let to = if index + 1 == columns.len() { letters.len() } else { to };
                    let cell: String = letters[from.min(letters.len())..to.min(letters.len())].iter().collect();
                    read.extend(numbers(&cell, unit));
                }
                at += 1;
            }
            continue;
        }
        if lines[at].trim().is_empty() {
            read.extend(numbers(&running, None));
            running.clear();
        } else {
            running.push(' ');
            running.push_str(lines[at].trim());
        }
        at += 1;
    }
    read.extend(numbers(&running, None));
    read
}

pub type Column = ((usize, usize), Option<(Class, f64)>);

/// Where columns stand, in characters, with the unit at the end of their heads.
pub fn columns(heads: &str, rule: &str) -> Vec<Column> {
    let (heads, rule): (Vec<char>, Vec<char>) = (heads.chars().collect(), rule.chars().collect());
    let mut columns = Vec::new();
    let mut at = 0;
    while at < rule.len() {
        if rule[at] == ' ' {
            at += 1;
            continue;
        }
        let to = at + rule[at..].iter().take_while(|letter| **letter == '─').count();
        let head: String = heads[at.min(heads.len())..to.min(heads.len())].iter().collect();
        columns.push(((at, to), head.split_whitespace().last().and_then(unit)));
        at = to;
    }
    columns
}

#[test]
fn numbers_are_read_as_printed() {
    let read = |text: &str| -> Vec<(f64, f64, Class)> {
        numbers(text, None).iter().map(|number| (number.value, number.half, number.class)).collect()
    };
    let near = |text: &str, wanted: &[(f64, f64, Class)]| {
        let found = read(text);
        let same = |(a, b): (&(f64, f64, Class), &(f64, f64, Class))| {
            (a.0 - b.0).abs() < 1e-9 && (a.1 - b.1).abs() < 1e-9 && a.2 == b.2
        };
        assert!(found.len() == wanted.len() && found.iter().zip(wanted).all(same), "{text}: {found:?}");
    };
    let eighth = 0.0254 / 16.0;
    near("12' 3 1/2\"", &[(12.0 * 0.3048 + 3.5 * 0.0254, eighth, Class::Length)]);
    near("14' 6\" ± 1/2\"", &[(4.4196, eighth, Class::Length), (0.0127, eighth, Class::Length)]);
    near("62.89 ± 0.30 m²", &[(62.89, 0.005, Class::Area), (0.30, 0.005, Class::Area)]);
    near("4 × 3.46 m", &[(4.0, 0.5, Class::Bare), (3.46, 0.005, Class::Length)]);
    near("732, 1465 mm", &[(0.732, 0.0005, Class::Length), (1.465, 0.0005, Class::Length)]);
    near(
        "1 of 3926, 12 of 380 mm",
        &[(1.0, 0.5, Class::Bare), (3.926, 5e-4, Class::Length), (12.0, 0.5, Class::Bare), (0.38, 5e-4, Class::Length)],
    );
    near("strip 7, 950 mm wide", &[(7.0, 0.5, Class::Bare), (0.95, 5e-4, Class::Length)]);
    near("tape A-C1, R2, store/2 and EN 12056-3", &[(12056.0, 0.5, Class::Bare)]);
    let rise = |rise: f64| (rise / 12.0_f64).atan().to_degrees();
    near("(7.0:12)", &[(rise(7.0), rise(7.05) - rise(7.0), Class::Angle)]);
    let page = "  face  kg\n  ────  ──\n  a      9\n\n  12 mm of\n  it";
    let read: Vec<(f64, Class)> = numbers_of_page(page).iter().map(|number| (number.value, number.class)).collect();
    assert_eq!(read, [(9.0, Class::Weight), (0.012, Class::Length)]);
}
