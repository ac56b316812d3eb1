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
//! | [`takeoff`] | a roof, a material card | courses, packs, weights, costs, steps of work |
//! | [`framing`] | a roof | cutting data: rafters, hips, jacks, backing |
//! | [`job`] | a whole job | the stages above run in order, one answer |
//!
//! Every length is metres, every angle radians and every number `f64`; areas and lengths measured level and those
//! measured on the slope are different types ([`base::units`]).

pub mod base;
pub mod framing;
pub mod job;
pub mod outline;
pub mod roof;
pub mod survey;
pub mod takeoff;
