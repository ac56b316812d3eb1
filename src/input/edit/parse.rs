//! The text as a tree that can be changed.

use crate::job::reading::EditError;
use toml_edit::DocumentMut;

pub(super) fn parse(text: &str) -> Result<DocumentMut, EditError> {
    text.parse::<DocumentMut>().map_err(|error| EditError::NotToml(error.message().to_owned()))
}
