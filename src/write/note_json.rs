//! Notes as JSON, the same in every answer.

use crate::base::finding::{Finding, Severity};
use crate::job;
use crate::roof::Roof;
use crate::wording::{self, About};
use serde::Serialize;
use std::collections::BTreeMap;

/// A finding of any stage: data and its sentence.
#[derive(Serialize)]
pub struct NoteTwin {
    code: &'static str,
    severity: &'static str,
    #[serde(skip)]
    weight: Severity,
    message: String,
    faces: Vec<String>,
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    values: BTreeMap<&'static str, Values>,
}

/// A number, or several of one name.
#[derive(Serialize)]
#[serde(untagged)]
pub enum Values {
    /// One.
    One(f64),
    /// Several, in order.
    Several(Vec<f64>),
}

/// Values by name; those of one name are a list.
#[must_use]
pub fn by_name(values: &[(&'static str, f64)]) -> BTreeMap<&'static str, Values> {
    let mut lists: BTreeMap<&'static str, Vec<f64>> = BTreeMap::new();
    for &(name, value) in values {
        lists.entry(name).or_default().push(value);
    }
    let of = |(name, list): (&'static str, Vec<f64>)| match list.as_slice() {
        [one] => (name, Values::One(*one)),
        _ => (name, Values::Several(list)),
    };
    lists.into_iter().map(of).collect()
}

impl NoteTwin {
    /// A finding with the sentence `wording` makes of it.
    #[must_use]
    pub fn of(finding: &impl Finding, message: String, roof: &Roof) -> Self {
        Self {
            code: finding.code(),
            severity: finding.severity().word(),
            weight: finding.severity(),
            message,
            faces: finding.faces().into_iter().map(|face| roof.faces[face.index()].name()).collect(),
            values: by_name(&finding.values()),
        }
    }

    /// The same with other numbers.
    #[must_use]
    pub(crate) fn with_values(self, values: &[(&'static str, f64)]) -> Self {
        Self { values: by_name(values), ..self }
    }

    /// The findings of a job: what stops the work first, then what casts doubt.
    #[must_use]
    pub fn all(about: &About<'_>, findings: &[job::Finding]) -> Vec<Self> {
        let of = |finding: &job::Finding| Self {
            code: finding.code(),
            severity: finding.severity().word(),
            weight: finding.severity(),
            message: wording::finding::sentence(about, finding),
            faces: about.names_of(finding),
            values: by_name(&finding.values()),
        };
        wording::in_order(findings).into_iter().map(of).collect()
    }

    /// How much weight the finding has.
    #[must_use]
    pub fn weight(&self) -> Severity {
        self.weight
    }
}
