//! What a model says of a roof's faces and edges: names, kinds, colours, and numbers as the answer gives them.

use crate::base::ids::{EdgeId, FaceId};
use crate::base::name::Name;
use crate::job::Job;
use crate::job::answer::Answer;
use crate::roof::model::solid::Solid;
use crate::roof::{EdgeKind, FaceKind, Roof};
use crate::write::roof_json::aspect;
use serde_json::{Map, Value, json};

/// A roof on its way into a file.
#[derive(Clone, Copy, Debug)]
pub struct Model<'a> {
    /// The job's title.
    pub title: &'a str,
    /// What its numbers are taken from.
    pub answer: &'a Answer,
    /// Its verified solid.
    pub solid: &'a Solid,
    /// What stands out of it, chimneys and the like: closed solids of their own, by their names.
    pub raised: &'a [(String, Solid)],
    /// What it is made from; `None` for a roof that no job belongs to.
    pub job: Option<&'a Job>,
}

/// What the body of a solid is called: its walls below the outline and its floor.
pub const BODY: &str = "walls and floor";

/// What faces given by points are gathered under, as they belong to no block.
pub const BY_POINTS: &str = "faces by points";

impl<'a> Model<'a> {
    /// A job's answer, its solid and what stands out of it.
    #[must_use]
    pub fn of(job: &'a Job, answer: &'a Answer, solid: &'a Solid, raised: &'a [(String, Solid)]) -> Self {
        Self { title: &job.title, answer, solid, raised, job: Some(job) }
    }

    /// An answer that no job belongs to.
    #[must_use]
    pub fn untold(title: &'a str, answer: &'a Answer, solid: &'a Solid) -> Self {
        Self { title, answer, solid, raised: &[], job: None }
    }

    /// Bearing of the +y axis, radians clockwise from north.
    #[must_use]
    pub fn north(&self) -> f64 {
        self.job.map_or(0.0, |job| job.site.north)
    }

    /// The card that a block is covered by; `None` where nothing is said. O(blocks).
    #[must_use]
    pub fn covering(&self, block: &str) -> Option<&'a str> {
        let job = self.job?;
        let own = job.block_coverings.iter().find(|(name, _)| name == block).map(|(_, covering)| covering);
        Some(own.unwrap_or(&job.covering).card.name.as_str())
    }

    /// The solved roof.
    #[must_use]
    pub fn roof(&self) -> &'a Roof {
        &self.answer.roof
    }

    /// Whether it is closed, with walls down to the datum: all but faces by points.
    #[must_use]
    pub fn is_closed(&self) -> bool {
        !self.roof().feet.is_empty()
    }

    /// Blocks in the order of their first face, with their faces; faces by points under [`BY_POINTS`]. O(faces x blocks).
    #[must_use]
    pub fn blocks(&self) -> Vec<(&'a str, Vec<FaceId>)> {
        let mut blocks: Vec<(&str, Vec<FaceId>)> = Vec::new();
        for (at, face) in self.roof().faces.iter().enumerate() {
            let name = face.block().map_or(BY_POINTS, Name::as_str);
            let place = blocks.iter().position(|(known, _)| *known == name).unwrap_or_else(|| {
                blocks.push((name, Vec::new()));
                blocks.len() - 1
            });
            blocks[place].1.push(FaceId::new(at));
        }
        blocks
    }

    /// What a reader of the file wants to know of a face: areas in square metres, angles in degrees, `null` where the
    /// measurements do not determine them.
    #[must_use]
    pub fn of_face(&self, id: FaceId) -> Map<String, Value> {
        let (face, of) = (&self.roof().faces[id.index()], self.answer.of_face(id));
        let facts = json!({
            "name": face.name(),
            "kind": kind(face.kind),
            "block": face.block().map(Name::as_str),
            "sides": face.side_names().iter().map(Name::as_str).collect::<Vec<_>>(),
            "area": of.area.value(),
            "area_sd": of.area.sd(),
            "plan_area": of.plan_area.value(),
            "openings_area": of.openings_area.value(),
            "net_area": of.net_area.value(),
            "pitch": of.pitch.value().map(f64::to_degrees),
            "aspect": aspect(face, self.north()),
        });
        map(facts)
    }

    /// The same of an edge: lengths in metres, the slope in degrees.
    #[must_use]
    pub fn of_edge(&self, id: EdgeId) -> Map<String, Value> {
        let (edge, of) = (&self.roof().edges[id.index()], self.answer.of_edge(id));
        let faces = edge.faces.iter().map(|face| self.roof().faces[face.index()].name());
        let facts = json!({
            "id": id.index(),
            "kind": edge.kind.word(),
            "length": of.length.value(),
            "plan_length": of.plan_length.value(),
            "slope": of.slope.value().map(f64::to_degrees),
            "faces": faces.collect::<Vec<_>>(),
        });
        map(facts)
    }

    /// Kinds of edges in their order, with the edges of each. O(edges).
    #[must_use]
    pub fn edges_by_kind(&self) -> Vec<(EdgeKind, Vec<EdgeId>)> {
        let mut kinds = std::collections::BTreeMap::<EdgeKind, Vec<EdgeId>>::new();
        for (at, edge) in self.roof().edges.iter().enumerate() {
            kinds.entry(edge.kind).or_default().push(EdgeId::new(at));
        }
        kinds.into_iter().collect()
    }

    /// What a reader wants to know of the whole.
    #[must_use]
    pub fn of_whole(&self) -> Map<String, Value> {
        let totals = self.answer.totals();
        map(json!({
            "roof_area": totals.area.value(),
            "roof_area_sd": totals.area.sd(),
            "plan_area": totals.plan_area.value(),
            "roof_height": totals.ridge_height.value(),
            "volume": totals.volume.value(),
        }))
    }
}

/// Roof or wall, in the words of the answers.
#[must_use]
pub fn kind(kind: FaceKind) -> &'static str {
    match kind {
        FaceKind::Roof => "roof",
        FaceKind::Wall => "wall",
    }
}

fn map(value: Value) -> Map<String, Value> {
    match value {
        Value::Object(map) => map,
        _ => Map::new(),
    }
}

/// A part of the model that has a colour of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Paint {
    /// A roof face.
    Roof,
    /// A wall above the outline.
    Wall,
    /// The walls below it and the floor.
    Body,
    /// What stands out of it.
    Raised,
    /// Lines of a kind.
    Edge(EdgeKind),
}

impl Paint {
    /// Of a triangle of the solid.
    #[must_use]
    pub fn of(roof: &Roof, face: Option<FaceId>) -> Self {
        match face.map(|face| roof.faces[face.index()].kind) {
            Some(FaceKind::Roof) => Self::Roof,
            Some(FaceKind::Wall) => Self::Wall,
            None => Self::Body,
        }
    }

    /// Its name as a material.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Roof => "roof",
            Self::Wall => "wall above a roof",
            Self::Body => BODY,
            Self::Raised => "what stands out of a roof",
            Self::Edge(kind) => kind.word(),
        }
    }

    /// Its colour, red, green and blue as on a screen.
    #[must_use]
    pub fn colour(self) -> [u8; 3] {
        match self {
            Self::Roof => [0x66, 0x76, 0x81],
            Self::Wall => [0xc8, 0xc3, 0xb8],
            Self::Body => [0xd8, 0xd4, 0xc9],
            Self::Raised => [0xb9, 0xa2, 0x93],
            Self::Edge(kind) => crate::write::palette::ink(crate::drawing::Pen::Edge(kind)),
        }
    }

    /// Its colour in linear light, as renderers reckon (IEC 61966-2-1).
    #[must_use]
    pub fn linear(self) -> [f32; 3] {
        self.colour().map(|part| {
            let part = f32::from(part) / 255.0;
            if part <= 0.040_45 { part / 12.92 } else { ((part + 0.055) / 1.055).powf(2.4) }
        })
    }
}
