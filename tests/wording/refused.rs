//! What the stages after reading say about roofs they cannot answer. Every file of `tests/refused` reads cleanly and says in
//! its last lines, after the mark, what is to be said about it: line:column, code, message, hint. Every number of a message
//! is one of the error's values, in metres and in feet. `TELL=1` rewrites those lines; read them before you commit them.

use eavewright::base::finding::{Finding, Severity};
use eavewright::base::ids::{PlaneId, PointId};
use eavewright::base::name::{Name, SideName};
use eavewright::base::place::Place;
use eavewright::base::units::LengthUnit;
use eavewright::cli::diagnostics::{at, of_fault};
use eavewright::input::{self, Beside};
use eavewright::job::{self, Fault, Job, Options};
use eavewright::outline::OutlineError;
use eavewright::outline::pitch::{Measure, PitchError};
use eavewright::roof::FaceKind;
use eavewright::roof::SolveError;
use eavewright::roof::analysis::opening::{NotASlope, OpeningError};
use eavewright::roof::checks::Check;
use eavewright::roof::kernel::dormer::DormerError;
use eavewright::roof::kernel::points::PointsError;
use eavewright::roof::model::finding::{LeftOut, NotLocated};
use eavewright::roof::model::names::FaceName;
use eavewright::survey::model::{Known, Point, Survey};
use eavewright::survey::observation::{ObservationId, Unit};
use eavewright::survey::{SurveyError, error::Instead, model::FaceByPoints};
use eavewright::wording::fault;
use eavewright::wording::survey::Names;
use eavewright::wording::units::Format;
use numbers::{Told, numbers};
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use support::numbers;

const MARK: &str = "# --- told ---\n";

/// A message whose numbers are those of the error, in metres where it may be and in feet.
fn check(error: &impl Finding, message: &str, units: Format, names: &[String]) {
    assert!(!message.ends_with('.') && !message.starts_with(char::is_uppercase), "{message}");
    assert!(message.contains("expected"), "{message}");
    assert!(!message.contains("NaN") && !message.contains("inf "), "{message}");
    assert_eq!(error.severity(), Severity::Stop);
    let (told, values) = (numbers(message, names), error.values());
    let unknown: Vec<&Told> = told.iter().filter(|told| !values.iter().any(|(_, value)| told.tells(*value))).collect();
    assert!(unknown.is_empty(), "{message}\n{unknown:?} is none of {values:?}");
    let untold: Vec<_> = values.iter().filter(|(_, value)| !told.iter().any(|told| told.tells(*value))).collect();
    assert!(untold.is_empty(), "{message}\n{untold:?} is not told");
    assert!(!units.imperial || told.iter().all(|told| !told.is_metric), "{message}");
}

fn check_in_file(fault: &Fault, job: &Job, names: &[String]) {
    for units in [LengthUnit::Metre, LengthUnit::Foot] {
        let job = Job { units, ..job.clone() };
        check(fault, &fault::message(fault, &job), Format::of(units), names);
    }
}

fn describe(name: &str, path: &Path, text: &str) -> String {
    let (job, map, _) = input::read(name, text, &Beside::of(path)).unwrap_or_else(|told| panic!("{name}: {told:?}"));
    let failure = job::solve(&job, &Options::default()).expect_err(name);
    let faces = ["long/A:2", "long/C:2", "long/C:3", "wing/B:2"].map(str::to_owned);
    let mut lines = String::new();
    for fault in &failure.faults {
        check_in_file(fault, &job, &faces);
        let diagnostic = of_fault(fault, &job, &map);
        assert!(diagnostic.span.as_ref().is_some_and(|span| !span.is_empty()), "{fault} has no place");
        let place = at(name, text, diagnostic.span.as_ref());
        let place = place.strip_prefix(&format!("{name}:")).unwrap();
        writeln!(lines, "# error {place} {}: {}", fault.code(), diagnostic.message).unwrap();
        writeln!(lines, "#   hint: {}", diagnostic.hints[0]).unwrap();
    }
    lines
}

#[test]
fn every_refusal_is_what_its_file_says() {
    let bless = std::env::var_os("TELL").is_some();
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/refused");
    let mut files: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    assert!(!files.is_empty(), "nothing to test");
    let mut wrong = String::new();
    for path in files {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let text = fs::read_to_string(&path).unwrap();
        let (body, expected) = text.split_once(MARK).unwrap_or((&text, ""));
        let told = describe(&name, &path, &text);
        if bless {
            fs::write(&path, format!("{body}{MARK}{told}")).unwrap();
        }
        if expected != told {
            write!(wrong, "{name}\n  expected\n{expected}  told\n{told}").unwrap();
        }
    }
    assert!(wrong.is_empty() || bless, "{wrong}");
}

/// Names of the variants that a list of errors has, and of those that its enum has in the sources.
fn variants<E: std::fmt::Debug>(errors: &[E], source: &str, name: &str) {
    let first_word = |text: &str| text.chars().take_while(|c| c.is_alphanumeric()).collect::<String>();
    let made: BTreeSet<String> = errors.iter().map(|error| first_word(&format!("{error:?}"))).collect();
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(source)).unwrap();
    let body = text.split_once(&format!("pub enum {name} {{\n")).unwrap().1;
    let body = body.split_once("\n}\n").unwrap().0;
    let stated: BTreeSet<String> = body
        .lines()
        .filter(|line| line.starts_with("    ") && line.as_bytes()[4].is_ascii_uppercase())
        .map(|line| first_word(line.trim()))
        .collect();
    assert_eq!(made, stated, "{name}");
}

const UNITS: [Format; 2] = [Format { imperial: false }, Format { imperial: true }];

fn s(name: &str) -> String {
    name.to_owned()
}

#[test]
fn every_error_of_the_survey_is_told_by_its_values() {
    let point = |name: &str| Point { name: s(name), known: Known::Unknown };
    let survey = Survey { points: vec![point("P")], ..Survey::default() };
    let names = Names::new(&[], &survey);
    let observation = ObservationId::Frame;
    let contradiction =
        |by, unit| SurveyError::ExactContradiction { observation, by, unit, place: Place::Observation(0) };
    let unfinished = |mean, doubtful: Vec<ObservationId>| SurveyError::NotConverged {
        steps: 300,
        mean,
        doubtful,
        places: vec![Place::Job],
    };
    let instead = |side: &str, read, value| Instead { side: s(side), read, value };
    let astray =
        |instead| SurveyError::WalkDoesNotClose { block: s("store"), ring: 0, by: 82.8, allowed: 0.285, instead };
    let errors = [
        SurveyError::TurnsDoNotClose {
            block: s("store"),
            ring: 1,
            sum: 3.1,
            expected: std::f64::consts::TAU,
            allowed: 0.035,
        },
        astray(vec![instead("A", 92.0, 9.2)]),
        astray(vec![instead("A", 9.7, 9.2), instead("C", 9.2, 9.7)]),
        astray(Vec::new()),
        contradiction(Some(0.0123), Unit::Metre),
        contradiction(Some(0.0123), Unit::Radian),
        contradiction(None, Unit::Metre),
        SurveyError::TooFewSides { block: s("store"), ring: 0, sides: 1 },
        SurveyError::PlacedByNothing { block: s("store"), ring: 0 },
        unfinished(Some(12.34), vec![observation]),
        unfinished(None, Vec::new()),
    ];
    variants(&errors, "src/core/survey/error.rs", "SurveyError");
    for (error, format) in errors.iter().flat_map(|error| UNITS.map(|format| (error, format))) {
        // That a hole is the first of its block is no measure.
        check(error, &fault::survey(error, &names, format), format, &[s("hole 1")]);
        assert!(!error.places().is_empty(), "{error}");
    }
}

#[test]
fn every_error_of_outlines_is_told_by_its_values() {
    let (block, side, first, second) = (s("store"), s("A"), s("A"), s("C"));
    let both = |error: fn(String, String, String) -> OutlineError| error(block.clone(), first.clone(), second.clone());
    let one = |error: fn(String, String) -> OutlineError| error(block.clone(), side.clone());
    let errors = [
        OutlineError::PlacesMissing { block: block.clone(), found: 1, expected: 4 },
        one(|block, side| OutlineError::NotFinite { block, side }),
        OutlineError::TooFewSides { block: block.clone(), found: 1, side: None },
        OutlineError::ZeroLength { block: block.clone(), side: side.clone(), length: 2.5e-7, least: 1e-6 },
        both(|block, first, second| OutlineError::FoldsBack { block, first, second }),
        both(|block, first, second| OutlineError::Crossing { block, first, second }),
        one(|block, side| OutlineError::NoArea { block, side }),
        one(|block, side| OutlineError::HoleOutside { block, side }),
        both(|block, side, within| OutlineError::HoleInHole { block, side, within }),
        OutlineError::NoEave { block: block.clone() },
        one(|block, side| OutlineError::UnknownPitch { block, side }),
        OutlineError::SideSwallowed { block: block.clone(), side: side.clone(), length: 0.2, distance: 0.4 },
        both(|block, first, second| OutlineError::DripEdgesCross { block, first, second }),
        OutlineError::ChangeBelowDripEdge { block: block.clone(), side: side.clone(), rise: -0.195 },
        OutlineError::Multiple(vec![OutlineError::NoEave { block: block.clone() }]),
    ];
    variants(&errors, "src/core/outline/error.rs", "OutlineError");
    for (error, format) in errors.iter().flat_map(|error| UNITS.map(|format| (error, format))) {
        check(error, &fault::outline(error, format), format, &[]);
        assert!(!error.places().is_empty(), "{error}");
    }
    let pitches = [
        PitchError::NothingToGoBy { block: block.clone() },
        PitchError::OutOfReach { block: block.clone(), what: Measure::Rafter, wanted: 2.9, least: 3.0, most: 60.07 },
        PitchError::Ambiguous { block, what: Measure::Rafter, wanted: 4.5, pitches: [0.445, 1.125] },
    ];
    variants(&pitches, "src/core/outline/pitch.rs", "PitchError");
    for (error, format) in pitches.iter().flat_map(|error| UNITS.map(|format| (error, format))) {
        check(error, &fault::pitch(error, format), format, &[]);
    }
}

#[test]
fn every_error_of_roofs_from_outlines_is_told_by_its_values() {
    let (block, sides) = (Name::from("store"), ["A", "C"].map(|side| SideName::new("store", side)));
    let unverified = |check, faces: &[FaceName]| SolveError::Unverified {
        blocks: vec!["store".into(), "annex".into()],
        check,
        faces: faces.to_vec(),
    };
    let mut errors = vec![
        SolveError::NotFinite { block: block.clone() },
        SolveError::TooFewSides { block: block.clone(), ring: 0, found: 1 },
        SolveError::FoldsBack { sides: sides.clone() },
        SolveError::Crosses { sides: sides.clone() },
        SolveError::NeverCloses { block: block.clone(), sides: vec![sides[0].clone()] },
        SolveError::Tangled { block, sides: sides.to_vec(), height: 4.567 },
    ];
    let checks = [
        Check::LinesClose,
        Check::EdgesRunRound,
        Check::EdgesShared,
        Check::Rim,
        Check::Euler { expected: 1, found: 0 },
        Check::Flat,
        Check::PlanAreaPositive,
        Check::PlanArea { expected: 48.0, found: 47.987 },
        Check::SimpleFaces,
        Check::Floor,
        Check::OneOuterRing { found: 2 },
        Check::RunOnceEachWay,
        Check::ClosedBetweenOutlines,
        Check::NamesUnique,
        Check::ThreeCorners,
        Check::Covered { expected: 48.0, found: 47.987 },
        Check::NotHidden,
        Check::InOwnRoof,
        Check::SolidCloses,
        Check::Volume { expected: 150.0, found: 149.9 },
    ];
    variants(&checks, "src/core/roof/checks/check.rs", "Check");
    errors.extend(checks.map(|check| unverified(check, &[])));
    let second = FaceName::Piece { side: SideName::new("annex", "B"), kind: FaceKind::Roof, number: 2 };
    errors.push(unverified(Check::Flat, &[second]));
    variants(&errors, "src/core/roof/kernel/error.rs", "SolveError");
    for (error, format) in errors.iter().flat_map(|error| UNITS.map(|format| (error, format))) {
        check(error, &fault::roof(error, format), format, &[s("annex/B:2")]);
        assert!(!error.places().is_empty(), "{error}");
    }
    let placed = |error: &SolveError| error.places();
    assert_eq!(placed(&errors[6]), [Place::Block(s("store")), Place::Block(s("annex"))]);
    assert_eq!(placed(errors.last().unwrap()), [Place::Side { block: s("annex"), side: s("B") }]);
}

#[test]
fn every_error_of_roofs_from_points_is_told_by_its_values() {
    let face = |name: &str| FaceByPoints { name: s(name), points: vec![PointId::new(0)], sigma: 0.01 };
    let survey = Survey {
        points: vec![Point { name: s("P"), known: Known::Unknown }],
        faces: vec![face("south")],
        ..Survey::default()
    };
    let names = Names::new(&[], &survey);
    let (face, point, faces) = (s("south"), s("P"), vec![s("south"), s("north")]);
    let left_out = vec![LeftOut { face: PlaneId::new(0), why: NotLocated::Points(vec![PointId::new(0)]) }];
    let (first, second) = (s("P"), s("Q"));
    let errors = [
        PointsError::NoFaces { left_out: Vec::new() },
        PointsError::NoFaces { left_out },
        PointsError::TooFewPoints { face: face.clone(), found: 1 },
        PointsError::SamePlace { face: face.clone(), first: first.clone(), second: first.clone() },
        PointsError::SamePlace { face: face.clone(), first: first.clone(), second: second.clone() },
        PointsError::OnOneLine { face: face.clone(), within: 1.25e-6 },
        PointsError::NotInOrder { face: face.clone(), first: first.clone(), second: second.clone() },
        PointsError::SharedByMany { faces: vec![s("a"), s("b"), s("c")], from: first, to: second },
        PointsError::NotFlat { face, point: point.clone(), by: 1.25, most: 0.5 },
        PointsError::CannotMeet { faces: faces.clone(), point: point.clone(), moved: s("Q"), by: 1.25, most: 0.5 },
        PointsError::Vanishes { faces: faces.clone(), from: s("P"), to: s("Q") },
        PointsError::StayApart { faces, point, gap: 0.0012 },
        PointsError::Multiple(vec![PointsError::NoFaces { left_out: Vec::new() }]),
    ];
    variants(&errors, "src/core/roof/kernel/points/error.rs", "PointsError");
    for (error, format) in errors.iter().flat_map(|error| UNITS.map(|format| (error, format))) {
        check(error, &fault::points(error, &names, format), format, &[]);
    }
}

#[test]
fn every_error_of_dormers_and_openings_is_told_by_its_values() {
    let (dormer, face) = (s("d"), s("store/A"));
    let outside = |front, spans: &[[f64; 2]]| DormerError::FrontOutside {
        dormer: dormer.clone(),
        face: face.clone(),
        depth: 1.0,
        front,
        spans: spans.to_vec(),
    };
    let errors = [
        DormerError::NoFace { dormer: dormer.clone(), face: face.clone(), faces: vec![s("store/C")] },
        DormerError::NoSlope { dormer: dormer.clone(), face: face.clone() },
        outside([-0.3, 4.0], &[[0.0, 9.0]]),
        outside([2.5, 4.0], &[[0.0, 3.0], [5.0, 9.0]]),
        DormerError::FrontBeyond { dormer: dormer.clone(), face: face.clone(), depth: 4.0, deepest: 3.5 },
        DormerError::TooHigh { dormer: dormer.clone(), face: face.clone(), depth: Some(3.76) },
        DormerError::TooHigh { dormer, face: face.clone(), depth: None },
    ];
    variants(&errors, "src/core/roof/kernel/dormer.rs", "DormerError");
    for (error, format) in errors.iter().flat_map(|error| UNITS.map(|format| (error, format))) {
        check(error, &fault::dormer(error, format), format, &[]);
        assert!(!error.places().is_empty(), "{error}");
    }
    let own = FaceName::over(SideName::new("store", "A"));
    let errors = [
        OpeningError::UnknownFace { opening: 0, face: face.clone() },
        OpeningError::NotASlope { opening: 0, face: own.clone(), found: NotASlope::Wall },
        OpeningError::NotASlope { opening: 0, face: own.clone(), found: NotASlope::Level },
        OpeningError::NoSize { opening: 0, size: [0.0, f64::NAN] },
        OpeningError::NotAnOutline { opening: 0, corners: 2 },
        OpeningError::Outside { opening: 0, face: own.clone(), by: 0.136, area: 0.053 },
        OpeningError::MeetsNothing { opening: 0, by: Some(1.0) },
        OpeningError::MeetsNothing { opening: 0, by: None },
        OpeningError::Overlap { openings: [0, 1], face: own.clone(), area: 0.25 },
        OpeningError::Multiple(vec![OpeningError::UnknownFace { opening: 0, face }]),
    ];
    variants(&errors, "src/core/roof/analysis/opening.rs", "OpeningError");
    for (error, format) in errors.iter().flat_map(|error| UNITS.map(|format| (error, format))) {
        check(error, &fault::opening(error, format), format, &[]);
        assert!(!error.places().is_empty(), "{error}");
    }
}
