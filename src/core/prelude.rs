//! What a program that solves roofs begins with: `use eavewright_core::prelude::*`.

pub use crate::base::finding::{Finding as _, Severity};
pub use crate::base::units::{Pitch, PlanArea, PlanLength, TrueArea, TrueLength};
pub use crate::framing::{common_rafters, cutting_data};
pub use crate::outline::{Footprint, Role, TakesOver};
pub use crate::roof::analysis::drainage::drain;
pub use crate::roof::{EdgeKind, FaceKind, Options, Roof, SolveError, solve, solve_one};
