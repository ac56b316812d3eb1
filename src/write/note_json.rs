//! Notes as JSON, the same in every answer.

use crate::base::diagnostic::Note;
use crate::base::finding::Finding;
use crate::roof::Roof;
use serde::Serialize;
use std::collections::BTreeMap;

/// A finding of any stage: data and its sentence.
#[derive(Serialize)]
pub struct NoteTwin {
    code: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    severity: Option<&'static str>,
    message: String,
    faces: Vec<String>,
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    values: BTreeMap<&'static str, f64>,
}

impl NoteTwin {
    /// A finding with the sentence `wording` makes of it.
    #[must_use]
    pub fn of(finding: &impl Finding, message: String, roof: &Roof) -> Self {
        Self {
            code: finding.code(),
            severity: Some(finding.severity().word()),
            message,
            faces: finding.faces().into_iter().map(|face| roof.faces[face.index()].name.clone()).collect(),
            values: finding.values().into_iter().collect(),
        }
    }
}

impl From<&Note> for NoteTwin {
    fn from(note: &Note) -> Self {
        Self {
            code: note.code,
            severity: None,
            message: note.message.clone(),
            faces: note.faces.clone(),
            values: BTreeMap::new(),
        }
    }
}
