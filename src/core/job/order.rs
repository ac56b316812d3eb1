//! What to order for a solved job, and the same job compared at other pitches.

use super::answer::Answer;
use super::coverings;
use super::fault::Failure;
use super::model::Job;
use super::solve::{Ground, adjust};
use super::vary;
use crate::base::estimate::{Estimate, Reason};
use crate::base::finding::{Finding, Severity, plainly_shown};
use crate::base::ids::FaceId;
use crate::base::name::SideName;
use crate::base::units::Pitch;
use crate::framing::Piece;
use crate::framing::spec::Section;
use crate::framing::timber::TimberKind;
use crate::roof::analysis::drainage::Drainage;
use crate::roof::analysis::opening::CutOpening;
use crate::roof::analysis::turn;
use crate::roof::{EdgeKind, Face, Roof};
use crate::takeoff::answer::TakeOff;
use crate::takeoff::compare::{self, CompareInput, Trial};
use crate::takeoff::model::ValleyMethod;
use crate::takeoff::parts::{self, Taken};
use crate::takeoff::repair::{self, RepairAnswer, RepairInput};
use crate::takeoff::timber_goods::TimberNeed;
use crate::takeoff::{self, TakeoffInput, finding};

/// The take-off of a solved job; of one whose measurements do not determine a roof face's area, an order of nothing that
/// says so.
#[must_use]
pub fn take_off(job: &Job, answer: &Answer) -> TakeOff {
    let open = |id: &FaceId| answer.area(*id).value().is_none();
    let faces: Vec<FaceId> = answer.roof.roof_faces().map(|(id, _)| id).filter(open).collect();
    if !faces.is_empty() {
        let area = Estimate::not_determined(Reason::PartNotDetermined);
        return TakeOff::nothing(area, vec![finding::Finding::AreaNotDetermined { faces }]);
    }
    let timbers = timber_needs(job, answer);
    let whole = Whole { roof: &answer.roof, drainage: &answer.drainage, openings: &answer.openings, timbers: &timbers };
    let sds = |faces: &[FaceId]| faces.iter().map(|&face| answer.area(face).sd()).sum();
    ordered(job, &whole, answer.totals().net_area.sd(), sds)
}

/// The job's repairs, and why some could not be worked out. `order` is the whole roof's take-off.
#[must_use]
pub fn repairs(job: &Job, answer: &Answer, order: &TakeOff) -> (Vec<RepairAnswer>, Vec<finding::Finding>) {
    let (mut answers, mut findings) = (Vec::new(), Vec::new());
    for repair in &job.repairs {
        let face = answer.roof.roof_faces().map(|(_, face)| face).find(|face| face.id.is(&repair.face));
        let covering = face.map_or(&job.covering, |face| job.covering_of(face));
        let input = RepairInput { roof: &answer.roof, covering, order };
        let (answer, found) = repair::repairs(&input, std::slice::from_ref(repair));
        answers.extend(answer);
        findings.extend(found);
    }
    (answers, findings)
}

/// A roof to take off.
struct Whole<'a> {
    roof: &'a Roof,
    drainage: &'a Drainage,
    openings: &'a [CutOpening],
    timbers: &'a [TimberNeed],
}

/// What timber a job's cutting plan buys; by the metre where no stock lengths are given. Boards along eaves and verges that the
/// card orders by itself are left to it.
fn timber_needs(job: &Job, answer: &Answer) -> Vec<TimberNeed> {
    let framing = &answer.framing;
    let ordered_by_card = job.covering.card.rain_goods.is_some();
    let counts = |piece: &Piece| !(ordered_by_card && piece.kind == TimberKind::Fascia);
    let size = |section: Section| [section.thickness, section.depth];
    let mut needs: Vec<TimberNeed> = Vec::new();
    if framing.plan.sticks.is_empty() {
        for piece in framing.pieces.iter().filter(|piece| counts(piece)) {
            let (section, count) = (size(piece.section), piece.count());
            #[allow(clippy::cast_precision_loss)]
            let cut = piece.length * count as f64;
            match needs.iter_mut().find(|need| need.section == section) {
                Some(need) => (need.cut, need.pieces) = (need.cut + cut, need.pieces + count),
                None => needs.push(TimberNeed { section, length: None, count: 0, cut, pieces: count }),
            }
        }
        return needs;
    }
    for stick in &framing.plan.sticks {
        if !stick.pieces.iter().any(|piece| counts(&framing.pieces[*piece])) {
            continue;
        }
        let (section, length) = (size(stick.section), Some(stick.length));
        let cut = stick.length - stick.left;
        match needs.iter_mut().find(|need| need.section == section && need.length == length) {
            Some(need) => {
                need.count += 1;
                need.cut += cut;
                need.pieces += stick.pieces.len();
            }
            None => needs.push(TimberNeed { section, length, count: 1, cut, pieces: stick.pieces.len() }),
        }
    }
    needs
}

/// The take-off of a roof, building by building where blocks have coverings of their own. `sds` gives how unsure the area of
/// some faces is.
fn ordered(job: &Job, whole: &Whole, area_sd: Option<f64>, sds: impl Fn(&[FaceId]) -> Option<f64>) -> TakeOff {
    let usual = TakeoffInput {
        roof: whole.roof,
        drainage: whole.drainage,
        openings: whole.openings,
        covering: &job.covering,
        timbers: whole.timbers,
        wind_from: job.site.wind_from,
        north: job.site.north,
        area_sd,
    };
    if job.block_coverings.is_empty() {
        return takeoff::take_off(&usual);
    }
    let total = whole.roof.total_area().0;
    let taken = |part: coverings::Part| {
        let (roof, openings) = parts::part(whole.roof, whole.openings, &part.faces);
        let mut covering = part.covering.clone();
        // A ceiling and a van are the whole job's.
        covering.laying.ceiling = covering.laying.ceiling.map(|ceiling| ceiling * roof.total_area().0 / total);
        if part.meets_another {
            covering.laying.valley = ValleyMethod::Open;
        }
        let area_sd = area_sd.and_then(|_| sds(&part.faces));
        let input = TakeoffInput { roof: &roof, openings: &openings, covering: &covering, area_sd, ..usual };
        let card = [covering.card.name.clone(), covering.card.title.clone()];
        Taken { names: part.names, card, order: takeoff::take_off(&input) }
    };
    parts::together(coverings::parts(job, whole.roof).into_iter().map(taken).collect(), &job.covering.prices)
}

/// Why pitches cannot be compared.
#[derive(Clone, Debug, PartialEq)]
pub enum CompareError {
    /// There is no eave to turn about: the roof is given by points whose lowest edges are not level.
    NoEaves,
    /// A side that is not there, or is no eave.
    NotAnEave(SideName),
    /// The measurements themselves give no answer.
    Job(Failure),
    /// No pitch gives the height asked for, metres.
    NoSuchRidge(f64),
}

plainly_shown!(CompareError);

impl From<Failure> for CompareError {
    fn from(failure: Failure) -> Self {
        Self::Job(failure)
    }
}

impl Finding for CompareError {
    fn code(&self) -> &'static str {
        "not-comparable"
    }

    fn severity(&self) -> Severity {
        Severity::Stop
    }

    fn values(&self) -> Vec<(&'static str, f64)> {
        match self {
            Self::NoSuchRidge(height) => vec![("ridge_height", *height)],
            Self::NoEaves | Self::NotAnEave(_) | Self::Job(_) => Vec::new(),
        }
    }
}

/// A job at one pitch, with what is wrong where it has no answer there.
pub type Row = compare::Row<Failure>;

/// The job at each pitch. `only` names (block, side) pairs; empty means every eave.
/// O(pitches × solve).
///
/// # Errors
/// [`CompareError`]: nothing to turn.
pub fn compare(job: &Job, only: &[SideName], pitches: &[Pitch]) -> Result<Vec<Row>, CompareError> {
    let (ground, present) = check(job, only)?;
    let order = |trial: &Trial, drainage: &Drainage| {
        let whole = Whole { roof: &trial.roof, drainage, openings: &trial.openings, timbers: &[] };
        ordered(job, &whole, None, |_| None)
    };
    let input = CompareInput { take_off: &order, limits: job.limits, present: &present };
    Ok(compare::compare(pitches, &input, |pitch| trial(job, &ground, only, pitch)))
}

/// The pitch at which the highest point lies `height` metres above datum.
///
/// # Errors
/// [`CompareError`]: nothing to turn, or no such pitch.
pub fn pitch_for_ridge(job: &Job, only: &[SideName], height: f64) -> Result<Pitch, CompareError> {
    let (ground, _) = check(job, only)?;
    compare::pitch_for_ridge(height, |pitch| trial(job, &ground, only, pitch)).ok_or(CompareError::NoSuchRidge(height))
}

/// The adjusted places, and the pitches of what would be turned, each once, radians.
fn check(job: &Job, only: &[SideName]) -> Result<(Ground, Vec<f64>), CompareError> {
    let missing = only.iter().find(|pair| !vary::has_eaves(job, std::slice::from_ref(pair)));
    if let Some(side) = missing {
        return Err(CompareError::NotAnEave(side.clone()));
    }
    let has_points = turns_points(job, only);
    if !has_points && !vary::has_eaves(job, only) {
        return Err(CompareError::NoEaves);
    }
    let ground = adjust(job)?;
    // Where the roof as it is has no answer, another pitch may have one.
    let roof = match ground.roof_of(job, None) {
        Ok((roof, _)) => roof,
        Err(failure) if has_points && job.blocks.is_empty() => return Err(failure.into()),
        Err(_) => return Ok((ground, Vec::new())),
    };
    let turned = roof.roof_faces().map(|(_, face)| face).filter(|face| is_turned(job, &roof, face, only));
    let mut present: Vec<f64> = Vec::new();
    for pitch in turned.map(|face| face.plane.pitch()) {
        if present.iter().all(|other| (other - pitch).abs() > ALIKE) {
            present.push(pitch);
        }
    }
    if present.is_empty() && !vary::has_eaves(job, only) {
        return Err(CompareError::NoEaves);
    }
    present.sort_by(f64::total_cmp);
    Ok((ground, present))
}

/// Pitches within this are told as one, radians: a twentieth of a degree.
const ALIKE: f64 = 0.05 * std::f64::consts::PI / 180.0;

/// Faces by points turn with everything else, not where sides are named.
fn turns_points(job: &Job, only: &[SideName]) -> bool {
    only.is_empty() && !job.survey.faces.is_empty()
}

/// Whether a face changes with the pitch: it rises from an eave that is turned.
fn is_turned(job: &Job, roof: &Roof, face: &Face, only: &[SideName]) -> bool {
    let Some(block) = face.block() else { return turns_points(job, only) && turn::has_eave(roof, face) };
    let has_eave = face.edges.iter().any(|id| roof.edges[id.index()].kind == EdgeKind::Eave);
    let is_dormer = job.dormers.iter().any(|dormer| dormer.name == *block);
    has_eave && !is_dormer && (only.is_empty() || only.iter().any(|side| face.is_of(side)))
}

/// The roof at one pitch, on places adjusted once for all.
fn trial(job: &Job, ground: &Ground, only: &[SideName], pitch: Pitch) -> Result<Trial, Failure> {
    let faces_at = turns_points(job, only).then_some(pitch);
    let job = vary::at_pitch(job, only, pitch);
    let (roof, openings) = ground.roof_of(&job, faces_at)?;
    Ok(Trial { roof, openings })
}
