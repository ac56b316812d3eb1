//! Hips, valleys, caps, openings, offcuts, waste; and what must come out even.

use super::one_face::{covered, opening, rectangle, strip, triangle};
use super::read::{self, taken};
use super::rules_01_to_12::PHASE_0;
use super::solved::{covering, eave, rectangle as roof_of, solved, t_plan, taken_off};
use super::{area, detail, extent, faces, joints_keep_apart, near, quantity};
use eavewright::base::units::Pitch;
use eavewright::outline::footprint::Role;
use eavewright::roof::analysis::drainage::drain;
use eavewright::roof::analysis::opening::CutOpening;
use eavewright::roof::{EdgeKind, Roof};
use eavewright::takeoff::lay::{courses_to, lay, lay_with};
use eavewright::takeoff::layout::{FaceLayout, Place, Source};
use eavewright::takeoff::model::{Covering, HipMethod, Waste};
use eavewright::takeoff::outline::CoveredFace;
use eavewright::takeoff::{TakeOff, TakeoffInput, bond, caps, take_off};
use nalgebra::{Point2, Vector2};
use std::collections::HashMap;

fn hip() -> Roof {
    roof_of(9.2, 5.6, eave(35.0), eave(35.0))
}

fn gable(width: f64, depth: f64, degrees: f64) -> Roof {
    roof_of(width, depth, eave(degrees), Role::Verge)
}

/// A T with gables of any pitch: main 10.0 x 6.0, wing 4.0 wide and 3.0 out.
pub fn tee(degrees: f64) -> Roof {
    let corners = [(0.0, 0.0), (3.0, 0.0), (3.0, -3.0), (7.0, -3.0), (7.0, 0.0), (10.0, 0.0), (10.0, 6.0), (0.0, 6.0)];
    let verge = || Role::Verge;
    let side = || eave(degrees);
    solved(&corners, &[side(), side(), verge(), side(), side(), verge(), side(), verge()])
}

#[test]
fn rule_13_hips_are_trimmed_to_the_line_or_run_over_by_100_mm_which_changes_the_count() {
    let usual = covering("strip-shingle");
    let mut over = covering("strip-shingle");
    over.laying.hip = HipMethod::Over;
    let area = |covering: &Covering| faces(&hip(), covering).iter().map(|face| face.region.area()).sum::<f64>();
    // Trimmed: the true area and 8 mm along 29.6 m of eave.
    near(area(&usual), 62.894 + 0.008 * 29.6, 0.002);
    // Each hip's first side reaches 100 mm further along its 4.4 m.
    let more = area(&over) - area(&usual);
    assert!(more > 0.9 * 4.0 * 0.44 && more < 1.1 * 4.0 * 0.44, "{more}");
}

#[test]
fn rule_14_an_open_valley_is_trimmed_75_mm_and_widens_5_mm_a_metre_on_each_side() {
    let covering = covering("strip-shingle");
    let mut seen = 0;
    for face in faces(&t_plan(), &covering) {
        for edge in face.edges.iter().filter(|edge| edge.kind == EdgeKind::Valley) {
            near(edge.length(), 3.289, 1e-3);
            let along = (edge.to - edge.from).normalize();
            let inwards = Vector2::new(-along.y, along.x);
            let line = edge.covered;
            // The trimmed line, square to the centre at its two ends.
            let at = |place: Point2<f64>| {
                let (a, d) = (line[0], line[1] - line[0]);
                -(place - a).perp(&d) / inwards.perp(&d)
            };
            let (top, foot) = if edge.from.y > edge.to.y { (edge.from, edge.to) } else { (edge.to, edge.from) };
            near(at(top), 0.075, 1e-9);
            near(at(foot), 0.075 + 0.005 * edge.length(), 1e-9);
            seen += 1;
        }
    }
    assert_eq!(seen, 4);
}

#[test]
fn rule_16_caps_are_counted_along_each_line_and_rounded_to_strips_over_the_whole_roof() {
    // ceil((3600 - 143) / 143) + 1 = 26 = ceil(3600 / 143).
    assert_eq!(caps::count(3.6, 0.143, 0.143), 26);
    assert_eq!(caps::count(0.1, 0.143, 0.143), 1);
    let answer = taken_off(&hip(), &covering("strip-shingle"));
    // A hip of 4.419 m and its projection at the eave: ceil((4.43 - 0.143) / 0.143) + 1 = 31, doubled at the eave: 32; one
    // more at each end of the ridge, where three lines meet.
    let counted: u32 = answer.caps.iter().map(|run| run.caps).sum();
    assert_eq!(counted, 26 + 4 * 32 + 2);
    assert_eq!(quantity(&answer, "ridge-hip-cap"), f64::from(counted));
    // Three a strip, out of whole tabs of offcuts first.
    let tabs: f64 =
        answer.layouts.iter().flat_map(|layout| &layout.offcuts_left).map(|left| (left * 3.0 + 1e-6).floor()).sum();
    let strips = ((f64::from(counted) - tabs).max(0.0) / 3.0).ceil();
    let detail = detail(&answer, "strip-shingle");
    assert!(detail.ends_with(&format!("{strips} for caps")), "{detail}");
}

#[test]
fn rule_16_hips_run_from_the_eave_up_and_ridges_from_the_lee_end_or_to_the_wall() {
    let roof = gable(8.0, 6.0, 35.0);
    let covering = covering("strip-shingle");
    let ridge = |degrees: f64, north: f64| {
        let wind_from = Some(f64::to_radians(degrees));
        let input = TakeoffInput {
            roof: &roof,
            drainage: &drain(&roof),
            openings: &[],
            covering: &covering,
            wind_from,
            timbers: &[],
            north: f64::to_radians(north),
            area_sd: None,
        };
        take_off(&input).caps[0].clone()
    };
    // The ridge runs along x. Wind from the east blows towards -x: the first cap lies at the west end.
    assert!(ridge(90.0, 0.0).from.x < 1.0);
    assert!(ridge(270.0, 0.0).from.x > 7.0);
    // With +y pointing east, +x points south: wind from the south.
    assert!(ridge(180.0, 90.0).from.x < 1.0);
    for run in taken_off(&hip(), &covering).caps.iter().filter(|run| run.kind == EdgeKind::Hip) {
        assert!(run.from.z < run.to.z);
    }
    // Both verges: the ridge's length takes their projections.
    near(ridge(90.0, 0.0).length, 8.016, 1e-9);
    let porch = [(0.0, 0.0), (2.4, 0.0), (2.4, 1.5), (0.0, 1.5)];
    let answer = taken_off(&solved(&porch, &[eave(30.0), eave(30.0), Role::Abutment, eave(30.0)]), &covering);
    let ridge = answer.caps.iter().find(|run| run.kind == EdgeKind::Ridge).unwrap();
    assert!(ridge.to.y > ridge.from.y && ridge.why == caps::CapsRun::TowardsWall);
    // How they are nailed is on the sheet: exposure and 25 mm from the butt, 25 mm from the side.
    let sides = ["pitch = 35", "pitch = 35", "pitch = 35", "pitch = 35"];
    let sheet = read::sheet(&taken(&read::rectangle(9.2, 5.6, sides, "")));
    assert!(sheet.contains("Nails 168 mm from the butt and 25 mm from the sides"));
}

#[test]
fn rule_17_half_cover_is_measured_on_the_slope_and_cold_tabs_are_warmed() {
    // The same length of slope takes as many courses under a sharp ridge as under a flat one.
    let card = covering("strip-shingle");
    let courses = |degrees: f64| {
        let depth = 2.0 * 3.2 * f64::to_radians(degrees).cos();
        taken_off(&gable(5.0, depth, degrees), &card).faces[0].courses
    };
    let expected = courses_to(3.2, 0.008, 0.143, 0.333, 0.141);
    assert!([20.0, 35.0, 50.0, 59.0].iter().all(|&degrees| courses(degrees) == expected));
}

#[test]
fn rule_18_openings_are_cut_10_mm_clear_and_the_courses_above_resume_the_grid() {
    let roof = rectangle(5.0, 3.0, 30.0);
    let face = covered(&roof, &[opening([2.0, 1.0], [0.78, 1.18])]);
    near(face.region.area(), 5.016 * 3.008 - 0.80 * 1.20, 1e-9);
    let layout = lay_with(&face, &strip(), &PHASE_0);
    let plain = lay_with(&covered(&roof, &[]), &strip(), &PHASE_0);
    for (with, without) in layout.courses.iter().zip(&plain.courses) {
        assert_eq!(with.joint_u, without.joint_u);
        let stands = |u: f64| without.pieces.iter().any(|piece| piece.from_u == u);
        assert!(with.pieces.iter().all(|piece| stands(piece.from_u)));
    }
}

fn with_opening(at: [f64; 2], size: [f64; 2], kind: &str) -> TakeOff {
    let roof = gable(8.0, 6.0, 35.0);
    let face = roof.roof_faces().next().unwrap().0;
    let openings = [CutOpening { face, kind: kind.into(), ..opening(at, size) }];
    let covering = covering("strip-shingle");
    take_off(&TakeoffInput {
        roof: &roof,
        drainage: &drain(&roof),
        openings: &openings,
        covering: &covering,
        wind_from: None,
        timbers: &[],
        north: 0.0,
        area_sd: None,
    })
}

#[test]
fn rule_18_step_pieces_a_side_are_the_courses_that_cross_it_and_one() {
    let answer = with_opening([3.0, 1.0], [0.9, 0.5], "roof window");
    let gauge = answer.faces[0].gauge;
    let crossing = (0..40).filter(|&k| {
        let butt = -0.008 + f64::from(k) * gauge;
        butt < 1.5 - 1e-9 && butt + gauge > 1.0 + 1e-9
    });
    assert_eq!(quantity(&answer, "step-flashing"), 2.0 * (crossing.count() as f64 + 1.0));
    let detail = detail(&answer, "step-flashing");
    assert!(detail.contains(&format!("{:.0} mm", (gauge + 0.05) * 1000.0)), "{detail}");
}

/// Every offcut in a roof: cut from a new piece laid before, long enough, the right end of it, used once.
fn offcuts_are_fair(layouts: &[FaceLayout], order: &[usize]) -> usize {
    let mut taken: HashMap<(usize, usize, usize), [usize; 2]> = HashMap::new();
    let mut used = 0;
    for (turn, &index) in order.iter().enumerate() {
        let layout = &layouts[index];
        for (course, row) in layout.courses.iter().enumerate() {
            for (nth, piece) in row.pieces.iter().enumerate() {
                let Source::Offcut(Place { face, course: from, piece: origin }) = piece.source else { continue };
                let source = order.iter().position(|&other| layouts[other].face == face).unwrap();
                let cut = &layouts[order[source]].courses[from].pieces[origin];
                assert_eq!(cut.source, Source::New);
                assert!((source, from, origin) < (turn, course, nth), "laid backwards");
                let ([left, right], [cut_left, cut_right]) = (extent(piece), extent(cut));
                let need = right - left;
                let (at_left, at_right) = (cut_left - cut.from_u, cut.to_u - cut_right);
                // A piece that keeps its left end comes from a left remainder, one that keeps its right end from a right one.
                let keeps_left = left - piece.from_u < 1e-6;
                let keeps_right = piece.to_u - right < 1e-6;
                assert!(!(keeps_left && keeps_right), "a whole piece from an offcut");
                let fits = |end: usize| need <= [at_left, at_right][end] + 1e-6 && ![keeps_right, keeps_left][end];
                let ends = taken.entry((source, from, origin)).or_default();
                let end = (0..2).find(|&end| fits(end) && ends[end] == 0).expect("no end of it is left");
                ends[end] = 1;
                used += 1;
            }
        }
    }
    used
}

#[test]
fn rule_19_offcuts_are_used_once_after_the_piece_they_come_from_by_the_end_they_have() {
    let mut used = 0;
    for roof in [rectangle(5.3, 3.0, 30.0), triangle(6.0, 3.4, 35.0), triangle(9.0, 4.0, 35.0)] {
        for bond in bond::full(6) {
            let layout = lay_with(&covered(&roof, &[]), &strip(), &bond);
            let from_offcuts = layout.counts().from_offcuts;
            assert_eq!(offcuts_are_fair(&[layout], &[0]), from_offcuts);
            used += from_offcuts;
        }
    }
    assert!(used > 100, "{used}");
}

#[test]
fn rule_19_what_one_face_leaves_serves_the_next_and_the_strips_saved_are_the_offcuts_borrowed() {
    let mut borrowed = 0;
    for (width, depth) in [(9.2, 5.6), (7.3, 6.1), (11.0, 7.0), (8.4, 4.3)] {
        let roof = roof_of(width, depth, eave(35.0), eave(35.0));
        let answer = taken_off(&roof, &covering("strip-shingle"));
        let order: Vec<usize> = (0..answer.layouts.len()).collect();
        let from_offcuts: usize = answer.faces.iter().map(|face| face.pieces_from_offcuts).sum();
        assert_eq!(offcuts_are_fair(&answer.layouts, &order), from_offcuts);
        borrowed += answer.layouts.iter().map(|layout| layout.borrowed.len()).sum::<usize>();
        // The same faces, each with an empty store, take no fewer new strips.
        let card = covering("strip-shingle");
        let work = match &card.card.covering {
            eavewright::takeoff::card::CoveringKind::Strip(strip) => {
                eavewright::takeoff::covering::strip_work(&card.card, strip)
            }
            _ => unreachable!(),
        };
        let gauge = answer.faces[0].gauge;
        let alone: usize = faces(&roof, &card)
            .iter()
            .map(|face| lay(face, &eavewright::takeoff::coursing::CoursingSpec { gauge, ..work }).new_pieces())
            .sum();
        let together: usize = answer.layouts.iter().map(FaceLayout::new_pieces).sum();
        assert!(together <= alone, "{together} together, {alone} alone");
    }
    assert!(borrowed > 10, "{borrowed}");
}

#[test]
fn rule_19_the_same_roof_laid_twice_is_the_same() {
    let face = covered(&triangle(7.3, 3.9, 40.0), &[opening([3.0, 1.0], [0.6, 0.9])]);
    assert_eq!(lay(&face, &strip()), lay(&face, &strip()));
    let card = covering("strip-shingle");
    assert_eq!(taken_off(&t_plan(), &card).layouts, taken_off(&t_plan(), &card).layouts);
}

#[test]
fn rule_20_no_offcut_under_a_tab_is_kept_and_waste_is_what_the_strips_bought_do_not_show() {
    let card = covering("strip-shingle");
    for roof in [hip(), t_plan(), gable(7.7, 5.0, 30.0)] {
        let answer = taken_off(&roof, &card);
        let (mut shown, mut bought) = (0.0, 0.0);
        for ((face, count), layout) in faces(&roof, &card).iter().zip(&answer.faces).zip(&answer.layouts) {
            assert!(layout.offcuts_left.iter().all(|length| *length >= 1.0 / 3.0 - 1e-6));
            let borrowed: f64 = layout.borrowed.iter().map(|(_, length)| length).sum();
            let lent: f64 = answer
                .layouts
                .iter()
                .flat_map(|other| &other.borrowed)
                .filter(|(from, _)| *from == layout.face)
                .map(|(_, length)| length)
                .sum();
            let strips = layout.new_pieces() as f64 + borrowed - lent;
            // What shows: the face as far up from every butt as the gauge; the last course shows no more, the caps cover the rest.
            let shows: f64 = layout
                .courses
                .iter()
                .map(|course| {
                    let band = [course.butt_v, course.butt_v + count.gauge];
                    let laid: Vec<[f64; 2]> = course.pieces.iter().map(extent).collect();
                    let cells: Vec<_> = face.region.between(band[0], band[1]).collect();
                    let of = |[left, right]: &[f64; 2]| -> f64 {
                        cells.iter().map(|cell| cell.area_between(*left, *right)).sum()
                    };
                    laid.iter().map(of).sum::<f64>()
                })
                .sum();
            near(count.waste, 1.0 - shows / (strips * count.gauge), 1e-9);
            assert!(count.waste >= 0.0 && shows <= face.region.area() + 1e-9);
            shown += shows;
            bought += layout.new_pieces() as f64 * count.gauge;
        }
        // Over the whole roof nothing is borrowed.
        let waste = 1.0 - shown / bought;
        assert!((0.0..0.25).contains(&waste), "{waste}");
    }
}

#[test]
fn rule_20_the_rule_of_thumb_is_a_whole_allowance_never_added_to_counted_lines() {
    // Common practice, no source: 2 m2 a pack, 15 % for everything.
    let roof = hip();
    let answer = taken_off(&roof, &covering("strip-shingle"));
    let line = answer.line("strip-shingle").unwrap();
    near(line.rule_of_thumb.unwrap(), 62.894 * 1.15 / (14.0 * 0.143), 1e-3);
    let mut thumb = covering("strip-shingle");
    thumb.waste = Waste::Fraction(0.15);
    let by_thumb = taken_off(&roof, &thumb);
    assert_eq!(quantity(&by_thumb, "strip-shingle"), (area(&answer) * 1.15 / 0.143).ceil());
    assert_eq!(by_thumb.line("strip-shingle").unwrap().packs, Some(37));
}

fn contains(parts: &[Vec<Point2<f64>>], place: &Point2<f64>) -> bool {
    parts
        .iter()
        .any(|part| (0..part.len()).all(|i| (part[(i + 1) % part.len()] - part[i]).perp(&(place - part[i])) >= -1e-12))
}

fn shoelace(ring: &[Point2<f64>]) -> f64 {
    (0..ring.len()).map(|i| ring[i].coords.perp(&ring[(i + 1) % ring.len()].coords)).sum::<f64>() / 2.0
}

/// Distance of a place from the nearest edge of these kinds, square to it.
fn distance_to(face: &CoveredFace, kinds: &[EdgeKind], place: &Point2<f64>) -> f64 {
    face.edges
        .iter()
        .filter(|edge| kinds.contains(&edge.kind))
        .map(|edge| {
            let d = edge.to - edge.from;
            let t = ((place - edge.from).dot(&d) / d.norm_squared()).clamp(0.0, 1.0);
            (place - (edge.from + d * t)).norm()
        })
        .fold(f64::INFINITY, f64::min)
}

fn roofs_to_check() -> Vec<Roof> {
    let half = Role::HalfHip { hip_from: 2.0, pitch: Pitch::from_degrees(60.0).unwrap() };
    vec![
        gable(7.3, 5.2, 35.0),
        hip(),
        t_plan(),
        roof_of(4.0, 4.0, eave(50.0), eave(50.0)),
        roof_of(8.0, 6.0, eave(45.0), half),
    ]
}

#[test]
fn rule_21_what_is_kept_and_what_is_scrap_make_up_the_strips_bought() {
    let card = covering("strip-shingle");
    for roof in roofs_to_check() {
        let answer = taken_off(&roof, &card);
        let pieces = || answer.layouts.iter().flat_map(|layout| &layout.courses).flat_map(|course| &course.pieces);
        // By the shoelace over every part, not by the areas noted.
        let kept: f64 = pieces().flat_map(|piece| &piece.parts).map(|part| shoelace(part)).sum();
        let bought = pieces().filter(|piece| piece.source == Source::New).count() as f64 * 0.333;
        let scrap: f64 = answer.faces.iter().map(|face| face.scrap).sum();
        near(kept + scrap, bought, 1e-6);
        let left: f64 = answer.layouts.iter().flat_map(|layout| &layout.offcuts_left).sum::<f64>() * 0.333;
        assert!(scrap >= left - 1e-9, "{scrap} scrap with {left} of it long enough to keep");
    }
}

#[test]
fn rule_21_exposures_and_caps_make_up_every_face_and_two_layers_lie_everywhere() {
    let card = covering("strip-shingle");
    let cover = 0.141;
    let mut places = 0;
    for roof in roofs_to_check() {
        let answer = taken_off(&roof, &card);
        for (face, layout) in faces(&roof, &card).iter().zip(&answer.layouts) {
            let ([u0, u1], [v0, v1]) = (face.region.span_u().unwrap(), face.region.span_v().unwrap());
            let step = 0.0137;
            let mut v = v0 + step / 2.0;
            while v < v1 {
                let cells: Vec<_> = face.region.between(v, v + 1e-9).collect();
                let near_by: Vec<_> =
                    layout.courses.iter().filter(|course| course.butt_v <= v && v < course.head_v).collect();
                let mut u = u0 + step / 2.0;
                while u < u1 {
                    let place = Point2::new(u, v);
                    if cells.iter().any(|cell| cell.left[0] < u && u < cell.right[0]) {
                        places += 1;
                        let over = |piece: &&eavewright::takeoff::layout::LaidPiece| contains(&piece.parts, &place);
                        let of_course =
                            |course: &&&eavewright::takeoff::layout::Course| course.pieces.iter().filter(over).count();
                        let each: Vec<usize> = near_by.iter().map(|course| of_course(&course)).collect();
                        // Side by side within a course: no place is exposed twice.
                        assert!(each.iter().all(|count| *count <= 1), "{} at {place}", face.id.index());
                        let courses: usize = each.iter().sum();
                        let starters = layout.starter.iter().filter(over).count();
                        let capped = distance_to(face, &[EdgeKind::Ridge, EdgeKind::Hip], &place) <= cover + 1e-9;
                        // The exposed one is there, or a cap is.
                        let exposed = each.last().is_some_and(|count| *count == 1);
                        assert!(exposed || capped, "nothing shows at {place}");
                        let layers = courses + starters + 2 * usize::from(capped);
                        assert!(layers >= 2, "{layers} layers at {place}");
                    }
                    u += step;
                }
                v += step;
            }
        }
    }
    assert!(places > 500_000, "{places}");
}

#[test]
fn rule_21_exposures_of_a_plain_slope_add_up_to_its_area() {
    let layout = lay(&covered(&rectangle(5.0, 3.0, 30.0), &[]), &strip());
    let butts: Vec<f64> = layout.courses.iter().map(|course| course.butt_v).chain([3.0]).collect();
    let shown: f64 = butts
        .windows(2)
        .zip(&layout.courses)
        .map(|(band, course)| {
            let width: f64 = course.pieces.iter().map(extent).map(|[left, right]| right - left).sum();
            width * (band[1] - band[0])
        })
        .sum();
    near(shown, 5.016 * 3.008, 1e-9);
    // The last butt is within half a tab less 25 mm and the gauge of the ridge.
    assert!(3.0 - butts[20] <= 0.143 + 1.0 / 6.0 - 0.025);
}

#[test]
fn rule_21_no_joint_lies_over_a_joint() {
    let card = covering("strip-shingle");
    for roof in roofs_to_check() {
        for layout in &taken_off(&roof, &card).layouts {
            joints_keep_apart(layout, true);
        }
    }
}
