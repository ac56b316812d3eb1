//! Cameras, and photos with marks.

use super::{bearing, flag, length, limits, name, number, numbers, of, share};
use crate::base::schema::{Key, Kind, Naming, OwnNames, Table};
use crate::survey::sigma;

/// `[[camera]]`.
pub static CAMERA: Table = Table {
    name: "camera",
    header: "[[camera]]",
    one: "camera",
    many: "Cameras",
    about: "Photos of one camera share what is found out about its lens.",
    keys: &[
        name("name", Naming::Camera, "name", "\"phone\"", "the camera's name").needed().first(),
        number("focal", limits::FOCAL, "focal, pixels", "3000", "focal length in pixels")
            .or_else("from the photo")
            .first(),
        Key::new(
            "focal_sigma",
            Kind::ShareOrPixels(limits::FOCAL_SIGMA),
            "sigma of focal",
            "\"3 %\"",
            "its standard deviation: a share, or pixels",
        )
        .or_else("5 %, 15 % of a cropped photo"),
        numbers("centre", 2, limits::PIXEL, "centre", "[2000, 1500]", "[x, y] of the principal point, pixels")
            .or_else("the middle"),
        number("centre_sigma", limits::PIXEL_SIGMA, "sigma of centre", "20", "its standard deviation, pixels").or(20.0),
        number(
            "k1",
            limits::K1,
            "k1",
            "-0.02",
            "the lens's first radial coefficient: u = cx + f (1 + k1 r² + k2 r⁴) X/Z, r² = (X/Z)² + (Y/Z)²",
        )
        .or(0.0),
        number("k1_sigma", limits::K1_SIGMA, "sigma of k1", "0.1", "its standard deviation").or(0.1),
        number("k2", limits::K1, "k2", "0.01", "the lens's second radial coefficient").or(0.0),
        number("k2_sigma", limits::K1_SIGMA, "sigma of k2", "0.1", "its standard deviation")
            .or_else("0.1; 0 where k1_sigma is given"),
    ],
    names: None,
    example: "[[camera]]\nname = \"phone\"\nfocal = 3000\nfocal_sigma = \"3 %\"",
};

/// Where a point is seen.
static MARK: Key = Key::new(
    "a point's name",
    Kind::Numbers(2, limits::PIXEL),
    "mark",
    "[1505.4, 1368.1]",
    "[x, y] of the point in the photo, pixels",
);

/// `marks`.
pub static MARKS: Table = Table {
    name: "marks",
    header: "marks",
    one: "mark",
    many: "Marks",
    about: "Points with where they are seen: pixels of the photo as shown, after EXIF orientation, x to the right and y down \
            from its top left corner. A third number is the mark's own standard deviation instead of `mark_sigma`.",
    keys: &[],
    names: Some(OwnNames { are: Naming::PointOrCorner, values: &MARK }),
    example: "marks = { E1 = [1505.4, 1368.1], E2 = [2681.8, 1459.3] }",
};

/// Where an edge is seen.
static LINE: Key = Key::new(
    "an edge's ends",
    Kind::Pixels(limits::PIXEL),
    "line",
    "[[1600.2, 1375.0], [2400.9, 1436.7]]",
    "[x, y] of any places along the edge in the photo, pixels",
);

/// `lines`.
pub static LINES: Table = Table {
    name: "lines",
    header: "lines",
    one: "line",
    many: "Lines",
    about: "Straight edges between two points, by any places along them that are seen: between branches, or past the \
            corners. They join what the marks have placed.",
    keys: &[],
    names: Some(OwnNames { are: Naming::Ends, values: &LINE }),
    example: "lines = { \"E1-E2\" = [[1600.2, 1375.0], [2400.9, 1436.7]] }",
};

/// Where the program found an edge.
static EDGE: Key = Key::new(
    "an edge's ends",
    Kind::Pixels(limits::PIXEL),
    "edge",
    "[[1600.2, 1375.0, 0.9], [2400.9, 1436.7, 0.9]]",
    "[x, y, sigma] of places along the edge as found in the photo, pixels",
);

/// `edges`.
pub static EDGES: Table = Table {
    name: "edges",
    header: "edges",
    one: "edge",
    many: "Edges",
    about: "Edges that `eavewright edges` found in the photo by itself, written like `lines`, each place with its own standard \
            deviation. Measured anew, they are replaced.",
    keys: &[],
    names: Some(OwnNames { are: Naming::Ends, values: &EDGE }),
    example: "edges = { \"E1-E2\" = [[1600.2, 1375.0, 0.9], [2400.9, 1436.7, 0.9]] }",
};

/// `[[photo]]`.
pub static PHOTO: Table = Table {
    name: "photo",
    header: "[[photo]]",
    one: "photo",
    many: "Photos",
    about: "A picture beside the roof file, with points marked in it. A scanned plan is one too, and any picture straight down in \
            which a pixel is one size all over: with `plan = true` its marks tell where points lie in plan, and nothing of \
            heights. Its size comes from `scale`, from a tape or from a known size.",
    keys: &[
        Key::new(
            "file",
            Kind::File,
            "file",
            "\"front.jpg\"",
            "a JPEG or PNG beside the roof file; it tells size, orientation and focal length",
        )
        .or_else("needed unless `size` and a focal length are given")
        .first(),
        of("camera", Naming::Camera, "camera", "\"phone\"", "the camera it was taken with")
            .or_else("one of its own")
            .first(),
        numbers("size", 2, limits::PIXELS, "size, pixels", "[4000, 3000]", "[width, height] in pixels")
            .or_else("from the picture"),
        Key::new("marks", Kind::Table(&MARKS), "marks", "{ E1 = [1505.4, 1368.1] }", "points with their pixels")
            .needed(),
        number("mark_sigma", limits::MARK_SIGMA, "sigma of marks", "2.0", "standard deviation of a mark, pixels")
            .or_else("2 of a photo 4000 wide"),
        Key::new(
            "lines",
            Kind::Table(&LINES),
            "lines",
            "{ \"E1-E2\" = [[1600.2, 1375.0], [2400.9, 1436.7]] }",
            "straight edges with places along them",
        )
        .or_else("none"),
        Key::new(
            "edges",
            Kind::Table(&EDGES),
            "edges",
            "{ \"E1-E2\" = [[1600.2, 1375.0, 0.9], [2400.9, 1436.7, 0.9]] }",
            "edges found in the photo by the program",
        )
        .or_else("none"),
        number(
            "line_sigma",
            limits::MARK_SIGMA,
            "sigma of lines",
            "1.0",
            "standard deviation of a place's distance from its edge, pixels",
        )
        .or_else("1 of a photo 4000 wide"),
        flag(
            "plan",
            "a plan",
            "true",
            "a scanned plan, or a picture straight down with one size of pixel all over (orthographic)",
        )
        .or_flag(false),
        length(
            "scale",
            limits::PIXEL_OF_PLAN,
            "a pixel is",
            "\"4.2 mm\"",
            "what a pixel of a plan is on site: a plan of 1:50 scanned at 300 pixels an inch has 50 x 25.4 / 300 = 4.23 mm",
        )
        .or_else("found from what was taped"),
        share("scale_sigma", limits::SCALE_SIGMA, "sigma of that", "\"1 %\"", "its standard deviation, a share of it; 0 is exact")
            .or(sigma::SHEET_SCALE),
        bearing(
            "north",
            "up in it is",
            "20",
            "bearing of what is up in a plan, degrees clockwise from north: it turns a job that hangs on no given place",
        )
        .or_else("not said"),
        Key::new(
            "soft",
            Kind::AllOf(Naming::PointOrCorner, 1),
            "soft marks",
            "[\"E1\"]",
            "points marked on a soft edge: twice as unsure",
        )
        .or_else("none"),
    ],
    names: None,
    example: "[[photo]]\ncamera = \"phone\"\nsize = [4000, 3000]\nmarks = { E1 = [1505.4, 1368.1], E2 = [2681.8, 1459.3] }",
};
