//! Words a file may write, each with what it is read as.

use crate::base::schema::words_of;
use crate::base::units::LengthUnit;
use crate::framing::spec::GridEnd;
use crate::job::model::{PitchSureness, Stage};
use crate::outline::TakesOver;
use crate::outline::block::{DormerKind, Fascia};
use crate::survey::model::KnownThing;
use crate::survey::sigma::{self, LengthSigma};
use crate::takeoff::card::{Direction, TabShape};
use crate::takeoff::goods::Held;
use crate::takeoff::goods::{DeckKind, Exposure};
use crate::takeoff::item::Unit;
use crate::takeoff::model::{HipMethod, ValleyMethod};

/// What a bare length means.
pub const UNITS: [(&str, LengthUnit); 5] = [
    ("m", LengthUnit::Metre),
    ("cm", LengthUnit::Centimetre),
    ("mm", LengthUnit::Millimetre),
    ("ft", LengthUnit::Foot),
    ("in", LengthUnit::Inch),
];
/// What of [`UNITS`] is written.
pub const UNIT_WORDS: [&str; 5] = words_of(&UNITS);

/// Whether an outline was measured at the wall.
pub const DATUMS: [(&str, bool); 2] = [("eaves", false), ("wall", true)];
/// What of [`DATUMS`] is written.
pub const DATUM_WORDS: [&str; 2] = words_of(&DATUMS);

/// What the tape reached.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EdgeOf {
    /// The drip edge itself.
    DripEdge,
    /// An edge within the drip edge.
    Inside,
    /// An edge beyond it.
    Outside,
}

/// What the tape reached, in words.
pub const EDGES: [(&str, EdgeOf); 4] = [
    ("drip edge", EdgeOf::DripEdge),
    ("deck", EdgeOf::Inside),
    ("fascia", EdgeOf::Inside),
    ("gutter front", EdgeOf::Outside),
];
/// What of [`EDGES`] is written.
pub const EDGE_WORDS: [&str; 4] = words_of(&EDGES);

/// What stays even where pitches differ.
pub const FASCIAS: [(&str, Fascia); 3] =
    [("level", Fascia::Level), ("equal", Fascia::Equal), ("raised", Fascia::Raised)];
/// What of [`FASCIAS`] is written.
pub const FASCIA_WORDS: [&str; 3] = words_of(&FASCIAS);

/// Which end of an eave rafters are counted from.
pub const GRID_ENDS: [(&str, GridEnd); 2] = [("left", GridEnd::Left), ("right", GridEnd::Right)];
/// What of [`GRID_ENDS`] is written.
pub const GRID_END_WORDS: [&str; 2] = words_of(&GRID_ENDS);

/// Which of two slopes in one line goes on.
pub const TAKE_OVERS: [(&str, TakesOver); 2] = [("flatter", TakesOver::Flatter), ("steeper", TakesOver::Steeper)];
/// What of [`TAKE_OVERS`] is written.
pub const TAKE_OVER_WORDS: [&str; 2] = words_of(&TAKE_OVERS);

/// Roofs of dormers.
pub const DORMERS: [(&str, DormerKind); 3] =
    [("gable", DormerKind::Gable), ("hip", DormerKind::Hip), ("shed", DormerKind::Shed)];
/// What of [`DORMERS`] is written.
pub const DORMER_WORDS: [&str; 3] = words_of(&DORMERS);

/// Which way an edge runs.
pub const DIRECTIONS: [(&str, [f64; 3]); 6] = [
    ("+x", [1.0, 0.0, 0.0]),
    ("-x", [-1.0, 0.0, 0.0]),
    ("+y", [0.0, 1.0, 0.0]),
    ("-y", [0.0, -1.0, 0.0]),
    ("+z", [0.0, 0.0, 1.0]),
    ("-z", [0.0, 0.0, -1.0]),
];
/// What of [`DIRECTIONS`] is written.
pub const DIRECTION_WORDS: [&str; 6] = words_of(&DIRECTIONS);

/// Ways to lay a valley.
pub const VALLEYS: [(&str, ValleyMethod); 3] =
    [("open", ValleyMethod::Open), ("closed", ValleyMethod::Closed), ("woven", ValleyMethod::Woven)];
/// What of [`VALLEYS`] is written.
pub const VALLEY_WORDS: [&str; 3] = words_of(&VALLEYS);

/// Ways to lay a hip.
pub const HIPS: [(&str, HipMethod); 2] = [("trimmed", HipMethod::Trimmed), ("over", HipMethod::Over)];
/// What of [`HIPS`] is written.
pub const HIP_WORDS: [&str; 2] = words_of(&HIPS);

/// How the site lies to the wind.
pub const EXPOSURES: [(&str, Exposure); 2] = [("normal", Exposure::Normal), ("exposed", Exposure::Exposed)];
/// What of [`EXPOSURES`] is written.
pub const EXPOSURE_WORDS: [&str; 2] = words_of(&EXPOSURES);

/// Metal at every edge.
pub const EDGE_METAL: [&str; 4] = ["edge-strip-eave", "edge-strip-verge", "edge-strip-break", "edge-strip-top"];
/// Gutters, pipes and what holds and joins them.
pub const RAINWATER: [&str; 8] =
    ["gutter", "gutter-bracket", "gutter-corner", "stop-end", "gutter-outlet", "downpipe", "pipe-bend", "pipe-clip"];
/// Pipes and what holds them.
const PIPES: [&str; 3] = ["downpipe", "pipe-bend", "pipe-clip"];
/// Metal at walls and openings.
const FLASHINGS: [&str; 5] = ["abutment-flashing", "opening-flashing", "step-flashing", "kick-out", "saddle"];

/// Words for what is not bought, beside the names of the order's lines themselves, with the lines each stands for.
pub const THINGS: [(&str, &[&str]); 27] = [
    ("deck", &["deck-board"]),
    ("decking", &["deck-board"]),
    ("boards", &["deck-board"]),
    ("deck boards", &["deck-board"]),
    ("battens", &["deck-board"]),
    ("fascia", &["fascia-board"]),
    ("fascias", &["fascia-board"]),
    ("fascia boards", &["fascia-board"]),
    ("bargeboards", &["verge-board"]),
    ("verge boards", &["verge-board"]),
    ("soffits", &["soffit"]),
    ("edge metal", &EDGE_METAL),
    ("drip edge", &EDGE_METAL),
    ("eave metal", &["edge-strip-eave"]),
    ("verge metal", &["edge-strip-verge"]),
    ("valleys", &["valley-lining"]),
    ("valley metal", &["valley-lining"]),
    ("caps", &["ridge-hip-cap"]),
    ("nails", &["nail"]),
    ("flashings", &FLASHINGS),
    ("flashing", &FLASHINGS),
    ("gutters", &RAINWATER),
    ("gutters and pipes", &RAINWATER),
    ("rainwater goods", &RAINWATER),
    ("downpipes", &PIPES),
    ("pipes", &PIPES),
    ("felt", &["underlay"]),
];

/// What stays on a building whose roof is renewed, where nothing is said of it (common practice, no source). The deck is
/// asked for apart.
pub const USUALLY_STAYS: [(&str, &[&str]); 3] = [
    ("fascia and verge boards", &["fascia-board", "verge-board", "top-board"]),
    ("soffit", &["soffit"]),
    ("gutters and pipes", &RAINWATER),
];

/// What lies on old roofs: kilograms a square metre of one layer, and its thickness loose in a skip, metres (common
/// practice, no source). The first word that the kind holds counts.
pub const OLD_COVERINGS: [(&str, f64, f64); 8] = [
    ("shingle", 10.0, 0.04),
    ("felt", 6.0, 0.03),
    ("slate", 32.0, 0.05),
    ("tile", 45.0, 0.08),
    ("cement", 17.0, 0.04),
    ("metal", 6.0, 0.05),
    ("sheet", 6.0, 0.05),
    ("thatch", 40.0, 0.50),
];

/// Whether goods of the card are laid.
pub const AS_CARD: [(&str, bool); 2] = [("card", true), ("none", false)];
/// What of [`AS_CARD`] is written.
pub const AS_CARD_WORDS: [&str; 2] = words_of(&AS_CARD);

/// The lines of the order that a word or a line's own name stands for.
#[must_use]
pub fn things(word: &str) -> Option<&'static [&'static str]> {
    let plain = word.trim().to_lowercase();
    THINGS.iter().find(|(known, _)| *known == plain).map(|(_, items)| *items)
}

/// Shapes of a strip's tabs.
pub const TABS: [(&str, TabShape); 3] =
    [("rectangular", TabShape::Rectangular), ("rounded", TabShape::Rounded), ("triangular", TabShape::Triangular)];
/// What of [`TABS`] is written.
pub const TAB_WORDS: [&str; 3] = words_of(&TABS);

/// Which way strips off a roll run.
pub const DIRECTIONS_OF_STRIPS: [(&str, Direction); 2] = [("across", Direction::Across), ("up", Direction::Up)];
/// What of [`DIRECTIONS_OF_STRIPS`] is written.
pub const STRIP_DIRECTION_WORDS: [&str; 2] = words_of(&DIRECTIONS_OF_STRIPS);

/// What a deck is made of.
pub const DECKS: [(&str, DeckKind); 3] =
    [("boards", DeckKind::Boards), ("sheets", DeckKind::Sheets), ("battens", DeckKind::Battens)];
/// What of [`DECKS`] is written.
pub const DECK_WORDS: [&str; 3] = words_of(&DECKS);

/// What a price may be for.
pub const PER: [(&str, Unit); 11] = [
    ("pack", Unit::Pack),
    ("piece", Unit::Piece),
    ("tube", Unit::Tube),
    ("m", Unit::Metre),
    ("m²", Unit::SquareMetre),
    ("m2", Unit::SquareMetre),
    ("ft", Unit::Foot),
    ("ft²", Unit::SquareFoot),
    ("ft2", Unit::SquareFoot),
    ("square", Unit::Square),
    ("t", Unit::Tonne),
];
/// What of [`PER`] is written.
pub const PER_WORDS: [&str; 11] = words_of(&PER);

/// What fixings of their own hold.
pub const HELD: [(&str, Held); 5] = [
    ("deck", Held::Deck),
    ("underlay", Held::Underlay),
    ("metal", Held::Metal),
    ("caps", Held::Caps),
    ("counter-battens", Held::CounterBattens),
];
/// What of [`HELD`] is written.
pub const HELD_WORDS: [&str; 5] = words_of(&HELD);

/// A laser distance meter held by hand: 3 mm. Common practice, no source.
const LASER: LengthSigma = LengthSigma { fixed: 0.003, relative: 0.0 };

/// A way to take a length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LengthMethod {
    /// As sure as this, whatever is measured.
    Sigma(LengthSigma),
    /// Courses of the covering counted, times their gauge.
    Courses,
}

/// Ways to take a length.
pub const LENGTHS: [(&str, LengthMethod); 10] = [
    ("steel tape", LengthMethod::Sigma(sigma::STEEL_TAPE)),
    ("steel tape along a wall", LengthMethod::Sigma(sigma::TAPE_ALONG_WALL)),
    ("slope tape", LengthMethod::Sigma(sigma::SLOPE_TAPE)),
    ("plumb line", LengthMethod::Sigma(sigma::OVERHANG_BY_PLUMB_LINE)),
    ("folding rule", LengthMethod::Sigma(sigma::FOLDING_RULE)),
    ("laser", LengthMethod::Sigma(LASER)),
    ("counted courses", LengthMethod::Courses),
    ("counted bricks", LengthMethod::Sigma(sigma::COUNTED)),
    ("counted boards", LengthMethod::Sigma(sigma::COUNTED)),
    ("paced", LengthMethod::Sigma(sigma::PACED)),
];
/// What of [`LENGTHS`] is written.
pub const LENGTH_WORDS: [&str; 10] = words_of(&LENGTHS);

/// Ways to read a pitch, radians.
pub const PITCHES: [(&str, f64); 6] = [
    ("level and rule", sigma::PITCH_LEVEL_AND_RULE),
    ("digital level", sigma::PITCH_DIGITAL_LEVEL),
    ("inclinometer", sigma::PITCH_ON_SHINGLES),
    ("phone", sigma::PITCH_PHONE),
    ("app", sigma::PITCH_APP),
    ("sighted", sigma::PITCH_SIGHTED),
];
/// What of [`PITCHES`] is written.
pub const PITCH_WORDS: [&str; 6] = words_of(&PITCHES);

/// Things whose size is known.
pub const KNOWN_THINGS: [(&str, KnownThing); 7] = [
    ("door", KnownThing::Door),
    ("window", KnownThing::Window),
    ("board panel", KnownThing::BoardPanel),
    ("brick course", KnownThing::BrickCourse),
    ("block course", KnownThing::BlockCourse),
    ("cladding board", KnownThing::CladdingBoard),
    ("other", KnownThing::Other),
];
/// What of [`KNOWN_THINGS`] is written.
pub const KNOWN_THING_WORDS: [&str; 7] = words_of(&KNOWN_THINGS);

/// How the pitch of a side was found.
pub const PITCH_BY: [(&str, PitchSureness); 8] = [
    ("level and rule", PitchSureness::Sigma(sigma::PITCH_LEVEL_AND_RULE)),
    ("digital level", PitchSureness::Sigma(sigma::PITCH_DIGITAL_LEVEL)),
    ("rafter tape", PitchSureness::RafterTape),
    ("inclinometer", PitchSureness::Sigma(sigma::PITCH_ON_SHINGLES)),
    ("phone", PitchSureness::Sigma(sigma::PITCH_PHONE)),
    ("app", PitchSureness::Sigma(sigma::PITCH_APP)),
    ("sighted", PitchSureness::Sigma(sigma::PITCH_SIGHTED)),
    ("drawing", PitchSureness::Sigma(0.0)),
];
/// What of [`PITCH_BY`] is written.
pub const PITCH_BY_WORDS: [&str; 8] = words_of(&PITCH_BY);

/// Whether the numbers of a job were measured.
pub const STAGES: [(&str, Stage); 2] = [("measured", Stage::Measured), ("design", Stage::Design)];
/// What of [`STAGES`] is written.
pub const STAGE_WORDS: [&str; 2] = words_of(&STAGES);
