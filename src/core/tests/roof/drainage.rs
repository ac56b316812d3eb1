//! Where water goes: closed forms (invented roofs, school geometry), sums, points rolled downhill, invariances.

use eavewright_core::base::ids::{BlockId, EdgeId, SideId};
use eavewright_core::base::polygon::contains;
use eavewright_core::outline::block::{Dormer, DormerKind};
use eavewright_core::outline::{Footprint, Role};
use eavewright_core::roof::Finding;
use eavewright_core::roof::analysis::drainage::{Drainage, Outlet, drain};
use eavewright_core::roof::{self, EdgeKind, FaceKind, Options, Roof};
use nalgebra::{Point2, Rotation2, Vector2};
use outline::{block, close, eave, pitch, rectangle};
use std::collections::BTreeMap;
use support::outline;
use support::random;

fn solve(footprints: &[Footprint]) -> (Roof, Drainage) {
    let roof = roof::solve(footprints, &Options::default()).unwrap_or_else(|error| panic!("{error}"));
    let drainage = drain(&roof);
    adds_up(&roof, &drainage).unwrap();
    (roof, drainage)
}

/// Catchments tile each face; what leaves is what fell.
fn adds_up(roof: &Roof, drainage: &Drainage) -> Result<(), String> {
    let mut of_face: BTreeMap<usize, f64> = BTreeMap::new();
    let mut leaves = 0.0;
    for part in &drainage.catchments {
        *of_face.entry(part.face.index()).or_default() += part.plan_area().0;
        let shares: f64 = part.ends.iter().map(|(_, share)| share).sum();
        if (shares - 1.0).abs() > 1e-12 {
            return Err(format!("shares add up to {shares}"));
        }
        leaves += part.plan_area().0;
    }
    let mut whole = 0.0;
    for (id, face) in roof.roof_faces() {
        let (area, parts) = (roof.plan_area(face).0, of_face.get(&id.index()).copied().unwrap_or_default());
        if (area - parts).abs() > 1e-9 * area.max(1.0) {
            return Err(format!("{}: {area} m² in plan, catchments {parts}", face.name()));
        }
        whole += area;
    }
    if (whole - leaves).abs() > 1e-9 * whole {
        return Err(format!("{whole} m² in plan, {leaves} drained"));
    }
    Ok(())
}

fn named(footprint: Footprint, name: &str, height: f64) -> Footprint {
    let mut footprint = Footprint { name: name.into(), height, ..footprint };
    for side in footprint.rings.iter_mut().flat_map(|ring| &mut ring.sides) {
        side.height += height;
    }
    footprint
}

/// What edges of a kind beside a face carry, together.
fn carried(roof: &Roof, drainage: &Drainage, kind: EdgeKind, face: &str) -> f64 {
    let beside = |edge: &roof::Edge| edge.faces.iter().any(|face_id| roof.faces[face_id.index()].name() == face);
    let edges = roof.edges.iter().enumerate().filter(|(_, edge)| edge.kind == kind && beside(edge));
    edges.map(|(index, _)| drainage.carried_by(EdgeId::new(index)).0).sum()
}

/// Plan area of a face that reaches outlets of a kind first.
fn first(roof: &Roof, drainage: &Drainage, face: &str, word: &str) -> f64 {
    let of = drainage.catchments.iter().filter(|part| roof.faces[part.face.index()].name() == face);
    of.filter(|part| part.outlet.word(roof) == word).map(|part| part.plan_area().0).sum()
}

#[test]
fn hip_eaves_take_their_own_faces() {
    let (roof, drainage) = solve(&[rectangle(9.2, 5.6, [eave(35.0), eave(35.0), eave(35.0), eave(35.0)])]);
    assert_eq!(drainage.catchments.len(), 4);
    for name in ["b/A", "b/B", "b/C", "b/D"] {
        let face = &roof.faces[roof.face_named(name).unwrap().index()];
        close(carried(&roof, &drainage, EdgeKind::Eave, name), roof.plan_area(face).0, 1e-12);
    }
    // A catchment that is the whole face has the face's own corners.
    let part = &drainage.catchments[0];
    assert_eq!(part.region.rings[0].len(), roof.faces[part.face.index()].ring.len());
}

fn l_plan() -> Footprint {
    // 8.0 x 7.0, legs 4.0, 30.
    let e = || eave(30.0);
    block(&[
        (0.0, 0.0, e()),
        (8.0, 0.0, Role::Verge),
        (8.0, 4.0, e()),
        (4.0, 4.0, e()),
        (4.0, 7.0, Role::Verge),
        (0.0, 7.0, e()),
    ])
}

#[test]
fn the_valley_of_an_l_takes_two_triangles() {
    let (roof, drainage) = solve(&[l_plan()]);
    // Up to the ridges half way across: 8 x 2 less the hip's triangle of 2; behind eave C 4 x 2, D 3 x 2.
    close(first(&roof, &drainage, "b/A", "eave"), 14.0, 1e-9);
    close(first(&roof, &drainage, "b/C", "eave"), 8.0, 1e-9);
    close(first(&roof, &drainage, "b/D", "eave"), 6.0, 1e-9);
    for face in ["b/C", "b/D"] {
        close(first(&roof, &drainage, face, "valley"), 2.0, 1e-9);
    }
    // The valley's 4 m² leave at its foot, half over each eave.
    close(carried(&roof, &drainage, EdgeKind::Valley, "b/C"), 4.0, 1e-9);
    close(carried(&roof, &drainage, EdgeKind::Eave, "b/C"), 10.0, 1e-9);
    close(carried(&roof, &drainage, EdgeKind::Eave, "b/D"), 8.0, 1e-9);
    // The divide in face C is the flow line through the valley's foot.
    let part = drainage
        .catchments
        .iter()
        .find(|part| roof.faces[part.face.index()].name() == "b/C" && part.outlet.word(&roof) == "valley");
    let mut corners = part.unwrap().region.rings[0].clone();
    corners.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let expected = [(2.0, 2.0), (4.0, 2.0), (4.0, 4.0)];
    assert_eq!(corners.len(), 3, "{corners:?}");
    for (corner, (x, y)) in corners.iter().zip(expected) {
        assert!((corner - Point2::new(x, y)).norm() < 1e-9, "{corners:?}");
    }
}

#[test]
fn a_gambrel_drains_over_its_breaks() {
    let side = Role::Eave { pitch: pitch(60.0), breaks: vec![(60f64.to_radians().tan(), pitch(30.0))] };
    let (roof, drainage) = solve(&[rectangle(7.0, 6.0, [side.clone(), Role::Verge, side, Role::Verge])]);
    close(carried(&roof, &drainage, EdgeKind::Eave, "b/A"), 21.0, 1e-9);
    assert!(drainage.catchments.iter().all(|part| part.outlet.word(&roof) == "eave"));
    assert_eq!(drainage.catchments.len(), 4);
}

fn house() -> Footprint {
    named(rectangle(8.0, 7.0, [eave(40.0), Role::Verge, eave(40.0), Role::Verge]), "house", 2.5)
}

fn with_dormer(kind: DormerKind, front_height: f64, degrees: f64) -> (Roof, Drainage) {
    let host = roof::solve(&[house()], &Options::default()).unwrap();
    let face = SideId { block: BlockId::new(0), ring: 0, side: 0 };
    let (at, pitch) = ([3.1, 1.0], pitch(degrees));
    let dormer = Dormer { name: "d1".into(), face, piece: 1, at, width: 1.8, front_height, pitch, kind };
    let dormer = roof::kernel::dormer::footprint(&host, "house/A", &dormer).unwrap();
    solve(&[house(), dormer])
}

#[test]
fn a_dormers_valleys_run_on_down_the_slope_beside_its_cheeks() {
    let (roof, drainage) = with_dormer(DormerKind::Gable, 1.2, 40.0);
    let eaves = 1.2 / 40f64.to_radians().tan();
    // Behind the dormer, between its valleys and the ridge.
    let behind = 1.8 * (3.5 - 1.0 - eaves) - 0.81;
    close(first(&roof, &drainage, "house/A", "valley"), behind, 1e-9);
    for side in ["d1/left", "d1/right"] {
        close(first(&roof, &drainage, side, "eave"), 0.9 * eaves, 1e-9);
        close(first(&roof, &drainage, side, "valley"), 0.405, 1e-9);
        close(carried(&roof, &drainage, EdgeKind::Valley, side), behind / 2.0 + 0.405, 1e-9);
        close(carried(&roof, &drainage, EdgeKind::Eave, side), 0.9 * eaves, 1e-9);
    }
    close(carried(&roof, &drainage, EdgeKind::Eave, "house/A"), 28.0 - 1.8 * eaves, 1e-9);
    close(carried(&roof, &drainage, EdgeKind::Eave, "house/C"), 28.0, 1e-9);
}

#[test]
fn the_slope_behind_a_shed_dormer_drains_over_it() {
    let (roof, drainage) = with_dormer(DormerKind::Shed, 0.8, 15.0);
    let depth = 0.8 / (40f64.to_radians().tan() - 15f64.to_radians().tan());
    close(carried(&roof, &drainage, EdgeKind::Eave, "d1/front"), 1.8 * 2.5, 1e-9);
    close(first(&roof, &drainage, "d1/front", "eave"), 1.8 * depth, 1e-9);
    close(carried(&roof, &drainage, EdgeKind::Eave, "house/A"), 28.0 - 1.8 * 2.5, 1e-9);
}

/// An upper roof whose raking verge stands over a lower one.
#[test]
fn water_falls_down_a_wall_on_to_the_roof_below() {
    let upper =
        block(&[(0.0, 0.0, eave(30.0)), (6.0, 0.0, Role::Verge), (9.0, 3.0, Role::Abutment), (0.0, 3.0, Role::Verge)]);
    let lower = block(&[(6.0, 0.0, eave(15.0)), (9.0, 0.0, Role::Verge), (9.0, 3.0, Role::Abutment)]);
    let (roof, drainage) = solve(&[named(upper, "upper", 3.0), named(lower, "lower", 1.0)]);
    close(carried(&roof, &drainage, EdgeKind::Eave, "lower/A"), 9.0, 1e-9);
    close(carried(&roof, &drainage, EdgeKind::Eave, "upper/A"), 18.0, 1e-9);
    // Alone it runs off the verge.
    let upper =
        block(&[(0.0, 0.0, eave(30.0)), (6.0, 0.0, Role::Verge), (9.0, 3.0, Role::Abutment), (0.0, 3.0, Role::Verge)]);
    let (roof, drainage) = solve(&[upper]);
    close(first(&roof, &drainage, "b/A", "verge"), 4.5, 1e-9);
}

fn twin_gables(depth: f64) -> [Footprint; 2] {
    let gable = || rectangle(4.0, depth, [Role::Verge, eave(35.0), Role::Verge, eave(35.0)]);
    let right = moved(&gable(), |place| place + Vector2::new(4.0, 0.0));
    [named(gable(), "left", 2.0), named(right, "right", 2.0)]
}

#[test]
fn a_level_valley_spouts_at_its_ends_or_ponds_between_walls() {
    let (roof, drainage) = solve(&twin_gables(6.0));
    close(first(&roof, &drainage, "left/B", "valley"), 12.0, 1e-9);
    let part = drainage.catchments.iter().find(|part| part.outlet.word(&roof) == "valley").unwrap();
    assert_eq!(part.ends, [(part.outlet, 1.0)]);
    close(carried(&roof, &drainage, EdgeKind::Valley, "left/B"), 24.0, 1e-9);
    assert!(drainage.findings(&roof).is_empty());

    let wall = |y: f64, name| {
        let tall = rectangle(8.0, 3.0, [eave(10.0), Role::Verge, eave(10.0), Role::Verge]);
        named(moved(&tall, |place| place + Vector2::new(0.0, y)), name, 5.0)
    };
    let [left, right] = twin_gables(6.0);
    let (roof, drainage) = solve(&[left, right, wall(-3.0, "south"), wall(6.0, "north")]);
    close(first(&roof, &drainage, "left/B", "valley"), 12.0, 1e-9);
    let findings = drainage.findings(&roof);
    let [Finding::NoWayOff { at, faces, area, .. }] = findings.as_slice() else { panic!("{findings:?}") };
    assert_eq!(at.word(&roof), "pond");
    assert_eq!(roof.edges[at.edge().unwrap().index()].kind, EdgeKind::Valley);
    let names: Vec<String> = faces.iter().map(|face| roof.faces[face.index()].name()).collect();
    assert_eq!(names, ["left/B", "right/D"]);
    close(*area, 24.0, 1e-9);
}

#[test]
fn a_roof_that_falls_to_a_wall_drains_along_its_foot() {
    // Water runs east. South of y = 2 the slanted wall x = 3 y is in its way: 6 m² run along its foot to the eave's end.
    let low =
        block(&[(0.0, 0.0, Role::Abutment), (6.0, 2.0, eave(20.0)), (6.0, 6.0, Role::Verge), (0.0, 6.0, Role::Verge)]);
    let (roof, drainage) = solve(&[low]);
    close(carried(&roof, &drainage, EdgeKind::Eave, "b/B"), 30.0, 1e-9);
    close(carried(&roof, &drainage, EdgeKind::Abutment, "b/B"), 6.0, 1e-9);
}

fn moved(footprint: &Footprint, place: impl Fn(Point2<f64>) -> Point2<f64>) -> Footprint {
    let mut footprint = footprint.clone();
    for side in footprint.rings.iter_mut().flat_map(|ring| &mut ring.sides) {
        side.start = place(side.start);
    }
    footprint
}

/// Rolls a ball from a place in small steps to where it leaves the roof.
fn roll(roof: &Roof, from: Point2<f64>, step: f64) -> Option<Point2<f64>> {
    let plans: Vec<(Vec<Vec<Point2<f64>>>, Vector2<f64>)> = roof
        .roof_faces()
        .map(|(_, face)| {
            let rings = std::iter::once(roof.ring(face)).chain(roof.holes(face));
            let plan = rings.map(|ring| ring.iter().map(nalgebra::Point3::xy).collect()).collect();
            (plan, face.plane.downslope().unwrap())
        })
        .collect();
    let mut at = from;
    let mut last: Option<usize> = None;
    for _ in 0..20_000 {
        let inside = |index: &usize| plans[*index].0.iter().filter(|ring| contains(ring, &at)).count() % 2 == 1;
        let Some(face) = last.filter(inside).or_else(|| (0..plans.len()).find(inside)) else { return Some(at) };
        last = Some(face);
        at += plans[face].1 * step;
    }
    None
}

fn distance(roof: &Roof, edge: EdgeId, place: &Point2<f64>) -> f64 {
    let edge = &roof.edges[edge.index()];
    let (from, to) = (roof.at(edge.from).xy(), roof.at(edge.to).xy());
    let share = ((place - from).dot(&(to - from)) / (to - from).norm_squared()).clamp(0.0, 1.0);
    (place - (from + (to - from) * share)).norm()
}

#[test]
fn points_rolled_downhill_leave_where_their_catchment_says() {
    let step = 0.01;
    let (mut rolled, mut skipped) = (0, 0);
    let mut wrong = Vec::new();
    for seed in 0..40u64 {
        let sides = 6 + usize::try_from(seed).unwrap() % 14;
        for footprint in [
            random::rectilinear(seed, sides, false),
            random::rectilinear(seed, sides, true),
            random::general(seed, sides, false),
            random::general(seed, sides, true),
        ] {
            let (roof, drainage) = solve(std::slice::from_ref(&footprint));
            let corners = footprint.rings[0].corners();
            let (low, high) = corners.iter().fold((corners[0], corners[0]), |(a, b), c| (a.inf(c), b.sup(c)));
            let mut random = random::Random(seed ^ 0x4d);
            let inside = |place: &Point2<f64>| {
                drainage
                    .catchments
                    .iter()
                    .position(|part| part.region.rings.iter().filter(|ring| contains(ring, place)).count() % 2 == 1)
            };
            for _ in 0..6 {
                let place = Point2::new(random.between(low.x, high.x), random.between(low.y, high.y));
                let Some(part) = inside(&place) else { continue };
                // A ball near a divide may go either way.
                let margin = 10.0 * step;
                let near = [(margin, 0.0), (-margin, 0.0), (0.0, margin), (0.0, -margin)];
                if near.iter().any(|&(x, y)| inside(&(place + Vector2::new(x, y))) != Some(part)) {
                    skipped += 1;
                    continue;
                }
                let Some(end) = roll(&roof, place, step) else {
                    wrong.push(format!("{seed}: never left from {place}"));
                    continue;
                };
                rolled += 1;
                let ends = &drainage.catchments[part].ends;
                let right = |(outlet, _): &(Outlet, f64)| match outlet {
                    Outlet::Edge(edge) => distance(&roof, *edge, &end) <= 4.0 * step,
                    Outlet::Pond(_) | Outlet::Level(_) => false,
                };
                if !ends.iter().any(right) {
                    wrong.push(format!("{seed}: from {place} to {end}, said {ends:?}"));
                }
            }
        }
    }
    println!("{rolled} rolled, {skipped} too near a divide");
    assert!(rolled > 150, "{rolled} rolled");
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn all_rain_is_accounted_for() {
    let mut wrong = Vec::new();
    let mut drained = 0;
    for seed in 0..300u64 {
        let sides = 6 + usize::try_from(seed).unwrap() * 7 % 40;
        for footprint in [
            random::rectilinear(seed, sides, seed % 2 == 0),
            random::general(seed, sides, seed % 2 == 0),
            random::coincident(seed, sides.min(24), seed % 2 == 0, seed % 4 < 2),
        ] {
            let Ok(roof) = roof::solve(std::slice::from_ref(&footprint), &Options::default()) else { continue };
            let drainage = drain(&roof);
            drained += 1;
            if let Err(error) = adds_up(&roof, &drainage) {
                wrong.push(format!("{seed}: {error}"));
            }
            // Where all sides are eaves all water reaches one.
            let all_eaves = footprint.rings[0].sides.iter().all(|side| side.role.is_eave());
            let to_eaves = |(end, _): &(Outlet, f64)| end.word(&roof) == "eave";
            let plain = roof.faces.iter().all(|face| face.kind == FaceKind::Roof);
            if all_eaves && plain && !drainage.catchments.iter().flat_map(|part| &part.ends).all(to_eaves) {
                wrong.push(format!("{seed}: water that reaches no eave"));
            }
        }
    }
    assert!(drained > 700, "{drained}");
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong.join("\n"));
}

/// What each kind of edge beside each face carries.
fn summary(roof: &Roof, drainage: &Drainage) -> BTreeMap<(EdgeKind, Vec<String>), f64> {
    let mut sums = BTreeMap::new();
    for (index, edge) in roof.edges.iter().enumerate() {
        let carried = drainage.carried_by(EdgeId::new(index)).0;
        if carried > 1e-6 {
            let mut sides: Vec<String> = edge
                .faces
                .iter()
                .flat_map(|face| roof.faces[face.index()].sides.clone())
                .map(|side| side.side.to_string())
                .collect();
            sides.sort();
            *sums.entry((edge.kind, sides)).or_insert(0.0) += carried;
        }
    }
    sums
}

fn same(
    what: &str,
    one: &BTreeMap<(EdgeKind, Vec<String>), f64>,
    two: &BTreeMap<(EdgeKind, Vec<String>), f64>,
    factor: f64,
) {
    assert_eq!(one.keys().collect::<Vec<_>>(), two.keys().collect::<Vec<_>>(), "{what}");
    for (key, area) in one {
        let other = two[key];
        assert!((area * factor - other).abs() <= 1e-6 * (area + 1.0) * factor, "{what}: {key:?} {area}, {other}");
    }
}

#[test]
fn turning_and_moving_change_no_catchment() {
    let mut roofs = vec![l_plan(), rectangle(9.2, 5.6, [eave(35.0), eave(35.0), eave(35.0), eave(35.0)])];
    for seed in 0..25 {
        roofs.push(random::rectilinear(seed, 14, true));
        roofs.push(random::general(seed, 14, false));
    }
    for (number, footprint) in roofs.iter().enumerate() {
        let summary_of = |footprint: &Footprint| {
            let (roof, drainage) = solve(std::slice::from_ref(footprint));
            summary(&roof, &drainage)
        };
        let plain = summary_of(footprint);
        for degrees in [90.0, 31.7] {
            let rotation = Rotation2::new(f64::to_radians(degrees));
            same(&format!("{number} turned"), &plain, &summary_of(&moved(footprint, |place| rotation * place)), 1.0);
        }
        let far = Vector2::new(500_000.0, -500_000.0);
        same(&format!("{number} far"), &plain, &summary_of(&moved(footprint, |place| place + far)), 1.0);
        let half = moved(footprint, |place| Point2::from(place.coords * 0.5));
        same(&format!("{number} halved"), &plain, &summary_of(&half), 0.25);
    }
}
