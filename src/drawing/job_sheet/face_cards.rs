//! What is told of a face where it is pointed at: its measures, its edges, its courses and its cuts, each a number of the
//! answer.

use super::{Audience, SheetInput, shapes};
use crate::base::ids::{EdgeId, FaceId};
use crate::drawing::typeset::file_names::safe;
use crate::drawing::typeset::format;
use crate::framing::Fold;
use crate::roof::Face;
use crate::wording::roof::edge_word;
use crate::wording::{estimate, laying, page, work};
use std::f64::consts::FRAC_PI_2;

/// A thing with what is told of it: `area`, `62.89 ± 0.30 m²`.
pub type Fact = (String, String);

/// An edge of a face.
#[derive(Clone, Debug, PartialEq)]
pub struct CardEdge {
    /// The edge.
    pub edge: EdgeId,
    /// In short, to letter beside it: `hip 4.25 m`.
    pub label: String,
    /// The same with how sure it is.
    pub told: Fact,
}

/// What is told of one roof face.
#[derive(Clone, Debug, PartialEq)]
pub struct FaceCard {
    /// The face.
    pub face: FaceId,
    /// Its name.
    pub name: String,
    /// Area, pitch, which way it looks.
    pub measures: Vec<Fact>,
    /// Its edges in the order of its ring, without remnants of one line told twice.
    pub edges: Vec<CardEdge>,
    /// Courses, gauge, butt lines, pieces; empty where nothing is laid, or for a client.
    pub courses: Vec<Fact>,
    /// Of its common rafter and at each of its hips and valleys; empty for a client.
    pub cuts: Vec<Fact>,
    /// The name of the drawing that shows it in true shape; `None` where the sheet has none.
    pub drawing: Option<String>,
}

/// A card for every roof face, in the roof's order. O(faces² + edges × folds).
#[must_use]
pub fn face_cards(input: &SheetInput<'_>) -> Vec<FaceCard> {
    let own = input.audience == Audience::Own;
    let roof = &input.answer.roof;
    let groups = if own { shapes::groups(input) } else { Vec::new() };
    let drawing = |name: &str| {
        let drawn = |group: &shapes::Alike| roof.faces[group.face.index()].name();
        let shown = |group: &&shapes::Alike| {
            drawn(group) == name || group.same.iter().chain(&group.near).any(|other| other == name)
        };
        Some(format!("face-{}", safe(&drawn(groups.iter().find(shown)?))))
    };
    roof.roof_faces()
        .map(|(id, of)| FaceCard {
            face: id,
            name: of.name(),
            measures: measures(input, id, of),
            edges: edges(input, of),
            courses: if own { courses(input, id) } else { Vec::new() },
            cuts: if own { cuts(input, id, of) } else { Vec::new() },
            drawing: drawing(&of.name()),
        })
        .collect()
}

fn fact(what: impl Into<String>, told: impl Into<String>) -> Fact {
    (what.into(), told.into())
}

fn measures(input: &SheetInput<'_>, id: FaceId, of: &Face) -> Vec<Fact> {
    let (quantities, words) = (input.answer.of_face(id), input.context.words);
    let mut told = vec![
        fact("area", estimate::or_why(&quantities.area, |area| estimate::area(area, words))),
        fact("pitch", estimate::pitch(&quantities.pitch, words)),
    ];
    if let Some(down) = of.plane.downslope() {
        told.push(fact("looks to the", format::compass(input.context.north + down.x.atan2(down.y))));
    }
    if quantities.openings_area.value() != Some(0.0) {
        told.push(fact("openings", estimate::area(&quantities.openings_area, words)));
    }
    told
}

fn edges(input: &SheetInput<'_>, of: &Face) -> Vec<CardEdge> {
    let words = input.context.words;
    let edge = |&edge: &EdgeId| {
        let (kind, length) = (edge_word(input.answer.roof.edges[edge.index()].kind), input.answer.length(edge));
        CardEdge {
            edge,
            label: format!("{kind} {}", estimate::length(&length.alone(), words)),
            told: fact(kind, estimate::length(&length, words)),
        }
    };
    of.edges.iter().map(edge).collect()
}

fn courses(input: &SheetInput<'_>, id: FaceId) -> Vec<Fact> {
    let (take_off, words) = (input.take_off, input.context.words);
    let Some(layout) = take_off.layouts.iter().find(|layout| layout.face == id) else { return Vec::new() };
    let heads = laying::course_heads(&take_off.layouts);
    let counts = layout.counts();
    let mut told = vec![fact(heads.courses, layout.courses.len().to_string())];
    if layout.courses.len() > 1 {
        told.push(fact(heads.gauge, work::to_tenth(layout.gauge, words)));
        told.push(fact(heads.butts, laying::butt_lines(layout, words)));
    }
    told.push(fact("pieces", page::pieces(counts.whole, counts.cut, counts.from_offcuts)));
    told
}

fn cuts(input: &SheetInput<'_>, id: FaceId, of: &Face) -> Vec<Fact> {
    let (framing, words) = (&input.answer.framing, input.context.words);
    let mut told = Vec::new();
    if let Some(rafter) = framing.commons.iter().find(|rafter| rafter.face == id) {
        let pitch = rafter.pitch.radians();
        told.push(fact("longest rafter", words.fine(rafter.length.0)));
        told.push(fact("plumb cut", words.pitch(pitch)));
        told.push(fact("level cut", format::degrees(FRAC_PI_2 - pitch)));
    }
    let at = |fold: &Fold| {
        let side = fold.faces.iter().position(|name| *name == of.id)?;
        let cut = &fold.corner.sides[side];
        let what = format!("at the {} to {}", edge_word(fold.kind), fold.faces[1 - side]);
        let cuts = format!(
            "jack side cut {}, boards {}, backing {}",
            words.pitch(cut.jack_side_cut),
            format::degrees(cut.sheathing),
            format::degrees(cut.backing)
        );
        Some(fact(what, cuts))
    };
    told.extend(framing.folds.iter().filter_map(at));
    told
}
