//! Drawings as PDF, through krilla: a page for each, at its exact size, fonts embedded, text selectable, tagged for readers who
//! hear it. No date or other
//! circumstance goes in: same drawings, same bytes.

use super::palette;
use super::pdf_tags::{self, Told};
use crate::drawing::typeset::lettering::CAPITALS;
use crate::drawing::typeset::model::{Role, TextSpan};
use crate::drawing::{Anchor, Drawing, Item, Pen, Photo, Text};
use krilla::Document;
use krilla::color::rgb;
use krilla::destination::XyzDestination;
use krilla::geom::{Path, PathBuilder, Point, Size, Transform};
use krilla::image::Image;
use krilla::metadata::Metadata;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::{Artifact, ArtifactType, ContentTag};
use krilla::text::{Font, GlyphId, KrillaGlyph};
use nalgebra::Point2;
use skrifa::charmap::Charmap;
use skrifa::instance::{LocationRef, Size as LetterSize};
use skrifa::metrics::GlyphMetrics;
use skrifa::{FontRef, MetadataProvider};
use std::ops::Range;

/// Liberation Sans 2.1.5, SIL Open Font License 1.1 (`fonts/OFL.txt`).
const REGULAR: &[u8] = include_bytes!("fonts/LiberationSans-Regular.ttf");
const BOLD: &[u8] = include_bytes!("fonts/LiberationSans-Bold.ttf");
/// Points of 1/72 inch in a millimetre.
const POINTS: f64 = 72.0 / 25.4;

/// Why no PDF came out: nothing a user's roof can cause, unless a page has no size or a photo is no JPEG.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("the PDF could not be put together: {0}")]
pub struct PdfError(String);

/// Lettering of one weight: the font for the page and its tables for looking up letters.
struct Face {
    font: Font,
    letters: Charmap<'static>,
    widths: GlyphMetrics<'static>,
}

impl Face {
    fn new(data: &'static [u8]) -> Result<Self, PdfError> {
        let font = Font::new(data.into(), 0).ok_or_else(|| PdfError("embedded font unreadable".to_owned()))?;
        let tables = FontRef::new(data).map_err(|error| PdfError(error.to_string()))?;
        // At size one a width is a share of the letter size.
        let widths = tables.glyph_metrics(LetterSize::new(1.0), LocationRef::default());
        Ok(Self { font, letters: tables.charmap(), widths })
    }

    /// One glyph for each letter at its own width, so that lettering takes the very room that was reserved for it.
    fn glyphs(&self, words: &str) -> Vec<KrillaGlyph> {
        words
            .char_indices()
            .map(|(start, letter)| {
                let id = self.letters.map(letter).unwrap_or_default();
                let known = id != skrifa::GlyphId::NOTDEF;
                let advance = self.widths.advance_width(id).filter(|_| known).unwrap_or(1.0);
                let range = start..start + letter.len_utf8();
                KrillaGlyph::new(GlyphId::new(id.to_u32()), advance, 0.0, 0.0, 0.0, range, None)
            })
            .collect()
    }
}

/// Writes drawings as the pages of one document. O(ink).
///
/// # Errors
/// [`PdfError`] when a page has no size, or a font or a photo cannot be embedded.
pub fn pdf(drawings: &[Drawing], title: &str) -> Result<Vec<u8>, PdfError> {
    let mut document = Document::new();
    let mut told: Vec<Told> = Vec::new();
    let faces = [Face::new(REGULAR)?, Face::new(BOLD)?];
    let mut outline = Outline::new();
    for (index, drawing) in drawings.iter().enumerate() {
        let [width, height] = drawing.size;
        let size = Size::from_wh(single(width * POINTS), single(height * POINTS))
            .ok_or_else(|| PdfError(format!("page {width} x {height} mm, expected a size above 0")))?;
        let mut page = document.start_page_with(PageSettings::new(size));
        let mut surface = page.surface();
        // Millimetres from here on; y is turned over where points are made.
        surface.push_transform(&Transform::from_scale(single(POINTS), single(POINTS)));
        let whole = [TextSpan { items: 0..drawing.items.len(), role: Role::Figure(drawing.title.clone()), number: 0 }];
        let stretches = if drawing.stretches.is_empty() { &whole[..] } else { &drawing.stretches };
        let mut ink = |surface: &mut Surface<'_>, items: Range<usize>| {
            drawing.items[items].iter().try_for_each(|item| draw(surface, item, height, &faces))
        };
        let mut at = 0;
        for stretch in stretches {
            unread(&mut surface, at..stretch.items.start, &mut ink)?;
            let id = surface.start_tagged(ContentTag::Other);
            ink(&mut surface, stretch.items.clone())?;
            surface.end_tagged();
            pdf_tags::tell(&mut told, stretch, index, id);
            at = stretch.items.end;
        }
        unread(&mut surface, at..drawing.items.len(), &mut ink)?;
        surface.pop();
        surface.finish();
        page.finish();
        let top = XyzDestination::new(index, Point::from_xy(0.0, 0.0));
        outline.push_child(OutlineNode::new(drawing.title.clone(), top));
    }
    document.set_outline(outline);
    document.set_tag_tree(pdf_tags::tree(told));
    document.set_metadata(
        Metadata::new().title(title.to_owned()).creator("eavewright".to_owned()).language("en".to_owned()),
    );
    document.finish().map_err(|error| PdfError(format!("{error:?}")))
}

/// What is not read out: frames, running heads, page numbers.
fn unread(
    surface: &mut Surface<'_>,
    items: Range<usize>,
    ink: &mut impl FnMut(&mut Surface<'_>, Range<usize>) -> Result<(), PdfError>,
) -> Result<(), PdfError> {
    if items.is_empty() {
        return Ok(());
    }
    surface.start_tagged(ContentTag::Artifact(Artifact::with_kind(ArtifactType::Layout)));
    ink(surface, items)?;
    surface.end_tagged();
    Ok(())
}

/// To the precision of the page description; a page is far smaller than what it can tell apart.
#[allow(clippy::cast_possible_truncation)]
fn single(value: f64) -> f32 {
    value as f32
}

fn draw(surface: &mut Surface<'_>, item: &Item, height: f64, faces: &[Face; 2]) -> Result<(), PdfError> {
    match item {
        Item::Area { tone, rings } => {
            let Some(colour) = palette::tone(*tone) else { return Ok(()) };
            let closed = rings.iter().map(|ring| (ring.as_slice(), true));
            let Some(path) = path(closed, height) else { return Ok(()) };
            surface.set_stroke(None);
            surface.set_fill(Some(Fill { paint: paint(colour).into(), rule: FillRule::EvenOdd, ..Fill::default() }));
            surface.draw_path(&path);
        }
        Item::Line { pen, points, closed } => {
            let Some(path) = path(std::iter::once((points.as_slice(), *closed)), height) else { return Ok(()) };
            surface.set_fill(None);
            surface.set_stroke(Some(stroke(*pen)));
            surface.draw_path(&path);
        }
        Item::Text(text) => letter(surface, text, height, &faces[usize::from(text.bold)]),
        Item::Photo(photo) => return picture(surface, photo, height),
    }
    Ok(())
}

/// A photo, its JPEG data taken over as they are.
fn picture(surface: &mut Surface<'_>, photo: &Photo, height: f64) -> Result<(), PdfError> {
    let image =
        Image::from_jpeg(photo.jpeg.to_vec().into(), true).map_err(|error| PdfError(format!("photo: {error}")))?;
    let [wide, high] = photo.size;
    let size = Size::from_wh(single(wide), single(high))
        .ok_or_else(|| PdfError(format!("photo {wide} x {high} mm, expected a size above 0")))?;
    surface.push_transform(&Transform::from_translate(single(photo.low.x), single(height - photo.low.y - high)));
    surface.draw_image(image, size);
    surface.pop();
    Ok(())
}

fn paint(colour: palette::Colour) -> rgb::Color {
    rgb::Color::new(colour[0], colour[1], colour[2])
}

fn stroke(pen: Pen) -> Stroke {
    let pattern = pen.pattern();
    let dash = (!pattern.is_empty())
        .then(|| StrokeDash { array: pattern.iter().map(|&length| single(length)).collect(), offset: 0.0 });
    Stroke {
        paint: paint(palette::ink(pen)).into(),
        width: single(pen.weight()),
        line_join: LineJoin::Round,
        dash,
        ..Stroke::default()
    }
}

fn path<'a>(rings: impl Iterator<Item = (&'a [Point2<f64>], bool)>, height: f64) -> Option<Path> {
    let mut builder = PathBuilder::new();
    for (points, closed) in rings {
        for (index, point) in points.iter().enumerate() {
            let (x, y) = (single(point.x), single(height - point.y));
            if index == 0 { builder.move_to(x, y) } else { builder.line_to(x, y) }
        }
        if closed {
            builder.close();
        }
    }
    builder.finish()
}

fn letter(surface: &mut Surface<'_>, text: &Text, height: f64, face: &Face) {
    if text.words.is_empty() {
        return;
    }
    let start = match text.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -text.width() / 2.0,
        Anchor::End => -text.width(),
    };
    surface.set_stroke(None);
    surface.set_fill(Some(Fill { paint: paint(palette::INK).into(), ..Fill::default() }));
    let place = Transform::from_translate(single(text.at.x), single(height - text.at.y));
    surface.push_transform(&place);
    surface.push_transform(&Transform::from_rotate(single(-text.angle.to_degrees())));
    let glyphs = face.glyphs(&text.words);
    let size = single(text.height / CAPITALS);
    surface.draw_glyphs(Point::from_xy(single(start), 0.0), &glyphs, face.font.clone(), &text.words, size, false);
    surface.pop();
    surface.pop();
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used)]
    use super::*;
    use crate::drawing::typeset::lettering;

    #[test]
    fn widths_placed_by_are_the_fonts_own() {
        for (bold, data) in [(false, REGULAR), (true, BOLD)] {
            let face = Face::new(data).unwrap();
            let letters: String =
                (' '..='~').chain('\u{a1}'..='\u{17f}').chain(['°', '²', '±', '×', '→', '–', 'Ж', 'λ']).collect();
            for letter in letters.chars() {
                let words = letter.to_string();
                let drawn = f64::from(face.glyphs(&words)[0].x_advance) / CAPITALS;
                let placed = lettering::width(&words, 1.0, bold);
                assert!((drawn - placed).abs() < 1e-6, "{letter}: {drawn} drawn, {placed} placed");
            }
        }
    }
}
