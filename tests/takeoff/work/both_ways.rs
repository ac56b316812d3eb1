//! Both ways: every line of an order is used by a step, every step uses lines of the order, and the steps stand in the order
//! of work; examples, ten jobs, 200 random roofs, every card.

use super::{CARDS, Taken, examples, roofs, try_taken};
use serde_json::Value;
use std::collections::BTreeSet;

/// The order of work: names of steps by the rank they may not fall behind.
const RANKS: [&[&str]; 12] = [
    &["prepare"],
    &["strip"],
    &["timbers"],
    &["mend-deck"],
    &["deck", "boards", "eave-metal", "underlay", "verge-metal", "valley", "base-layer", "edge-metal"],
    &["starter", "courses", "breaks", "cap-sheet"],
    &["valley-courses"],
    &["opening", "collar"],
    &["verge-cover", "wall-flashings", "top-edges"],
    &["vents", "caps"],
    &["gutters"],
    &["clear-up", "check"],
];

/// Steps that lay something, and so use a line.
const FREE: [&str; 5] = ["prepare", "strip", "mend-deck", "clear-up", "check"];

fn names(list: &Value) -> BTreeSet<String> {
    list.as_array().unwrap().iter().map(|name| name.as_str().unwrap().to_owned()).collect()
}

/// What is wrong with a take-off; and how many lines and steps were looked at.
fn faults(taken: &Taken) -> (Vec<String>, usize, usize) {
    let json = taken.json();
    let lines = json["lines"].as_array().unwrap();
    let work = json["work"].as_array().unwrap();
    let items: BTreeSet<String> = lines.iter().map(|line| line["item"].as_str().unwrap().to_owned()).collect();
    let used: BTreeSet<String> = work.iter().flat_map(|step| names(&step["uses"])).collect();
    let mut faults: Vec<String> =
        items.difference(&used).map(|item| format!("{item} is ordered and no step uses it")).collect();
    faults.extend(used.difference(&items).map(|item| format!("a step uses {item}, which is not ordered")));
    let mut rank = 0;
    for step in work {
        let name = step["step"].as_str().unwrap();
        // A deck is mended with boards of the order, or with nothing but a hammer.
        let may_use = name == "mend-deck";
        if !may_use && names(&step["uses"]).is_empty() != FREE.contains(&name) {
            faults.push(format!("{name} uses {:?}", step["uses"]));
        }
        match RANKS.iter().position(|names| names.contains(&name)) {
            Some(at) if at >= rank => rank = at,
            Some(_) => faults.push(format!("{name} stands too late")),
            None => faults.push(format!("{name} has no place in the order of work")),
        }
        if step["message"].as_str().unwrap().is_empty() || step["faces"].as_array().unwrap().is_empty() {
            faults.push(format!("{name} says nothing, or of no face"));
        }
        if step["cautions"].as_array().unwrap().is_empty() {
            faults.push(format!("{name} has no caution"));
        }
    }
    if !lines.is_empty() {
        let ends = [work.first(), work.last()].map(|step| step.map(|step| step["step"].clone()));
        if ends != [Some("prepare".into()), Some("check".into())] {
            faults.push(format!("work begins and ends with {ends:?}"));
        }
    }
    (faults, lines.len(), work.len())
}

fn look_at(texts: impl IntoIterator<Item = (String, String)>) -> usize {
    let (mut looked, mut lines, mut steps, mut wrong) = (0, 0, 0, Vec::new());
    for (name, text) in texts {
        for card in CARDS {
            let text = match text.split_once("[covering]") {
                Some((before, after)) => {
                    // The file's own covering gives way to the card, its other tables stay.
                    let rest = after.find("\n[").map_or("", |at| &after[at..]);
                    format!("{before}[covering]\ncard = \"{card}\"\n{rest}")
                }
                None => format!("{text}\n[covering]\ncard = \"{card}\"\n"),
            };
            let Some(taken) = try_taken(&text, false) else { continue };
            let (faults, of_lines, of_steps) = faults(&taken);
            looked += 1;
            lines += of_lines;
            steps += of_steps;
            wrong.extend(faults.into_iter().map(|fault| format!("{name} {card}: {fault}")));
        }
    }
    println!("{looked} take-offs, {lines} lines, {steps} steps");
    assert!(wrong.is_empty(), "{} faults, the first: {:#?}", wrong.len(), &wrong[..wrong.len().min(20)]);
    assert!(lines > 10 * looked && steps > 8 * looked, "{looked} take-offs, {lines} lines, {steps} steps");
    looked
}

#[test]
fn every_line_has_its_step_and_every_step_its_line_in_the_examples_and_the_ten_jobs() {
    let jobs = roofs::jobs().into_iter().map(|(number, text)| (format!("job {number}"), text));
    let looked = look_at(examples().into_iter().chain(jobs));
    assert!(looked >= 5 * 13, "{looked}");
}

#[test]
fn every_line_has_its_step_and_every_step_its_line_on_random_roofs() {
    let looked = look_at((0..200).map(|seed| (format!("seed {seed}"), roofs::random(seed))));
    assert!(looked >= 5 * 190, "{looked}");
}

/// Metal at verges lies under shingles and over the outer ribs of sheets; courses stop where an apron comes over them.
#[test]
fn what_is_laid_over_the_covering_comes_after_it_and_courses_stop_at_an_apron() {
    let gable = roofs::gable(6.0, 5.0, 35.0);
    let opening = "[[opening]]\nface = \"shed/A\"\nat = [2.0, 1.0]\nsize = [0.6, 0.8]\nkind = \"chimney\"\n";
    let steps = |card: &str| {
        let text = format!("{gable}{opening}[covering]\ncard = \"{card}\"\n");
        try_taken(&text, false).unwrap().json()["work"].as_array().unwrap().clone()
    };
    let at = |steps: &[Value], name: &str| steps.iter().position(|step| step["step"] == name);
    let sheets = steps("profiled-sheet");
    assert!(at(&sheets, "verge-cover") > at(&sheets, "courses") && at(&sheets, "verge-metal").is_none());
    let strips = steps("strip-shingle");
    assert!(at(&strips, "verge-metal") < at(&strips, "courses") && at(&strips, "verge-cover").is_none());
    // The course whose butt lies last below the opening's lower edge, 1.0 m up the slope: the lowest butt stands 8 mm past
    // the deck, each further one a gauge higher.
    let (pierced, plain): (Vec<&Value>, Vec<&Value>) = strips
        .iter()
        .filter(|step| step["step"] == "courses")
        .partition(|step| step["faces"].as_array().unwrap().contains(&"shed/A".into()));
    let gauge = pierced[0]["values"]["gauge"].as_f64().unwrap();
    let course = ((1.0 + 0.008) / gauge).ceil();
    assert_eq!(pierced[0]["values"]["apron_course"].as_f64(), Some(course));
    assert!(pierced[0]["message"].as_str().unwrap().contains(&format!("Stop at course {course}:")));
    assert!(plain.iter().all(|step| step["values"]["apron_course"].is_null()) && !plain.is_empty());
}
