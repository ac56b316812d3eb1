//! Tables on pages: rows are kept whole, heads are said again on the next page.

use super::document::{Align, Table};
use super::frame;
use super::model::{Anchor, Role, Text};
use super::pen::{Pen, Tone};
use super::setter::Setter;
use super::table_set::{CELL, column_widths, head_cells, row_cells, row_height};
use nalgebra::Point2;

/// Height of a row to write in, millimetres.
const FORM: f64 = 7.0;

impl Setter<'_> {
    /// Height of a line that heads the rows below it.
    fn section(&self) -> f64 {
        self.line() + 2.5
    }

    /// The height of a table's head and what stands with it: at least two rows, and what heads them.
    pub(super) fn table_start(&self, table: &Table) -> f64 {
        let widths = column_widths(table, self.size, self.width);
        let (head, rows) = (head_cells(table, self.size, &widths), row_cells(table, self.size, &widths));
        let first: f64 = rows.iter().take(2).map(|(row, _)| row_height(row, self.size)).sum();
        let sections = table.sections.iter().filter(|(at, _)| *at < 2).count();
        row_height(&head, self.size) + first + sections as f64 * self.section()
    }

    pub(super) fn table(&mut self, table: &Table) {
        self.break_here();
        let widths = column_widths(table, self.size, self.width);
        let (head, rows) = (head_cells(table, self.size, &widths), row_cells(table, self.size, &widths));
        self.y -= 1.5;
        let number = self.thing();
        self.need(self.table_start(table));
        self.table_row(&head, &widths, table, true, (number, true));
        for (index, (row, bold)) in rows.iter().enumerate() {
            let sections: Vec<&String> =
                table.sections.iter().filter(|(at, _)| *at == index).map(|(_, words)| words).collect();
            let row_room = row_height(row, self.size).max(if table.form { FORM } else { 0.0 });
            let is_full = self.room() < row_room + sections.len() as f64 * self.section();
            if is_full || (index > 1 && self.is_break()) {
                self.open_page();
                self.table_row(&head, &widths, table, true, (number, true));
            }
            for words in sections {
                self.y -= self.section();
                let at = Point2::new(self.left + CELL, self.y + 1.4);
                let words = frame::shorten(words, self.size, true, widths.iter().sum());
                let (row, cell) = (self.thing(), self.thing());
                self.format(
                    Text::new(at, words).height(self.size).bold(),
                    Role::Cell { table: number, row, head: true },
                    cell,
                );
            }
            self.table_row(row, &widths, table, *bold, (number, false));
        }
        self.y -= 3.0;
    }

    /// `place`: the table's number and whether the row heads it.
    pub(super) fn table_row(
        &mut self,
        row: &[Vec<String>],
        widths: &[f64],
        table: &Table,
        bold: bool,
        place: (usize, bool),
    ) {
        let (number, head) = place;
        let row_number = self.thing();
        let height = row_height(row, self.size).max(if table.form && !head { FORM } else { 0.0 });
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
                let y = top - 0.9 - self.line() * (index as f64 + 1.0) + 0.9;
                let text = match align {
                    Align::Left => Text::new(Point2::new(left + CELL, y), line.clone()),
                    Align::Right => Text::new(Point2::new(left + width - CELL, y), line.clone()).anchored(Anchor::End),
                };
                let text = if bold { text.bold() } else { text }.height(self.size);
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
