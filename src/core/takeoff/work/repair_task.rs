//! What is done at a repair. Lengths are metres.

use super::kind::Kind;
use crate::takeoff::details::Nailing;

/// What is done at a repair.
#[derive(Clone, Debug, PartialEq)]
pub enum RepairTask {
    /// A repair is marked out.
    MarkOut {
        /// Lowest and highest course that is renewed, counted from the eave.
        courses: [usize; 2],
        /// From where to where along the eave.
        along: [f64; 2],
        /// From course to course, to count by.
        gauge: f64,
    },
    /// What lies over the place of a repair is lifted.
    Lift {
        /// Lowest and highest course that is lifted.
        courses: [usize; 2],
        /// Pieces in them.
        pieces: u32,
        /// What they are.
        kind: Kind,
        /// Whether the caps over them come off first.
        caps_off: bool,
        /// Below this air temperature, °C, they are warmed before they are bent.
        warm_below: Option<f64>,
    },
    /// Old pieces come out.
    TakeOut {
        /// Lowest and highest course.
        courses: [usize; 2],
        /// Pieces.
        pieces: u32,
        /// What they are.
        kind: Kind,
    },
    /// A piece of new underlay.
    PatchUnderlay {
        /// Along the eave.
        width: f64,
        /// Up the slope.
        height: f64,
        /// Under the old above, over the old below.
        lap: f64,
    },
    /// New pieces in the place of the old ones.
    Renew {
        /// Lowest and highest course.
        courses: [usize; 2],
        /// Pieces at most.
        pieces: u32,
        /// From course to course.
        gauge: f64,
        /// Where nails go.
        nails: Option<Nailing>,
        /// What they are.
        kind: Kind,
    },
    /// What was lifted is laid back.
    LayBack {
        /// Courses.
        courses: usize,
        /// Pieces in them.
        pieces: u32,
        /// What they are.
        kind: Kind,
        /// Whether it is sealed with adhesive.
        sealed: bool,
    },
}

impl RepairTask {
    /// Its name.
    pub(super) fn word(&self) -> &'static str {
        match self {
            Self::MarkOut { .. } => "mark-out",
            Self::Lift { .. } => "lift",
            Self::TakeOut { .. } => "take-out",
            Self::PatchUnderlay { .. } => "patch-underlay",
            Self::Renew { .. } => "renew",
            Self::LayBack { .. } => "lay-back",
        }
    }

    /// The numbers it tells.
    pub(super) fn values(&self) -> Vec<(&'static str, f64)> {
        let some = |name: &'static str, value: Option<f64>| value.map(|value| (name, value));
        match self {
            Self::MarkOut { courses: [first, last], along: [from, to], gauge } => vec![
                ("first_course", *first as f64),
                ("last_course", *last as f64),
                ("from", *from),
                ("to", *to),
                ("gauge", *gauge),
            ],
            Self::Lift { courses: [first, last], pieces, warm_below, .. } => {
                [("first_course", *first as f64), ("last_course", *last as f64), ("pieces", f64::from(*pieces))]
                    .into_iter()
                    .chain(some("warm_below", *warm_below))
                    .collect()
            }
            Self::TakeOut { courses: [first, last], pieces, .. } => {
                vec![("first_course", *first as f64), ("last_course", *last as f64), ("pieces", f64::from(*pieces))]
            }
            Self::PatchUnderlay { width, height, lap } => vec![("width", *width), ("height", *height), ("lap", *lap)],
            Self::Renew { courses: [first, last], pieces, gauge, nails, .. } => {
                let nails = nails.map(|nails| {
                    [("nails", nails.per_piece), ("from_butt", nails.from_butt), ("from_ends", nails.from_ends)]
                });
                [
                    ("first_course", *first as f64),
                    ("last_course", *last as f64),
                    ("pieces", f64::from(*pieces)),
                    ("gauge", *gauge),
                ]
                .into_iter()
                .chain(nails.into_iter().flatten())
                .collect()
            }
            Self::LayBack { courses, pieces, .. } => {
                vec![("courses", *courses as f64), ("pieces", f64::from(*pieces))]
            }
        }
    }
}
