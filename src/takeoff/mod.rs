//! From a roof and a material card to what to order: courses, underlay, strips, caps, packs, weights, costs.

pub mod bond;
pub mod card;
pub mod course;
pub mod goods;
pub mod lay;
pub mod layout;
pub mod model;
pub mod offcut;
pub mod outline;
pub mod region;
