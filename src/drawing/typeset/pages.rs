//! Sets a document onto pages: what the PDF is made of.

use super::document::{Align, Block, Document, Table};
use super::file_names::number_pages;
use super::fill;
use super::lettering::{self, SMALL};
use super::model::{Anchor, Drawing, Role, Text};
use super::paper::PaperSize;
use super::pen::{Pen, Tone};
use super::table_set::{
    CELL, LINE, column_widths, head_cells, lines, lines_after, natural_widths, row_cells, row_height,
};
use nalgebra::Point2;

/// Margin left and right, millimetres.
pub const SIDE: f64 = 15.0;
const TOP: f64 = 22.0;
const BOTTOM: f64 = 16.0;
/// Height of a line that heads the rows below it.
const SECTION: f64 = 7.0;
/// Between the side of a caution and its text.
const INSET: f64 = 4.0;
/// Height of a row to write in.
const FORM: f64 = 7.0;
/// Between columns, and between figures abreast, millimetres.
pub const GAP: f64 = 6.0;

/// Width of the text on a sheet, millimetres.
#[must_use]
pub(crate) fn text_width(sheet: PaperSize) -> f64 {
    sheet.width - 2.0 * SIDE
}

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

/// The room a first page leaves below its title for parts that take so much, millimetres.
#[must_use]
pub(crate) fn left_on_first(sheet: PaperSize, taken: f64) -> f64 {
    // Title and kind of document take some 22 mm.
    sheet.height - 14.0 - 22.0 - BOTTOM - taken
}

/// The height of a caution of so many lines, its own word above them included.
fn caution_height(lines: usize) -> f64 {
    (lines + 1) as f64 * LINE + 4.0
}

struct Setter<'a> {
    document: &'a Document,
    sheet: PaperSize,
    pages: Vec<Drawing>,
    /// Where the next thing hangs from.
    y: f64,
    /// Left end and width of the column that is being set.
    left: f64,
    width: f64,
    /// Paragraphs, cells, figures … set so far: each has a number of its own.
    things: usize,
    /// Numbers of things that begin a page.
    breaks: Vec<usize>,
}

impl<'a> Setter<'a> {
    fn new(document: &'a Document, sheet: PaperSize, pages: Vec<Drawing>) -> Self {
        let width = text_width(sheet);
        Self { document, sheet, pages, y: 0.0, left: SIDE, width, things: 0, breaks: Vec::new() }
    }
}

impl Setter<'_> {
    fn open_page(&mut self) {
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

    fn page(&mut self) -> &mut Drawing {
        if self.pages.is_empty() {
            self.open_page();
        }
        let last = self.pages.len() - 1;
        &mut self.pages[last]
    }

    /// A number for the next thing.
    fn thing(&mut self) -> usize {
        self.things += 1;
        self.things
    }

    /// Starts a page where the thing of the next number is to begin one.
    fn break_here(&mut self) {
        // Columns side by side stay on one page.
        let is_whole = self.width >= text_width(self.sheet);
        if is_whole && self.breaks.contains(&(self.things + 1)) && !self.is_at_top() {
            self.open_page();
        }
    }

    /// Letters a line that is part of a thing.
    fn format(&mut self, text: Text, role: Role, number: usize) {
        let page = self.page();
        let start = page.items.len();
        page.text(text);
        page.mark(start, role, number);
    }

    fn room(&self) -> f64 {
        self.y - BOTTOM
    }

    fn is_at_top(&self) -> bool {
        self.y > self.sheet.height - TOP - 1.0
    }

    /// Starts a page unless this much room is left.
    fn need(&mut self, height: f64) {
        if self.room() < height && !self.is_at_top() {
            self.open_page();
        }
    }

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
        }
    }

    fn heading(&mut self, level: u8, words: &str, next: &[Block]) {
        self.break_here();
        let (height, before) = if level <= 1 { (4.2, 9.0) } else { (3.1, 6.5) };
        // A heading stays with what it heads.
        let below = match next {
            // A bar of scale without a caption stays with the figures it is for.
            [Block::Figure(bar, caption), Block::Figures(figures), ..] if caption.is_empty() => {
                bar.size[1] + figures.first().map_or(0.0, |(drawing, _)| drawing.size[1]) + 16.0
            }
            [Block::Figure(drawing, _), ..] => drawing.size[1] + 10.0,
            [Block::Figures(figures), ..] => figures.first().map_or(0.0, |(drawing, _)| drawing.size[1] + 10.0),
            [Block::Columns(columns), ..] => self.columns_height(columns).min(self.sheet.height / 2.0),
            [Block::Caution(words), ..] => caution_height(self.caution_lines(words).len()) + 4.0,
            [Block::Table(table), ..] => self.table_start(table) + 6.0,
            [_, ..] => 24.0,
            [] => 10.0,
        };
        self.need((before + height + below).min(self.sheet.height - TOP - BOTTOM));
        let number = self.thing();
        for line in lines(words, height, true, self.width) {
            self.y -= if self.is_at_top() { height + 1.5 } else { before };
            let at = Point2::new(self.left, self.y);
            self.format(Text::new(at, line).height(height).bold(), Role::Heading(level + 1), number);
        }
        self.y -= 2.0;
    }

    fn paragraph(&mut self, words: &str, indent: f64, mark: &str) {
        self.titled("", words, indent, mark);
    }

    /// A paragraph whose first words, its title, stand out.
    fn titled(&mut self, title: &str, words: &str, indent: f64, mark: &str) {
        self.break_here();
        let number = self.thing();
        let room = self.width - indent;
        let lead = if title.is_empty() { 0.0 } else { lettering::width(&format!("{title}: "), SMALL, true) };
        let lines = lines_after(words, SMALL, false, [room - lead, room]);
        // A short paragraph is not parted.
        if lines.len() <= 4 {
            self.need(lines.len() as f64 * LINE + 1.0);
        }
        for (index, line) in lines.into_iter().enumerate() {
            self.need(LINE + 1.0);
            self.y -= LINE;
            let (left, y) = (self.left, self.y);
            if index == 0 && !mark.is_empty() {
                self.format(Text::new(Point2::new(left, y), mark), Role::Paragraph, number);
            }
            let lead = if index == 0 { lead } else { 0.0 };
            if lead > 0.0 {
                let title = Text::new(Point2::new(left + indent, y), format!("{title}: ")).bold();
                self.format(title, Role::Paragraph, number);
            }
            self.format(Text::new(Point2::new(left + indent + lead, y), line), Role::Paragraph, number);
        }
        self.y -= 1.4;
    }

    fn caution(&mut self, words: &str) {
        self.break_here();
        let inset = INSET;
        let lines = self.caution_lines(words);
        let height = caution_height(lines.len());
        self.need(height + 2.0);
        self.y -= 2.0;
        let (left, right) = (self.left, self.left + self.width);
        let (top, bottom) = (self.y, self.y - height);
        let ring = |l: f64, r: f64| {
            vec![Point2::new(l, bottom), Point2::new(r, bottom), Point2::new(r, top), Point2::new(l, top)]
        };
        self.page().area(Tone::Caution, vec![ring(left, right)]);
        self.page().area(Tone::Ink, vec![ring(left, left + 1.2)]);
        let mut y = top - 1.2;
        y -= LINE;
        let number = self.thing();
        self.format(Text::new(Point2::new(left + inset, y), "Caution").bold(), Role::Paragraph, number);
        for line in lines {
            y -= LINE;
            self.format(Text::new(Point2::new(left + inset, y), line), Role::Paragraph, number);
        }
        self.y = bottom - 2.4;
    }

    fn figure(&mut self, drawing: &Drawing, caption: &str) {
        self.break_here();
        let [width, height] = drawing.size;
        self.need(height + 9.0);
        let left = self.left + (self.width - width) / 2.0;
        self.y -= height + 1.0;
        let at = Point2::new(left, self.y);
        self.picture(drawing, at);
        if !caption.is_empty() {
            self.y -= LINE + 0.4;
            let room = self.width;
            let at = Point2::new(self.left, self.y);
            let caption = super::frame::shorten(caption, SMALL, true, room);
            let number = self.thing();
            self.format(Text::new(at, caption).bold(), Role::Paragraph, number);
        }
        self.y -= 3.0;
    }

    /// Sets a drawing, read out as its title.
    fn picture(&mut self, drawing: &Drawing, at: Point2<f64>) {
        let number = self.thing();
        let page = self.page();
        let start = page.items.len();
        page.inset(drawing, at);
        page.mark(start, Role::Figure(drawing.title.clone()), number);
    }

    /// Drawings in rows, each row as full as the width allows and set in its middle.
    fn figures(&mut self, figures: &[(Drawing, String)]) {
        let mut rest = figures;
        while let Some((first, _)) = rest.first() {
            let mut width = first.size[0];
            let mut count = 1;
            while let Some((next, _)) = rest.get(count).filter(|(next, _)| width + GAP + next.size[0] <= self.width) {
                width += GAP + next.size[0];
                count += 1;
            }
            let (row, after) = rest.split_at(count);
            self.figure_row(row, width);
            rest = after;
        }
    }

    fn figure_row(&mut self, row: &[(Drawing, String)], width: f64) {
        self.break_here();
        // What the row leaves is shared among its captions.
        let spare = (self.width - width).max(0.0) / row.len() as f64;
        let caption = |(drawing, caption): &(Drawing, String)| {
            lines(caption, SMALL, true, drawing.size[0] + spare - if row.len() > 1 { 2.0 } else { 0.0 })
        };
        let captions: Vec<Vec<String>> = row.iter().map(caption).collect();
        let lines = captions.iter().map(Vec::len).max().unwrap_or(0) as f64;
        let height = row.iter().map(|(drawing, _)| drawing.size[1]).fold(0.0, f64::max);
        self.need(height + lines * LINE + 5.0);
        let top = self.y - 1.0;
        let mut left = self.left;
        for ((drawing, _), caption) in row.iter().zip(captions) {
            let at = Point2::new(left + spare / 2.0, top - drawing.size[1]);
            self.picture(drawing, at);
            let number = self.thing();
            for (index, line) in caption.into_iter().enumerate() {
                let at = Point2::new(left, top - height - 0.4 - LINE * (index as f64 + 1.0));
                self.format(Text::new(at, line).bold(), Role::Paragraph, number);
            }
            left += drawing.size[0] + spare + GAP;
        }
        self.y = top - height - 0.4 - lines * LINE - 3.6;
    }

    /// Widths of columns side by side: each as wide as its widest table wants, what is left shared; equal where they want
    /// more than there is.
    fn column_widths(&self, columns: &[Vec<Block>]) -> Vec<f64> {
        let room = self.width - GAP * (columns.len() as f64 - 1.0);
        let share = room / columns.len() as f64;
        let wanted = |column: &Vec<Block>| {
            let tables =
                column.iter().filter_map(|block| if let Block::Table(table) = block { Some(table) } else { None });
            // A column without a table has no wish.
            tables.map(|table| natural_widths(table).iter().sum::<f64>()).reduce(f64::max).unwrap_or(share)
        };
        let wanted: Vec<f64> = columns.iter().map(wanted).collect();
        let spare = (room - wanted.iter().sum::<f64>()) / columns.len() as f64;
        if spare < 0.0 { vec![share; columns.len()] } else { wanted.iter().map(|width| width + spare).collect() }
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
        let mut setter = Setter { y: top, left: self.left, width, ..Setter::new(self.document, sheet, pages) };
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

    fn caution_lines(&self, words: &str) -> Vec<String> {
        lines(words, SMALL, false, self.width - 2.0 * INSET)
    }

    /// The height of a table's head and what stands with it: at least two rows, and what heads them.
    fn table_start(&self, table: &Table) -> f64 {
        let widths = column_widths(table, self.width);
        let (head, rows) = (head_cells(table, &widths), row_cells(table, &widths));
        let first: f64 = rows.iter().take(2).map(|(row, _)| row_height(row)).sum();
        let sections = table.sections.iter().filter(|(at, _)| *at < 2).count();
        row_height(&head) + first + sections as f64 * SECTION
    }

    fn table(&mut self, table: &Table) {
        self.break_here();
        let widths = column_widths(table, self.width);
        let (head, rows) = (head_cells(table, &widths), row_cells(table, &widths));
        self.y -= 1.5;
        let number = self.thing();
        self.need(self.table_start(table));
        self.table_row(&head, &widths, table, true, (number, true));
        for (index, (row, bold)) in rows.iter().enumerate() {
            let sections: Vec<&String> =
                table.sections.iter().filter(|(at, _)| *at == index).map(|(_, words)| words).collect();
            let row_room = row_height(row).max(if table.form { FORM } else { 0.0 });
            if self.room() < row_room + sections.len() as f64 * SECTION {
                self.open_page();
                self.table_row(&head, &widths, table, true, (number, true));
            }
            for words in sections {
                self.y -= SECTION;
                let at = Point2::new(self.left + CELL, self.y + 1.4);
                let words = super::frame::shorten(words, SMALL, true, widths.iter().sum());
                let (row, cell) = (self.thing(), self.thing());
                self.format(Text::new(at, words).bold(), Role::Cell { table: number, row, head: true }, cell);
            }
            self.table_row(row, &widths, table, *bold, (number, false));
        }
        self.y -= 3.0;
    }

    /// `place`: the table's number and whether the row heads it.
    fn table_row(&mut self, row: &[Vec<String>], widths: &[f64], table: &Table, bold: bool, place: (usize, bool)) {
        let (number, head) = place;
        let row_number = self.thing();
        let height = row_height(row).max(if table.form && !head { FORM } else { 0.0 });
        let (top, bottom) = (self.y, self.y - height);
        let total: f64 = widths.iter().sum();
        if head {
            let right = self.left + total;
            let corners = [(self.left, bottom), (right, bottom), (right, top), (self.left, top)];
            let ring = corners.map(|(x, y)| Point2::new(x, y)).to_vec();
            self.page().area(Tone::Head, vec![ring]);
        }
        let mut left = self.left;
        for ((lines, width), (_, align)) in row.iter().zip(widths).zip(&table.heads) {
            let cell = self.thing();
            for (index, line) in lines.iter().enumerate() {
                let y = top - 0.9 - LINE * (index as f64 + 1.0) + 0.9;
                let text = match align {
                    Align::Left => Text::new(Point2::new(left + CELL, y), line.clone()),
                    Align::Right => Text::new(Point2::new(left + width - CELL, y), line.clone()).anchored(Anchor::End),
                };
                let text = if bold { text.bold() } else { text };
                self.format(text, Role::Cell { table: number, row: row_number, head }, cell);
            }
            left += width;
        }
        if table.form {
            let mut x = self.left;
            for width in std::iter::once(&0.0).chain(widths) {
                x += width;
                self.page().line(Pen::Rule, Point2::new(x, top), Point2::new(x, bottom));
            }
        }
        let ends = [self.left, self.left + total].map(|x| Point2::new(x, bottom));
        self.page().line(Pen::Rule, ends[0], ends[1]);
        self.y = bottom;
    }
}
