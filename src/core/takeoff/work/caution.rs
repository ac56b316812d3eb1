//! What can hurt a hand, a head or a lung, in the step where it does. Figures carry their source in `wording::work`.

/// A caution within a step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Caution {
    /// Secured against a fall before leaving the ladder.
    Fall {
        /// At the latest from this height on, metres.
        from: f64,
    },
    /// How a ladder stands.
    Ladder {
        /// It reaches this far above the landing, metres.
        above: f64,
    },
    /// Not alone, not in the wet, ice or wind; power lines.
    Weather,
    /// Brittle sheets and rooflights carry nobody.
    Fragile,
    /// Whether the structure carries the work is for a licensed practitioner.
    Structure,
    /// Old material that may hold asbestos.
    Asbestos,
    /// What falls from the roof while it is stripped.
    FallingRubble,
    /// Work at an open edge.
    OpenEdge,
    /// Cut metal has sharp edges.
    MetalEdges,
    /// Lead and its dust.
    Lead,
    /// Underlay is slippery, and wind lifts it.
    SlipperyUnderlay,
    /// A slope warm from the sun marks under the foot and burns.
    Heat,
    /// Hooked and straight blades.
    Blades,
    /// Nailers and hammers.
    Nailing,
    /// Dust of cut slates and tiles.
    StoneDust,
    /// A large sheet in the wind.
    SheetInWind,
    /// Sparks of a grinder.
    Sparks,
    /// What is laid cold needs no flame.
    Cold,
    /// Flame and hot air at warming.
    Flame,
    /// Solvent in adhesive.
    Solvent,
    /// A load carried up or lying in one place.
    Load,
}

/// Fall protection from this height on at the latest: 6 ft (29 CFR 1926.501(b)(13)).
const FALL_FROM: f64 = 1.8288;

/// A ladder reaches this far above its landing: 3 ft (29 CFR 1926.1053, from memory).
const LADDER_ABOVE: f64 = 0.9144;

impl Caution {
    /// Against falls, for the first step of any work on a roof.
    pub const FALL: Self = Self::Fall { from: FALL_FROM };

    /// For ladders.
    pub const LADDER: Self = Self::Ladder { above: LADDER_ABOVE };

    /// The word scripts match on.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Fall { .. } => "fall",
            Self::Ladder { .. } => "ladder",
            Self::Weather => "weather",
            Self::Fragile => "fragile",
            Self::Structure => "structure",
            Self::Asbestos => "asbestos",
            Self::FallingRubble => "falling-rubble",
            Self::OpenEdge => "open-edge",
            Self::MetalEdges => "metal-edges",
            Self::Lead => "lead",
            Self::SlipperyUnderlay => "slippery-underlay",
            Self::Heat => "heat",
            Self::Blades => "blades",
            Self::Nailing => "nailing",
            Self::StoneDust => "stone-dust",
            Self::SheetInWind => "sheet-in-wind",
            Self::Sparks => "sparks",
            Self::Cold => "no-flame",
            Self::Flame => "flame",
            Self::Solvent => "solvent",
            Self::Load => "load",
        }
    }

    /// The number it tells, metres.
    #[must_use]
    pub fn value(self) -> Option<(&'static str, f64)> {
        match self {
            Self::Fall { from } => Some(("protected_from", from)),
            Self::Ladder { above } => Some(("ladder_above", above)),
            _ => None,
        }
    }
}
