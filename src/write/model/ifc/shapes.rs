//! Placements and shapes of an IFC model.

use super::step::{Id, Step, list, real};
use crate::roof::model::solid::Solid;
use crate::write::model::facts::Paint;
use crate::write::model::polygons::polygons;
use nalgebra::{Point2, Point3, Vector3};
use std::collections::BTreeMap;

/// Shapes of one file, with what they share.
pub struct Shapes {
    /// The context of bodies.
    pub body: Id,
    styles: BTreeMap<Paint, Id>,
}

/// A frame in space.
#[derive(Clone, Copy, Debug)]
pub struct Frame {
    /// Its origin.
    pub origin: Point3<f64>,
    /// Its first axis, a unit vector.
    pub along: Vector3<f64>,
    /// Its third, square to the first.
    pub normal: Vector3<f64>,
}

impl Frame {
    /// At a height, axes as the site's.
    pub fn level(height: f64) -> Self {
        Self { origin: Point3::new(0.0, 0.0, height), along: Vector3::x(), normal: Vector3::z() }
    }

    /// A place of space in it, and how far it lies off along the normal.
    pub fn flat(&self, place: &Point3<f64>) -> Point2<f64> {
        let spoke = place - self.origin;
        Point2::new(spoke.dot(&self.along), spoke.dot(&self.normal.cross(&self.along)))
    }
}

pub fn point(step: &mut Step, place: &[f64]) -> Id {
    step.add(format_args!("IFCCARTESIANPOINT({})", list(place.iter().map(|part| real(*part)))))
}

pub fn direction(step: &mut Step, way: &[f64]) -> Id {
    step.add(format_args!("IFCDIRECTION({})", list(way.iter().map(|part| real(*part)))))
}

/// A placement of axes.
pub fn axes(step: &mut Step, frame: &Frame) -> Id {
    let origin = point(step, &<[f64; 3]>::from(frame.origin));
    let normal = direction(step, &<[f64; 3]>::from(frame.normal));
    let along = direction(step, &<[f64; 3]>::from(frame.along));
    step.add(format_args!("IFCAXIS2PLACEMENT3D({origin},{normal},{along})"))
}

/// The placement of an object, in the world's frame where it hangs on no other.
pub fn placement(step: &mut Step, on: Option<Id>, frame: &Frame) -> Id {
    let axes = axes(step, frame);
    let on = on.map_or_else(|| "$".to_owned(), |on| on.to_string());
    step.add(format_args!("IFCLOCALPLACEMENT({on},{axes})"))
}

impl Shapes {
    /// In a context.
    pub fn new(body: Id) -> Self {
        Self { body, styles: BTreeMap::new() }
    }

    fn painted(&mut self, step: &mut Step, item: Id, paint: Paint) {
        let style = *self.styles.entry(paint).or_insert_with(|| {
            let [red, green, blue] = paint.colour().map(|part| real(f64::from(part) / 255.0));
            let colour = step.add(format_args!("IFCCOLOURRGB($,{red},{green},{blue})"));
            let shading = step.add(format_args!("IFCSURFACESTYLESHADING({colour},$)"));
            step.add(format_args!("IFCSURFACESTYLE('{}',.BOTH.,({shading}))", paint.name()))
        });
        step.add(format_args!("IFCSTYLEDITEM({item},({style}),$)"));
    }

    fn shown(&self, step: &mut Step, kind: &str, item: Id) -> Id {
        let shape = step.add(format_args!("IFCSHAPEREPRESENTATION({},'Body','{kind}',({item}))", self.body));
        step.add(format_args!("IFCPRODUCTDEFINITIONSHAPE($,$,({shape}))"))
    }

    /// A flat ring with holes, extruded along the third axis of its own frame from `from` for `depth`, metres.
    pub fn extruded(
        &mut self,
        step: &mut Step,
        rings: &[Vec<Point2<f64>>],
        (from, depth): (f64, f64),
        paint: Option<Paint>,
    ) -> Id {
        let mut curves: Vec<Id> = rings
            .iter()
            .map(|ring| {
                let places = ring.iter().chain(ring.first());
                let points: Vec<Id> = places.map(|place| point(step, &[place.x, place.y])).collect();
                step.add(format_args!("IFCPOLYLINE({})", list(points)))
            })
            .collect();
        let outer = curves.remove(0);
        let profile = if curves.is_empty() {
            step.add(format_args!("IFCARBITRARYCLOSEDPROFILEDEF(.AREA.,$,{outer})"))
        } else {
            step.add(format_args!("IFCARBITRARYPROFILEDEFWITHVOIDS(.AREA.,$,{outer},{})", list(curves)))
        };
        let axes = axes(step, &Frame::level(from));
        let up = direction(step, &[0.0, 0.0, 1.0]);
        let solid = step.add(format_args!("IFCEXTRUDEDAREASOLID({profile},{axes},{up},{})", real(depth)));
        if let Some(paint) = paint {
            self.painted(step, solid, paint);
        }
        self.shown(step, "SweptSolid", solid)
    }

    /// A closed solid by its polygons.
    pub fn solid(&mut self, step: &mut Step, solid: &Solid, paint: Paint) -> Id {
        let places = solid.positions.iter().map(|place| list([place.x, place.y, place.z].map(real)));
        let places = step.add(format_args!("IFCCARTESIANPOINTLIST3D({})", list(places)));
        // Numbers of places begin at 1.
        let ring = |ring: &Vec<u32>| list(ring.iter().map(|at| at + 1));
        let mut faces = Vec::new();
        for polygon in polygons(solid) {
            let Some((outer, holes)) = polygon.rings.split_first() else { continue };
            faces.push(if holes.is_empty() {
                step.add(format_args!("IFCINDEXEDPOLYGONALFACE({})", ring(outer)))
            } else {
                let holes = list(holes.iter().map(ring));
                step.add(format_args!("IFCINDEXEDPOLYGONALFACEWITHVOIDS({},{holes})", ring(outer)))
            });
        }
        let set = step.add(format_args!("IFCPOLYGONALFACESET({places},.T.,{},$)", list(faces)));
        self.painted(step, set, paint);
        self.shown(step, "Tessellation", set)
    }
}
