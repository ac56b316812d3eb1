//! Re-roofing orders only what is renewed; any line can be left out or be there already; goods of a card can be chosen.

use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Options, order};
use eavewright::takeoff::TakeOff;
use eavewright::takeoff::offer::Unpriced;
use eavewright::takeoff::scope::Spared;
use eavewright::takeoff::work::Task;

/// A gable 8 x 5 m at 30 degrees: 40 / cos 30 = 46.188 m2, eaves 16 m, rakes 4 x 2.887 m.
fn taken(more: &str) -> TakeOff {
    let text = format!(
        "units = \"m\"\n[[block]]\nname = \"shed\"\nheight = 2.4\nmeasured_at = \"eaves\"\nsides = [\n\
         {{ from = \"A\", length = 8, turn = \"L\", pitch = 30 }},\n{{ from = \"B\", length = 5, turn = \"L\", verge = true }},\n\
         {{ from = \"C\", length = 8, turn = \"L\", pitch = 30 }},\n{{ from = \"D\", length = 5, turn = \"L\", verge = true }},\n]\n{more}"
    );
    let (job, ..) = input::read("roof.toml", &text, &NoFiles).unwrap_or_else(|errors| panic!("{errors:?}"));
    let answer = job::solve(&job, &Options { steps: false, spread: false }).unwrap();
    order::take_off(&job, &answer)
}

fn items(answer: &TakeOff) -> Vec<&str> {
    answer.lines.iter().map(|line| line.item.key()).collect()
}

fn ordered(answer: &TakeOff) -> Vec<(&str, Option<u32>)> {
    answer.lines.iter().map(|line| (line.item.key(), line.packs)).collect()
}

/// Items that are not bought, for a reason.
fn spared(answer: &TakeOff, why: Spared) -> Vec<&str> {
    answer.not_ordered.iter().filter(|item| item.why == why).map(|item| item.item.key()).collect()
}

#[test]
fn a_tenth_of_the_deck_is_ordered_and_what_stays_is_not() {
    let new = taken("");
    let old = taken(
        "[old_roof]\nkind = \"bitumen shingles\"\nweight = 10\nloose_thickness = \"40 mm\"\ndeck_share = \"10 %\"\n\
         stays = [\"gutters\", \"fascia\", \"soffit\"]\n",
    );
    for item in ["gutter", "downpipe", "fascia-board", "soffit"] {
        assert!(new.line(item).is_some() && old.line(item).is_none(), "{item}");
        assert!(spared(&old, Spared::Stays).contains(&item), "{item}");
    }
    // What is not said to stay is renewed: the boards up the verges, metal, underlay.
    assert!(items(&old).contains(&"verge-board") && items(&old).contains(&"underlay"));
    let (deck, all) = (old.line("deck-board").unwrap(), new.line("deck-board").unwrap());
    assert!((deck.quantity.value().unwrap() - 0.1 * 40.0 / 30_f64.to_radians().cos()).abs() < 1e-6);
    assert_eq!(deck.packs.unwrap(), all.packs.unwrap().div_ceil(10));
    // It is used where the deck is mended; no step lays a new one, hangs gutters or fixes fascias of their own.
    let uses = |task: fn(&Task) -> bool| old.work.iter().find(|step| task(&step.task)).map(|step| step.uses.clone());
    assert_eq!(uses(|task| matches!(task, Task::MendDeck { .. })).unwrap()[0], deck.item);
    assert!(uses(|task| matches!(task, Task::Deck { .. } | Task::Gutters { .. })).is_none());
}

#[test]
fn an_old_roof_of_which_nothing_is_said_leaves_deck_boards_and_gutters_alone() {
    let answer = taken("[old_roof]\n");
    for item in ["deck-board", "gutter", "downpipe", "fascia-board", "verge-board", "soffit"] {
        assert!(answer.line(item).is_none(), "{item}");
    }
    for item in ["strip-shingle", "underlay", "edge-strip-eave", "edge-strip-verge", "nail"] {
        assert!(answer.line(item).is_some(), "{item}");
    }
    let old = answer.old_roof.unwrap();
    // One layer of bitumen shingles at 10 kg a square metre (common practice, no source).
    assert!((old.weight - 461.88).abs() < 0.01 && !old.stays_stated && old.layers == 1);
    let slates = taken("[old_roof]\nkind = \"old slates\"\n").old_roof.unwrap();
    assert!((slates.weight - 32.0 * 46.188).abs() < 0.1);
    // All of it renewed, when that is said.
    let all = taken("[old_roof]\nstays = []\ndeck_share = \"100 %\"\n");
    assert_eq!(ordered(&all), ordered(&taken("")));
    assert!(all.work.iter().any(|step| matches!(step.task, Task::Deck { .. })));
    assert!(!all.work.iter().any(|step| matches!(step.task, Task::MendDeck { .. })));
}

#[test]
fn what_is_said_to_stay_and_is_no_line_is_told() {
    let answer = taken("[old_roof]\nstays = [\"guters\"]\n");
    assert!(answer.line("gutter").is_some());
    assert!(answer.findings.iter().any(|found| format!("{found:?}").contains("guters")));
}

#[test]
fn a_line_left_out_has_neither_order_nor_step_and_one_that_is_there_is_laid_but_not_bought() {
    let answer = taken(
        "[covering]\nleave_out = [\"soffit\", \"gutters\"]\nalready_there = [\"underlay\", \"fascia-board\"]\n[prices]\nunderlay = 20\n",
    );
    for item in ["soffit", "gutter", "downpipe", "fascia-board"] {
        assert!(answer.line(item).is_none(), "{item}");
    }
    assert!(!answer.work.iter().any(|step| matches!(step.task, Task::Gutters { .. })));
    let underlay = answer.line("underlay").unwrap();
    assert!(underlay.is_there && underlay.packs == Some(0) && underlay.cost.value().is_none());
    let unpriced = &answer.offer.as_ref().unwrap().unpriced;
    assert!(
        !unpriced
            .iter()
            .any(|line| matches!(line, Unpriced::Line(item) | Unpriced::WrongUnit(item) if *item == underlay.item))
    );
    assert_eq!(answer.offer.as_ref().unwrap().material.len(), 0);
    assert!(answer.work.iter().any(|step| matches!(step.task, Task::Underlay { .. })));
    assert_eq!(spared(&answer, Spared::InYard), ["underlay"]);
    assert_eq!(spared(&answer, Spared::InPlace), ["fascia-board"]);
    assert!(spared(&answer, Spared::LeftOut).contains(&"gutter"));
}

#[test]
fn decks_are_chosen_from_the_card_and_edge_metal_and_gutters_or_none() {
    let deck = |choice: &str| taken(&format!("[covering]\ndeck = \"{choice}\"\n"));
    let (boards, plywood, none) = (deck("boards"), deck("plywood"), deck("none"));
    assert_eq!(ordered(&boards), ordered(&taken("")));
    let pack = |answer: &TakeOff| answer.line("deck-board").map(|line| line.item.clone());
    assert!(pack(&plywood) != pack(&boards) && pack(&none).is_none());
    assert!(deck("board panels").line("deck-board").unwrap().packs > plywood.line("deck-board").unwrap().packs);
    let bare = taken("[covering]\nedge_metal = \"none\"\ngutters = \"none\"\n");
    for item in ["edge-strip-eave", "edge-strip-verge", "gutter", "downpipe"] {
        assert!(bare.line(item).is_none(), "{item}");
    }
    // Without metal the strips themselves are the drip and stand further over.
    let butt = |answer: &TakeOff| answer.layouts[0].courses[0].butt_v;
    assert!((butt(&taken("")) + 0.008).abs() < 1e-9 && (butt(&bare) + 0.015).abs() < 1e-9);
}

#[test]
fn a_wrong_word_is_refused_with_what_was_meant() {
    let wrong = |line: &str| {
        let text = format!(
            "units = \"m\"\n[[block]]\nname = \"s\"\nheight = 2\nsides = [\n{{ from = \"A\", length = 4, turn = \"L\", pitch = 30 }},\n{{ from = \"B\", length = 4, turn = \"L\", pitch = 30 }},\n{{ from = \"C\", length = 4, turn = \"L\", pitch = 30 }},\n{{ from = \"D\", length = 4, turn = \"L\", pitch = 30 }},\n]\n[covering]\n{line}\n"
        );
        input::read("roof.toml", &text, &NoFiles).unwrap_err()
    };
    let errors = wrong("leave_out = [\"sofit\"]");
    assert!(errors.iter().any(|error| error.hints.iter().any(|hint| hint.contains("soffit"))), "{errors:?}");
    let errors = wrong("deck = \"marble\"");
    assert!(errors.iter().any(|error| error.code == "unknown-word"), "{errors:?}");
}
