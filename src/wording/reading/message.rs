//! What is wrong, in one line.

use super::lists::unread;
use super::quantity;
use crate::job::reading::{Bearers, Conflict, Counted, Fault, Named, ValueKind};
use crate::wording::amount::count;
use crate::wording::units::Format;

/// The message; `written` is what stands at the place.
// One arm a fault.
#[allow(clippy::too_many_lines)]
pub(super) fn message(fault: &Fault, written: &str, format: Format) -> String {
    match fault {
        Fault::Unclosed { is_table } => {
            format!("the {} that starts here is never closed", if *is_table { "table" } else { "list" })
        }
        Fault::DuplicateTable { key } => format!("table [{key}] is given twice"),
        Fault::DuplicateKey { key } => format!("key {key:?} is given twice"),
        Fault::NoQuotes => "text without quotes".to_owned(),
        Fault::DecimalComma => "a number with a decimal comma".to_owned(),
        Fault::AfterValue(_) => "something after the end of the value".to_owned(),
        Fault::NoClosingQuote(_) => "text whose closing quote is missing".to_owned(),
        Fault::LeadingPoint(_) => "a number that begins with its point".to_owned(),
        Fault::NotToml { said, .. } => lower_case(said),
        Fault::WrongType { key, is, .. } | Fault::NotTables { key, is, .. } => format!("`{key}` is {}", value(*is)),
        Fault::UnknownKey { key, table, .. } => format!("unknown key `{key}` in {}", table.header),
        Fault::MissingKey { key, table, .. } => format!("{} has no `{key}`", table.header),
        Fault::WrongCount { key, count: number, of, .. } => format!("`{key}` has {}", counted(*number, *of)),
        Fault::Empty { key, .. } => format!("`{key}` is empty"),
        Fault::TooLong { key, letters, .. } => format!("`{key}` has {letters} letters"),
        Fault::BadName { key, .. } => format!("`{key}` is a name with stray spaces or control characters"),
        Fault::UnknownWord { key, .. } => format!("`{key}` is not one of the words it may be"),
        Fault::Conflict { which, keys: [first, second] } => match which {
            Conflict::PlaceAndWalk => format!("this side gives both a place and `{second}`"),
            Conflict::SidesAndRegular => format!("`{second}` of a whole block goes with a regular outline"),
            Conflict::OnSideAndAt => format!("this block's place is given twice: `at_side` and `{second}`"),
            Conflict::PlanAndFace => format!("this opening gives both `plan` and `{second}`"),
            Conflict::PlaceAndCourses => "a repair is named by its place or by its courses".to_owned(),
            Conflict::PlanAndCamera => "a plan was taken with no camera".to_owned(),
            Conflict::MarkupAndMargin => "a price has a markup on its cost or a margin of its own".to_owned(),
            Conflict::HoursAndLabour => "labour is priced by the hour and by what is laid".to_owned(),
            Conflict::NoGuttersThatStay => "the roof has no gutters, and its old ones stay".to_owned(),
            Conflict::TwoCoverings => format!("the card describes two coverings: [{first}] and [{second}]"),
        },
        Fault::Quantity { key, error, .. } => format!("`{key}`: {}", quantity::message(error)),
        Fault::OutOfBounds { key, value, bounds, .. } => {
            if *value < 0.0 && bounds.least >= 0.0 {
                format!("`{key}` is negative")
            } else if *value == 0.0 && bounds.least >= 0.0 {
                format!("`{key}` is 0")
            } else if *value > bounds.most {
                format!("`{key}` is larger than any {}", bounds.of)
            } else {
                format!("`{key}` is smaller than any {}", bounds.of)
            }
        }
        Fault::NotFinite { key } => format!("`{key}` is not a finite number"),
        Fault::MoreThanWhole { key, .. } => format!("`{key}` is more than the whole"),
        Fault::UnknownName { of, name, .. } => format!("there is no {} {name:?}", named(*of)),
        Fault::AmbiguousName { .. } => format!("{written} names more than one corner or side"),
        Fault::PointTwice => format!("point {written} comes twice"),
        Fault::FaceTwice => format!("face {written} comes twice"),
        Fault::SideForFace => format!("{written} is a side of a block, not a face by points"),
        Fault::NameTaken(bearers) => {
            let who = match bearers {
                Bearers::Blocks => "blocks".to_owned(),
                Bearers::BlocksOrDormers => "blocks or dormers".to_owned(),
                Bearers::Faces => "faces".to_owned(),
                Bearers::Cameras => "cameras".to_owned(),
                Bearers::CornersOf(block) => format!("corners of block {block:?}"),
            };
            format!("two {who} are called {written}")
        }
        Fault::TwoRoles { keys: [first, second], .. } => format!("this side has two roles: `{first}` and `{second}`"),
        Fault::CourtRunsInto => "a courtyard's side that runs into a block".to_owned(),
        Fault::TwoLengthsOpen => "the lengths of two sides of one outline are left open".to_owned(),
        Fault::NothingLeftOpen => "the other sides leave no length for the one that is left open".to_owned(),
        Fault::HipWithoutVerge => "a hip that starts higher up, but no verge".to_owned(),
        Fault::NoRole { .. } => "this side does not say what the roof does above it".to_owned(),
        Fault::UnknownOfSeveral => "a pitch that was not measured on a side of more than one slope".to_owned(),
        Fault::BreakNotAbove { .. } => "a break that is not above the one before it".to_owned(),
        Fault::TooFewSides { count } => format!("an outline of {count} sides"),
        Fault::MixedSides { .. } => "some sides of this outline give places, some lengths and turns".to_owned(),
        Fault::TinyOutline { .. } => "an outline that is no larger than a hand".to_owned(),
        Fault::LongSide { .. } => "a side between these places is longer than any side of a building".to_owned(),
        Fault::DesignOpen { .. } => "the outline of this design does not close".to_owned(),
        Fault::TurnSum { .. } => "the turns of this outline do not go once round".to_owned(),
        Fault::Outline(error) => crate::wording::fault::outline(error, format),
        Fault::HeightAssumed { block } => {
            format!("block {block:?} does not say how high it stands: 0 above datum is taken")
        }
        Fault::OffsetAlone => "`offset` without `at_side`".to_owned(),
        Fault::NoEave { block } => format!("no side of block {block:?} is an eave"),
        Fault::OnOwnSide => "a block cannot stand on a side of its own".to_owned(),
        Fault::NoRafter => "no rafter rises from that side of this block".to_owned(),
        Fault::PitchNotFixed { side } => format!("the pitch of side {side:?} is not measured and nothing fixes it"),
        Fault::PitchGiven { key } => format!("`{key}` is not used: every pitch of this block is given"),
        Fault::NoPitchHere { key } => format!("`{key}` is not used: this side has no pitch that was measured"),
        Fault::RidgeTooLow { .. } => "the ridge lies no higher than the outline".to_owned(),
        Fault::Circle { blocks } => format!("blocks {} stand on each other's sides in a circle", blocks.join(", ")),
        Fault::BadDate { key } => format!("`{key}` is not a day"),
        Fault::NoRoof => "the file describes no roof".to_owned(),
        Fault::NoFaceOnSide { .. } => "no roof face rises from that side".to_owned(),
        Fault::CornerIsArm => "the corner is one of its own arms".to_owned(),
        Fault::PointEndsLine => "the point is an end of the line it should stand over".to_owned(),
        Fault::ShadowedName { name, block } => {
            format!("{name:?} names both a point and a corner of block {block:?}")
        }
        Fault::FarApart { points: [first, second], .. } => {
            format!("points {first:?} and {second:?} are farther apart than any building is long")
        }
        Fault::GoesWithWall { key } => format!("`{key}` goes with an outline measured at the wall"),
        Fault::GoesWithEaves { key } => format!("`{key}` goes with an outline measured at the eaves"),
        Fault::ProjectionAtDripEdge => {
            "`projection` goes with an outline taped to another edge than the drip edge".to_owned()
        }
        Fault::OverhangAssumed => {
            "the outline was measured at the wall and no overhang is given: none is taken".to_owned()
        }
        Fault::PriceFile { name, why } => format!("price file {name:?} {}", unread(why)),
        Fault::FurtherPriceFile => "a price file names no further one".to_owned(),
        Fault::NoSuchDeck { name, card, .. } => format!("the card {card} offers no deck {name:?}"),
        Fault::NoSuchLine { name, .. } => format!("there is no line {name:?} of the order"),
        Fault::NotOnThisCard { table, card, .. } => {
            format!("the card {card} has no {table} whose values could be changed")
        }
        Fault::CardValueFixed { key } => format!("`{key}` of a card is not changed from a roof file"),
        Fault::CardFile { name, why, .. } => format!("card file {name:?} {}", unread(why)),
        Fault::WasteWord => "`waste` is neither word nor percentage".to_owned(),
        Fault::NoCovering => "the card does not say what lies on the roof".to_owned(),
        Fault::CardGauge { .. } => "the gauge leaves too little lap".to_owned(),
        Fault::CardLap { .. } => "the side laps of the two layers would lie on each other".to_owned(),
        Fault::UnusedCamera { name } => format!("no photo was taken with camera {name:?}"),
        Fault::OnlyOfPlan { key } => format!("`{key}` in a photo that is no plan"),
        Fault::ScaleSigmaAlone => "`scale_sigma` without `scale`".to_owned(),
        Fault::FocalSigmaAlone => "`focal_sigma` in pixels without `focal`".to_owned(),
        Fault::PhotoFile { name, why } => format!("photo {name:?} {}", unread(why)),
        Fault::PhotoFormat { name } => format!("{name:?} is no picture that can be read"),
        Fault::PhotoCutOff { name } => {
            format!("{name:?} is cut off: the JPEG data end before the picture does")
        }
        Fault::PhotoHeif { name } => {
            format!("export as JPEG: {name:?} is a HEIF (HEIC) picture, whose data are read and whose pixels are not")
        }
        Fault::PhotoSize { .. } => "the photo has another size".to_owned(),
        Fault::FocalAssumed { focal } => {
            format!("the photo does not tell its focal length: {focal:.0} px, a phone's usual, is taken")
        }
        Fault::NotEnds => "not the ends of an edge".to_owned(),
        Fault::EdgeToItself => "an edge from a point to itself".to_owned(),
        Fault::MarkOutside { point, .. } => format!("the mark of {point:?} lies outside the photo"),
    }
}

/// What a value is.
fn value(kind: ValueKind) -> &'static str {
    match kind {
        ValueKind::Text => "text",
        ValueKind::Whole => "a whole number",
        ValueKind::Number => "a number",
        ValueKind::Flag => "true or false",
        ValueKind::Date => "a date or time",
        ValueKind::List => "a list",
        ValueKind::Table => "a table",
    }
}

/// What a name is of.
pub(super) fn named(of: Named) -> &'static str {
    match of {
        Named::Point => "point",
        Named::Side => "side",
        Named::Face => "face",
        Named::FaceByPoints => "face by points",
        Named::Camera => "camera",
        Named::Card => "material card",
    }
}

fn counted(number: usize, of: Counted) -> String {
    match of {
        Counted::Elements => count(number, "element", "elements"),
        Counted::Points => count(number, "point", "points"),
        Counted::Faces => count(number, "face", "faces"),
        Counted::Corners => count(number, "corner", "corners"),
    }
}

fn lower_case(said: &str) -> String {
    let mut letters = said.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}
