//! Pitches that were not measured: found from a block's ridge height, a taped rafter, a reading on one of its faces.

use super::fault;
use super::fault::Failure;
use super::model::{Job, SideReading};
use super::pitches::mean_of;
use crate::base::name::SideName;
use crate::base::units::Pitch;
use crate::framing;
use crate::outline::block::{Block, BlockRole};
use crate::outline::refit::{self, ReadingOff};
use crate::outline::{self, pitch};
use crate::roof;
use nalgebra::Point2;
use std::borrow::Cow;

/// The step of a difference, as a part of a standard deviation.
const STEP: f64 = 0.1;

/// Places of a block's corners, by ring.
type Places = Vec<Vec<Point2<f64>>>;

/// What a block's unknown pitch was found from.
#[derive(Clone, Copy, Debug)]
pub(super) struct FoundPitch {
    /// From its ridge height or a taped rafter, with the standard deviation those leave, radians.
    lengths: Option<(Pitch, f64)>,
    /// From readings on its faces, radians, with the standard deviation of their mean.
    read: Option<(f64, f64)>,
}

impl FoundPitch {
    fn pitch(&self) -> Option<Pitch> {
        let all: Vec<(f64, f64)> =
            self.lengths.iter().map(|(pitch, sd)| (pitch.radians(), *sd)).chain(self.read).collect();
        match (self.lengths, self.read) {
            // As found, to the last digit.
            (Some((pitch, _)), None) => Some(pitch),
            _ => Pitch::from_rise_over_run(mean_of(&all).0.tan(), 1.0).ok(),
        }
    }
}

/// A reading that a pitch was found from.
pub(super) struct Reading {
    block: usize,
    what: Read,
    /// Its standard deviation: metres, or radians of a pitch.
    pub sd: f64,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Read {
    RidgeHeight,
    Rafter,
    Pitch,
}

/// The readings that unknown pitches hang on.
pub(super) fn readings(job: &Job, found: &[Option<FoundPitch>]) -> Vec<Reading> {
    let of = |((block, stated), found): ((usize, &Block), &Option<FoundPitch>)| {
        let height = stated.ridge_height.map(|_| Reading { block, what: Read::RidgeHeight, sd: pitch::TAPED });
        let rafter = stated.rafter.map(|_| Reading { block, what: Read::Rafter, sd: pitch::TAPED });
        let read = found.and_then(|found| found.read).filter(|(_, sd)| *sd > 0.0);
        let read = read.map(|(_, sd)| Reading { block, what: Read::Pitch, sd });
        height.into_iter().chain(rafter).chain(read)
    };
    let blocks = job.blocks.iter().enumerate().zip(found);
    blocks.filter(|((_, block), _)| pitch::is_unknown(block)).flat_map(of).collect()
}

/// Blocks with every pitch.
pub(super) struct Found<'a> {
    pub blocks: Cow<'a, [Block]>,
    pub pitches: Vec<Option<FoundPitch>>,
    pub findings: Vec<outline::Finding>,
}

/// Finds every pitch that was not measured.
pub(super) fn fill_in<'a>(job: &Job, blocks: Cow<'a, [Block]>, places: &[Places]) -> Result<Found<'a>, Failure> {
    let mut all = Found { pitches: vec![None; blocks.len()], blocks, findings: Vec::new() };
    let mut faults = Vec::new();
    for (index, places) in places.iter().enumerate().take(all.blocks.len()) {
        let block = &all.blocks[index];
        if !pitch::is_unknown(block) {
            continue;
        }
        let read: Vec<(f64, f64)> = job
            .side_readings
            .iter()
            .filter(|reading| is_of(reading, index, block))
            .map(|r| (r.pitch, r.sigma))
            .collect();
        let read = if read.is_empty() { None } else { Some(mean_of(&read)) };
        let mut found = FoundPitch { lengths: None, read };
        if block.ridge_height.is_some() || block.rafter.is_some() || read.is_none() {
            match pitch::resolve(block, |trial| measure(job, trial, places)) {
                Ok(resolved) => {
                    all.findings.push(resolved.finding);
                    let sd = if read.is_some() { by_lengths(job, block, resolved.pitch, places) } else { 0.0 };
                    found.lengths = Some((resolved.pitch, sd));
                }
                Err(error) => faults.extend(fault::of_pitch(job, error)),
            }
        }
        if let Some(pitch) = found.pitch() {
            let filled = pitch::with_pitch(block, pitch);
            all.blocks.to_mut()[index] = filled;
        }
        all.pitches[index] = Some(found);
    }
    if faults.is_empty() { Ok(all) } else { Err(faults.into()) }
}

/// Whether a reading is of a face whose pitch is unknown.
fn is_of(reading: &SideReading, index: usize, block: &Block) -> bool {
    let side = reading.side;
    let stated = || block.rings.get(side.ring as usize)?.sides.get(side.side as usize);
    side.block.index() == index && stated().is_some_and(|side| side.role == BlockRole::EaveOfUnknownPitch)
}

/// Standard deviation of a pitch found from a ridge height or a rafter, radians: how far it moves with each of them.
fn by_lengths(job: &Job, block: &Block, found: Pitch, places: &Places) -> f64 {
    let at = |off: ReadingOff| refit::near(block, found, off, |trial| measure(job, trial, places));
    // By central differences, well within what the readings leave open.
    let moved = |off: &dyn Fn(f64) -> ReadingOff| match (at(off(STEP * pitch::TAPED)), at(off(-STEP * pitch::TAPED))) {
        (Some(up), Some(down)) => (up.radians() - down.radians()) / (2.0 * STEP),
        _ => 0.0,
    };
    let height = block.ridge_height.map_or(0.0, |_| moved(&|by| ReadingOff { ridge_height: by, rafter: 0.0 }));
    let rafter = block.rafter.map_or(0.0, |_| moved(&|by| ReadingOff { ridge_height: 0.0, rafter: by }));
    height.hypot(rafter)
}

/// The blocks with each unknown pitch found again near where it was found, for places and readings moved a little.
pub(super) fn fill_in_again<'a>(
    job: &Job,
    blocks: &'a [Block],
    found: &[Option<FoundPitch>],
    (readings, moved): (&[Reading], &[f64]),
    places: &[Places],
) -> Option<Cow<'a, [Block]>> {
    let mut all = Cow::Borrowed(blocks);
    for (index, found) in found.iter().enumerate() {
        let Some(mut found) = *found else { continue };
        let block = &blocks[index];
        let mut off = ReadingOff::default();
        for (reading, by) in readings.iter().zip(moved).filter(|(reading, _)| reading.block == index) {
            match reading.what {
                Read::RidgeHeight => off.ridge_height += by,
                Read::Rafter => off.rafter += by,
                Read::Pitch => found.read = found.read.map(|(pitch, sd)| (pitch + by, sd)),
            }
        }
        if let Some((known, sd)) = found.lengths {
            let again = refit::near(block, known, off, |trial| measure(job, trial, &places[index]))?;
            found.lengths = Some((again, sd));
        }
        let filled = pitch::with_pitch(block, found.pitch()?);
        all.to_mut()[index] = filled;
    }
    Some(all)
}

/// The ridge height and the taped rafter of a block by itself.
fn measure(job: &Job, block: &Block, places: &[Vec<Point2<f64>>]) -> Result<pitch::Trial, Failure> {
    let traced =
        outline::trace(std::slice::from_ref(block), &[places.to_vec()]).map_err(|error| fault::of(job, error))?;
    let options = roof::Options { tolerance: job.tolerance, join_gap: job.site.join_gap, steps: false };
    let roof = roof::solve(&traced.footprints, &options).map_err(|error| fault::of(job, error))?;
    let rafter = block.rafter.and_then(|(side, _)| {
        let name = &block.rings.get(side.ring as usize)?.sides.get(side.side as usize)?.name;
        framing::longest_rafter(&roof, &SideName::new(&block.name, name))
    });
    Ok(pitch::Trial { ridge_height: roof.ridge_height().unwrap_or(block.height), rafter })
}
