//! Lengths and pitches as people write them: `11' 3 1/2"`, `7:12`, `70 %`.
//!
//! | function | reads | gives |
//! |---|---|---|
//! | [`length`] | `7.20 m`, `345 cm`, `11' 3 1/2"`, `11 ft 3.5 in`, `2 m 40 cm` | metres |
//! | [`pitch`] | `35`, `35°`, `35 deg`, `7:12`, `7 in 12`, `70 %` | a [`Pitch`](super::units::Pitch) |
//! | [`turn`] | `L`, `R`, `L 45`, `-30` | radians, left positive |
//! | [`angle`] | `0.3`, `0.3°`, `12° 30'` | radians |
//! | [`bearing`] | `SW`, `225` | radians clockwise from north |
//! | [`fraction`] | `15 %` | 0.15 |
//!
//! Decimals take a point. A decimal comma is refused, because `3,450 mm` has two readings; the error spells out both.
//! Marks a phone's keyboard likes to change (curly quotes, primes, `½`, non-breaking spaces) are read as what they
//! stand for. Decimal metric lengths are converted in decimal, so `345 cm`, `3450 mm` and `3.45 m` are the same `f64`.

mod error;
mod format;
mod length;
mod slope;
mod tokens;

pub use error::{Quantity, QuantityError, Reason};
pub use format::{area_for_people, degrees_for_people, feet_inches, length_for_people, metres};
pub use length::{bare_length, length};
pub use slope::{Turn, angle, bearing, fraction, pitch, turn};
