//! Straight runs of edges, and how many pieces of a stock length they take.

use crate::base::ids::EdgeId;
use crate::base::tolerance;
use crate::roof::{EdgeKind, FaceKind, Roof};
use nalgebra::Point3;

/// Edges in one line that touch, taken as one.
#[derive(Clone, Debug, PartialEq)]
pub struct SlopeRun {
    /// Lower end; of a level run the one first in the file.
    pub from: Point3<f64>,
    /// Upper end.
    pub to: Point3<f64>,
    /// The edges in it.
    pub edges: Vec<EdgeId>,
}

impl SlopeRun {
    /// Length along it, metres.
    #[must_use]
    pub fn length(&self) -> f64 {
        (self.to - self.from).norm()
    }
}

/// All straight runs of a kind that border a roof face, each from its lower end. O(n²) for n edges of the kind.
#[must_use]
pub fn straight(roof: &Roof, kind: EdgeKind) -> Vec<SlopeRun> {
    let mut runs: Vec<SlopeRun> = roof
        .edges
        .iter()
        .enumerate()
        .filter(|(_, edge)| edge.kind == kind)
        // The roof face is first; of a part of a roof an edge between two parts belongs to the one that has its first face.
        .filter(|(_, edge)| edge.faces.first().is_some_and(|face| roof.faces[face.index()].kind == FaceKind::Roof))
        .map(|(index, edge)| SlopeRun {
            from: roof.at(edge.from),
            to: roof.at(edge.to),
            edges: vec![EdgeId::new(index)],
        })
        .collect();
    let mut index = 0;
    while index < runs.len() {
        let joined = (index + 1..runs.len()).find_map(|other| join(&runs[index], &runs[other]).map(|run| (other, run)));
        match joined {
            Some((other, run)) => {
                runs[index] = run;
                runs.remove(other);
            }
            None => index += 1,
        }
    }
    for run in &mut runs {
        if run.to.z < run.from.z - tolerance::SMALLEST {
            std::mem::swap(&mut run.from, &mut run.to);
        }
    }
    runs
}

/// The two as one where an end of one is an end of the other and both lie in one line.
fn join(a: &SlopeRun, b: &SlopeRun) -> Option<SlopeRun> {
    let touches = |p: &Point3<f64>, q: &Point3<f64>| (p - q).norm() < tolerance::SMALLEST;
    let [(from, middle), (_, to)] = [
        [(a.from, a.to), (b.from, b.to)],
        [(a.from, a.to), (b.to, b.from)],
        [(a.to, a.from), (b.from, b.to)],
        [(a.to, a.from), (b.to, b.from)],
    ]
    .into_iter()
    .find(|[(_, end), (start, _)]| touches(end, start))?;
    let (first, second) = (middle - from, to - middle);
    let in_line = first.dot(&second) > 0.0
        && first.cross(&second).norm() <= tolerance::SMALLEST * first.norm().max(second.norm());
    in_line.then(|| SlopeRun { from, to, edges: a.edges.iter().chain(&b.edges).copied().collect() })
}

/// How many stock pieces the runs take, ends lapped; what is left of a run's last piece serves as the last piece of later
/// ones as long as it is long enough and at least `shortest` (rule of the trade: 300 mm; common practice, no source).
/// O(runs × left over).
#[must_use]
pub fn pieces(lengths: &[f64], piece: f64, lap: f64, shortest: f64) -> u32 {
    let mut left: Vec<f64> = Vec::new();
    let mut count = 0;
    for &length in lengths.iter().filter(|length| **length > tolerance::SMALLEST) {
        let before_last = before_last(length, piece, lap);
        let last = length - before_last * (piece - lap);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let whole = before_last as u32;
        count += whole;
        let fits = left.iter().enumerate().filter(|(_, rest)| **rest >= last - tolerance::SMALLEST);
        if let Some((index, _)) = fits.min_by(|a, b| a.1.total_cmp(b.1)) {
            let rest = left.remove(index) - last;
            if rest >= shortest {
                left.push(rest);
            }
        } else {
            count += 1;
            if piece - last >= shortest {
                left.push(piece - last);
            }
        }
    }
    count
}

/// Length of stock that the runs take up, laps counted, metres: what is bought less this is left over.
#[must_use]
pub fn used(lengths: &[f64], piece: f64, lap: f64) -> f64 {
    lengths
        .iter()
        .filter(|length| **length > tolerance::SMALLEST)
        .map(|length| length + before_last(*length, piece, lap) * lap)
        .sum()
}

/// Pieces of a run before its last one: each gives its length less the lap.
fn before_last(length: f64, piece: f64, lap: f64) -> f64 {
    ((length - lap - tolerance::SMALLEST) / (piece - lap)).ceil().max(1.0) - 1.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pieces_are_counted_by_the_run_and_laps_are_not_forgotten() {
        // ceil((L - 50) / (piece - 50)) a run: 9.2 m in 2 m pieces is 5, where plain division says 4.6.
        assert_eq!(pieces(&[9.2], 2.0, 0.05, 0.3), 5);
        assert_eq!(pieces(&[3.95], 2.0, 0.05, 0.3), 2);
        assert_eq!(pieces(&[3.96], 2.0, 0.05, 0.3), 3);
        assert_eq!(pieces(&[], 2.0, 0.05, 0.3), 0);
    }

    #[test]
    fn what_is_left_of_a_run_serves_a_later_one() {
        // 2.5 m takes a whole piece and 0.55 m of a second; the 1.45 m left are the last piece of 3.3 m (1.95 + 1.35).
        assert_eq!(pieces(&[2.5, 3.3], 2.0, 0.05, 0.3), 3);
        assert_eq!(pieces(&[2.5, 3.5], 2.0, 0.05, 0.3), 4);
        // Of 3 m boards one gives four ends of 0.7 m: 3.7 m four times takes four whole ones and that.
        assert_eq!(pieces(&[3.7; 4], 3.0, 0.0, 0.3), 5);
        // One lap in each run.
        assert!((used(&[2.5, 3.3], 2.0, 0.05) - 5.9).abs() < 1e-12);
    }
}
