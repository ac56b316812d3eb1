//! Triangles without area: a corner that lies on the longest side of its triangle cuts the triangle beyond that side instead.

use crate::roof::model::solid::Solid;
use std::collections::HashMap;

/// Where each directed side of a triangle is run: its triangle.
type Sides = HashMap<(u32, u32), usize>;

/// Cuts the neighbour of every triangle narrower than `width`, metres, at the corner between the two that neighbour it by
/// the longest side: places stay, and surfaces move by no more than the width. A reader that drops triangles without area
/// would open the solid. Expected O(triangles).
pub(crate) fn cut_neighbours(solid: &mut Solid, width: f64) {
    let mut sides = Sides::with_capacity(3 * solid.triangles.len());
    for (index, t) in solid.triangles.iter().enumerate() {
        for side in 0..3 {
            sides.insert((t[side], t[(side + 1) % 3]), index);
        }
    }
    let mut open: Vec<usize> =
        (0..solid.triangles.len()).rev().filter(|&at| flat_corner(solid, at, width).is_some()).collect();
    // Where many corners lie in one line a cut makes the neighbour flat in turn; each goes on to the next.
    for _ in 0..64 * (open.len() + 1) {
        let Some(at) = open.pop() else { return };
        let Some([a, b, c]) = flat_corner(solid, at, width) else { continue };
        let Some(&beyond) = sides.get(&(a, c)).filter(|&&beyond| beyond != at) else { continue };
        let Some(d) = solid.triangles[beyond].into_iter().find(|&corner| corner != a && corner != c) else { continue };
        // One edge more between two corners than a closed surface has.
        if d == b || sides.contains_key(&(b, d)) || sides.contains_key(&(d, b)) {
            continue;
        }
        solid.triangles[at] = [a, b, d];
        solid.triangles[beyond] = [b, c, d];
        solid.face_of[at] = solid.face_of[beyond];
        sides.remove(&(c, a));
        sides.remove(&(a, c));
        for (index, t) in [at, beyond].map(|index| (index, solid.triangles[index])) {
            for side in 0..3 {
                sides.insert((t[side], t[(side + 1) % 3]), index);
            }
        }
        open.extend([at, beyond].into_iter().filter(|&next| flat_corner(solid, next, width).is_some()));
    }
}

/// The corners of a triangle narrower than a width, the one between the ends of its longest side in the middle.
fn flat_corner(solid: &Solid, at: usize, width: f64) -> Option<[u32; 3]> {
    let t = solid.triangles[at];
    let place = |corner: u32| solid.positions[corner as usize];
    let length = |side: usize| (place(t[(side + 1) % 3]) - place(t[side])).norm();
    let longest = (0..3).max_by(|&a, &b| length(a).total_cmp(&length(b)))?;
    let [c, a, b] = [0, 1, 2].map(|step| t[(longest + step) % 3]);
    let doubled = (place(b) - place(a)).cross(&(place(c) - place(a))).norm();
    (doubled <= width * length(longest)).then_some([a, b, c])
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::Point3;

    #[test]
    fn a_corner_on_an_edge_cuts_what_lies_beyond_it() {
        // A tetrahedron whose first face has a corner in the middle of a side.
        let positions = [[0.0, 0.0, 0.0], [2.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 2.0, 0.0], [0.0, 0.0, 2.0]];
        let mut solid = Solid {
            positions: positions.map(Point3::from).to_vec(),
            triangles: vec![[0, 3, 1], [0, 1, 2], [0, 2, 4], [2, 1, 4], [1, 3, 4], [3, 0, 4]],
            face_of: vec![None; 6],
        };
        assert!(solid.is_closed());
        let volume = solid.volume();
        cut_neighbours(&mut solid, 1e-9);
        assert!(solid.is_closed());
        assert_eq!(solid.volume(), volume);
        assert_eq!(solid.triangles.len(), 6);
        assert!((0..6).all(|at| flat_corner(&solid, at, 1e-9).is_none()));
    }
}
