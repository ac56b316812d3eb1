//! The pages of the left side, and what it keeps between passes.

use crate::base::diagnostic::Diagnostic;
use crate::base::file_tree::{Entry, FileTable, Step};
use crate::base::schema::{Key, Table};
use std::collections::HashSet;
use std::ops::Range;

/// A page of the left side.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Page {
    /// Title, units, site.
    Job,
    /// Blocks and their sides.
    #[default]
    Sides,
    /// Points and the faces they bound.
    Points,
    /// Tapes, readings, photos.
    Measures,
    /// Openings and dormers.
    Openings,
    /// What it is covered with, and prices.
    Covering,
    /// The file's text.
    Text,
}

impl Page {
    /// All pages, in the order of their tabs.
    pub const ALL: [Self; 7] =
        [Self::Job, Self::Sides, Self::Points, Self::Measures, Self::Openings, Self::Covering, Self::Text];

    /// Its word on the tab.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Job => "Job",
            Self::Sides => "Sides",
            Self::Points => "Points",
            Self::Measures => "Measures",
            Self::Openings => "Openings",
            Self::Covering => "Covering",
            Self::Text => "File",
        }
    }

    /// The page a key of the file's first level is edited on.
    pub(super) fn of(key: &Key) -> Self {
        match key.key {
            _ if key.table().is_none() => Self::Job,
            "block" => Self::Sides,
            "points" | "face" => Self::Points,
            "opening" | "dormer" => Self::Openings,
            "covering" | "prices" | "old_roof" | "offer" | "as_laid" | "repair" | "compare" | "framing" => {
                Self::Covering
            }
            "site" => Self::Job,
            _ => Self::Measures,
        }
    }
}

/// The way through a first roof, where it is open.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Guide(Option<usize>);

impl Guide {
    /// At a step; `None`: closed.
    #[must_use]
    pub fn at(step: Option<usize>) -> Self {
        Self(step)
    }

    /// The step, where it is open.
    #[must_use]
    pub fn step(self) -> Option<usize> {
        self.0
    }
}

/// What the left side keeps between passes.
#[derive(Debug, Default)]
pub struct Forms {
    /// The open page.
    pub page: Page,
    /// The way through a first roof.
    pub guide: Guide,
    /// Places of the text whose diagnostics this page has shown.
    pub(super) placed: Vec<Range<usize>>,
    /// What is wrong and worth a look on this page, each with the name of its row, as this pass has found it.
    pub(super) messages: Vec<(String, Diagnostic)>,
    /// Rows whose further keys are shown.
    pub(super) opened: HashSet<Vec<Step>>,
    /// The name of a point to be added.
    pub(super) new_point: String,
    /// The line of the order a price is to be given for.
    pub(super) new_price: String,
}

impl Forms {
    /// Opens the page where a diagnostic has its place; the text itself where it has none on a page.
    pub fn go_to(&mut self, schema: &'static Table, file: Option<&FileTable>, diagnostic: &Diagnostic) {
        let holds = |entry: &Entry| spans(entry).iter().any(|span| diagnostic.touches(span));
        let entries = file.into_iter().flat_map(|file| &file.entries);
        let mut found = entries.filter(|(_, entry)| holds(entry)).filter_map(|(key, _)| schema.key(key));
        self.page = found.next().map_or(Page::Text, Page::of);
    }
}

/// Where something of the file's first level stands in its text, its key with it.
pub(super) fn spans(entry: &Entry) -> Vec<Range<usize>> {
    match entry {
        Entry::Value(value) => value.span.iter().chain(&value.key).cloned().collect(),
        Entry::Table(table) => table.span.iter().cloned().collect(),
        Entry::List(list) => list.iter().filter_map(|table| table.span.clone()).collect(),
    }
}
