//! Where the water goes: catchments over the faces and what each eave carries away.

use super::facts::short_name;
use super::gpu::Cap;
use super::shown::Shown;
use super::stage::{Extra, Tag, corner, stroke};
use super::theme::{self, Palette, Pen};
use crate::base::ids::EdgeId;
use crate::base::tolerance::{CUT_ALIKE, ROUNDING};
use crate::base::units::LengthUnit;
use crate::roof::analysis::drainage::Outlet;
use crate::roof::{EdgeKind, Roof};
use crate::wording::estimate;
use crate::wording::units::Format;
use eframe::egui;
use nalgebra::{Point2, Point3};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Less than this part of a square metre is not told, square metres.
const LEAST: f64 = 0.05;

/// What is kept until the roof changes.
#[derive(Default)]
pub struct Water {
    made: Option<((u64, theme::Rgb), Made)>,
}

struct Made {
    extra: Extra,
    figures: Vec<Figure>,
}

/// How much water runs over or in an edge, for people.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Figure {
    /// `eave of A`, `valley between A and B`.
    pub edge: String,
    /// What it does with the water: `drains`, `carries`, `lets run off`.
    pub does: &'static str,
    /// The plan area it comes from.
    pub area: String,
}

impl Water {
    /// Catchments and what eaves carry.
    pub(crate) fn extra(
        &mut self,
        context: &egui::Context,
        shown: &Arc<Shown>,
        palette: &Palette,
        units: LengthUnit,
    ) -> Extra {
        let key = (shown.scene.serial, palette.paper);
        if self.made.as_ref().is_none_or(|(of, _)| *of != key) {
            self.made = Some((key, make(shown, palette, units)));
            // What is beside the view tells the figures: one more pass.
            context.request_repaint();
        }
        self.made.as_ref().map(|(_, made)| made.extra.clone()).unwrap_or_default()
    }

    /// The figures of an answer, as far as they are worked out: edges in the order of the roof.
    #[must_use]
    pub fn figures(&self, shown: &Shown) -> &[Figure] {
        let made = self.made.as_ref().filter(|((serial, _), _)| *serial == shown.scene.serial);
        made.map_or(&[], |(_, made)| &made.figures)
    }
}

fn make(shown: &Shown, palette: &Palette, units: LengthUnit) -> Made {
    let (answer, format) = (&shown.answered.answer, Format::of(units));
    let (roof, drainage) = (&answer.roof, &answer.drainage);
    let origin = shown.scene.origin;
    // Where most of a catchment's water leaves the roof: one tint an eave.
    let mut by_end: BTreeMap<Outlet, Vec<[f32; 3]>> = BTreeMap::new();
    let mut marks = Vec::new();
    let pen = Pen { width: 1.8, dash: 3.0, gap: 3.0, dot: 0.0 };
    for catchment in &drainage.catchments {
        let plane = &roof.faces[catchment.face.index()].plane;
        // A hair above the face, so that it lies on it and not in it.
        let lift = plane.normal * (0.002 * shown.scene.radius);
        let raised = |place: &Point2<f64>| {
            let height = plane.height_at(place).unwrap_or_default();
            Point3::new(place.x, place.y, height) + lift - origin
        };
        let most = catchment.ends.iter().max_by(|a, b| a.1.total_cmp(&b.1)).map_or(catchment.outlet, |(end, _)| *end);
        let triangles = by_end.entry(most).or_default();
        triangles.extend(catchment.region.triangles().iter().flatten().map(|place| corner(&raised(place))));
        for ring in &catchment.region.rings {
            for (at, from) in ring.iter().enumerate() {
                let to = &ring[(at + 1) % ring.len()];
                if !on_edge(roof, from, to) {
                    marks.push(stroke(&raised(from), &raised(to), pen, palette.water, 1.0));
                }
            }
        }
    }
    let tints = [palette.water, palette.caution, palette.accent, palette.faint, palette.fault];
    let caps = by_end.into_values().enumerate().map(|(index, places)| {
        let [r, g, b] = theme::shader_colour(tints[index % tints.len()]);
        Cap { places: Arc::new(places), tone: [r, g, b, 0.16], hatched: false }
    });
    let carried = |(index, edge): (usize, &crate::roof::Edge)| {
        let carries = answer.of_edge(EdgeId::new(index)).carries;
        let word = match edge.kind {
            EdgeKind::Eave => "drains",
            EdgeKind::Valley => "carries",
            _ => "lets run off",
        };
        let along = roof.at(edge.to) - roof.at(edge.from);
        let area = carries.value().is_none_or(|area| area > LEAST).then(|| estimate::area(&carries, format))?;
        let tag = Tag {
            at: nalgebra::center(&roof.at(edge.from), &roof.at(edge.to)) - origin,
            along: along.try_normalize(ROUNDING),
            text: format!("{} {word} {area} in plan", edge.kind.word()),
        };
        let faces: Vec<String> = edge.faces.iter().map(|face| short_name(shown, *face)).collect();
        let of = match faces.as_slice() {
            [one] => format!("{} of {one}", edge.kind.word()),
            [one, ..] if edge.kind != EdgeKind::Valley => format!("{} of {one}", edge.kind.word()),
            several => format!("{} between {}", edge.kind.word(), several.join(" and ")),
        };
        Some((tag, Figure { edge: of, does: word, area }))
    };
    let (tags, figures) = roof.edges.iter().enumerate().filter_map(carried).unzip();
    Made { extra: Extra { caps: caps.collect(), marks: Arc::new(marks), tags, over: false }, figures }
}

/// Whether a side of a catchment lies along an edge of the roof, where a line is drawn already.
fn on_edge(roof: &Roof, from: &Point2<f64>, to: &Point2<f64>) -> bool {
    let middle = nalgebra::center(from, to);
    roof.edges.iter().any(|edge| {
        let (a, b) = (roof.at(edge.from).xy(), roof.at(edge.to).xy());
        let (along, off) = (b - a, middle - a);
        let length = along.norm();
        length > 0.0
            && (along.perp(&off) / length).abs() < CUT_ALIKE
            && (0.0..=length).contains(&(along.dot(&off) / length))
    })
}
