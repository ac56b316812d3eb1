//! Aligned tables for a terminal: words to the left, numbers to the right, no rules but one under the heads.

/// How a column is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// A table under construction.
#[derive(Clone, Debug)]
pub struct Table {
    heads: Vec<(String, Align)>,
    rows: Vec<Vec<String>>,
}

impl Table {
    /// A table with these heads.
    #[must_use]
    pub fn new(heads: &[(&str, Align)]) -> Self {
        Self { heads: heads.iter().map(|(head, align)| ((*head).to_owned(), *align)).collect(), rows: Vec::new() }
    }

    /// Adds a row; cells beyond the heads are dropped, missing ones left blank.
    pub fn row<S: Into<String>>(&mut self, cells: impl IntoIterator<Item = S>) {
        let mut row: Vec<String> = cells.into_iter().map(Into::into).collect();
        row.resize(self.heads.len(), String::new());
        self.rows.push(row);
    }

    /// Whether no row was added.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// The table as text, two blanks before each line and between columns, no blanks at line ends.
    #[must_use]
    pub fn render(&self) -> String {
        let width = |text: &str| text.chars().count();
        let widths: Vec<usize> = (0..self.heads.len())
            .map(|column| {
                let cells = self.rows.iter().map(|row| width(&row[column]));
                cells.max().unwrap_or(0).max(width(&self.heads[column].0))
            })
            .collect();
        let line = |cells: &[&str]| {
            let mut text = String::new();
            for ((cell, (_, align)), width_of) in cells.iter().zip(&self.heads).zip(&widths) {
                let blanks = " ".repeat(width_of - width(cell));
                text.push_str("  ");
                match align {
                    Align::Left => text.extend([cell, blanks.as_str()]),
                    Align::Right => text.extend([blanks.as_str(), cell]),
                }
            }
            text.truncate(text.trim_end().len());
            text.push('\n');
            text
        };
        let heads: Vec<&str> = self.heads.iter().map(|(head, _)| head.as_str()).collect();
        let rule: Vec<String> = widths.iter().map(|width| "─".repeat(*width)).collect();
        let mut text = line(&heads);
        text.push_str(&line(&rule.iter().map(String::as_str).collect::<Vec<_>>()));
        for row in &self.rows {
            text.push_str(&line(&row.iter().map(String::as_str).collect::<Vec<_>>()));
        }
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_left_numbers_right_and_no_blanks_at_line_ends() {
        let mut table = Table::new(&[("edge", Align::Left), ("m", Align::Right), ("of", Align::Left)]);
        table.row(["hip", "4.42", ""]);
        table.row(["ridge", "13.60", "store"]);
        let expected = "  edge       m  of\n  ─────  ─────  ─────\n  hip     4.42\n  ridge  13.60  store\n";
        assert_eq!(table.render(), expected);
    }
}
