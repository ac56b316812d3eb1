//! Sets a document onto pages: what the PDF is made of.

use super::document::{Block, Document};
use super::file_names::number_pages;
use super::fill;
use super::lettering::{self, ON_SITE};
use super::model::{Drawing, Role, Text};
use super::paper::PaperSize;
use super::pen::Pen;
pub(crate) use super::setter::text_width;
use super::setter::{BOTTOM, Setter, TOP};
pub use super::setter::{GAP, SIDE};
use super::table_set::{lines, natural_widths};
use nalgebra::Point2;

/// Most height a figure may take on a sheet, millimetres.
#[must_use]
pub(crate) fn figure_height(sheet: PaperSize) -> f64 {
    sheet.height - TOP - BOTTOM - 14.0
}

/// The pages of a document, upright. O(text).
#[must_use]
pub fn pages(document: &Document, sheet: PaperSize) -> Vec<Drawing> {
    let mut pages = fill::filled(sheet, |breaks| set(document, sheet, breaks));
    number_pages(&mut pages);
    pages
}

/// Sets a document; the things of these numbers begin a page. O(text).
fn set(document: &Document, sheet: PaperSize, breaks: &[usize]) -> Vec<Drawing> {
    let mut setter = Setter::new(document, sheet, Vec::new());
    setter.breaks = breaks.to_vec();
    setter.open_page();
    setter.title();
    setter.blocks(&document.blocks);
    setter.pages
}

/// The height parts of a document take over the whole width, as if pages never ended, millimetres. O(text).
#[must_use]
pub fn height(document: &Document, sheet: PaperSize) -> f64 {
    Setter::new(document, sheet, Vec::new()).height_of(&document.blocks, text_width(sheet))
}

/// The room that the parts of a document leave on its first page, millimetres; negative where they need more than it has.
#[must_use]
pub(crate) fn left_on_first(document: &Document, sheet: PaperSize) -> f64 {
    let mut setter = Setter::new(document, sheet, Vec::new());
    setter.open_page();
    setter.title();
    setter.room() - height(document, sheet)
}

impl Setter<'_> {
    fn title(&mut self) {
        let (title, kind) = (self.document.title.clone(), self.document.kind.clone());
        let number = self.thing();
        for line in lettering::wrap(&title, 5.5, true, self.width) {
            self.y -= 8.5;
            let at = Point2::new(SIDE, self.y);
            self.format(Text::new(at, line).height(5.5).bold(), Role::Heading(1), number);
        }
        self.y -= 6.5;
        let (at, number) = (Point2::new(SIDE, self.y), self.thing());
        self.format(Text::new(at, kind).height(3.2), Role::Paragraph, number);
        self.y -= 3.0;
        let (from, to) = (Point2::new(SIDE, self.y), Point2::new(self.sheet.width - SIDE, self.y));
        self.page().line(Pen::Frame, from, to);
        self.y -= 3.0;
    }

    fn blocks(&mut self, blocks: &[Block]) {
        for (index, block) in blocks.iter().enumerate() {
            self.block(block, &blocks[index + 1..]);
        }
    }

    fn block(&mut self, block: &Block, next: &[Block]) {
        match block {
            Block::Heading(level, words) => self.heading(*level, words, next),
            Block::Text(words) => self.paragraph(words, 0.0, ""),
            Block::Caution(words) => self.caution(words),
            Block::Stop(points) => self.stop(points),
            Block::List(points) => points.iter().for_each(|point| self.paragraph(point, 4.5, "•")),
            Block::Steps(steps) => {
                for (index, step) in steps.iter().enumerate() {
                    self.titled(&step.title, &step.text, 7.0, &format!("{}.", index + 1));
                }
            }
            Block::Checks(points) => points.iter().for_each(|point| self.paragraph(point, 6.0, "□")),
            Block::Table(table) => self.table(table),
            Block::Figure(drawing, caption) => self.figure(drawing, caption),
            Block::Figures(figures) => self.figures(figures),
            Block::Columns(columns) => self.columns(columns),
            Block::OnSite(blocks) => {
                let size = std::mem::replace(&mut self.size, ON_SITE);
                self.blocks(blocks);
                self.size = size;
            }
            Block::Page => self.end_page(),
        }
    }

    fn heading(&mut self, level: u8, words: &str, next: &[Block]) {
        self.break_here();
        let (height, before) = if level <= 1 { (4.2, 9.0) } else { (3.1, 6.5) };
        // A heading stays with what it heads.
        let below = self.start_of(next);
        self.need((before + height + below).min(self.sheet.height - TOP - BOTTOM));
        let number = self.thing();
        for line in lines(words, height, true, self.width) {
            self.y -= if self.is_at_top() { height + 1.5 } else { before };
            let at = Point2::new(self.left, self.y);
            self.format(Text::new(at, line).height(height).bold(), Role::Heading(level + 1), number);
        }
        self.y -= 2.0;
    }

    /// The height of what must stand with a heading: the beginning of what follows it.
    fn start_of(&self, next: &[Block]) -> f64 {
        match next {
            // A bar of scale without a caption stays with the figures it is for.
            [Block::Figure(bar, caption), Block::Figures(figures), ..] if caption.is_empty() => {
                bar.size[1] + figures.first().map_or(0.0, |(drawing, _)| drawing.size[1]) + 16.0
            }
            [Block::Figure(drawing, _), ..] => drawing.size[1] + 10.0,
            [Block::Figures(figures), ..] => figures.first().map_or(0.0, |(drawing, _)| drawing.size[1] + 10.0),
            [Block::Columns(columns), ..] => self.columns_height(columns).min(self.sheet.height / 2.0),
            [Block::Caution(words), ..] => self.caution_height(words) + 4.0,
            [Block::Stop(points), ..] => self.stop_height(points) + 4.0,
            [Block::Table(table), ..] => self.table_start(table) + 6.0,
            [Block::Text(words), ..] => self.paragraph_start(Some(words), 0.0),
            [Block::List(points), ..] => self.paragraph_start(points.first(), 4.5),
            [Block::Checks(points), ..] => self.paragraph_start(points.first(), 6.0),
            [Block::OnSite(blocks), rest @ ..] => {
                if blocks.is_empty() {
                    return self.start_of(rest);
                }
                let mut large = Setter::new(self.document, self.sheet, Vec::new());
                (large.size, large.width) = (ON_SITE, self.width);
                large.start_of(blocks)
            }
            [_, ..] => 24.0,
            [] => 10.0,
        }
    }

    /// Widths of columns side by side: each as wide as its widest table or drawing wants, what is left shared among columns
    /// of words alone, or where there are none among all; equal where they want more than there is.
    fn column_widths(&self, columns: &[Vec<Block>]) -> Vec<f64> {
        // Narrower than this words are hard to read, millimetres.
        const LEAST: f64 = 50.0;
        let room = self.width - GAP * (columns.len() as f64 - 1.0);
        let equal = vec![room / columns.len() as f64; columns.len()];
        let wanted: Vec<Option<f64>> =
            columns.iter().map(|column| widths_of(column, self.size).into_iter().reduce(f64::max)).collect();
        let of_words = wanted.iter().filter(|width| width.is_none()).count();
        let left = room - wanted.iter().flatten().sum::<f64>();
        if left < 0.0 || left < LEAST * of_words as f64 {
            return equal;
        }
        let more = if of_words == 0 { left / columns.len() as f64 } else { 0.0 };
        wanted.into_iter().map(|width| width.map_or(left / of_words as f64, |width| width + more)).collect()
    }

    /// The height of the tallest of columns side by side, by setting each on a page that never ends.
    fn columns_height(&self, columns: &[Vec<Block>]) -> f64 {
        let height = |(column, width): (&Vec<Block>, f64)| self.height_of(column, width);
        columns.iter().zip(self.column_widths(columns)).map(height).fold(0.0, f64::max)
    }

    /// The height of parts at a width.
    fn height_of(&self, blocks: &[Block], width: f64) -> f64 {
        let sheet = PaperSize { height: 1e6, ..self.sheet };
        let pages = vec![Drawing::new("measure", "measure", [sheet.width, sheet.height])];
        let top = sheet.height / 2.0;
        let mut setter = Setter::new(self.document, sheet, pages);
        (setter.y, setter.left, setter.width, setter.size) = (top, self.left, width, self.size);
        setter.blocks(blocks);
        top - setter.y
    }

    /// Columns that fit a page are kept together; those that are taller, or so narrow that they would be shorter one after
    /// the other, are set over the whole width.
    fn columns(&mut self, columns: &[Vec<Block>]) {
        let height = self.columns_height(columns);
        let one_by_one: f64 = columns.iter().map(|column| self.height_of(column, self.width)).sum();
        if height > (self.sheet.height - TOP - BOTTOM).min(one_by_one) {
            for column in columns {
                self.blocks(column);
            }
            return;
        }
        self.need(height);
        let (top, left, width) = (self.y, self.left, self.width);
        let mut lowest = top;
        for (column, column_width) in columns.iter().zip(self.column_widths(columns)) {
            (self.y, self.width) = (top, column_width);
            self.blocks(column);
            lowest = lowest.min(self.y);
            self.left += column_width + GAP;
        }
        (self.y, self.left, self.width) = (lowest, left, width);
    }
}

/// Widths that tables and drawings among parts wish for.
fn widths_of(blocks: &[Block], size: f64) -> Vec<f64> {
    let of = |block: &Block| match block {
        Block::Table(table) => vec![natural_widths(table, size).iter().sum()],
        Block::Figure(drawing, _) => vec![drawing.size[0]],
        Block::OnSite(blocks) => widths_of(blocks, ON_SITE),
        _ => Vec::new(),
    };
    blocks.iter().flat_map(of).collect()
}
