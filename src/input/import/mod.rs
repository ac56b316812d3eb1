//! Files of other kinds, read for what a roof file can say: outlines, roof faces, points.

pub mod city;
pub mod dxf;
pub mod ifc;
mod step;
pub mod survey;

/// Why a file as a whole is not read: what was found, and what was expected.
pub type Refusal = String;
