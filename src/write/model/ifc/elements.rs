//! The parts of an IFC model: roofs, slabs, coverings, openings, chimneys.

use super::shapes::{Frame, Shapes, placement};
use super::step::{Id, Step, list, real, string};
use crate::base::ids::FaceId;
use crate::base::polygon::contains;
use crate::base::tolerance::BESIDE;
use crate::job::building::Raised;
use crate::roof::analysis::opening::{CutOpening, OpeningShape};
use crate::roof::model::frame::FaceFrame;
use crate::roof::{Face, FaceKind};
use crate::write::model::facts::{Model, Paint};
use nalgebra::{Point2, Point3, Vector3};

/// How thick a slab is drawn, metres: nominal.
const THIN: f64 = 0.001;

/// How far an opening reaches below and above its face, metres: through the slab and no farther than one sees.
const THROUGH: f64 = 0.05;

/// Elements in the making.
pub struct Elements<'a> {
    pub step: Step,
    pub shapes: Shapes,
    /// The building's placement.
    pub place: Id,
    pub model: &'a Model<'a>,
}

impl Elements<'_> {
    /// The roof of a block with its slabs and coverings; `None` where none of its faces is roof.
    pub fn roof(&mut self, block: &str, faces: &[FaceId]) -> Option<Id> {
        let roof = self.model.roof();
        let faces: Vec<FaceId> =
            faces.iter().copied().filter(|id| roof.faces[id.index()].kind == FaceKind::Roof).collect();
        if faces.is_empty() {
            return None;
        }
        let place = placement(&mut self.step, Some(self.place), &Frame::level(0.0));
        let (id, name) = (self.step.global_id(block), string(block));
        let whole = self.step.add(format_args!("IFCROOF({id},$,{name},$,$,{place},$,$,.NOTDEFINED.)"));
        let sum = |pick: fn(&crate::job::quantities::FaceQuantities) -> Option<f64>| {
            faces.iter().map(|face| pick(self.model.answer.of_face(*face))).sum::<Option<f64>>()
        };
        let areas = [
            ("GrossArea", sum(|of| of.area.value())),
            ("NetArea", sum(|of| of.net_area.value())),
            ("ProjectedArea", sum(|of| of.plan_area.value())),
        ];
        self.quantities("Qto_RoofBaseQuantities", whole, &areas);
        self.properties("Pset_RoofCommon", whole, block, &[]);
        let slabs: Vec<Id> = faces.iter().map(|face| self.slab(*face, place, block)).collect();
        let id = self.step.global_id("slabs");
        self.step.add(format_args!("IFCRELAGGREGATES({id},$,$,$,{whole},{})", list(slabs)));
        Some(whole)
    }

    fn slab(&mut self, id: FaceId, on: Id, block: &str) -> Id {
        let roof = self.model.roof();
        let face = &roof.faces[id.index()];
        let frame = frame(self.model, face);
        let flat = |ring: Vec<Point3<f64>>| ring.iter().map(|place| frame.flat(place)).collect::<Vec<_>>();
        let rings: Vec<_> = std::iter::once(roof.ring(face)).chain(roof.holes(face)).map(flat).collect();
        let shape = self.shapes.extruded(&mut self.step, &rings, (0.0, THIN), Some(Paint::Roof));
        let place = placement(&mut self.step, Some(on), &frame);
        let (name, text) = (face.name(), string(&face.name()));
        let global = self.step.global_id(&name);
        let slab = self.step.add(format_args!("IFCSLAB({global},$,{text},$,$,{place},{shape},$,.ROOF.)"));
        let of = self.model.answer.of_face(id);
        let areas = [("GrossArea", of.area.value()), ("NetArea", of.net_area.value())];
        self.quantities("Qto_SlabBaseQuantities", slab, &areas);
        let pitch = of.pitch.value().map(|pitch| format!("IFCPLANEANGLEMEASURE({})", real(pitch.to_degrees())));
        self.properties("Pset_SlabCommon", slab, &name, &[("PitchAngle", pitch)]);
        for opening in self.model.answer.openings.iter().filter(|opening| opening.face == id) {
            self.opening(opening, slab, place);
        }
        if let Some(card) = self.model.covering(block) {
            self.covering(&name, card, slab, &areas);
        }
        slab
    }

    fn opening(&mut self, opening: &CutOpening, slab: Id, on: Id) {
        let depth = (-THROUGH, 2.0 * THROUGH);
        let shape = self.shapes.extruded(&mut self.step, std::slice::from_ref(&opening.ring), depth, None);
        let place = placement(&mut self.step, Some(on), &Frame::level(0.0));
        let (id, name) = (self.step.global_id(&opening.kind), string(&opening.kind));
        let hole = self.step.add(format_args!("IFCOPENINGELEMENT({id},$,{name},$,$,{place},{shape},$,.OPENING.)"));
        self.quantities("Qto_OpeningElementBaseQuantities", hole, &[("Area", Some(opening.area))]);
        let id = self.step.global_id("voids");
        self.step.add(format_args!("IFCRELVOIDSELEMENT({id},$,$,$,{slab},{hole})"));
    }

    fn covering(&mut self, face: &str, card: &str, slab: Id, areas: &[(&str, Option<f64>)]) {
        let (id, name) = (self.step.global_id(card), string(&format!("{face}: {card}")));
        let covering = self.step.add(format_args!("IFCCOVERING({id},$,{name},$,$,$,$,$,.ROOFING.)"));
        self.quantities("Qto_CoveringBaseQuantities", covering, areas);
        self.properties("Pset_CoveringCommon", covering, card, &[]);
        let id = self.step.global_id("covers");
        self.step.add(format_args!("IFCRELCOVERSBLDGELEMENTS({id},$,$,$,{slab},({covering}))"));
        let material = self.step.add(format_args!("IFCMATERIAL({},$,$)", string(card)));
        let id = self.step.global_id("material");
        self.step.add(format_args!("IFCRELASSOCIATESMATERIAL({id},$,$,$,({covering}),{material})"));
    }

    /// Chimneys, each from the lowest place where it goes through the roof up to its top, where the roof file says how high it
    /// stands; else up to the highest place where it leaves the roof.
    pub fn chimneys(&mut self) -> Vec<Id> {
        let (model, roof) = (self.model, self.model.roof());
        let cuts: Vec<(&CutOpening, Vec<Point3<f64>>)> = (model.answer.openings.iter())
            .filter(|cut| cut.is_chimney())
            .filter_map(|cut| {
                let frame = FaceFrame::of(roof, &roof.faces[cut.face.index()])?;
                Some((cut, cut.ring.iter().map(|place| frame.to_space(place)).collect()))
            })
            .collect();
        let mut rings: Vec<(Vec<Point2<f64>>, Vec<f64>)> = Vec::new();
        let stated = model.job.map_or(&[][..], |job| &job.openings);
        let plans = stated.iter().filter_map(|opening| match &opening.shape {
            OpeningShape::Plan(ring) => Some(ring),
            OpeningShape::InFace { .. } => None,
        });
        let plans: Vec<&Vec<Point2<f64>>> = plans.collect();
        for (_, places) in &cuts {
            let plan: Vec<Point2<f64>> = places.iter().map(Point3::xy).collect();
            let middle =
                Point2::from(plan.iter().map(|place| place.coords).sum::<nalgebra::Vector2<f64>>() / plan.len() as f64);
            let ring = plans.iter().find(|ring| contains(ring, &middle)).map_or(&plan, |ring| *ring);
            let heights = places.iter().map(|place| place.z);
            match rings.iter_mut().find(|(known, _)| known == ring) {
                Some((_, known)) => known.extend(heights),
                None => rings.push((ring.clone(), heights.collect())),
            }
        }
        let stands_on = |prism: &Raised, ring: &[Point2<f64>]| {
            let mut corners = prism.feet.iter().filter_map(|foot| foot.first());
            corners.all(|corner| ring.iter().any(|at| (at - corner.xy()).norm() <= BESIDE))
        };
        let raised = &model.answer.building.raised;
        let top = |ring: &[Point2<f64>]| raised.iter().find(|prism| stands_on(prism, ring)).map(|prism| prism.top);
        rings.into_iter().map(|(ring, heights)| self.chimney(&ring, &heights, top(&ring))).collect()
    }

    fn chimney(&mut self, ring: &[Point2<f64>], heights: &[f64], top: Option<f64>) -> Id {
        let low = heights.iter().copied().fold(f64::INFINITY, f64::min);
        let high = top.unwrap_or_else(|| heights.iter().copied().fold(f64::NEG_INFINITY, f64::max));
        let said = if top.is_some() { "up to its top" } else { "up to where it leaves the roof" };
        let depth = (low, (high - low).max(THROUGH));
        let shape = self.shapes.extruded(&mut self.step, &[ring.to_vec()], depth, Some(Paint::Wall));
        let place = placement(&mut self.step, Some(self.place), &Frame::level(0.0));
        let id = self.step.global_id("chimney");
        let chimney =
            self.step.add(format_args!("IFCCHIMNEY({id},$,'chimney','{said}',$,{place},{shape},$,.NOTDEFINED.)"));
        self.properties("Pset_ChimneyCommon", chimney, "chimney", &[]);
        chimney
    }

    /// Areas of an element, square metres; what is not determined is left out, and a set without any is none.
    fn quantities(&mut self, set: &str, of: Id, areas: &[(&str, Option<f64>)]) {
        let areas = areas.iter().filter_map(|(name, area)| Some((name, (*area)?)));
        let areas: Vec<Id> = areas
            .map(|(name, area)| self.step.add(format_args!("IFCQUANTITYAREA('{name}',$,$,{},$)", real(area))))
            .collect();
        if areas.is_empty() {
            return;
        }
        let id = self.step.global_id(set);
        let set = self.step.add(format_args!("IFCELEMENTQUANTITY({id},$,'{set}',$,$,{})", list(areas)));
        self.defined(of, set);
    }

    /// Properties that every element has, and some of its own.
    fn properties(&mut self, set: &str, of: Id, reference: &str, more: &[(&str, Option<String>)]) {
        let mut values = vec![
            ("Reference", format!("IFCIDENTIFIER({})", string(reference))),
            ("IsExternal", "IFCBOOLEAN(.T.)".to_owned()),
        ];
        values.extend(more.iter().filter_map(|(name, value)| Some((*name, value.clone()?))));
        let values: Vec<Id> = values
            .into_iter()
            .map(|(name, value)| self.step.add(format_args!("IFCPROPERTYSINGLEVALUE('{name}',$,{value},$)")))
            .collect();
        let id = self.step.global_id(set);
        let set = self.step.add(format_args!("IFCPROPERTYSET({id},$,'{set}',$,{})", list(values)));
        self.defined(of, set);
    }

    fn defined(&mut self, of: Id, by: Id) {
        let id = self.step.global_id("defined");
        self.step.add(format_args!("IFCRELDEFINESBYPROPERTIES({id},$,$,$,({of}),{by})"));
    }
}

/// The frame of a face, of a level one along the site's x axis.
fn frame(model: &Model, face: &Face) -> Frame {
    let normal = face.plane.normal;
    match FaceFrame::of(model.roof(), face) {
        Some(own) => Frame { origin: own.origin, along: own.along, normal },
        None => {
            let origin = model.roof().ring(face).first().copied().unwrap_or_else(Point3::origin);
            let along = (Vector3::x() - normal * normal.x).try_normalize(0.0).unwrap_or_else(Vector3::x);
            Frame { origin, along, normal }
        }
    }
}
