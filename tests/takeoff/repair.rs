//! Repairs, worked out by hand: what is renewed, what is lifted for it, what is ordered, in which order it is done.

use eavewright::base::finding::{Finding as _, Severity};
use eavewright::drawing::Context;
use eavewright::drawing::job_sheet::{Audience, SheetInput};
use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Options, order};
use eavewright::takeoff::Finding;
use eavewright::takeoff::repair::RepairAnswer;
use eavewright::wording::units::Format;
use eavewright::write::repair_json::RepairTwin;
use serde_json::Value;

fn gable(more: &str) -> String {
    format!(
        "title = \"Shed\"\nunits = \"m\"\n[[block]]\nname = \"shed\"\nheight = 2.4\nsides = [\n\
         {{ from = \"A\", length = 8, turn = \"L\", pitch = 35 }},\n{{ from = \"B\", length = 4.8, turn = \"L\", verge = true }},\n\
         {{ from = \"C\", length = 8, turn = \"L\", pitch = 35 }},\n{{ from = \"D\", length = 4.8, verge = true }},\n]\n{more}"
    )
}

fn repaired(more: &str) -> (Vec<RepairAnswer>, Vec<Finding>, Value, String) {
    let text = gable(more);
    let (job, ..) = input::read("roof.toml", &text, &NoFiles).unwrap_or_else(|told| panic!("{told:#?}"));
    let answer = job::solve(&job, &Options { steps: false, spread: false }).unwrap();
    let order = order::take_off(&job, &answer);
    let (repairs, findings) = order::repairs(&job, &answer, &order);
    let format = Format::of(job.units);
    let json = serde_json::to_value(RepairTwin::new(&repairs, &findings, &answer.roof, format)).unwrap();
    let told = eavewright::cli::repair::text(&job, &answer.roof, (&repairs, &findings), format);
    let context = Context::of(&job);
    let input = SheetInput {
        job: &job,
        answer: &answer,
        take_off: &order,
        context: &context,
        audience: Audience::Own,
        full: false,
    };
    let page = eavewright::cli::sheet::repair(&input, (&repairs, &findings), eavewright::cli::sheet::FileFormat::Html);
    let page = String::from_utf8(page.unwrap()).unwrap();
    for repair in &repairs {
        for line in &repair.lines {
            assert!(repair.work.iter().any(|step| step.uses.contains(&line.item)), "{:?} in no step", line.item);
            assert!(page.contains(eavewright::wording::order::name(&line.item)));
        }
        for step in &repair.work {
            assert!(step.uses.iter().all(|item| repair.lines.iter().any(|line| line.item == *item)), "{step:?}");
            assert!(!step.cautions.is_empty(), "{step:?}");
        }
    }
    (repairs, findings, json, told)
}

fn quantity(repair: &RepairAnswer, item: &str) -> f64 {
    let line = repair.lines.iter().find(|line| line.item.key() == item).unwrap_or_else(|| panic!("no {item}"));
    line.quantity.value().unwrap()
}

const PLACE: &str = "[[repair]]\nface = \"shed/A\"\nat = [2.0, 1.0]\nsize = [1.5, 0.5]\n";

/// Butts stand at -8 mm and every 143 mm from there: 0.993 m is the eighth's, 1.422 m the eleventh's, so that courses 8 to 11
/// show between 1.0 and 1.5 m. Of strips of 1 m at most three lie over 1.5 m. Two courses above are lifted, three strips each.
#[test]
fn strips_in_a_rectangle_are_counted_by_hand() {
    let (repairs, findings, json, told) = repaired(PLACE);
    assert!(findings.is_empty() && repairs.len() == 1);
    let repair = &repairs[0];
    assert_eq!((repair.courses, repair.lifted, repair.caps_off), ([8, 11], 2, false));
    assert_eq!((repair.pieces, repair.lifted_pieces), (12, 6));
    assert!((repair.area - 1.5 * 4.0 * 0.143).abs() < 1e-9);
    assert_eq!(quantity(repair, "strip-shingle"), 12.0);
    assert_eq!(repair.lines.iter().find(|line| line.item.key() == "strip-shingle").unwrap().packs, Some(1));
    // Four nails in each new strip and in each of the course above whose nails came out, 5 % spare.
    assert_eq!(quantity(repair, "nail"), (4.0_f64 * 15.0 * 1.05).ceil());
    // A dab of 2.4 ml on each of three tabs of 18 strips, out of tubes of 300 ml.
    assert_eq!(quantity(repair, "adhesive"), (54.0_f64 * 2.4 / 300.0).ceil());
    // 100 mm under and over the old, at both ends and above and below.
    assert!((quantity(repair, "underlay") - 1.7 * (4.0 * 0.143 + 0.2)).abs() < 1e-9);
    let words: Vec<&str> =
        json["repairs"][0]["work"].as_array().unwrap().iter().map(|step| step["step"].as_str().unwrap()).collect();
    assert_eq!(
        words,
        ["prepare", "mark-out", "lift", "take-out", "patch-underlay", "renew", "lay-back", "clear-up", "check"]
    );
    assert_eq!(json["format"], "eavewright-repair/1");
    for words in
        ["courses 8 to 11 renewed", "Lifted and laid back: 2 courses above, 6 pieces", "courses 12 to 13", "asbestos"]
    {
        assert!(told.contains(words), "{words}: {told}");
    }
}

/// The lowest course from end to end: 8.016 m, nine strips and one more; the starter below it likewise.
#[test]
fn the_eave_course_takes_its_starter_with_it() {
    let (repairs, ..) = repaired("[[repair]]\nface = \"shed/A\"\nfirst_course = 1\nunderlay = false\ndeck = true\n");
    let repair = &repairs[0];
    assert_eq!((repair.courses, repair.pieces, repair.lifted_pieces), ([1, 1], 10, 20));
    assert_eq!(quantity(repair, "strip-shingle"), 20.0);
    assert!(repair.lines.iter().all(|line| line.item.key() != "underlay"));
    assert!((quantity(repair, "deck-board") - 8.016 * 0.143).abs() < 1e-9);
}

/// What is lifted goes by what is laid: two courses of strips, one of tiles; slates are drawn from under the others.
#[test]
fn each_covering_is_opened_its_own_way() {
    let course = "[[repair]]\nface = \"shed/A\"\nfirst_course = 3\nlast_course = 4\nalong = [2.0, 4.0]\n";
    for (card, lifted, per_course) in [
        ("strip-shingle", 2, 3),
        ("single-tab", 2, 0),
        ("slate", 0, 9),
        ("interlocking-tile", 1, 8),
        ("plain-tile", 2, 13),
    ] {
        let (repairs, findings, json, told) = repaired(&format!("{course}[covering]\ncard = \"{card}\"\n"));
        assert!(findings.is_empty(), "{card}");
        assert_eq!(repairs[0].lifted, lifted, "{card}");
        // 2 m of slates of 253 mm: eight and one more; of tiles of 290 mm seven and one more, of plain ones of 167 mm twelve and one more.
        if per_course > 0 {
            assert_eq!(repairs[0].pieces, 2 * per_course, "{card}");
        }
        let has = |word: &str| json["repairs"][0]["work"].as_array().unwrap().iter().any(|step| step["step"] == word);
        assert_eq!(has("lift"), lifted > 0, "{card}");
        assert!(card != "slate" || told.contains("ripper") && told.contains("hooks"), "{told}");
    }
    for card in ["felt", "profiled-sheet"] {
        let (repairs, findings, ..) = repaired(&format!("{PLACE}[covering]\ncard = \"{card}\"\n"));
        assert!(
            repairs.is_empty()
                && findings[0].code() == "repair-not-in-courses"
                && findings[0].severity() == Severity::Stop
        );
    }
}

#[test]
fn the_top_course_takes_the_caps_off_and_what_lies_beside_the_face_is_refused() {
    let (repairs, ..) = repaired("[[repair]]\nface = \"shed/A\"\nat = [1.0, 2.8]\nsize = [0.5, 0.1]\n");
    assert!(repairs[0].caps_off && repairs[0].lifted < 2, "{:?}", repairs[0]);
    for beside in
        ["first_course = 99\n", "at = [1.0, 9.0]\nsize = [0.5, 0.5]\n", "at = [30.0, 1.0]\nsize = [0.5, 0.5]\n"]
    {
        let (repairs, findings, ..) = repaired(&format!("[[repair]]\nface = \"shed/A\"\n{beside}"));
        assert!(repairs.is_empty() && findings[0].code() == "repair-outside", "{beside}");
    }
    // Over a verge there is a gable and no roof.
    let (repairs, findings, ..) = repaired("[[repair]]\nface = \"shed/B\"\nfirst_course = 1\n");
    assert!(repairs.is_empty() && findings[0].code() == "repair-no-face");
}

#[test]
fn a_repair_said_twice_or_not_at_all_is_refused() {
    for (lines, code) in [
        ("face = \"shed/A\"\n", "missing-key"),
        ("face = \"shed/A\"\nat = [1, 1]\n", "missing-key"),
        ("face = \"shed/A\"\nat = [1, 1]\nsize = [1, 1]\nfirst_course = 2\n", "conflicting-keys"),
        ("face = \"shed/A\"\nlast_course = 2\n", "missing-key"),
        ("face = \"shed/X\"\nfirst_course = 2\n", "unknown-face"),
    ] {
        let told = input::read("roof.toml", &gable(&format!("[[repair]]\n{lines}")), &NoFiles).unwrap_err();
        assert!(told.iter().any(|told| told.code == code && !told.hints.is_empty()), "{lines}: {told:#?}");
    }
}
