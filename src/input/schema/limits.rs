//! What a building can have: the one table of limits. A number beyond them is a slip (another unit, a point left out),
//! and is refused with what was meant. Metres, degrees, shares, counts.
//!
//! Set wide, from what is built (common practice, no source): a limit must never stand in the way of a real roof.

use crate::base::schema::Bounds;

/// A side of an outline.
pub const SIDE: Bounds = Bounds::up_to(1000.0, "side of a building");
/// A distance along a side.
pub const ALONG: Bounds = Bounds::from_to(0.0, 1000.0, "side of a building");
/// A taped distance.
pub const TAPED: Bounds = Bounds::up_to(2000.0, "taped distance");
/// A size that is known of a thing.
pub const KNOWN: Bounds = Bounds::up_to(100.0, "size of a thing");
/// How many of a thing lie side by side.
pub const KNOWN_COUNT: Bounds = Bounds::from_to(1.0, 1000.0, "number of things");
/// A height above datum.
pub const HEIGHT: Bounds = Bounds::from_to(0.0, 1000.0, "height above datum");
/// The height of a ridge above datum.
pub const RIDGE: Bounds = Bounds::up_to(1000.0, "height above datum");
/// A course counted from the eave.
pub const COURSES: Bounds = Bounds::from_to(1.0, 10_000.0, "course");
/// Room under a roof.
pub const STOREY: Bounds = Bounds::up_to(20.0, "headroom");
/// A rise above an eave.
pub const RISE: Bounds = Bounds::up_to(100.0, "rise of a roof");
/// A rafter.
pub const RAFTER: Bounds = Bounds::up_to(200.0, "rafter");
/// An overhang.
pub const OVERHANG: Bounds = Bounds::from_to(0.0, 5.0, "overhang");
/// From the edge that was taped to the drip edge.
pub const PROJECTION: Bounds = Bounds::from_to(0.0, 1.0, "way to the drip edge");
/// From the plate up to the roof plane.
pub const ABOVE_PLATE: Bounds = Bounds::from_to(0.0, 3.0, "height of a roof above its plate");
/// A place on a plan, which may count from far off.
pub const PLACE: Bounds = Bounds::from_to(-1e7, 1e7, "coordinate on a plan");
/// A place in space, likewise.
pub const POINT: Bounds = Bounds::from_to(-1e7, 1e7, "coordinate");
/// Edges this short are remnants.
pub const TOLERANCE: Bounds = Bounds::from_to(1e-6, 0.1, "remnant of an edge");
/// Sides of blocks this near belong together.
pub const GAP: Bounds = Bounds::from_to(0.0, 1.0, "gap between blocks");
/// Thickness and depth of a timber.
pub const TIMBER: Bounds = Bounds::from_to(0.005, 1.0, "section of a timber");
/// From rafter to rafter.
pub const TIMBER_SPACING: Bounds = Bounds::from_to(0.1, 5.0, "spacing of rafters");
/// From the plate up to the top of a rafter.
pub const HEEL: Bounds = Bounds::from_to(0.0, 1.0, "height of a rafter over its plate");
/// A dormer's front.
pub const DORMER: Bounds = Bounds::up_to(50.0, "dormer");
/// A place in a face.
pub const IN_FACE: Bounds = Bounds::from_to(0.0, 1000.0, "face of a roof");
/// An opening.
pub const OPENING: Bounds = Bounds::up_to(100.0, "opening in a roof");
/// Standard deviation of a length: a micrometre or more, where it is not 0.
pub const SIGMA: Bounds = Bounds::zero_or(1e-6, 10.0, "standard deviation of a length");
/// Standard deviation of an angle: a ten-thousandth of a degree or more, where it is not 0.
pub const ANGLE_SIGMA: Bounds = Bounds::zero_or(1e-4, 45.0, "standard deviation of an angle");
/// An angle, whole turns among them.
pub const ANGLE: Bounds = Bounds::from_to(-720.0, 720.0, "angle");

/// A focal length in pixels.
pub const FOCAL: Bounds = Bounds::from_to(10.0, 1e6, "focal length in pixels");
/// How unsure a focal length is, as a share of it or in pixels.
pub const FOCAL_SIGMA: Bounds = Bounds::zero_or(1e-6, 1e6, "standard deviation of a focal length");
/// A place in a photo, in pixels.
pub const PIXEL: Bounds = Bounds::from_to(-1e6, 1e6, "coordinate in a photo");
/// Width and height of a photo, in pixels.
pub const PIXELS: Bounds = Bounds::from_to(1.0, 1e5, "size of a photo in pixels");
/// How unsure a place in a photo is, in pixels.
pub const PIXEL_SIGMA: Bounds = Bounds::zero_or(1e-6, 1e5, "standard deviation of a place in a photo");
/// What a pixel of a plan is on site.
pub const PIXEL_OF_PLAN: Bounds = Bounds::from_to(1e-5, 10.0, "size of a pixel on site");
/// How unsure that is, as a share of it.
pub const SCALE_SIGMA: Bounds = Bounds::from_to(0.0, 0.5, "standard deviation of a scale");
/// How unsure a mark is, in pixels; none is exact.
pub const MARK_SIGMA: Bounds = Bounds::from_to(1e-3, 1e4, "standard deviation of a mark");
/// A lens's radial coefficient.
pub const K1: Bounds = Bounds::from_to(-10.0, 10.0, "lens's first coefficient");
/// How unsure that is.
pub const K1_SIGMA: Bounds = Bounds::zero_or(1e-9, 10.0, "standard deviation of a lens's coefficient");

/// A share of a whole.
pub const SHARE: Bounds = Bounds::from_to(0.0, 1.0, "share of the whole");
/// A surcharge.
pub const SURCHARGE: Bounds = Bounds::from_to(0.0, 10.0, "surcharge");
/// The part of a price that is not cost.
pub const MARGIN: Bounds = Bounds::from_to(0.0, 0.95, "margin");
/// A price.
pub const PRICE: Bounds = Bounds::from_to(0.0, 1e9, "price");
/// Sides of a regular outline.
pub const REGULAR: Bounds = Bounds::from_to(3.0, 64.0, "number of sides");
/// What something counts by.
pub const FACTOR: Bounds = Bounds::up_to(100.0, "factor");
/// Packs to spare.
pub const SPARE: Bounds = Bounds::from_to(0.0, 1000.0, "number of spare packs");
/// Layers on a roof.
pub const LAYERS: Bounds = Bounds::from_to(0.0, 20.0, "number of layers");
/// An area, m².
pub const AREA: Bounds = Bounds::up_to(1e6, "area of a building");
/// Kilograms a square metre.
pub const AREA_WEIGHT: Bounds = Bounds::up_to(1000.0, "weight of a square metre");
/// What comes off a roof, loose.
pub const LOOSE: Bounds = Bounds::up_to(2.0, "layer of waste");

/// A size of one piece: a strip, a slate, a cap.
pub const PIECE: Bounds = Bounds::from_to(0.01, 5.0, "piece of covering");
/// A depth or width within a piece.
pub const IN_PIECE: Bounds = Bounds::from_to(0.0005, 2.0, "part of a piece of covering");
/// The same, 0 among them.
pub const SMALL: Bounds = Bounds::from_to(0.0, 2.0, "part of a piece of covering");
/// How thick a strip, a tile or a sheet is.
pub const COVERING: Bounds = Bounds::from_to(0.0001, 0.2, "thickness of a covering");
/// A course's gauge.
pub const GAUGE: Bounds = Bounds::from_to(0.02, 1.0, "gauge");
/// A lap of pieces or sheets.
pub const LAP: Bounds = Bounds::from_to(0.0, 1.0, "lap");
/// A projection over an edge.
pub const EDGE: Bounds = Bounds::from_to(0.0, 0.5, "projection over an edge");
/// The width of a sheet.
pub const SHEET_WIDTH: Bounds = Bounds::from_to(0.05, 5.0, "width of a sheet");
/// The length of a sheet, a board or a metal strip.
pub const STOCK: Bounds = Bounds::from_to(0.05, 30.0, "length that is delivered");
/// A step between lengths.
pub const STEP: Bounds = Bounds::from_to(0.0, 1.0, "step between lengths");
/// The width of a roll.
pub const ROLL_WIDTH: Bounds = Bounds::from_to(0.05, 10.0, "width of a roll");
/// The length of a roll.
pub const ROLL: Bounds = Bounds::from_to(0.5, 200.0, "length of a roll");
/// The length of a roll that strips are cut from, longer than any lap.
pub const FELT_ROLL: Bounds = Bounds::from_to(2.0, 200.0, "length of a roll");
/// The width of a roll of felt.
pub const FELT_WIDTH: Bounds = Bounds::from_to(0.2, 5.0, "width of a roll");
/// The shortest piece of a strip, the distance of its ends.
pub const ON_STRIP: Bounds = Bounds::from_to(0.05, 5.0, "piece of a strip");
/// What a tin holds, kg.
pub const TIN: Bounds = Bounds::from_to(0.1, 1000.0, "contents of a tin in kg");
/// The width of a board or panel.
pub const BOARD: Bounds = Bounds::from_to(0.01, 5.0, "width of a board");
/// The thickness of a board or panel.
pub const THICKNESS: Bounds = Bounds::from_to(0.001, 0.2, "thickness of a board");
/// The distance of rafters.
pub const SPACING: Bounds = Bounds::from_to(0.05, 5.0, "spacing of rafters");
/// A run of a slope.
pub const RUN: Bounds = Bounds::up_to(200.0, "run of a slope");
/// Pieces in a pack, tabs of a strip.
pub const MANY: Bounds = Bounds::from_to(1.0, 1e6, "number of pieces");
/// The same, none among them.
pub const SOME: Bounds = Bounds::from_to(0.0, 1000.0, "number of pieces");
/// Tabs of a strip.
pub const TABS: Bounds = Bounds::from_to(2.0, 100.0, "number of tabs");
/// Layers of slates or tiles.
pub const COVERED: Bounds = Bounds::from_to(1.0, 3.0, "number of layers");
/// A weight of one piece, one metre or one square metre, kg.
pub const WEIGHT: Bounds = Bounds::up_to(1000.0, "weight in kg");
/// How many, where parts count.
pub const RATE: Bounds = Bounds::from_to(0.0, 1000.0, "number for each");
/// The same, none left out.
pub const SOME_RATE: Bounds = Bounds::up_to(1000.0, "number for each");
/// What a tube of adhesive holds, m³.
pub const TUBE: Bounds = Bounds::up_to(0.02, "contents of a tube in cubic metres");
/// A dab of adhesive, m³.
pub const DAB: Bounds = Bounds::up_to(0.001, "dab of adhesive in cubic metres");
/// How much a valley widens, a metre a metre.
pub const WIDEN: Bounds = Bounds::from_to(0.0, 0.1, "widening of a valley");
/// A bond, as a share of a piece.
pub const BOND: Bounds = Bounds::from_to(0.0, 1.0, "bond");
/// What a van carries, kg.
pub const PAYLOAD: Bounds = Bounds::from_to(50.0, 50_000.0, "load of a van in kg");
/// Free area of a vent, m².
pub const VENT: Bounds = Bounds::up_to(1.0, "free area of a vent in square metres");
/// What an outlet drains, m².
pub const DRAINS: Bounds = Bounds::up_to(10_000.0, "area that an outlet drains");
/// A temperature, °C.
pub const CELSIUS: Bounds = Bounds::from_to(-50.0, 60.0, "temperature in °C");

/// Letters of a line for people.
pub const LINE: usize = 200;
/// Letters of a name: it becomes part of file names.
pub const NAME: usize = 60;
