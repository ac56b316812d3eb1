//! What of a roof is drawn: plan, faces, elevations, sections, construction, net, photos.

pub mod body;
pub mod building;
pub mod clip;
pub mod construction;
pub mod cut;
pub mod detail;
pub mod elevation;
mod extent;
pub mod face;
pub mod face_groups;
pub mod hidden;
pub mod net;
pub mod net_sheets;
pub mod outline;
pub mod overlay;
pub mod painter;
pub mod photo_page;
mod picture;
pub mod plan;
pub mod renewed;
pub mod rows;
pub mod section;
mod set_out;
pub mod timber_piece;
pub mod timber_plan;
pub mod unfold;
