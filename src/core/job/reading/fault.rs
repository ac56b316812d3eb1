//! Each thing that can be wrong with a file, with what it tells.

use super::files::Unread;
use super::kinds::{AfterValue, Bearers, Conflict, Counted, Expected, Measured, Named, Roles, ValueKind};
use crate::base::quantity::QuantityError;
use crate::base::schema::{Bounds, Table};
use crate::base::units::LengthUnit;
use crate::outline::error::OutlineError;

/// What is wrong. Lengths are metres.
#[derive(Clone, Debug, PartialEq)]
pub enum Fault {
    /// A list or table that is never closed.
    Unclosed {
        /// A table in braces; else a list.
        is_table: bool,
    },
    /// A table given twice.
    DuplicateTable {
        /// The name it was given.
        key: String,
    },
    /// A key given twice.
    DuplicateKey {
        /// The key, as written.
        key: String,
    },
    /// Text without quotes.
    NoQuotes,
    /// A decimal comma.
    DecimalComma,
    /// Something after the end of a value.
    AfterValue(AfterValue),
    /// Text whose closing quote is missing; what the parser expected.
    NoClosingQuote(Option<String>),
    /// A number that begins with its point.
    LeadingPoint(String),
    /// What the parser of the format says.
    NotToml {
        /// Its words.
        said: String,
        /// What it expected.
        expected: Option<String>,
        /// Whether it looks like feet and inches.
        is_feet: bool,
    },
    /// A value of another kind.
    WrongType {
        /// The key, as written.
        key: String,
        /// What it is.
        is: ValueKind,
        /// What it should be.
        expected: Expected,
    },
    /// A table, or anything else, where a list of tables is meant.
    NotTables {
        /// The key, as written.
        key: String,
        /// What it is.
        is: ValueKind,
        /// What each of the list is.
        table: &'static Table,
    },
    /// A key that its table does not know.
    UnknownKey {
        /// As written.
        key: String,
        /// The table.
        table: &'static Table,
        /// The nearest key that it knows.
        near: Option<&'static str>,
        /// A table that knows it.
        belongs: Option<&'static Table>,
    },
    /// A key that must be there.
    MissingKey {
        /// The key, as written.
        key: String,
        /// The table.
        table: &'static Table,
        /// Keys that are there.
        there: Vec<String>,
        /// What is expected.
        expected: Expected,
    },
    /// Too few or too many.
    WrongCount {
        /// The list's key.
        key: String,
        /// How many.
        count: usize,
        /// Of what.
        of: Counted,
        /// What is expected; `None`: so many or more.
        expected: Result<Expected, usize>,
    },
    /// Text that says nothing.
    Empty {
        /// The key, as written.
        key: String,
        /// What is expected.
        expected: Expected,
    },
    /// Text with too many letters.
    TooLong {
        /// The key, as written.
        key: String,
        /// How many.
        letters: usize,
        /// How many it may have.
        most: usize,
        /// What is expected.
        expected: Expected,
    },
    /// A name with stray spaces or control characters.
    BadName {
        /// The key, as written.
        key: String,
        /// The name without spaces at its ends.
        name: String,
    },
    /// A word that is none of these.
    UnknownWord {
        /// The key, as written.
        key: String,
        /// Words it may be.
        words: Vec<&'static str>,
        /// The nearest.
        near: Option<&'static str>,
    },
    /// Keys of which only one makes sense.
    Conflict {
        /// Which.
        which: Conflict,
        /// Both keys.
        keys: [String; 2],
    },
    /// A text that is not the quantity it should be.
    Quantity {
        /// The key, as written.
        key: String,
        /// What is wrong with it.
        error: QuantityError,
        /// Whether the way out was told before.
        is_told: bool,
    },
    /// A number that can't be meant.
    OutOfBounds {
        /// The key, as written.
        key: String,
        /// As read.
        value: f64,
        /// Between what it must lie.
        bounds: Bounds,
        /// What it counts.
        counts: Measured,
        /// The unit of the file.
        unit: LengthUnit,
        /// The number with the unit that was meant.
        meant: Option<String>,
    },
    /// A number that is infinite or none.
    NotFinite {
        /// The key, as written.
        key: String,
    },
    /// A share of more than the whole.
    MoreThanWhole {
        /// The key, as written.
        key: String,
        /// Between what it must lie.
        bounds: Bounds,
        /// Whether it would be fine as a percentage.
        is_percent: bool,
    },
    /// A name that nothing bears.
    UnknownName {
        /// What it should be of.
        of: Named,
        /// The name, as written.
        name: String,
        /// Names there are.
        known: Vec<String>,
        /// The nearest of them.
        near: Option<String>,
    },
    /// A name that several bear.
    AmbiguousName {
        /// Their full names.
        choices: Vec<String>,
    },
    /// A point that comes twice.
    PointTwice,
    /// A face that comes twice.
    FaceTwice,
    /// A side where a face by points is meant.
    SideForFace,
    /// A name that is taken.
    NameTaken(Bearers),
    /// A side with two roles.
    TwoRoles {
        /// Their keys.
        keys: [String; 2],
        /// Why they do not go together.
        roles: Roles,
    },
    /// A hip that starts higher up, without a verge.
    HipWithoutVerge,
    /// A courtyard's side that runs into a block.
    CourtRunsInto,
    /// The lengths of two sides of one outline left open.
    TwoLengthsOpen,
    /// A length left open for which the others leave none.
    NothingLeftOpen,
    /// A side without a role.
    NoRole {
        /// Keys that are there.
        there: Vec<String>,
    },
    /// An unmeasured pitch on a side of more than one slope.
    UnknownOfSeveral,
    /// A break that is not above the one before.
    BreakNotAbove {
        /// Rise of the one before.
        before: f64,
    },
    /// An outline of fewer than three sides.
    TooFewSides {
        /// How many.
        count: usize,
    },
    /// Some sides by places, some walked.
    MixedSides {
        /// By places.
        placed: usize,
        /// Walked.
        walked: usize,
    },
    /// An outline no larger than a hand.
    TinyOutline {
        /// Its longest side.
        longest: f64,
        /// The least of a real one.
        least: f64,
        /// The most of a side.
        most: f64,
    },
    /// A side longer than any of a building.
    LongSide {
        /// The least of a real outline's longest.
        least: f64,
        /// The most of a side.
        most: f64,
    },
    /// A design that does not close.
    DesignOpen {
        /// What stays open.
        gap: f64,
        /// What may.
        allowed: f64,
    },
    /// Turns that do not go once round, degrees.
    TurnSum {
        /// Their sum.
        sum: f64,
        /// How far it may be off; `None` where the last turn is left out.
        allowed: Option<f64>,
    },
    /// An outline that meets itself.
    Outline(OutlineError),
    /// A block's height that is not stated.
    HeightAssumed {
        /// The block's name.
        block: String,
    },
    /// An offset along a side, and no side.
    OffsetAlone,
    /// A block no slope rises from.
    NoEave {
        /// The block's name.
        block: String,
    },
    /// A block on its own side.
    OnOwnSide,
    /// A side of this block that no rafter rises from.
    NoRafter,
    /// An unmeasured pitch that nothing fixes.
    PitchNotFixed {
        /// The side's name.
        side: String,
    },
    /// What would fix a pitch, where every pitch is given.
    PitchGiven {
        /// The key, as written.
        key: String,
    },
    /// What tells of a pitch on a side that has none.
    NoPitchHere {
        /// The key, as written.
        key: String,
    },
    /// A ridge no higher than the outline.
    RidgeTooLow {
        /// The block's height.
        height: f64,
    },
    /// Blocks that stand on each other's sides in a circle.
    Circle {
        /// The blocks' names.
        blocks: Vec<String>,
    },
    /// Not a day.
    BadDate {
        /// The key, as written.
        key: String,
    },
    /// A file without a roof.
    NoRoof,
    /// No roof face rises from a side.
    NoFaceOnSide {
        /// Whether a face by points would do.
        or_face: bool,
    },
    /// A corner that is one of its own arms.
    CornerIsArm,
    /// A point that stands over a line it ends.
    PointEndsLine,
    /// A point named like a corner.
    ShadowedName {
        /// The name, as written.
        name: String,
        /// The corner's block.
        block: String,
    },
    /// Points farther apart than any building is long.
    FarApart {
        /// Both.
        points: [String; 2],
        /// How far apart they may be.
        most: f64,
    },
    /// A key that goes with an outline measured at the wall.
    GoesWithWall {
        /// The key, as written.
        key: String,
    },
    /// A key that goes with an outline measured at the eaves.
    GoesWithEaves {
        /// The key, as written.
        key: String,
    },
    /// A projection beyond the drip edge itself.
    ProjectionAtDripEdge,
    /// An overhang that is not stated.
    OverhangAssumed,
    /// A price file that was not read.
    PriceFile {
        /// The name it was given.
        name: String,
        /// Why.
        why: Unread,
    },
    /// A price file that names another one.
    FurtherPriceFile,
    /// A name that is no line of the order.
    NoSuchLine {
        /// The name, as written.
        name: String,
        /// Lines there are.
        known: Vec<String>,
        /// The nearest.
        near: Option<String>,
    },
    /// A deck that the card does not offer.
    NoSuchDeck {
        /// The name, as written.
        name: String,
        /// The card, as named.
        card: String,
        /// Decks there are.
        known: Vec<String>,
    },
    /// A table of values of a card that has no such table.
    NotOnThisCard {
        /// As the schema heads it.
        table: &'static str,
        /// The card, as named.
        card: String,
        /// Tables it has.
        there: Vec<&'static str>,
    },
    /// A value of a card that is not changed from a roof file.
    CardValueFixed {
        /// The key, as written.
        key: String,
    },
    /// A card file that was not read.
    CardFile {
        /// The name it was given.
        name: String,
        /// Why.
        why: Unread,
        /// Cards that come with the tool.
        known: Vec<&'static str>,
    },
    /// Waste that is neither a word nor a percentage.
    WasteWord,
    /// A card without a covering.
    NoCovering,
    /// A gauge that leaves too little lap.
    CardGauge {
        /// The most it may be.
        most: f64,
    },
    /// Side laps of two layers that would lie on each other.
    CardLap {
        /// The most they may be.
        most: f64,
    },
    /// A camera no photo names.
    UnusedCamera {
        /// The camera.
        name: String,
    },
    /// A standard deviation in pixels of a focal length that is not stated.
    FocalSigmaAlone,
    /// A photo that was not read.
    PhotoFile {
        /// The name it was given.
        name: String,
        /// Why.
        why: Unread,
    },
    /// A file that is no picture.
    PhotoFormat {
        /// The name it was given.
        name: String,
    },
    /// A JPEG file that ends before its picture does.
    PhotoCutOff {
        /// The name it was given.
        name: String,
    },
    /// A picture whose data are read and which is not shown.
    PhotoHeif {
        /// The name it was given.
        name: String,
    },
    /// A photo of another size than stated.
    PhotoSize {
        /// Its own, pixels.
        size: [f64; 2],
    },
    /// A focal length that is not known.
    FocalAssumed {
        /// What is taken, pixels.
        focal: f64,
    },
    /// What is said of a plan, of a photo.
    OnlyOfPlan {
        /// The key, as written.
        key: String,
    },
    /// How unsure a scale is that is not stated.
    ScaleSigmaAlone,
    /// Not the ends of an edge.
    NotEnds,
    /// An edge from a point to itself.
    EdgeToItself,
    /// A mark beside its photo.
    MarkOutside {
        /// Its point.
        point: String,
        /// The photo's size, pixels.
        size: [f64; 2],
    },
}
