//! From a roof and a material card to what to order: courses, underlay, strips, caps, packs, weights, costs.

pub mod card;
pub mod goods;
pub mod layout;
pub mod model;
