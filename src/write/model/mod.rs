//! The roof as a model, in open formats: what a file says of its faces and edges, and the files.
//!
//! Where a roof hangs over, its gables and other walls above the outline are drawn at the walls' line, among the walls; under
//! their own names stands what is left of them at the verge, the rim of a sheet a tenth of a millimetre thick.

pub mod cityjson;
pub mod csv;
pub mod facts;
pub mod geojson;
pub mod gltf;
pub mod ifc;
pub mod obj;
pub mod polygons;
pub mod stl;
pub mod threemf;

pub use facts::Model;
