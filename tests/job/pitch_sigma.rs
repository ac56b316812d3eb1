//! How sure a pitch is, and how far that reaches: standard deviations of areas against first-order propagation by hand, and
//! against a simulation that measures the same roof over and over. The weighted mean of direct observations and its
//! standard deviation are those of any textbook of adjustment (from memory).

use eavewright::base::estimate::State;
use eavewright::base::finding::Finding;
use eavewright::base::units::Pitch;
use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Answer, Options, vary};
use eavewright::roof::FaceKind;
use random::Random;
use support::random;

const DEGREE: f64 = std::f64::consts::PI / 180.0;

fn read(text: &str) -> job::Job {
    input::read("b.toml", text, &NoFiles).unwrap().0
}

fn solved(text: &str) -> Answer {
    job::solve(&read(text), &Options::default()).unwrap()
}

/// A gable 8 x 6 m by exact places.
fn gable(top: &str, a: &str, c: &str, after: &str) -> String {
    format!(
        "units = \"m\"\n{top}\n[[block]]\nname = \"b\"\nheight = 2.4\nsides = [\n{{ from = \"A\", at = [0, 0], {a} }},\n\
         {{ from = \"B\", at = [8, 0], verge = true }},\n{{ from = \"C\", at = [8, 6], {c} }},\n\
         {{ from = \"D\", at = [0, 6], verge = true }},\n]\n{after}"
    )
}

fn near(found: Option<f64>, expected: f64) {
    let found = found.unwrap();
    assert!((found - expected).abs() <= 2e-4 * expected, "{found} {expected}");
}

/// A standard normal number by the method of Box and Muller (1958).
fn normal(random: &mut Random) -> f64 {
    let (radius, turn) = (1.0 - random.unit(), random.unit());
    (-2.0 * radius.ln()).sqrt() * (std::f64::consts::TAU * turn).cos()
}

/// Area of a gable over 48 m² at one pitch: 48 / cos p, so its standard deviation is 48 tan p / cos p times the pitch's.
fn by_pitch(degrees: f64, sd: f64) -> f64 {
    let p = degrees * DEGREE;
    48.0 * p.tan() / p.cos() * sd * DEGREE
}

#[test]
fn a_pitch_is_unsure_by_how_it_was_found() {
    let with = |keys: &str| solved(&gable("", &format!("pitch = 35{keys}"), &format!("pitch = 35{keys}"), ""));
    for (keys, sd) in [
        ("", 0.3),
        (", pitch_by = \"level and rule\"", 0.3),
        (", pitch_by = \"digital level\"", 0.1),
        (", pitch_by = \"app\"", 1.0),
        (", pitch_sigma = 0.2", 0.2),
        (", pitch_by = \"app\", pitch_sigma = 0.2", 0.2),
    ] {
        let answer = with(keys);
        near(answer.spread.total_area, by_pitch(35.0, sd));
        near(answer.spread.face_pitch[0], sd * DEGREE);
    }
    // Exact places and a pitch from a drawing: nothing says how sure the roof is.
    assert_eq!(with(", pitch_by = \"drawing\"").spread.total_area, None);
}

/// cos p = run / r: a tape of 15 mm up a rafter of 3 / cos 35° leaves 15 mm / (r tan p).
#[test]
fn a_taped_rafter_is_as_sure_as_it_is_long() {
    let keys = "pitch = 35, pitch_by = \"rafter tape\"";
    let answer = solved(&gable("", keys, keys, ""));
    let p = 35.0 * DEGREE;
    near(answer.spread.face_pitch[0], 0.015 / (3.0 / p.cos() * p.tan()));
}

/// Two slopes that give one pitch share it: both are too steep or both too flat. Two pitches are independent.
#[test]
fn slopes_of_one_pitch_share_it() {
    let alone = solved(&gable("", "pitch = 35", "pitch = 35, pitch_by = \"app\"", ""));
    // A ridge between unequal errors moves: run a of slope A with 6 = a + c and a tan p = c tan q. At p = q the areas are
    // 8 a / cos p and 8 c / cos q with da = -6 / (4 tan p cos² p) (dp - dq); so each pitch moves the sum by half of
    // 48 tan p / cos p, as the runs' changes cancel.
    let half = by_pitch(35.0, 0.3) / 2.0;
    near(alone.spread.total_area, half.hypot(half / 0.3));
    let two = solved(&gable("", "pitch = 35", "pitch = \"35.0000001°\"", ""));
    near(two.spread.total_area, half * 2.0_f64.sqrt());
}

/// Two readings of equal weight: the middle, and √½ of either's standard deviation.
#[test]
fn a_reading_on_the_face_over_a_side_joins_the_written_pitch() {
    let reading = |pitch: &str| format!("[[pitch_reading]]\nface = \"b/A\"\npitch = {pitch}\nsigma = 0.3\n");
    let answer = solved(&gable("", "pitch = 35", "pitch = 35", &reading("36")));
    let pitch = answer.roof.faces[0].plane.pitch();
    assert!((pitch - 35.5 * DEGREE).abs() < 1e-12, "{}", pitch / DEGREE);
    near(answer.spread.face_pitch[0], 0.3 / 2.0_f64.sqrt() * DEGREE);
    near(answer.spread.total_area, by_pitch(35.5, 0.3 / 2.0_f64.sqrt()));
    let codes = |answer: &Answer| answer.findings.iter().map(Finding::code).collect::<Vec<_>>();
    assert!(codes(&answer).contains(&"pitch-mean"), "{:?}", codes(&answer));
    // 1.4° from the mean, of which one reading is unsure by 0.21°.
    let apart = solved(&gable("", "pitch = 35", "pitch = 35", &reading("37.8")));
    assert!(codes(&apart).contains(&"pitch-readings-disagree"), "{:?}", codes(&apart));
    // A drawing's pitch stands.
    let drawn =
        solved(&gable("", "pitch = 35, pitch_by = \"drawing\"", "pitch = 35, pitch_by = \"drawing\"", &reading("36")));
    assert!((drawn.roof.faces[0].plane.pitch() - 35.0 * DEGREE).abs() < 1e-12);
    // At another pitch, what was read of this one has no say.
    let job = read(&gable("", "pitch = 35", "pitch = 35", &reading("36")));
    let other = vary::at_pitch(&job, &[], Pitch::from_degrees(40.0).unwrap());
    let other = job::solve(&other, &Options::default()).unwrap();
    assert!((other.roof.faces[0].plane.pitch() - 40.0 * DEGREE).abs() < 1e-12);
}

#[test]
fn a_reading_finds_a_pitch_that_was_not_measured() {
    let reading = "[[pitch_reading]]\nface = \"A\"\npitch = 36\nmethod = \"digital level\"\n";
    let answer = solved(&gable("", "pitch = \"?\"", "pitch = \"?\"", reading));
    assert!((answer.roof.faces[0].plane.pitch() - 36.0 * DEGREE).abs() < 1e-12);
    near(answer.spread.total_area, by_pitch(36.0, 0.1));
    // With the ridge's height as well: tan p = rise / 3, so 15 mm of it are 5 mm / (1 + tan²) as an angle.
    let text = gable("", "pitch = \"?\"", "pitch = \"?\"", reading)
        .replace("height = 2.4", "height = 2.4\nridge_height = 4.65");
    let both = solved(&text);
    let (by_height, sd_height) = (0.75_f64.atan(), 0.005_f64 / (1.0 + 0.75 * 0.75));
    let (by_reading, sd_reading) = (36.0 * DEGREE, 0.1 * DEGREE);
    let (v, w) = (sd_height.powi(-2), sd_reading.powi(-2));
    let mean = (by_height * v + by_reading * w) / (v + w);
    assert!((both.roof.faces[0].plane.pitch() - mean).abs() < 1e-6, "{}", both.roof.faces[0].plane.pitch() / DEGREE);
    let found = both.spread.face_pitch[0].unwrap();
    assert!((found / (v + w).sqrt().recip() - 1.0).abs() < 2e-3, "{found}");
}

/// The boat store as its file says: steel tapes, right angles of half a degree, a diagonal, one pitch of 35° read with a
/// level and rule. Measured 600 times over with errors of just those sizes, its area scatters as it says.
#[test]
fn a_roof_measured_over_and_over_scatters_as_it_says() {
    let text = std::fs::read_to_string("examples/boat_store.toml").unwrap();
    let stated = solved(&text).spread.total_area.unwrap();
    // By the pitch alone: plan area over cos p, its derivative by p.
    let p = 35.0 * DEGREE;
    let by_pitch = 9.205 * 5.595 * p.tan() / p.cos() * 0.3 * DEGREE;
    assert!(stated > by_pitch && stated < 1.1 * by_pitch, "{stated} {by_pitch}");
    let mut random = Random(35);
    let tape = |length: f64, random: &mut Random| length + (0.003 + 0.0005 * length) * normal(random);
    let options = Options { steps: false, spread: false };
    let areas: Vec<f64> = (0..600)
        .map(|_| {
            let pitch = 35.0 + 0.3 * normal(&mut random);
            let side = |from: &str, length: f64, random: &mut Random| {
                let turn = 90.0 + 0.5 * normal(random);
                let length = tape(length, random);
                format!("{{ from = \"{from}\", length = {length}, turn = {turn}, turn_sigma = 0.5, pitch = {pitch} }},\n")
            };
            let sides: String =
                [("A", 9.2), ("B", 5.6), ("C", 9.2)].iter().map(|(from, length)| side(from, *length, &mut random)).collect();
            let last = tape(5.6, &mut random);
            let diagonal = tape(9.2_f64.hypot(5.6), &mut random);
            let text = format!(
                "units = \"m\"\n[[block]]\nname = \"store\"\nheight = 2.4\nsides = [\n{sides}\
                 {{ from = \"D\", length = {last}, pitch = {pitch} }},\n]\n[[tape]]\nfrom = \"A\"\nto = \"C\"\nlength = {diagonal}\n"
            );
            let answer = job::solve(&read(&text), &options).unwrap();
            answer.roof.roof_faces().map(|(_, face)| answer.roof.area(face).0).sum()
        })
        .collect();
    let mean = areas.iter().sum::<f64>() / areas.len() as f64;
    let sd = (areas.iter().map(|area| (area - mean).powi(2)).sum::<f64>() / (areas.len() - 1) as f64).sqrt();
    // A standard deviation from 600 runs is itself good to 3 %.
    assert!((sd / stated - 1.0).abs() < 0.1, "{sd} {stated}");
}

#[test]
fn a_design_is_exact() {
    let text = "units = \"m\"\nstage = \"design\"\n[[block]]\nname = \"b\"\nheight = 2.4\nsides = [\n\
                { from = \"A\", length = 4, turn = \"L\", pitch = 35 },\n{ from = \"B\", length = 3, turn = 126.87, pitch = 35 },\n\
                { from = \"C\", length = 5, pitch = 40 },\n]\n";
    let answer = solved(text);
    assert_eq!(answer.totals().area.state(), State::Exact);
    assert_eq!(answer.totals().area.sd(), Some(0.0));
    assert!(answer.roof.edges.iter().enumerate().all(|(id, _)| answer.spread.edge_length[id] == Some(0.0)));
    // What carries a sigma is measured after all.
    let measured = solved(&text.replace("pitch = 40", "pitch = 40, pitch_by = \"app\""));
    assert!(measured.totals().area.sd().unwrap() > 0.0);
    // A gap that no rounding leaves is refused, unless a side may give way.
    let open = text.replace("length = 3", "length = 3.1");
    let told = input::read("b.toml", &open, &NoFiles).unwrap_err();
    assert_eq!(told[0].code, "design-open");
}

#[test]
fn a_dormer_shares_the_pitch_too() {
    let dormer = "[[dormer]]\nname = \"d\"\nface = \"b/A\"\nat = [3, 0.5]\nwidth = 1.6\nfront_height = 0.6\nkind = \"gable\"\npitch = 35";
    let spread = |keys: &str| {
        let answer = solved(&gable("", "pitch = 35", "pitch = 35", &format!("{dormer}{keys}\n")));
        let slope = answer
            .roof
            .faces
            .iter()
            .position(|face| face.kind == FaceKind::Roof && face.block().is_some_and(|block| block == "d"))
            .unwrap();
        (answer.spread.face_pitch[slope], answer.spread.total_area.unwrap())
    };
    let (pitch, shared) = spread("");
    near(pitch, 0.3 * DEGREE);
    let (pitch, own) = spread(", pitch_sigma = 0".replace(", ", "\n").as_str());
    assert_eq!(pitch.map(|sd| sd < 1e-12), Some(true));
    assert!(own < shared, "{own} {shared}");
}

#[test]
fn what_would_help_most_is_weighed_with_the_pitch() {
    use eavewright::survey::observation::Proposal;
    // By exact places nothing but the pitch is open: a digital level of 0.1 beside the 0.3 stated leaves
    // 1 / sqrt(1/0.3² + 1/0.1²) = 0.0948683 degrees.
    let answer = solved(&gable("", "pitch = 35", "pitch = 35", ""));
    let report = &answer.survey;
    near(report.area_sd, by_pitch(35.0, 0.3));
    assert_eq!(report.best_next.len(), 1);
    assert!(matches!(report.best_next[0].observation, Proposal::SidePitch(side) if side.side == 0));
    near(report.best_next[0].area_sd_after, by_pitch(35.0, 0.094_868_3));
    // Walked, without a diagonal: a tape helps too, and all is held against the one standard deviation that is told of
    // the whole area.
    let walked = "units = \"m\"\n[[block]]\nname = \"b\"\nheight = 2.4\nsides = [\n\
        { from = \"A\", length = 8.0, turn = \"L\", pitch = 35 },\n{ from = \"B\", length = 6.0, turn = \"L\", verge = true },\n\
        { from = \"C\", length = 8.0, turn = \"L\", pitch = 35 },\n{ from = \"D\", length = 6.0, verge = true },\n]\n";
    let answer = solved(walked);
    let report = &answer.survey;
    let total = answer.totals().area.sd().unwrap();
    assert!((report.area_sd.unwrap() - total).abs() < 1e-12);
    assert!(!report.best_next.is_empty());
    let afters: Vec<f64> = report.best_next.iter().map(|next| next.area_sd_after.unwrap()).collect();
    assert!(afters.is_sorted() && afters.iter().all(|after| *after < 0.95 * total), "{afters:?} of {total}");
    assert!(matches!(report.best_next[0].observation, Proposal::SidePitch(_)), "{:?}", report.best_next);
    // What it promises comes true: the same walk with that reading.
    let again = solved(&format!("{walked}[[pitch_reading]]\nface = \"b/A\"\npitch = 35\nmethod = \"digital level\"\n"));
    near(again.totals().area.sd(), afters[0]);
}
