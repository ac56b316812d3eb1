//! What the roof kernel takes: rings of sides at the drip edge, each with what the roof does above it.

use crate::base::name::{Name, SideName};
use crate::base::units::Pitch;
use nalgebra::Point2;

/// One block's footprint on the site plan.
///
/// Invariants (checked by [`Footprint::check_invariants`]): the outer ring runs anticlockwise and holes clockwise, so
/// the roof lies to the left of every side; every ring has three sides or more; at least one side is an eave.
#[derive(Clone, Debug, PartialEq)]
pub struct Footprint {
    /// The block's name.
    pub name: Name,
    /// Height of the outline above datum, metres: the lowest height of those of its sides that slope.
    pub height: f64,
    /// The outer ring first, then holes.
    pub rings: Vec<Ring>,
    /// The wall lines in plan, ring by ring in the same order and direction, where the outline was measured at the
    /// wall: the feet of the closed solid. `None`: the walls stand under the drip edge.
    pub walls: Option<Vec<Vec<Point2<f64>>>>,
    /// Which of two slopes of one direction goes on where they come into one line.
    pub take_over: TakesOver,
}

/// Which of two slopes of one direction goes on where they come into one line above the eaves; what stands plumb there
/// always stays.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum TakesOver {
    /// The flatter, along a level pitch-break.
    #[default]
    Flatter,
    /// The steeper.
    Steeper,
}

/// A promise that a footprint does not keep.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unsound {
    /// A ring without three sides.
    TooFewSides {
        /// Its place, 0 for the outer one.
        ring: usize,
        /// How many it has.
        sides: usize,
    },
    /// An outer ring that runs clockwise, or a hole that runs anticlockwise.
    WrongWayRound {
        /// Its place, 0 for the outer one.
        ring: usize,
    },
    /// No side that a slope rises from.
    NoEave,
}

impl std::fmt::Display for Unsound {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{self:?}")
    }
}

impl std::error::Error for Unsound {}

/// A closed ring of sides.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ring {
    /// In order; each ends where the next starts.
    pub sides: Vec<Side>,
}

/// One side: from its own start to the next side's.
#[derive(Clone, Debug, PartialEq)]
pub struct Side {
    /// Unique within the block.
    pub name: Name,
    /// Where it starts on the site plan, metres.
    pub start: Point2<f64>,
    /// Its own height above datum, metres.
    pub height: f64,
    /// What the roof does above it.
    pub role: Role,
}

/// What the roof does above a side. All rises are above the side's own height, metres.
#[derive(Clone, Debug, PartialEq)]
pub enum Role {
    /// A slope rises from the side; at each break, in order of rise, the pitch changes.
    Eave {
        /// First pitch.
        pitch: Pitch,
        /// Where it changes: (rise, pitch above it).
        breaks: Vec<(f64, Pitch)>,
    },
    /// Gable end: plumb above the side.
    Verge,
    /// Plumb up to `hip_from`, then a hip.
    HalfHip {
        /// Rise at which the hip starts.
        hip_from: f64,
        /// Its pitch.
        pitch: Pitch,
    },
    /// A hip up to `verge_from`, then plumb.
    Gablet {
        /// Its pitch.
        pitch: Pitch,
        /// Rise at which it stops.
        verge_from: f64,
    },
    /// The roof runs against a higher wall.
    Abutment,
}

impl Role {
    /// A slope of one pitch.
    #[must_use]
    pub fn eave(pitch: Pitch) -> Self {
        Self::Eave { pitch, breaks: Vec::new() }
    }

    /// The side's profile: (rise above its height, slope as rise over run; `None` is plumb), rises increasing from 0.
    /// A sweeping side moves inwards by 1 / slope per metre of rise, and stands still while plumb.
    #[must_use]
    pub fn profile(&self) -> Vec<(f64, Option<Pitch>)> {
        self.stages().collect()
    }

    /// [`Role::profile`], stage by stage.
    pub fn stages(&self) -> impl Iterator<Item = (f64, Option<Pitch>)> + Clone {
        let (first, breaks, second) = match self {
            Self::Eave { pitch, breaks } => (Some(*pitch), breaks.as_slice(), None),
            Self::Verge | Self::Abutment => (None, [].as_slice(), None),
            Self::HalfHip { hip_from, pitch } => (None, [].as_slice(), Some((*hip_from, Some(*pitch)))),
            Self::Gablet { pitch, verge_from } => (Some(*pitch), [].as_slice(), Some((*verge_from, None))),
        };
        std::iter::once((0.0, first)).chain(breaks.iter().map(|&(rise, pitch)| (rise, Some(pitch)))).chain(second)
    }

    /// Whether a slope rises over the side at some height, so that its own height counts.
    #[must_use]
    pub fn slopes(&self) -> bool {
        !matches!(self, Self::Verge | Self::Abutment)
    }

    /// Whether a slope rises from the side itself.
    #[must_use]
    pub fn is_eave(&self) -> bool {
        matches!(self, Self::Eave { .. } | Self::Gablet { .. })
    }
}

impl Ring {
    /// Places of its corners, in order.
    #[must_use]
    pub fn corners(&self) -> Vec<Point2<f64>> {
        self.sides.iter().map(|side| side.start).collect()
    }
}

impl Footprint {
    /// The name that a side goes by in the job.
    ///
    /// # Panics
    /// Without such a ring or side.
    #[must_use]
    pub fn side_name(&self, ring: usize, side: usize) -> SideName {
        SideName { block: self.name.clone(), side: self.rings[ring].sides[side].name.clone() }
    }

    /// Checks what the type's documentation promises; for debug assertions and tests.
    ///
    /// # Errors
    /// The first broken promise.
    pub fn check_invariants(&self) -> Result<(), Unsound> {
        for (index, ring) in self.rings.iter().enumerate() {
            if ring.sides.len() < 3 {
                return Err(Unsound::TooFewSides { ring: index, sides: ring.sides.len() });
            }
            let area = crate::base::polygon::signed_area(&ring.corners());
            if (index == 0) != (area > 0.0) {
                return Err(Unsound::WrongWayRound { ring: index });
            }
        }
        let mut sides = self.rings.iter().flat_map(|ring| &ring.sides);
        if !sides.any(|side| side.role.is_eave() || matches!(side.role, Role::HalfHip { .. })) {
            return Err(Unsound::NoEave);
        }
        Ok(())
    }
}
