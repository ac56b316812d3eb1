//! Where pages of a document stand while they are being set: the page, the height reached, the column, the size of letters.

use super::document::Document;
use super::lettering::SMALL;
use super::model::{Anchor, Drawing, Role, Text};
use super::paper::PaperSize;
use super::pen::Pen;
use super::table_set;
use nalgebra::Point2;

/// Margin left and right, millimetres.
pub const SIDE: f64 = 15.0;
/// From the upper edge of a page that goes on to what it holds, millimetres.
pub(super) const TOP: f64 = 22.0;
/// From the lower edge of a page to what it holds, millimetres.
pub(super) const BOTTOM: f64 = 16.0;
/// Between columns, and between figures abreast, millimetres.
pub const GAP: f64 = 6.0;
/// So much of a page is filled before another is begun without need.
const FILLED: f64 = 0.36;

/// Width of the text on a sheet, millimetres.
#[must_use]
pub(crate) fn text_width(sheet: PaperSize) -> f64 {
    sheet.width - 2.0 * SIDE
}

/// A document while it is being set.
pub(super) struct Setter<'a> {
    pub(super) document: &'a Document,
    pub(super) sheet: PaperSize,
    pub(super) pages: Vec<Drawing>,
    /// Where the next thing hangs from.
    pub(super) y: f64,
    /// Left end and width of the column that is being set.
    pub(super) left: f64,
    pub(super) width: f64,
    /// Height of capitals of what is being set.
    pub(super) size: f64,
    /// Paragraphs, cells, figures … set so far: each has a number of its own.
    things: usize,
    /// Numbers of things that begin a page.
    pub(super) breaks: Vec<usize>,
}

impl<'a> Setter<'a> {
    /// Before its first page, in small letters over the whole width.
    pub(super) fn new(document: &'a Document, sheet: PaperSize, pages: Vec<Drawing>) -> Self {
        let width = text_width(sheet);
        Self { document, sheet, pages, y: 0.0, left: SIDE, width, size: SMALL, things: 0, breaks: Vec::new() }
    }
}
impl Setter<'_> {
    pub(super) fn open_page(&mut self) {
        let number = self.pages.len() + 1;
        let title = format!("{}, page {number}", self.document.kind);
        let mut page = Drawing::new(format!("page-{number}"), title, [self.sheet.width, self.sheet.height]);
        let (left, right) = (SIDE, self.sheet.width - SIDE);
        let top = self.sheet.height - 12.0;
        if number > 1 {
            let room = (right - left) * 0.6;
            let job = super::frame::shorten(&self.document.title, SMALL, true, room);
            page.text(Text::new(Point2::new(left, top), job).bold());
            let kind = Text::new(Point2::new(right, top), self.document.kind.clone());
            page.text(kind.anchored(Anchor::End));
            page.line(Pen::Rule, Point2::new(left, top - 2.4), Point2::new(right, top - 2.4));
        }
        let foot = 9.0;
        page.line(Pen::Rule, Point2::new(left, foot + 4.6), Point2::new(right, foot + 4.6));
        if let Some(date) = &self.document.date {
            page.text(Text::new(Point2::new(left, foot), date.clone()));
        }
        page.page_slot = Some(Text::new(Point2::new(right, foot), "").anchored(Anchor::End));
        self.pages.push(page);
        self.y = self.sheet.height - if number > 1 { TOP } else { 14.0 };
    }

    pub(super) fn page(&mut self) -> &mut Drawing {
        if self.pages.is_empty() {
            self.open_page();
        }
        let last = self.pages.len() - 1;
        &mut self.pages[last]
    }

    /// A number for the next thing.
    pub(super) fn thing(&mut self) -> usize {
        self.things += 1;
        self.things
    }

    /// Starts a page where the thing of the next number is to begin one.
    pub(super) fn break_here(&mut self) {
        if self.is_break() {
            self.open_page();
        }
    }

    /// Whether the thing of the next number is to begin a page.
    pub(super) fn is_break(&self) -> bool {
        // Columns side by side stay on one page.
        let is_whole = self.width >= text_width(self.sheet);
        is_whole && self.breaks.contains(&(self.things + 1)) && !self.is_at_top()
    }

    /// Letters a line that is part of a thing.
    pub(super) fn format(&mut self, text: Text, role: Role, number: usize) {
        let page = self.page();
        let start = page.items.len();
        page.text(text);
        page.mark(start, role, number);
    }

    pub(super) fn room(&self) -> f64 {
        self.y - BOTTOM
    }

    pub(super) fn is_at_top(&self) -> bool {
        self.y > self.sheet.height - TOP - 1.0
    }

    /// From baseline to baseline.
    pub(super) fn line(&self) -> f64 {
        table_set::leading(self.size)
    }

    /// Starts a page, unless the one before would be left nearly blank.
    pub(super) fn end_page(&mut self) {
        let filled = (self.sheet.height - TOP - self.y) / (self.sheet.height - TOP - BOTTOM);
        if filled >= FILLED {
            self.open_page();
        }
    }

    /// Starts a page unless this much room is left.
    pub(super) fn need(&mut self, height: f64) {
        if self.room() < height && !self.is_at_top() {
            self.open_page();
        }
    }
}
