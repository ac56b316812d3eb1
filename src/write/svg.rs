//! Drawings as SVG 1.1: a user unit is a millimetre, so the page prints at its scale.

use super::palette::{self, hex};
use crate::base::tolerance::ROUNDING;
use crate::drawing::typeset::lettering::CAPITALS;
use crate::drawing::{Anchor, Drawing, Item, Pen, Photo, Text};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use nalgebra::Point2;
use std::collections::BTreeMap;
use std::fmt::Write;

/// The lettering: one set of widths under several names, so that what was placed without overlap stays so.
pub const FONTS: &str = "'Liberation Sans', Arimo, Arial, Helvetica, sans-serif";

/// How a drawing is set into its surroundings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Setting {
    /// A document of its own, as large as the paper.
    Document,
    /// A figure within an HTML page: no XML head.
    Inline,
}

/// Writes one drawing. Deterministic: numbers with three decimals of a millimetre. O(ink).
#[must_use]
pub fn svg(drawing: &Drawing, setting: Setting) -> String {
    let [width, height] = drawing.size;
    let mut out = String::new();
    if setting == Setting::Document {
        out.push_str("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    }
    let (w, h) = (number(width), number(height));
    // Writing to a string cannot fail.
    let _ = write!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\" \
         role=\"img\" font-family=\"{FONTS}\" fill=\"none\" stroke-linecap=\"butt\" stroke-linejoin=\"round\">\n<title>{}</title>\n",
        escape(&drawing.title)
    );
    if setting == Setting::Document {
        let _ = writeln!(out, "<rect width=\"{w}\" height=\"{h}\" fill=\"#ffffff\"/>");
    }
    for group in groups(&drawing.items) {
        match group {
            Group::Areas(items) => {
                for item in items {
                    if let Item::Area { tone, rings } = item
                        && let Some(colour) = palette::tone(*tone)
                    {
                        let mut data = String::new();
                        for ring in rings {
                            path(&mut data, ring, true, height);
                        }
                        let colour = hex(colour);
                        let _ = writeln!(out, "<path fill=\"{colour}\" fill-rule=\"evenodd\" d=\"{data}\"/>");
                    }
                }
            }
            Group::Lines(items) => lines(&mut out, &items, height),
            Group::Texts(items) => {
                let _ = writeln!(out, "<g class=\"lettering\" fill=\"{}\">", hex(palette::INK));
                for item in items {
                    if let Item::Text(text) = item {
                        lettering(&mut out, text, height);
                    }
                }
                out.push_str("</g>\n");
            }
            Group::Photo(photo) => picture(&mut out, photo, height),
        }
    }
    out.push_str("</svg>\n");
    out
}

/// Runs of ink of one sort, in order: what lies over what is kept.
enum Group<'a> {
    Areas(Vec<&'a Item>),
    Lines(Vec<&'a Item>),
    Texts(Vec<&'a Item>),
    Photo(&'a Photo),
}

fn groups(items: &[Item]) -> Vec<Group<'_>> {
    let mut groups: Vec<Group<'_>> = Vec::new();
    for item in items {
        match (item, groups.last_mut()) {
            (Item::Area { .. }, Some(Group::Areas(run)))
            | (Item::Line { .. }, Some(Group::Lines(run)))
            | (Item::Text(_), Some(Group::Texts(run))) => run.push(item),
            (Item::Area { .. }, _) => groups.push(Group::Areas(vec![item])),
            (Item::Line { .. }, _) => groups.push(Group::Lines(vec![item])),
            (Item::Text(_), _) => groups.push(Group::Texts(vec![item])),
            (Item::Photo(photo), _) => groups.push(Group::Photo(photo)),
        }
    }
    groups
}

/// A photo, within the document so that it can't be lost. It is named in the way of SVG 1.1, which every reader knows.
fn picture(out: &mut String, photo: &Photo, height: f64) {
    let [wide, high] = photo.size;
    let _ = writeln!(
        out,
        "<image x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" preserveAspectRatio=\"none\" \
         xmlns:xlink=\"http://www.w3.org/1999/xlink\" xlink:href=\"data:image/jpeg;base64,{}\"/>",
        number(photo.low.x),
        number(height - photo.low.y - high),
        number(wide),
        number(high),
        STANDARD.encode(&photo.jpeg)
    );
}

/// A run of lines, gathered by pen: a group for each layer.
fn lines(out: &mut String, items: &[&Item], height: f64) {
    let mut by_pen: BTreeMap<Pen, String> = BTreeMap::new();
    for item in items {
        if let Item::Line { pen, points, closed } = item {
            path(by_pen.entry(*pen).or_default(), points, *closed, height);
        }
    }
    for (pen, data) in by_pen {
        let dashes: Vec<String> = pen.pattern().iter().map(|&length| number(length)).collect();
        let dashes =
            if dashes.is_empty() { String::new() } else { format!(" stroke-dasharray=\"{}\"", dashes.join(" ")) };
        let _ = writeln!(
            out,
            "<path class=\"{}\" stroke=\"{}\" stroke-width=\"{}\"{dashes} d=\"{data}\"/>",
            pen.layer(),
            hex(palette::ink(pen)),
            number(pen.weight()),
        );
    }
}

fn path(data: &mut String, points: &[Point2<f64>], closed: bool, height: f64) {
    for (index, point) in points.iter().enumerate() {
        let command = if index == 0 { 'M' } else { 'L' };
        let _ = write!(data, "{command}{} {}", number(point.x), number(height - point.y));
    }
    if closed {
        data.push('Z');
    }
}

fn lettering(out: &mut String, text: &Text, height: f64) {
    if text.words.is_empty() {
        return;
    }
    let anchor = match text.anchor {
        Anchor::Start => "",
        Anchor::Middle => " text-anchor=\"middle\"",
        Anchor::End => " text-anchor=\"end\"",
    };
    let (x, y) = (number(text.at.x), number(height - text.at.y));
    let turn = if text.angle.abs() < ROUNDING {
        String::new()
    } else {
        format!(" transform=\"rotate({} {x} {y})\"", number(-text.angle.to_degrees()))
    };
    let weight = if text.bold { " font-weight=\"bold\"" } else { "" };
    // The width that was reserved is stated, so that another font can't outgrow it.
    let _ = writeln!(
        out,
        "<text x=\"{x}\" y=\"{y}\" font-size=\"{}\"{weight}{anchor}{turn} textLength=\"{}\" lengthAdjust=\"spacingAndGlyphs\">{}</text>",
        number(text.height / CAPITALS),
        number(text.width()),
        escape(&text.words)
    );
}

/// Three decimals at most, without trailing zeros.
fn number(value: f64) -> String {
    let words = format!("{value:.3}");
    let words = words.trim_end_matches('0').trim_end_matches('.');
    if words == "-0" { "0".to_owned() } else { words.to_owned() }
}

/// Text as XML character data; letters XML cannot carry become the replacement sign.
#[must_use]
pub(crate) fn escape(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    for letter in words.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\u{0}'..='\u{8}' | '\u{b}' | '\u{c}' | '\u{e}'..='\u{1f}' | '\u{fffe}' | '\u{ffff}' => {
                out.push('\u{fffd}');
            }
            other => out.push(other),
        }
    }
    out
}
