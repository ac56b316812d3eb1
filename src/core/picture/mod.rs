//! Edges and corners found in the pixels of a photo, to a part of a pixel, with the standard deviation that the picture
//! itself gives them.
//!
//! ```text
//! grey ─► profile ─► line ─► corner
//!                      └───► edges (a placed photo: every edge that is seen)
//! ```
//!
//! Nothing is found where nothing is there: a line is believed when so many of its profiles agree that chance would not
//! bring it about ([`Refusal`] says why else).

mod chance;
pub mod corner;
pub mod edges;
pub mod grey;
pub mod join;
pub mod line;
mod profile;
mod refusal;
pub mod seen;

pub use corner::{Corner, corner_near};
pub use edges::{EdgeInPhoto, edges};
pub use grey::Grey;
pub use line::{PictureLine, Place, line_along};
pub use refusal::Refusal;
