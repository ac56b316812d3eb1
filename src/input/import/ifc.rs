//! Roof slabs of building models in IFC (4, and 2x3 where it is the same): the face of a slab that its roof lies on.
//!
//! Read are extrusions of polylines and rectangles, and faceted bodies; of others it is said that they are not.

use super::Refusal;
use super::step::{self, Instance, Value};
use crate::job::imported::{Imported, LeftOut, Why};
use crate::wording::import as words;
use nalgebra::{Matrix4, Point3, Vector3};
use std::collections::{BTreeMap, HashMap};

/// A slab thinner than this, metres, is drawn without a thickness: its roof is what was extruded.
const THIN: f64 = 0.005;

/// Cosine of the angle to the steepest face that counts as facing up.
const UPWARDS: f64 = 0.02;

/// Reads the slabs that are roof: those of a kind of their own, and those that a roof is made of. O(its bytes).
///
/// # Errors
/// What is no building model.
pub fn read(text: &str) -> Result<Imported, Refusal> {
    let instances = step::read(text).ok_or_else(words::not_step)?;
    let model = Model { instances };
    let scale = model.metres();
    let mut imported = Imported::default();
    let in_roofs = model.parts_of_roofs();
    let mut slabs: BTreeMap<u64, &Instance> = BTreeMap::new();
    let mut others = 0;
    for (number, instance) in &model.instances {
        match instance.0.as_str() {
            "IFCSLAB" | "IFCSLABSTANDARDCASE" => {
                let is_roof = instance.1.get(8) == Some(&Value::Word("ROOF".to_owned())) || in_roofs.contains(number);
                if is_roof {
                    slabs.insert(*number, instance);
                } else {
                    others += 1;
                }
            }
            "IFCWALL" | "IFCWALLSTANDARDCASE" | "IFCBUILDINGELEMENTPROXY" | "IFCCHIMNEY" | "IFCOPENINGELEMENT" => {
                others += 1;
            }
            _ => {}
        }
    }
    for (number, slab) in slabs {
        let name = match slab.1.get(2) {
            Some(Value::Words(name)) if !name.is_empty() => name.clone(),
            _ => format!("slab {number}"),
        };
        match model.roof_of(slab) {
            Ok(rings) => {
                let scaled = |ring: Ring| ring.into_iter().map(|place| place * scale).collect();
                imported.add_face(&name, &rings.into_iter().map(scaled).collect::<Vec<Ring>>());
            }
            Err(why) => imported.left_out.push(LeftOut { name, why }),
        }
    }
    if others > 0 {
        imported.left_out.push(LeftOut { name: "the model".to_owned(), why: Why::NotRoof(others) });
    }
    Ok(imported)
}

struct Model {
    instances: HashMap<u64, Instance>,
}

type Ring = Vec<Point3<f64>>;

impl Model {
    fn at(&self, value: &Value) -> Option<&Instance> {
        match value {
            Value::Instance(number) => self.instances.get(number),
            _ => None,
        }
    }

    fn part(&self, instance: &Instance, place: usize) -> Option<&Instance> {
        self.at(instance.1.get(place)?)
    }

    /// Metres of the model's unit of length.
    fn metres(&self) -> f64 {
        let units = self.instances.values().filter(|(kind, values)| {
            kind == "IFCSIUNIT" && values.get(1) == Some(&Value::Word("LENGTHUNIT".to_owned()))
        });
        let prefix = |(_, values): &Instance| match values.get(2) {
            Some(Value::Word(prefix)) if prefix == "MILLI" => 0.001,
            Some(Value::Word(prefix)) if prefix == "CENTI" => 0.01,
            Some(Value::Word(prefix)) if prefix == "DECI" => 0.1,
            _ => 1.0,
        };
        // A unit of one's own, such as the foot, is given by the unit that it is measured in.
        let own = self.instances.values().find(|(kind, values)| {
            kind == "IFCCONVERSIONBASEDUNIT" && values.get(1) == Some(&Value::Word("LENGTHUNIT".to_owned()))
        });
        let factor = own.and_then(|unit| self.part(unit, 3)).and_then(|measure| measure.1.first()?.number());
        factor.unwrap_or(1.0) * units.map(prefix).next().unwrap_or(1.0)
    }

    /// Numbers of what roofs are made of.
    fn parts_of_roofs(&self) -> std::collections::HashSet<u64> {
        let mut found = std::collections::HashSet::new();
        for (kind, values) in self.instances.values() {
            let whole = || values.get(4).and_then(|whole| self.at(whole)).is_some_and(|(kind, _)| kind == "IFCROOF");
            if kind == "IFCRELAGGREGATES" && whole() {
                let parts = values.get(5).map_or(&[][..], Value::items);
                found.extend(parts.iter().filter_map(|part| match part {
                    Value::Instance(number) => Some(*number),
                    _ => None,
                }));
            }
        }
        found
    }

    fn vector(&self, value: Option<&Value>, usual: Vector3<f64>) -> Vector3<f64> {
        let Some((_, values)) = value.and_then(|value| self.at(value)) else { return usual };
        let parts = values.first().map_or(&[][..], Value::items);
        let part = |at: usize| parts.get(at).and_then(Value::number).unwrap_or(0.0);
        Vector3::new(part(0), part(1), part(2))
    }

    /// The frame of a placement of axes.
    fn axes(&self, axes: Option<&Instance>) -> Matrix4<f64> {
        let Some(axes) = axes else { return Matrix4::identity() };
        let origin = self.vector(axes.1.first(), Vector3::zeros());
        let is_flat = axes.0 == "IFCAXIS2PLACEMENT2D";
        let up = if is_flat { Vector3::z() } else { self.vector(axes.1.get(1), Vector3::z()) };
        let along = self.vector(axes.1.get(if is_flat { 1 } else { 2 }), Vector3::x());
        let up = up.try_normalize(0.0).unwrap_or_else(Vector3::z);
        let along = (along - up * along.dot(&up)).try_normalize(1e-12).unwrap_or_else(Vector3::x);
        let across = up.cross(&along);
        let mut frame = Matrix4::identity();
        for (column, axis) in [along, across, up, origin].iter().enumerate() {
            frame.fixed_view_mut::<3, 1>(0, column).copy_from(axis);
        }
        frame
    }

    /// The frame of an object's placement, through all that it hangs on.
    fn placement(&self, value: Option<&Value>, depth: usize) -> Matrix4<f64> {
        let Some(placement) = value.and_then(|value| self.at(value)).filter(|_| depth > 0) else {
            return Matrix4::identity();
        };
        self.placement(placement.1.first(), depth - 1) * self.axes(self.part(placement, 1))
    }

    /// The rings of a slab that its roof lies on, the outer one first.
    fn roof_of(&self, slab: &Instance) -> Result<Vec<Ring>, Why> {
        let frame = self.placement(slab.1.get(5), 64);
        let shape = self.part(slab, 6).ok_or_else(none)?;
        let items = shape.1.get(2).map_or(&[][..], Value::items).iter().filter_map(|shape| self.at(shape));
        let bodies: Vec<&Instance> = items
            .filter(|shape| shape.1.get(1) == Some(&Value::Words("Body".to_owned())))
            .flat_map(|shape| shape.1.get(3).map_or(&[][..], Value::items))
            .filter_map(|item| self.at(item))
            .collect();
        let [body] = bodies.as_slice() else {
            return Err(bodies.first().map_or_else(none, |_| Why::Geometry("several bodies".to_owned())));
        };
        match body.0.as_str() {
            "IFCEXTRUDEDAREASOLID" => self.extruded(body, &frame),
            "IFCPOLYGONALFACESET" => Ok(vec![Self::upper(&self.face_set(body), &frame)?]),
            "IFCFACETEDBREP" => Ok(vec![Self::upper(&self.brep(body), &frame)?]),
            other => Err(Why::Geometry(other.to_owned())),
        }
    }

    fn extruded(&self, body: &Instance, frame: &Matrix4<f64>) -> Result<Vec<Ring>, Why> {
        let flat = self.profile(self.part(body, 0).ok_or_else(none)?)?;
        let frame = frame * self.axes(self.part(body, 1));
        let way = self.vector(body.1.get(2), Vector3::z()).try_normalize(0.0).unwrap_or_else(Vector3::z);
        let depth = body.1.get(3).and_then(Value::number).unwrap_or(0.0);
        let along = frame.transform_vector(&(way * depth));
        // The upper of its two ends; of one without thickness what was drawn.
        let shift = if depth * self.metres() > THIN && along.z > 0.0 { along } else { Vector3::zeros() };
        let placed = |ring: Ring| ring.iter().map(|place| frame.transform_point(place) + shift).collect::<Ring>();
        let mut rings: Vec<Ring> = flat.into_iter().map(placed).collect();
        if rings.first().is_some_and(|outer| normal(outer).z < 0.0) {
            for ring in &mut rings {
                ring.reverse();
            }
        }
        Ok(rings)
    }

    fn profile(&self, profile: &Instance) -> Result<Vec<Ring>, Why> {
        match profile.0.as_str() {
            "IFCARBITRARYCLOSEDPROFILEDEF" | "IFCARBITRARYPROFILEDEFWITHVOIDS" => {
                let mut rings = vec![self.curve(self.part(profile, 2).ok_or_else(none)?)?];
                for hole in profile.1.get(3).map_or(&[][..], Value::items) {
                    rings.push(self.curve(self.at(hole).ok_or_else(none)?)?);
                }
                Ok(rings)
            }
            "IFCRECTANGLEPROFILEDEF" => {
                let half = |at: usize| profile.1.get(at).and_then(Value::number).unwrap_or(0.0) / 2.0;
                let (x, y) = (half(3), half(4));
                let frame = self.axes(self.part(profile, 2));
                let corners = [[-x, -y], [x, -y], [x, y], [-x, y]];
                Ok(vec![corners.map(|[x, y]| frame.transform_point(&Point3::new(x, y, 0.0))).to_vec()])
            }
            other => Err(Why::Geometry(other.to_owned())),
        }
    }

    fn curve(&self, curve: &Instance) -> Result<Ring, Why> {
        let mut ring: Ring = match curve.0.as_str() {
            "IFCPOLYLINE" => {
                let places = curve.1.first().map_or(&[][..], Value::items);
                places.iter().map(|place| Point3::from(self.vector(Some(place), Vector3::zeros()))).collect()
            }
            // Of straight pieces alone.
            "IFCINDEXEDPOLYCURVE"
                if curve.1.get(1).is_none_or(|pieces| {
                    pieces.items().iter().all(|piece| matches!(piece, Value::Typed(kind, _) if kind == "IFCLINEINDEX"))
                }) =>
            {
                self.part(curve, 0).map(|list| places(&list.1)).unwrap_or_default()
            }
            other => return Err(Why::Geometry(other.to_owned())),
        };
        if ring.len() > 1 && ring.first() == ring.last() {
            ring.pop();
        }
        Ok(ring)
    }

    fn face_set(&self, body: &Instance) -> Vec<Ring> {
        let corners = self.part(body, 0).map(|list| places(&list.1)).unwrap_or_default();
        let faces = body.1.get(2).map_or(&[][..], Value::items).iter().filter_map(|face| self.at(face));
        faces
            .map(|face| {
                let numbers = face.1.first().map_or(&[][..], Value::items).iter().filter_map(Value::number);
                #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
                numbers.filter_map(|at| corners.get((at as usize).wrapping_sub(1)).copied()).collect()
            })
            .collect()
    }

    fn brep(&self, body: &Instance) -> Vec<Ring> {
        let shell = self.part(body, 0);
        let faces = shell.and_then(|shell| shell.1.first()).map_or(&[][..], Value::items).iter();
        let bounds =
            faces.filter_map(|face| self.at(face)).filter_map(|face| self.at(face.1.first()?.items().first()?));
        bounds
            .filter_map(|bound| self.part(bound, 0))
            .map(|ring| {
                let corners = ring.1.first().map_or(&[][..], Value::items);
                corners.iter().map(|place| Point3::from(self.vector(Some(place), Vector3::zeros()))).collect()
            })
            .collect()
    }

    /// The largest of the faces that look up.
    fn upper(faces: &[Ring], frame: &Matrix4<f64>) -> Result<Ring, Why> {
        let placed = faces.iter().map(|ring| ring.iter().map(|place| frame.transform_point(place)).collect::<Ring>());
        placed
            .map(|ring| (normal(&ring), ring))
            .filter(|(normal, _)| normal.z > UPWARDS * normal.norm())
            .max_by(|a, b| a.0.norm().total_cmp(&b.0.norm()))
            .map(|(_, ring)| ring)
            .ok_or(Why::NoUpper)
    }
}

/// Where no geometry is given.
fn none() -> Why {
    Why::Geometry("none".to_owned())
}

/// Places of a list of places.
fn places(values: &[Value]) -> Ring {
    let places = values.first().map_or(&[][..], Value::items).iter();
    places
        .map(|place| {
            let part = |at: usize| place.items().get(at).and_then(Value::number).unwrap_or(0.0);
            Point3::new(part(0), part(1), part(2))
        })
        .collect()
}

fn normal(ring: &[Point3<f64>]) -> Vector3<f64> {
    let Some(first) = ring.first() else { return Vector3::zeros() };
    ring.windows(2).map(|pair| (pair[0] - first).cross(&(pair[1] - first))).sum()
}
