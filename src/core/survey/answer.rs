//! From the minimum to what is told: places and faces with their uncertainty, tests, suspects.

use super::chi_square;
use super::covariance::Covariance;
use super::equation::{Equation, Source};
use super::gauge;
use super::held::{self, Loose};
use super::minimum::{Minimum, face_ring};
use super::model::Photo;
use super::next;
use super::observation::{Sources, Unit, unit};
use super::parting;
use super::quantity::{self, Quantity};
use super::reliability::{self, Check};
use super::report::{
    AdjustedFace, AdjustedPoint, LARGEST_SD, ObservationCheck, Report, Suspect, Undetermined, WhyOpen,
};
use super::sheet;
use super::sight::Sight;
use super::state::Pose;
use super::suspects::{self, Named};
use crate::base::ids::{PlaneId, PointId};

pub(super) fn report(minimum: &Minimum<'_>, covariance: &Covariance, sources: &Sources<'_>) -> Report {
    let network = minimum.network;
    let mut undetermined = Vec::new();
    if minimum.scaleless {
        undetermined.push(Undetermined::Size);
    }
    let points = points(minimum, covariance, &mut undetermined);
    let faces = faces(minimum, covariance, &mut undetermined);
    let mut checks = reliability::check(&network.weighted, &minimum.rows, covariance.cofactor());
    if let Some(only) = gauge::only_size(network) {
        checks[only] = checks[only].uncontrolled();
    }
    let rank = covariance.cofactor().rank;
    let dof = minimum.rows.len().saturating_sub(rank);
    let suspects::Found { named, tied } = suspects::find(network, minimum.state, &checks, minimum.cost);
    let parting = tied.and_then(|tied| parting::best(minimum, covariance, sources, &tied));
    let (area_sd, best_next) = next::best(minimum, covariance, parting).unwrap_or_default();
    let adjusted = !minimum.rows.is_empty();
    Report {
        points,
        faces,
        misclosures: misclosures(minimum),
        chi2: adjusted.then_some(minimum.cost),
        chi2_bounds: (adjusted && dof > 0).then(|| chi_square::bounds_95(dof)),
        dof,
        suspects: named.into_iter().map(|named| suspect(minimum, named, sources)).collect(),
        checks: checks.iter().map(|check| describe(minimum, check, sources)).collect(),
        best_next,
        area_sd,
        photos: sights(minimum),
        undetermined,
        choices: Vec::new(),
        swapped: None,
        repeated_photos: Vec::new(),
    }
}

fn sights(minimum: &Minimum<'_>) -> Vec<Option<Sight>> {
    let (network, state) = (minimum.network, minimum.state);
    let photos = network.survey.photos.iter().zip(&state.poses).zip(&network.layout.poses);
    let sight = |((photo, pose), used): ((&Photo, &Pose), &Option<usize>)| {
        used.map(|_| Sight { pose: *pose, lens: state.lenses[photo.camera], size: photo.size })
    };
    let mut sights: Vec<Option<Sight>> = photos.map(sight).collect();
    for (lies, &photo) in state.sheets.iter().zip(&network.sheets) {
        sights[photo] = Some(sheet::sight(lies, network.survey.photos[photo].size));
    }
    sights
}

fn misclosures(minimum: &Minimum<'_>) -> Vec<(String, f64)> {
    let mut list: Vec<(String, f64)> = Vec::new();
    for (ring, gap) in minimum.network.rings.iter().zip(&minimum.network.gaps) {
        let Some(gap) = *gap else { continue };
        match list.iter_mut().find(|entry| entry.0 == ring.block) {
            Some(entry) => entry.1 = entry.1.max(gap),
            None => list.push((ring.block.to_owned(), gap)),
        }
    }
    list
}

fn points(minimum: &Minimum<'_>, covariance: &Covariance, undetermined: &mut Vec<Undetermined>) -> Vec<AdjustedPoint> {
    let network = minimum.network;
    let mut list = Vec::new();
    for (index, point) in network.survey.points.iter().enumerate() {
        let at = minimum.state.places[network.point_place[index]];
        let first = covariance.point(index);
        let variances = [0, 1, 2].map(|k| covariance.variance(&[(first + k, 1.0)]));
        let sd = match variances {
            [Some(x), Some(y), Some(z)] => Some([x.sqrt(), y.sqrt(), z.sqrt()]),
            _ => None,
        };
        // Where the size alone is missing that is said once.
        let open = [0, 1, 2].map(|k| !covariance.has_shape(&[(first + k, 1.0)]));
        if open.contains(&true) {
            let marked = marked_in(minimum, index);
            undetermined.push(Undetermined::Point { point: PointId::new(index), open, marked });
        }
        list.push(AdjustedPoint { name: point.name.clone(), at, sd, located: sd.is_some() });
    }
    list
}

/// In how many photos, plans not among them, a point is marked; `None` where there are none.
fn marked_in(minimum: &Minimum<'_>, point: usize) -> Option<usize> {
    let mut photos = minimum.network.survey.photos.iter().filter(|photo| photo.sheet.is_none()).peekable();
    photos.peek()?;
    let shows = |photo: &&Photo| photo.marks.iter().any(|mark| mark.point.index() == point);
    Some(photos.filter(shows).count())
}

fn faces(minimum: &Minimum<'_>, covariance: &Covariance, undetermined: &mut Vec<Undetermined>) -> Vec<AdjustedFace> {
    let mut list = Vec::new();
    for (index, face) in minimum.network.survey.faces.iter().enumerate() {
        let ring = face_ring(minimum, covariance, index);
        let sd_of = |q: &Quantity| covariance.variance(&q.gradient).map(f64::sqrt);
        let (area, pitch) = (quantity::area(&ring), quantity::pitch(&ring));
        let (area_sd, pitch_sd) = (sd_of(&area), sd_of(&pitch));
        let pitch_sd = pitch_sd.filter(|&sd| held::is_pitch_held(pitch.value, sd));
        let fixes = || next::fixes(minimum, covariance, index);
        let answered = match area_sd {
            None => {
                let why = if covariance.has_shape(&area.gradient) { WhyOpen::NoSize } else { WhyOpen::NotFixed };
                undetermined.push(Undetermined::Area { face: PlaneId::new(index), why, fixes: fixes() });
                None
            }
            Some(sd) if sd > LARGEST_SD * area.value => {
                let why = WhyOpen::TooUncertain { area: area.value, sd };
                undetermined.push(Undetermined::Area { face: PlaneId::new(index), why, fixes: fixes() });
                None
            }
            Some(sd) => match held::loose_corner(minimum, covariance, index, [area.value, sd]) {
                Some(Loose { point, sd }) => {
                    let why = WhyOpen::LooseCorner { point: PointId::new(point), sd };
                    undetermined.push(Undetermined::Area { face: PlaneId::new(index), why, fixes: fixes() });
                    None
                }
                None => Some(sd),
            },
        };
        if pitch_sd.is_none() {
            undetermined.push(Undetermined::Pitch { face: PlaneId::new(index) });
        }
        list.push(AdjustedFace {
            name: face.name.clone(),
            area: answered.map(|_| area.value),
            area_sd: answered,
            pitch: pitch_sd.map(|_| pitch.value),
            pitch_sd,
        });
    }
    list
}

fn describe(minimum: &Minimum<'_>, check: &Check, sources: &Sources<'_>) -> ObservationCheck {
    let equation = &minimum.network.weighted[check.equation];
    let (unit, per_unit) = unit_of(minimum, equation);
    let scale = equation.sigma * per_unit;
    let controlled = check.smallest_detectable.is_finite();
    ObservationCheck {
        observation: sources.id(check.source),
        place: sources.place(check.source),
        residual: check.residual * scale,
        w: controlled.then_some(check.w),
        redundancy: check.redundancy,
        smallest_detectable: controlled.then_some(check.smallest_detectable * scale),
        unit,
    }
}

fn unit_of(minimum: &Minimum<'_>, equation: &Equation) -> (Unit, f64) {
    let focal = match equation.source {
        Source::Lens(camera, _) => minimum.state.lenses[camera].focal(),
        _ => 1.0,
    };
    unit(equation, focal)
}

fn suspect(minimum: &Minimum<'_>, Named { check, equation }: Named, sources: &Sources<'_>) -> Suspect {
    let (unit, per_unit) = unit_of(minimum, &equation);
    Suspect {
        observation: sources.id(check.source),
        place: sources.place(check.source),
        w: check.w,
        redundancy: check.redundancy,
        smallest_detectable: check.smallest_detectable * equation.sigma * per_unit,
        unit,
    }
}
