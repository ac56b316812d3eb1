//! No orphan number in the window: every number of the right side and of the views is found in the answers' JSON, among
//! numbers that measure the same, within its printed digits, in metres and in feet. What is typed on the left is the file's.

use super::answers;
use super::exceptions;
use super::jobs;
use super::printed;
use super::state;
use super::worked_out;
use answers::Answers;
use eavewright::base::ids::{EdgeId, FaceId};
use eavewright::base::units::{LengthUnit, Pitch};
use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Job, Options, order};
use eavewright::viewer::app::state::AppState;
use eavewright::viewer::editors::views::Tab;
use eavewright::viewer::editors::views::lesson::Chapter;
use eavewright::viewer::render::scene::Shade;
use eavewright::viewer::render::section::Cutting;
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

const EXAMPLES: [&str; 4] = [
    include_str!("../../examples/boat_store.toml"),
    include_str!("../../examples/stable_l.toml"),
    include_str!("../../examples/field_shed.toml"),
    include_str!("../../examples/lean_to.toml"),
];

/// Further roofs, for what is shown at a height, a plane or a place of one's own.
const FILES: [&str; 9] = [
    include_str!("../roofs/eaves_at_three_levels.toml"),
    include_str!("../roofs/half_hip_and_gablet.toml"),
    include_str!("../roofs/mansard_round_a_court.toml"),
    include_str!("../roofs/spire_with_sprocket.toml"),
    include_str!("../roofs/unequal_hips_over_a_wall.toml"),
    include_str!("../drawings/courtyard.toml"),
    include_str!("../drawings/dormered_barn.toml"),
    include_str!("../drawings/feet_and_gablets.toml"),
    include_str!("../drawings/unequal_overhang.toml"),
];

/// The answers' numbers for a text shown in these units, and the JSON of the roof itself.
fn answers(text: &str, units: LengthUnit) -> (Answers, serde_json::Value) {
    let (job, ..) = input::read("job", text, &NoFiles).unwrap();
    let job = Job { units, ..job };
    let answer = job::solve(&job, &Options { steps: true, spread: true }).unwrap();
    let (take_off, format) = (order::take_off(&job, &answer), Format::of(units));
    let pitches: Vec<Pitch> = (3..=11).map(|step| Pitch::from_degrees(f64::from(step) * 5.0).unwrap()).collect();
    let mut answers = Answers::default();
    let roof = serde_json::to_value(RoofTwin::new(&job, &answer, true)).unwrap();
    answers.take(&roof);
    answers.take(&serde_json::to_value(TakeoffTwin::new(&take_off, &answer.roof, format, true)).unwrap());
    if let Ok(rows) = order::compare(&job, &[], &pitches) {
        answers.take(&serde_json::to_value(CompareTwin::new(&rows, &job, format)).unwrap());
    }
    answers.names.extend(exceptions::names(&job, &answer));
    (answers, roof)
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
        // A line of a text that can be selected is part of a label that is told whole.
        let is_part = of.role() == egui::accesskit::Role::TextRun;
        if let Some(told) = told.filter(|_| is_right && !is_part && !of.is_text_input()) {
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
            let (answers, _) = answers(text, units);
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
    tally.judge(&["roof", "right side", "plan", "comparison"]);
}

/// What is shown at a height, by a plane or between two places that somebody chooses, and what is said under the pointer:
/// twenty roofs and more, in metres and in feet. What such a place alone gives is worked out apart.
#[test]
fn every_number_at_a_place_of_ones_own_is_in_the_answers_or_follows_from_them() {
    let mut tally = Tally { traced: BTreeMap::new(), orphans: Vec::new() };
    let written = jobs::WRITTEN.iter().map(|(_, text)| *text);
    let texts: Vec<&str> = EXAMPLES.into_iter().chain(written).chain(FILES).collect();
    assert!(texts.len() >= 20, "{} roofs", texts.len());
    for text in texts {
        for units in [LengthUnit::Metre, LengthUnit::Foot] {
            let (answers, json) = answers(text, units);
            let mut harness = window(Arc::new(Plain::default()), text, [1500.0, 1100.0]);
            harness.state_mut().show_in(Some(units));
            settle(&mut harness);
            let mut place = Place { harness, answers: &answers, json: &json, units, tally: &mut tally };
            place.lesson();
            place.sections();
            place.measure();
            place.pointer();
        }
    }
    tally.judge(&["lesson: rising", "lesson: lengths", "lesson: net", "section", "measure", "under the pointer"]);
}

/// A window on one roof.
struct Place<'a> {
    harness: Harness<'static, AppState>,
    answers: &'a Answers,
    json: &'a serde_json::Value,
    units: LengthUnit,
    tally: &'a mut Tally,
}

impl Place<'_> {
    fn count(&mut self, view: &str, told: Vec<String>, more: &worked_out::Numbers) {
        self.tally.count(view, told, &self.answers.with(more), self.units);
    }

    fn lesson(&mut self) {
        self.harness.state_mut().views.tab = Tab::Lesson;
        for share in [0.0, 0.35, 0.8, 1.0] {
            let lesson = &mut self.harness.state_mut().views.lesson;
            (lesson.chapter, lesson.rise) = (Chapter::Rising, share);
            settle(&mut self.harness);
            let shown = Arc::clone(self.harness.state().shown.as_ref().unwrap());
            let more = worked_out::raised(self.json, &shown.answered.solid, share);
            self.count("lesson: rising", painted(&self.harness), &more);
        }
        self.harness.state_mut().views.lesson.chapter = Chapter::Lengths;
        let roof = self.harness.state().shown.as_ref().unwrap().answered.answer.roof.clone();
        let faces = (0..roof.faces.len()).take(6).map(|face| (Some(FaceId::new(face)), None));
        let folds = (0..roof.edges.len()).filter(|edge| matches!(roof.edges[*edge].kind.word(), "hip" | "valley"));
        let folds = folds.take(6).map(|edge| (None, Some(EdgeId::new(edge))));
        let more = worked_out::lesson(self.json);
        for (face, edge) in faces.chain(folds) {
            (self.harness.state_mut().look.chosen, self.harness.state_mut().look.edge) = (face, edge);
            self.harness.run_steps(3);
            self.count("lesson: lengths", painted(&self.harness), &more);
        }
        let lesson = &mut self.harness.state_mut().views.lesson;
        (lesson.chapter, lesson.opened) = (Chapter::Unfolding, 0.6);
        settle(&mut self.harness);
        // Polygons, pieces, folds and cuts of the net are counted in their own sentences, which add up.
        let told: Vec<String> = painted(&self.harness).into_iter().filter(|words| !is_count_of_net(words)).collect();
        self.count("lesson: net", told, &Vec::new());
    }

    fn sections(&mut self) {
        let state = self.harness.state_mut();
        state.views.tab = Tab::Roof;
        (state.look.chosen, state.look.edge) = (None, None);
        for cutting in [Cutting::Level, Cutting::Across, Cutting::Along] {
            for share in [0.31, 0.77] {
                let section = &mut self.harness.state_mut().section;
                (section.cutting, section.share) = (cutting, share);
                settle(&mut self.harness);
                let shown = Arc::clone(self.harness.state().shown.as_ref().unwrap());
                let more = worked_out::section(self.json, &shown.answered.solid, cutting, share);
                self.count("section", painted(&self.harness), &more);
            }
        }
        self.harness.state_mut().section.cutting = Cutting::Off;
    }

    fn measure(&mut self) {
        for presses in 2..6 {
            let state = self.harness.state_mut();
            let scene = Arc::clone(&state.shown.as_ref().unwrap().scene);
            state.canvas.measured.clear();
            for _ in 0..presses {
                state.canvas.measure_corner(&scene, true);
            }
            let [from, to] = [state.canvas.measured[0], state.canvas.measured[1]];
            settle(&mut self.harness);
            self.count("measure", painted(&self.harness), &worked_out::between(&from, &to));
        }
        let state = self.harness.state_mut();
        state.canvas.measured.clear();
        state.canvas.is_measuring = false;
        settle(&mut self.harness);
    }

    fn pointer(&mut self) {
        for (across, down) in (1..6).flat_map(|across| (1..6).map(move |down| (across as f32, down as f32))) {
            let at = egui::pos2(LEFT + 110.0 * across, 140.0 + 130.0 * down);
            self.harness.event(egui::Event::PointerMoved(at));
            self.harness.run_steps(2);
            self.count("under the pointer", painted(&self.harness), &Vec::new());
        }
    }
}

/// Whether words count the polygons of a net, and add up: so many, less the pieces, are folds.
fn is_count_of_net(words: &str) -> bool {
    let counts: Vec<f64> = numbers(words, None).iter().map(|number| number.value).collect();
    let adds_up = matches!(counts.as_slice(), [polygons, pieces, folds, _] if polygons - pieces == *folds);
    words.contains(" polygons in ") || words.contains(" folds hold them together") && adds_up
}

impl Tally {
    fn judge(mut self, views: &[&str]) {
        println!("numbers traced: {:?}", self.traced);
        self.orphans.sort();
        self.orphans.dedup();
        if let Some(path) = std::env::var_os("ORPHANS") {
            std::fs::write(path, self.orphans.join("\n")).unwrap();
        }
        let first: Vec<&String> = self.orphans.iter().take(40).collect();
        assert!(self.orphans.is_empty(), "{} numbers stand in no answer: {first:#?}", self.orphans.len());
        for view in views {
            assert!(self.traced.get(*view).is_some_and(|count| *count > 50), "{view}: {:?}", self.traced);
        }
    }
}
