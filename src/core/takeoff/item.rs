//! What a line of the order is about, as data: the item, its unit, how much, what a pack is. `wording::order` tells it.

pub use super::detail::{Detail, OverArea};
use super::goods::DeckKind;
use super::timber_goods::TimberItem;
use crate::base::estimate::Estimate;
use crate::takeoff::goods::Held;

pub use super::unit::Unit;

/// Something that is ordered.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Item {
    /// Timber of a section and a length.
    Timber(TimberItem),
    /// Boards, sheets or battens under the covering.
    Deck(DeckKind),
    /// Battens up the slope, on every rafter.
    CounterBatten,
    /// Boards along eaves.
    FasciaBoard,
    /// Boards up the verges.
    VergeBoard,
    /// Boards along level high edges.
    TopBoard,
    /// Soffit at eaves, verges and high edges.
    Soffit,
    /// What holds the deck, the underlay, edge metal or caps, where that is not what holds the covering.
    Holds(Held),
    /// Vents at the eaves.
    EaveVent,
    /// Vents at ridges and high edges.
    HighVent,
    /// Metal at eaves, under the underlay.
    EaveStrip,
    /// Underlay on rolls.
    Underlay,
    /// Self-adhesive barrier from the eave to inside the warm wall.
    IceBarrier,
    /// Metal at verges, over the underlay.
    VergeStrip,
    /// Metal at breaks of slope.
    BreakStrip,
    /// Metal at level high edges.
    TopStrip,
    /// Lining of valleys.
    ValleyLining,
    /// Starter pieces cut from strips.
    Starter,
    /// Strip shingles.
    Strips,
    /// Pieces laid one by one, by the card's name.
    Units(String),
    /// Sheets cut to length, by the card's name.
    Sheets(String),
    /// Roll felt nailed to the deck, under the cap sheet.
    BaseLayer,
    /// Roll felt bonded to the base layer, by the card's name.
    CapSheet(String),
    /// Nails, hooks or screws.
    Fixings(Fixing),
    /// Cold adhesive.
    Adhesive,
    /// On metal that felt is bonded to.
    Primer,
    /// Caps along ridges and hips.
    Caps,
    /// Pieces that close the verges.
    VergeUnit,
    /// Metal along walls.
    WallFlashing,
    /// Aprons below and pieces above openings.
    OpeningFlashing,
    /// Step pieces, one a course.
    StepFlashing,
    /// Kick-outs, where a side wall ends at an eave.
    KickOut,
    /// Saddles behind wide chimneys.
    Saddle,
    /// Gutters along eaves.
    Gutter,
    /// What gutters hang in.
    GutterBracket,
    /// Pieces that lead a gutter round a corner.
    GutterCorner,
    /// Ends of gutters.
    StopEnd,
    /// Outlets of gutters.
    GutterOutlet,
    /// Downpipes.
    Downpipe,
    /// Bends of pipes, from the gutter to the wall.
    PipeBend,
    /// What holds pipes to the wall.
    PipeClip,
}

/// What holds the covering.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fixing {
    /// Nails of strips, starter and caps.
    Nails,
    /// Nails or hooks of pieces laid one by one.
    NailsOrHooks,
    /// Screws of sheets.
    Screws,
    /// Nails of the base layer.
    FeltNails,
}

impl Item {
    /// Stable name: what prices and scripts match on.
    #[must_use]
    pub fn key(&self) -> &str {
        match self {
            Self::Timber(timber) => &timber.key,
            Self::Deck(_) => "deck-board",
            Self::CounterBatten => "counter-batten",
            Self::FasciaBoard => "fascia-board",
            Self::VergeBoard => "verge-board",
            Self::TopBoard => "top-board",
            Self::Soffit => "soffit",
            Self::Holds(Held::Deck) => "deck-nail",
            Self::Holds(Held::Underlay) => "underlay-nail",
            Self::Holds(Held::Metal) => "metal-nail",
            Self::Holds(Held::Caps) => "cap-nail",
            Self::Holds(Held::CounterBattens) => "counter-batten-nail",
            Self::EaveVent => "eave-vent",
            Self::HighVent => "high-vent",
            Self::EaveStrip => "edge-strip-eave",
            Self::Underlay => "underlay",
            Self::IceBarrier => "ice-barrier",
            Self::VergeStrip => "edge-strip-verge",
            Self::BreakStrip => "edge-strip-break",
            Self::TopStrip => "edge-strip-top",
            Self::ValleyLining => "valley-lining",
            Self::Starter => "starter",
            Self::Strips => "strip-shingle",
            Self::BaseLayer => "base-layer",
            Self::Units(name) | Self::Sheets(name) | Self::CapSheet(name) => name,
            Self::Fixings(_) => "nail",
            Self::Adhesive => "adhesive",
            Self::Primer => "primer",
            Self::Caps => "ridge-hip-cap",
            Self::VergeUnit => "verge-unit",
            Self::WallFlashing => "abutment-flashing",
            Self::OpeningFlashing => "opening-flashing",
            Self::StepFlashing => "step-flashing",
            Self::KickOut => "kick-out",
            Self::Saddle => "saddle",
            Self::Gutter => "gutter",
            Self::GutterBracket => "gutter-bracket",
            Self::GutterCorner => "gutter-corner",
            Self::StopEnd => "stop-end",
            Self::GutterOutlet => "gutter-outlet",
            Self::Downpipe => "downpipe",
            Self::PipeBend => "pipe-bend",
            Self::PipeClip => "pipe-clip",
        }
    }

    /// Which part of the work it belongs to.
    #[must_use]
    pub fn stage(&self) -> Stage {
        match self {
            Self::Timber(_)
            | Self::Deck(_)
            | Self::FasciaBoard
            | Self::VergeBoard
            | Self::TopBoard
            | Self::Soffit
            | Self::EaveVent
            | Self::CounterBatten
            | Self::Holds(Held::Deck | Held::CounterBattens) => Stage::Deck,
            Self::EaveStrip
            | Self::Holds(Held::Underlay | Held::Metal)
            | Self::Underlay
            | Self::IceBarrier
            | Self::VergeStrip
            | Self::BreakStrip
            | Self::ValleyLining => Stage::Underlay,
            Self::Starter
            | Self::Strips
            | Self::Units(_)
            | Self::Sheets(_)
            | Self::BaseLayer
            | Self::CapSheet(_)
            | Self::Fixings(_)
            | Self::Primer
            | Self::Adhesive => Stage::Covering,
            Self::TopStrip
            | Self::HighVent
            | Self::Holds(Held::Caps)
            | Self::VergeUnit
            | Self::Caps
            | Self::WallFlashing
            | Self::OpeningFlashing
            | Self::StepFlashing
            | Self::KickOut
            | Self::Saddle => Stage::Finish,
            Self::Gutter
            | Self::GutterBracket
            | Self::GutterCorner
            | Self::StopEnd
            | Self::GutterOutlet
            | Self::Downpipe
            | Self::PipeBend
            | Self::PipeClip => Stage::Rain,
        }
    }
}

/// Which part of the work something belongs to, in the order of work.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// Boards or sheets, fascia, soffit.
    Deck,
    /// Metal at edges and valleys, underlay.
    Underlay,
    /// Starter, courses, nails, adhesive.
    Covering,
    /// Caps and flashings.
    Finish,
    /// Gutters and pipes.
    Rain,
}

impl Stage {
    /// All, in the order of work.
    pub const ALL: [Self; 5] = [Self::Deck, Self::Underlay, Self::Covering, Self::Finish, Self::Rain];

    /// The word scripts match on.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Deck => "deck",
            Self::Underlay => "underlay",
            Self::Covering => "covering",
            Self::Finish => "finish",
            Self::Rain => "rain",
        }
    }
}

/// How much of something.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Quantity {
    /// Counted one by one.
    Count(u32),
    /// Measured: square metres or metres.
    Measure(Estimate),
}

impl Quantity {
    /// The number; `None` where it is not determined.
    #[must_use]
    pub fn value(&self) -> Option<f64> {
        match self {
            Self::Count(count) => Some(f64::from(*count)),
            Self::Measure(estimate) => estimate.value(),
        }
    }

    /// So many, a whole number of pieces.
    #[must_use]
    pub fn count(pieces: usize) -> Self {
        Self::Count(u32::try_from(pieces).unwrap_or(u32::MAX))
    }
}

/// What something is bought in. Lengths are metres, areas square metres, volumes cubic metres.
#[derive(Clone, Debug, PartialEq)]
pub enum Pack {
    /// Cut from strips of the covering: nothing is bought for it.
    OutOfStrips,
    /// So many in a pack that the card calls so.
    Of {
        /// What the pack is called: "bundle".
        name: String,
        /// Pieces in it.
        pieces: u32,
    },
    /// A pack that is called just so.
    Pieces(u32),
    /// A roll of this area.
    Roll(f64),
    /// A strip of this length.
    Strip(f64),
    /// A piece of this length.
    Piece(f64),
    /// A tube of this volume.
    Tube(f64),
    /// A tin of so many kilograms.
    Tin(f64),
    /// A board of this length; its width where the card states it.
    Board {
        /// Length, metres.
        length: f64,
        /// Width, metres.
        width: Option<f64>,
    },
    /// A sheet of these sides.
    Sheet {
        /// Up the slope.
        width: f64,
        /// Along the eave.
        length: f64,
    },
    /// A batten of this length.
    Batten(f64),
    /// Sheets as long as each is needed.
    CutToLength,
}

impl Pack {
    /// The stock length it is, metres; `None` for what is not bought by length.
    #[must_use]
    pub fn length(&self) -> Option<f64> {
        match self {
            Self::Strip(length)
            | Self::Piece(length)
            | Self::Batten(length)
            | Self::Board { length, .. }
            | Self::Sheet { length, .. } => Some(*length),
            Self::OutOfStrips
            | Self::Of { .. }
            | Self::Pieces(_)
            | Self::Roll(_)
            | Self::Tube(_)
            | Self::Tin(_)
            | Self::CutToLength => None,
        }
    }

    /// How much of a unit one holds; `None` where it is not measured so.
    #[must_use]
    pub fn holds(&self, unit: Unit) -> Option<f64> {
        match (self, unit) {
            (Self::OutOfStrips | Self::CutToLength, _) => None,
            (_, Unit::Pack)
            | (Self::Tube(_), Unit::Tube)
            | (
                Self::Strip(_) | Self::Piece(_) | Self::Board { .. } | Self::Sheet { .. } | Self::Batten(_),
                Unit::Piece,
            ) => Some(1.0),
            (Self::Of { pieces, .. } | Self::Pieces(pieces), Unit::Piece) => Some(f64::from(*pieces)),
            (
                Self::Strip(length) | Self::Piece(length) | Self::Batten(length) | Self::Board { length, .. },
                Unit::Metre,
            ) => Some(*length),
            (Self::Roll(area), Unit::SquareMetre) => Some(*area),
            (Self::Board { length, width: Some(width) } | Self::Sheet { width, length }, Unit::SquareMetre) => {
                Some(length * width)
            }
            _ => None,
        }
    }
}
