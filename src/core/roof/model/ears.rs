//! Cutting ears off a polygon until nothing is left: slow, but what bounds its triangles is always the polygon's own rings,
//! edge by edge, however many corners lie in one line or touch.

use crate::base::order::SortByNumber as _;
use crate::base::tolerance::{FLAT, NEEDLE, ROUNDING};

/// Twice the area of a triangle, positive where it turns left.
pub(super) fn doubled([ax, ay]: [f64; 2], [bx, by]: [f64; 2], [cx, cy]: [f64; 2]) -> f64 {
    (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
}

fn square([ax, ay]: [f64; 2], [bx, by]: [f64; 2]) -> f64 {
    (bx - ax) * (bx - ax) + (by - ay) * (by - ay)
}

/// What is tried in turn. Parts of a triangle's longest side: where a polygon is pinched to less than rounding, the corner
/// there may lie on either side of the edge it almost touches, so corners as near as that count as within at first, and
/// as without at last.
const LADDER: [Strictness; 7] = [
    Strictness::Needle,
    Strictness::Clear(NEEDLE),
    Strictness::Clear(ROUNDING),
    Strictness::Clear(0.0),
    Strictness::Touching(0.0),
    Strictness::Touching(ROUNDING),
    Strictness::Touching(NEEDLE),
];

/// Triangles of a polygon, as in earcut's convention: rings of `places` one after another, the outer one first and
/// anticlockwise, each hole clockwise from where `holes` says it starts. O(n³) at worst, O(n²) mostly.
pub fn clip(places: &[[f64; 2]], holes: &[u32], triangles: &mut Vec<u32>) {
    let mut ring = joined(places, holes);
    triangles.reserve(3 * ring.len());
    let mut start = 0;
    while ring.len() > 3 {
        let count = ring.len();
        let turned = |step: usize| (start + step) % count;
        let found = LADDER
            .into_iter()
            .find_map(|strictness| (0..count).map(turned).find(|&at| is_ear(places, &ring, at, strictness)));
        // Where rounding leaves no ear the flattest corner goes: it takes least away that is not its own.
        let at = found.unwrap_or_else(|| {
            let area = |at: usize| {
                let [a, b, c] = corner(places, &ring, at);
                doubled(a, b, c).abs()
            };
            (0..count).min_by(|&a, &b| area(a).total_cmp(&area(b))).unwrap_or_default()
        });
        triangles.extend([ring[(at + count - 1) % count], ring[at], ring[(at + 1) % count]]);
        ring.remove(at);
        // Next where this one ended, so that no corner becomes the hub of a fan of slivers.
        start = at % ring.len();
    }
    triangles.extend(ring);
}

/// What may lie on a triangle that is cut off.
#[derive(Clone, Copy, PartialEq)]
enum Strictness {
    /// The tip of a needle, a line there and back: it goes first, or a side of it would hide corners along the other.
    Needle,
    /// No corner within it, on its sides or nearer to it than this part of its longest side; it has an area.
    Clear(f64),
    /// No corner within it by more than this part of its longest side.
    Touching(f64),
}

fn corner(places: &[[f64; 2]], ring: &[u32], at: usize) -> [[f64; 2]; 3] {
    let count = ring.len();
    [(at + count - 1) % count, at, (at + 1) % count].map(|at| places[ring[at] as usize])
}

fn is_ear(places: &[[f64; 2]], ring: &[u32], at: usize, strictness: Strictness) -> bool {
    let [a, b, c] = corner(places, ring, at);
    let area = doubled(a, b, c);
    let least = FLAT * square(a, b).max(square(b, c)).max(square(c, a));
    let (clear, part) = match strictness {
        Strictness::Needle => {
            let turns_back = (a[0] - b[0]) * (c[0] - b[0]) + (a[1] - b[1]) * (c[1] - b[1]) > 0.0;
            let width = square(a, b).max(square(b, c));
            return turns_back && area.abs() <= NEEDLE * width;
        }
        Strictness::Clear(part) => (true, part),
        Strictness::Touching(part) => (false, part),
    };
    if area < if clear { least } else { -least } {
        return false;
    }
    let lengths = [square(a, b), square(b, c), square(c, a)].map(f64::sqrt);
    let slack = part * lengths.iter().copied().fold(0.0, f64::max);
    let blocks = |&other: &u32| {
        let p = places[other as usize];
        if p == a || p == b || p == c {
            return false;
        }
        let within = |(side, length): (f64, f64)| {
            if clear { side >= -slack * length } else { side > slack * length }
        };
        [doubled(a, b, p), doubled(b, c, p), doubled(c, a, p)].into_iter().zip(lengths).all(within)
    };
    !ring.iter().any(blocks)
}

/// One ring of all: each hole is joined by a line there and back to what lies nearest in sight.
#[allow(clippy::cast_possible_truncation)]
fn joined(places: &[[f64; 2]], holes: &[u32]) -> Vec<u32> {
    let count = places.len() as u32;
    let end = |index: usize| holes.get(index + 1).copied().unwrap_or(count);
    let mut ring: Vec<u32> = (0..holes.first().copied().unwrap_or(count)).collect();
    let mut rest: Vec<Vec<u32>> = holes.iter().enumerate().map(|(index, &from)| (from..end(index)).collect()).collect();
    while !rest.is_empty() {
        let mut ways: Vec<(f64, usize, usize, usize)> = Vec::new();
        for (number, hole) in rest.iter().enumerate() {
            for (to, &there) in hole.iter().enumerate() {
                let away = |&here: &u32| square(places[here as usize], places[there as usize]);
                ways.extend(ring.iter().enumerate().map(|(from, here)| (away(here), from, number, to)));
            }
        }
        ways.sort_by_number(|a| a.0);
        let clear = |&&(_, from, number, to): &&(f64, usize, usize, usize)| {
            let (p, q) = (places[ring[from] as usize], places[rest[number][to] as usize]);
            let crosses = |from: u32, to: u32| {
                let (a, b) = (places[from as usize], places[to as usize]);
                doubled(p, q, a) * doubled(p, q, b) < 0.0 && doubled(a, b, p) * doubled(a, b, q) < 0.0
            };
            let mut edges = std::iter::once(&ring)
                .chain(&rest)
                .flat_map(|ring| (0..ring.len()).map(|at| (ring[at], ring[(at + 1) % ring.len()])));
            !edges.any(|(from, to)| crosses(from, to))
        };
        let Some(&(_, from, number, to)) = ways.iter().find(clear).or(ways.first()) else { break };
        let hole = rest.swap_remove(number);
        let round = hole[to..].iter().chain(&hole[..=to]).copied();
        let back = ring[from];
        let after = ring.split_off(from + 1);
        ring.extend(round.chain(std::iter::once(back)).chain(after));
    }
    ring
}

#[cfg(test)]
mod tests {
    use super::*;

    fn area(places: &[[f64; 2]], triangles: &[u32]) -> (f64, f64) {
        let each = triangles.chunks_exact(3).map(|t| {
            let [a, b, c] = [t[0], t[1], t[2]].map(|at| places[at as usize]);
            doubled(a, b, c) / 2.0
        });
        each.fold((0.0, 0.0), |(sum, size), area| (sum + area, size + area.abs()))
    }

    #[test]
    fn corners_in_one_line_keep_their_triangles() {
        let places = [[0.0, 0.0], [1.0, 0.0], [2.0, 0.0], [2.0, 2.0], [1.0, 2.0], [0.0, 2.0]];
        let mut triangles = Vec::new();
        clip(&places, &[], &mut triangles);
        assert_eq!(triangles.len(), 12);
        assert_eq!(area(&places, &triangles), (4.0, 4.0));
        assert!((0..6).all(|corner| triangles.contains(&corner)));
    }

    #[test]
    fn a_needle_hides_no_corner_along_it() {
        // From the second corner out and back past it, to the fourth: off the line by less than rounding shows.
        let places = [[0.0, 0.0], [0.0, -0.1], [1.2, -1.3], [0.6, -0.7 - 1e-15], [0.6, -0.6]];
        let mut triangles = Vec::new();
        clip(&places, &[], &mut triangles);
        let (sum, size) = area(&places, &triangles);
        assert!((sum - 0.06).abs() < 1e-12 && (size - 0.06).abs() < 1e-12, "{sum} {size}");
    }

    #[test]
    fn a_pinch_is_no_way_through_whichever_side_of_the_edge_rounding_puts_it() {
        // The fourth corner lies on the edge from the last to the first, or a nanometre to either side.
        for off in [-1e-9, 0.0, 1e-9] {
            let places = [[0.0, 0.0], [0.0, 0.2], [-0.4, -0.2], [-0.4, -0.4 + off], [-1.2, -1.198], [-1.2, -1.2]];
            let mut triangles = Vec::new();
            clip(&places, &[], &mut triangles);
            let (sum, size) = area(&places, &triangles);
            assert!((sum - 0.0808).abs() < 1e-8 && (size - sum).abs() < 1e-8, "{off}: {sum} {size}");
        }
    }

    #[test]
    fn a_hole_is_left_out() {
        let mut places = vec![[0.0, 0.0], [9.0, 0.0], [9.0, 9.0], [0.0, 9.0]];
        places.extend([[3.0, 3.0], [3.0, 6.0], [6.0, 6.0], [6.0, 3.0]]);
        let mut triangles = Vec::new();
        clip(&places, &[4], &mut triangles);
        assert_eq!(triangles.len(), 3 * (8 + 2 - 2));
        assert_eq!(area(&places, &triangles), (72.0, 72.0));
    }
}
