//! Dormers against closed forms, for every kind, at many depths, widths, cheeks and pitches. School geometry, stated beside
//! each; the sizes are invented.
//!
//! The host is a gable roof of tangent t over an eave along x; a dormer of width w has its front a level distance in from the
//! eave, its own eaves h above the slope there, and its pitch's tangent s. With y the level distance in from its front the host
//! stands at t y and the dormer's eaves at h, so the cheeks end at y = h / t. A side slope reaches over to the middle, w / 2.

use eavewright_core::base::ids::{BlockId, SideId};
use eavewright_core::base::units::Pitch;
use eavewright_core::outline::block::{Dormer, DormerKind};
use eavewright_core::outline::{Footprint, Role};
use eavewright_core::roof::{self, EdgeKind, FaceKind, Options, Roof};
use support::blocks::block;
use support::outline::{check_solid, close, lengths};

const OPTIONS: Options = Options { tolerance: None, join_gap: 0.0, steps: false };

/// A house 40 m long and 30 m deep, so that every dormer has its place in its slope.
fn house(tangent: f64) -> Footprint {
    let eave = || Role::Eave { pitch: Pitch::from_rise_over_run(tangent, 1.0).unwrap(), breaks: Vec::new() };
    let roles = vec![eave(), Role::Verge, eave(), Role::Verge];
    block("house", 2.5, &[(0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0)], roles)
}

struct Case {
    kind: DormerKind,
    /// Of the host, and of the dormer.
    tangents: [f64; 2],
    width: f64,
    cheek: f64,
    depth: f64,
}

fn solve(case: &Case) -> Roof {
    let house = house(case.tangents[0]);
    let host = roof::solve_one(&house, &OPTIONS).unwrap();
    let stated = Dormer {
        name: "d".into(),
        face: SideId { block: BlockId::new(0), ring: 0, side: 0 },
        piece: 1,
        at: [12.0, case.depth],
        width: case.width,
        front_height: case.cheek,
        pitch: Pitch::from_rise_over_run(case.tangents[1], 1.0).unwrap(),
        kind: case.kind,
    };
    let dormer = roof::kernel::dormer::footprint(&host, "house/A", &stated).unwrap();
    let joined = roof::solve(&[house, dormer], &OPTIONS).unwrap();
    check_solid(&joined).unwrap();
    roof::kernel::shell::solid(&joined, 0.0).unwrap();
    joined
}

fn area(roof: &Roof, name: &str) -> f64 {
    roof.face_named(name).map_or(0.0, |id| roof.area(&roof.faces[id.index()]).0)
}

fn cheeks(roof: &Roof) -> f64 {
    let walls =
        roof.faces.iter().filter(|face| face.kind == FaceKind::Wall && face.block().is_some_and(|block| block == "d"));
    walls.map(|face| roof.area(face).0).sum()
}

/// The front below the dormer's eaves; flush with the house's own wall it is a part of that and no face.
fn front_wall(case: &Case) -> f64 {
    if case.depth == 0.0 { 0.0 } else { case.width * case.cheek }
}

/// Every pair of pitches, width, cheek and depth that is tried.
fn cases(kind: DormerKind, try_case: impl Fn(&Case)) {
    let mut tried = 0;
    for tangents in [[1.0, 0.75], [1.0, 1.0], [0.75, 1.0], [1.5, 0.5], [0.839_099_631_177_28, 0.577_350_269_189_625_8]]
    {
        for width in [0.6, 1.5, 2.4] {
            for cheek in [0.3, 0.9, 1.4] {
                for depth in [0.0, 0.05, 1.3] {
                    try_case(&Case { kind, tangents, width, cheek, depth });
                    tried += 1;
                }
            }
        }
    }
    assert_eq!(tried, 135);
}

/// A ridge from the front to where it meets the slope, two valleys, two side slopes, two cheeks and a front with a gable.
#[test]
fn gabled_dormers() {
    cases(DormerKind::Gable, |case| {
        let roof = solve(case);
        let ([t, s], w, h) = (case.tangents, case.width, case.cheek);
        let (eave, ridge) = (h / t, (h + s * w / 2.0) / t);
        let side = w / 2.0 * f64::midpoint(eave, ridge) * s.hypot(1.0);
        close(area(&roof, "d/right"), side, 1e-9);
        close(area(&roof, "d/left"), side, 1e-9);
        let own: Vec<f64> = lengths(&roof, EdgeKind::Ridge).into_iter().filter(|length| *length < 39.0).collect();
        assert_eq!(own.len(), 1);
        close(own[0], ridge, 1e-9);
        let run = (w / 2.0).hypot(ridge - eave);
        let valleys = lengths(&roof, EdgeKind::Valley);
        assert_eq!(valleys.len(), 2);
        for length in valleys {
            close(length, run.hypot(s * w / 2.0), 1e-9);
        }
        // Two triangles, and the front: from the slope up to the eaves and the gable over them.
        close(cheeks(&roof), h * eave + front_wall(case) + w * w * s / 4.0, 1e-9);
        close(area(&roof, "house/A"), (40.0 * 15.0 - w * f64::midpoint(eave, ridge)) * t.hypot(1.0), 1e-8);
    });
}

/// The roof rises from the front alone: its slope runs back to where the host overtakes it, under cheeks that grow with it.
#[test]
fn shed_dormers() {
    cases(DormerKind::Shed, |case| {
        let ([t, s], w, h) = (case.tangents, case.width, case.cheek);
        if s >= t || h / (t - s) > 14.0 - case.depth {
            return;
        }
        let roof = solve(case);
        let back = h / (t - s);
        close(area(&roof, "d/front"), w * back * s.hypot(1.0), 1e-8);
        // Triangles between the two slopes, and the front.
        close(cheeks(&roof), h * back + front_wall(case), 1e-8);
        close(area(&roof, "house/A"), (40.0 * 15.0 - w * back) * t.hypot(1.0), 1e-8);
        assert_eq!(roof.roof_faces().filter(|(_, face)| face.block().is_some_and(|block| block == "d")).count(), 1);
    });
}

/// A hip in front of the ridge, as long in plan as it is wide to the middle; where the slope comes first there is no ridge, and
/// the hips are cut off.
#[test]
fn hipped_dormers() {
    cases(DormerKind::Hip, hipped);
}

/// A ridge of next to nothing, none, and next to none: cheeks such that the ridge's end comes just behind, at and just before
/// the point where the hips meet, by a metre down to what is less than the tolerance.
#[test]
fn hipped_dormers_about_a_ridge_of_nothing() {
    for [t, s] in [[1.0, 0.5], [1.5, 0.75], [0.75, 0.5]] {
        for width in [1.0, 2.0] {
            for by in [0.2, 1e-2, 1e-3, 1e-4, 1e-5, 1e-8, 1e-12, 0.0, -1e-12, -1e-8, -1e-5, -1e-4, -1e-3, -1e-2, -0.2] {
                // The ridge ends (h + s w / 2) / t in, the hips meet w / 2 in.
                let cheek = t * (width / 2.0 + by) - s * width / 2.0;
                if cheek > 1e-3 {
                    hipped(&Case { kind: DormerKind::Hip, tangents: [t, s], width, cheek, depth: 1.0 });
                }
            }
        }
    }
}

fn hipped(case: &Case) {
    let ([t, s], w, h) = (case.tangents, case.width, case.cheek);
    let (eave, ridge, middle) = (h / t, (h + s * w / 2.0) / t, w / 2.0);
    // Where the front's own slope would meet the host.
    let front = if t > s { h / (t - s) } else { f64::INFINITY };
    let roof = solve(case);
    let slope = s.hypot(1.0);
    let (front_plan, side_plan) = if ridge >= middle {
        // A triangle before the ridge; beside it what the gabled dormer has, less the half of the square in the corner.
        (middle * middle, middle * f64::midpoint(eave, ridge) - middle * middle / 2.0)
    } else {
        // At height z the front is w - 2 z / s wide: a trapezium back to where it meets the host; each side a triangle from
        // its eave to there.
        (front * (w - front), front * eave / 2.0)
    };
    let off = 4e-6;
    close(area(&roof, "d/front"), front_plan * slope, off);
    close(area(&roof, "d/right"), side_plan * slope, off);
    close(area(&roof, "d/left"), side_plan * slope, off);
    close(cheeks(&roof), h * eave + front_wall(case), off);
    close(area(&roof, "house/A"), (40.0 * 15.0 - front_plan - 2.0 * side_plan) * t.hypot(1.0), off);
    let own: Vec<f64> = lengths(&roof, EdgeKind::Ridge).into_iter().filter(|length| *length < 39.0).collect();
    if ridge - middle > 1e-5 {
        assert_eq!(own.len(), 1);
        close(own[0], ridge - middle, 1e-5);
    }
    assert!(own.iter().sum::<f64>() <= (ridge - middle).max(0.0) + if ridge < middle { 0.0 } else { 1e-5 } + 1e-5);
    let hips = lengths(&roof, EdgeKind::Hip);
    assert_eq!(hips.len(), 2, "{hips:?}");
    let run = if ridge >= middle { middle } else { front };
    for length in hips {
        close(length, run * (2.0 + s * s).sqrt(), 1e-5);
    }
}
