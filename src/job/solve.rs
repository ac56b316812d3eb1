//! The stages in order: adjust, trace, solve, cut openings, cutting data, uncertainty.

use super::answer::{self, Answer, Failure, Spread};
use super::fault;
use super::finding::Finding;
use super::model::Job;
use super::quantities::{Quantities, Sources, is_determined};
use super::spread::Moved;
use super::{rings, spread};
use crate::base::finding::Finding as _;
use crate::base::ids::{EdgeId, FaceId, PlaneId};
use crate::base::units::Pitch;
use crate::framing::{self, Framing};
use crate::outline::Footprint;
use crate::outline::block::Block;
use crate::outline::refit::{self, ReadingOff};
use crate::outline::{self, pitch};
use crate::roof::dormer;
use crate::roof::drainage;
use crate::roof::opening::{self, CutOpening};
use crate::roof::points::{self, Move};
use crate::roof::{self, Roof};
use crate::survey::model::FaceByPoints;
use crate::survey::report::AdjustedFace;
use crate::survey::{self, Adjusted};
use nalgebra::{Matrix3, Point2, Point3};
use std::borrow::Cow;

/// What is to be found beside the roof itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Options {
    /// Keep the events of the sweep.
    pub steps: bool,
    /// Carry the survey's uncertainty to areas and lengths; costs two solves a measured coordinate.
    pub spread: bool,
}

impl Default for Options {
    fn default() -> Self {
        Self { steps: false, spread: true }
    }
}

/// Runs every stage over a job.
///
/// # Errors
/// [`Failure`] with every fault of the first stage that had one.
pub fn solve(job: &Job, options: &Options) -> Result<Answer, Failure> {
    let ground = adjust(job)?;
    let mut findings: Vec<Finding> = ground.adjusted.report.findings().into_iter().map(Finding::from).collect();
    let Filled { blocks, pitches, findings: found } = fill_in_pitches(job, &ground.adjusted)?;
    let shaped = ground.shape(job, &blocks, &ground.adjusted.rings, &ground.adjusted.points, options.steps)?;
    let openings = cut(job, &shaped.roof)?;
    findings.extend(found.into_iter().chain(shaped.findings).map(Finding::from));
    findings.extend(shaped.roof.findings.iter().cloned().map(Finding::from));
    let spread =
        if options.spread { ground.uncertainty(job, &pitches, &shaped.roof, &mut findings) } else { Spread::default() };
    let drainage = drainage::drain(&shaped.roof);
    let quantities = Quantities::of(&Sources {
        roof: &shaped.roof,
        openings: &openings,
        drainage: &drainage,
        spread: &spread,
        widening: ground.adjusted.report.widening(),
        part_missing: !ground.unlocated.is_empty(),
    });
    findings.extend(answer::not_determined(&shaped.roof, &quantities));
    findings.extend(drainage.findings(&shaped.roof).into_iter().map(Finding::from));
    let mut framing = framing::cutting_data(&shaped.roof);
    keep_determined(&mut framing, &shaped.roof, &quantities);
    findings.extend(framing.findings.iter().cloned().map(Finding::from));
    findings.sort_by_key(Finding::severity);
    Ok(Answer {
        corners: rings::by_block(job, &ground.adjusted.rings),
        roof: shaped.roof,
        openings,
        moves: shaped.moves,
        drainage,
        framing,
        survey: ground.adjusted.report,
        spread,
        quantities,
        unlocated: ground.unlocated,
        findings,
    })
}

/// Leaves out the cutting data of what is not determined: nothing is cut by it.
fn keep_determined(framing: &mut Framing, roof: &Roof, quantities: &Quantities) {
    let face = |face: FaceId| is_determined(&quantities.faces()[face.index()]);
    let beside = |edge: EdgeId| roof.edges[edge.index()].faces.iter().all(|&id| face(id));
    framing.commons.retain(|common| face(common.face));
    framing.folds.retain(|fold| beside(fold.edge));
    framing.bends.retain(|bend| beside(bend.edge));
}

/// What a job's measurements tell by themselves, without a roof: the answer where [`solve`] finds that they place no
/// face ([`Failure::is_for_want_of_measurements`]).
///
/// # Errors
/// [`Failure`]: measurements that cannot be brought together.
pub fn measured(job: &Job) -> Result<Answer, Failure> {
    let ground = adjust(job)?;
    let options = points::Options { covariances: &[], unsure: &ground.unsure };
    let mut findings: Vec<Finding> = ground.adjusted.report.findings().into_iter().map(Finding::from).collect();
    if let Err(points::PointsError::NoFaces { left_out }) =
        points::solve(&job.survey, &ground.adjusted.points, &options)
    {
        findings.extend(left_out.into_iter().map(roof::Finding::FaceNotLocated).map(Finding::from));
    }
    findings.sort_by_key(Finding::severity);
    Ok(Answer {
        corners: rings::by_block(job, &ground.adjusted.rings),
        roof: Roof::default(),
        openings: Vec::new(),
        moves: Vec::new(),
        drainage: drainage::Drainage::default(),
        framing: framing::Framing::default(),
        survey: ground.adjusted.report,
        quantities: Quantities::of(&Sources {
            roof: &Roof::default(),
            openings: &[],
            drainage: &drainage::Drainage::default(),
            spread: &Spread::default(),
            widening: 1.0,
            part_missing: true,
        }),
        spread: Spread::default(),
        unlocated: ground.unlocated,
        findings,
    })
}

/// Brings a job's measurements together: what every roof over them stands on, whatever its pitch.
///
/// # Errors
/// [`Failure`]: measurements that cannot be brought together.
pub(super) fn adjust(job: &Job) -> Result<Ground, Failure> {
    let adjusted = survey::adjust(&rings::inputs(job), &job.survey).map_err(|error| fault::of(job, error))?;
    let covariances = point_covariances(&adjusted);
    let unsure = unsure_faces(job, &adjusted);
    let placed = |face: &FaceByPoints| face.points.iter().all(|point| adjusted.points[point.index()].is_some());
    let faces = job.survey.faces.iter().enumerate().map(|(index, face)| (PlaneId::new(index), face));
    let unlocated = faces.filter(|(id, face)| !placed(face) || unsure.contains(id)).map(|(id, _)| id).collect();
    Ok(Ground { adjusted, covariances, unsure, unlocated })
}

/// The faces whose points have places but whose area is not answered: they hang on so little that a roof of them would
/// say what nobody measured.
fn unsure_faces(job: &Job, adjusted: &Adjusted) -> Vec<PlaneId> {
    let reports = job.survey.faces.iter().zip(&adjusted.report.faces).enumerate();
    let is_unsure = |(face, report): (&FaceByPoints, &AdjustedFace)| {
        (report.area.is_none() || report.pitch.is_none())
            && face.points.iter().all(|point| adjusted.points[point.index()].is_some())
    };
    reports.filter(|(_, pair)| is_unsure(*pair)).map(|(index, _)| PlaneId::new(index)).collect()
}

/// Adjusted places.
pub(super) struct Ground {
    adjusted: Adjusted,
    covariances: Vec<Option<Matrix3<f64>>>,
    /// Faces by points that are left out for being unsure.
    unsure: Vec<PlaneId>,
    /// Faces by points without a place, or hardly with one.
    unlocated: Vec<PlaneId>,
}

/// A roof from places, before uncertainty.
struct Shaped {
    /// The roof.
    roof: Roof,
    moves: Vec<Move>,
    findings: Vec<outline::Finding>,
}

impl Ground {
    /// The roof of a job that differs from the adjusted one in what rises from its sides alone.
    ///
    /// # Errors
    /// [`Failure`] with every fault of the first stage that had one.
    pub fn roof_of(&self, job: &Job) -> Result<(Roof, Vec<CutOpening>), Failure> {
        let Filled { blocks, .. } = fill_in_pitches(job, &self.adjusted)?;
        let shaped = self.shape(job, &blocks, &self.adjusted.rings, &self.adjusted.points, false)?;
        let openings = cut(job, &shaped.roof)?;
        Ok((shaped.roof, openings))
    }

    /// From places to a roof, its openings not yet cut. Runs again for every coordinate whose influence is wanted.
    fn shape(
        &self,
        job: &Job,
        blocks: &[Block],
        places: &[Vec<Point2<f64>>],
        points_at: &[Option<Point3<f64>>],
        steps: bool,
    ) -> Result<Shaped, Failure> {
        let traced = outline::trace(blocks, &rings::by_block(job, places)).map_err(|error| fault::of(job, error))?;
        let options = roof::Options { tolerance: job.tolerance, join_gap: job.site.join_gap, steps };
        let mut roof = if traced.footprints.is_empty() {
            Roof::default()
        } else {
            roof::solve(&traced.footprints, &options).map_err(|error| fault::of(job, error))?
        };
        if !job.dormers.is_empty() {
            let mut footprints = traced.footprints.clone();
            footprints.extend(dormers(job, &roof)?);
            roof = roof::solve(&footprints, &options).map_err(|error| fault::of(job, error))?;
        }
        let mut moves = Vec::new();
        if !job.survey.faces.is_empty() {
            let options = points::Options { covariances: &self.covariances, unsure: &self.unsure };
            let solved = points::solve(&job.survey, points_at, &options).map_err(|error| fault::of(job, error))?;
            moves = solved.moves;
            roof = beside(roof, solved.roof);
        }
        Ok(Shaped { roof, moves, findings: traced.findings })
    }

    /// Standard deviations of areas, pitches and lengths.
    fn uncertainty(&self, job: &Job, pitches: &[Option<Pitch>], roof: &Roof, findings: &mut Vec<Finding>) -> Spread {
        let readings = readings(job);
        let uncertain = spread::uncertain(&self.adjusted).len() + readings.len();
        if uncertain == 0 {
            // Places stated as exact say nothing about how sure they are; zero would claim they do.
            return Spread::default();
        }
        if uncertain > spread::MOST_COORDINATES {
            findings.push(Finding::SpreadNotComputed { coordinates: uncertain, most: spread::MOST_COORDINATES });
            return Spread::default();
        }
        let sds = vec![pitch::TAPED; readings.len()];
        spread::propagate(roof, &self.adjusted, &sds, |moved| {
            let blocks = fill_in_again(job, pitches, &readings, moved)?;
            self.shape(job, &blocks, &moved.rings, &moved.points, false).ok().map(|shaped| shaped.roof)
        })
    }
}

/// A reading that a pitch was found from: of which block, and what of it.
struct Reading {
    block: usize,
    is_rafter: bool,
}

fn readings(job: &Job) -> Vec<Reading> {
    let of = |(index, block): (usize, &Block)| {
        let height = block.ridge_height.map(|_| Reading { block: index, is_rafter: false });
        let rafter = block.rafter.map(|_| Reading { block: index, is_rafter: true });
        height.into_iter().chain(rafter)
    };
    job.blocks.iter().enumerate().filter(|(_, block)| pitch::is_unknown(block)).flat_map(of).collect()
}

/// The blocks with each unknown pitch found again near where it was found, for places and readings moved a little.
fn fill_in_again<'a>(
    job: &'a Job,
    pitches: &[Option<Pitch>],
    readings: &[Reading],
    moved: &Moved,
) -> Option<Cow<'a, [Block]>> {
    if pitches.iter().all(Option::is_none) {
        return Some(Cow::Borrowed(&job.blocks));
    }
    let places = rings::by_block(job, &moved.rings);
    let again = |((index, block), known): ((usize, &Block), &Option<Pitch>)| {
        let Some(known) = *known else { return Some(block.clone()) };
        let mut off = ReadingOff::default();
        for (reading, by) in readings.iter().zip(&moved.readings).filter(|(reading, _)| reading.block == index) {
            *(if reading.is_rafter { &mut off.rafter } else { &mut off.ridge_height }) += by;
        }
        let found = refit::near(block, known, off, |trial| measure(job, trial, &places[index]))?;
        Some(pitch::with_pitch(block, found))
    };
    let blocks: Option<Vec<Block>> = job.blocks.iter().enumerate().zip(pitches).map(again).collect();
    blocks.map(Cow::Owned)
}

/// The job's openings, cut from its roof.
fn cut(job: &Job, roof: &Roof) -> Result<Vec<CutOpening>, Failure> {
    opening::cut(roof, &job.openings).map_err(|error| fault::of(job, error))
}

/// Every dormer as a block set into the roof it stands in.
fn dormers(job: &Job, host: &Roof) -> Result<Vec<Footprint>, Failure> {
    let mut footprints = Vec::with_capacity(job.dormers.len());
    let mut found = Vec::new();
    for stated in &job.dormers {
        let block = job.blocks.get(stated.face.block.index());
        let side =
            block.and_then(|block| block.rings.get(stated.face.ring as usize)?.sides.get(stated.face.side as usize));
        let piece = if stated.piece > 1 { format!(":{}", stated.piece) } else { String::new() };
        let face = block.zip(side).map(|(block, side)| format!("{}/{}{piece}", block.name, side.name));
        let face = face.unwrap_or_default();
        match dormer::footprint(host, &face, stated) {
            Ok(footprint) => footprints.push(footprint),
            Err(error) => found.extend(fault::of(job, error).faults),
        }
    }
    if found.is_empty() { Ok(footprints) } else { Err(Failure { faults: found }) }
}

/// Covariance of each named point's place; `None` where it is not located.
fn point_covariances(adjusted: &Adjusted) -> Vec<Option<Matrix3<f64>>> {
    let matrix = adjusted.covariance.matrix();
    let of = |(index, at): (usize, &Option<Point3<f64>>)| {
        let first = adjusted.covariance.point(index);
        at.map(|_| matrix.fixed_view::<3, 3>(first, first).into_owned())
    };
    adjusted.points.iter().enumerate().map(of).collect()
}

/// Two roofs that do not touch, as one. A part without volume leaves the whole without.
fn beside(mut first: Roof, second: Roof) -> Roof {
    if first.faces.is_empty() {
        return second;
    }
    first.volume = None;
    first.feet = Vec::new();
    roof::append(&mut first, second);
    first
}

/// A job's blocks with every pitch.
struct Filled<'a> {
    blocks: Cow<'a, [Block]>,
    /// What was found of each block's unknown sides.
    pitches: Vec<Option<Pitch>>,
    /// One for each pitch found.
    findings: Vec<outline::Finding>,
}

/// Blocks with every pitch that was not measured found from the ridge height or a taped rafter.
fn fill_in_pitches<'a>(job: &'a Job, adjusted: &Adjusted) -> Result<Filled<'a>, Failure> {
    let mut filled = Filled { blocks: Cow::Borrowed(&job.blocks), pitches: Vec::new(), findings: Vec::new() };
    if !job.blocks.iter().any(pitch::is_unknown) {
        filled.pitches = vec![None; job.blocks.len()];
        return Ok(filled);
    }
    let places = rings::by_block(job, &adjusted.rings);
    let mut blocks = Vec::with_capacity(job.blocks.len());
    let mut found = Vec::new();
    for (block, places) in job.blocks.iter().zip(&places) {
        if !pitch::is_unknown(block) {
            blocks.push(block.clone());
            filled.pitches.push(None);
            continue;
        }
        match pitch::resolve(block, |trial| measure(job, trial, places)) {
            Ok(resolved) => {
                filled.findings.push(resolved.finding);
                blocks.push(resolved.block);
                filled.pitches.push(Some(resolved.pitch));
            }
            Err(error) => found.extend(fault::of_pitch(job, error)),
        }
    }
    filled.blocks = Cow::Owned(blocks);
    if found.is_empty() { Ok(filled) } else { Err(Failure { faults: found }) }
}

/// The ridge height and the taped rafter of a block by itself.
fn measure(job: &Job, block: &Block, places: &[Vec<Point2<f64>>]) -> Result<pitch::Trial, Failure> {
    let traced =
        outline::trace(std::slice::from_ref(block), &[places.to_vec()]).map_err(|error| fault::of(job, error))?;
    let options = roof::Options { tolerance: job.tolerance, join_gap: job.site.join_gap, steps: false };
    let roof = roof::solve(&traced.footprints, &options).map_err(|error| fault::of(job, error))?;
    let rafter = block.rafter.and_then(|(side, _)| {
        let name = &block.rings.get(side.ring as usize)?.sides.get(side.side as usize)?.name;
        longest_rafter(&roof, name)
    });
    Ok(pitch::Trial { ridge_height: roof.ridge_height().unwrap_or(block.height), rafter })
}

/// The longest common rafter from the eave of a side, metres.
fn longest_rafter(roof: &Roof, side: &str) -> Option<f64> {
    let commons = framing::common_rafters(roof).into_iter();
    let of_side = commons.filter(|common| roof.faces[common.face.index()].sides.iter().any(|name| name == side));
    of_side.map(|common| common.length.0).reduce(f64::max)
}
