//! What is laid with a covering: caps, nails, underlay, metal, adhesive, deck, gutters. Part of the material card.

use crate::base::tolerance;

/// Ridge and hip caps.
#[derive(Clone, Debug, PartialEq)]
pub struct Caps {
    /// Length of a cap along the line.
    pub length: f64,
    /// Other lengths on offer, for goods of their own: they lap as much.
    pub lengths: Vec<f64>,
    /// Exposure of a cap along the line.
    pub exposure: f64,
    /// How far a cap covers each slope.
    pub half_cover: f64,
    /// Caps cut from one strip; `None`: caps are goods of their own.
    pub per_strip: Option<u32>,
    /// Caps in a pack, for goods of their own.
    pub pack: Option<u32>,
    /// Of one cap, for goods of their own.
    pub weight: Option<f64>,
    /// Where the rule comes from.
    pub source: String,
}

/// Nails or screws of something else than the covering, `[[fixing]]`.
#[derive(Clone, Debug, PartialEq)]
pub struct Fix {
    /// What they hold.
    pub of: Held,
    /// At each place: where a board crosses a bearer, on each metre's place of a lap, on a cap.
    pub each: f64,
    /// From place to place: along a lap, an edge, a bearer under a panel. `None`: once at each crossing.
    pub spacing: Option<f64>,
    /// Allowance for loss as a fraction.
    pub spare: f64,
    /// In a pack.
    pub pack: u32,
    /// What a pack is called.
    pub pack_name: String,
    /// Of one.
    pub weight: f64,
    /// Where the rule comes from.
    pub source: String,
}

/// Vents over a ceiling, `[vents]`.
#[derive(Clone, Debug, PartialEq)]
pub struct Vents {
    /// Free area of one at the eave, square metres.
    pub eave: f64,
    /// Free area of one at the ridge, square metres.
    pub high: f64,
    /// Of one.
    pub weight: f64,
}

/// Nails, screws or hooks.
#[derive(Clone, Debug, PartialEq)]
pub struct Nails {
    /// By pitch and exposure, `[[nails.rule]]`.
    pub rules: Vec<NailRule>,
    /// On each cap; default 2.
    pub per_cap: u32,
    /// On each metre of starter; default 4.
    pub per_starter_metre: f64,
    /// Least on a cut piece; default 2.
    pub least: u32,
    /// Allowance for loss as a fraction; default 0.05.
    pub spare: f64,
    /// In a pack.
    pub pack: u32,
    /// What a pack is called; default "box".
    pub pack_name: String,
    /// Of one.
    pub weight: f64,
}

/// How many nails a piece takes.
#[derive(Clone, Debug, PartialEq)]
pub struct NailRule {
    /// From this pitch on.
    pub pitch_from: f64,
    /// On a site of this exposure; `None`: on any.
    pub exposure: Option<Exposure>,
    /// On a whole piece (sheets: a square metre).
    pub per_piece: f64,
    /// Where the rule comes from.
    pub source: String,
}

/// Exposure of the site to wind.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Exposure {
    /// `"normal"`.
    #[default]
    Normal,
    /// `"exposed"`: coast, hilltop, open plain.
    Exposed,
}

/// Underlay on rolls.
#[derive(Clone, Debug, PartialEq)]
pub struct Underlay {
    /// Width of a roll.
    pub width: f64,
    /// Length of a roll.
    pub length: f64,
    /// Head laps by pitch, `[[underlay.lap]]`.
    pub laps: Vec<LapByPitch>,
    /// Below this pitch every point lies under two layers; a half-width row first.
    pub double_below: Option<f64>,
    /// Lap of roll ends; default 0.1.
    pub end_lap: f64,
    /// Over ridges and hips; default 0.15.
    pub over: f64,
    /// Up walls; default 0.1.
    pub upstand: f64,
    /// Ice barrier from the eave to this far inside the warm wall, level.
    pub ice_inside: Option<f64>,
    /// A square metre of that barrier.
    pub ice_weight: f64,
    /// A square metre.
    pub weight: f64,
}

impl Underlay {
    /// Whether the pitch asks for two layers.
    #[must_use]
    pub(crate) fn is_double(&self, pitch: f64) -> bool {
        self.double_below.is_some_and(|limit| pitch < limit - tolerance::RELATIVE)
    }
}

/// Metal along an edge.
#[derive(Clone, Debug, PartialEq)]
pub struct EdgeStrip {
    /// Length of a piece.
    pub piece: f64,
    /// Other lengths on offer: the one of which the least is bought is ordered.
    pub lengths: Vec<f64>,
    /// Lap of pieces; default 0.05.
    pub lap: f64,
    /// A metre.
    pub weight: f64,
}

/// Cold adhesive in tubes.
#[derive(Clone, Debug, PartialEq)]
pub struct Adhesive {
    /// Contents of a tube, cubic metres (`tube = "300 ml"` in words is 0.0003).
    pub tube: f64,
    /// Volume of one dab, cubic metres.
    pub dab: f64,
    /// Dabs on a tab of the field.
    pub per_tab: f64,
    /// Dabs on a cap.
    pub per_cap: f64,
    /// Dabs on a metre of starter.
    pub per_starter_metre: f64,
    /// Width of the bedded line along valleys and walls: dabs on a metre.
    pub per_bedded_metre: f64,
    /// Of a tube.
    pub weight: f64,
    /// Where the rule comes from.
    pub source: String,
}

/// Lining of a valley.
#[derive(Clone, Debug, PartialEq)]
pub struct ValleyLining {
    /// Width of a piece.
    pub width: f64,
    /// Length of a piece.
    pub piece: f64,
    /// Other lengths on offer.
    pub lengths: Vec<f64>,
    /// Lap of pieces.
    pub lap: f64,
    /// Half the clear width of an open valley at its top; default 0.075.
    pub clear: f64,
    /// How much each side widens per metre down; default 0.005.
    pub widen: f64,
    /// A metre.
    pub weight: f64,
    /// Where the rule comes from.
    pub source: String,
}

/// Metal where the roof meets a wall, a chimney or a window.
#[derive(Clone, Debug, PartialEq)]
pub struct AbutmentFlashing {
    /// Length of a piece of apron or counter flashing.
    pub piece: f64,
    /// Other lengths on offer.
    pub lengths: Vec<f64>,
    /// Lap of pieces.
    pub lap: f64,
    /// Up the wall.
    pub upstand: f64,
    /// Over the covering below.
    pub cover: f64,
    /// A metre.
    pub weight: f64,
    /// A step piece or kick-out.
    pub step_weight: f64,
    /// A saddle.
    pub saddle_weight: f64,
    /// Where the rule comes from.
    pub source: String,
}

/// Battens up the slope, one on every rafter, between the underlay and the battens that the covering hangs on.
#[derive(Clone, Debug, PartialEq)]
pub struct CounterBattens {
    /// Along the eave.
    pub width: f64,
    /// Thickness: the air gap under the battens.
    pub thickness: f64,
    /// Length of a piece.
    pub length: f64,
    /// A metre.
    pub weight: f64,
}

/// Pieces that close a verge, one a course.
#[derive(Clone, Debug, PartialEq)]
pub struct VergeUnits {
    /// In a pack.
    pub pack: u32,
    /// Of one.
    pub weight: f64,
    /// Where the rule comes from.
    pub source: String,
}

/// Boards or sheets under the covering.
#[derive(Clone, Debug, PartialEq)]
pub struct Deck {
    /// What it is asked for by: "plywood"; its kind where the card gives it no name.
    pub name: String,
    /// Boards or sheets.
    pub kind: DeckKind,
    /// Width: of a board, or of a sheet up the slope.
    pub width: f64,
    /// Length along the eave.
    pub length: f64,
    /// Other lengths on offer: the one that leaves the least over is ordered.
    pub lengths: Vec<f64>,
    /// Thickness, metres.
    pub thickness: f64,
    /// Distance of bearers, centre to centre: ends of boards lie on them.
    pub spacing: f64,
    /// A square metre.
    pub weight: f64,
}

/// What the deck is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum DeckKind {
    /// `"boards"`.
    Boards,
    /// `"sheets"`.
    Sheets,
    /// `"battens"`: under slates, tiles or profiled sheets; `width` is then their spacing where the gauge sets none.
    Battens,
}

/// Gutters, pipes and boards along the edges.
#[derive(Clone, Debug, PartialEq)]
pub struct RainGoods {
    /// Length of a piece of gutter.
    pub gutter_piece: f64,
    /// Other lengths of gutter on offer.
    pub gutter_lengths: Vec<f64>,
    /// Plan area one outlet drains.
    pub outlet_drains: f64,
    /// Where that comes from.
    pub source: String,
    /// Length of a board (fascia, verge board).
    pub board: f64,
    /// Other lengths of these boards on offer.
    pub board_lengths: Vec<f64>,
    /// Length of a piece of soffit; `None`: it is bought by the metre.
    pub soffit_piece: Option<f64>,
    /// Other lengths of soffit on offer.
    pub soffit_lengths: Vec<f64>,
    /// A metre of gutter.
    pub gutter_weight: f64,
    /// From bracket to bracket.
    pub bracket_spacing: f64,
    /// Length of a piece of pipe.
    pub pipe_piece: f64,
    /// Other lengths of pipe on offer.
    pub pipe_lengths: Vec<f64>,
    /// A metre of pipe.
    pub pipe_weight: f64,
    /// From clip to clip.
    pub clip_spacing: f64,
    /// One bracket, corner, stop end, outlet, bend or clip.
    pub fitting_weight: f64,
    /// A metre of board along an edge.
    pub board_weight: f64,
    /// A metre of soffit.
    pub soffit_weight: f64,
}

/// A lap that goes with the pitch.
#[derive(Clone, Debug, PartialEq)]
pub struct LapByPitch {
    /// It holds from this pitch up to the next entry's.
    pub pitch_from: f64,
    /// The lap, metres.
    pub lap: f64,
    /// Where the rule comes from.
    pub source: String,
}

impl LapByPitch {
    /// The entry for a pitch: the steepest `pitch_from` not above it; the flattest entry where all are above.
    #[must_use]
    pub fn at(laps: &[Self], pitch: f64) -> Option<&Self> {
        // A pitch computed from a plane may miss the one written by its last digits.
        let holds = |lap: &&Self| lap.pitch_from <= pitch + tolerance::RELATIVE;
        let steepest = laps.iter().filter(holds).max_by(|a, b| a.pitch_from.total_cmp(&b.pitch_from));
        steepest.or_else(|| laps.iter().min_by(|a, b| a.pitch_from.total_cmp(&b.pitch_from)))
    }
}

/// What fixings of their own hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Held {
    /// Boards, panels or battens.
    Deck,
    /// Underlay, until the covering lies on it.
    Underlay,
    /// Metal along edges.
    Metal,
    /// Caps, through two layers more than strips.
    Caps,
    /// Battens up the slope.
    CounterBattens,
}
