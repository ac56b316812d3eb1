//! What the equations at the minimum say about the unknowns: their covariance, and the directions in which they
//! could move without any observation noticing.

use super::inverse::{Inverse, MOST_IN_FULL};
use super::rows::Rows;
use super::skyline::{Pattern, Skyline};
use nalgebra::{DMatrix, DVector, Matrix3};
use smallvec::SmallVec;

/// Covariance of the unknowns, and the null space of the equations.
#[derive(Clone, Debug)]
pub struct Cofactor {
    /// Covariance of what is determined.
    covariance: Inverse,
    /// Directions not determined, orthonormal in columns scaled by `scale`, one a column.
    pub null: DMatrix<f64>,
    /// Length of each column of the equations: the unit the null space is measured in.
    pub scale: Vec<f64>,
    /// Number of unknowns that are determined.
    pub rank: usize,
}

/// A singular value below this part of the largest one is rounding: the derivatives of the longest chain of
/// operations (a mark) carry some 10³ roundings of 10⁻¹⁶, a column of them somewhat more.
const RANK_TOLERANCE: f64 = 1e-11;
/// The normal matrix holds the squares of singular values: its factor is trusted while the smallest pivot is well
/// above the rounding of squares.
const SMALLEST_PIVOT: f64 = 1e-9;
/// Pivots that large are never held: a diagonal is 1.
const LARGEST_PIVOT: f64 = 1e-2;
/// Turns in which a direction that a held unknown leaves is found.
const REFINEMENTS: usize = 3;
/// A quantity whose gradient, scaled to length 1, has more than this in the null space is not determined.
const NULL_PART: f64 = 1e-6;
/// Above this many unknowns singular values of the whole take seconds: there the equations are rotated into a factor, and
/// where that shows directions which are not determined, unknowns with small pivots are held and the directions that this
/// leaves are looked at.
const MOST_FOR_SVD: usize = MOST_IN_FULL;
/// A smallest singular value above this times [`RANK_TOLERANCE`] is known to several digits.
const WELL_ABOVE: f64 = 1e3;
/// Turns in which the smallest singular value is found to a digit or two.
const INVERSE_TURNS: usize = 4;

impl Cofactor {
    /// Analyses weighted equations. A factor of the normal matrix where that is well conditioned (O(n² b) for a mean
    /// bandwidth b), else the singular values of the equations in columns scaled to length 1 (O(m n²)).
    #[must_use]
    pub fn new(rows: &Rows) -> Self {
        let scale: Vec<f64> =
            rows.column_lengths().iter().map(|&length| if length > 0.0 { length } else { 1.0 }).collect();
        Self::by_factor(rows, &scale).unwrap_or_else(|| {
            if rows.unknowns <= MOST_FOR_SVD {
                Self::by_singular_values(rows, &scale)
            } else {
                Self::by_rotations(rows, &scale).unwrap_or_else(|| Self::by_pivots(rows, &scale))
            }
        })
    }

    fn by_factor(rows: &Rows, scale: &[f64]) -> Option<Self> {
        let count = rows.unknowns;
        let pattern = Pattern::new(rows);
        let factor = Skyline::normal(&pattern, rows, scale).factor(0.0)?;
        if factor.smallest_pivot() < SMALLEST_PIVOT {
            return None;
        }
        let factor = factor.into_values();
        let covariance = Inverse::new(pattern, factor, &[]);
        // Pivots bound the smallest eigenvalue from above only; the largest of the inverse tells.
        let trace = covariance.trace();
        if !trace.is_finite() || trace * SMALLEST_PIVOT >= 1.0 {
            return None;
        }
        Some(Self { covariance, null: DMatrix::zeros(count, 0), scale: scale.to_vec(), rank: count })
    }

    /// A factor of the equations by rotations of their rows; `None` where some direction is not determined, or nearly so.
    /// A long walk is of this kind: it bends as a beam does, the more easily the longer it is. O(m b²); what is asked of the
    /// covariance then takes O(n b) each.
    fn by_rotations(rows: &Rows, scale: &[f64]) -> Option<Self> {
        let count = rows.unknowns;
        let pattern = Pattern::new(rows);
        let factor = Skyline::orthogonal(&pattern, rows, scale);
        let least = (count as f64).sqrt() * RANK_TOLERANCE * WELL_ABOVE;
        if factor.smallest_pivot() <= least * least {
            return None;
        }
        // Inverse iteration from a vector that no direction of the equations is square to but by chance.
        let mut vector: Vec<f64> = (0..count).map(|k| (1.0 + k as f64).sin()).collect();
        for _ in 0..INVERSE_TURNS {
            let length = vector.iter().map(|v| v * v).sum::<f64>().sqrt();
            vector = factor.solve(&vector.iter().map(|v| v / length).collect::<Vec<f64>>());
        }
        let largest = vector.iter().map(|v| v * v).sum::<f64>().sqrt();
        if !largest.is_finite() || largest * least * least >= 1.0 {
            return None;
        }
        let factor = factor.into_values();
        let covariance = Inverse::Halves { pattern, factor };
        Some(Self { covariance, null: DMatrix::zeros(count, 0), scale: scale.to_vec(), rank: count })
    }

    fn by_singular_values(rows: &Rows, scale: &[f64]) -> Self {
        let count = rows.unknowns;
        // At least as many lines as columns, so that the decomposition spans every direction.
        let mut dense = DMatrix::zeros(rows.len().max(count), count);
        for (line, (columns, slopes)) in rows.iter().enumerate() {
            for (&column, slope) in columns.iter().zip(slopes) {
                dense[(line, column)] = slope / scale[column];
            }
        }
        let triangle = if dense.nrows() > count { dense.qr().r() } else { dense };
        let decomposition = triangle.svd(false, true);
        let values = decomposition.singular_values;
        let turned = decomposition.v_t.unwrap_or_else(|| DMatrix::identity(count, count));
        let threshold = values.iter().copied().fold(0.0, f64::max) * RANK_TOLERANCE;
        let (kept, lost): (Vec<usize>, Vec<usize>) = (0..values.len()).partition(|&k| values[k] > threshold);
        let mut half = DMatrix::zeros(count, kept.len());
        for (column, &k) in kept.iter().enumerate() {
            half.set_column(column, &(turned.row(k).transpose() / values[k]));
        }
        let covariance = Inverse::Full(&half * half.transpose());
        let mut null = DMatrix::zeros(count, lost.len());
        for (column, &k) in lost.iter().enumerate() {
            null.set_column(column, &turned.row(k).transpose());
        }
        Self { covariance, null, scale: scale.to_vec(), rank: kept.len() }
    }

    /// Holds the unknowns whose pivots are small. Each leaves one direction in which it moves by 1 and the others as the
    /// equations would have them; singular values of the equations along these few directions tell what is weak from
    /// what is not determined, to the same digits as those of the whole. O(n² b + m k²) for k held ones.
    fn by_pivots(rows: &Rows, scale: &[f64]) -> Self {
        let count = rows.unknowns;
        let pattern = Pattern::new(rows);
        let normal = Skyline::normal(&pattern, rows, scale);
        let mut limit = SMALLEST_PIVOT;
        // Pivots bound the smallest eigenvalue from above only: more are held until what is left is well conditioned.
        let (factor, held, mut covariance) = loop {
            let (factor, held) = normal.factor_holding(limit);
            let inverse = Inverse::new(pattern.clone(), factor.clone().into_values(), &held);
            if inverse.trace() * SMALLEST_PIVOT < 1.0 || limit > LARGEST_PIVOT {
                break (factor, held, inverse);
            }
            limit *= 10.0;
        };
        // What stands in no equation is a direction of its own.
        let lengths = rows.column_lengths();
        let (blank, held): (Vec<usize>, Vec<usize>) = held.into_iter().partition(|&h| lengths[h] == 0.0);
        let mut directions = DMatrix::zeros(count, held.len());
        for (k, &h) in held.iter().enumerate() {
            directions.set_column(k, &DVector::from_vec(Self::direction(rows, scale, &factor, h, &held)));
        }
        let mut null: Vec<DVector<f64>> =
            blank.iter().map(|&b| DVector::from_fn(count, |unknown, _| f64::from(u8::from(unknown == b)))).collect();
        if !held.is_empty() {
            let basis = directions.qr().q();
            let noticed = DMatrix::from_columns(
                &basis.column_iter().map(|d| DVector::from_vec(along(rows, scale, d.as_slice()))).collect::<Vec<_>>(),
            );
            let noticed = if noticed.nrows() > noticed.ncols() { noticed.qr().r() } else { noticed };
            // At least as many lines as columns, so that the decomposition spans every direction.
            let lines = noticed.nrows().max(noticed.ncols());
            let decomposition = noticed.resize_vertically(lines, 0.0).svd(false, true);
            let turned = decomposition.v_t.unwrap_or_else(|| DMatrix::identity(held.len(), held.len()));
            // Columns of length 1 have no singular value above this.
            let largest = ((count - blank.len()) as f64).sqrt();
            for (k, &value) in decomposition.singular_values.iter().enumerate() {
                let direction = &basis * turned.row(k).transpose();
                if value > largest * RANK_TOLERANCE {
                    covariance.add(value.powi(-2), &direction);
                } else {
                    null.push(direction);
                }
            }
        }
        let null = if null.is_empty() { DMatrix::zeros(count, 0) } else { DMatrix::from_columns(&null) };
        let rank = count - null.ncols();
        Self { covariance, null, scale: scale.to_vec(), rank }
    }

    /// How the unknowns that are not held move with a held one, which moves by 1; all in scaled columns.
    fn direction(rows: &Rows, scale: &[f64], factor: &Skyline<'_>, moved: usize, held: &[usize]) -> Vec<f64> {
        let mut direction = vec![0.0; rows.unknowns];
        direction[moved] = 1.0;
        // Each turn leaves some 10⁻⁷ of the error of the one before.
        for _ in 0..REFINEMENTS {
            let mut pull: Vec<f64> =
                rows.against(&along(rows, scale, &direction)).iter().zip(scale).map(|(g, s)| -g / s).collect();
            for &h in held {
                pull[h] = 0.0;
            }
            for (d, change) in direction.iter_mut().zip(factor.solve(&pull)) {
                *d += change;
            }
            for &h in held {
                direction[h] = f64::from(u8::from(h == moved));
            }
        }
        direction
    }

    /// The part of a quantity's gradient that lies in the null space, one number a direction, the gradient scaled to
    /// length 1; `None` when it has none to speak of: the quantity is determined.
    #[must_use]
    pub(crate) fn null_part(&self, gradient: &[(usize, f64)]) -> Option<DVector<f64>> {
        if self.null.ncols() == 0 {
            return None;
        }
        let scaled: Vec<(usize, f64)> = gradient.iter().map(|&(u, g)| (u, g / self.scale[u])).collect();
        let length = scaled.iter().map(|(_, g)| g * g).sum::<f64>().sqrt();
        if length == 0.0 {
            return None;
        }
        let mut part = DVector::zeros(self.null.ncols());
        for (unknown, g) in scaled {
            part += self.null.row(unknown).transpose() * (g / length);
        }
        (part.norm() > NULL_PART).then_some(part)
    }

    /// Covariance of two quantities by their gradients. O(k²) for k entries of unknowns that stand in equations together,
    /// else one solution of the normal equations.
    #[must_use]
    pub fn between(&self, a: &[(usize, f64)], b: &[(usize, f64)]) -> f64 {
        self.covariance.between(&self.scaled(a), &self.scaled(b))
    }

    /// Covariances of three quantities with each other.
    #[must_use]
    pub(crate) fn of_three(&self, gradients: [&[(usize, f64)]; 3]) -> Matrix3<f64> {
        let scaled = gradients.map(|gradient| self.scaled(gradient));
        self.covariance.of_three([&scaled[0], &scaled[1], &scaled[2]])
    }

    /// The covariance of a quantity, by its gradient, with every unknown.
    #[must_use]
    pub fn carried(&self, gradient: &[(usize, f64)]) -> Vec<f64> {
        let product = self.covariance.times(&self.scaled(gradient));
        product.iter().zip(&self.scale).map(|(value, scale)| value / scale).collect()
    }

    fn scaled(&self, gradient: &[(usize, f64)]) -> SmallVec<[(usize, f64); 12]> {
        gradient.iter().map(|&(unknown, slope)| (unknown, slope / self.scale[unknown])).collect()
    }
}

/// The equations along a direction given in scaled columns.
fn along(rows: &Rows, scale: &[f64], direction: &[f64]) -> Vec<f64> {
    let step: Vec<f64> = direction.iter().zip(scale).map(|(d, s)| d / s).collect();
    rows.along(&step)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used)]
    use super::*;

    /// Tapes in plan between the points of a field, each to its neighbours, across and aslant. Nothing holds the field:
    /// two shifts and a turn stay open. The last point hangs on one tape, so that it swings; the one before on two
    /// tapes that run within `bend` of one line, so that it is hardly held across them; one unknown stands in nothing.
    fn field(wide: usize, deep: usize, bend: f64) -> Rows {
        let mut places: Vec<[f64; 2]> = (0..wide * deep)
            .map(|i| {
                let (x, y) = ((i % wide) as f64, (i / wide) as f64);
                [4.0 * x + (2.1 * i as f64).sin(), 4.0 * y + (3.7 * i as f64).cos()]
            })
            .collect();
        let mut tapes = Vec::new();
        for i in 0..places.len() {
            let (x, y) = (i % wide, i / wide);
            tapes.extend((x + 1 < wide).then_some([i, i + 1]));
            tapes.extend((y + 1 < deep).then_some([i, i + wide]));
            tapes.extend((x + 1 < wide && y + 1 < deep).then_some([i, i + wide + 1]));
        }
        let (a, b, count) = (places[0], places[1], places.len());
        let across = [-(b[1] - a[1]), b[0] - a[0]];
        places.push([0, 1].map(|k| f64::midpoint(a[k], b[k]) + bend * across[k]));
        places.push([-3.0, -5.0]);
        tapes.extend([[0, count], [1, count], [0, count + 1]]);
        let mut rows = Rows::new(2 * places.len() + 1);
        for [a, b] in tapes {
            let way = [0, 1].map(|k| places[b][k] - places[a][k]);
            let weight = 200.0 / way[0].hypot(way[1]);
            let mut entries: Vec<(usize, f64)> =
                (0..2).flat_map(|k| [(2 * a + k, -weight * way[k]), (2 * b + k, weight * way[k])]).collect();
            rows.push(0.0, &mut entries);
        }
        rows
    }

    fn scale(rows: &Rows) -> Vec<f64> {
        rows.column_lengths().iter().map(|&length| if length > 0.0 { length } else { 1.0 }).collect()
    }

    #[test]
    fn held_pivots_say_what_singular_values_say() {
        for bend in [0.3, 1e-3, 1e-6, 0.0] {
            let rows = field(6, 5, bend);
            let scale = scale(&rows);
            let (pivots, values) = (Cofactor::by_pivots(&rows, &scale), Cofactor::by_singular_values(&rows, &scale));
            // Two shifts, a turn, the swing, the unknown in no equation; on one line, across it.
            let open = 5 + usize::from(bend == 0.0);
            assert_eq!((pivots.null.ncols(), values.null.ncols()), (open, open), "bend {bend}");
            assert_eq!(pivots.rank, values.rank);
            // The same space, whatever its basis.
            let common = pivots.null.tr_mul(&values.null).singular_values();
            assert!(common.iter().all(|c| (c - 1.0).abs() < 1e-9), "bend {bend}: {common}");
            let product = pivots.null.tr_mul(&pivots.null);
            assert!((product - DMatrix::identity(open, open)).norm() < 1e-12);
            // Every tape between neighbours is determined, and so is a sum of many. A point that hangs on a bend moves by
            // up to 1 / bend: squares of that cancel in what is determined.
            let within = 1e-7 + if bend > 0.0 { f64::EPSILON / (bend * bend) } else { 0.0 };
            let mut all: Vec<(usize, f64)> = Vec::new();
            for (line, (columns, slopes)) in rows.iter().enumerate() {
                let row: Vec<(usize, f64)> = columns.iter().copied().zip(slopes.iter().copied()).collect();
                assert!(pivots.null_part(&row).is_none() && values.null_part(&row).is_none());
                let (a, b) = (pivots.between(&row, &row), values.between(&row, &row));
                assert!((a - b).abs() < within * b, "bend {bend}, line {line}: {a} {b}");
                all.extend(row.iter().map(|&(u, s)| (u, s * (1.3 * line as f64).sin())));
            }
            let (a, b) = (pivots.between(&all, &all), values.between(&all, &all));
            assert!((a - b).abs() < within * b, "bend {bend}: {a} {b}");
            // No coordinate is, and both say so.
            for unknown in 0..rows.unknowns {
                assert!(pivots.null_part(&[(unknown, 1.0)]).is_some());
            }
        }
    }

    /// A walk round a comb of many teeth: lengths, turns, the gap closed. It bends so easily that the squares of its
    /// singular values are lost in rounding.
    fn comb(teeth: usize) -> Rows {
        let tooth = [[0.0, 0.0], [0.0, 0.1], [0.1, 0.1], [0.1, 0.0]];
        let mut places: Vec<[f64; 2]> =
            (0..4 * teeth).map(|k| [0.2 * (k / 4) as f64 + tooth[k % 4][0], tooth[k % 4][1]]).collect();
        places.extend([[0.2 * teeth as f64, -5.0], [0.0, -5.0]]);
        let count = places.len();
        // The first place is given, and the second lies straight above it.
        let unknown = |place: usize, k: usize| (2 * place + k).checked_sub(3);
        let mut rows = Rows::new(2 * count - 3);
        let way = |a: usize, b: usize| {
            let [x, y] = [0, 1].map(|k| places[b][k] - places[a][k]);
            ([x, y], x.hypot(y))
        };
        let mut add = |slopes: Vec<(usize, usize, f64)>, sigma: f64| {
            let free = |(place, k, slope): (usize, usize, f64)| Some((unknown(place, k)?, slope / sigma));
            rows.push(
                0.0,
                &mut slopes
                    .into_iter()
                    .filter(|s| s.0 > 0 && (s.0 > 1 || s.1 > 0))
                    .filter_map(free)
                    .collect::<Vec<_>>(),
            );
        };
        for a in 0..count {
            let (b, c) = ((a + 1) % count, (a + 2) % count);
            let (([x, y], length), ([u, v], next)) = (way(a, b), way(b, c));
            add(vec![(a, 0, -x / length), (a, 1, -y / length), (b, 0, x / length), (b, 1, y / length)], 1e-4);
            // The direction of a side changes by what its ends move across it, over its length.
            let [first, second] = [[-y / length.powi(2), x / length.powi(2)], [-v / next.powi(2), u / next.powi(2)]];
            let turn = (0..2).flat_map(|k| [(a, k, first[k]), (b, k, -first[k] - second[k]), (c, k, second[k])]);
            add(turn.collect(), 0.05);
        }
        rows
    }

    #[test]
    fn rotations_say_what_singular_values_say() {
        let rows = comb(55);
        let scale = scale(&rows);
        assert!(Cofactor::by_factor(&rows, &scale).is_none(), "the test needs equations that their squares lose");
        let rotated = Cofactor::by_rotations(&rows, &scale).unwrap();
        let values = Cofactor::by_singular_values(&rows, &scale);
        assert_eq!((rotated.rank, values.rank), (rows.unknowns, rows.unknowns));
        let same = |a: f64, b: f64| assert!((a - b).abs() <= 1e-9 * b.abs(), "{a} {b}");
        let mut sum: Vec<(usize, f64)> = Vec::new();
        for unknown in (0..rows.unknowns).step_by(7) {
            let one = [(unknown, 1.0)];
            same(rotated.between(&one, &one), values.between(&one, &one));
            sum.push((unknown, (unknown as f64).cos()));
        }
        same(rotated.between(&sum, &sum), values.between(&sum, &sum));
        let (a, b) = (rotated.carried(&sum), values.carried(&sum));
        let largest = b.iter().fold(0.0_f64, |most, value| most.max(value.abs()));
        for (a, b) in a.iter().zip(&b) {
            assert!((a - b).abs() <= 1e-9 * largest, "{a} {b}");
        }
        // How little each equation is checked by the others: the squares of its line in the orthogonal factor.
        let mut dense = DMatrix::zeros(rows.len(), rows.unknowns);
        for (line, (columns, slopes)) in rows.iter().enumerate() {
            for (&column, slope) in columns.iter().zip(slopes) {
                dense[(line, column)] = slope / scale[column];
            }
        }
        let orthogonal = dense.qr().q();
        for (line, (columns, slopes)) in rows.iter().enumerate() {
            let row: Vec<(usize, f64)> = columns.iter().copied().zip(slopes.iter().copied()).collect();
            let (found, expected) = (rotated.between(&row, &row), orthogonal.row(line).norm_squared());
            assert!((found - expected).abs() <= 1e-9 * expected, "line {line}: {found} {expected}");
        }
    }

    /// What is not determined is never taken for determined.
    #[test]
    fn rotations_refuse_what_is_open() {
        let rows = field(20, 16, 1e-4);
        assert!(Cofactor::by_rotations(&rows, &scale(&rows)).is_none());
        let closed = comb(55);
        let mut open = Rows::new(closed.unknowns + 1);
        for (columns, slopes) in closed.iter() {
            open.push(0.0, &mut columns.iter().copied().zip(slopes.iter().copied()).collect::<Vec<_>>());
        }
        open.push(0.0, &mut [(0, 1.0), (closed.unknowns, 1.0)]);
        assert!(Cofactor::by_rotations(&open, &scale(&open)).is_some());
        // One row fewer than unknowns at the end of the walk.
        let mut short = Rows::new(open.unknowns + 1);
        for (columns, slopes) in open.iter() {
            short.push(0.0, &mut columns.iter().copied().zip(slopes.iter().copied()).collect::<Vec<_>>());
        }
        short.push(0.0, &mut [(open.unknowns, 1.0), (closed.unknowns, 1.0), (5, 2.0)]);
        assert!(Cofactor::by_rotations(&short, &scale(&short)).is_some());
        short.unknowns += 1;
        assert!(Cofactor::by_rotations(&short, &scale(&short)).is_none());
    }

    /// A field too large for singular values of the whole: what hangs together is sure to about the sigma of its tapes,
    /// what is weak grows as the sine of the bend, what is open is told.
    #[test]
    fn a_large_field_keeps_its_null_space() {
        let bend = 1e-4;
        let rows = field(20, 16, bend);
        let found = Cofactor::new(&rows);
        assert!(rows.unknowns > MOST_FOR_SVD);
        assert_eq!((found.null.ncols(), found.rank), (5, rows.unknowns - 5));
        let equations = DMatrix::from_columns(
            &found
                .null
                .column_iter()
                .map(|d| DVector::from_vec(along(&rows, &found.scale, d.as_slice())))
                .collect::<Vec<_>>(),
        );
        assert!(equations.norm() < 1e-10, "{}", equations.norm());
        // Across two tapes of sigma s that run at the angle whose tangent is 2 bend to their line, a point between two
        // others is known to s / (√2 sin) from the line, when these are sure.
        let count = 20 * 16;
        let place = |point: usize, k: usize| 2 * point + k;
        let direction = {
            let (_, slopes) = rows.row(0);
            let (x, y) = (slopes[2], slopes[3]);
            [-y / x.hypot(y), x / x.hypot(y)]
        };
        let mut off_line = Vec::new();
        for (k, part) in direction.into_iter().enumerate() {
            off_line.push((place(count, k), part));
            off_line.push((place(0, k), -part / 2.0));
            off_line.push((place(1, k), -part / 2.0));
        }
        let sd = found.between(&off_line, &off_line).sqrt();
        let sigma = 1.0 / 200.0;
        let across = sigma / (2.0_f64.sqrt() * (2.0 * bend).atan().sin());
        // The distance of these adds up to half as much again to the variance, as it is taped too.
        assert!(sd > across && sd < 1.5_f64.sqrt() * across, "{sd} {across}");
    }
}
