//! What a file may say, in words: kinds of values, their limits, what holds without a key.

use crate::base::schema::{Bounds, Key, Kind, Naming, Usual};
use crate::base::units::LengthUnit;

/// What a number counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Counted {
    /// Metres, told in a unit.
    Length(LengthUnit),
    /// Degrees.
    Angle,
    /// Parts of the whole, told in percent.
    Share,
    /// A number of its own.
    Number,
}

/// A limit or a usual value: 3281 ft, 12.5 mm, 15 %.
#[must_use]
pub fn number(value: f64, counted: Counted) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    match counted {
        // What is less than a metre is told in millimetres.
        Counted::Length(LengthUnit::Metre) if value.abs() < 1.0 => format!("{} mm", digits(value * 1000.0)),
        Counted::Length(unit) => format!("{} {}", digits(value / unit.metres()), unit.symbol()),
        Counted::Angle => format!("{}°", digits(value)),
        Counted::Share => format!("{} %", digits(value * 100.0)),
        Counted::Number => digits(value),
    }
}

/// As many digits as tell a limit.
fn digits(value: f64) -> String {
    let size = value.abs();
    if !(1e-4..1e6).contains(&size) {
        let text = format!("{value:.3e}");
        let (mantissa, exponent) = text.split_once('e').unwrap_or((&text, "0"));
        return format!("{}e{exponent}", mantissa.trim_end_matches('0').trim_end_matches('.'));
    }
    let places = if size >= 100.0 { 0 } else { 4 };
    let text = format!("{value:.places$}");
    if places > 0 { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// Bounds in words: "more than 0 and at most 1000 m".
#[must_use]
pub fn range(bounds: &Bounds, counted: Counted) -> String {
    let (least, most) = (number(bounds.least, counted), number(bounds.most, counted));
    match (bounds.is_above, bounds.or_zero, bounds.least == 0.0) {
        (true, ..) => format!("more than {least} and at most {most}"),
        (false, true, _) => format!("0, or from {least} to {most}"),
        (false, false, true) => format!("0 or more, at most {most}"),
        (false, false, false) => format!("from {least} to {most}"),
    }
}

/// What a key's numbers count, told in metres.
#[must_use]
pub fn counted(kind: &Kind) -> Counted {
    match kind {
        Kind::Length(_) | Kind::Lengths(..) | Kind::AnyLengths(_) | Kind::Outline(_) | Kind::Point(..) => {
            Counted::Length(LengthUnit::Metre)
        }
        Kind::Angle(_) | Kind::Bearing | Kind::RulePitch | Kind::Pitch => Counted::Angle,
        Kind::Share(_) | Kind::Waste(_) => Counted::Share,
        _ => Counted::Number,
    }
}

/// The bounds of a key's value, where it has any.
#[must_use]
pub fn bounds(kind: &Kind) -> Option<&Bounds> {
    match kind {
        Kind::Length(bounds)
        | Kind::Lengths(_, bounds)
        | Kind::AnyLengths(bounds)
        | Kind::Outline(bounds)
        | Kind::Pixels(bounds)
        | Kind::Angle(bounds)
        | Kind::Share(bounds)
        | Kind::ShareOrPixels(bounds)
        | Kind::Waste(bounds)
        | Kind::Number(bounds)
        | Kind::Numbers(_, bounds)
        | Kind::Count(bounds)
        | Kind::Price(_, bounds)
        | Kind::Point(_, bounds) => Some(bounds),
        _ => None,
    }
}

/// What bears a name.
#[must_use]
pub fn naming(naming: Naming) -> &'static str {
    match naming {
        Naming::Point => "a point",
        Naming::Corner => "a corner",
        Naming::Face => "a face by points",
        Naming::Block => "a block",
        Naming::Dormer => "a dormer",
        Naming::Camera => "a camera",
        Naming::PointOrCorner => "a point or corner",
        Naming::Ends => "two points or corners, \"A-B\"",
        Naming::Side => "a side",
        Naming::OwnSide => "a side of the block",
        Naming::AnyFace => "a face",
        Naming::Card => "a material card",
    }
}

/// What is written for a key: "length", "one of \"open\", \"closed\"".
#[must_use]
pub fn value(key: &Key) -> String {
    let kind = &key.kind;
    let range = bounds(kind).map_or_else(String::new, |bounds| range(bounds, counted(kind)));
    match kind {
        Kind::Text(most) => format!("text of at most {most} letters"),
        Kind::Texts(_) => "list of texts".to_owned(),
        Kind::File => "file name".to_owned(),
        Kind::Name(_) => "name of its own".to_owned(),
        Kind::Of(of) => format!("name of {}", naming(*of)),
        Kind::AllOf(of, least) => format!("list of {least} or more, each the name of {}", naming(*of)),
        Kind::Length(_) => format!("length, {range}"),
        Kind::AnyLengths(_) => "list of lengths".to_owned(),
        Kind::Lengths(count, _) => format!("list of {count} lengths"),
        Kind::Outline(_) => "list of places [x, y]".to_owned(),
        Kind::Pixels(_) => "list of places [x, y] in the photo".to_owned(),
        Kind::Pitch => "pitch".to_owned(),
        Kind::PitchOrUnknown => "pitch, or \"?\"".to_owned(),
        Kind::RulePitch => "pitch, 0 too".to_owned(),
        Kind::Turn => "turn".to_owned(),
        Kind::Angle(_) => format!("angle, {range}"),
        Kind::Bearing => "bearing".to_owned(),
        Kind::Share(_) => format!("share, {range}"),
        Kind::ShareOrPixels(_) => "share, or pixels".to_owned(),
        Kind::Waste(_) => format!("\"layout\", or share, {range}"),
        Kind::Number(_) => format!("number, {range}"),
        Kind::Price(..) => format!("number, {range}; or {{ each = …, per = \"m²\" }}"),
        Kind::Numbers(count, _) => format!("list of {count} numbers"),
        Kind::Count(_) => format!("whole number, {range}"),
        Kind::Flag => "true or false".to_owned(),
        Kind::Choice(words) => format!("one of {}", quoted(words)),
        Kind::Date => "day".to_owned(),
        Kind::Card(names) => format!("one of {}, or the path of a card file", quoted(names)),
        Kind::CardValues(table) => format!("table: tables of {}", table.header),
        Kind::Point(..) => "list of 3 lengths, or a table".to_owned(),
        Kind::Table(table) => format!("table: {}", table.header),
        Kind::Tables(table) => format!("list of tables: {}", table.header),
    }
}

fn quoted(words: &[&str]) -> String {
    words.iter().map(|word| format!("\"{word}\"")).collect::<Vec<_>>().join(", ")
}

/// What holds without a key: "needed", "20 mm", "\"open\""; nothing where nothing does.
#[must_use]
pub fn without(key: &Key) -> String {
    match key.usual {
        Usual::Needed => "needed".to_owned(),
        Usual::Number(value) => number(value, counted(&key.kind)),
        Usual::Word(word) => format!("\"{word}\""),
        Usual::Flag(flag) => flag.to_string(),
        Usual::Absent(words) => words.to_owned(),
    }
}

/// What an empty field of a form shows: an example of what is needed, else what holds without it.
#[must_use]
pub fn placeholder(key: &Key) -> String {
    let plain = |text: &str| {
        let within = text.strip_prefix('[').and_then(|text| text.strip_suffix(']')).unwrap_or(text);
        within.replace('"', "")
    };
    match key.usual {
        Usual::Needed | Usual::Absent("") => plain(key.example),
        _ => plain(&without(key)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_are_told_with_their_unit() {
        let side = Bounds::up_to(1000.0, "side");
        assert_eq!(range(&side, Counted::Length(LengthUnit::Metre)), "more than 0 and at most 1000 m");
        assert_eq!(range(&side, Counted::Length(LengthUnit::Foot)), "more than 0 and at most 3281 ft");
        let sigma = Bounds::zero_or(1e-6, 10.0, "standard deviation");
        assert_eq!(range(&sigma, Counted::Length(LengthUnit::Metre)), "0, or from 0.001 mm to 10 m");
        assert_eq!(range(&Bounds::from_to(0.0, 1.0, "share"), Counted::Share), "0 or more, at most 100 %");
        assert_eq!(number(0.0125, Counted::Length(LengthUnit::Metre)), "12.5 mm");
        assert_eq!(number(2.4e-6, Counted::Number), "2.4e-6");
    }
}
