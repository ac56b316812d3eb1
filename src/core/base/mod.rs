//! Words every stage speaks: units, ids, planes, polygons, diagnostics.

pub mod cells;
pub mod diagnostic;
pub mod estimate;
pub mod file_tree;
pub mod finding;
pub mod gradient;
pub mod ids;
pub mod multi_error;
pub mod name;
pub mod order;
pub mod parry;
pub mod place;
pub mod plane;
pub mod polygon;
pub mod polygon_boolean;
pub mod quantity;
pub mod schema;
pub mod tolerance;
pub mod union_find;
pub mod units;
pub mod wkb;
