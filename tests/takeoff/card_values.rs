//! One value of a card stated by the roof file: laid, ordered, told as the user's own, and refused where it can't be.

use super::solved::near;
use eavewright::input::card;
use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Job, Options, order};
use eavewright::takeoff::TakeOff;
use eavewright::takeoff::card::{CardValue, CoveringKind};
use eavewright::wording::units::Format;
use eavewright::write::takeoff_json::TakeoffTwin;

fn gable(units: &str, more: &str) -> String {
    let [long, short] = match units {
        "mm" => ["8000", "5000"],
        _ => ["8", "5"],
    };
    format!(
        "units = \"{units}\"\n[[block]]\nname = \"shed\"\nheight = 2.4\nsides = [\n\
         {{ from = \"A\", length = {long}, turn = \"L\", pitch = 35 }},\n{{ from = \"B\", length = {short}, turn = \"L\", verge = true }},\n\
         {{ from = \"C\", length = {long}, turn = \"L\", pitch = 35 }},\n{{ from = \"D\", length = {short}, verge = true }},\n]\n{more}"
    )
}

fn read(text: &str) -> Result<Job, Vec<String>> {
    let told = |found: Vec<eavewright::base::diagnostic::Diagnostic>| -> Vec<String> {
        let one = |told: &eavewright::base::diagnostic::Diagnostic| {
            let at = told.span.clone().map_or("", |span| &text[span]);
            format!("{} at {at:?}: {} {:?}", told.code, told.message, told.hints)
        };
        found.iter().map(one).collect()
    };
    input::read("roof.toml", text, &NoFiles).map(|(job, ..)| job).map_err(told)
}

fn taken(text: &str) -> (TakeOff, serde_json::Value) {
    let job = read(text).unwrap_or_else(|told| panic!("{told:#?}"));
    let answer = job::solve(&job, &Options { steps: false, spread: false }).unwrap();
    let order = order::take_off(&job, &answer);
    let twin = serde_json::to_value(TakeoffTwin::new(&order, &answer.roof, Format::of(job.units), true)).unwrap();
    (order, twin)
}

#[test]
fn a_value_of_the_roof_file_is_laid_and_ordered_in_place_of_the_cards() {
    let own = "[covering.card_values]\nstrip.gauge = \"130 mm\"\nstrip.pack = 16\nunderlay.length = \"10 m\"\n";
    let (order, twin) = taken(&gable("m", own));
    let (usual, _) = taken(&gable("m", ""));
    // At most so much; closed up by up to 5 mm so that whole courses reach the ridge.
    for layout in &order.layouts {
        assert!(layout.gauge <= 0.130 && layout.gauge >= 0.125, "{}", layout.gauge);
    }
    let (line, before) = (order.line("strip-shingle").unwrap(), usual.line("strip-shingle").unwrap());
    let pieces = line.quantity.value().unwrap();
    assert!(pieces > before.quantity.value().unwrap());
    near(f64::from(line.packs.unwrap()), (pieces / 16.0).ceil(), 0.0);
    // 40 m2 of slope and laps: rolls of 10 m2 where the card has 7.5.
    let area = |order: &TakeOff| order.line("underlay").unwrap().quantity.value().unwrap();
    assert!(area(&order) <= 10.0 * f64::from(order.line("underlay").unwrap().packs.unwrap()));
    assert!(order.line("underlay").unwrap().packs < usual.line("underlay").unwrap().packs);
    // Told as the user's own, beside what the card says.
    let note = twin["notes"].as_array().unwrap().iter().find(|note| note["code"] == "your-values").unwrap();
    let message = note["message"].as_str().unwrap();
    for words in [
        "your value",
        "gauge 130 mm (the card: 143 mm)",
        "in a pack 16 (the card: 14)",
        "length 10 m (the card: 7.5 m)",
    ] {
        assert!(message.contains(words), "{words}: {message}");
    }
    assert!(
        usual.findings.iter().all(|finding| { !matches!(finding, eavewright::takeoff::Finding::OwnValues { .. }) })
    );
}

#[test]
fn bare_lengths_are_in_the_units_of_the_roof_file() {
    let job = read(&gable("mm", "[covering]\ncard_values = { strip = { gauge = 138 }, caps = { exposure = 130 } }\n"))
        .unwrap();
    let CoveringKind::Strip(strip) = &job.covering.card.covering else { panic!("no strip") };
    near(strip.gauge, 0.138, 1e-12);
    near(job.covering.card.caps.as_ref().unwrap().exposure, 0.130, 1e-12);
    let own = &job.covering.card.own;
    assert_eq!(own.len(), 2);
    assert!(
        own.iter().any(|value| value.own == CardValue::Length(0.130) && value.card == Some(CardValue::Length(0.143)))
    );
}

#[test]
fn a_list_of_a_card_is_replaced_as_a_whole() {
    let own = "[[covering.card_values.min_pitch]]\npitch = 11\nsource = \"our supplier's sheet\"\n";
    let job = read(&gable("m", own)).unwrap();
    assert_eq!(job.covering.card.min_pitch.len(), 1);
    near(job.covering.card.min_pitch[0].pitch.to_degrees(), 11.0, 1e-9);
    let laps = "[[covering.card_values.underlay.lap]]\npitch_from = 0\nlap = \"200 mm\"\nsource = \"ours\"\n";
    let job = read(&gable("m", laps)).unwrap();
    let laps = &job.covering.card.underlay.as_ref().unwrap().laps;
    assert!(laps.len() == 1 && (laps[0].lap - 0.2).abs() < 1e-12);
}

/// What is wrong is told where it is written, with a hint.
#[test]
fn what_a_card_cannot_have_is_refused_with_a_hint() {
    let cases = [
        ("name = \"mine\"", "`name` of a card is not changed", "save it beside the roof file"),
        ("unit.width = \"250 mm\"", "the card strip-shingle has no [unit]", "save it beside the roof file"),
        ("strip.gage = \"140 mm\"", "unknown-key", "gauge"),
        ("stripe.gauge = \"140 mm\"", "unknown-key", "strip"),
        // Half of 333 mm less 45 mm: 144 mm, and no deeper than the cutouts.
        ("strip.gauge = \"150 mm\"", "the gauge leaves too little lap", "make the gauge smaller"),
        ("strip.gauge = 143", "out-of-range", "143 mm"),
        ("strip.head_lap = \"200 mm\"", "the gauge leaves too little lap", "make the gauge smaller"),
        ("strip.pack = \"many\"", "wrong-type", "expected"),
        ("strip = 3", "wrong-type", "expected"),
    ];
    for (line, words, hint) in cases {
        let text = gable("m", &format!("[covering.card_values]\n{line}\n"));
        let told = read(&text).expect_err(line).join("\n");
        assert!(told.contains(words) && told.contains(hint), "{line}: {told}");
        // Never a place of the card's own text.
        assert!(!told.contains("at \"\""), "{line}: {told}");
    }
}

#[test]
fn every_card_that_comes_with_the_program_reads_without_a_word() {
    for name in card::names() {
        let (card, told) = card::read(name, card::text(name).unwrap());
        assert!(card.is_some_and(|card| card.name == name) && told.is_empty(), "{name}: {told:#?}");
    }
}
