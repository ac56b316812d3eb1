//! The rules of laying and the jobs with closed forms, each a test named after it: `rule_01_…` to `rule_30_…`, `job_01_…` to
//! `job_10_…`. Rules of the trade are common practice, no source, unless one is named; the roofs are invented.

mod coverings;
mod jobs;
pub mod read;
mod rules_01_to_12;
mod rules_13_to_21;
mod rules_22_to_30;
mod valleys;

use super::solved;
use eavewright::roof::Roof;
use eavewright::takeoff::covering::margins;
use eavewright::takeoff::layout::{FaceLayout, LaidPiece};
use eavewright::takeoff::model::Covering;
use eavewright::takeoff::outline::{CoveredFace, Folds, cover};
use eavewright::takeoff::valleys::Valleys;
use solved::{area, codes, detail, message, near, quantity};
use support::one_face;

/// The faces of a roof as its covering covers them.
fn faces(roof: &Roof, covering: &Covering) -> Vec<CoveredFace> {
    let margins = margins(&covering.card);
    let valleys = Valleys::of(roof, &covering.card, &covering.laying, &margins);
    let folds = Folds { margins: &margins, hip: covering.laying.hip, valleys: &valleys };
    roof.roof_faces().filter_map(|(id, _)| cover(roof, id, &[], &folds)).collect()
}

fn placed(layout: &FaceLayout) -> usize {
    let counts = layout.counts();
    counts.whole + counts.cut + counts.from_offcuts
}

/// Left and right end of what is kept of a piece.
fn extent(piece: &LaidPiece) -> [f64; 2] {
    let u = || piece.parts.iter().flatten().map(|place| place.x);
    [u().fold(f64::INFINITY, f64::min), u().fold(f64::NEG_INFINITY, f64::max)]
}

/// Where two pieces of a course meet, in order.
fn joints(layout: &FaceLayout, course: usize) -> Vec<f64> {
    let mut kept: Vec<[f64; 2]> = layout.courses[course].pieces.iter().map(extent).collect();
    kept.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let meet = |pair: &[[f64; 2]]| ((pair[0][1] - pair[1][0]).abs() < 1e-6).then_some(pair[1][0]);
    kept.windows(2).filter_map(meet).collect()
}

/// Asserts that end joints of neighbouring courses stand 100 mm apart, and none over one of the course after next.
fn joints_keep_apart(layout: &FaceLayout, within_two: bool) {
    for course in 0..layout.courses.len() {
        let here = joints(layout, course);
        for (later, least) in [(1, 0.1 - 1e-6), (2, 1e-6)] {
            if course + later < layout.courses.len() && (later == 1 || within_two) {
                let there = joints(layout, course + later);
                for a in &here {
                    let nearest = there.iter().map(|b| (a - b).abs()).fold(f64::INFINITY, f64::min);
                    assert!(nearest >= least, "course {course}: a joint at {a}, {nearest} from one {later} courses on");
                }
            }
        }
    }
}
