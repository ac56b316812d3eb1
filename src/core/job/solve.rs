//! The stages in order: adjust, trace, solve, cut openings, cutting data, uncertainty.

use super::answer::{self, Answer, Spread};
use super::building::{self, Building, walls_of};
use super::by_outlines::{self, Outlined};
use super::by_points::ByPoints;
use super::fault;
use super::fault::Failure;
use super::finding::Finding;
use super::model::{Job, Stage};
use super::moved::{Moved, uncertain};
use super::pitches::{self, Settled, UnsurePitch};
use super::quantities::{Quantities, Sources, is_determined};
use super::unknown::{self, FoundPitch};
use super::{north, propose, rings, spread};
use crate::base::finding::Finding as _;
use crate::base::ids::{CornerId, EdgeId, FaceId, PlaneId};
use crate::base::units::Pitch;
use crate::framing::timber::{Carcass, Wall};
use crate::framing::{self, Framing};
use crate::outline::block::Block;
use crate::outline::{self, Dormer, Footprint};
use crate::roof::analysis::drainage;
use crate::roof::analysis::opening;
use crate::roof::analysis::opening::CutOpening;
use crate::roof::analysis::standing;
use crate::roof::analysis::turn::{self, TurnError};
use crate::roof::kernel::dormer;
use crate::roof::kernel::points;
use crate::roof::kernel::points::{Move, PointsError};
use crate::roof::{self, EdgeKind, Roof};
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
    /// Carry the survey's uncertainty to areas and lengths, and where the measurements do not agree look for marks that bear
    /// each other's names; may cost two solves a measured coordinate of an outline, or a second adjustment.
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
    let ground = adjust_with(job, &survey::Options { swaps: options.spread, ..Default::default() })?;
    let doubts = ground.doubts();
    solve_on(job, ground, options).map_err(|failure| Failure { findings: doubts, ..failure })
}

/// Runs the stages that follow the adjustment.
fn solve_on(job: &Job, ground: Ground, options: &Options) -> Result<Answer, Failure> {
    let mut findings: Vec<Finding> = ground.adjusted.report.findings().into_iter().map(Finding::from).collect();
    let Filled { blocks, found, unsure, findings: of_pitches } = ground.fill_in(job)?;
    let shaped = ground.shape(job, &blocks, &ground.adjusted.rings, &ground.adjusted.points, options.steps)?;
    let openings = cut(job, &shaped.roof)?;
    findings.extend(of_pitches);
    findings.extend(shaped.findings.iter().cloned().map(Finding::from));
    findings.extend(shaped.roof.findings.iter().cloned().map(Finding::from));
    let spread = if options.spread { ground.uncertainty(job, (&found, &unsure), &shaped) } else { Spread::default() };
    let mut survey = ground.adjusted.report;
    if ground.unlocated.is_empty() {
        propose::with_pitches(&mut survey, &spread, &unsure);
    }
    findings.extend(north::by_compass(job, &survey));
    let drainage = drainage::drain(&shaped.roof);
    let quantities = Quantities::of(&Sources {
        roof: &shaped.roof,
        openings: &openings,
        drainage: &drainage,
        spread: &spread,
        widening: survey.widening(),
        part_missing: !ground.unlocated.is_empty(),
    });
    findings.extend(answer::not_determined(&shaped.roof, &quantities));
    findings.extend(drainage.findings(&shaped.roof).into_iter().map(Finding::from));
    let mut framing = framing::cutting_data(&shaped.roof);
    keep_determined(&mut framing, &shaped.roof, &quantities);
    if let Some(spec) = &job.framing {
        let is_determined = |face: FaceId| is_determined(&quantities.faces()[face.index()]);
        let carcass = Carcass { roof: &shaped.roof, openings: &openings, walls: &shaped.walls, spec };
        framing.frame(&carcass, is_determined);
    }
    let mut set_out = standing::set_out(&shaped.roof, &openings, &building::hosts(job));
    set_out.retain(|of| is_determined(&quantities.faces()[of.face.index()]));
    let building = building::building(job, &shaped.roof, &framing, shaped.walls);
    findings.extend(framing.findings.iter().cloned().map(Finding::from));
    findings.sort_by_key(Finding::severity);
    Ok(Answer {
        corners: rings::by_block(job, &ground.adjusted.rings),
        roof: shaped.roof,
        openings,
        set_out,
        building,
        moves: shaped.moves,
        drainage,
        framing,
        survey,
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
    let ground = adjust_with(job, &survey::Options::default())?;
    let options = points::Options { covariances: &[], unsure: &ground.unsure };
    let mut findings: Vec<Finding> = ground.adjusted.report.findings().into_iter().map(Finding::from).collect();
    if let Err(PointsError::NoFaces { left_out }) = points::solve(&job.survey, &ground.adjusted.points, &options) {
        findings.extend(left_out.into_iter().map(roof::Finding::FaceNotLocated).map(Finding::from));
    }
    findings.sort_by_key(Finding::severity);
    Ok(Answer {
        corners: rings::by_block(job, &ground.adjusted.rings),
        roof: Roof::default(),
        openings: Vec::new(),
        set_out: Vec::new(),
        building: Building::default(),
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
    adjust_with(job, &survey::Options { swaps: false, ..Default::default() })
}

fn adjust_with(job: &Job, options: &survey::Options) -> Result<Ground, Failure> {
    let rings = rings::inputs(job);
    let adjusted = survey::adjust_with(&rings, &job.survey, options).map_err(|error| fault::of(job, error))?;
    let covariances = point_covariances(job, &adjusted);
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

/// A job's blocks with every pitch.
struct Filled<'a> {
    blocks: Cow<'a, [Block]>,
    /// What was found of each block's unknown sides.
    found: Vec<Option<FoundPitch>>,
    /// Pitches that are not exact.
    unsure: Vec<UnsurePitch<'a>>,
    /// One for each pitch found, or read beside being written.
    findings: Vec<Finding>,
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
    /// What of it stands over outlines.
    outlined: Outlined,
    moves: Vec<Move>,
    /// What of it stands on points.
    by_points: ByPoints,
    /// Walls with their plates, where the outline was measured at the wall.
    walls: Vec<Wall>,
    findings: Vec<outline::Finding>,
}

impl Ground {
    /// What the adjustment has to say that casts doubt.
    fn doubts(&self) -> Vec<survey::Finding> {
        let all = self.adjusted.report.findings().into_iter();
        let doubts: Vec<survey::Finding> = all.filter(|finding| finding.severity().comes_first()).collect();
        // That they disagree goes without saying where it is said why.
        let is_reason = |finding: &survey::Finding| !matches!(finding, survey::Finding::Disagree { .. });
        let reasons: Vec<survey::Finding> = doubts.iter().filter(|finding| is_reason(finding)).cloned().collect();
        if reasons.is_empty() { doubts } else { reasons }
    }

    /// The roof of a job that differs from the adjusted one in what rises from its sides alone, its faces by points turned to
    /// a pitch where one is given.
    ///
    /// # Errors
    /// [`Failure`] with every fault of the first stage that had one.
    pub fn roof_of(&self, job: &Job, faces_at: Option<Pitch>) -> Result<(Roof, Vec<CutOpening>), Failure> {
        let Filled { blocks, .. } = self.fill_in(job)?;
        let shaped = self.shape(job, &blocks, &self.adjusted.rings, &self.adjusted.points, false)?;
        let roof = match faces_at {
            Some(pitch) => turn::turned(&shaped.roof, pitch).map_err(|error| not_turned(job, &shaped, error))?,
            None => shaped.roof,
        };
        let openings = cut(job, &roof)?;
        Ok((roof, openings))
    }

    /// From places to a roof, its openings not yet cut.
    fn shape(
        &self,
        job: &Job,
        blocks: &[Block],
        places: &[Vec<Point2<f64>>],
        points_at: &[Option<Point3<f64>>],
        steps: bool,
    ) -> Result<Shaped, Failure> {
        let Covered { outlined, walls, findings } = over_outlines(job, (blocks, &job.dormers), places, steps)?;
        let mut roof = outlined.roof.clone();
        let (mut moves, mut by_points) = (Vec::new(), ByPoints::default());
        if !job.survey.faces.is_empty() {
            let options = points::Options { covariances: &self.covariances, unsure: &self.unsure };
            let solved = points::solve(&job.survey, points_at, &options).map_err(|error| fault::of(job, error))?;
            by_points = ByPoints {
                first: (roof.corners.len(), roof.faces.len()),
                points: solved.moves.iter().map(|moved| moved.point).collect(),
                fits: solved.fits,
                roof: solved.roof.clone(),
            };
            moves = solved.moves;
            roof = beside(roof, solved.roof);
        }
        Ok(Shaped { roof, outlined, moves, by_points, walls, findings })
    }

    /// Standard deviations of areas, pitches and lengths.
    fn uncertainty(
        &self,
        job: &Job,
        (found, unsure): (&[Option<FoundPitch>], &[UnsurePitch<'_>]),
        shaped: &Shaped,
    ) -> Spread {
        let Shaped { roof, outlined, by_points, .. } = shaped;
        let readings = unknown::readings(job, found);
        let sds: Vec<f64> =
            readings.iter().map(|reading| reading.sd).chain(unsure.iter().map(|pitch| pitch.sd)).collect();
        let unsure_numbers = uncertain(&self.adjusted).len() + sds.len();
        if unsure_numbers == 0 {
            return match job.stage {
                Stage::Design => spread::propagate(roof, &self.adjusted, &[], by_points, None, |_| None),
                // Places stated as exact say nothing about how sure they are; zero would claim they do.
                Stage::Measured => Spread::default(),
            };
        }
        let written = self.settled(job).blocks;
        let stated = |moved: &Moved| -> Option<(Cow<'_, [Block]>, Cow<'_, [Dormer]>)> {
            let (of_lengths, of_pitches) = moved.readings.split_at(readings.len());
            let places = rings::by_block(job, &moved.rings);
            let mut blocks = unknown::fill_in_again(job, &written, found, (&readings, of_lengths), &places)?;
            let mut dormers = Cow::Borrowed(job.dormers.as_slice());
            for (pitch, by) in unsure.iter().zip(of_pitches).filter(|(_, by)| **by != 0.0) {
                pitches::turn(blocks.to_mut(), dormers.to_mut(), pitch.slopes, *by);
            }
            Some((blocks, dormers))
        };
        let is_found = found.iter().any(Option::is_some);
        let derivatives = by_outlines::derivatives(job, &self.adjusted, outlined, (is_found, &sds), |moved| {
            let (blocks, _) = stated(moved)?;
            traced(job, &blocks, &moved.rings).ok().map(|traced| traced.footprints)
        });
        let known = derivatives.as_ref().map(|derivatives| (derivatives, &outlined.roof));
        spread::propagate(roof, &self.adjusted, &sds, by_points, known, |moved| {
            let (blocks, dormers) = stated(moved)?;
            let over_outlines = over_outlines(job, (&blocks, &dormers), &moved.rings, false).ok()?.outlined.roof;
            Some(if by_points.fits.is_empty() { over_outlines } else { beside(over_outlines, by_points.roof.clone()) })
        })
    }

    /// Pitches written and read brought together.
    fn settled<'a>(&self, job: &'a Job) -> Settled<'a> {
        pitches::settle(job, || {
            let adjusted = &self.adjusted;
            self.shape(job, &job.blocks, &adjusted.rings, &adjusted.points, false).ok().map(|shaped| shaped.roof)
        })
    }

    /// The blocks with every pitch: as written and read, or found where it was not measured.
    fn fill_in<'a>(&self, job: &'a Job) -> Result<Filled<'a>, Failure> {
        let Settled { blocks, unsure, mut findings } = self.settled(job);
        let places = rings::by_block(job, &self.adjusted.rings);
        let unknown::Found { blocks, pitches: found, findings: of_found } = unknown::fill_in(job, blocks, &places)?;
        findings.extend(of_found.into_iter().map(Finding::from));
        Ok(Filled { blocks, found, unsure, findings })
    }
}

/// Why faces by points were not turned, by the names of the job.
fn not_turned(job: &Job, shaped: &Shaped, error: TurnError) -> Failure {
    let roof = &shaped.roof;
    let face = |id: &FaceId| roof.faces[id.index()].name();
    let point = |corner: CornerId| {
        let own = corner.index().checked_sub(shaped.by_points.first.0);
        let id = own.and_then(|own| shaped.by_points.points.get(own));
        id.and_then(|id| job.survey.points.get(id.index())).map_or_else(String::new, |point| point.name.clone())
    };
    fault::of(
        job,
        match error {
            TurnError::Apart { faces, corner, gap } => {
                PointsError::StayApart { faces: faces.iter().map(face).collect(), point: point(corner), gap }
            }
            TurnError::Vanishes { edge } => {
                let edge = &roof.edges[edge.index()];
                let faces = edge.faces.iter().map(face).collect();
                PointsError::Vanishes { faces, from: point(edge.from), to: point(edge.to) }
            }
            TurnError::EaveTooSteep { face: id } => {
                let eave = roof.faces[id.index()].edges.iter().map(|id| &roof.edges[id.index()]);
                let eave = eave.clone().find(|edge| edge.kind == EdgeKind::Eave);
                let ends = eave.map_or_else(Default::default, |edge| [point(edge.from), point(edge.to)]);
                let [from, to] = ends;
                PointsError::Vanishes { faces: vec![face(&id)], from, to }
            }
        },
    )
}

/// What [`over_outlines`] finds.
struct Covered {
    outlined: Outlined,
    /// Walls with their plates, where the outline was measured at the wall.
    walls: Vec<Wall>,
    findings: Vec<outline::Finding>,
}

/// Footprints ready to be solved, wings run in.
struct Traced {
    footprints: Vec<Footprint>,
    /// Walls with their plates, where the outline was measured at the wall.
    walls: Vec<Wall>,
    run_on: Vec<roof::Finding>,
    findings: Vec<outline::Finding>,
}

fn traced(job: &Job, blocks: &[Block], places: &[Vec<Point2<f64>>]) -> Result<Traced, Failure> {
    let traced = outline::trace(blocks, &rings::by_block(job, places)).map_err(|error| fault::of(job, error))?;
    let options = solve_options(job, false);
    let (footprints, run_on) = roof::kernel::run_in::run_in(&traced.footprints, &traced.run_ins, &options)
        .map_err(|error| fault::of(job, error))?;
    let walls =
        blocks.iter().zip(&traced.footprints).flat_map(|(block, footprint)| walls_of(block, footprint)).collect();
    Ok(Traced { footprints: footprints.into_owned(), walls, run_on, findings: traced.findings })
}

fn solve_options(job: &Job, steps: bool) -> roof::Options {
    roof::Options { tolerance: job.tolerance, join_gap: job.site.join_gap, steps }
}

/// The roof over the outlines of blocks and dormers, which may differ from the job's. Runs again for every coordinate whose
/// influence is wanted and not known otherwise.
fn over_outlines(
    job: &Job,
    (blocks, dormers): (&[Block], &[Dormer]),
    places: &[Vec<Point2<f64>>],
    steps: bool,
) -> Result<Covered, Failure> {
    let Traced { footprints, walls, run_on, findings } = traced(job, blocks, places)?;
    let options = solve_options(job, steps);
    let mut roof = if footprints.is_empty() {
        Roof::default()
    } else {
        roof::solve(&footprints, &options).map_err(|error| fault::of(job, error))?
    };
    if !dormers.is_empty() {
        let mut footprints = footprints.clone();
        footprints.extend(set_in(job, dormers, &roof)?);
        roof = roof::solve(&footprints, &options).map_err(|error| fault::of(job, error))?;
    }
    roof::kernel::run_in::tell(&mut roof, run_on);
    Ok(Covered { outlined: Outlined { roof, footprints }, walls, findings })
}

/// The job's openings, cut from its roof.
fn cut(job: &Job, roof: &Roof) -> Result<Vec<CutOpening>, Failure> {
    opening::cut(roof, &job.openings).map_err(|error| fault::of(job, error))
}

/// Every dormer as a block set into the roof it stands in.
fn set_in(job: &Job, dormers: &[Dormer], host: &Roof) -> Result<Vec<Footprint>, Failure> {
    let mut footprints = Vec::with_capacity(dormers.len());
    let mut found = Vec::new();
    for stated in dormers {
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
    if found.is_empty() { Ok(footprints) } else { Err(found.into()) }
}

/// Covariance of each place that a face is fitted to; `None` of other points, and where it is not located.
fn point_covariances(job: &Job, adjusted: &Adjusted) -> Vec<Option<Matrix3<f64>>> {
    let mut covariances = vec![None; adjusted.points.len()];
    for point in job.survey.faces.iter().flat_map(|face| &face.points) {
        let index = point.index();
        if adjusted.points[index].is_none() || covariances[index].is_some() {
            continue;
        }
        let first = adjusted.covariance.point(index);
        let mut covariance = Matrix3::zeros();
        for (i, j) in [(0, 0), (0, 1), (0, 2), (1, 1), (1, 2), (2, 2)] {
            let entry = adjusted.covariance.entry(first + i, first + j);
            (covariance[(i, j)], covariance[(j, i)]) = (entry, entry);
        }
        covariances[index] = Some(covariance);
    }
    covariances
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
