//! No orphan number in the window: every number of the right side and of the views is found in the answers' JSON, among
//! numbers that measure the same, within its printed digits, in metres and in feet. What is typed on the left is the file's.

use super::answers;
use super::exceptions;
use super::jobs;
use super::printed;
use super::state;
use answers::Answers;
use eavewright::base::ids::FaceId;
use eavewright::base::units::{LengthUnit, Pitch};
use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Job, Options, order};
use eavewright::viewer::app::state::AppState;
use eavewright::viewer::editors::views::Tab;
use eavewright::viewer::render::scene::Shade;
use eavewright::wording::units::Format;
use eavewright::write::roof_json::RoofTwin;
use eavewright::write::takeoff_json::{CompareTwin, TakeoffTwin};
use eframe::egui;
use egui_kittest::Harness;
use egui_kittest::kittest::NodeT;
use exceptions::plain;
use printed::numbers;
use state::{Plain, settle, window};
use std::collections::BTreeMap;
use std::sync::Arc;

const EXAMPLES: [&str; 3] = [
    include_str!("../../examples/boat_store.toml"),
    include_str!("../../examples/stable_l.toml"),
    include_str!("../../examples/field_shed.toml"),
];

/// The answers' numbers for a text shown in these units.
fn answers(text: &str, units: LengthUnit) -> Answers {
    let (job, ..) = input::read("job", text, &NoFiles).unwrap();
    let job = Job { units, ..job };
    let answer = job::solve(&job, &Options { steps: true, spread: true }).unwrap();
    let (take_off, format) = (order::take_off(&job, &answer), Format::of(units));
    let pitches: Vec<Pitch> = (3..=11).map(|step| Pitch::from_degrees(f64::from(step) * 5.0).unwrap()).collect();
    let mut answers = Answers::default();
    answers.take(&serde_json::to_value(RoofTwin::new(&job, &answer, true)).unwrap());
    answers.take(&serde_json::to_value(TakeoffTwin::new(&take_off, &answer.roof, format, true)).unwrap());
    if let Ok(rows) = order::compare(&job, &[], &pitches) {
        answers.take(&serde_json::to_value(CompareTwin::new(&rows, &job, format)).unwrap());
    }
    answers.names.extend(exceptions::names(&job, &answer));
    answers
}

/// Where the left side ends, at the width it opens with, points of the screen.
const LEFT: f32 = 404.0;

/// All lettering right of the left side, as painted.
fn painted(harness: &Harness<'static, AppState>) -> Vec<String> {
    let from = LEFT;
    let mut found = Vec::new();
    for clipped in &harness.output().shapes {
        lettering(&clipped.shape, from, &mut found);
    }
    found
}

fn lettering(shape: &egui::Shape, from: f32, found: &mut Vec<String>) {
    match shape {
        egui::Shape::Text(text) if text.pos.x >= from => found.push(text.galley.text().to_owned()),
        egui::Shape::Vec(shapes) => shapes.iter().for_each(|shape| lettering(shape, from, found)),
        _ => {}
    }
}

/// What is told to those who hear the window, right of the left side: without the marks of axes.
fn labels(harness: &Harness<'static, AppState>) -> Vec<String> {
    let from = f64::from(LEFT);
    let mut found = Vec::new();
    let mut waiting = vec![harness.root()];
    while let Some(node) = waiting.pop() {
        let of = node.accesskit_node();
        let is_right = of.raw_bounds().is_some_and(|bounds| bounds.x0 >= from);
        let told = of.label().or_else(|| of.value());
        if let Some(told) = told.filter(|_| is_right && !of.is_text_input()) {
            found.push(told);
        }
        waiting.extend(node.children());
    }
    found
}

struct Tally {
    traced: BTreeMap<String, usize>,
    orphans: Vec<String>,
}

impl Tally {
    fn count(&mut self, view: &str, told: Vec<String>, answers: &Answers, units: LengthUnit) {
        for words in told {
            for number in numbers(&plain(&words, answers), None) {
                if answers.hold(&number) {
                    *self.traced.entry(view.to_owned()).or_default() += 1;
                } else {
                    self.orphans.push(format!("{view}, {units:?}: {:?} {} in {words:?}", number.class, number.context));
                }
            }
        }
    }
}

#[test]
fn every_number_of_the_window_is_in_the_answers() {
    let mut tally = Tally { traced: BTreeMap::new(), orphans: Vec::new() };
    let texts = EXAMPLES.iter().copied().chain(jobs::WRITTEN.iter().map(|(_, text)| *text));
    for text in texts {
        for units in [LengthUnit::Metre, LengthUnit::Foot] {
            let answers = answers(text, units);
            assert!(answers.unknown.is_empty(), "{:?}", answers.unknown);
            // High enough for all of the right side.
            let mut harness = window(Arc::new(Plain::default()), text, [1700.0, 2600.0]);
            harness.state_mut().show_in(Some(units));
            settle(&mut harness);
            let faces = harness.state().shown.as_ref().unwrap().answered.answer.roof.faces.len();
            for shade in Shade::ALL {
                harness.state_mut().look.shade = shade;
                settle(&mut harness);
                tally.count("roof", painted(&harness), &answers, units);
            }
            for face in 0..faces {
                harness.state_mut().look.chosen = Some(FaceId::new(face));
                harness.run_steps(3);
                tally.count("right side", painted(&harness), &answers, units);
            }
            for (tab, view) in [(Tab::Plan, "plan"), (Tab::Photos, "photos"), (Tab::Compare, "comparison")] {
                harness.state_mut().views.tab = tab;
                settle(&mut harness);
                let told = if tab == Tab::Compare { labels(&harness) } else { painted(&harness) };
                tally.count(view, told, &answers, units);
            }
        }
    }
    println!("numbers traced: {:?}", tally.traced);
    tally.orphans.sort();
    tally.orphans.dedup();
    if let Some(path) = std::env::var_os("ORPHANS") {
        std::fs::write(path, tally.orphans.join("\n")).unwrap();
    }
    let first: Vec<&String> = tally.orphans.iter().take(40).collect();
    assert!(tally.orphans.is_empty(), "{} numbers stand in no answer: {first:#?}", tally.orphans.len());
    assert!(["roof", "right side", "plan", "comparison"].iter().all(|view| tally.traced[*view] > 50));
}
