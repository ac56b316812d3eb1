//! Rows of a spreadsheet, whatever it is written as: values, never formulas.

/// A cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Nothing.
    Blank,
    /// Words.
    Words(String),
    /// A number, with so many decimals where it is shown.
    Number(f64, u8),
}

impl Cell {
    pub(super) fn number(value: Option<f64>, decimals: u8) -> Self {
        value.map_or(Self::Blank, |value| Self::Number(value, decimals))
    }

    pub(super) fn count(value: Option<u32>) -> Self {
        Self::number(value.map(f64::from), 0)
    }

    pub(super) fn words(words: impl Into<String>) -> Self {
        let words = words.into();
        if words.is_empty() { Self::Blank } else { Self::Words(words) }
    }
}

/// A row.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Its cells; missing ones are blank.
    pub cells: Vec<Cell>,
    /// Whether it heads others or sums them up.
    pub is_strong: bool,
}

impl Row {
    pub(super) fn of(cells: Vec<Cell>) -> Self {
        Self { cells, is_strong: false }
    }

    pub(super) fn strong(cells: Vec<Cell>) -> Self {
        Self { cells, is_strong: true }
    }
}
