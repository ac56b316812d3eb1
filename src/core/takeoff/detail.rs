//! How a quantity of the order comes about, as data: what `wording` tells beside a line.

/// How a quantity comes about, where that needs saying.
#[derive(Clone, Debug, PartialEq)]
pub enum Detail {
    /// Pieces of the covering by what they serve.
    Pieces {
        /// New pieces of the courses.
        courses: u32,
        /// Starter pieces.
        starter: u32,
        /// Strips for caps.
        caps: u32,
    },
    /// By the rule of thumb.
    Thumb {
        /// Square metres of roof.
        area: f64,
        /// Allowance on it, a fraction.
        allowance: f64,
    },
    /// Sheets by their lengths.
    Lengths {
        /// Each length in metres and how many of it, longest first.
        lengths: Vec<(f64, u32)>,
        /// Square metres of sheet in all.
        area: f64,
        /// What the area and the usual allowance would be, square metres.
        by_thumb: f64,
        /// The usual allowance, a fraction.
        allowance: f64,
        /// Narrow ones that what is left beside others gives: none of those above.
        from_rests: u32,
    },
    /// Roll goods by what they serve, square metres.
    Rolls {
        /// In rows on the slopes.
        rows: f64,
        /// In strips of their own: down valleys, round openings.
        strips: f64,
        /// For what: whether the strips go round openings.
        at_openings: bool,
    },
    /// Adhesive or primer by the area it is spread on.
    Spread {
        /// On metal, not under cap sheet.
        on_metal: bool,
        /// Kilograms a square metre.
        each: f64,
        /// Square metres.
        area: f64,
    },
    /// Step pieces.
    StepPieces {
        /// Least length of each, metres.
        least: f64,
    },
    /// So far apart.
    Spacing {
        /// Centre to centre, metres.
        spacing: f64,
    },
    /// Free area of vents.
    FreeArea {
        /// Of all of them, square metres.
        asked: f64,
        /// Of one, square metres.
        each: f64,
    },
    /// Outlets of gutters.
    Outlets {
        /// How many.
        count: u32,
        /// Square metres one of them drains.
        drains: f64,
        /// Where that comes from.
        source: String,
    },
}

impl Detail {
    /// The numbers it tells, by name, in SI units; fractions as such.
    #[must_use]
    pub fn values(&self) -> Vec<(&'static str, f64)> {
        match self {
            Self::Pieces { courses, starter, caps } => [("courses", courses), ("starter", starter), ("caps", caps)]
                .map(|(name, &count)| (name, f64::from(count)))
                .to_vec(),
            Self::Thumb { area, allowance } => vec![("area", *area), ("allowance", *allowance)],
            Self::Lengths { lengths, area, by_thumb, allowance, from_rests } => lengths
                .iter()
                .flat_map(|&(length, count)| [("length", length), ("count", f64::from(count))])
                .chain([("area", *area), ("by_thumb", *by_thumb), ("allowance", *allowance)])
                .chain([("count", f64::from(*from_rests))])
                .collect(),
            Self::Rolls { rows, strips, .. } => vec![("rows_area", *rows), ("strips_area", *strips)],
            Self::Spread { each, area, .. } => vec![("spread", *each), ("area", *area)],
            Self::StepPieces { least } => vec![("least_length", *least)],
            Self::Spacing { spacing } => vec![("spacing", *spacing)],
            Self::FreeArea { asked, each } => vec![("asked_area", *asked), ("each_area", *each)],
            Self::Outlets { count, drains, .. } => vec![("outlets", f64::from(*count)), ("drains", *drains)],
        }
    }
}

/// Strips bought beyond the net area of the roof, as fractions of that area's own strips.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OverArea {
    /// In all: the sum of the others.
    pub total: f64,
    /// For cut ends, joints and laps of courses.
    pub for_cuts: f64,
    /// For the starter.
    pub for_starter: f64,
    /// For caps.
    pub for_caps: f64,
    /// For what is left over in whole packs, spare packs with them.
    pub for_packs: f64,
}
