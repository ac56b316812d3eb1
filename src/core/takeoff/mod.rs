//! From a roof and a material card to what to order: courses, underlay, strips, caps, packs, weights, costs.
//!
//! Each roof face is read into its own frame ([`outline`]), cut into trapezoids ([`region`]) and laid course by course
//! ([`lay`]: every bond of [`bond`] tried, offcuts of [`offcut`] reused). What goes with the covering is counted from the
//! same faces ([`underlay`], [`deck`], [`caps`], [`flashing`], [`rain`], [`fixings`]); [`take_off`] runs them in order.
//! Courses that run through valleys, and starters, are laid joint by joint within the rules (`joints`); [`rows`] and
//! [`details`] tell what was laid, so that no front works it out again.

pub mod advice;
pub mod answer;
mod at_edges;
pub mod bond;
pub mod by_stage;
pub mod caps;
pub mod card;
pub mod compare;
mod course;
pub mod coursing;
pub mod covering;
pub mod deck;
pub mod detail;
pub mod details;
pub mod felt;
pub mod finding;
mod finding_facts;
pub mod fixings;
pub mod flashing;
pub mod goods;
pub mod input;
pub mod item;
mod joints;
mod lacking;
pub mod lay;
pub mod layout;
pub mod line_price;
pub mod lines;
pub mod margins;
pub mod model;
pub mod offcut;
pub mod offer;
mod order;
mod order_covering;
pub mod order_line;
pub mod outline;
pub mod parts;
pub mod pieces;
pub mod prices;
pub mod rain;
pub mod region;
pub mod repair;
pub mod reroof;
pub mod rolls;
pub mod rows;
pub mod runs;
mod scaled;
pub mod scope;
pub mod sheet;
pub mod small;
pub mod snow;
mod starter;
mod stock;
mod take_off;
pub mod thumb;
mod timber;
pub mod timber_goods;
pub mod underlay;
mod unit;
pub mod valley;
pub mod valleys;
pub mod work;

pub use answer::TakeOff;
pub use compare::compare;
pub use finding::Finding;
pub use input::TakeoffInput;
pub use take_off::{covering_item, take_off};
