//! The solid of a roof as glTF 2.0 (ISO/IEC 12113:2022), binary or text.
//!
//! Mesh `roof` has one primitive a face, in the order of [`Roof::faces`], each with its name, kind, area (m²), plan area
//! and pitch (degrees) in `extras`; mesh `body` holds the walls below the outline and the floor, so that both together
//! are the closed solid. glTF's y points up: a place (x, y, z) of the site is written (x, z, -y). The same roof gives
//! the same bytes.

use crate::base::ids::FaceId;
use crate::base::name::Name;
use crate::roof::model::solid::Solid;
use crate::roof::{Face, FaceKind, Roof};
use base64::Engine;
use gltf_json as json;
use json::validation::{Checked, USize64};
use nalgebra::{Point3, Vector3};
use std::collections::BTreeMap;

/// Beyond this distance from the site's origin, metres, places are written relative to a whole-metre node translation:
/// an `f32` keeps a hundredth of a millimetre up to here.
const NEAR: f64 = 128.0;

/// Linear colours of the three materials (glTF's base colours are linear, not sRGB): roof, walls above the outline, body.
const MATERIALS: [(&str, [f32; 4]); 3] = [
    ("roof", [0.133, 0.180, 0.216, 1.0]),
    ("wall above a roof", [0.584, 0.549, 0.479, 1.0]),
    ("walls and floor", [0.693, 0.658, 0.584, 1.0]),
];

/// The solid as one binary file (`.glb`). O(triangles).
#[must_use]
pub fn glb(roof: &Roof, solid: &Solid, title: &str) -> Vec<u8> {
    let (root, binary) = assemble(roof, solid, title, None);
    let text = padded(to_text(&root).into_bytes(), b' ');
    let binary = padded(binary, 0);
    let binary_chunk = if binary.is_empty() { 0 } else { 8 + binary.len() };
    let mut bytes = Vec::with_capacity(20 + text.len() + binary_chunk);
    bytes.extend_from_slice(b"glTF");
    bytes.extend_from_slice(&2_u32.to_le_bytes());
    bytes.extend_from_slice(&to_u32(20 + text.len() + binary_chunk).to_le_bytes());
    bytes.extend_from_slice(&to_u32(text.len()).to_le_bytes());
    bytes.extend_from_slice(b"JSON");
    bytes.extend_from_slice(&text);
    if !binary.is_empty() {
        bytes.extend_from_slice(&to_u32(binary.len()).to_le_bytes());
        bytes.extend_from_slice(b"BIN\0");
        bytes.extend_from_slice(&binary);
    }
    bytes
}

/// The solid as one text file (`.gltf`) that carries its buffer as a data URI. O(triangles).
#[must_use]
pub fn gltf(roof: &Roof, solid: &Solid, title: &str) -> String {
    let uri = |binary: &[u8]| {
        let encoded = base64::engine::general_purpose::STANDARD.encode(binary);
        format!("data:application/octet-stream;base64,{encoded}")
    };
    let (root, _) = assemble(roof, solid, title, Some(&uri));
    to_text(&root)
}

/// Places of a solid as the file has them, so that what it holds can be checked.
pub fn written(solid: &Solid) -> impl Fn(&Point3<f64>) -> [u32; 3] + use<> {
    let origin = origin_of(&solid.positions);
    move |place| y_up(&(place.coords - origin)).map(f32::to_bits)
}

fn to_text(root: &json::Root) -> String {
    // Serialising plain data to a string has no way to fail; an empty document would be caught by every reader.
    json::serialize::to_string(root).unwrap_or_default()
}

fn padded(mut bytes: Vec<u8>, with: u8) -> Vec<u8> {
    bytes.resize(bytes.len().next_multiple_of(4), with);
    bytes
}

fn to_u32(length: usize) -> u32 {
    u32::try_from(length).unwrap_or(u32::MAX)
}

type UriOf<'a> = &'a dyn Fn(&[u8]) -> String;

fn assemble(roof: &Roof, solid: &Solid, title: &str, uri: Option<UriOf>) -> (json::Root, Vec<u8>) {
    let mut groups: BTreeMap<Option<FaceId>, Vec<[u32; 3]>> = BTreeMap::new();
    for (triangle, face) in solid.triangles.iter().zip(&solid.face_of) {
        groups.entry(*face).or_default().push(*triangle);
    }
    let origin = origin_of(&solid.positions);
    let mut file = File::default();
    let mut primitives = Vec::new();
    for (index, face) in roof.faces.iter().enumerate() {
        let Some(triangles) = groups.get(&Some(FaceId::new(index))) else { continue };
        let material = usize::from(face.kind == FaceKind::Wall);
        let group = Group::of(solid, triangles, &origin, Some(face.plane.normal));
        primitives.extend(file.primitive(&group, material, extras(&facts(roof, face))));
    }
    let body = groups.get(&None).and_then(|triangles| {
        let group = Group::of(solid, triangles, &origin, None);
        file.primitive(&group, 2, extras(&serde_json::json!({ "name": "walls and floor", "kind": "body" })))
    });
    let meshes = [("roof", primitives), ("body", body.into_iter().collect())];
    let meshes = meshes.into_iter().filter(|(_, primitives)| !primitives.is_empty()).collect();
    file.finish(title, meshes, &origin, uri)
}

/// What a reader of the file wants to know of a face.
fn facts(roof: &Roof, face: &Face) -> serde_json::Value {
    serde_json::json!({
        "name": face.name().as_str(),
        "kind": if face.kind == FaceKind::Roof { "roof" } else { "wall" },
        "block": face.block().map(Name::as_str),
        "sides": face.side_names().iter().map(Name::as_str).collect::<Vec<_>>(),
        "area": f64::from(roof.area(face)),
        "plan_area": f64::from(roof.plan_area(face)),
        "pitch": face.plane.pitch().to_degrees(),
    })
}

fn extras(value: &serde_json::Value) -> json::Extras {
    serde_json::value::to_raw_value(value).ok()
}

/// The whole-metre place that positions are written relative to.
fn origin_of(places: &[Point3<f64>]) -> Vector3<f64> {
    let far = places.iter().any(|place| place.coords.amax() > NEAR);
    match places.first() {
        Some(first) if far => first.coords.map(f64::round),
        _ => Vector3::zeros(),
    }
}

#[allow(clippy::cast_possible_truncation)]
fn y_up(place: &Vector3<f64>) -> [f32; 3] {
    // `+ 0.0` writes a zero without its sign.
    [place.x as f32 + 0.0, place.z as f32 + 0.0, -place.y as f32 + 0.0]
}

/// Triangles of one face (or of the body), as written: positions with one normal each, and indices into them.
struct Group {
    positions: Vec<[f32; 3]>,
    normals: Vec<[f32; 3]>,
    indices: Vec<u32>,
}

impl Group {
    /// One normal for a face; a normal a triangle for the body, whose corners are then not shared.
    fn of(solid: &Solid, triangles: &[[u32; 3]], origin: &Vector3<f64>, normal: Option<Vector3<f64>>) -> Self {
        let mut group = Self { positions: Vec::new(), normals: Vec::new(), indices: Vec::new() };
        let mut seen: BTreeMap<([u32; 3], [u32; 3]), u32> = BTreeMap::new();
        for triangle in triangles {
            let places = triangle.map(|corner| solid.positions[corner as usize]);
            let own = (places[1] - places[0]).cross(&(places[2] - places[0]));
            let written = places.map(|place| y_up(&(place.coords - origin)));
            let degenerate = (0..3).any(|i| written[i] == written[(i + 1) % 3]);
            let Some(direction) = normal.unwrap_or(own).try_normalize(0.0).filter(|_| !degenerate) else { continue };
            let direction = unit(y_up(&direction));
            for place in written {
                let key = (place.map(f32::to_bits), direction.map(f32::to_bits));
                let index = *seen.entry(key).or_insert_with(|| {
                    group.positions.push(place);
                    group.normals.push(direction);
                    to_u32(group.positions.len() - 1)
                });
                group.indices.push(index);
            }
        }
        group
    }
}

/// Normalised again after the cast, as the format asks for unit length to within its own tolerance.
fn unit(v: [f32; 3]) -> [f32; 3] {
    let length = v.iter().map(|c| c * c).sum::<f32>().sqrt();
    v.map(|c| c / length)
}

/// The file in the making: one buffer, a view and an accessor for each array.
#[derive(Default)]
struct File {
    root: json::Root,
    binary: Vec<u8>,
}

impl File {
    fn primitive(&mut self, group: &Group, material: usize, extras: json::Extras) -> Option<json::mesh::Primitive> {
        use json::mesh::Semantic::{Normals, Positions};
        if group.indices.is_empty() {
            return None;
        }
        let attributes = BTreeMap::from([
            (Checked::Valid(Positions), self.vectors(&group.positions, true)),
            (Checked::Valid(Normals), self.vectors(&group.normals, false)),
        ]);
        Some(json::mesh::Primitive {
            attributes,
            extensions: None,
            extras,
            indices: Some(self.indices(&group.indices)),
            material: Some(json::Index::new(to_u32(material))),
            mode: Checked::Valid(json::mesh::Mode::Triangles),
            targets: None,
        })
    }

    fn vectors(&mut self, values: &[[f32; 3]], bounds: bool) -> json::Index<json::Accessor> {
        let bytes = values.iter().flatten().flat_map(|c| c.to_le_bytes()).collect();
        let bound = |pick: fn(f32, f32) -> f32| {
            let axis = |i: usize| values.iter().map(|v| v[i]).reduce(pick).unwrap_or_default();
            bounds.then(|| serde_json::json!([axis(0), axis(1), axis(2)]))
        };
        let view = self.view(bytes, json::buffer::Target::ArrayBuffer);
        self.accessor(
            view,
            values.len(),
            json::accessor::ComponentType::F32,
            json::accessor::Type::Vec3,
            [bound(f32::min), bound(f32::max)],
        )
    }

    fn indices(&mut self, values: &[u32]) -> json::Index<json::Accessor> {
        let short: Result<Vec<u16>, _> = values.iter().map(|&index| u16::try_from(index)).collect();
        // 65535 is kept free: some readers take it for a restart of the primitive.
        let (bytes, component) = match short {
            Ok(short) if short.iter().all(|&index| index < u16::MAX) => {
                (short.iter().flat_map(|i| i.to_le_bytes()).collect(), json::accessor::ComponentType::U16)
            }
            _ => (values.iter().flat_map(|i| i.to_le_bytes()).collect(), json::accessor::ComponentType::U32),
        };
        let view = self.view(bytes, json::buffer::Target::ElementArrayBuffer);
        self.accessor(view, values.len(), component, json::accessor::Type::Scalar, [None, None])
    }

    fn view(&mut self, bytes: Vec<u8>, target: json::buffer::Target) -> json::Index<json::buffer::View> {
        let view = json::buffer::View {
            buffer: json::Index::new(0),
            byte_length: USize64::from(bytes.len()),
            byte_offset: Some(USize64::from(self.binary.len())),
            byte_stride: None,
            extensions: None,
            extras: None,
            name: None,
            target: Some(Checked::Valid(target)),
        };
        self.binary.extend(padded(bytes, 0));
        self.root.push(view)
    }

    fn accessor(
        &mut self,
        view: json::Index<json::buffer::View>,
        count: usize,
        component: json::accessor::ComponentType,
        kind: json::accessor::Type,
        [min, max]: [Option<serde_json::Value>; 2],
    ) -> json::Index<json::Accessor> {
        self.root.push(json::Accessor {
            buffer_view: Some(view),
            byte_offset: None,
            count: USize64::from(count),
            component_type: Checked::Valid(json::accessor::GenericComponentType(component)),
            extensions: None,
            extras: None,
            type_: Checked::Valid(kind),
            min,
            max,
            name: None,
            normalized: false,
            sparse: None,
        })
    }

    fn finish(
        mut self,
        title: &str,
        meshes: Vec<(&str, Vec<json::mesh::Primitive>)>,
        origin: &Vector3<f64>,
        uri: Option<UriOf>,
    ) -> (json::Root, Vec<u8>) {
        let root = &mut self.root;
        root.asset = json::Asset { generator: Some("eavewright".into()), ..json::Asset::default() };
        let used = used_materials(&meshes);
        for &material in &used {
            root.materials.push(material_named(MATERIALS[material as usize]));
        }
        let mut nodes = Vec::new();
        for (name, mut primitives) in meshes {
            for material in primitives.iter_mut().filter_map(|primitive| primitive.material.as_mut()) {
                let place = used.iter().position(|&used| used as usize == material.value()).unwrap_or(0);
                *material = json::Index::new(to_u32(place));
            }
            let mesh =
                json::Mesh { extensions: None, extras: None, name: Some(name.into()), primitives, weights: None };
            let node = json::Node {
                mesh: Some(root.push(mesh)),
                name: Some(name.into()),
                translation: (*origin != Vector3::zeros()).then(|| y_up(origin)),
                ..json::Node::default()
            };
            nodes.push(root.push(node));
        }
        let extras = extras(&serde_json::json!({ "title": title, "unit": "m" }));
        let scene = json::Scene { extensions: None, extras, name: Some(title.into()), nodes };
        root.scene = Some(root.push(scene));
        if !self.binary.is_empty() {
            root.push(json::Buffer {
                byte_length: USize64::from(self.binary.len()),
                name: None,
                uri: uri.map(|uri| uri(&self.binary)),
                extensions: None,
                extras: None,
            });
        }
        (self.root, self.binary)
    }
}

/// Materials in use, ascending: a file declares no object it doesn't use.
fn used_materials(meshes: &[(&str, Vec<json::mesh::Primitive>)]) -> Vec<u32> {
    let all = meshes.iter().flat_map(|(_, primitives)| primitives).filter_map(|primitive| primitive.material);
    let mut used: Vec<u32> = all.map(|material| to_u32(material.value())).collect();
    used.sort_unstable();
    used.dedup();
    used
}

fn material_named((name, colour): (&str, [f32; 4])) -> json::Material {
    json::Material {
        name: Some(name.into()),
        pbr_metallic_roughness: json::material::PbrMetallicRoughness {
            base_color_factor: json::material::PbrBaseColorFactor(colour),
            metallic_factor: json::material::StrengthFactor(0.0),
            roughness_factor: json::material::StrengthFactor(0.9),
            ..json::material::PbrMetallicRoughness::default()
        },
        ..json::Material::default()
    }
}
