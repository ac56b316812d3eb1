//! The solid opens into its net: the same net that is printed. Laid flat beside the window, since a large roof takes a
//! while.

use super::heading::heading;
use crate::base::units::LengthUnit;
use crate::drawing::views::body::Body;
use crate::drawing::views::net::Net;
use crate::drawing::views::unfold::Unfolding;
use crate::viewer::deferred::Deferred;
use crate::viewer::render::courses;
use crate::viewer::render::facts::short_name;
use crate::viewer::render::scene::Scene;
use crate::viewer::render::shown::Shown;
use crate::viewer::render::stage::{Extra, Tag};
use crate::viewer::render::theme::{Palette, colour};
use crate::wording::estimate;
use crate::wording::units::Format;
use eframe::egui;
use eframe::egui::RichText;
use nalgebra::{Point3, Vector3};
use std::sync::Arc;

/// The height the walls are drawn down to, metres above datum.
const DATUM: f64 = 0.0;

/// A body and its way into the net.
struct Laid {
    body: Body,
    way: Unfolding,
    pieces: usize,
    cuts: usize,
}

/// What is kept until the roof changes.
#[derive(Default)]
pub struct Paper {
    laid: Deferred<Laid>,
    posed: Option<((u64, u64), Arc<Scene>, Extra)>,
    is_new: bool,
}

fn lay(shown: &Shown) -> Laid {
    let roof = &shown.answered.answer.roof;
    let body = Body::of(roof, DATUM);
    let (way, pieces, cuts) = {
        let net = Net::of(roof, &body);
        let pieces = net.laid.iter().filter(|laid| laid.beside.is_none()).count();
        (Unfolding::of(&body, &net), pieces, net.pairs.iter().filter(|pair| !pair.folded).count())
    };
    Laid { body, way, pieces, cuts }
}

impl Paper {
    /// Whether nothing is being laid.
    #[must_use]
    pub fn is_idle(&self) -> bool {
        self.laid.is_idle()
    }

    /// Whether the scene given last was given for the first time.
    #[must_use]
    pub(crate) fn is_new(&self) -> bool {
        self.is_new
    }

    /// The roof so far open; `None` while the net is laid. O(triangles log triangles), once a share.
    pub fn at(&mut self, context: &egui::Context, shown: &Arc<Shown>, share: f64) -> Option<(Arc<Scene>, Extra)> {
        let of = Arc::clone(shown);
        let laid = self.laid.get(context, shown.scene.serial, move || lay(&of))?;
        let key = (shown.scene.serial, share.to_bits());
        self.is_new = self.posed.as_ref().is_none_or(|(of, ..)| *of != key);
        if self.is_new {
            let poses = laid.way.at(share);
            let scene = Scene::posed(&shown.answered.answer.roof, &laid.body, &poses, |face| {
                courses::of(&shown.answered, face)
            });
            let tag = |(flat, shape): (usize, &crate::drawing::views::body::Flat)| {
                let ring = laid.body.ring(shape.rings.first()?);
                let sum = ring.iter().fold(Vector3::zeros(), |sum, place| sum + place.coords);
                let middle = poses[flat] * Point3::from(sum / ring.len() as f64) - scene.origin;
                Some(Tag { at: middle, along: None, text: short_name(shown, shape.face?) })
            };
            let tags = laid.body.flats.iter().enumerate().filter_map(tag).collect();
            self.posed = Some((key, Arc::new(scene), Extra { tags, ..Extra::default() }));
        }
        self.posed.as_ref().map(|(_, scene, extra)| (Arc::clone(scene), extra.clone()))
    }
}

/// What a net is, with this roof's faces.
pub fn words(ui: &mut egui::Ui, paper: &Paper, shown: &Shown, palette: &Palette, units: LengthUnit) {
    let roof = &shown.answered.answer.roof;
    heading(ui, "The net");
    ui.label(
        "Every polygon turns about one fold until all lie flat, side by side in true shape: what is cut from paper, folded \
         and glued gives the roof again. It ends as the fold-up net that is printed.",
    );
    if let Some(laid) = paper.laid.here() {
        let (polygons, folds) = (laid.body.flats.len(), laid.body.flats.len() - laid.pieces);
        ui.add_space(4.0);
        ui.label(format!(
            "{polygons} polygons in {}",
            if laid.pieces == 1 { "one piece".to_owned() } else { format!("{} pieces", laid.pieces) }
        ));
        ui.label(format!(
            "{polygons} − {} = {folds} folds hold them together; {} edges are cut",
            laid.pieces, laid.cuts
        ));
    }
    heading(ui, "True areas");
    let answer = &shown.answered.answer;
    for (index, (id, _)) in roof.roof_faces().enumerate() {
        let area = estimate::area(&answer.area(id).alone(), Format::of(units));
        ui.push_id(index, |ui| {
            ui.horizontal(|ui| {
                ui.label(short_name(shown, id));
                ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| ui.label(area));
            });
        });
    }
    let all = estimate::area(&answer.totals().area.alone(), Format::of(units));
    ui.separator();
    ui.horizontal(|ui| {
        ui.strong("together");
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| ui.strong(all));
    });
    let told = "Lengths and areas on the flat sheet are those of the solid: nothing stretches, only folds.";
    ui.label(RichText::new(told).color(colour(palette.faint)));
}
