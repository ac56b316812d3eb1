//! How two cameras stood to each other, from five or more points that both saw: the essential matrices that fit the
//! points (D. Nistér, "An efficient solution to the five-point relative pose problem", 2004), found as eigenvectors of
//! an action matrix (H. Stewénius, C. Engels, D. Nistér, "Recent developments on direct relative orientation", 2006).

use crate::base::order::SortByNumber as _;
use nalgebra::{DMatrix, Matrix3, SMatrix, SVector, Vector3};

/// The second camera seen from the first: `X2 = rotation · X1 + shift`, the shift of length 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Relative {
    pub rotation: Matrix3<f64>,
    pub shift: Vector3<f64>,
    /// Sum of squared distances of rays from the planes they should lie in, to first order (Sampson).
    pub cost: f64,
}

/// Fewest points seen by both.
pub(super) const FEWEST: usize = 5;
/// An eigenvalue counts as real when its imaginary part is below this part of its size.
const REAL: f64 = 1e-6;

/// Exponents of x, y, z in each monomial: those of degree three first, then the basis of the quotient ring.
const MONOMIALS: [[usize; 3]; 20] = [
    [3, 0, 0],
    [2, 1, 0],
    [2, 0, 1],
    [1, 2, 0],
    [1, 1, 1],
    [1, 0, 2],
    [0, 3, 0],
    [0, 2, 1],
    [0, 1, 2],
    [0, 0, 3],
    [2, 0, 0],
    [1, 1, 0],
    [1, 0, 1],
    [0, 2, 0],
    [0, 1, 1],
    [0, 0, 2],
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
    [0, 0, 0],
];

/// A polynomial in x, y, z of degree three at most.
#[derive(Clone, Copy)]
struct Polynomial([f64; 20]);

impl Polynomial {
    fn times(&self, other: &Self) -> Self {
        let mut product = [0.0; 20];
        for (a, first) in self.0.iter().zip(&MONOMIALS).filter(|(a, _)| **a != 0.0) {
            for (b, second) in other.0.iter().zip(&MONOMIALS).filter(|(b, _)| **b != 0.0) {
                let sum = [first[0] + second[0], first[1] + second[1], first[2] + second[2]];
                // No product in the constraints is of a higher degree than three.
                if let Some(place) = MONOMIALS.iter().position(|monomial| *monomial == sum) {
                    product[place] += a * b;
                }
            }
        }
        Self(product)
    }

    fn plus(&self, other: &Self, factor: f64) -> Self {
        let mut sum = self.0;
        for (a, b) in sum.iter_mut().zip(&other.0) {
            *a += factor * b;
        }
        Self(sum)
    }
}

/// Every relative orientation under which all points lie before both cameras, best first. `rays` are the directions of
/// each point from the first and the second camera, z = 1.
pub(super) fn relative(rays: &[[Vector3<f64>; 2]]) -> Vec<Relative> {
    if rays.len() < FEWEST {
        return Vec::new();
    }
    let mut found: Vec<Relative> =
        essential_matrices(rays).iter().filter_map(|essential| before_both(essential, rays)).collect();
    found.sort_by_number(|a| a.cost);
    found
}

fn essential_matrices(rays: &[[Vector3<f64>; 2]]) -> Vec<Matrix3<f64>> {
    // At least nine rows, so that the decomposition spans every direction.
    let mut rows = DMatrix::zeros(rays.len().max(9), 9);
    for (line, [first, second]) in rays.iter().enumerate() {
        for i in 0..3 {
            for j in 0..3 {
                rows[(line, 3 * i + j)] = second[i] * first[j];
            }
        }
    }
    let svd = rows.svd(false, true);
    let Some(v_t) = svd.v_t else { return Vec::new() };
    let mut order: Vec<usize> = (0..9).collect();
    order.sort_by_number(|&a| svd.singular_values[a]);
    // The last one's share is taken as 1: that of the direction which the rays fix best, or more than five good points,
    // which leave fewer than four directions, would put the answer at infinity.
    let basis = [3, 2, 1, 0].map(|k| Matrix3::from_fn(|i, j| v_t[(order[k], 3 * i + j)]));
    let Some(action) = action(&basis) else { return Vec::new() };
    let values = DMatrix::from_column_slice(10, 10, action.as_slice()).complex_eigenvalues();
    let real = values.iter().filter(|value| value.im.abs() <= REAL * (1.0 + value.re.abs())).map(|value| value.re);
    real.filter_map(|value| {
        let shifted = action - SMatrix::<f64, 10, 10>::identity() * value;
        let svd = DMatrix::from_column_slice(10, 10, shifted.as_slice()).svd(false, true);
        let vector = svd.v_t?.row(svd.singular_values.imin()).transpose();
        // x², xy, xz, y², yz, z², x, y, z, 1.
        let [x, y, z] = [6, 7, 8].map(|k| vector[k] / vector[9]);
        let essential = basis[0] * x + basis[1] * y + basis[2] * z + basis[3];
        let size = essential.norm();
        (size.is_finite() && size > 0.0).then(|| essential / size)
    })
    .collect()
}

/// The matrix that multiplies the basis of the quotient ring by x.
fn action(basis: &[Matrix3<f64>; 4]) -> Option<SMatrix<f64, 10, 10>> {
    let entry = |i: usize, j: usize| {
        let mut linear = [0.0; 20];
        for (k, matrix) in basis.iter().enumerate() {
            linear[16 + k] = matrix[(i, j)];
        }
        Polynomial(linear)
    };
    let zero = Polynomial([0.0; 20]);
    let essential: [[Polynomial; 3]; 3] = std::array::from_fn(|i| std::array::from_fn(|j| entry(i, j)));
    let square: [[Polynomial; 3]; 3] = std::array::from_fn(|i| {
        std::array::from_fn(|j| (0..3).fold(zero, |sum, k| sum.plus(&essential[i][k].times(&essential[j][k]), 1.0)))
    });
    let trace = square[0][0].plus(&square[1][1], 1.0).plus(&square[2][2], 1.0);
    let minor = |a: usize, b: usize| {
        let [_, second, third] = &essential;
        second[a].times(&third[b]).plus(&second[b].times(&third[a]), -1.0)
    };
    let determinant = essential[0][0]
        .times(&minor(1, 2))
        .plus(&essential[0][1].times(&minor(0, 2)), -1.0)
        .plus(&essential[0][2].times(&minor(0, 1)), 1.0);
    let mut table = SMatrix::<f64, 10, 20>::zeros();
    table.set_row(0, &SVector::<f64, 20>::from(determinant.0).transpose());
    for (i, row) in essential.iter().enumerate() {
        for (j, entry) in row.iter().enumerate() {
            // E Eᵀ E = ½ tr(E Eᵀ) E.
            let cubic = (0..3).fold(zero, |sum, k| sum.plus(&square[i][k].times(&essential[k][j]), 1.0));
            let cubic = cubic.plus(&trace.times(entry), -0.5);
            table.set_row(1 + 3 * i + j, &SVector::<f64, 20>::from(cubic.0).transpose());
        }
    }
    let cubes: SMatrix<f64, 10, 10> = table.fixed_columns::<10>(0).into_owned();
    let rest: SMatrix<f64, 10, 10> = table.fixed_columns::<10>(10).into_owned();
    let reduced = cubes.full_piv_lu().solve(&rest)?;
    let mut action = SMatrix::<f64, 10, 10>::zeros();
    for row in 0..6 {
        // x times x², xy, xz, y², yz, z²: the first six cubes.
        action.set_row(row, &(-reduced.row(row)));
    }
    // x times x, y, z, 1.
    for (row, column) in [(6, 0), (7, 1), (8, 2), (9, 6)] {
        action[(row, column)] = 1.0;
    }
    Some(action)
}

/// Of the four ways to take an essential matrix apart, the one with every point before both cameras.
fn before_both(essential: &Matrix3<f64>, rays: &[[Vector3<f64>; 2]]) -> Option<Relative> {
    let svd = essential.svd(true, true);
    let (mut u, mut v_t) = (svd.u?, svd.v_t?);
    // Singular values may come in any order: the vanishing one is to be last.
    let last = svd.singular_values.imin();
    u.swap_columns(last, 2);
    v_t.swap_rows(last, 2);
    if u.determinant() < 0.0 {
        u = -u;
    }
    if v_t.determinant() < 0.0 {
        v_t = -v_t;
    }
    let turn = Matrix3::new(0.0, -1.0, 0.0, 1.0, 0.0, 0.0, 0.0, 0.0, 1.0);
    let cost = rays.iter().map(|pair| sampson(essential, pair)).sum();
    let shift: Vector3<f64> = u.column(2).into_owned();
    [turn, turn.transpose()]
        .into_iter()
        .flat_map(|turn| [shift, -shift].map(|shift| Relative { rotation: u * turn * v_t, shift, cost }))
        .find(|way| rays.iter().all(|pair| depths(way, pair).is_some_and(|depths| depths.iter().all(|&d| d > 0.0))))
}

/// Depths along both rays at which they come nearest; `None` for parallel ones.
pub(super) fn depths(way: &Relative, [first, second]: &[Vector3<f64>; 2]) -> Option<[f64; 2]> {
    let turned = way.rotation * first;
    // d2 · second = d1 · turned + shift.
    let cross = second.cross(&turned);
    let square = cross.norm_squared();
    (square > 0.0)
        .then(|| [second.cross(&way.shift).dot(&cross) / -square, turned.cross(&way.shift).dot(&cross) / -square])
}

/// Sum of squared distances of rays from the planes in which they should lie, to first order (Sampson).
pub(super) fn misfit(way: &Relative, rays: &[[Vector3<f64>; 2]]) -> f64 {
    let essential = way.shift.cross_matrix() * way.rotation;
    rays.iter().map(|pair| sampson(&essential, pair)).sum()
}

fn sampson(essential: &Matrix3<f64>, [first, second]: &[Vector3<f64>; 2]) -> f64 {
    let (line_second, line_first) = (essential * first, essential.tr_mul(second));
    let square = line_second.xy().norm_squared() + line_first.xy().norm_squared();
    second.dot(&line_second).powi(2) / square
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::Rotation3;

    #[test]
    fn the_true_orientation_is_among_those_found() {
        let rotation = Rotation3::new(Vector3::new(0.1, 1.1, -0.05)).into_inner();
        let places = [
            [-2.0, 0.3, 9.0],
            [1.5, -0.7, 8.0],
            [0.4, 1.1, 11.0],
            [-0.9, -1.6, 10.0],
            [2.1, 0.9, 9.5],
            [-1.2, 1.9, 8.7],
            [0.1, 0.2, 12.0],
        ];
        let distance = 9.0;
        for count in FEWEST..=places.len() {
            let rays: Vec<[Vector3<f64>; 2]> = places[..count]
                .iter()
                .map(|place| {
                    let first = Vector3::from(*place);
                    let second = rotation * (first - Vector3::new(0.0, 0.0, 9.0)) + Vector3::new(0.0, 0.0, distance);
                    [first / first.z, second / second.z]
                })
                .collect();
            let true_shift = (Vector3::new(0.0, 0.0, distance) - rotation * Vector3::new(0.0, 0.0, 9.0)).normalize();
            let found = relative(&rays);
            let near =
                |way: &Relative| (way.rotation - rotation).norm() < 1e-6 && (way.shift - true_shift).norm() < 1e-6;
            assert!(found.iter().any(near), "{count}: {found:?}");
        }
        assert!(relative(&[]).is_empty());
    }
}
