//! A roof file written from outlines and points that came from elsewhere: commented, so that a person goes on from it.

use crate::job::imported::{Corners, Imported, area};
use crate::job::outlines::{PLUMB, PlainOutline, Slopes, opened};
use crate::wording::import::comment as words;
use nalgebra::Point3;
use std::fmt::Write;

/// A text as TOML writes it.
#[must_use]
pub fn quoted(words: &str) -> String {
    let mut text = String::from("\"");
    for letter in words.chars() {
        match letter {
            '"' => text.push_str("\\\""),
            '\\' => text.push_str("\\\\"),
            letter if letter.is_control() => {
                let _ = write!(text, "\\u{:04X}", u32::from(letter));
            }
            letter => text.push(letter),
        }
    }
    text.push('"');
    text
}

/// A number with all its digits, as TOML writes it.
#[must_use]
pub fn number(value: f64) -> String {
    format!("{:?}", value + 0.0)
}

/// The head of a file in metres whose numbers were not measured on site, so that none carries a sigma.
#[must_use]
pub fn head(title: &str) -> String {
    format!("title = {}\nunits = \"m\"\nstage = \"design\"\n", quoted(title))
}

/// The blocks of an outline, one a polygon, named as `name` gives them. Sides are named by their numbers, from 1. O(places).
#[must_use]
pub fn blocks(outline: &PlainOutline, name: impl Fn(usize) -> String) -> String {
    let mut text = String::new();
    let mut next = 0;
    for (number_of, polygon) in outline.polygons.iter().enumerate() {
        let mut rings = Vec::new();
        for ring in polygon {
            let ring = opened(ring);
            let mut sides = String::new();
            for (at, place) in ring.iter().enumerate() {
                if ring[(at + 1) % ring.len()] == *place {
                    next += 1;
                    continue;
                }
                let degrees = match &outline.slopes {
                    Slopes::One(pitch) => *pitch,
                    Slopes::Each(pitches) => pitches.get(next).copied().unwrap_or(PLUMB),
                };
                next += 1;
                let role =
                    if degrees == PLUMB { "verge = true".to_owned() } else { format!("pitch = {}", number(degrees)) };
                let _ = writeln!(
                    sides,
                    "  {{ from = \"{next}\", at = [{}, {}], {role} }},",
                    number(place.x),
                    number(place.y)
                );
            }
            rings.push(sides);
        }
        let Some((outer, holes)) = rings.split_first() else { continue };
        let _ = write!(
            text,
            "\n[[block]]\nname = {}\nheight = {}\nsides = [\n{outer}]\n",
            quoted(&name(number_of)),
            number(outline.height)
        );
        if !holes.is_empty() {
            let holes: Vec<String> = holes.iter().map(|hole| format!("{{ sides = [\n{hole}] }}")).collect();
            let _ = writeln!(text, "holes = [{}]", holes.join(", "));
        }
    }
    text
}

/// A whole file of what was taken over. `within` is how near two corners are one point, metres; 0 keeps all apart. `source`
/// is the name of the file it comes from. O(places).
#[must_use]
pub fn taken_over(imported: &Imported, title: &str, source: &str, within: f64) -> String {
    let mut text = format!("{}\n{}\n", words::source(source), words::MEASURE);
    if imported.origin != [0.0; 3] {
        let _ = writeln!(text, "{}", words::origin([imported.origin[0], imported.origin[1]]));
    }
    text.push_str(&head(title));
    if !imported.outlines.is_empty() {
        let _ = writeln!(text, "\n{}", words::OUTLINES);
    }
    for (name, outline) in &imported.outlines {
        let own = |part: usize| if part == 0 { name.clone() } else { format!("{name} part {}", part + 1) };
        text.push_str(&blocks(outline, own));
    }
    let mut corners = Corners::default();
    let mut apart = Vec::new();
    let mut number = |place: &Point3<f64>| {
        if within > 0.0 {
            return corners.number(*place, within);
        }
        apart.push(*place);
        apart.len() - 1
    };
    let faces: Vec<(&String, f64, Vec<usize>)> = (imported.faces.iter())
        .map(|(name, ring)| {
            let mut numbers: Vec<usize> = ring.iter().map(&mut number).collect();
            numbers.dedup();
            if numbers.len() > 1 && numbers.first() == numbers.last() {
                numbers.pop();
            }
            (name, area(ring), numbers)
        })
        .collect();
    let places = if within > 0.0 { corners.places } else { apart };
    if !places.is_empty() || !imported.points.is_empty() {
        let _ = writeln!(text, "\n{}\n[points]", words::POINTS);
    }
    let point = |text: &mut String, name: &str, place: &Point3<f64>| {
        let at = [place.x, place.y, place.z].map(number_text).join(", ");
        let _ = writeln!(text, "{name} = [{at}]");
    };
    places.iter().enumerate().for_each(|(at, place)| point(&mut text, &format!("P{}", at + 1), place));
    imported.points.iter().for_each(|(name, place)| point(&mut text, &quoted(name), place));
    if !faces.is_empty() {
        let _ = writeln!(text, "\n{}", words::FACES);
    } else if !imported.points.is_empty() {
        let _ = writeln!(text, "\n{}", words::NO_FACES);
    }
    for (name, area, numbers) in faces {
        let names: Vec<String> = numbers.iter().map(|at| format!("\"P{}\"", at + 1)).collect();
        let _ = write!(
            text,
            "\n[[face]] {}\nname = {}\npoints = [{}]\n",
            words::area(area),
            quoted(name),
            names.join(", ")
        );
    }
    text
}

/// A number with all its digits but those that only the taking off of an origin has made.
fn number_text(value: f64) -> String {
    number((value * 1e9).round() / 1e9)
}
