//! How sure a measurement is by how it was taken: standard deviations where the file gives none.
//!
//! Common practice of measuring on site, no source, where none is named. Metres, radians, pixels.

use super::model::KnownThing;

/// Standard deviation of a taped length: a part that does not grow and one that grows with the length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LengthSigma {
    /// Metres.
    pub fixed: f64,
    /// Metres a metre.
    pub relative: f64,
}

impl LengthSigma {
    /// For a length, metres.
    #[must_use]
    pub fn of(self, length: f64) -> f64 {
        self.fixed + self.relative * length.abs()
    }
}

/// Steel tape, clean marks, tensioned: 3 mm + 0.5 mm/m.
pub const STEEL_TAPE: LengthSigma = LengthSigma { fixed: 0.003, relative: 0.0005 };
/// Steel tape along a wall: 10 mm.
pub const TAPE_ALONG_WALL: LengthSigma = LengthSigma { fixed: 0.010, relative: 0.0 };
/// Overhang by a plumb line: 20 mm.
pub const OVERHANG_BY_PLUMB_LINE: LengthSigma = LengthSigma { fixed: 0.020, relative: 0.0 };
/// Tape up the slope, by two from a ladder: 15 mm.
pub const SLOPE_TAPE: LengthSigma = LengthSigma { fixed: 0.015, relative: 0.0 };
/// Folding rule: 2 mm + 1 mm/m.
pub const FOLDING_RULE: LengthSigma = LengthSigma { fixed: 0.002, relative: 0.001 };
/// Counted bricks or boards: 1 in 20.
pub const COUNTED: LengthSigma = LengthSigma { fixed: 0.0, relative: 0.05 };

/// A thing whose size is known and that was not measured, metres, each; what one of several is off by all are, for it is the
/// maker's size or the gauge they were laid to.
#[must_use]
pub fn known(thing: KnownThing) -> f64 {
    match thing {
        // What is seen of it is the edge of a gap.
        KnownThing::Door => 0.005,
        // What is seen of a window stands behind a reveal or under a trim.
        KnownThing::Window | KnownThing::Other => 0.010,
        KnownThing::BoardPanel => 0.003,
        KnownThing::BrickCourse => 0.001,
        KnownThing::BlockCourse | KnownThing::CladdingBoard => 0.002,
    }
}

/// Paced: 3 %.
pub const PACED: LengthSigma = LengthSigma { fixed: 0.0, relative: 0.03 };

/// Courses counted, times the gauge that was checked: half a course of that gauge, metres.
#[must_use]
pub fn counted_courses(gauge: f64) -> LengthSigma {
    LengthSigma { fixed: gauge / 2.0, relative: 0.0 }
}

const DEGREE: f64 = std::f64::consts::PI / 180.0;

/// Level and rule at a gable, or an inclinometer on a true surface: 0.3°.
pub const PITCH_LEVEL_AND_RULE: f64 = 0.3 * DEGREE;
/// Inclinometer on shingles: 0.7°.
pub const PITCH_ON_SHINGLES: f64 = 0.7 * DEGREE;
/// Phone along the verge board: 0.5°.
pub const PITCH_PHONE: f64 = 0.5 * DEGREE;
/// Digital level laid along the slope: 0.1°.
pub const PITCH_DIGITAL_LEVEL: f64 = 0.1 * DEGREE;
/// An application on a phone, held by hand: 1°.
pub const PITCH_APP: f64 = 1.0 * DEGREE;
/// Sighted from the ground: 2°.
pub const PITCH_SIGHTED: f64 = 2.0 * DEGREE;

/// A turn written "L" or "R": 0.5°.
pub const TURN_RIGHT_ANGLE: f64 = 0.5 * DEGREE;
/// A turn written as a number: 1°.
pub const TURN_IN_DEGREES: f64 = 1.0 * DEGREE;

/// Points measured level with each other: 10 mm each.
pub const LEVEL: f64 = 0.010;
/// Plumb: 5 mm a metre of height.
pub const PLUMB_PER_METRE: f64 = 0.005;
/// Plumb where the height between the two is not known beforehand: that of a wall of 2.5 m.
pub const PLUMB: f64 = 2.5 * PLUMB_PER_METRE;
/// A point on its face: 10 mm.
pub const ON_FACE: f64 = 0.010;
/// A point in the plumb plane over a line: as plumb.
pub const UPRIGHT: f64 = PLUMB;
/// An eave along the wall below it, where one offset was measured for all of it: 10 mm.
pub const ALONG_WALL: f64 = 0.010;
/// A right angle that was checked: 0.3°.
pub const RIGHT_ANGLE: f64 = 0.3 * DEGREE;
/// Faces of one pitch: 0.5°.
pub const EQUAL_PITCH: f64 = 0.5 * DEGREE;

/// The stated scale of a plan, as a part of it: paper shrinks and is copied, 1 %.
pub const SHEET_SCALE: f64 = 0.01;

/// A clear mark, pixels at [`MARK_WIDTH`].
pub const MARK: f64 = 2.0;
/// A mark on a soft edge, pixels at [`MARK_WIDTH`].
pub const MARK_SOFT: f64 = 4.0;
/// A place along a clear edge, square to it, pixels at [`MARK_WIDTH`].
pub const LINE: f64 = 1.0;
/// Image width that [`MARK`] is stated for, pixels; it scales with the width.
pub const MARK_WIDTH: f64 = 4000.0;
/// Focal length from EXIF by the diagonal form: 5 % of it.
pub const FOCAL_FROM_EXIF: f64 = 0.05;
/// Focal length from EXIF where digital zoom or a crop shows: 15 % of it.
pub const FOCAL_FROM_CROPPED_EXIF: f64 = 0.15;
/// Principal point, each coordinate: 20 px.
pub const CENTRE: f64 = 20.0;
/// First radial coefficient, about 0: phones' lenses are corrected to within this before the picture is stored, and some are
/// not.
pub const K1: f64 = 0.1;
/// The direction a phone says it was held in: 10°; steel beside it makes more.
pub const COMPASS: f64 = 10.0 * DEGREE;
/// Second radial coefficient, about 0, where the first one is not known better than [`K1`]: a lens that bends so much does
/// not bend by its first coefficient alone.
pub const K2: f64 = 0.1;

/// Standard deviation of a mark in an image of this width, pixels.
#[must_use]
pub fn mark(width: f64, soft: bool) -> f64 {
    (if soft { MARK_SOFT } else { MARK }) * width / MARK_WIDTH
}

/// Standard deviation of a place on a line in an image of this width, pixels.
#[must_use]
pub fn line(width: f64) -> f64 {
    LINE * width / MARK_WIDTH
}

/// Standard deviation of a plumb line's offset over a height, metres.
#[must_use]
pub fn plumb(height: f64) -> f64 {
    PLUMB_PER_METRE * height.abs()
}
