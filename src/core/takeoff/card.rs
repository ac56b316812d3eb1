//! A material card: what one covering and the goods laid with it measure, and the rules of laying them. Lengths are
//! metres, angles radians, weights kilograms; every rule names its source or says "common practice".
//!
//! A card file is TOML. Its tables and keys are the fields below, one for one: `name`, `title`, then exactly one of
//! `[strip]`, `[unit]`, `[sheet]`, `[felt]`, the lists `[[min_pitch]]`, `[[max_run]]`, `[[deck_min]]`, and the goods `[caps]`,
//! `[nails]`, `[underlay]` … of [`super::goods`], each of them optional.

use super::goods::{
    AbutmentFlashing, Adhesive, Caps, CounterBattens, Deck, EdgeStrip, Fix, Nails, RainGoods, Underlay, ValleyLining,
    Vents, VergeUnits,
};
use crate::takeoff::goods::Held;
use crate::takeoff::goods::LapByPitch;

/// A material card.
#[derive(Clone, Debug, PartialEq)]
pub struct Card {
    /// The name it is asked for by; for units and sheets also the item of their line in the take-off.
    pub name: String,
    /// One line for people.
    pub title: String,
    /// What lies on the roof: `[strip]`, `[unit]`, `[sheet]` or `[felt]`.
    pub covering: CoveringKind,
    /// Least pitches, `[[min_pitch]]`.
    pub min_pitch: Vec<MinPitch>,
    /// Longest runs, `[[max_run]]`.
    pub max_run: Vec<MaxRun>,
    /// Least thickness of the deck, `[[deck_min]]`.
    pub deck_min: Vec<DeckMin>,
    /// Above this pitch other fixing is needed, `[other_fixing]`.
    pub other_fixing: Option<PitchLimit>,
    /// Ridge and hip caps, `[caps]`.
    pub caps: Option<Caps>,
    /// Nails, screws or hooks, `[nails]`.
    pub nails: Option<Nails>,
    /// Underlay on rolls, `[underlay]`.
    pub underlay: Option<Underlay>,
    /// Metal at eaves, `[eave_strip]`.
    pub eave_strip: Option<EdgeStrip>,
    /// Metal at verges, `[verge_strip]`.
    pub verge_strip: Option<EdgeStrip>,
    /// Cold adhesive, `[adhesive]`.
    pub adhesive: Option<Adhesive>,
    /// Lining of valleys, `[valley_lining]`.
    pub valley_lining: Option<ValleyLining>,
    /// Metal where the roof meets a wall or an opening, `[abutment_flashing]`.
    pub abutment_flashing: Option<AbutmentFlashing>,
    /// Boards or sheets under the covering, `[deck]`.
    pub deck: Option<Deck>,
    /// Other decks to choose from, `[[other_deck]]`.
    pub other_decks: Vec<Deck>,
    /// Battens up the slope under those the covering hangs on, `[counter_battens]`.
    pub counter_battens: Option<CounterBattens>,
    /// Pieces that close the verges, `[verge_units]`.
    pub verge_units: Option<VergeUnits>,
    /// What holds deck, underlay, metal and caps, `[[fixing]]`.
    pub fixings: Vec<Fix>,
    /// Vents over a ceiling, `[vents]`.
    pub vents: Option<Vents>,
    /// Gutters, pipes and boards along the edges, `[rain_goods]`.
    pub rain_goods: Option<RainGoods>,
    /// Values that the roof file states in place of the card's.
    pub own: Vec<OwnValue>,
}

/// A value that the roof file states in place of the card's.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnValue {
    /// One of what the card's table is about, as the schema calls it: "strip".
    pub of: &'static str,
    /// The value, as the schema calls it: "gauge".
    pub label: &'static str,
    /// What holds.
    pub own: CardValue,
    /// What the card says; `None` where it says nothing.
    pub card: Option<CardValue>,
}

/// A value of a card, told beside another.
#[derive(Clone, Debug, PartialEq)]
pub enum CardValue {
    /// Metres.
    Length(f64),
    /// Radians.
    Angle(f64),
    /// A fraction.
    Share(f64),
    /// A number or count of its own.
    Number(f64),
    /// A word or text.
    Words(String),
    /// A list of so many entries.
    Entries(usize),
}

impl CardValue {
    /// The number it tells with a name that says its kind, "your" or "card" before it: metres, degrees, a fraction, a number;
    /// `None` for words.
    #[must_use]
    pub fn named(&self, whose: &str) -> Option<(&'static str, f64)> {
        let name = |yours: &'static str, cards: &'static str| if whose == "your" { yours } else { cards };
        match self {
            Self::Length(metres) => Some((name("your_length", "card_length"), *metres)),
            Self::Angle(radians) => Some((name("your_angle", "card_angle"), radians.to_degrees())),
            Self::Share(share) => Some((name("your_share", "card_share"), *share)),
            Self::Number(number) => Some((name("your_count", "card_count"), *number)),
            Self::Entries(count) => Some((name("your_count", "card_count"), *count as f64)),
            Self::Words(_) => None,
        }
    }
}

/// What lies on the roof.
#[derive(Clone, Debug, PartialEq)]
pub enum CoveringKind {
    /// Strip shingles of several tabs.
    Strip(Strip),
    /// Pieces laid one by one with a gauge and a bond: single tabs, slates, tiles.
    Unit(Unit),
    /// Sheets cut to length, side by side.
    Sheet(SheetGoods),
    /// Roll felt in two layers, laid cold.
    Felt(Felt),
}

/// Outline of a shingle's tabs; it sets the least pitch and nothing else here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TabShape {
    /// `"rectangular"`.
    Rectangular,
    /// `"rounded"`.
    Rounded,
    /// `"triangular"`.
    Triangular,
}

/// A strip shingle.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// Along the eave.
    pub width: f64,
    /// Up the slope.
    pub height: f64,
    /// Tabs a strip, two or more.
    pub tabs: u32,
    /// Outline of the tabs.
    pub tab: TabShape,
    /// Depth of the cutouts between tabs.
    pub cutout: f64,
    /// Exposure of a course.
    pub gauge: f64,
    /// Least cover of a course by the next but one.
    pub head_lap: f64,
    /// How far the gauge may shrink for a parallel finish; default 5 mm.
    pub gauge_shrink: f64,
    /// Past the deck at eaves; default 8 mm.
    pub eave_projection: f64,
    /// Past the deck at verges; default 8 mm.
    pub verge_projection: f64,
    /// Strips in a pack.
    pub pack: u32,
    /// What a pack is called; default "bundle".
    pub pack_name: String,
    /// Of one strip.
    pub weight: f64,
    /// Whether starter strips also run up the verges; default false.
    pub verge_starter: bool,
    /// Whether a film on the back is peeled off; default false: it stays on.
    pub peel: bool,
    /// Below this air temperature, °C, tabs are warmed before they are bent.
    pub bend_above: Option<f64>,
    /// How thick one is, metres.
    pub thickness: Option<f64>,
}

/// A piece laid one by one.
#[derive(Clone, Debug, PartialEq)]
pub struct Unit {
    /// Cover width along the eave.
    pub width: f64,
    /// Up the slope.
    pub height: f64,
    /// Open joint between neighbours; default 0.
    pub joint: f64,
    /// Exposure of a course.
    pub gauge: f64,
    /// How far the gauge may shrink so that whole courses reach the ridge.
    pub gauge_shrink: f64,
    /// Least head lap by pitch, `[[unit.lap]]`.
    pub laps: Vec<LapByPitch>,
    /// Layers over every point: 2 for slates and single tabs, 1 for interlocking tiles.
    pub layers: u32,
    /// Shift of every second course as a fraction of the width: 0.5, or 0 for a straight bond.
    pub bond: f64,
    /// Past the deck at eaves.
    pub eave_projection: f64,
    /// Past the deck at verges.
    pub verge_projection: f64,
    /// Least width of a cut piece.
    pub min_cut: f64,
    /// Pieces in a pack.
    pub pack: u32,
    /// What a pack is called; default "pack".
    pub pack_name: String,
    /// Of one piece.
    pub weight: f64,
    /// Whether the eave course stands on a course of starter pieces; default true.
    pub starter: bool,
    /// From its head down to where its nibs hang on the batten; `None`: it hangs by none.
    pub nib: Option<f64>,
    /// How thick one is, metres.
    pub thickness: Option<f64>,
}

/// A profiled sheet, cut to length at the works or on site.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetGoods {
    /// Cover width: side lap taken off.
    pub cover_width: f64,
    /// Longest sheet.
    pub max_length: f64,
    /// Shortest sheet.
    pub min_length: f64,
    /// Lengths are ordered in steps of this; default 10 mm.
    pub length_step: f64,
    /// End laps by pitch, `[[sheet.lap]]`.
    pub laps: Vec<LapByPitch>,
    /// Past the deck at eaves.
    pub eave_projection: f64,
    /// Past the deck at verges.
    pub verge_projection: f64,
    /// A square metre of cover.
    pub weight: f64,
    /// How deep its profile is, metres.
    pub thickness: Option<f64>,
}

/// Roll felt in two layers: a base layer nailed to the deck, a cap sheet bonded to it with cold adhesive.
#[derive(Clone, Debug, PartialEq)]
pub struct Felt {
    /// Whether strips run across the slope or up it.
    pub direction: Direction,
    /// Of a roll, of either layer.
    pub width: f64,
    /// Of a strip over the one beside or below it.
    pub side_lap: f64,
    /// Of a strip's end over the next.
    pub end_lap: f64,
    /// End laps of neighbouring strips stand at least so far apart.
    pub stagger: f64,
    /// Over ridges and hips, and past the centre of valleys.
    pub over: f64,
    /// Up walls and the sides of openings.
    pub upstand: f64,
    /// The shortest piece worth laying.
    pub shortest: f64,
    /// Of the cap sheet past the deck at eaves, over the metal.
    pub eave_projection: f64,
    /// Of the cap sheet past the deck at verges, over the metal.
    pub verge_projection: f64,
    /// Length of a roll of the base layer.
    pub base_length: f64,
    /// Of the base layer, a square metre.
    pub base_weight: f64,
    /// Length of a roll of the cap sheet.
    pub cap_length: f64,
    /// Of the cap sheet, a square metre.
    pub cap_weight: f64,
    /// Cold adhesive, kilograms a square metre of cap sheet.
    pub adhesive: f64,
    /// Adhesive in a tin, kilograms.
    pub tin: f64,
    /// Of the metal at edges that lies between the layers.
    pub flange: f64,
    /// Primer on it, kilograms a square metre; 0 where the adhesive needs none.
    pub primer: f64,
    /// Primer in a tin, kilograms.
    pub primer_tin: f64,
    /// How thick the base layer is, metres.
    pub base_thickness: Option<f64>,
    /// How thick the cap sheet is, metres.
    pub cap_thickness: Option<f64>,
}

/// Which way strips off a roll run.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Direction {
    /// `"across"` the slope, from the eave up.
    #[default]
    Across,
    /// `"up"` the slope, from one side.
    Up,
}

impl Direction {
    /// The word scripts match on.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Across => "across",
            Self::Up => "up",
        }
    }
}

/// A least pitch.
#[derive(Clone, Debug, PartialEq)]
pub struct MinPitch {
    /// Least pitch.
    pub pitch: f64,
    /// It holds for rafters up to this length; `None`: for longer ones too.
    pub rafter_to: Option<f64>,
    /// Where the rule comes from.
    pub source: String,
}

/// A longest run.
#[derive(Clone, Debug, PartialEq)]
pub struct MaxRun {
    /// Level length of the rafter.
    pub run: f64,
    /// Where the rule comes from.
    pub source: String,
}

/// A least thickness of the deck.
#[derive(Clone, Debug, PartialEq)]
pub struct DeckMin {
    /// Thickness, metres.
    pub thickness: f64,
    /// It holds for bearers up to this far apart.
    pub spacing_to: f64,
    /// Where the rule comes from.
    pub source: String,
}

/// A limit of pitch.
#[derive(Clone, Debug, PartialEq)]
pub struct PitchLimit {
    /// The pitch, radians from level.
    pub pitch: f64,
    /// Where the rule comes from.
    pub source: String,
}

impl Card {
    /// What holds something, where that has fixings of its own.
    #[must_use]
    pub fn fixing(&self, of: Held) -> Option<&Fix> {
        self.fixings.iter().find(|fix| fix.of == of)
    }

    /// Exposure of a course, metres; `None` for sheets and felt, which have no courses.
    #[must_use]
    pub fn gauge(&self) -> Option<f64> {
        match &self.covering {
            CoveringKind::Strip(strip) => Some(strip.gauge.min(strip.largest_gauge())),
            CoveringKind::Unit(unit) => Some(unit.gauge),
            CoveringKind::Sheet(_) | CoveringKind::Felt(_) => None,
        }
    }
}

impl Strip {
    /// Width of a tab.
    #[must_use]
    pub fn tab_width(&self) -> f64 {
        self.width / f64::from(self.tabs)
    }

    /// The largest exposure the piece allows: the depth of its cutouts, and half of what the head lap leaves
    /// (DTU 40.14 art. 4.1: P = (l - R) / 2).
    #[must_use]
    pub fn largest_gauge(&self) -> f64 {
        self.cutout.min((self.height - self.head_lap) / 2.0)
    }
}
