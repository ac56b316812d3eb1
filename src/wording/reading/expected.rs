//! What was found, what would have been right, and what to do.

use super::lists::{keys, listed};
use super::message::named;
use super::quantity;
use crate::base::units::LengthUnit;
use crate::job::reading::{AfterValue, Conflict, Expected, Fault, Measured, Named, Problem, Roles};
use crate::wording::schema::{Counted, number, range};

const FEET_AND_INCHES: &str = r#"feet and inches: "11 ft 3.5 in", or with the inch mark escaped: "11' 3 1/2\"""#;

const ROLES: &str = "one of pitch = 35 (an eave), verge = true (a gable end), verge = true with hip_from and pitch (a \
                     half-hip), pitch with verge_from (a gablet), abutment = true, runs_into = true";

/// How many names a list of them shows.
const SHOWN: usize = 12;

fn metres(value: f64) -> String {
    number(value, Counted::Length(LengthUnit::Metre))
}

/// What was found.
pub(super) fn found(problem: &Problem) -> Option<String> {
    Some(match &problem.fault {
        Fault::Unclosed { .. }
        | Fault::NoQuotes
        | Fault::DecimalComma
        | Fault::AfterValue(_)
        | Fault::NoClosingQuote(_)
        | Fault::LeadingPoint(_)
        | Fault::NotToml { .. } => match problem.written.as_deref() {
            None | Some("") => "the end of the line".to_owned(),
            Some(written) => written.to_owned(),
        },
        Fault::MissingKey { there, .. } | Fault::NoRole { there } => keys(there),
        Fault::Conflict { keys: [first, second], .. } | Fault::TwoRoles { keys: [first, second], .. } => {
            format!("`{first}` and `{second}`")
        }
        Fault::GoesWithWall { key } | Fault::GoesWithEaves { key } => format!("`{key}`"),
        Fault::OffsetAlone => "`offset`".to_owned(),
        Fault::ProjectionAtDripEdge => "`projection`".to_owned(),
        Fault::HipWithoutVerge => "`hip_from`".to_owned(),
        Fault::CourtRunsInto => "`runs_into`".to_owned(),
        Fault::UnknownOfSeveral => "\"?\"".to_owned(),
        Fault::NoEave { .. } => "verges and abutments only".to_owned(),
        Fault::PitchNotFixed { .. } => "pitch = \"?\"".to_owned(),
        Fault::NoRoof => "neither a [[block]] nor a [[face]]".to_owned(),
        Fault::TinyOutline { longest, .. } => format!("sides of at most {}", metres(*longest)),
        Fault::DesignOpen { gap, .. } => {
            format!("a gap of {:.0} mm from its last side to its first corner", gap * 1000.0)
        }
        Fault::TurnSum { sum, .. } => format!("they add up to {sum}°"),
        _ => return problem.written.clone(),
    })
}

/// What would have been right.
// One arm a fault.
#[allow(clippy::too_many_lines)]
pub(super) fn expected(fault: &Fault) -> Option<String> {
    Some(match fault {
        Fault::Unclosed { is_table } => format!("`{}` after its last element", close(*is_table)),
        Fault::DuplicateTable { .. } | Fault::DuplicateKey { .. } => "each key once in its table".to_owned(),
        Fault::NoQuotes => "text in quotes, or a number without a unit".to_owned(),
        Fault::DecimalComma => "a decimal point".to_owned(),
        Fault::AfterValue(_) => "the end of the line, or a comment after #".to_owned(),
        Fault::NoClosingQuote(expected) => expected.clone().unwrap_or_else(|| "a closing quote".to_owned()),
        Fault::LeadingPoint(_) => "a digit before the point".to_owned(),
        Fault::NotToml { said, expected, .. } => match expected.as_deref() {
            Some("nothing") | None if said.contains("leading zero") => "the number without it".to_owned(),
            Some("nothing") | None => "a value as TOML writes it".to_owned(),
            Some(expected) => expected.to_owned(),
        },
        Fault::WrongType { expected, .. }
        | Fault::Empty { expected, .. }
        | Fault::WrongCount { expected: Ok(expected), .. } => of_value(expected),
        Fault::NotTables { table, .. } => format!("a list of tables: {}", table.header),
        Fault::UnknownKey { near: Some(near), .. } => format!("`{near}`"),
        Fault::UnknownKey { table, .. } => {
            let known: Vec<String> = table.keys.iter().map(|key| format!("`{}`", key.key)).collect();
            format!("one of {}", known.join(", "))
        }
        Fault::MissingKey { key, expected, .. } => format!("`{key}`: {}", of_value(expected)),
        Fault::WrongCount { expected: Err(2), of: crate::job::reading::Counted::Faces, .. } => "two or more".to_owned(),
        Fault::WrongCount { expected: Err(least), .. } => format!("{least} or more"),
        Fault::TooLong { most, expected, .. } => format!("{}, at most {most} letters", of_value(expected)),
        Fault::BadName { name, .. } => format!("{name:?}"),
        Fault::UnknownWord { words, .. } => of_value(&Expected::Words(words.clone())),
        Fault::Conflict { which, .. } => match which {
            Conflict::PlaceAndWalk => "either `at`, or `length` and `turn`",
            Conflict::SidesAndRegular => "`sides = 8` beside `width`, or these keys side by side",
            Conflict::OnSideAndAt => "either `at_side` with `offset`, or `start` and `heading`",
            Conflict::PlanAndFace => "either `plan`, or `face`, `at` and `size`",
            Conflict::PlaceAndCourses => "either `at` and `size`, or `first_course`",
            Conflict::PlanAndCamera => "`plan = true` without `camera`",
            Conflict::MarkupAndMargin => "either `markup` or `margin`",
            Conflict::HoursAndLabour => "either [prices.hours] or prices of labour",
            Conflict::NoGuttersThatStay => "`gutters = \"none\"` for a roof that has none, or gutters among what stays",
            Conflict::TwoCoverings => ONE_COVERING,
        }
        .to_owned(),
        Fault::Quantity { error, .. } => quantity::expected(error),
        Fault::OutOfBounds { bounds, counts, unit, .. } => {
            let (of, counted) = match counts {
                Measured::Length => ("a length", Counted::Length(*unit)),
                Measured::Angle => ("an angle", Counted::Angle),
                Measured::Share => ("a share", Counted::Share),
                Measured::Number => ("a number", Counted::Number),
                Measured::Count => ("a whole number", Counted::Number),
            };
            format!("{of}: {}", range(bounds, counted))
        }
        Fault::NotFinite { .. } => "a finite number".to_owned(),
        Fault::MoreThanWhole { bounds, .. } => format!(
            "a share: {}; in quotes with its sign, \"15 %\", or as a number up to 1, 0.15",
            range(bounds, Counted::Share)
        ),
        Fault::UnknownName { of: Named::Card, known, .. } => {
            format!("{}, or the path of a card file", listed(known.iter().map(String::as_str), SHOWN))
        }
        Fault::UnknownName { of: Named::Camera, known, .. } if known.is_empty() => {
            "the name of a [[camera]]; the file has none".to_owned()
        }
        Fault::UnknownName { of, known, .. } if known.is_empty() => {
            format!("the name of a {}; the file has none", named(*of))
        }
        Fault::UnknownName { known, .. } | Fault::AmbiguousName { choices: known } => {
            format!("one of {}", listed(known.iter().map(String::as_str), SHOWN))
        }
        Fault::PointTwice => "another point".to_owned(),
        Fault::FaceTwice => "another face".to_owned(),
        Fault::CornerIsArm | Fault::PointEndsLine => "other points".to_owned(),
        Fault::SideForFace => "the name of a [[face]]".to_owned(),
        Fault::NameTaken(_) => "a name of its own".to_owned(),
        Fault::TwoRoles { .. } | Fault::NoRole { .. } => ROLES.to_owned(),
        Fault::CourtRunsInto => "`runs_into` on a side of the outline around it".to_owned(),
        Fault::TwoLengthsOpen => "`length = \"?\"` on one side at most".to_owned(),
        Fault::NothingLeftOpen => "turns and lengths that lead back to the first corner along this side".to_owned(),
        Fault::HipWithoutVerge => "verge = true beside it: a half-hip is plumb below its hip".to_owned(),
        Fault::UnknownOfSeveral => {
            "a pitch such as 35: only a plain eave's can be found from the ridge's height".to_owned()
        }
        Fault::BreakNotAbove { before } => {
            format!("a rise of more than {before} m, measured from the side's own height")
        }
        Fault::TooFewSides { .. } => "three sides or more".to_owned(),
        Fault::MixedSides { .. } => "one form for the whole outline".to_owned(),
        Fault::TinyOutline { least, most, .. } | Fault::LongSide { least, most } => {
            format!("an outline with a side of at least {}, and each of at most {}", metres(*least), metres(*most))
        }
        Fault::DesignOpen { allowed, .. } => {
            format!("lengths and turns that close within {:.0} mm", allowed * 1000.0)
        }
        Fault::TurnSum { allowed: Some(allowed), .. } => {
            format!("360° (walked anticlockwise) or -360° (clockwise), within {allowed}° by how sure the turns are")
        }
        Fault::TurnSum { allowed: None, .. } => "turns that leave less than 180° for the last corner".to_owned(),
        Fault::Outline(_) => "an outline that never meets itself, holes inside it".to_owned(),
        Fault::HeightAssumed { .. } => "`height`: of the measured outline above datum".to_owned(),
        Fault::OffsetAlone => "`at_side = \"store/C\"` beside it".to_owned(),
        Fault::NoEave { .. } => "a side the roof rises from: pitch = 35".to_owned(),
        Fault::OnOwnSide => "a side of another block".to_owned(),
        Fault::NoRafter => "an eave of this block".to_owned(),
        Fault::PitchNotFixed { .. } => {
            "`ridge_height = 4.10` or `rafter = { side = \"A\", length = 3.42 }` in this block, or a \
                                        [[pitch_reading]] on one of its faces"
                .to_owned()
        }
        Fault::RidgeTooLow { height } => format!("more than the block's height, {height} m"),
        Fault::Circle { .. } => "one of them by `start` and `heading`, which places the others".to_owned(),
        Fault::BadDate { .. } => of_value(&Expected::Day),
        Fault::NoRoof => {
            "a [[block]] with the sides of its outline, or [points] and [[face]]s by their points".to_owned()
        }
        Fault::NoFaceOnSide { or_face: true } => "a side with a pitch, or a [[face]]".to_owned(),
        Fault::NoFaceOnSide { or_face: false } => "a side with a pitch".to_owned(),
        Fault::FarApart { most, .. } => format!("points at most {} apart", metres(*most)),
        Fault::GoesWithWall { .. } => "measured_at = \"wall\" beside it".to_owned(),
        Fault::GoesWithEaves { .. } => "measured_at = \"eaves\" beside it".to_owned(),
        Fault::ProjectionAtDripEdge => "edge_of = \"deck\", \"fascia\" or \"gutter front\"".to_owned(),
        Fault::OverhangAssumed => "`overhang = { eave = 0.35, verge = 0.20 }`".to_owned(),
        Fault::PriceFile { .. } => of_value(&Expected::PriceFile),
        Fault::FurtherPriceFile => "its prices themselves".to_owned(),
        Fault::NoSuchDeck { known, .. } => of_value(&Expected::Deck(known.clone())),
        Fault::NoSuchLine { known, .. } => of_value(&Expected::OrderLine(known.clone())),
        Fault::NotOnThisCard { there, .. } => format!("tables of this card: {}", there.join(", ")),
        Fault::CardValueFixed { .. } => "tables of the card with single values in them".to_owned(),
        Fault::CardFile { known, .. } => of_value(&Expected::Card(known.clone())),
        Fault::WasteWord => "\"layout\", or a percentage such as \"15 %\"".to_owned(),
        Fault::NoCovering => ONE_COVERING.to_owned(),
        Fault::CardGauge { most } => {
            format!("at most {:.1} mm: the cutout's depth, and half of height less head lap", 1000.0 * most)
        }
        Fault::CardLap { most } => format!("at most {:.0} mm: a quarter of the width", 1000.0 * most),
        Fault::OnlyOfPlan { .. } => "`plan = true` beside it".to_owned(),
        Fault::ScaleSigmaAlone => "`scale` beside it: what a pixel is on site, such as \"4.2 mm\"".to_owned(),
        Fault::FocalSigmaAlone => "a share of the focal length, such as \"3 %\"".to_owned(),
        Fault::PhotoFile { .. } => "a JPEG or PNG file beside the roof file".to_owned(),
        Fault::PhotoFormat { .. } | Fault::PhotoHeif { .. } => "a JPEG or PNG file".to_owned(),
        Fault::PhotoCutOff { .. } => "a whole JPEG file".to_owned(),
        Fault::PhotoSize { size } => format!("[{}, {}], as its file says after EXIF orientation", size[0], size[1]),
        Fault::NotEnds => "two points with a hyphen between, such as \"E1-E2\"".to_owned(),
        Fault::EdgeToItself => "two different points".to_owned(),
        Fault::MarkOutside { size, .. } => format!("x from 0 to {}, y from 0 to {}", size[0], size[1]),
        Fault::PitchGiven { .. }
        | Fault::NoPitchHere { .. }
        | Fault::ShadowedName { .. }
        | Fault::UnusedCamera { .. }
        | Fault::FocalAssumed { .. } => return None,
    })
}

const ONE_COVERING: &str = "one of [strip], [unit], [sheet], [felt]";

fn close(is_table: bool) -> char {
    if is_table { '}' } else { ']' }
}

/// What is expected of a value.
fn of_value(expected: &Expected) -> String {
    let told = match expected {
        Expected::About(about) => about,
        Expected::Name => "a name in quotes",
        Expected::Point => "the name of a point",
        Expected::FaceByPoints => "the name of a face",
        Expected::Face => "the name of a face, such as \"store/A\" or \"south\"",
        Expected::Side => "a side, such as \"store/A\"",
        Expected::TapedSide => "the side whose rafter was taped",
        Expected::PhotoFile => "the photo's file name",
        Expected::PhotoFileOrSize => "the photo's file name; or `size` here and `focal` in its [[camera]]",
        Expected::PhotoSize => "[width, height] in pixels, since the file does not tell it",
        Expected::Camera => "the name of a [[camera]]",
        Expected::Flag => "true or false, without quotes",
        Expected::Number => "a number, without quotes",
        Expected::Whole => "a whole number, without quotes",
        Expected::Quantity(of) => quantity::forms(*of),
        Expected::Table(table) => return format!("a table: {}", table.header),
        Expected::Words(words) => return format!("one of {}", listed(words.iter().copied(), usize::MAX)),
        Expected::Card(known) => {
            return format!("{}, or the path of a card file", listed(known.iter().copied(), SHOWN));
        }
        Expected::Points(least) => return format!("a list of {least} or more points, such as [\"E1\", \"E2\"]"),
        Expected::ExactPoints(number) => return format!("a list of {number} points"),
        Expected::TwoFaces => "a list of two or more faces",
        Expected::ThreePlaces => "a list of three or more places: [[x, y], …]",
        Expected::ThreeLengths => "three lengths: [x, y, z]",
        Expected::PlaceOfPoint => "three lengths [x, y, z], { near = [x, y, z] } or {} where it is to be found",
        Expected::PointTable => "a table of points: [points], then E1 = [0.0, 0.0, 2.40] a line",
        Expected::PriceTable => "a table: [prices], then `strip-shingle = 31.50` a line",
        Expected::PriceFile => "the name of a price file beside the roof file",
        Expected::ListOf(about) => return format!("a list: {about}"),
        Expected::OrderLines => "a list of lines of the order: [\"gutter\", \"downpipe\"]",
        Expected::OrderLine(known) | Expected::Deck(known) => {
            return format!("one of {}", listed(known.iter().map(String::as_str), usize::MAX));
        }
        Expected::Marks => "points with their pixels: { E1 = [1505.4, 1368.1] }",
        Expected::MarkTable => "a table: { E1 = [1505.4, 1368.1], … }",
        Expected::LineTable => "a table: { \"E1-E2\" = [[1600.2, 1375.0], [2400.9, 1436.7]], … }",
        Expected::LinePlaces => "[[x, y], …]: pixels of places along the edge",
        Expected::Sides => "a list of sides such as [{ from = \"A\", length = 9.20, turn = \"L\", pitch = 35 }, …]",
        Expected::Breaks => "a list such as [{ rise = 1.2, pitch = 20 }]",
        Expected::Day => "a day such as 2026-05-01",
        Expected::StayList => "a list of things that stay: [\"gutters\"]",
        Expected::Stay => "a thing that stays",
        Expected::RegularWidth => "of the regular outline, from a side straight across",
        Expected::RegularPitch => "of every side of the regular outline, such as 35",
        Expected::Lengths => "a list of lengths: [\"3.0 m\", \"4.2 m\"]",
        Expected::HalfHipPitch => "the pitch of the half-hip above `hip_from`",
        Expected::Projection => {
            "how far the drip edge lies beyond the deck or fascia, or the gutter's front beyond the drip edge: \"40 mm\""
        }
    };
    told.to_owned()
}

/// What to do, where the fault itself says more than its code.
// One arm a fault.
#[allow(clippy::too_many_lines)]
pub(super) fn hints(problem: &Problem) -> Vec<String> {
    let meant = |near: &str| vec![format!("did you mean {near:?}?")];
    let one = |hint: &str| vec![hint.to_owned()];
    match &problem.fault {
        Fault::Unclosed { is_table } => {
            let close = close(*is_table);
            vec![format!("put `{close}` in before what is marked; what comes after it could not be checked")]
        }
        Fault::DuplicateTable { key } => {
            vec![format!("put both parts under one [{key}], or write [[{key}]] where it is a list of them")]
        }
        Fault::NoQuotes => {
            let written = problem.written.as_deref().unwrap_or("");
            vec![format!("write \"{}\"", written.replace('\\', "\\\\").replace('"', "\\\""))]
        }
        Fault::DecimalComma => one("decimals take a point: 7.20"),
        Fault::AfterValue(AfterValue::FeetAndInches) | Fault::NotToml { is_feet: true, .. } => one(FEET_AND_INCHES),
        Fault::AfterValue(AfterValue::Comma) => one("one `key = value` a line, without a comma after it"),
        Fault::AfterValue(AfterValue::Other) => one("put a length with its unit in quotes: \"7.20 m\""),
        Fault::NoClosingQuote(_) => one("put the quote at the end of the text"),
        Fault::LeadingPoint(number) => vec![format!("write 0{number}")],
        Fault::NotTables { is: crate::job::reading::ValueKind::Table, table, .. } if table.header.starts_with("[[") => {
            vec![format!("there may be several: write {} in double brackets", table.header)]
        }
        Fault::UnknownKey { near: Some(near), .. } => vec![format!("did you mean `{near}`?")],
        Fault::UnknownKey { key, belongs: Some(table), .. } => vec![format!("`{key}` belongs to {}", table.header)],
        Fault::UnknownWord { near: Some(near), .. } => meant(near),
        Fault::NoSuchLine { near: Some(near), .. } => meant(near),
        Fault::OutOfBounds { meant: Some(number), .. } => meant(number),
        Fault::MoreThanWhole { is_percent: true, .. } => {
            vec![format!("did you mean \"{} %\"?", problem.written.as_deref().unwrap_or(""))]
        }
        Fault::Quantity { error, is_told: false, .. } => quantity::hint(error).into_iter().collect(),
        Fault::UnknownName { of, known, near, .. } => {
            let none =
                (*of == Named::Camera && known.is_empty()).then_some("without `camera` the photo's own data serve");
            none.map(str::to_owned).into_iter().chain(near.iter().flat_map(|near| meant(near))).collect()
        }
        Fault::SideForFace => one("sides that slope alike are written with one `pitch`"),
        Fault::TwoRoles { roles, .. } => one(match roles {
            Roles::Abutment => "an abutment has no pitch and no verge of its own",
            Roles::VergeAndEave => "a side is a verge or an eave, not both",
            Roles::HalfHip => "a half-hip also says where its hip starts: hip_from = 1.5",
            Roles::Gablet => "a gablet's hip has one pitch",
            Roles::RunsInto => "where a roof runs on over another block nothing stands over the side",
        }),
        Fault::MixedSides { placed, walked } => vec![format!("{placed} sides give `at`, {walked} give `length`")],
        Fault::TinyOutline { .. } => vec![in_unit(LengthUnit::Metre)],
        Fault::LongSide { .. } => vec![in_unit(LengthUnit::Millimetre)],
        Fault::NothingLeftOpen => one("check the turns against a sketch: one may be mirrored"),
        Fault::TurnSum { .. } => {
            one("left turns count up, right turns down: check each against a sketch, one may be missing or mirrored")
        }
        Fault::Outline(_) => match problem.fault.code() {
            "zero-length" => one("two corners stand in one place: take one of them out"),
            "hole-outside" => {
                one("a hole's places count from the outline's first corner, x along the outline's heading")
            }
            _ => one(
                "check the turns and lengths between these sides against a sketch: one may be mirrored or in another unit",
            ),
        },
        Fault::HeightAssumed { .. } => one("areas are right without it; heights, volume and joins of blocks are not"),
        Fault::PitchGiven { .. } => one("write pitch = \"?\" on the sides whose pitch it should find"),
        Fault::ShadowedName { name, block } => {
            vec![format!("the point is meant wherever {name:?} stands alone; the corner is \"{block}.{name}\"")]
        }
        Fault::FarApart { .. } => {
            one("were they meant in mm? then write `units = \"mm\"`; else check the decimal point")
        }
        Fault::OverhangAssumed => one("write eave = 0 and verge = 0 where the roof ends flush with the wall"),
        Fault::PhotoFile { .. } => one("with `size` here and `focal` in its [[camera]] the file may be missing"),
        Fault::PhotoCutOff { .. } => one("copy it from the phone again"),
        Fault::PhotoHeif { .. } => one("export it as JPEG to see it under the solved roof"),
        Fault::PhotoSize { .. } => one("marks count pixels of this size; leave `size` out to take the file's"),
        Fault::FocalAssumed { .. } => one("give `focal` in a [[camera]], or use the photo as the camera wrote it"),
        _ => Vec::new(),
    }
}

fn in_unit(unit: LengthUnit) -> String {
    format!("were the lengths meant in {}? then write `units = {:?}`", unit.symbol(), unit.symbol())
}
