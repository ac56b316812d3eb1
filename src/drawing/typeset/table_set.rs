//! How text and the cells of tables are set: lines, heights, widths of columns.

use super::document::Table;
use super::lettering::{self, SMALL};
use crate::wording::lines;

/// From baseline to baseline of text whose capitals are so high, millimetres.
pub(super) fn leading(size: f64) -> f64 {
    size * if size > SMALL { 1.62 } else { 1.72 }
}
/// Between the text of a cell and its sides.
pub(super) const CELL: f64 = 1.4;

/// Words in lines, each but the last with its blank: whoever hears or copies them gets the words apart.
pub(super) fn lines(words: &str, height: f64, bold: bool, width: f64) -> Vec<String> {
    lines_after(words, height, bold, [width, width])
}

/// The same, where the first line has another width than the rest.
pub(super) fn lines_after(words: &str, height: f64, bold: bool, widths: [f64; 2]) -> Vec<String> {
    let mut lines = lettering::wrap_after(words, height, bold, widths);
    let last = lines.len().saturating_sub(1);
    lines[..last].iter_mut().for_each(|line| line.push(' '));
    lines
}

fn cell(words: &str, size: f64, bold: bool, width: f64) -> Vec<String> {
    lettering::wrap(words, size, bold, width - 2.0 * CELL)
}

/// The cells of a table's heads, in lines.
pub(super) fn head_cells(table: &Table, size: f64, widths: &[f64]) -> Vec<Vec<String>> {
    table.heads.iter().zip(widths).map(|((head, _), width)| cell(head, size, true, *width)).collect()
}

/// The cells of its rows, in lines, and whether each row is a sum.
pub(super) fn row_cells(table: &Table, size: f64, widths: &[f64]) -> Vec<(Vec<Vec<String>>, bool)> {
    let row = |(index, row): (usize, &Vec<String>)| {
        let bold = table.total && index + 1 == table.rows.len();
        (row.iter().zip(widths).map(|(words, width)| cell(words, size, bold, *width)).collect(), bold)
    };
    table.rows.iter().enumerate().map(row).collect()
}

pub(super) fn row_height(row: &[Vec<String>], size: f64) -> f64 {
    row.iter().map(Vec::len).max().unwrap_or(0).max(1) as f64 * leading(size) + 1.6
}

/// The width of a column's widest cell, or of its longest word.
pub(super) fn widest(table: &Table, size: f64, column: usize, longest_word: bool) -> f64 {
    let rows = table.rows.iter().filter_map(|row| row.get(column)).map(|words| (words, table.total));
    let cells = std::iter::once((&table.heads[column].0, true)).chain(rows);
    let cell = |(words, bold): (&String, bool)| {
        let width = |words: &str| lettering::width(words, size, bold);
        if longest_word { lines::words(words).iter().map(|word| width(word)).fold(0.0, f64::max) } else { width(words) }
    };
    cells.map(cell).fold(0.0, f64::max) + 2.0 * CELL + 0.2
}

/// Widths at which nothing wraps.
pub(super) fn natural_widths(table: &Table, size: f64) -> Vec<f64> {
    (0..table.heads.len()).map(|column| widest(table, size, column, false)).collect()
}

/// Widths of columns: as wide as their widest cell when all fit, else the wide ones give way in equal measure, never
/// below their longest word.
pub(super) fn column_widths(table: &Table, size: f64, room: f64) -> Vec<f64> {
    let columns = table.heads.len();
    let least: Vec<f64> = (0..columns).map(|column| widest(table, size, column, true)).collect();
    let natural = natural_widths(table, size);
    let total: f64 = natural.iter().sum();
    if table.form && total <= room {
        return natural.iter().map(|width| width * room / total).collect();
    }
    if total <= room {
        // A table reads better a little open than cramped; number columns keep their size.
        let open = ((room - total) / columns as f64).min(6.0);
        return natural.iter().map(|width| width + open).collect();
    }
    // The cap that makes them fit, by halving.
    let (mut low, mut high) = (0.0, room);
    let capped = |cap: f64| -> Vec<f64> { natural.iter().zip(&least).map(|(n, l)| n.min(cap).max(*l)).collect() };
    for _ in 0..60 {
        let cap = f64::midpoint(low, high);
        if capped(cap).iter().sum::<f64>() > room { high = cap } else { low = cap }
    }
    capped(low)
}
