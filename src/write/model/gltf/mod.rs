//! The solid of a roof as glTF 2.0 (ISO/IEC 12113:2022), binary or text.
//!
//! One node a block, and in it one a face, named as the face is, with its kind, areas (m²), pitch and aspect (degrees) in
//! `extras`; one node for the walls below the outline and the floor, so that all together are the closed solid; one node for
//! each thing that stands out of it, a closed solid of its own; one node
//! `edges` with a node of lines for each kind of edge, in which a vertex says which edge of the node's `extras` it belongs to
//! (`EXT_mesh_features`). glTF's y points up: a place (x, y, z) of the site is written
//! (x, z, -y). The same roof gives the same bytes.

mod buffers;

use super::facts::{BODY, Model, Paint};
use crate::base::ids::FaceId;
use crate::roof::model::solid::Solid;
use base64::Engine;
use buffers::{File, Group, padded, to_u32, y_up};
use gltf_json as json;
use json::validation::USize64;
use nalgebra::{Point3, Vector3};
use serde_json::Value;
use std::collections::BTreeMap;

/// Beyond this distance from the site's origin, metres, places are written relative to a whole-metre node translation:
/// an `f32` keeps a hundredth of a millimetre up to here.
const NEAR: f64 = 128.0;

/// The solid as one binary file (`.glb`). O(triangles).
#[must_use]
pub fn glb(model: &Model) -> Vec<u8> {
    let (root, binary) = assemble(model, None);
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
pub fn gltf(model: &Model) -> String {
    let uri = |binary: &[u8]| {
        let encoded = base64::engine::general_purpose::STANDARD.encode(binary);
        format!("data:application/octet-stream;base64,{encoded}")
    };
    let (root, _) = assemble(model, Some(&uri));
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

type UriOf<'a> = &'a dyn Fn(&[u8]) -> String;

/// The whole-metre place that positions are written relative to.
fn origin_of(places: &[Point3<f64>]) -> Vector3<f64> {
    let far = places.iter().any(|place| place.coords.amax() > NEAR);
    match places.first() {
        Some(first) if far => first.coords.map(f64::round),
        _ => Vector3::zeros(),
    }
}

fn extras(value: &Value) -> json::Extras {
    serde_json::value::to_raw_value(value).ok()
}

/// The document in the making: what is shared by its nodes.
struct Scene {
    file: File,
    materials: Vec<Paint>,
}

type Node = json::Index<json::Node>;

impl Scene {
    /// The material of a part, made where it is first used: a file declares no object it does not use.
    fn material(&mut self, paint: Paint) -> u32 {
        let place = self.materials.iter().position(|known| *known == paint).unwrap_or_else(|| {
            self.materials.push(paint);
            let [red, green, blue] = paint.linear();
            self.file.root.materials.push(json::Material {
                name: Some(paint.name().into()),
                pbr_metallic_roughness: json::material::PbrMetallicRoughness {
                    base_color_factor: json::material::PbrBaseColorFactor([red, green, blue, 1.0]),
                    metallic_factor: json::material::StrengthFactor(0.0),
                    roughness_factor: json::material::StrengthFactor(0.9),
                    ..json::material::PbrMetallicRoughness::default()
                },
                ..json::Material::default()
            });
            self.materials.len() - 1
        });
        to_u32(place)
    }

    /// A node with one mesh of its own.
    fn shown(&mut self, name: &str, primitive: json::mesh::Primitive, facts: &Value) -> Node {
        let extras = extras(facts);
        let mesh = json::Mesh {
            extensions: None,
            extras: extras.clone(),
            name: Some(name.into()),
            primitives: vec![primitive],
            weights: None,
        };
        let mesh = Some(self.file.root.push(mesh));
        self.file.root.push(json::Node { mesh, name: Some(name.into()), extras, ..json::Node::default() })
    }

    /// A node of nodes.
    fn group(&mut self, name: &str, children: Vec<Node>, facts: &Value) -> Node {
        let (name, extras) = (Some(name.to_owned()), extras(facts));
        self.file.root.push(json::Node { children: Some(children), name, extras, ..json::Node::default() })
    }
}

fn assemble(model: &Model, uri: Option<UriOf>) -> (json::Root, Vec<u8>) {
    let (roof, solid) = (model.roof(), model.solid);
    let mut groups: BTreeMap<Option<FaceId>, Vec<[u32; 3]>> = BTreeMap::new();
    for (triangle, face) in solid.triangles.iter().zip(&solid.face_of) {
        groups.entry(*face).or_default().push(*triangle);
    }
    let origin = origin_of(&solid.positions);
    let mut scene = Scene { file: File::default(), materials: Vec::new() };
    let mut nodes = Vec::new();
    for (block, faces) in model.blocks() {
        let mut children = Vec::new();
        for id in faces {
            let Some(triangles) = groups.get(&Some(id)) else { continue };
            let face = &roof.faces[id.index()];
            let material = scene.material(Paint::of(roof, Some(id)));
            let group = Group::of(solid, triangles, &origin, Some(face.plane.normal));
            if let Some(primitive) = scene.file.triangles(&group, material) {
                children.push(scene.shown(&face.name(), primitive, &Value::Object(model.of_face(id))));
            }
        }
        if !children.is_empty() {
            nodes.push(scene.group(block, children, &serde_json::json!({ "kind": "block", "block": block })));
        }
    }
    if let Some(triangles) = groups.get(&None) {
        let material = scene.material(Paint::Body);
        let group = Group::of(solid, triangles, &origin, None);
        if let Some(primitive) = scene.file.triangles(&group, material) {
            nodes.push(scene.shown(BODY, primitive, &serde_json::json!({ "name": BODY, "kind": "body" })));
        }
    }
    for (name, part) in model.raised {
        let material = scene.material(Paint::Raised);
        let group = Group::of(part, &part.triangles, &origin, None);
        if let Some(primitive) = scene.file.triangles(&group, material) {
            nodes.push(scene.shown(name, primitive, &serde_json::json!({ "name": name, "kind": "raised" })));
        }
    }
    let kinds: Vec<Node> = model
        .edges_by_kind()
        .into_iter()
        .map(|(kind, edges)| {
            let ends = edges.iter().map(|id| &roof.edges[id.index()]).flat_map(|edge| [edge.from, edge.to]);
            let places: Vec<[f32; 3]> = ends.map(|corner| y_up(&(roof.at(corner).coords - origin))).collect();
            let material = scene.material(Paint::Edge(kind));
            let lines = scene.file.lines(&places, material);
            let edges: Vec<Value> = edges.into_iter().map(|id| Value::Object(model.of_edge(id))).collect();
            scene.shown(kind.word(), lines, &serde_json::json!({ "kind": kind.word(), "edges": edges }))
        })
        .collect();
    if !kinds.is_empty() {
        nodes.push(scene.group("edges", kinds, &serde_json::json!({ "kind": "edges" })));
    }
    finish(model, scene.file, nodes, &origin, uri)
}

fn finish(
    model: &Model,
    File { mut root, binary }: File,
    nodes: Vec<Node>,
    origin: &Vector3<f64>,
    uri: Option<UriOf>,
) -> (json::Root, Vec<u8>) {
    root.asset = json::Asset { generator: Some("eavewright".into()), ..json::Asset::default() };
    if *origin != Vector3::zeros() {
        for node in &nodes {
            root.nodes[node.value()].translation = Some(y_up(origin));
        }
    }
    let mut facts = model.of_whole();
    facts.insert("title".into(), model.title.into());
    facts.insert("unit".into(), "m".into());
    let extras = extras(&Value::Object(facts));
    let scene = json::Scene { extensions: None, extras, name: Some(model.title.into()), nodes };
    root.scene = Some(root.push(scene));
    if !binary.is_empty() {
        root.push(json::Buffer {
            byte_length: USize64::from(binary.len()),
            name: None,
            uri: uri.map(|uri| uri(&binary)),
            extensions: None,
            extras: None,
        });
    }
    (root, binary)
}
