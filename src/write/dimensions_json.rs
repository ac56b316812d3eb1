//! What drawings of a roof dimension, as JSON: the `dimensions` and `openings` keys of `solve --json` and the `shape` of each
//! face. Lengths metres, angles degrees.

use super::name::NameTwin;
use crate::base::ids::FaceId;
use crate::job::{Answer, Job};
use crate::roof::analysis::dimensions;
use crate::roof::analysis::dimensions::Shape;
use crate::roof::analysis::opening::CutOpening;
use crate::roof::{Face, Roof};
use serde::Serialize;

/// The height walls stand on, metres.
const DATUM: f64 = 0.0;

/// What is dimensioned on plan, elevations, section and construction.
#[derive(Serialize)]
pub struct DimensionsTwin<'a> {
    over_all: Option<[f64; 2]>,
    runs: Vec<RunTwin>,
    sides: Vec<SideTwin<'a>>,
    /// Along the longest run of the outline, and across it.
    elevations: Option<[f64; 2]>,
    heights: Heights,
    section: Option<SectionTwin<'a>>,
    /// How far above the lowest eave each level of the construction lies.
    construction: Vec<f64>,
}

/// A side of a measured outline, adjusted; at the walls where it was measured there.
#[derive(Serialize)]
struct SideTwin<'a> {
    block: &'a str,
    side: &'a str,
    length: f64,
}

#[derive(Serialize)]
struct RunTwin {
    length: f64,
    edges: Vec<usize>,
}

/// Heights above datum, from each to the next, and from the first to the last.
#[derive(Serialize)]
struct Heights {
    levels: Vec<f64>,
    steps: Vec<f64>,
    whole: Option<f64>,
}

#[derive(Serialize)]
struct SectionTwin<'a> {
    slopes: Vec<SlopeTwin<'a>>,
    heights: Heights,
}

#[derive(Serialize)]
struct SlopeTwin<'a> {
    face: NameTwin<'a>,
    length: Option<f64>,
    run: Option<f64>,
}

/// A face's true shape.
#[derive(Serialize)]
pub struct ShapeTwin {
    width: f64,
    height: f64,
    offsets: Vec<f64>,
    angles: Vec<f64>,
}

/// An opening as cut from a face.
#[derive(Serialize)]
pub struct OpeningTwin<'a> {
    kind: &'a str,
    face: NameTwin<'a>,
    area: f64,
    /// Along the eave, up the slope.
    size: [f64; 2],
    at: [f64; 2],
}

impl Heights {
    fn of(levels: Vec<f64>) -> Self {
        let whole = levels.first().zip(levels.last()).map(|(first, last)| last - first);
        Self { steps: dimensions::steps(&levels), levels, whole }
    }
}

impl<'a> DimensionsTwin<'a> {
    /// Of a solved roof. O(n log n) in its corners.
    #[must_use]
    pub fn of(job: &'a Job, answer: &'a Answer) -> Self {
        let roof = &answer.roof;
        let levels = dimensions::construction_levels(roof);
        let start = levels.first().copied().unwrap_or_default();
        let runs = dimensions::runs(roof)
            .into_iter()
            .map(|run| RunTwin { length: run.length(), edges: run.edges.iter().map(|edge| edge.index()).collect() });
        let extent = dimensions::extent(roof);
        Self {
            over_all: extent.map(|(low, high)| [high.x - low.x, high.y - low.y]),
            runs: runs.collect(),
            sides: sides(job, answer),
            elevations: extent.map(|_| dimensions::elevation_widths(roof)),
            heights: Heights::of(dimensions::heights(roof, DATUM)),
            section: section(answer),
            construction: levels.iter().map(|level| level - start).collect(),
        }
    }
}

fn sides<'a>(job: &'a Job, answer: &Answer) -> Vec<SideTwin<'a>> {
    let mut sides = Vec::new();
    for (block, rings) in job.blocks.iter().zip(&answer.corners) {
        for (stated, corners) in block.rings.iter().zip(rings) {
            let next = corners.iter().cycle().skip(1);
            let ends = corners.iter().zip(next);
            sides.extend(stated.sides.iter().zip(ends).map(|(side, (from, to))| SideTwin {
                block: &block.name,
                side: &side.name,
                length: (to - from).norm(),
            }));
        }
    }
    sides
}

fn section(answer: &Answer) -> Option<SectionTwin<'_>> {
    let roof = &answer.roof;
    let cut = dimensions::cut_across(roof)?;
    let slopes = dimensions::slopes(roof, &cut);
    let given = |face: FaceId| answer.area(face).value().is_some();
    let twin = |slope: &dimensions::Slope| SlopeTwin {
        face: NameTwin::of(roof, slope.face),
        length: given(slope.face).then(|| slope.length()),
        run: given(slope.face).then(|| slope.run()),
    };
    Some(SectionTwin {
        slopes: slopes.iter().map(twin).collect(),
        heights: Heights::of(dimensions::section_heights(roof, &slopes, DATUM)),
    })
}

impl ShapeTwin {
    /// Of a face; `None` for a level one.
    #[must_use]
    pub fn of(roof: &Roof, face: &Face) -> Option<Self> {
        let Shape { width, height, stations, angles } = dimensions::shape(roof, face)?;
        Some(Self {
            width,
            height,
            offsets: dimensions::steps(&stations),
            angles: angles.into_iter().map(f64::to_degrees).collect(),
        })
    }
}

impl<'a> OpeningTwin<'a> {
    /// Of an opening.
    #[must_use]
    pub fn of(roof: &'a Roof, opening: &'a CutOpening) -> Self {
        let (at, size) = dimensions::box_about(&opening.ring);
        Self {
            kind: &opening.kind,
            face: NameTwin::of(roof, opening.face),
            area: opening.area,
            size: size.into(),
            at: at.coords.into(),
        }
    }
}
