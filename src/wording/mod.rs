//! Where data become words: units, digits, plurals, sentences of findings, order lines and steps of work. Command line,
//! sheet, page, window, drawings and the `message` fields of JSON call this module; nothing else writes a sentence about
//! a roof. It computes nothing: every number it tells is a field of an answer. A second language is one more file here.

pub mod amount;
pub mod batch;
pub mod building;
pub mod compare;
pub mod edges;
pub mod estimate;
pub mod fault;
pub mod finding;
pub mod framing;
pub mod guide;
pub mod import;
pub mod key_dimensions;
pub mod laying;
pub mod lesson;
pub mod lifting;
pub mod lines;
pub mod marking;
pub mod model;
pub mod offer;
pub mod order;
pub mod outline;
pub mod page;
pub mod placing;
pub mod range;
pub mod reading;
pub mod repair;
pub mod roof;
pub mod schema;
pub mod set_out;
pub mod short_list;
pub mod summary;
pub mod survey;
pub mod takeoff;
pub mod units;
pub mod work;

use crate::base::finding::Finding;
use crate::base::ids::FaceId;
use crate::base::name::SideName;
use crate::base::units::LengthUnit;
use crate::job::Job;
use crate::roof::Roof;
use crate::wording::units::Format;

/// What sentences are about: the job as written and the roof as solved, for the names things go by, and the units to
/// tell numbers in.
#[derive(Clone, Copy, Debug)]
pub struct About<'a> {
    /// The job.
    pub job: &'a Job,
    /// The roof solved from it.
    pub roof: &'a Roof,
    /// The units of the job.
    pub units: Format,
}

impl<'a> About<'a> {
    /// A job and its roof, in the job's units.
    #[must_use]
    pub fn of(job: &'a Job, roof: &'a Roof) -> Self {
        Self { job, roof, units: Format::of(job.units) }
    }

    /// The same told in units of one's own.
    #[must_use]
    pub fn in_units_of(self, units: LengthUnit) -> Self {
        Self { units: Format::of(units), ..self }
    }

    /// The name a face goes by.
    #[must_use]
    pub fn face(&self, face: FaceId) -> String {
        self.roof.faces[face.index()].name()
    }

    /// The names of several faces, listed.
    #[must_use]
    pub fn faces(&self, faces: &[FaceId]) -> String {
        let names: Vec<String> = faces.iter().map(|&face| self.face(face)).collect();
        names.join(", ")
    }

    /// The names of several faces as a sentence lists them.
    #[must_use]
    pub fn listed(&self, faces: &[FaceId]) -> String {
        let names: Vec<String> = faces.iter().map(|&face| self.face(face)).collect();
        amount::list(&names)
    }

    /// The names of all faces a finding is about, each once: those it names, the roof faces over the sides it names, and
    /// the faces given by points. O(sides × faces).
    #[must_use]
    pub fn names_of(&self, finding: &impl Finding) -> Vec<String> {
        let over = |side: &SideName| self.roof.face_over(side).map_or_else(|| side.to_string(), |face| self.face(face));
        let faces = finding.faces().into_iter().map(|face| self.face(face));
        let sides = finding.sides().into_iter().map(|side| over(&side));
        let planes = finding.planes().into_iter().filter_map(|plane| self.job.survey.faces.get(plane.index()));
        let mut names: Vec<String> = Vec::new();
        for name in faces.chain(sides).chain(planes.map(|face| face.name.clone())) {
            if !names.contains(&name) {
                names.push(name);
            }
        }
        names
    }
}

/// The name of a face as short as it is unique: without its block's where there is only one block. O(faces).
#[must_use]
pub(crate) fn short_name(roof: &Roof, face: FaceId) -> String {
    let Some(of) = roof.faces.get(face.index()) else { return String::new() };
    let one_block = roof.faces.iter().all(|other| other.block() == of.block());
    if one_block { of.id.within_block().to_string() } else { of.name() }
}

/// Findings in the order they are told: what stops the work first, then what casts doubt, each group in the order of the
/// stages. O(n log n).
#[must_use]
pub(crate) fn in_order<F: Finding>(findings: &[F]) -> Vec<&F> {
    let mut order: Vec<&F> = findings.iter().collect();
    order.sort_by_key(|finding| finding.severity());
    order
}
