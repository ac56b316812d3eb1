//! Timbers of random hip roofs against a construction by vectors, written apart: every length and angle from the planes of the
//! eaves as they are stated, by cross products. None of the roof's own faces, edges or frames is used.

use eavewright_core::framing::spec::{FramingSpec, Section, Sections};
use eavewright_core::framing::timber::{Against, Carcass, Home, Piece, Timber, TimberKind, Timbers, piece, timbers};
use eavewright_core::roof::{self, Options, Roof};
use nalgebra::{Point2, Point3, Vector3};
use support::outline::{block, eave};
use support::random::Random;

const RAFTER: f64 = 0.047;
const HIP: f64 = 0.061;
const RIDGE: f64 = 0.035;

fn spec() -> FramingSpec {
    let of = |thickness, depth| Some(Section::new(thickness, depth));
    let sections =
        Sections { rafter: of(RAFTER, 0.147), hip: of(HIP, 0.197), ridge: of(RIDGE, 0.222), ..Sections::default() };
    FramingSpec { sections, spacing: 0.45, ..FramingSpec::default() }
}

/// An eave as it is stated: where it runs, and the pitch that rises from it. The roof lies to its left.
#[derive(Clone, Copy)]
struct Stated {
    from: Point2<f64>,
    to: Point2<f64>,
    pitch: f64,
}

impl Stated {
    /// Where it starts, at a height.
    fn start(&self, height: f64) -> Point3<f64> {
        Point3::new(self.from.x, self.from.y, height)
    }

    /// Along the eave, level.
    fn along(&self) -> Vector3<f64> {
        let way = (self.to - self.from).normalize();
        Vector3::new(way.x, way.y, 0.0)
    }

    /// Into the roof, level.
    fn inward(&self) -> Vector3<f64> {
        Vector3::z().cross(&self.along())
    }

    /// Out of the slope.
    fn normal(&self) -> Vector3<f64> {
        Vector3::z() * self.pitch.cos() - self.inward() * self.pitch.sin()
    }

    /// Straight up the slope.
    fn ascent(&self) -> Vector3<f64> {
        self.inward() * self.pitch.cos() + Vector3::z() * self.pitch.sin()
    }
}

/// Where two slopes meet, upwards.
fn fold(one: &Stated, other: &Stated) -> Vector3<f64> {
    let way = one.normal().cross(&other.normal()).normalize();
    if way.z < 0.0 { -way } else { way }
}

/// Level and square to a direction in plan.
fn beside(way: &Vector3<f64>) -> Vector3<f64> {
    Vector3::z().cross(way).normalize()
}

fn angle(one: &Vector3<f64>, other: &Vector3<f64>) -> f64 {
    one.cross(other).norm().atan2(one.dot(other))
}

/// The sharp angle between two lines.
fn between_lines(one: &Vector3<f64>, other: &Vector3<f64>) -> f64 {
    let angle = angle(one, other);
    angle.min(std::f64::consts::PI - angle)
}

struct Case {
    eaves: Vec<Stated>,
    roof: Roof,
    timbers: Timbers,
}

impl Case {
    /// A four-sided hip roof: a rectangle or any convex four-sided outline, each side at a pitch of its own.
    fn random(random: &mut Random) -> Option<Self> {
        let (width, depth) = (random.between(6.0, 12.0), random.between(4.0, 6.0));
        let skew = if random.below(2) == 0 { 0.0 } else { 0.7 };
        let mut corner =
            |x: f64, y: f64| Point2::new(x + random.between(-1.0, 1.0) * skew, y + random.between(-1.0, 1.0) * skew);
        let corners = [corner(0.0, 0.0), corner(width, 0.0), corner(width, depth), corner(0.0, depth)];
        let degrees = [0; 4].map(|_| random.between(18.0, 55.0));
        let sides: Vec<_> = corners.iter().zip(degrees).map(|(at, degrees)| (at.x, at.y, eave(degrees))).collect();
        let footprint = block(&sides);
        let eaves = (0..4)
            .map(|side| Stated { from: corners[side], to: corners[(side + 1) % 4], pitch: degrees[side].to_radians() })
            .collect();
        let roof = roof::solve(std::slice::from_ref(&footprint), &Options::default()).ok()?;
        let timbers = timbers(&Carcass { roof: &roof, openings: &[], walls: &[], spec: &spec() });
        Some(Self { eaves, roof, timbers })
    }

    /// The number of the eave that a face rises from: sides are named by letters in order.
    fn of_face(&self, face: usize) -> usize {
        let side = self.roof.faces[face].side().unwrap();
        usize::from(side.side.as_bytes()[0] - b'A')
    }

    /// The piece that one timber alone is.
    fn piece(timber: &Timber) -> Piece {
        piece::pieces(&Timbers { all: vec![timber.clone()], ..Timbers::default() }).remove(0)
    }
}

fn close(what: &str, found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-6, "{what}: {found} for {expected}");
}

/// A jack from its eave to one hip: its lengths, and its cheek. Not said of one so near to an apex that the thickness of another
/// hip may reach it: which of them it is cut by is not told by lines alone.
fn check_jack(case: &Case, timber: &Timber, own: usize) -> bool {
    let slope = &case.eaves[own];
    let height = timber.line[0].z;
    // Straight up the slope from the same place of the eave, to the first of the other slopes.
    let eave_at = slope.start(height);
    let foot = eave_at + slope.along() * (timber.line[0] - eave_at).dot(&slope.along());
    let meets = |other: &Stated| {
        let normal = other.normal();
        -normal.dot(&(foot - other.start(height))) / normal.dot(&slope.ascent())
    };
    let others = (1..4).map(|step| &case.eaves[(own + step) % 4]);
    let mut met: Vec<(f64, &Stated)> =
        others.map(|other| (meets(other), other)).filter(|(reach, _)| *reach > 0.0).collect();
    met.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (up, beyond) = met[0];
    if met.get(1).is_some_and(|(next, _)| next - up < 0.25) {
        return false;
    }
    let hip = fold(slope, beyond);
    // A place of the line where both meet.
    let corner = foot + slope.ascent() * up;
    let mut side = beside(&hip);
    if side.dot(&(foot - corner)) < 0.0 {
        side = -side;
    }
    // To the plumb plane of the hip's near side.
    let reach = |from: &Point3<f64>| (HIP / 2.0 - side.dot(&(from - corner))) / side.dot(&slope.ascent());
    let piece = Case::piece(timber);
    close("top", piece.top, reach(&foot));
    let edges = [-0.5, 0.5].map(|share| reach(&(foot + slope.along() * (RAFTER * share))));
    close("long point", piece.long_point, edges[0].max(edges[1]));
    close("slope", piece.slope, slope.pitch);
    let [cut] = &piece.ends[1][..] else { panic!("{:?}", piece.ends) };
    // On its side: where the cut's plane meets the plumb side, from square across the piece.
    let on_side = side.cross(&slope.along());
    close("plumb cut", cut.plumb, between_lines(&on_side, &slope.normal()));
    // The saw, from square across in plan.
    close("saw", cut.tilt.abs(), between_lines(&side, &slope.inward()));
    // On its top, from square across.
    close("on top", cut.on_top.abs(), between_lines(&side.cross(&slope.normal()), &slope.along()));
    assert_eq!(cut.tilt > 0.0, edges[0] < edges[1], "the long point is on the other side");
    true
}

/// A rafter from its eave to the ridge between two parallel eaves.
fn check_common(case: &Case, timber: &Timber, own: usize) -> bool {
    let (slope, opposite) = (&case.eaves[own], &case.eaves[(own + 2) % 4]);
    if slope.along().cross(&opposite.along()).norm() > 1e-9 {
        return false;
    }
    // Level from eave to eave; the ridge is where both slopes are as high.
    let apart = slope.inward().xy().dot(&(opposite.from - slope.from));
    let run = apart * opposite.pitch.tan() / (slope.pitch.tan() + opposite.pitch.tan());
    let piece = Case::piece(timber);
    close("common", piece.top, (run - RIDGE / 2.0) / slope.pitch.cos());
    true
}

/// A hip between two eaves: its slope, its backing, its length over the corner it starts from.
fn check_hip(case: &Case, timber: &Timber, one: usize, other: usize) {
    let (a, b) = (&case.eaves[one], &case.eaves[other]);
    let hip = fold(a, b);
    assert!(angle(&timber.along, &hip) < 1e-7);
    let piece = Case::piece(timber);
    close("slope of a hip", piece.slope, hip.z.atan2(hip.xy().norm()));
    // Square to the hip in its plumb plane: what each slope leans from is its backing.
    let up = (Vector3::z() - hip * hip.z).normalize();
    let side = beside(&hip);
    let leans = |slope: &Stated| (slope.normal().dot(&side), angle(&slope.normal(), &up));
    let (first, second) = (leans(a), leans(b));
    let (left, right) = if first.0 > second.0 { (first.1, second.1) } else { (second.1, first.1) };
    close("backing left", piece.backing[0], left);
    close("backing right", piece.backing[1], right);
    // At its foot a plumb cut along each eave.
    let mut expected = [a, b].map(|slope| between_lines(&slope.inward(), &Vector3::new(hip.x, hip.y, 0.0)));
    expected.sort_by(f64::total_cmp);
    let mut found: Vec<f64> = piece.ends[0].iter().map(|cut| cut.tilt.abs()).collect();
    found.sort_by(f64::total_cmp);
    assert_eq!(found.len(), 2, "{:?}", piece.ends[0]);
    for (found, expected) in found.iter().zip(expected) {
        close("cheek at the eave", *found, expected);
    }
}

#[test]
fn a_thousand_random_pieces_are_what_vectors_say() {
    let mut random = Random(0x5EED_0F71);
    let (mut jacks, mut commons, mut hips) = (0, 0, 0);
    while jacks + commons + hips < 1000 || commons < 100 || hips < 100 {
        let Some(case) = Case::random(&mut random) else { continue };
        for timber in &case.timbers.all {
            let against =
                |end: usize| Case::piece(timber).ends[end].iter().map(|cut| cut.against).collect::<Vec<Against>>();
            match (timber.kind, timber.home) {
                (TimberKind::Jack, Home::Face(face))
                    if against(0) == [Against::Foot] && against(1) == [Against::Hip] =>
                {
                    jacks += usize::from(check_jack(&case, timber, case.of_face(face.index())));
                }
                (TimberKind::Rafter, Home::Face(face))
                    if against(0) == [Against::Foot] && against(1) == [Against::Ridge] =>
                {
                    commons += usize::from(check_common(&case, timber, case.of_face(face.index())));
                }
                (TimberKind::Hip, Home::Edge(edge)) => {
                    let faces = &case.roof.edges[edge.index()].faces;
                    let [one, other] = [0, 1].map(|at| case.of_face(faces[at].index()));
                    // Hips from a corner; one that goes on from where two hips met has no eave of its own at its foot.
                    if against(0) == [Against::Foot, Against::Foot] {
                        check_hip(&case, timber, one, other);
                        hips += 1;
                    }
                }
                _ => {}
            }
        }
    }
    println!("{jacks} jacks, {commons} commons, {hips} hips");
}
