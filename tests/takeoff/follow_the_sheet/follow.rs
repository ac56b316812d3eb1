//! Lays a roof piece after piece as the sheet says, and tells what is wrong with it.
//!
//! The rules are common practice, no source: joints keep off those of the course below and of the starter; every place lies
//! under the layers asked for, or under caps or an apron; courses lap as far as asked for; each piece is taken from a pack
//! or from what an earlier one left, once; what is laid is what is ordered.

use super::shape::{covered, inside, joined, lines, without};
use super::sheet::{Face, Piece, Row, Sheet, Valley};
use std::collections::BTreeMap;

const HAIR: f64 = 1e-6;

/// What lies over less than this of a level line may be missing: a corner that small is not laid.
const NOT_LAID: f64 = 0.002;

/// So long may a nick in a corner be that is nothing to cut.
const NICK: f64 = 0.005;

/// So deep may one in the upper edge be.
const NICK_DEPTH: f64 = 0.001;

/// What was looked at, and what was wrong.
#[derive(Default, Debug)]
pub struct Followed {
    pub faults: Vec<String>,
    pub pieces: usize,
    pub joints: usize,
    pub starter_joints: usize,
    pub lines: usize,
    pub offcuts: usize,
    /// Faces with more than one starter.
    pub several_starters: usize,
}

impl Followed {
    pub fn add(&mut self, other: Followed) {
        self.faults.extend(other.faults);
        self.pieces += other.pieces;
        self.joints += other.joints;
        self.starter_joints += other.starter_joints;
        self.lines += other.lines;
        self.offcuts += other.offcuts;
        self.several_starters += other.several_starters;
    }
}

/// A piece of a course: all rows' parts of it.
#[derive(Clone, Debug)]
struct Laid {
    uncut: [f64; 2],
    kept: [f64; 2],
    cut: bool,
    offcut_of: Option<(String, usize, usize)>,
}

/// By face, course and place in it.
type Pieces = BTreeMap<(String, usize, usize), Laid>;

/// Follows a sheet; `item` is what the covering is called in the order.
pub fn follow(sheet: &Sheet, item: &str) -> Followed {
    let mut found = Followed::default();
    let mut pieces = Pieces::new();
    for face in &sheet.faces {
        rows(face, &mut found, &mut pieces);
        joints(face, &mut found);
        starters(face, &mut found);
        coverage(face, &mut found);
        counts(face, &pieces, &mut found);
    }
    work(sheet, &mut found);
    offcuts_and_order(sheet, item, &pieces, &mut found);
    found
}

/// Steps of work tell what the rows say: numbers of faces that are told together differ by less than this.
const TOLD: f64 = 2e-4;

/// Who lays by the steps of work alone lays what the rows say: the starter begins as told, and each course of the repeat
/// begins, from the line that is snapped, with the piece that is told for it.
fn work(sheet: &Sheet, found: &mut Followed) {
    let mut found_several = 0;
    for face in sheet.faces.iter().filter(|face| face.courses > 0 && face.kind != "sheet") {
        let step = |word: &str| sheet.work.iter().find(|step| step.kind == word && step.faces.contains(&face.name));
        let mut differ = |what: &str, told: f64, laid: f64| {
            if (told - laid).abs() > TOLD {
                found.faults.push(format!("{}: {what} told {told}, laid {laid}", face.name));
            }
        };
        match (step("starter"), face.starters.first()) {
            (Some(step), Some(starter)) => {
                // Each starter of the face is told, with its place where there are several.
                let told = step.numbers("first");
                differ("starters", told.len() as f64, face.starters.len() as f64);
                for (first, own) in told.iter().zip(&face.starters) {
                    differ("starter first", *first, own.first);
                }
                if face.starters.len() > 1 {
                    let places = step.numbers("starter_up").into_iter().zip(step.numbers("starter_start"));
                    for ((up, at), own) in places.zip(&face.starters) {
                        differ("starter height up the slope", up, own.butt);
                        let ends = own.pieces.iter().flatten().copied();
                        let end = if face.from_left { ends.reduce(f64::min) } else { ends.reduce(f64::max) };
                        differ("starter start", at, end.unwrap());
                    }
                    found_several += 1;
                }
                differ("starter height", step.number("height"), starter.height);
            }
            (None, None) => {}
            (told, laid) => differ("starters", f64::from(told.is_some()), f64::from(laid.is_some())),
        }
        let Some(step) = step("courses") else {
            differ("courses", 0.0, face.courses as f64);
            continue;
        };
        differ("gauge", step.number("gauge"), face.gauge);
        differ("courses", step.number("courses"), face.courses as f64);
        let (start, first) = (step.number("start"), step.numbers("first"));
        // Beside a valley that courses run through, rows say where joints stand.
        if face.valleys.iter().any(|valley| valley.no_joint_within.is_some()) {
            continue;
        }
        for row in &face.rows {
            let begins = first[(row.course - 1) % first.len()];
            let begins = start + if face.from_left { begins } else { -begins };
            for joint in &row.joints {
                let steps = (joint - begins) / face.width;
                let off = (steps - steps.round()) * face.width;
                differ(&format!("course {} joint", row.course), joint - off, *joint);
            }
        }
    }
    found.several_starters += found_several;
}

fn off(a: f64, b: f64) -> bool {
    (a - b).abs() > HAIR
}

/// Each row hangs together, and every piece of it fits the uncut piece.
fn rows(face: &Face, found: &mut Followed, pieces: &mut Pieces) {
    for row in &face.rows {
        let at = format!("{} course {}", face.name, row.course);
        let mut ends = vec![row.from];
        ends.extend(&row.joints);
        ends.push(row.to);
        if ends.windows(2).any(|pair| pair[1] - pair[0] < HAIR) {
            found.faults.push(format!("{at}: joints not in order: {ends:?}"));
        }
        let told: Vec<[f64; 2]> = row.pieces.iter().map(|piece| [piece.from, piece.to]).collect();
        let by_joints: Vec<[f64; 2]> = ends.windows(2).map(|pair| [pair[0], pair[1]]).collect();
        let same = told.len() == by_joints.len()
            && told.iter().zip(&by_joints).all(|(a, b)| !off(a[0], b[0]) && !off(a[1], b[1]));
        if !same {
            found.faults.push(format!("{at}: pieces {told:?} do not lie between the joints {ends:?}"));
        }
        let (left, right) = (ends[1] - ends[0], ends[ends.len() - 1] - ends[ends.len() - 2]);
        let (first, last) = if face.from_left { (left, right) } else { (right, left) };
        if off(row.first, first) || off(row.last, last) {
            found
                .faults
                .push(format!("{at}: first {} and last {}, where joints say {first}, {last}", row.first, row.last));
        }
        for piece in &row.pieces {
            let uncut = [piece.uncut_from, piece.uncut_from + face.width];
            if piece.from < uncut[0] - HAIR || piece.to > uncut[1] + HAIR {
                found.faults.push(format!("{at}: a piece from {} to {} of one over {uncut:?}", piece.from, piece.to));
            }
            let laid = pieces.entry((face.name.clone(), row.course, piece.number)).or_insert_with(|| Laid {
                uncut,
                kept: [piece.from, piece.to],
                cut: piece.cut,
                offcut_of: piece.offcut_of.clone(),
            });
            laid.kept = [laid.kept[0].min(piece.from), laid.kept[1].max(piece.to)];
            found.pieces += 1;
        }
    }
    // Butts stand at the gauge.
    for pair in butts(face).windows(2) {
        let steps = (pair[1].1 - pair[0].1) / face.gauge;
        if off(steps * face.gauge, steps.round() * face.gauge) || steps < 0.5 {
            found
                .faults
                .push(format!("{}: courses {} and {} stand {} gauges apart", face.name, pair[0].0, pair[1].0, steps));
        }
    }
}

/// Courses and where their lower edges lie, from the eave up.
fn butts(face: &Face) -> Vec<(usize, f64)> {
    let mut butts: Vec<(usize, f64)> = face.rows.iter().map(|row| (row.course, row.butt)).collect();
    butts.dedup_by(|a, b| a.0 == b.0);
    butts
}

fn rows_of(face: &Face, course: usize) -> impl Iterator<Item = &Row> {
    face.rows.iter().filter(move |row| row.course == course)
}

fn joints_of(face: &Face, course: usize) -> Vec<f64> {
    rows_of(face, course).flat_map(|row| row.joints.iter().copied()).collect()
}

/// Whether a joint stands where a valley has moved it.
fn at_valley(face: &Face, u: f64, v: f64) -> bool {
    face.valleys.iter().filter(|valley| valley.no_joint_within.is_some()).any(|valley| {
        let [a, b] = valley.line;
        let along = [b[0] - a[0], b[1] - a[1]];
        let at = if along[1].abs() < HAIR { 0.0 } else { ((v - a[1]) / along[1]).clamp(-0.5, 1.5) };
        (a[0] + along[0] * at - u).abs() < 2.5 * face.width
    })
}

/// Joints keep off those of the courses below.
fn joints(face: &Face, found: &mut Followed) {
    let butts = butts(face);
    for (index, (course, butt)) in butts.iter().enumerate() {
        let here = joints_of(face, *course);
        found.joints += here.len();
        for (later, least) in [(1, face.least_offset), (2, if face.shifts.len() > 2 { 0.010 } else { 0.0 })] {
            let Some((above, v)) = butts.get(index + later) else { continue };
            if off(*v - butt, later as f64 * face.gauge) {
                continue;
            }
            for joint in joints_of(face, *above) {
                let near = here.iter().map(|other| (other - joint).abs()).fold(f64::INFINITY, f64::min);
                if near < least - HAIR && (later == 1 || !at_valley(face, joint, *v)) {
                    let at = format!("{} course {above}: a joint at {joint:.4}", face.name);
                    found.faults.push(format!("{at} stands {:.1} mm off one of course {course}", near * 1000.0));
                }
            }
        }
        // No joint where a valley allows none.
        for valley in &face.valleys {
            let Some(within) = valley.no_joint_within else { continue };
            let [a, b] = valley.line;
            let along = [b[0] - a[0], b[1] - a[1]];
            let length = along[0].hypot(along[1]);
            for joint in &here {
                let off = |v: f64| ((joint - a[0]) * along[1] - (v - a[1]) * along[0]).abs() / length;
                // Over what shows of the course.
                let v = [butt.max(a[1].min(b[1])), (butt + face.gauge).min(a[1].max(b[1]))];
                if v[1] - v[0] > HAIR && v.iter().any(|v| off(*v) < within - HAIR) {
                    let at = format!("{} course {course}: a joint at {joint:.4}", face.name);
                    found.faults.push(format!("{at} stands within {within} of a valley's centre"));
                }
            }
        }
    }
}

/// Joints of starters keep off joints and slots of the course on them, and starters lie along the whole edge.
fn starters(face: &Face, found: &mut Followed) {
    for starter in &face.starters {
        let at = format!("{} starter at {:.3}", face.name, starter.butt);
        let Some((course, _)) = butts(face).into_iter().rev().find(|(_, butt)| *butt <= starter.butt + HAIR) else {
            found.faults.push(format!("{at}: no course lies on it"));
            continue;
        };
        let (mut left, mut right) = (f64::INFINITY, f64::NEG_INFINITY);
        for [from, to] in &starter.pieces {
            (left, right) = (left.min(*from), right.max(*to));
            if to - from > face.width + HAIR {
                found.faults.push(format!("{at}: a piece of {}", to - from));
            }
        }
        let ends = if face.from_left { starter.pieces.first() } else { starter.pieces.last() };
        if ends.is_some_and(|[from, to]| off(to - from, starter.first)) {
            found.faults.push(format!("{at}: first {} where its pieces say otherwise", starter.first));
        }
        let mut marks = joints_of(face, course);
        for piece in rows_of(face, course).flat_map(|row| &row.pieces) {
            let slots = (1..).map(|slot| piece.uncut_from + f64::from(slot) * face.tab);
            marks.extend(slots.take_while(|slot| *slot < piece.to - HAIR).filter(|slot| *slot > piece.from + HAIR));
        }
        for joint in &starter.joints {
            found.starter_joints += 1;
            let near = marks.iter().map(|mark| (mark - joint).abs()).fold(f64::INFINITY, f64::min);
            if near < face.starter_offset - HAIR {
                let near = near * 1000.0;
                found.faults.push(format!("{at}: a joint at {joint:.4} stands {near:.1} mm off course {course}"));
            }
        }
    }
}

/// Every place lies under the layers asked for, and courses lap as far as asked for.
fn coverage(face: &Face, found: &mut Followed) {
    let reach = face.layers as f64 * face.gauge;
    if face.courses > face.layers && face.height - reach < face.head_lap - HAIR {
        found.faults.push(format!("{}: laps {} where {} is asked for", face.name, face.height - reach, face.head_lap));
    }
    let heights = face.outline.iter().flatten().map(|place| place[1]);
    let span = heights.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], v| [low.min(v), high.max(v)]);
    let course_ends = face.rows.iter().flat_map(|row| [row.butt, row.butt + face.height]);
    let starter_ends = face.starters.iter().flat_map(|starter| [starter.butt, starter.butt + starter.height]);
    let cover_ends = face.covers.iter().flat_map(|cover| cover.line.map(|end| end[1] - cover.by));
    for v in lines(face, course_ends.chain(starter_ends).chain(cover_ends), span) {
        found.lines += 1;
        let spared: Vec<[f64; 2]> = face.covers.iter().filter_map(|cover| covered(cover, v)).collect();
        // Layers from the top one down: each the rows of one course, or a starter.
        let mut layers: Vec<(usize, Vec<[f64; 2]>)> = Vec::new();
        for row in face.rows.iter().filter(|row| row.butt <= v && v < row.butt + face.height) {
            match layers.iter_mut().find(|(course, _)| *course == row.course) {
                Some((_, runs)) => runs.push([row.from, row.to]),
                None => layers.push((row.course, vec![[row.from, row.to]])),
            }
        }
        let starters = face.starters.iter().filter(|starter| starter.butt <= v && v < starter.butt + starter.height);
        layers.push((0, starters.flat_map(|starter| starter.pieces.clone()).collect()));
        // Courses of the slope below that run on up over a break; what the first course laps down is one layer more.
        let lapped = face.lapped.iter().filter(|lap| v > lap.line[0][1].min(lap.line[1][1]) - face.gauge);
        layers.push((usize::MAX, lapped.filter_map(|lap| covered(lap, v)).collect()));
        for run in inside(face, v) {
            // Past a valley's centre the courses of the other side make up the layers; what runs through reaches 250 mm.
            let past = |by: f64| -> Vec<[f64; 2]> {
                face.valleys.iter().filter_map(|valley| past_centre(valley, v, run, by)).collect()
            };
            let shows = face.rows.iter().any(|row| row.butt <= v && v < row.butt + face.gauge);
            let (over_centre, beyond) = (past(0.0), past(if shows { 0.250 } else { 0.0 }));
            for bare in without(run, &beyond).into_iter().flat_map(|run| without(run, &spared)) {
                // As often as layers are asked for, a place must be covered: counted at the ends of all runs.
                let mut ends: Vec<f64> = bare.to_vec();
                ends.extend(over_centre.iter().flatten().filter(|u| **u > bare[0] && **u < bare[1]));
                ends.extend(
                    layers.iter().flat_map(|(_, runs)| runs).flatten().filter(|u| **u > bare[0] && **u < bare[1]),
                );
                ends.sort_by(f64::total_cmp);
                let thin = |pair: &&[f64]| {
                    let u = f64::midpoint(pair[0], pair[1]);
                    let over = layers.iter().filter(|(_, runs)| runs.iter().any(|[from, to]| *from <= u && u <= *to));
                    let is_past = over_centre.iter().any(|[from, to]| *from <= u && u <= *to);
                    over.count() < if is_past { 1 } else { face.layers }
                };
                let thin: Vec<[f64; 2]> = ends.windows(2).filter(thin).map(|pair| [pair[0], pair[1]]).collect();
                for [from, to] in joined(thin, HAIR) {
                    if to - from > NOT_LAID {
                        let at = format!("{}: from {from:.4} to {to:.4} at {v:.4} up the slope", face.name);
                        found.faults.push(format!("{at} lies under fewer than {} layers", face.layers));
                    }
                }
            }
        }
    }
}

/// What of a run at a height lies further than so far past the centre of a valley that its courses run through.
fn past_centre(valley: &Valley, v: f64, run: [f64; 2], by: f64) -> Option<[f64; 2]> {
    valley.no_joint_within?;
    let [low, high] =
        if valley.line[0][1] < valley.line[1][1] { valley.line } else { [valley.line[1], valley.line[0]] };
    let slant = (high[0] - low[0]) / (high[1] - low[1]);
    let reach = 0.3 * slant.hypot(1.0);
    // Past its ends as far as the courses that run through reach there.
    if v < low[1] - reach || v > high[1] + reach {
        return None;
    }
    let by = by * slant.hypot(1.0);
    let centre = low[0] + slant * (v - low[1]) + if valley.is_right { by } else { -by };
    Some(if valley.is_right { [centre, run[1].max(centre)] } else { [run[0].min(centre), centre] })
}

/// Pieces are whole or cut as told, and as many as told; ends too narrow are told.
fn counts(face: &Face, pieces: &Pieces, found: &mut Followed) {
    let own = || pieces.iter().filter(|((name, ..), _)| *name == face.name);
    let from_offcuts = own().filter(|(_, laid)| laid.offcut_of.is_some()).count();
    let cut = own().filter(|(_, laid)| laid.offcut_of.is_none() && laid.cut).count();
    let whole = own().filter(|(_, laid)| laid.offcut_of.is_none() && !laid.cut).count();
    let courses = butts(face).len();
    if (whole, cut, from_offcuts, courses) != (face.whole, face.cut, face.from_offcuts, face.courses) {
        let told = (face.whole, face.cut, face.from_offcuts, face.courses);
        let counted = (whole, cut, from_offcuts, courses);
        found.faults.push(format!("{}: {counted:?} pieces and courses counted, {told:?} told", face.name));
    }
    if face.waste < 0.0 {
        found.faults.push(format!("{}: waste {}", face.name, face.waste));
    }
    if face.kind == "sheet" {
        return;
    }
    let mut narrow = 0;
    for row in &face.rows {
        let band = [row.butt, row.butt + face.height];
        let levels = lines(face, std::iter::empty(), band);
        let runs: Vec<Vec<[f64; 2]>> = levels.iter().map(|v| inside(face, *v)).collect();
        for piece in &row.pieces {
            let holds = |from: f64, to: f64, runs: &Vec<[f64; 2]>| {
                runs.iter().any(|run| run[0] <= from + 2.0 * HAIR && run[1] >= to - 2.0 * HAIR)
            };
            let uncut = [piece.uncut_from, piece.uncut_from + face.width];
            let hangs_over = off(piece.from, uncut[0]) || off(piece.to, uncut[1]);
            let is_cut = hangs_over || !runs.iter().all(|runs| holds(uncut[0], uncut[1], runs));
            // A nick of less than a square millimetre in a corner is nothing to cut, nor is one less than a millimetre deep in
            // the upper edge, which lies under the courses above.
            let in_a_corner = runs.iter().all(|runs| holds(uncut[0] + NICK, uncut[1] - NICK, runs));
            let below = lines(face, std::iter::empty(), [band[0], band[1] - NICK_DEPTH]);
            let in_the_head = below.iter().all(|v| holds(uncut[0], uncut[1], &inside(face, *v)));
            let nicked = !hangs_over && (in_a_corner || in_the_head);
            if is_cut != piece.cut && (piece.cut || !nicked) {
                let at = format!("{} course {} piece {}", face.name, row.course, piece.number);
                found.faults.push(format!("{at}: told as cut {}, which it is not", piece.cut));
            }
            narrow += usize::from(is_narrow(face, piece, band));
        }
    }
    if narrow > face.narrow_ends {
        found.faults.push(format!("{}: {narrow} narrow ends where {} are told", face.name, face.narrow_ends));
    }
}

/// Narrower than the least although it ends upright: all that is inside of it reaches from end to end.
fn is_narrow(face: &Face, piece: &Piece, band: [f64; 2]) -> bool {
    if piece.to - piece.from >= face.least_end - 2.0 * HAIR {
        return false;
    }
    let rings = face.outline.iter().chain(&face.openings);
    let crossings = rings.flat_map(|ring| {
        let pairs = ring.iter().zip(ring.iter().cycle().skip(1));
        pairs.flat_map(|(a, b)| {
            let at = |u: f64| a[1] + (b[1] - a[1]) * (u - a[0]) / (b[0] - a[0]);
            [at(piece.from), at(piece.to)]
        })
    });
    let levels = lines(face, crossings.filter(|v| v.is_finite()), band);
    let runs: Vec<Vec<[f64; 2]>> = levels.iter().map(|v| inside(face, *v)).collect();
    let reaches = |runs: &Vec<[f64; 2]>| {
        let inside: Vec<[f64; 2]> = runs
            .iter()
            .map(|run| [run[0].max(piece.from), run[1].min(piece.to)])
            .filter(|run| run[1] > run[0] + HAIR)
            .collect();
        inside.is_empty() || inside.iter().any(|run| !off(run[0], piece.from) && !off(run[1], piece.to))
    };
    runs.iter().all(reaches)
}

/// Every offcut is there when it is wanted and is used once; what is laid is what is ordered.
fn offcuts_and_order(sheet: &Sheet, item: &str, pieces: &Pieces, found: &mut Followed) {
    let turn = |name: &str| sheet.faces.iter().find(|face| face.name == name).map_or(0, |face| face.turn);
    let face = |name: &str| sheet.faces.iter().find(|face| face.name == name).unwrap();
    // What each new piece leaves at either end.
    let mut left: BTreeMap<(String, usize, usize), [Option<f64>; 2]> = BTreeMap::new();
    for (place, laid) in pieces.iter().filter(|(_, laid)| laid.offcut_of.is_none()) {
        let least = face(&place.0).shortest_offcut - HAIR;
        let ends = [laid.kept[0] - laid.uncut[0], laid.uncut[1] - laid.kept[1]];
        left.insert(place.clone(), ends.map(|length| (length >= least).then_some(length)));
    }
    let mut users: BTreeMap<(String, usize, usize), Vec<[bool; 2]>> = BTreeMap::new();
    for ((name, course, number), laid) in pieces {
        let Some(source) = &laid.offcut_of else { continue };
        found.offcuts += 1;
        let at = format!("{name} course {course} piece {number}");
        if (turn(&source.0), source.1, source.2) >= (turn(name), *course, *number) {
            found.faults.push(format!("{at} is cut from {source:?}, which is laid later"));
        }
        let Some(ends) = left.get(source) else {
            found.faults.push(format!("{at} is cut from {source:?}, which is no new piece"));
            continue;
        };
        let face = face(name);
        let length = laid.kept[1] - laid.kept[0];
        let (at_left, at_right) = (laid.kept[0] - laid.uncut[0], laid.uncut[1] - laid.kept[1]);
        // Its slots stay in line with the end it has.
        let slots = [at_left % face.tab, at_right % face.tab];
        let fits = |end: usize| {
            let keeps_other = [at_right, at_left][end] < HAIR;
            let need = length + if [at_left, at_right][end] < HAIR { 0.0 } else { slots[end] };
            !keeps_other && ends[end].is_some_and(|rest| rest >= need - 2.0 * HAIR)
        };
        users.entry(source.clone()).or_default().push([fits(0), fits(1)]);
    }
    for (source, users) in &users {
        let ends = left[source];
        let fair = match users.as_slice() {
            [one] => one[0] || one[1],
            [one, other] => (one[0] && other[1]) || (one[1] && other[0]),
            _ => false,
        };
        if !fair {
            found.faults.push(format!("{} pieces are cut from what {source:?} leaves: {ends:?}", users.len()));
        }
    }
    order(sheet, item, pieces, left, &users, found);
}

fn order(
    sheet: &Sheet,
    item: &str,
    pieces: &Pieces,
    left: BTreeMap<(String, usize, usize), [Option<f64>; 2]>,
    users: &BTreeMap<(String, usize, usize), Vec<[bool; 2]>>,
    found: &mut Followed,
) {
    let Some(any) = sheet.faces.first() else { return };
    let mut caps = 0.0;
    for line in &sheet.caps {
        let laid = line.count - line.doubled - line.closing;
        let reaches = |count: f64| (count - 1.0) * line.exposure + line.last_covers;
        if reaches(laid) < line.length - 2.0 * HAIR {
            found.faults.push(format!("{laid} caps do not reach over {}", line.length));
        }
        if laid > 1.0 && reaches(laid - 1.0) >= line.length {
            found.faults.push(format!("{laid} caps are too many for {}", line.length));
        }
        caps += line.count;
    }
    let mut check = |item: &str, laid: f64| {
        let ordered = sheet.quantity(item);
        if off(laid, ordered) {
            found.faults.push(format!("{item}: {laid} laid, {ordered} ordered"));
        }
    };
    check("ridge-hip-cap", caps);
    let new = pieces.values().filter(|laid| laid.offcut_of.is_none()).count();
    let starters: usize = sheet
        .faces
        .iter()
        .map(|face| face.verge_starters + face.starters.iter().map(|starter| starter.pieces.len()).sum::<usize>())
        .sum();
    let mut total = (new + starters) as f64;
    if any.kind == "strip" {
        check("starter", starters as f64);
        if any.caps_each > 0 {
            // Whole tabs of what is left over first.
            let mut tabs = 0.0;
            for (place, ends) in left {
                let taken = users.get(&place).map_or(0, Vec::len);
                let mut rests: Vec<f64> = ends.into_iter().flatten().collect();
                // Which of the two is used where one fits both makes no difference here: the other is what is left.
                if let (1, Some(users)) = (taken, users.get(&place)) {
                    let end = usize::from(!users[0][0]);
                    rests = ends[1 - end].into_iter().collect();
                } else if taken > 1 {
                    rests.clear();
                }
                tabs += rests.iter().map(|rest| ((rest + HAIR) / any.tab).floor()).sum::<f64>();
            }
            total += ((caps - tabs).max(0.0) / any.caps_each as f64).ceil();
        }
    }
    check(item, total);
}
