//! What is answered where measurements do not suffice or do not agree: the example that is measured from photos, with
//! something taken away or misread.

use assert_cmd::Command;
use eavewright::input::{self, Beside};
use eavewright::job::{self, Answer, Failure, Job, Options};
use eavewright::survey;
use eavewright::survey::observation::Proposal;
use eavewright::survey::report::Undetermined;
use eavewright::wording::survey::Names;
use eavewright::wording::{self, About};
use std::path::{Path, PathBuf};

fn path() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/apple_store.toml")
}

fn text() -> String {
    std::fs::read_to_string(path()).unwrap()
}

fn job(text: &str) -> Job {
    input::read("apple_store.toml", text, &Beside::of(&path())).unwrap().0
}

fn solve(text: &str) -> Result<Answer, Failure> {
    job::solve(&job(text), &Options { steps: false, spread: true })
}

/// The file without the tables of one kind, each of which ends with a blank line.
fn without(text: &str, table: &str) -> String {
    let kept = text.split("\n\n").filter(|part| !part.contains(&format!("[[{table}]]")));
    kept.collect::<Vec<_>>().join("\n\n")
}

#[test]
fn without_a_tape_the_pitches_are_told_and_why_nothing_else_is() {
    let text = without(&text(), "tape");
    let failure = solve(&text).unwrap_err();
    assert!(failure.is_for_want_of_measurements());
    let answer = job::measured(&job(&text)).unwrap();
    assert!(answer.roof.faces.is_empty());
    assert_eq!(answer.survey.undetermined[0], Undetermined::Size);
    for face in &answer.survey.faces {
        assert_eq!((face.area, face.area_sd), (None, None));
        // The invented building's pitch is 40 degrees.
        let (pitch, sd) = (face.pitch.unwrap().to_degrees(), face.pitch_sd.unwrap().to_degrees());
        assert!((pitch - 40.0).abs() < 3.0 * sd, "{}: {pitch} ± {sd}", face.name);
    }
    assert!(matches!(answer.survey.best_next[0].observation, Proposal::Tape(..)));
    let run = Command::cargo_bin("eavewright")
        .unwrap()
        .current_dir(path().parent().unwrap())
        .args(["solve", "--json", "-"])
        .write_stdin(text)
        .output()
        .unwrap();
    assert_eq!(run.status.code(), Some(0), "{}", String::from_utf8_lossy(&run.stderr));
    let json: serde_json::Value = serde_json::from_slice(&run.stdout).unwrap();
    assert!(json["totals"]["area"].is_null() && json["survey"]["faces"]["south"]["area"].is_null());
    assert!(json["survey"]["faces"]["south"]["pitch"].is_number());
}

#[test]
fn a_face_that_is_hardly_determined_is_left_out_with_the_reason() {
    // One photo of two sides, without a right angle or a pitch reading: nothing holds the slopes.
    let text = text();
    let second = text.split("\n\n").find(|part| part.contains("north_west.jpg")).unwrap();
    let text = text.replace(second, "");
    let failure = solve(&text).unwrap_err();
    assert!(failure.is_for_want_of_measurements(), "{failure}");
    let job = job(&text);
    let answer = job::measured(&job).unwrap();
    let about = About::of(&job, &answer.roof);
    let told: Vec<String> = answer.findings.iter().map(|one| wording::finding::sentence(&about, one)).collect();
    let says = |start: &str, end: &str| told.iter().any(|line| line.starts_with(start) && line.ends_with(end));
    assert!(says("face south is left out: its area is hardly determined by what was measured", ""), "{told:?}");
    assert!(says("face north is left out: E4 is not located by what was measured", ""), "{told:?}");
    assert!(
        says(
            "not determined: area of face south: its standard deviation is more than 20 % of it",
            " m²); tape E2-R1, or read the pitch of south"
        ),
        "{told:?}"
    );
    assert!(says("not determined: point d", "mark it in two, or tape to it"), "{told:?}");
}

#[test]
fn a_misread_tape_is_named_before_what_was_taken_to_be_so() {
    let text = text().replace("length = 7.423", "length = 8.423");
    let answer = solve(&text).unwrap();
    let (job, suspects) = (job(&text), &answer.survey.suspects);
    let names = Names::of(&job);
    assert_eq!(names.observation(suspects[0].observation), "tape c-d", "{suspects:?}");
    assert!(suspects[0].error() > 0.5, "{}", suspects[0].error());
    // That points lie on a face is said once a face.
    assert!(suspects.iter().filter(|one| names.observation(one.observation).contains("on face north")).count() <= 1);
}

/// Where the roof fails, what the survey doubts is still told: it may be what is to blame.
#[test]
fn a_failure_keeps_what_the_survey_doubts() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/findings/measurement-doubtful.toml");
    let text = std::fs::read_to_string(path).unwrap();
    let opening = "[[opening]]\nface = \"store/A\"\nat = [50, 0.5]\nsize = [0.6, 0.6]\nkind = \"chimney\"\n";
    let text = text.replace("# --- told ---", opening);
    let failure = solve(&text).unwrap_err();
    assert!(failure.findings.iter().any(|finding| matches!(finding, survey::Finding::Doubtful { .. })), "{failure:?}");
    for command in ["solve", "check"] {
        let run =
            Command::cargo_bin("eavewright").unwrap().args([command, "-"]).write_stdin(text.clone()).output().unwrap();
        assert_eq!(run.status.code(), Some(1));
        let told = String::from_utf8(run.stderr).unwrap();
        let (fault, doubt) = (told.find("error").unwrap(), told.find("length store/C is in doubt").unwrap());
        assert!(fault < doubt && told.contains("measurement-doubtful"), "{told}");
    }
}
