//! Tables as a terminal shows them, read back: heads over a rule of `─`, cells beneath it.

use super::printed::{self, Class, Printed, numbers};

/// A table: heads, and rows of as many cells.
pub struct Table {
    pub heads: Vec<String>,
    units: Vec<Option<(Class, f64)>>,
    pub rows: Vec<Vec<String>>,
}

impl Table {
    /// The numbers of a cell, in the unit that its head ends in where they have none of their own.
    pub fn numbers(&self, row: &[String], column: usize) -> Vec<Printed> {
        numbers(&row[column], self.units[column])
    }
}

/// Every table of a text, in order. Cells of the first column keep the blanks they begin with.
pub fn tables(text: &str) -> Vec<Table> {
    let lines: Vec<&str> = text.lines().collect();
    let is_rule = |line: &str| line.contains('─') && line.chars().all(|letter| matches!(letter, '─' | ' '));
    let mut tables = Vec::new();
    for at in 1..lines.len() {
        if !is_rule(lines[at]) {
            continue;
        }
        let columns = printed::columns(lines[at - 1], lines[at]);
        let cells = |line: &str| -> Vec<String> {
            let letters: Vec<char> = line.chars().collect();
            let cell = |index: usize| {
                let from = if index == 0 { 0 } else { columns[index].0.0 };
                let to = if index + 1 == columns.len() { letters.len() } else { columns[index].0.1 };
                letters[from.min(letters.len())..to.min(letters.len())].iter().collect::<String>()
            };
            let trimmed = |(index, cell): (usize, String)| {
                if index == 0 { cell.trim_end().to_owned() } else { cell.trim().to_owned() }
            };
            (0..columns.len()).map(cell).enumerate().map(trimmed).collect()
        };
        // A list of remarks ends it as well as an empty line.
        let is_row = |line: &&&str| line.starts_with("  ") && !line.starts_with("  - ") && !line.trim().is_empty();
        let rows = lines[at + 1..].iter().take_while(is_row);
        tables.push(Table {
            heads: cells(lines[at - 1]).iter().map(|head| head.trim().to_owned()).collect(),
            units: columns.iter().map(|column| column.1).collect(),
            rows: rows.map(|line| cells(line)).collect(),
        });
    }
    tables
}
