//! An answer as a line of JSON.

use super::{Answered, SolvedOutline, id};
use crate::base::finding::Finding as _;
use crate::roof::Face;
use crate::wording::batch::reason;
use crate::write::model::facts::kind;
use crate::write::name::NameTwin;
use crate::write::roof_json::aspect;
use serde::ser::SerializeMap;
use serde::{Serialize, Serializer};
use serde_json::value::RawValue;
use std::io;

#[derive(Serialize)]
struct Solved<'a> {
    id: &'a RawValue,
    line: u64,
    ok: bool,
    area: f64,
    plan_area: f64,
    volume: Option<f64>,
    ridge_height: f64,
    by_kind: ByKind<'a>,
    packs: Option<u32>,
    cost: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    faces: Option<Vec<FaceLine<'a>>>,
}

#[derive(Serialize)]
struct Failed<'a> {
    id: &'a RawValue,
    line: u64,
    ok: bool,
    error: Why<'a>,
}

#[derive(Serialize)]
struct Why<'a> {
    code: &'a str,
    reason: &'a str,
}

struct ByKind<'a>(&'a SolvedOutline);

#[derive(Serialize)]
struct KindSum {
    count: usize,
    length: f64,
}

impl Serialize for ByKind<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let kinds = &self.0.sums.by_kind;
        let mut map = serializer.serialize_map(Some(kinds.len()))?;
        for &(kind, count, length) in kinds {
            map.serialize_entry(kind.word(), &KindSum { count, length })?;
        }
        map.end()
    }
}

#[derive(Serialize)]
struct FaceLine<'a> {
    name: NameTwin<'a>,
    side: Option<&'a str>,
    kind: &'static str,
    area: f64,
    plan_area: f64,
    pitch: f64,
    aspect: Option<f64>,
    /// Places of the file, heights in metres above datum.
    ring: Vec<[f64; 3]>,
    holes: Vec<Vec<[f64; 3]>>,
}

impl<'a> FaceLine<'a> {
    fn of(solved: &'a SolvedOutline, face: &'a Face) -> Self {
        let place = |place: nalgebra::Point3<f64>| {
            let [x, y] = solved.frame.to_file(&place.xy());
            [x, y, place.z + 0.0]
        };
        Self {
            name: NameTwin(&face.id),
            side: face.side().map(|side| side.side.as_str()),
            kind: kind(face.kind),
            area: solved.roof.area(face).0,
            plan_area: solved.roof.plan_area(face).0,
            pitch: face.plane.pitch().to_degrees(),
            aspect: aspect(face, 0.0),
            ring: solved.roof.ring(face).into_iter().map(place).collect(),
            holes: solved.roof.holes(face).into_iter().map(|ring| ring.into_iter().map(place).collect()).collect(),
        }
    }
}

/// Adds an answer as one line, with its faces where they are asked for. O(corners).
///
/// # Errors
/// What the writer says.
pub fn write(out: &mut Vec<u8>, answered: &Answered, faces: bool) -> io::Result<()> {
    let own: &RawValue = serde_json::from_str(id(answered))?;
    match &answered.roof {
        Ok(solved) => {
            let sums = &solved.sums;
            let line = Solved {
                id: own,
                line: answered.line,
                ok: true,
                area: sums.area,
                plan_area: sums.plan_area,
                volume: sums.volume,
                ridge_height: sums.ridge_height,
                by_kind: ByKind(solved),
                packs: solved.laid.and_then(|(packs, _)| packs),
                cost: solved.laid.and_then(|(_, cost)| cost),
                faces: faces.then(|| solved.roof.faces.iter().map(|face| FaceLine::of(solved, face)).collect()),
            };
            serde_json::to_writer(&mut *out, &line)?;
        }
        Err(fault) => {
            let error = Why { code: fault.code(), reason: &reason(fault) };
            serde_json::to_writer(&mut *out, &Failed { id: own, line: answered.line, ok: false, error })?;
        }
    }
    out.push(b'\n');
    Ok(())
}
