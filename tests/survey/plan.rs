//! From a scanned plan, a pitch reading and one tape to a roof, through the roof file; and what is said of known sizes and
//! offsets that are wrong.

use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Answer, Job, Options};
use eavewright::wording::{self, About};

/// A gable roof of 6.40 by 4.10 on a plan where a pixel is 5 mm; the picture lies a quarter turn off.
const PLAN: &str = r#"units = "m"
[points]
E1 = {}
E2 = {}
E3 = {}
E4 = {}
R1 = {}
R2 = {}
[[face]]
name = "south"
points = ["E1", "E2", "R2", "R1"]
[[face]]
name = "north"
points = ["E3", "E4", "R1", "R2"]
[[level]]
points = ["E1", "E2", "E3", "E4"]
[[level]]
points = ["R1", "R2"]
[[pitch_reading]]
face = "south"
pitch = 30
[[photo]]
file = "plan.png"
size = [1500, 2000]
plan = true
marks = { E1 = [1060, 1640], E2 = [1060, 360], E3 = [240, 360], E4 = [240, 1640], R1 = [650, 1640], R2 = [650, 360] }
"#;

fn solved(text: &str) -> (Job, Answer) {
    let (job, _, told) = input::read("plan.toml", text, &NoFiles).unwrap_or_else(|told| panic!("{told:#?}"));
    assert!(told.is_empty(), "{told:?}");
    let answer = job::solve(&job, &Options::default()).unwrap();
    (job, answer)
}

fn sentences(job: &Job, answer: &Answer) -> Vec<String> {
    let about = About::of(job, &answer.roof);
    answer.findings.iter().map(|finding| wording::finding::sentence(&about, finding)).collect()
}

/// Area of both slopes: the plan's over the cosine of the pitch.
fn area() -> f64 {
    6.40 * 4.10 / 30.0_f64.to_radians().cos()
}

#[test]
fn a_plan_a_pitch_and_a_tape_make_a_roof() {
    let (_, answer) = solved(&format!("{PLAN}[[tape]]\nfrom = \"E1\"\nto = \"E2\"\nlength = 6.40\n"));
    let total = answer.roof.total_area().0;
    assert!((total - area()).abs() < 1e-4, "{total} {}", area());
    let sd = answer.spread.total_area.unwrap();
    assert!(sd > 0.03 && sd < 0.5, "{sd}");
    // The ridge may hang as well as stand: that point is named, not one that lies elsewhere in a plan turned round.
    let [choice] = &answer.survey.choices[..] else { panic!("{:?}", answer.survey.choices) };
    assert!([4, 5].contains(&choice.point.index()) && (choice.apart - 2.37).abs() < 0.05, "{choice:?}");
}

#[test]
fn a_stated_scale_does_for_the_tape() {
    let text = PLAN.replace("plan = true\n", "plan = true\nscale = \"5 mm\"\nnorth = 270\n");
    let (_, answer) = solved(&text);
    assert!((answer.roof.total_area().0 - area()).abs() < 1e-4);
    // What is up in the plan looks west: the long eaves run from south to north in it, and so they do on the site.
    let [e1, e2] = [0, 1].map(|point| answer.survey.points[point].at);
    let way = e2 - e1;
    assert!((way.x + 6.40).abs() < 1e-6 && way.y.abs() < 1e-6, "{way}");
    // A hundredth of the scale is two of the area.
    let sd = answer.spread.total_area.unwrap() / area();
    assert!((0.019..0.03).contains(&sd), "{sd}");
}

#[test]
fn without_either_the_size_is_open_and_said_so() {
    let (job, _, _) = input::read("plan.toml", PLAN, &NoFiles).unwrap();
    let failure = job::solve(&job, &Options::default()).unwrap_err();
    assert!(failure.is_for_want_of_measurements(), "{failure}");
}

#[test]
fn a_wrong_scale_is_the_one_in_doubt() {
    let text = PLAN.replace("plan = true\n", "plan = true\nscale = \"5.5 mm\"\n");
    let tapes =
        "[[tape]]\nfrom = \"E1\"\nto = \"E2\"\nlength = 6.40\n[[tape]]\nfrom = \"E2\"\nto = \"E3\"\nlength = 4.10\n";
    let (job, answer) = solved(&format!("{text}{tapes}"));
    let told = sentences(&job, &answer);
    let sentence = told.iter().find(|told| told.contains("is in doubt")).unwrap();
    // With one tape either may be wrong, and the scale is named before the tape.
    let (job, answer) = solved(&format!("{text}{}", tapes.split_inclusive("6.40\n").next().unwrap()));
    let either: Vec<String> =
        sentences(&job, &answer).into_iter().filter(|told| told.contains("is in doubt")).collect();
    assert!(either.len() > 1 && either[0].contains("scale of plan.png"), "{either:?}");
    assert!(sentence.contains("scale of plan.png is in doubt") && sentence.contains("% too large"), "{sentence}");
}

#[test]
fn a_known_size_and_an_offset_are_told_by_their_names() {
    // Walls 0.30 within the eaves, whose plan shows them too; panels of 1.20 along one of them.
    let walls = "a = [1000, 1580], b = [1000, 420], c = [300, 420], R2";
    let text = PLAN.replace("R2 = [", &format!("{walls} = [")).replace("E1 = {}", "a = {}\nb = {}\nc = {}\nE1 = {}");
    let known = "[[known]]\nfrom = \"a\"\nto = \"b\"\nwhat = \"board panel\"\nlength = 1.16\ncount = 5\n";
    let tape =
        "[[tape]]\nfrom = \"E1\"\nto = \"E2\"\nlength = 6.40\n[[tape]]\nfrom = \"E2\"\nto = \"E3\"\nlength = 4.10\n";
    let offset = |wall: &str| format!("[[offset]]\npoints = [\"E1\", \"E2\"]\nwall = {wall}\nout = 0.30\n");
    let right = solved(&format!("{text}{known}{tape}{}", offset("[\"a\", \"b\"]")));
    assert!((right.1.roof.total_area().0 - area()).abs() < 1e-3);
    assert!(right.1.survey.suspects.is_empty(), "{:?}", right.1.survey.suspects);

    let (job, answer) = solved(&format!("{text}{known}{tape}{}", offset("[\"b\", \"a\"]")));
    let told = sentences(&job, &answer).join("\n");
    assert!(told.contains("offset of E1 and E2 from b-a is in doubt"), "{told}");
    assert!(told.contains("as you face the wall from outside, its left point is named first"), "{told}");

    let wrong = known.replace("count = 5", "count = 4");
    let (job, answer) = solved(&format!("{text}{wrong}{tape}{}", offset("[\"a\", \"b\"]")));
    let told = sentences(&job, &answer).join("\n");
    assert!(
        told.contains("known size a-b (board panels) is in doubt") && told.contains("too short; tape it"),
        "{told}"
    );
}
