//! Where in a job something stands, by the names the user gave. Stages speak of places; `input`'s source map turns
//! them into lines and columns.

use super::name::SideName;

/// A place in a job.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Place {
    /// The job as a whole.
    Job,
    /// A block.
    Block(String),
    /// A side of a block, by the corner it starts from.
    Side {
        /// The block's name.
        block: String,
        /// The side's name.
        side: String,
    },
    /// A named point.
    Point(String),
    /// A face given by points.
    Face(String),
    /// A tape, reading, level …: an index into [`crate::survey::model::Survey::observations`].
    Observation(usize),
    /// An index into [`crate::survey::model::Survey::photos`].
    Photo(usize),
    /// A mark in a photo.
    Mark {
        /// Which photo.
        photo: usize,
        /// The marked point's name.
        point: String,
    },
    /// An index into [`crate::job::Job::openings`].
    Opening(usize),
    /// A dormer.
    Dormer(String),
    /// The covering.
    Covering,
}

impl From<&SideName> for Place {
    fn from(side: &SideName) -> Self {
        Self::Side { block: side.block.to_string(), side: side.side.to_string() }
    }
}
