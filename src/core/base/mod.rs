//! Words every stage speaks: units, ids, planes, polygons, diagnostics.

pub mod diagnostic;
pub mod estimate;
pub mod finding;
pub mod groups;
pub mod ids;
pub mod name;
pub mod overlay;
pub mod parry;
pub mod place;
pub mod plane;
pub mod polygon;
pub mod quantity;
pub mod schema;
pub mod several;
pub mod tolerance;
pub mod units;
pub mod written;
