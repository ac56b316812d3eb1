//! Tables and entries of the tree, with where they stand.

use super::document::Value;
use crate::base::schema::Table as Shape;
use crate::job::reading::ValueKind;
use std::ops::Range;
use toml::de::{DeTable, DeValue};

/// A table with the place to point at when something is missing in it.
#[derive(Clone)]
pub(super) struct Table<'d> {
    /// What it may hold.
    pub shape: &'static Shape,
    /// Nothing for a table that is not written: all of it is as usual.
    pub entries: Option<&'d DeTable<'d>>,
    pub span: Range<usize>,
}

/// A key and its value.
#[derive(Clone)]
pub(super) struct Item<'d> {
    /// As messages call it: the key, or the key of the list it stands in.
    pub key: &'d str,
    pub key_span: Range<usize>,
    pub value: &'d DeValue<'d>,
    pub span: Range<usize>,
}

impl<'d> Table<'d> {
    /// The entry of a key.
    pub fn get(&self, key: &str) -> Option<Item<'d>> {
        let (key, value) = self.entries?.get_key_value(key)?;
        Some(Item { key: key.get_ref(), key_span: key.span(), value: value.get_ref(), span: value.span() })
    }

    pub fn has(&self, key: &str) -> bool {
        self.entries.is_some_and(|entries| entries.contains_key(key))
    }

    /// All entries in file order.
    pub fn items(&self) -> Vec<Item<'d>> {
        let mut items: Vec<Item<'d>> = self
            .entries
            .into_iter()
            .flatten()
            .map(|(key, value)| Item {
                key: key.get_ref(),
                key_span: key.span(),
                value: value.get_ref(),
                span: value.span(),
            })
            .collect();
        items.sort_by_key(|item| item.key_span.start);
        items
    }
}

impl<'d> Item<'d> {
    /// An element of this entry's list, called by the entry's key.
    pub fn element(&self, value: &'d Value<'d>) -> Self {
        Self { key: self.key, key_span: self.key_span.clone(), value: value.get_ref(), span: value.span() }
    }
}

/// What a value is.
pub(super) fn kind_of(value: &DeValue<'_>) -> ValueKind {
    match value {
        DeValue::String(_) => ValueKind::Text,
        DeValue::Integer(_) => ValueKind::Whole,
        DeValue::Float(_) => ValueKind::Number,
        DeValue::Boolean(_) => ValueKind::Flag,
        DeValue::Datetime(_) => ValueKind::Date,
        DeValue::Array(_) => ValueKind::List,
        DeValue::Table(_) => ValueKind::Table,
    }
}
