//! The layout against an independent one: every position of the grid clipped, piece by piece, to a triangulation of
//! the face (ear clipping by the `earcut` library, Sutherland and Hodgman's reentrant clipping here), with no slab, no
//! run, no course cells. 200 random faces with holes.
// Counts of small random cases: far below any limit.
#![allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]

use earcut::Earcut;
use eavewright_core::roof::EdgeKind;
use eavewright_core::takeoff::bond;
use eavewright_core::takeoff::details::Hand;
use eavewright_core::takeoff::lay::lay_with;
use eavewright_core::takeoff::layout::Source;
use one_face::{covered, one_face, opening, strip};
use support::one_face;

/// A small congruential generator (Knuth's MMIX constants), so that the faces are the same everywhere.
struct Random(u64);

impl Random {
    fn next(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * ((self.0 >> 11) as f64 / (1_u64 << 53) as f64)
    }
}

type Place = [f64; 2];

/// Sutherland and Hodgman (1974): clips a convex polygon to a half plane.
fn half_plane(ring: &[Place], axis: usize, limit: f64, keep_above: bool) -> Vec<Place> {
    let inside = |p: &Place| if keep_above { p[axis] >= limit } else { p[axis] <= limit };
    let mut out = Vec::new();
    for (index, p) in ring.iter().enumerate() {
        let q = &ring[(index + 1) % ring.len()];
        if inside(p) {
            out.push(*p);
        }
        if inside(p) != inside(q) {
            let t = (limit - p[axis]) / (q[axis] - p[axis]);
            out.push([p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])]);
        }
    }
    out
}

fn shoelace(ring: &[Place]) -> f64 {
    (0..ring.len()).map(|i| (ring[i], ring[(i + 1) % ring.len()])).map(|(p, q)| p[0] * q[1] - p[1] * q[0]).sum::<f64>()
        / 2.0
}

fn clipped_area(triangles: &[[Place; 3]], low: Place, high: Place) -> f64 {
    triangles
        .iter()
        .map(|triangle| {
            let mut ring = triangle.to_vec();
            for (axis, limit, above) in [(0, low[0], true), (0, high[0], false), (1, low[1], true), (1, high[1], false)]
            {
                ring = half_plane(&ring, axis, limit, above);
            }
            shoelace(&ring).abs()
        })
        .sum()
}

struct Shape {
    places: Vec<(f64, f64)>,
    kinds: Vec<EdgeKind>,
    hole: Option<([f64; 2], [f64; 2])>,
}

/// A face of one eave: trapezium, triangle or notched, sides hips or verges, half of them with a hole.
fn random_shape(random: &mut Random) -> Shape {
    let (width, slope) = (random.next(2.0, 11.0), random.next(1.2, 5.5));
    let (left, right) = (random.next(0.0, width * 0.5), random.next(0.0, width * 0.5));
    let mut places = vec![(0.0, 0.0), (width, 0.0)];
    let mut kinds = vec![EdgeKind::Eave];
    match (random.next(0.0, 4.0) as u32, random.next(0.0, 1.0)) {
        (0, _) => {
            places.push((left + random.next(0.0, width - left), slope));
            kinds.extend([EdgeKind::Hip, EdgeKind::Hip]);
        }
        (1, _) => {
            places.extend([(width, slope), (left, slope)]);
            kinds.extend([EdgeKind::Verge, EdgeKind::Ridge, EdgeKind::Hip]);
        }
        (2, notch) => {
            // Two peaks, a low place between them.
            let low = slope * (0.3 + 0.5 * notch);
            places.extend([(width - right, slope), (width / 2.0, low), (left.min(width * 0.4), slope)]);
            kinds.extend([EdgeKind::Hip, EdgeKind::Top, EdgeKind::Top, EdgeKind::Hip]);
        }
        _ => {
            places.extend([(width - right * 0.9, slope), (left * 0.9, slope)]);
            kinds.extend([EdgeKind::Hip, EdgeKind::Ridge, EdgeKind::Hip]);
        }
    }
    let size = [random.next(0.2, 0.9), random.next(0.2, 0.9)];
    let at = [width / 2.0 - size[0] / 2.0, random.next(0.05, 0.2) * slope];
    let wanted = random.next(0.0, 1.0) < 0.7;
    let (low, high) = ([at[0] - 0.02, at[1] - 0.02], [at[0] + size[0] + 0.02, at[1] + size[1] + 0.02]);
    let fits = [low, high, [low[0], high[1]], [high[0], low[1]]].iter().all(|corner| is_inside(&places, *corner))
        && !places.iter().any(|p| p.0 > low[0] && p.0 < high[0] && p.1 > low[1] && p.1 < high[1]);
    Shape { places, kinds, hole: (wanted && fits).then_some((at, size)) }
}

/// Even-odd rule.
fn is_inside(ring: &[(f64, f64)], [x, y]: Place) -> bool {
    let crosses = |((ax, ay), (bx, by)): ((f64, f64), (f64, f64))| {
        (ay > y) != (by > y) && x < ax + (y - ay) / (by - ay) * (bx - ax)
    };
    (0..ring.len()).filter(|&i| crosses((ring[i], ring[(i + 1) % ring.len()]))).count() % 2 == 1
}

/// The covered outline by hand: the eave 8 mm lower with its neighbours run on to it, upright verges 8 mm out.
fn covered_by_hand(shape: &Shape) -> Vec<Place> {
    let n = shape.places.len();
    let line = |i: usize| {
        let ((ax, ay), (bx, by)) = (shape.places[i], shape.places[(i + 1) % n]);
        let shift = match shape.kinds[i] {
            EdgeKind::Eave | EdgeKind::Verge => 0.008,
            _ => 0.0,
        };
        // a x + b y = c with (a, b) the outward unit normal
        let (a, b) = (by - ay, ax - bx);
        let norm = a.hypot(b);
        (a / norm, b / norm, (a * ax + b * ay) / norm + shift)
    };
    (0..n)
        .map(|i| {
            let ((a1, b1, c1), (a2, b2, c2)) = (line((i + n - 1) % n), line(i));
            let det = a1 * b2 - a2 * b1;
            [(c1 * b2 - c2 * b1) / det, (a1 * c2 - a2 * c1) / det]
        })
        .collect()
}

#[test]
fn two_hundred_random_faces_take_the_same_pieces() {
    let mut random = Random(20_261_125);
    let work = strip();
    let (mut exact, mut with_holes) = (0, 0);
    for round in 0..200 {
        let shape = random_shape(&mut random);
        let openings: Vec<_> = shape.hole.iter().map(|&(at, size)| opening(at, size)).collect();
        let bonds = bond::full(6);
        let bond = bonds[(random.next(0.0, bonds.len() as f64)) as usize];
        let layout = lay_with(&covered(&one_face(&shape.places, &shape.kinds, 35.0), &openings), &work, &bond);

        with_holes += usize::from(shape.hole.is_some());
        let outline = covered_by_hand(&shape);
        let mut all = outline.clone();
        let mut holes = Vec::new();
        if let Some(([u, v], [w, h])) = shape.hole {
            holes.push(u32::try_from(all.len()).unwrap());
            let (l, r, b, t) = (u - 0.01, u + w + 0.01, v - 0.01, v + h + 0.01);
            all.extend([[l, b], [l, t], [r, t], [r, b]]);
        }
        let mut indices: Vec<u32> = Vec::new();
        Earcut::new().earcut(all.iter().copied(), &holes, &mut indices);
        let triangles: Vec<[Place; 3]> =
            indices.chunks(3).map(|c| [all[c[0] as usize], all[c[1] as usize], all[c[2] as usize]]).collect();

        let (left, right) = outline.iter().fold((f64::MAX, f64::MIN), |(l, r), p| (l.min(p[0]), r.max(p[0])));
        let slope = shape.places.iter().map(|p| p.1).fold(0.0, f64::max);
        // A notched face ends at free tops; the others under caps of half a tab less 25 mm.
        let cover = if shape.kinds.contains(&EdgeKind::Top) { 0.0 } else { 1.0 / 6.0 - 0.025 };
        let mut courses = 1;
        while -0.008 + 0.143 * f64::from(courses) < slope - cover
            || -0.008 + 0.143 * f64::from(courses - 1) + 0.336 < slope
        {
            courses += 1;
        }
        let (mut whole, mut cut) = (0_usize, 0_usize);
        for course in 0..courses {
            let butt = -0.008 + 0.143 * f64::from(course);
            let shift = f64::from((u32::try_from(course).unwrap() + bond.start) % 6) / 6.0;
            // The strip one before the first is there so that none is missed.
            for position in -2..14 {
                let from = match bond.hand {
                    Hand::Left => left - shift + f64::from(position),
                    Hand::Right => right + shift - 1.0 - f64::from(position),
                };
                let area = clipped_area(&triangles, [from, butt], [from + 1.0, butt + 0.336]);
                if area > 0.336 - 1e-6 {
                    whole += 1;
                } else if area > 1e-6 {
                    // A square millimetre is nothing to lay.
                    cut += 1;
                }
            }
        }
        let counts = layout.counts();
        let placed = counts.whole + counts.cut + counts.from_offcuts;
        assert!(counts.whole.abs_diff(whole) <= 1, "round {round}: {} whole, {whole} by brute force", counts.whole);
        assert!((placed - counts.whole).abs_diff(cut) <= 1, "round {round}: {cut} cut by brute force, {counts:?}");
        exact += usize::from(counts.whole == whole && placed - counts.whole == cut);

        // What is bought lies between the area bound and the placed pieces, and offcuts between none and the scrap.
        let kept: f64 = layout.courses.iter().flat_map(|c| &c.pieces).map(|p| p.area).sum();
        let bought = layout.new_pieces() as f64 * 0.336;
        assert!(kept <= bought + 1e-9 && layout.new_pieces() <= placed);
        let cut_off: f64 = layout
            .courses
            .iter()
            .flat_map(|c| &c.pieces)
            .filter(|p| p.source == Source::New)
            .map(|p| 0.336 - p.area)
            .sum();
        assert!(counts.from_offcuts as f64 <= cut_off / (0.336 / 6.0) + placed as f64 * 0.5);
    }
    assert!(with_holes >= 60, "only {with_holes} faces with holes");
    assert!(exact >= 195, "only {exact} of 200 agree exactly");
}
