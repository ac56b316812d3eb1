//! Arrays of a glTF file: one buffer, a view and an accessor for each array.

use crate::roof::model::solid::Solid;
use gltf_json as json;
use json::validation::{Checked, USize64};
use nalgebra::Vector3;
use std::collections::BTreeMap;

/// The extension that says which of several things a vertex belongs to (in the register of glTF's extensions).
const MESH_FEATURES: &str = "EXT_mesh_features";

/// Triangles of one face (or of the body), as written: positions with one normal each, and indices into them.
pub(super) struct Group {
    positions: Vec<[f32; 3]>,
    normals: Vec<[f32; 3]>,
    indices: Vec<u32>,
}

impl Group {
    /// One normal for a face; a normal a triangle for the body, whose corners are then not shared.
    pub(super) fn of(
        solid: &Solid,
        triangles: &[[u32; 3]],
        origin: &Vector3<f64>,
        normal: Option<Vector3<f64>>,
    ) -> Self {
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
pub(super) struct File {
    pub(super) root: json::Root,
    pub(super) binary: Vec<u8>,
}

impl File {
    /// Triangles; `None` where there are none.
    pub(super) fn triangles(&mut self, group: &Group, material: u32) -> Option<json::mesh::Primitive> {
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
            extras: None,
            indices: Some(self.indices(&group.indices)),
            material: Some(json::Index::new(material)),
            mode: Checked::Valid(json::mesh::Mode::Triangles),
            targets: None,
        })
    }

    /// Straight lines between pairs of places, each line a feature of its own (`EXT_mesh_features`): its number is that of
    /// its facts in the node's extras.
    pub(super) fn lines(&mut self, places: &[[f32; 3]], material: u32) -> json::mesh::Primitive {
        let positions = self.vectors(places, true);
        let numbers = self.numbers_of_pairs(places.len());
        let feature_ids = serde_json::json!({
            "featureIds": [{ "featureCount": places.len() / 2, "attribute": 0, "label": "edge" }]
        });
        let used = &mut self.root.extensions_used;
        if !used.iter().any(|name| name == MESH_FEATURES) {
            used.push(MESH_FEATURES.to_owned());
        }
        json::mesh::Primitive {
            attributes: BTreeMap::from([
                (Checked::Valid(json::mesh::Semantic::Positions), positions),
                (Checked::Valid(json::mesh::Semantic::Extras("FEATURE_ID_0".to_owned())), numbers),
            ]),
            extensions: Some(json::extensions::mesh::Primitive {
                others: serde_json::Map::from_iter([(MESH_FEATURES.to_owned(), feature_ids)]),
            }),
            extras: None,
            indices: None,
            material: Some(json::Index::new(material)),
            mode: Checked::Valid(json::mesh::Mode::Lines),
            targets: None,
        }
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

    /// 0, 0, 1, 1, 2, 2 …, as floats, for an attribute's elements begin at multiples of four bytes; a float counts to 16 million.
    fn numbers_of_pairs(&mut self, count: usize) -> json::Index<json::Accessor> {
        let bytes = (0..count).flat_map(|at| ((at / 2) as f32).to_le_bytes()).collect();
        let view = self.view(bytes, json::buffer::Target::ArrayBuffer);
        let component = json::accessor::ComponentType::F32;
        self.accessor(view, count, component, json::accessor::Type::Scalar, [None, None])
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
}

pub(super) fn padded(mut bytes: Vec<u8>, with: u8) -> Vec<u8> {
    bytes.resize(bytes.len().next_multiple_of(4), with);
    bytes
}

pub(super) fn to_u32(length: usize) -> u32 {
    u32::try_from(length).unwrap_or(u32::MAX)
}

#[allow(clippy::cast_possible_truncation)]
pub(super) fn y_up(place: &Vector3<f64>) -> [f32; 3] {
    // `+ 0.0` writes a zero without its sign.
    [place.x as f32 + 0.0, place.z as f32 + 0.0, -place.y as f32 + 0.0]
}
