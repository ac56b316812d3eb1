//! eavewright turns a tape, a pitch reading and a phone photo into a roof you can trust, order for, cut for and lay.
//!
//! The modules stand in the order a job takes, from what was measured to what is handed over:
//!
//! | module | takes | gives |
//! |---|---|---|
//! | [`base`] | | units, ids, planes, polygons, diagnostics: the words the other modules speak |
//! | [`input`] | a roof file, a material card | a [`job::Job`] and a source map from ids to places in the file |
//! | [`survey`] | observations with their sigmas | adjusted places with their covariance, and which observation to doubt |
//! | [`outline`] | walked or placed rings, roles of sides | drip-edge footprints with a profile a side |
//! | [`roof`] | footprints, or faces by points | a verified [`roof::Roof`]: faces, edges, volume |
//! | [`picture`] | a photo's pixels | edges and corners found in them, to a part of a pixel |
//! | [`takeoff`] | a roof, a material card | courses, packs, weights, costs, advice |
//! | [`framing`] | a roof | cutting data: rafters, hips, jacks, backing |
//! | [`drawing`] | a roof and what was laid out on it | drawings free of any device or format |
//! | [`job`] | a whole job | the stages above run in order, one answer |
//! | [`wording`] | findings, numbers, steps of work | words in the units of a job |
//! | [`mod@write`] | answers and drawings | SVG, PDF, DXF, glTF, CSV, JSON |
//! | `viewer` | a job | the window and pictures without a display (feature `viewer`) |
//! | [`cli`] | the command line | all of it, for a person at a terminal |
//!
//! Inside the core every length is metres, every angle radians and every number `f64`; areas and lengths measured
//! level and those measured on the slope are different types ([`base::units`]).

pub use eavewright_core::{base, framing, job, outline, picture, roof, survey, takeoff};

pub mod cli;
pub mod drawing;
pub mod input;
#[cfg(feature = "viewer")]
pub mod viewer;
pub mod wording;
pub mod write;
