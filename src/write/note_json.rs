//! Notes as JSON, the same in every answer.

use crate::base::diagnostic::Note;
use serde::Serialize;

/// Twin of [`Note`].
#[derive(Serialize)]
pub struct NoteTwin<'a> {
    code: &'static str,
    message: &'a str,
    faces: &'a [String],
}

impl<'a> From<&'a Note> for NoteTwin<'a> {
    fn from(note: &'a Note) -> Self {
        Self { code: note.code, message: &note.message, faces: &note.faces }
    }
}
