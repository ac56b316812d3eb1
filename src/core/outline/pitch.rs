//! Pitches that were not measured: found from the ridge height or from a rafter taped along the slope.

use super::block::{Block, BlockRole};
use super::finding::{Finding, Held};
use super::footprint::Role;
use crate::base::finding::{self, Severity, plainly_shown};
use crate::base::name::SideName;
use crate::base::place::Place;
use crate::base::units::Pitch;

pub use super::finding::TAPED;

/// Slopes tried, as rise over run: 0.6° to 87°, in steps of about a tenth.
const FLATTEST: f64 = 0.01;
const STEEPEST: f64 = 20.0;
const STEPS: u32 = 80;

/// What a trial roof measures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trial {
    /// Its highest point above datum, metres.
    pub ridge_height: f64,
    /// Length along the slope from the eave of the taped side to the ridge, metres; `None` where that face has none.
    pub rafter: Option<f64>,
}

/// What was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Resolved {
    /// The block with every unknown pitch filled in.
    pub block: Block,
    /// The pitch.
    pub pitch: Pitch,
    /// The pitch stated, with what is left over of each measurement.
    pub finding: Finding,
}

/// Why no pitch was found. Metres and radians.
#[derive(Clone, Debug, PartialEq)]
pub enum PitchError {
    /// Neither a ridge height nor a rafter is given.
    NothingToGoBy {
        /// The block's name.
        block: String,
    },
    /// No pitch gives what was measured.
    OutOfReach {
        /// The block's name.
        block: String,
        /// What was measured.
        what: Measure,
        /// As measured.
        wanted: f64,
        /// The least any pitch gives.
        least: f64,
        /// The most any pitch gives.
        most: f64,
    },
    /// Two pitches give the rafter.
    Ambiguous {
        /// The block's name.
        block: String,
        /// What was measured.
        what: Measure,
        /// As measured.
        wanted: f64,
        /// The flattest and the steepest.
        pitches: [f64; 2],
    },
}

plainly_shown!(PitchError);

/// What a pitch may be found from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// The block's highest point above datum.
    RidgeHeight,
    /// A rafter taped along the slope.
    Rafter,
}

/// Why a block's pitch stays unknown. `E` is the error of a trial.
#[derive(Clone, Debug, PartialEq)]
pub enum Unresolved<E> {
    /// What was measured gives none.
    Pitch(PitchError),
    /// No trial roof could be solved.
    Trial(E),
}

impl<E> From<PitchError> for Unresolved<E> {
    fn from(error: PitchError) -> Self {
        Self::Pitch(error)
    }
}

impl finding::Finding for PitchError {
    fn code(&self) -> &'static str {
        "pitch-not-found"
    }

    fn severity(&self) -> Severity {
        Severity::Stop
    }

    fn values(&self) -> Vec<(&'static str, f64)> {
        match self {
            Self::NothingToGoBy { .. } => Vec::new(),
            Self::OutOfReach { wanted, least, most, .. } => {
                vec![("measured", *wanted), ("least", *least), ("most", *most)]
            }
            Self::Ambiguous { wanted, pitches, .. } => {
                let pitches = pitches.map(|pitch| ("pitch", pitch.to_degrees()));
                std::iter::once(("measured", *wanted)).chain(pitches).collect()
            }
        }
    }
}

impl PitchError {
    /// Where in the job the error stands.
    #[must_use]
    pub fn places(&self) -> Vec<Place> {
        let (Self::NothingToGoBy { block } | Self::OutOfReach { block, .. } | Self::Ambiguous { block, .. }) = self;
        vec![Place::Block(block.clone())]
    }
}

/// Whether a block has sides whose pitch was not measured.
#[must_use]
pub fn is_unknown(block: &Block) -> bool {
    block.rings.iter().flat_map(|ring| &ring.sides).any(|side| side.role == BlockRole::EaveOfUnknownPitch)
}

/// The block with one pitch for all its unknown sides.
#[must_use]
pub(crate) fn with_pitch(block: &Block, pitch: Pitch) -> Block {
    let mut block = block.clone();
    for side in block.rings.iter_mut().flat_map(|ring| &mut ring.sides) {
        if side.role == BlockRole::EaveOfUnknownPitch {
            side.role = BlockRole::Known(Role::Eave { pitch, breaks: Vec::new() });
        }
    }
    block
}

/// Finds the one pitch of a block's unknown sides. `trial` solves the block with a pitch filled in and measures it.
///
/// The range of pitches is scanned for places where the measurement is passed, and each is closed in on by the
/// Illinois form of false position (Dowell and Jarratt, BIT 11, 1971), which is exact at once where the measure is
/// linear in the slope, as a ridge height mostly is. With both a ridge height and a rafter, the pitch with the least
/// sum of squares is taken ([`TAPED`] for each) and both differences are reported. About 100 to 150 trials.
///
/// # Errors
/// [`Unresolved`]: nothing to go by, out of reach, two answers, or a trial's own error when no trial can be solved.
pub fn resolve<E>(block: &Block, mut trial: impl FnMut(&Block) -> Result<Trial, E>) -> Result<Resolved, Unresolved<E>> {
    let name = || block.name.clone();
    let rafter = block.rafter.map(|(_, length)| length);
    if block.ridge_height.is_none() && rafter.is_none() {
        return Err(PitchError::NothingToGoBy { block: name() }.into());
    }
    let mut last_error = None;
    let mut measure = |tangent: f64| -> Option<Trial> {
        let pitch = Pitch::from_rise_over_run(tangent, 1.0).ok()?;
        trial(&with_pitch(block, pitch)).map_err(|error| last_error = Some(error)).ok()
    };
    let ratio = (STEEPEST / FLATTEST).powf(1.0 / f64::from(STEPS));
    let scanned: Vec<(f64, Trial)> = (0..=STEPS)
        .map(|step| FLATTEST * ratio.powf(f64::from(step)))
        .filter_map(|tangent| Some((tangent, measure(tangent)?)))
        .collect();
    let found = match (block.ridge_height, rafter) {
        (Some(height), None) => single(&scanned, Measure::RidgeHeight, height, |t| Some(t.ridge_height), &mut measure),
        (None, Some(length)) => single(&scanned, Measure::Rafter, length, |t| t.rafter, &mut measure),
        (Some(height), Some(length)) => Ok(both(&scanned, height, length, &mut measure)),
        (None, None) => Ok(None),
    };
    let end = match found {
        Ok(Some(tangent)) => measure(tangent).map(|trial| (tangent, trial)),
        Ok(None) => None,
        Err(Missed::OutOfReach { what, wanted, least, most }) => {
            return Err(PitchError::OutOfReach { block: name(), what, wanted, least, most }.into());
        }
        Err(Missed::Ambiguous { what, wanted, pitches }) => {
            return Err(PitchError::Ambiguous { block: name(), what, wanted, pitches }.into());
        }
    };
    let solved = end.and_then(|(tangent, trial)| Some((Pitch::from_rise_over_run(tangent, 1.0).ok()?, trial)));
    let Some((pitch, trial)) = solved else {
        return Err(match last_error {
            Some(error) => Unresolved::Trial(error),
            None => PitchError::NothingToGoBy { block: name() }.into(),
        });
    };
    let finding = found_from(block, pitch, &trial);
    Ok(Resolved { block: with_pitch(block, pitch), pitch, finding })
}

enum Missed {
    OutOfReach { what: Measure, wanted: f64, least: f64, most: f64 },
    Ambiguous { what: Measure, wanted: f64, pitches: [f64; 2] },
}

/// The slope at which one measure is met.
fn single(
    scanned: &[(f64, Trial)],
    what: Measure,
    wanted: f64,
    of: impl Fn(&Trial) -> Option<f64>,
    measure: &mut impl FnMut(f64) -> Option<Trial>,
) -> Result<Option<f64>, Missed> {
    let values: Vec<(f64, f64)> = scanned.iter().filter_map(|(t, trial)| Some((*t, of(trial)? - wanted))).collect();
    let mut roots: Vec<f64> = Vec::new();
    for pair in values.windows(2) {
        let ((low, below), (high, above)) = (pair[0], pair[1]);
        if below == 0.0 || (below < 0.0) != (above < 0.0) {
            let excess = |t: f64| measure(t).and_then(|trial| of(&trial)).map(|value| value - wanted);
            roots.extend(false_position((low, below), (high, above), excess));
        }
    }
    let least = values.iter().map(|(_, excess)| excess + wanted).reduce(f64::min);
    let most = values.iter().map(|(_, excess)| excess + wanted).reduce(f64::max);
    match (roots.as_slice(), least, most) {
        ([], Some(least), Some(most)) => Err(Missed::OutOfReach { what, wanted, least, most }),
        ([], _, _) => Ok(None),
        ([one], ..) => Ok(Some(*one)),
        ([one, .., two], ..) => Err(Missed::Ambiguous { what, wanted, pitches: [one.atan(), two.atan()] }),
    }
}

/// Closes in on the zero between two slopes of different sign. `None` when a trial on the way fails.
fn false_position(low: (f64, f64), high: (f64, f64), mut excess: impl FnMut(f64) -> Option<f64>) -> Option<f64> {
    let (mut a, mut b) = (low, high);
    for _ in 0..100 {
        if a.1 == 0.0 {
            return Some(a.0);
        }
        let t = b.0 - b.1 * (b.0 - a.0) / (b.1 - a.1);
        let value = excess(t)?;
        let step = (t - b.0).abs();
        if (value < 0.0) == (b.1 < 0.0) {
            a.1 /= 2.0;
        } else {
            a = b;
        }
        b = (t, value);
        if value == 0.0 || step <= 4.0 * f64::EPSILON * t {
            break;
        }
    }
    Some(b.0)
}

/// The slope with the least sum of squared differences of both measures.
fn both(
    scanned: &[(f64, Trial)],
    height: f64,
    length: f64,
    measure: &mut impl FnMut(f64) -> Option<Trial>,
) -> Option<f64> {
    let cost = |trial: &Trial| {
        let rafter = trial.rafter.map_or(0.0, |rafter| rafter - length);
        (trial.ridge_height - height).powi(2) + rafter.powi(2)
    };
    let costs: Vec<(f64, f64)> = scanned.iter().map(|(t, trial)| (*t, cost(trial))).collect();
    let best = (0..costs.len()).min_by(|&a, &b| costs[a].1.total_cmp(&costs[b].1))?;
    // Golden section between the neighbours of the best.
    let mut low = costs[best.saturating_sub(1)].0;
    let mut high = costs[(best + 1).min(costs.len() - 1)].0;
    let golden = f64::midpoint(5.0_f64.sqrt(), -1.0);
    let at =
        |t: f64, measure: &mut dyn FnMut(f64) -> Option<Trial>| measure(t).map_or(f64::INFINITY, |trial| cost(&trial));
    let (mut left, mut right) = (high - golden * (high - low), low + golden * (high - low));
    let (mut left_cost, mut right_cost) = (at(left, measure), at(right, measure));
    while high - low > f64::EPSILON.sqrt() * high {
        if left_cost <= right_cost {
            (high, right, right_cost) = (right, left, left_cost);
            left = high - golden * (high - low);
            left_cost = at(left, measure);
        } else {
            (low, left, left_cost) = (left, right, right_cost);
            right = low + golden * (high - low);
            right_cost = at(right, measure);
        }
    }
    Some(f64::midpoint(low, high))
}

fn found_from(block: &Block, pitch: Pitch, trial: &Trial) -> Finding {
    let sides = block.rings.iter().flat_map(|ring| &ring.sides);
    let unknown = sides.filter(|side| side.role == BlockRole::EaveOfUnknownPitch);
    Finding::PitchFound {
        block: block.name.as_str().into(),
        sides: unknown.map(|side| SideName::new(&block.name, &side.name)).collect(),
        pitch: pitch.radians(),
        ridge_height: block.ridge_height.map(|read| Held { read, over: trial.ridge_height - read }),
        rafter: block.rafter.and_then(|(_, read)| Some(Held { read, over: trial.rafter? - read })),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used)]
    use super::super::block::{BlockRing, BlockSide, OutlineDatum, Placement};
    use super::*;
    use crate::base::finding::Finding as _;
    use crate::base::ids::{BlockId, SideId};
    use crate::survey::model::MeasuredRing;
    use nalgebra::Point2;

    fn block(ridge_height: Option<f64>, rafter: Option<f64>) -> Block {
        let places = [(0.0, 0.0), (8.0, 0.0), (8.0, 6.0), (0.0, 6.0)].map(|(x, y)| Point2::new(x, y));
        let side = |name: &str, role| BlockSide { name: name.to_owned(), height: 2.4, role };
        let sides = vec![
            side("A", BlockRole::EaveOfUnknownPitch),
            side("B", BlockRole::Known(Role::Verge)),
            side("C", BlockRole::EaveOfUnknownPitch),
            side("D", BlockRole::Known(Role::Verge)),
        ];
        Block {
            name: "store".to_owned(),
            height: 2.4,
            placement: Placement::At { start: Point2::origin(), heading: 0.0 },
            rings: vec![BlockRing {
                measured: MeasuredRing::Places(places.to_vec()),
                sides,
                start: Point2::origin(),
                heading: 0.0,
            }],
            datum: OutlineDatum::Eaves { inside: 0.0 },
            ridge_height,
            rafter: rafter.map(|length| (SideId { block: BlockId::new(0), ring: 0, side: 0 }, length)),
            square_up: false,
            take_over: crate::outline::TakesOver::Flatter,
        }
    }

    fn tangent(block: &Block) -> f64 {
        match &block.rings[0].sides[0].role {
            BlockRole::Known(Role::Eave { pitch, .. }) => pitch.tangent(),
            _ => panic!("not filled in"),
        }
    }

    /// A gable of half width 3 above an eave at 2.4, in the form of a trial that may fail.
    #[allow(clippy::unnecessary_wraps)]
    fn gable(block: &Block) -> Result<Trial, String> {
        let t = tangent(block);
        Ok(Trial { ridge_height: 2.4 + 3.0 * t, rafter: Some(3.0 * t.hypot(1.0)) })
    }

    #[test]
    fn a_ridge_height_or_a_rafter_gives_the_pitch() {
        let by_height = resolve(&block(Some(2.4 + 3.0 * 0.75), None), gable).unwrap();
        assert!((by_height.pitch.tangent() - 0.75).abs() < 1e-14);
        let by_rafter = resolve(&block(None, Some(3.75)), gable).unwrap();
        assert!((by_rafter.pitch.tangent() - 0.75).abs() < 1e-13);
        assert!(!is_unknown(&by_rafter.block));
    }

    #[test]
    fn both_are_adjusted_and_the_difference_is_said() {
        let resolved = resolve(&block(Some(2.4 + 3.0 * 0.75 + 0.02), Some(3.75)), gable).unwrap();
        // Least squares: minimise (3t - 2.27)² + (3 sqrt(1 + t²) - 3.75)².
        let slope = |t: f64| 3.0 * (3.0 * t - 2.27) + 3.0 * t / t.hypot(1.0) * (3.0 * t.hypot(1.0) - 3.75);
        let t = resolved.pitch.tangent();
        assert!(t > 0.75 && t < 0.757 && slope(t).abs() < 1e-6, "{t}");
        assert_eq!(resolved.finding.code(), "pitch-found");
        let Finding::PitchFound { ridge_height: Some(height), rafter: Some(rafter), .. } = resolved.finding else {
            panic!("found from both")
        };
        assert!((height.over + 0.005).abs() < 0.0005 && (rafter.over - 0.009).abs() < 0.0005, "{height:?} {rafter:?}");
        let apart = resolve(&block(Some(5.4), Some(3.75)), gable).unwrap();
        assert_eq!(apart.finding.code(), "pitch-measurements-disagree");
        assert!(apart.finding.readings_disagree());
    }

    #[test]
    fn what_no_pitch_gives_is_refused() {
        let short = resolve(&block(None, Some(2.9)), gable);
        assert!(
            matches!(short, Err(Unresolved::Pitch(PitchError::OutOfReach { what: Measure::Rafter, .. }))),
            "{short:?}"
        );
        let nothing = resolve(&block(None, None), gable);
        assert!(matches!(nothing, Err(Unresolved::Pitch(PitchError::NothingToGoBy { .. }))));
        let failing = resolve(&block(Some(4.0), None), |_| Err::<Trial, _>("no roof"));
        assert!(matches!(failing, Err(Unresolved::Trial("no roof"))));
        // The far slope is 45° and known: the rafter W sqrt(1 + t²) / (t + 1) is met twice.
        let lopsided = |block: &Block| {
            let t = tangent(block);
            let run = 6.0 / (t + 1.0);
            Ok::<_, String>(Trial { ridge_height: 2.4 + run * t, rafter: Some(run * t.hypot(1.0)) })
        };
        let twice = resolve(&block(None, Some(4.5)), lopsided);
        assert!(matches!(twice, Err(Unresolved::Pitch(PitchError::Ambiguous { .. }))), "{twice:?}");
        let told =
            resolve(&block(Some(2.4 + 6.0 * 0.5 / 1.5), Some(6.0 * 0.5_f64.hypot(1.0) / 1.5)), lopsided).unwrap();
        assert!((told.pitch.tangent() - 0.5).abs() < 1e-6);
    }
}
