//! Names of faces in files: written from what a face is of.

use crate::base::ids::FaceId;
use crate::roof::Roof;
use crate::roof::model::names::FaceName;
use serde::{Serialize, Serializer};

/// A face's name.
#[derive(Clone, Copy, Debug)]
pub struct NameTwin<'a>(pub &'a FaceName);

impl<'a> NameTwin<'a> {
    /// Of a face of a roof.
    pub fn of(roof: &'a Roof, face: FaceId) -> Self {
        Self(&roof.faces[face.index()].id)
    }
}

impl Serialize for NameTwin<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self.0)
    }
}
