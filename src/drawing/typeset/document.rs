//! A document of headings, text, tables and figures: what the sheet is before it is paper or a page on a screen.

use super::model::Drawing;

/// How a column of a table is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// A table with one row of heads.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// Head and setting of each column.
    pub heads: Vec<(String, Align)>,
    /// Cells, a row each.
    pub rows: Vec<Vec<String>>,
    /// Whether the last row is a sum.
    pub total: bool,
    /// Whether it is a form: ruled all round, with room to write by hand.
    pub form: bool,
    /// Words over the rows that follow, with the number of the first of them.
    pub sections: Vec<(usize, String)>,
}

impl Table {
    /// An empty table.
    #[must_use]
    pub fn new(heads: &[(&str, Align)]) -> Self {
        Self {
            heads: heads.iter().map(|(head, align)| ((*head).to_owned(), *align)).collect(),
            rows: Vec::new(),
            total: false,
            form: false,
            sections: Vec::new(),
        }
    }

    /// Adds a row, or the name to the row that says the same otherwise: the first cell lists names.
    pub(crate) fn merge(&mut self, name: &str, cells: Vec<String>) {
        match self.rows.iter_mut().find(|row| row[1..] == cells) {
            Some(row) => row[0] = format!("{}, {name}", row[0]),
            None => self.row(std::iter::once(name.to_owned()).chain(cells)),
        }
    }

    /// Heads the rows that follow.
    pub fn section(&mut self, words: impl Into<String>) {
        self.sections.push((self.rows.len(), words.into()));
    }

    /// Adds a row; missing cells stay blank.
    pub fn row<S: Into<String>>(&mut self, cells: impl IntoIterator<Item = S>) {
        let mut row: Vec<String> = cells.into_iter().map(Into::into).collect();
        row.resize(self.heads.len(), String::new());
        self.rows.push(row);
    }
}

/// A step of work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// What it is, for the eye to find its place by.
    pub title: String,
    /// What is done, and what to mind.
    pub text: String,
}

/// A part of a document.
#[derive(Clone, Debug, PartialEq)]
pub enum Block {
    /// Of the first or second level.
    Heading(u8, String),
    /// A paragraph.
    Text(String),
    /// What can hurt someone, where the danger is.
    Caution(String),
    /// What forbids the work as it stands, before anything else.
    Stop(Vec<String>),
    /// Points without order.
    List(Vec<String>),
    /// Steps in order.
    Steps(Vec<Step>),
    /// To be ticked.
    Checks(Vec<String>),
    /// A table.
    Table(Table),
    /// A drawing with its caption.
    Figure(Box<Drawing>, String),
    /// Drawings with their captions, as many abreast as there is room for.
    Figures(Vec<(Drawing, String)>),
    /// Parts side by side, in columns of equal width.
    Columns(Vec<Vec<Block>>),
    /// Parts that are read on site: in larger letters.
    OnSite(Vec<Block>),
    /// What follows begins a page, unless the one before would be left nearly blank.
    Page,
}

/// A whole document.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Document {
    /// Its title.
    pub title: String,
    /// What kind of document: "job sheet".
    pub kind: String,
    /// Printed when given.
    pub date: Option<String>,
    /// Its parts in order.
    pub blocks: Vec<Block>,
}

impl Document {
    /// Adds a heading.
    pub fn heading(&mut self, level: u8, words: impl Into<String>) {
        self.blocks.push(Block::Heading(level, words.into()));
    }

    /// Adds a paragraph.
    pub fn text(&mut self, words: impl Into<String>) {
        self.blocks.push(Block::Text(words.into()));
    }

    /// Adds a caution.
    pub fn caution(&mut self, words: impl Into<String>) {
        self.blocks.push(Block::Caution(words.into()));
    }

    /// Adds a table unless it has no rows.
    pub fn table(&mut self, table: Table) {
        if !table.rows.is_empty() {
            self.blocks.push(Block::Table(table));
        }
    }

    /// Adds a figure, if there is one.
    pub fn figure(&mut self, drawing: Option<Drawing>, caption: impl Into<String>) {
        if let Some(drawing) = drawing {
            self.blocks.push(Block::Figure(Box::new(drawing), caption.into()));
        }
    }

    /// Adds figures abreast, unless there are none.
    pub fn figures(&mut self, figures: Vec<(Drawing, String)>) {
        if !figures.is_empty() {
            self.blocks.push(Block::Figures(figures));
        }
    }

    /// Adds parts side by side; one alone, or one beside nothing, takes the whole width.
    pub fn columns(&mut self, columns: impl IntoIterator<Item = Document>) {
        let mut columns: Vec<Vec<Block>> = columns.into_iter().map(|column| column.blocks).collect();
        columns.retain(|column| !column.is_empty());
        if columns.len() > 1 {
            self.blocks.push(Block::Columns(columns));
        } else {
            self.blocks.extend(columns.into_iter().flatten());
        }
    }

    /// Adds what forbids the work, if anything does.
    pub fn stop(&mut self, points: Vec<String>) {
        if !points.is_empty() {
            self.blocks.push(Block::Stop(points));
        }
    }

    /// Adds parts that are read on site.
    pub fn on_site(&mut self, parts: Document) {
        if !parts.blocks.is_empty() {
            self.blocks.push(Block::OnSite(parts.blocks));
        }
    }

    /// Adds all parts of another document.
    pub fn append(&mut self, other: Document) {
        self.blocks.extend(other.blocks);
    }

    /// What follows begins a page.
    pub fn page(&mut self) {
        self.blocks.push(Block::Page);
    }

    /// Every part in order, those of columns one after the other.
    #[must_use]
    pub fn parts(&self) -> Vec<&Block> {
        fn add<'a>(blocks: &'a [Block], parts: &mut Vec<&'a Block>) {
            for block in blocks {
                match block {
                    Block::Columns(columns) => columns.iter().for_each(|column| add(column, parts)),
                    Block::OnSite(blocks) => add(blocks, parts),
                    other => parts.push(other),
                }
            }
        }
        let mut parts = Vec::new();
        add(&self.blocks, &mut parts);
        parts
    }

    /// Adds points without order, unless there are none.
    pub fn list(&mut self, points: Vec<String>) {
        if !points.is_empty() {
            self.blocks.push(Block::List(points));
        }
    }
}
