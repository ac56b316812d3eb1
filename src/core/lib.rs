//! Roof geometry, survey adjustment and layout of coverings: the part of eavewright that knows no file, no terminal,
//! no paper, no colour and no sentence.
//!
//! The modules stand in the order a job takes:
//!
//! | module | takes | gives |
//! |---|---|---|
//! | [`base`] | | units, ids, planes, polygons, estimates, findings: the words the other modules speak |
//! | [`survey`] | observations with their sigmas | adjusted places with their covariance, and which observation to doubt |
//! | [`outline`] | walked or placed rings, roles of sides | drip-edge footprints with a profile a side |
//! | [`roof`] | footprints, or faces by points | a verified [`roof::Roof`]: faces, edges, volume |
//! | [`picture`] | a photo's pixels | edges and corners found in them, to a part of a pixel |
//! | [`takeoff`] | a roof, a material card | courses, packs, weights, costs, steps of work |
//! | [`framing`] | a roof | cutting data: rafters, hips, jacks, backing |
//! | [`job`] | a whole job | the stages above run in order, one answer |
//!
//! A roof from its footprint, in ten lines ([`prelude`]; `examples/hip_roof.rs` goes on from here):
//!
//! ```
//! use eavewright_core::prelude::*;
//!
//! let eave = Role::eave(Pitch::from_degrees(35.0)?);
//! let corners = [(0.0, 0.0), (9.2, 0.0), (9.2, 5.6), (0.0, 5.6)];
//! let outline = Footprint::builder("store").at_height(2.4);
//! let outline = corners.into_iter().fold(outline, |outline, (x, y)| outline.corner(x, y, eave.clone()));
//! let roof = solve(&[outline.build()?], &Options::default())?;
//! // Four slopes of one pitch over 9.20 by 5.60 m.
//! assert!((roof.total_area().0 - 9.2 * 5.6 / 35_f64.to_radians().cos()).abs() < 1e-9);
//! assert_eq!(roof.edges_by_kind()[&EdgeKind::Hip].len(), 4);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! Every length is metres, every angle radians and every number `f64`; areas and lengths measured level and those
//! measured on the slope are different types ([`base::units`]).

pub mod base;
pub mod framing;
pub mod job;
pub mod outline;
pub mod picture;
pub mod prelude;
pub mod roof;
pub mod survey;
pub mod takeoff;
