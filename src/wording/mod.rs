//! Where data become words: units, digits, plurals, sentences of findings, order lines and steps of work. Command line,
//! sheet, page, window, drawings and the `message` fields of JSON call this module; nothing else writes a sentence about
//! a roof. It computes nothing: every number it tells is a field of an answer. A second language is one more file here.

pub mod estimate;
pub mod laying;
pub mod takeoff;

use crate::base::finding::Finding;
use crate::base::ids::FaceId;
use crate::base::words::Words;
use crate::job::Job;
use crate::roof::Roof;

/// What sentences are about: the job as written and the roof as solved, for the names things go by, and the units to
/// tell numbers in.
#[derive(Clone, Copy, Debug)]
pub struct About<'a> {
    /// The job.
    pub job: &'a Job,
    /// The roof solved from it.
    pub roof: &'a Roof,
    /// The units of the job.
    pub units: Words,
}

impl<'a> About<'a> {
    /// A job and its roof, in the job's units.
    #[must_use]
    pub fn of(job: &'a Job, roof: &'a Roof) -> Self {
        Self { job, roof, units: Words::of(job.units) }
    }

    /// The name a face goes by.
    #[must_use]
    pub fn face(&self, face: FaceId) -> &'a str {
        &self.roof.faces[face.index()].name
    }

    /// The names of several faces, listed.
    #[must_use]
    pub fn faces(&self, faces: &[FaceId]) -> String {
        let names: Vec<&str> = faces.iter().map(|&face| self.face(face)).collect();
        names.join(", ")
    }
}

/// Findings in the order they are told: what stops the work first, then what casts doubt, each group in the order of the
/// stages. O(n log n).
#[must_use]
pub fn in_order<F: Finding>(findings: &[F]) -> Vec<&F> {
    let mut order: Vec<&F> = findings.iter().collect();
    order.sort_by_key(|finding| finding.severity());
    order
}
