//! Closed forms of a hip or valley between two slopes of any pitch, at any plan angle.
//!
//! S1, S2 pitches; W plan angle between the two eaves; D1, D2 plan angles between the fold and each eave,
//! D1 + D2 = W; R pitch of the fold:
//!
//! - D1 = atan(sin W / (tan S1 / tan S2 + cos W)), from tan S1 sin D1 = tan S2 sin D2;
//! - R = atan(tan S1 sin D1);
//! - backing of side i = asin(sin Si cos Di);
//! - dihedral = 180° − both backings at a hip, 180° + both at a valley;
//! - sheathing angle, between eave and fold in the slope = atan(tan Di / cos Si);
//! - side cut of a jack, between its length and the fold, on its top = atan(cos Si / tan Di);
//! - side cut of the fold against a plumb plane along eave i, on its unbacked top = atan(cos R tan Di);
//! - mitre of a board set square to the rafters (a fascia not plumb), on its face from square across = atan(sin Si / tan Di);
//! - its bevel, the tilt of the saw from square = asin(cos Si cos Di);
//! - difference of jacks spaced p along the eave = p tan Di / cos Si.
//!
//! These are elementary plane trigonometry; the values printed in carpentry manuals are checked in the tests.

use crate::base::units::{Pitch, PlanLength, TrueLength};
use std::f64::consts::PI;

/// Two slopes that meet in a hip or valley.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Corner {
    /// Pitch of the fold, radians.
    pub pitch: f64,
    /// Both sides.
    pub sides: [CornerSide; 2],
}

/// One side of a hip or valley.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CornerSide {
    /// Pitch of the slope.
    pub pitch: Pitch,
    /// Plan angle between its eave and the fold, radians.
    pub plan_angle: f64,
    /// Bevel planed on the fold's top on this side, from square, radians. The edges of boards that meet over the fold
    /// are bevelled by the same angle from square.
    pub backing: f64,
    /// Angle in the slope between the eave and the fold, radians: the cut across boards laid along the eave.
    pub sheathing: f64,
    /// Mitre of a board set square to the rafters along this side's eave, at the plumb plane of the fold: on its face, from
    /// square across, radians. Both boards meet where both pitches are the same.
    pub square_mitre: f64,
    /// Tilt of the saw, from square, for that mitre, radians.
    pub square_bevel: f64,
    /// Angle on the top of a jack between its length and the fold, radians.
    pub jack_side_cut: f64,
    /// Angle on the unbacked top of the fold's rafter between its length and a plumb plane along this side's eave
    /// (a ridge that runs with it), radians.
    pub fold_side_cut: f64,
    /// How far the fold's rafter is lowered, plumb, for each unit of its thickness, instead of backing it:
    /// tan S cos D / 2. Where sides differ the larger one clears both slopes.
    pub drop_per_thickness: f64,
    /// True length of the fold for each unit of level run of this side's common rafter: 1 / (sin D cos R).
    pub fold_length_per_run: f64,
}

/// Why an angle makes no corner.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("not-a-corner {degrees}")]
pub struct NotACorner {
    /// What was given, degrees.
    pub degrees: f64,
}

impl Corner {
    /// The fold between two eaves that meet in plan at `angle` radians: a hip at a corner of that inside angle, or a
    /// valley at one of 2π less it.
    ///
    /// # Errors
    /// [`NotACorner`] unless strictly between 0 and π.
    pub fn new(pitches: [Pitch; 2], angle: f64) -> Result<Self, NotACorner> {
        if !(angle > 0.0 && angle < PI) {
            return Err(NotACorner { degrees: angle.to_degrees() });
        }
        let ratio = pitches[0].tangent() / pitches[1].tangent();
        let first = angle.sin().atan2(ratio + angle.cos());
        let second = angle.sin().atan2(1.0 / ratio + angle.cos());
        Ok(Self::from_plan_angles(pitches, [first, second]))
    }

    /// The fold whose plan angles to both eaves are known.
    #[must_use]
    pub(crate) fn from_plan_angles(pitches: [Pitch; 2], plan_angles: [f64; 2]) -> Self {
        let rise = pitches[0].tangent() * plan_angles[0].sin();
        let pitch = rise.atan();
        let side = |index: usize| {
            let (slope, plan_angle) = (pitches[index], plan_angles[index]);
            let (sine, cosine) = plan_angle.sin_cos();
            let slope_cosine = 1.0 / slope.slope_factor();
            let slope_sine = slope.tangent() * slope_cosine;
            CornerSide {
                pitch: slope,
                plan_angle,
                backing: (slope_sine * cosine).asin(),
                sheathing: sine.atan2(cosine * slope_cosine),
                square_mitre: (slope_sine * cosine).atan2(sine),
                square_bevel: (slope_cosine * cosine).asin(),
                jack_side_cut: (cosine * slope_cosine).atan2(sine),
                fold_side_cut: (pitch.cos() * sine).atan2(cosine),
                drop_per_thickness: slope.tangent() * cosine / 2.0,
                fold_length_per_run: rise.hypot(1.0) / sine,
            }
        };
        Self { pitch, sides: [side(0), side(1)] }
    }

    /// The plan angle between the eaves, radians.
    #[must_use]
    pub fn plan_angle(&self) -> f64 {
        self.sides[0].plan_angle + self.sides[1].plan_angle
    }

    /// Angle between the faces inside the solid at a hip, radians: π less both backings.
    #[must_use]
    pub fn hip_dihedral(&self) -> f64 {
        PI - self.sides[0].backing - self.sides[1].backing
    }

    /// The same at a valley: π and both backings.
    #[must_use]
    pub fn valley_dihedral(&self) -> f64 {
        PI + self.sides[0].backing + self.sides[1].backing
    }

    /// Plumb cut of the fold's rafter: angle between the cut and a square cut across it, radians (its pitch). The level
    /// cut is at the same angle to its length.
    #[must_use]
    pub fn plumb_cut(&self) -> f64 {
        self.pitch
    }
}

impl CornerSide {
    /// How far a fold's rafter of a thickness is lowered, plumb, instead of backing it, in the unit of the thickness.
    #[must_use]
    pub fn drop_of(&self, thickness: f64) -> f64 {
        self.drop_per_thickness * thickness
    }

    /// Difference in length of neighbouring jacks at a spacing along the eave.
    #[must_use]
    pub fn jack_difference(&self, spacing: PlanLength) -> TrueLength {
        TrueLength(spacing.0 * self.plan_angle.tan() * self.pitch.slope_factor())
    }

    /// The jack's side cut as a carpenter's square takes it: this much on the one arm to 12 on the other.
    #[must_use]
    pub fn jack_side_cut_on_12(&self) -> f64 {
        12.0 * self.jack_side_cut.tan()
    }

    /// The fold's side cut likewise.
    #[must_use]
    pub fn fold_side_cut_on_12(&self) -> f64 {
        12.0 * self.fold_side_cut.tan()
    }
}
