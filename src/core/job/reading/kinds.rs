//! What values of a file are, what was expected of them, what names and keys are of.

use crate::base::quantity::Quantity;
use crate::base::schema::Table;

/// What a value of a file is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ValueKind {
    /// In quotes.
    Text,
    /// Without a point.
    Whole,
    /// With one.
    Number,
    /// True or false.
    Flag,
    /// A date or time.
    Date,
    /// In square brackets.
    List,
    /// In braces, or under a heading.
    Table,
}

/// What there are too few or too many of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Counted {
    /// Elements of a list.
    Elements,
    /// Points.
    Points,
    /// Faces.
    Faces,
    /// Corners.
    Corners,
}

/// What a number counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measured {
    /// Metres.
    Length,
    /// Degrees.
    Angle,
    /// Parts of the whole.
    Share,
    /// A number of its own.
    Number,
    /// A whole number.
    Count,
}

/// What a name is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Named {
    /// A point or corner.
    Point,
    /// A side of a block.
    Side,
    /// Any face.
    Face,
    /// A face by points.
    FaceByPoints,
    /// A camera.
    Camera,
    /// A material card.
    Card,
}

/// Who bears a name that is taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Bearers {
    /// Blocks.
    Blocks,
    /// Blocks or dormers.
    BlocksOrDormers,
    /// Faces.
    Faces,
    /// Cameras.
    Cameras,
    /// Corners of a block.
    CornersOf(String),
}

/// Keys of which only one makes sense.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Conflict {
    /// A side by its place and by length and turn.
    PlaceAndWalk,
    /// Sides one by one and a key of a regular outline.
    SidesAndRegular,
    /// A block on a side and at a place.
    OnSideAndAt,
    /// An opening in plan and in a face.
    PlanAndFace,
    /// A card with two coverings.
    TwoCoverings,
    /// A repair by its place and by courses.
    PlaceAndCourses,
    /// A markup and a margin.
    MarkupAndMargin,
    /// Labour by the hour and by what is laid.
    HoursAndLabour,
    /// A roof without gutters whose old ones stay.
    NoGuttersThatStay,
    /// A plan, and a camera it was taken with.
    PlanAndCamera,
}

/// Roles of a side that do not go together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Roles {
    /// An abutment and anything else.
    Abutment,
    /// A verge and an eave.
    VergeAndEave,
    /// A verge with a pitch, and no place where a hip starts.
    HalfHip,
    /// A gablet with breaks.
    Gablet,
    /// A side that runs into another block and anything else.
    RunsInto,
}

/// What comes after a value that has ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AfterValue {
    /// The inch mark of feet and inches.
    FeetAndInches,
    /// A comma.
    Comma,
    /// Anything else: a unit, as a rule.
    Other,
}

/// What is expected of a value.
#[derive(Clone, Debug, PartialEq)]
pub enum Expected {
    /// What the schema says of its key.
    About(&'static str),
    /// A name of its own.
    Name,
    /// The name of a point.
    Point,
    /// The name of a face by points.
    FaceByPoints,
    /// The name of any face.
    Face,
    /// A side of a block.
    Side,
    /// The side whose rafter was taped.
    TapedSide,
    /// A photo's file.
    PhotoFile,
    /// A photo's file, or what it would tell.
    PhotoFileOrSize,
    /// A photo's size that its file does not tell.
    PhotoSize,
    /// The name of a camera.
    Camera,
    /// True or false.
    Flag,
    /// A number.
    Number,
    /// A whole number.
    Whole,
    /// A quantity, as it may be written.
    Quantity(Quantity),
    /// A table.
    Table(&'static Table),
    /// One of these words.
    Words(Vec<&'static str>),
    /// A card that comes with the tool, or a card file.
    Card(Vec<&'static str>),
    /// So many points or more.
    Points(usize),
    /// Exactly so many points.
    ExactPoints(usize),
    /// Two faces or more.
    TwoFaces,
    /// Three places or more.
    ThreePlaces,
    /// Three lengths.
    ThreeLengths,
    /// A point's place, about where it is, or nothing.
    PlaceOfPoint,
    /// A table of points.
    PointTable,
    /// A table of prices.
    PriceTable,
    /// The name of a price file.
    PriceFile,
    /// A list of what the schema says of its key.
    ListOf(&'static str),
    /// Lines of the order.
    OrderLines,
    /// One of these lines of the order.
    OrderLine(Vec<String>),
    /// Marks of a photo.
    Marks,
    /// A table of marks.
    MarkTable,
    /// A table of edges seen in a photo.
    LineTable,
    /// Places along an edge in a photo.
    LinePlaces,
    /// Sides of an outline.
    Sides,
    /// Breaks of a slope.
    Breaks,
    /// A day.
    Day,
    /// Things that stay.
    StayList,
    /// A thing that stays.
    Stay,
    /// A deck that the card offers.
    Deck(Vec<String>),
    /// Lengths in a list.
    Lengths,
    /// The pitch of a half-hip.
    HalfHipPitch,
    /// The width of a regular outline.
    RegularWidth,
    /// The pitch of a regular outline.
    RegularPitch,
    /// How far an edge lies from the one that was taped.
    Projection,
}
