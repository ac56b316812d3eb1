//! Sentences about many roofs at once: why a feature has none, how a run went.

use super::fault;
use super::units::Format;
use crate::base::units::LengthUnit;
use crate::job::features::{Expected, FeatureFault};
use crate::job::outlines::OutlineFault;

/// Why a feature has no roof: what was found, what was expected.
#[must_use]
pub fn reason(found: &FeatureFault) -> String {
    match found {
        FeatureFault::Torn(said) => format!("this is no JSON: {said}; expected one feature"),
        FeatureFault::Blank => "found nothing but blanks, expected a feature".to_owned(),
        FeatureFault::NotAFeature(kind) => format!("found {kind}, expected a Feature"),
        FeatureFault::NoGeometry => "found no geometry, expected a Polygon or a MultiPolygon".to_owned(),
        FeatureFault::NotAPolygon(kind) => {
            format!("found a geometry of type {kind}, expected a Polygon or a MultiPolygon with its coordinates")
        }
        FeatureFault::NotWkb => "the geometry is no well-known binary of finite places".to_owned(),
        FeatureFault::Property { key, found, expected } => {
            let expected = match expected {
                Expected::Number => "a number",
                Expected::DegreesBySide => "a list of degrees, one a side",
                Expected::Card => "the name of a card",
            };
            format!("{key} is {found}, expected {expected}")
        }
        FeatureFault::NoPitch => {
            "no pitch is given: expected a property pitch or pitches, or --pitch for all that say nothing".to_owned()
        }
        FeatureFault::NotAPlace([x, y]) => {
            format!(
                "the place {x}, {y} is none, expected longitude and latitude; if places are in metres, say --units m"
            )
        }
        FeatureFault::UnknownCovering(name) => {
            format!("no card is called {name:?}; `eavewright cards` lists them")
        }
        FeatureFault::Outline(found) => outline(found),
        FeatureFault::NotLaid(said) => format!("the roof is solved but could not be laid out: {said}"),
    }
}

fn outline(found: &OutlineFault) -> String {
    match found {
        OutlineFault::Empty => "the outline encloses nothing, expected rings of three places or more".to_owned(),
        OutlineFault::Pitch(degrees) => {
            format!("a pitch is {degrees}°, expected more than 0° and less than 90°, or 90 in pitches for a verge")
        }
        OutlineFault::PitchCount { found, sides } => format!("pitches has {found} numbers for {sides} sides"),
        OutlineFault::NoEave => "every side is a verge, expected one or more that a slope rises from".to_owned(),
        OutlineFault::Roof(error) => fault::roof(error, Format::of(LengthUnit::Metre)),
    }
}

/// A line that no reader should hold.
#[must_use]
pub fn too_long(line: u64, most: usize) -> String {
    format!("line {line} is longer than {most} MiB, expected one feature")
}

/// A name whose ending says no kind of input.
#[must_use]
pub fn no_input_kind(path: &str, kinds: &[&str]) -> String {
    format!("{path}: the ending says no kind of outlines; expected one of {}", kinds.join(", "))
}

/// A kind that this program was built without.
#[must_use]
pub fn built_without(path: &str, kind: &str) -> String {
    format!(
        "{path}: this program was built without its reader of {kind}; `cargo build --release` builds it with all of them"
    )
}

/// A table that is not what its ending says. `said` is what its reader says.
#[must_use]
pub fn no_table(said: &str) -> String {
    format!("this is no table of outlines that can be read: {said}")
}

/// A table whose geometries are in another form than the well-known binary one.
#[must_use]
pub fn other_encoding(found: &str) -> String {
    format!("its geometries are encoded as {found}, expected WKB")
}

/// A table without the member that makes it one of outlines.
pub const NO_GEOMETRY_COLUMN: &str = "it has no metadata `geo` and no column geometry";

/// A name whose ending says no kind of output.
#[must_use]
pub fn no_output_kind(path: &str, kinds: &[&str]) -> String {
    format!("{path}: the ending says no kind of answer; expected one of {}", kinds.join(", "))
}

/// Places of a system that is neither degrees nor metres.
#[must_use]
pub fn other_system(path: &str, name: &str) -> String {
    format!(
        "{path}: its places are in {name}, which is neither degrees nor true metres; bring it to longitude and latitude \
         first, or say --units m where they are metres all the same"
    )
}

/// How a run went, in numbers that add up.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tally {
    /// Features or lines.
    pub read: u64,
    /// Solved.
    pub solved: u64,
    /// Left without a roof, by code.
    pub failed: std::collections::BTreeMap<String, u64>,
    /// Area of all roofs, square metres.
    pub area: f64,
    /// Seconds, of this run.
    pub seconds: f64,
    /// How many of them were done by a run before this one.
    pub before: u64,
}

impl Tally {
    /// All that failed.
    #[must_use]
    pub fn without(&self) -> u64 {
        self.failed.values().sum()
    }
}

/// The summary at the end of a run.
#[must_use]
pub fn summary(tally: &Tally) -> String {
    let mut text = format!(
        "{} feature{}: {} with a roof of {:.1} m² in all, {} without\n",
        tally.read,
        if tally.read == 1 { "" } else { "s" },
        tally.solved,
        tally.area,
        tally.without()
    );
    for (code, count) in &tally.failed {
        text.push_str(&format!("  {count} {code}\n"));
    }
    if tally.before > 0 {
        text.push_str(&format!("  {} of them done before this run went on\n", tally.before));
    }
    let done = tally.read - tally.before;
    if tally.seconds > 0.0 && done > 0 {
        text.push_str(&format!("  {:.1} s, {:.0} features a second\n", tally.seconds, done as f64 / tally.seconds));
    }
    text
}

/// A run that went on where one before it had stopped.
#[must_use]
pub fn goes_on(done: u64) -> String {
    format!("{done} features were done before; this run goes on from there\n")
}

/// Words of the report.
pub mod report {
    /// Its title.
    pub const TITLE: &str = "Roofs over outlines";
    /// Over the numbers of a run.
    pub const COUNTS: &str = "What was read";
    /// Over the distribution.
    pub const AREAS: &str = "Roofs by area";
    /// Under it.
    pub const AREAS_SAY: &str = "Each bar counts the roofs from its area up to the next; areas on the slope.";
    /// Over the reasons.
    pub const FAILURES: &str = "Outlines without a roof";
    /// Where all have one.
    pub const NONE: &str = "Every outline has a roof.";
    /// Over the map.
    pub const MAP: &str = "Where they stand";
    /// Under it.
    pub const MAP_SAYS: &str =
        "A dot an outline, of very many one in so many: blue with a roof, orange without; x to the right, y upwards.";
    /// Heads of the counts.
    pub const HEADS: [&str; 4] = ["features", "with a roof", "without", "area of all roofs, m²"];
    /// Heads of the reasons.
    pub const REASON_HEADS: [&str; 3] = ["code", "count", "for example"];
    /// What such areas are good for.
    pub const CAUTION: &str = "Outlines from maps and pitches that nobody read are good for sums and prices by the thousand, not \
         for an order: before anything is bought or cut, the roof is measured on site. Roof work is done secured, by local law.";
}
