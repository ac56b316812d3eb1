//! Twenty-four things that an order got wrong, each with what it said before and what it says now. What is expected is
//! worked out by hand beside each; the rules are common practice without a source unless one is named.

use super::counted::unsure;
use super::laying::read::{Taken, rectangle, taken};
use super::solved::{codes, covering, eave, quantity, rectangle as roof_of, solved, t_plan, taken_off};
use eavewright::drawing::Context;
use eavewright::drawing::job_sheet::{Audience, offer_sheet};
use eavewright::input::{self, Beside, NoFiles};
use eavewright::job::{self, Options, order};
use eavewright::outline::footprint::Role;
use eavewright::takeoff::TakeOff;
use eavewright::takeoff::answer::Tool;
use eavewright::takeoff::model::ValleyMethod;
use eavewright::write::html;
use std::path::Path;

/// A case: what it is about, what was said before, what is to be said, what is said.
struct Case {
    about: &'static str,
    before: &'static str,
    expected: &'static str,
    now: fn() -> String,
}

const GABLE: [&str; 4] = ["pitch = 30", "verge = true", "pitch = 30", "verge = true"];
const LEAN_TO: [&str; 4] = ["pitch = 30", "verge = true", "verge = true", "verge = true"];

/// A gable 8 x 5 m at 30 degrees with more of a roof file behind it.
fn gable(more: &str) -> Taken {
    taken(&rectangle(8.0, 5.0, GABLE, more))
}

fn packs(answer: &TakeOff, item: &str) -> u32 {
    answer.line(item).and_then(|line| line.packs).unwrap_or(0)
}

fn count(answer: &TakeOff, item: &str) -> f64 {
    answer.line(item).and_then(|line| line.quantity.value()).unwrap_or(0.0)
}

/// Which of these are on the order.
fn ordered<'a>(answer: &TakeOff, items: &[&'a str]) -> Vec<&'a str> {
    items.iter().copied().filter(|item| answer.line(item).is_some()).collect()
}

/// The codes of what is refused in a roof file.
fn refused(more: &str) -> String {
    let errors = input::read("roof.toml", &rectangle(8.0, 5.0, GABLE, more), &NoFiles).err().unwrap_or_default();
    let hints = errors.iter().filter(|error| !error.hints.is_empty()).count();
    format!("{} refused, {hints} with a hint", errors.len())
}

fn example(name: &str, spread: bool) -> TakeOff {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(name).with_extension("toml");
    let text = std::fs::read_to_string(&path).unwrap();
    let (job, ..) = input::read(name, &text, &Beside::of(&path)).unwrap();
    let answer = job::solve(&job, &Options { steps: false, spread }).unwrap();
    order::take_off(&job, &answer)
}

/// The words of an offer for a client.
fn offer_of(taken: &Taken) -> String {
    let context = Context::of(&taken.job);
    let input = taken.sheet_input(&context, Audience::Client, false);
    let page = html::html(&offer_sheet(&input), input.paper());
    page.split_once("<main>").unwrap().1.to_owned()
}

/// A hipped roof by points whose one corner lies so much low.
fn shed(low: f64) -> TakeOff {
    let height = 2.3 - low;
    let text = format!(
        "units = \"m\"\n[points]\nE1 = [0, 0, 2.3]\nE2 = [6.4, 0, {height}]\nE3 = [6.4, 4.2, 2.3]\nE4 = [0, 4.2, 2.3]\n\
         R1 = [2.1, 2.1, 3.512]\nR2 = [4.3, 2.1, 3.512]\n\
         [[face]]\nname = \"south\"\npoints = [\"E1\", \"E2\", \"R2\", \"R1\"]\n\
         [[face]]\nname = \"east\"\npoints = [\"E2\", \"E3\", \"R2\"]\n\
         [[face]]\nname = \"north\"\npoints = [\"E3\", \"E4\", \"R1\", \"R2\"]\n\
         [[face]]\nname = \"west\"\npoints = [\"E4\", \"E1\", \"R1\"]\n"
    );
    taken(&text).order
}

const CASES: [Case; 24] = [
    Case {
        about: "re-roofing with a tenth of the deck renewed, gutters, fascia and soffit staying",
        before: "all 70 boards, all fascia, soffit and gutters",
        expected: "0.10 of the deck; none of gutter, fascia, soffit",
        now: || {
            let more = "[old_roof]\ndeck_share = \"10 %\"\nstays = [\"gutters\", \"fascia\", \"soffit\"]\n";
            let (old, new) = (gable(more).order, gable("").order);
            let share = quantity(&old, "deck-board") / quantity(&new, "deck-board");
            let left = ordered(&old, &["gutter", "downpipe", "fascia-board", "soffit"]);
            format!(
                "{share:.2} of the deck; {} of gutter, fascia, soffit",
                if left.is_empty() { "none" } else { "some" }
            )
        },
    },
    Case {
        about: "a roof of which nothing is said but that an old covering comes off, or is off",
        before: "an error",
        expected: "1 layer off, no deck; 0 layers off, no deck, no asbestos",
        now: || {
            let (on, off) = (gable("[old_roof]\n").order, gable("[old_roof]\nlayers = 0\n").order);
            let old = |answer: &TakeOff| answer.old_roof.clone().unwrap();
            let deck = |answer: &TakeOff| if answer.line("deck-board").is_none() { "no deck" } else { "deck" };
            let asbestos =
                if codes(&off).iter().any(|code| code.contains("asbestos")) { "asbestos" } else { "no asbestos" };
            let strips = off.work.iter().filter(|step| step.task.word() == "strip").count();
            format!(
                "{} layer off, {}; {} layers off, {}, {asbestos}",
                old(&on).layers,
                deck(&on),
                old(&off).layers as usize + strips,
                deck(&off)
            )
        },
    },
    Case {
        about: "a line that is left out, one that is in the yard",
        before: "both ordered",
        expected: "soffit ordered 0, laid 0; underlay ordered 0, laid 1",
        now: || {
            let answer = gable("[covering]\nleave_out = [\"soffit\"]\nalready_there = [\"underlay\"]\n").order;
            let laid =
                |word: &str| answer.work.iter().filter(|step| step.uses.iter().any(|item| item.key() == word)).count();
            format!(
                "soffit ordered {}, laid {}; underlay ordered {}, laid {}",
                packs(&answer, "soffit"),
                laid("soffit"),
                packs(&answer, "underlay"),
                laid("underlay")
            )
        },
    },
    Case {
        about: "the card's plywood, and neither edge metal nor gutters",
        before: "boards, metal and gutters whatever was wanted",
        expected: "panel 2.4; no metal, no gutters",
        now: || {
            let answer = gable("[covering]\ndeck = \"plywood\"\nedge_metal = \"none\"\ngutters = \"none\"\n").order;
            let length = answer.line("deck-board").and_then(|line| line.pack.as_ref()?.length()).unwrap();
            let left =
                ordered(&answer, &["edge-strip-eave", "edge-strip-verge", "gutter", "downpipe", "gutter-bracket"]);
            format!("panel {length}; {}", if left.is_empty() { "no metal, no gutters" } else { "some of them" })
        },
    },
    Case {
        about: "margin = 15, waste = 15, deck_share = 10",
        before: "1500 %, 126 packs, ten roofs of deck",
        expected: "3 refused, 3 with a hint",
        now: || refused("[covering]\nwaste = 15\n[prices]\nmargin = 15\n[old_roof]\ndeck_share = 10\n"),
    },
    Case {
        about: "what 20 % adds to a cost of 80: as markup, as margin of the price",
        before: "16, 16",
        expected: "16, 20",
        now: || {
            let of = |word: &str| {
                let answer = gable(&format!("[prices]\nunderlay = 8\n{word} = \"20 %\"\n")).order;
                let priced = answer.offer.unwrap().priced;
                priced.on_top / priced.net * 80.0
            };
            format!("{:.0}, {:.0}", of("markup"), of("margin"))
        },
    },
    Case {
        about: "a card with a strip 1000 m wide and a gauge of 143 m",
        before: "taken as they stand",
        expected: "2 refused",
        now: || {
            let card = std::fs::read_to_string(
                Path::new(env!("CARGO_MANIFEST_DIR")).join("src/input/cards/strip-shingle.toml"),
            );
            let card = card.unwrap().replace("width = \"1000 mm\"\nheight", "width = 1000\nheight");
            let card = card.replace("gauge = \"143 mm\"", "gauge = 143");
            let (_, problems) = input::card::read("own.toml", &card);
            format!("{} refused", problems.len())
        },
    },
    Case {
        about: "an offer with one line priced",
        before: "a total of that line",
        expected: "says first that it is none, no total",
        now: || {
            let page = offer_of(&gable("[prices]\nunderlay = 8\n"));
            let (open, included) = (page.find("Still to be priced"), page.find("What is included"));
            let first = open.zip(included).is_some_and(|(open, included)| open < included);
            let total = if page.contains("total") { "a total" } else { "no total" };
            format!("{}, {total}", if first { "says first that it is none" } else { "says nothing" })
        },
    },
    Case {
        about: "what costs: 41 to 43 packs at 1 each",
        before: "the lower number",
        expected: "the upper number",
        now: || {
            let sides = "units = \"m\"\n[[block]]\nname = \"s\"\nheight = 2.4\nmeasured_at = \"eaves\"\nsides = [\n\
                         { from = \"A\", length = 9.2, turn = \"L\", pitch = 35, sigma = 0.1 },\n\
                         { from = \"B\", length = 5.6, turn = \"L\", pitch = 35, sigma = 0.1 },\n\
                         { from = \"C\", length = 9.2, turn = \"L\", pitch = 35, sigma = 0.1 },\n\
                         { from = \"D\", length = 5.6, turn = \"L\", pitch = 35, sigma = 0.1 },\n]\n[prices]\nstrip-shingle = 1\n";
            let (job, ..) = input::read("roof.toml", sides, &NoFiles).unwrap();
            let answer = job::solve(&job, &Options { steps: false, spread: true }).unwrap();
            let answer = order::take_off(&job, &answer);
            let line = answer.line("strip-shingle").unwrap();
            let cost = line.cost.value().unwrap();
            let is = |number: Option<u32>| number.is_some_and(|number| (cost - f64::from(number)).abs() < 1e-9);
            let word = if is(line.packs_high()) {
                "the upper number"
            } else if is(line.packs) {
                "the lower number"
            } else {
                "neither"
            };
            word.to_owned()
        },
    },
    Case {
        about: "keys of the file and nails before a client",
        before: "strip-shingle, deck-board, 2128 nails",
        expected: "none",
        now: || {
            let page = offer_of(&gable("[prices]\nunderlay = 8\n"));
            let keys = input::PRICED.iter().filter(|key| key.contains('-')).copied().chain(["nails", "shed/A"]);
            let found: Vec<&str> = keys.filter(|key| page.contains(key)).collect();
            if found.is_empty() { "none".to_owned() } else { found.join(", ") }
        },
    },
    Case {
        about: "a corner 1 mm low of a hipped roof by points: courses, packs more",
        before: "a course more on three faces, 2 packs",
        expected: "0 courses, 0 packs more, said so",
        now: || {
            let (level, low) = (shed(0.0), shed(0.001));
            let courses = |answer: &TakeOff| answer.faces.iter().map(|face| face.courses).sum::<usize>();
            format!(
                "{} courses, {} packs more, {}",
                courses(&low) - courses(&level),
                packs(&low, "strip-shingle") - packs(&level, "strip-shingle"),
                if codes(&low).contains(&"eave-laid-level") { "said so" } else { "not said" }
            )
        },
    },
    Case {
        // Four rows of 5 m off rolls of 7.5 m: 20 m and laps are 2.7 rolls.
        about: "rolls of underlay for 5 x 3 m of slope",
        before: "4",
        expected: "3",
        now: || packs(&taken(&rectangle(5.0, 3.0 * 0.866_025_403_784, LEAN_TO, "")).order, "underlay").to_string(),
    },
    Case {
        about: "deck panels of 3.125 m² for the stable's 84.84 m², 27.1 of them by area: at most a quarter more",
        before: "43",
        expected: "at most 34",
        now: || {
            let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/stable_l.toml");
            let text = std::fs::read_to_string(&path).unwrap().replace("[covering]", "[covering]\n# panels\n");
            let (mut job, ..) = input::read("stable", &text, &Beside::of(&path)).unwrap();
            job.covering.card.deck = covering("single-tab").card.deck;
            let answer = job::solve(&job, &Options { steps: false, spread: false }).unwrap();
            let panels = packs(&order::take_off(&job, &answer), "deck-board");
            if (28..=34).contains(&panels) { "at most 34".to_owned() } else { panels.to_string() }
        },
    },
    Case {
        // 12.6 m on bearers 0.6 m apart are three boards of 4.2 m; 25 rows of 3 m.
        about: "boards for 12.6 x 3 m of slope on bearers 0.6 m apart",
        before: "88 of 4 m, 0.4 m of each lost",
        expected: "75 of 4.2 m",
        now: || {
            let answer = taken(&rectangle(12.6, 3.0 * 0.866_025_403_784, LEAN_TO, "")).order;
            let length = answer.line("deck-board").and_then(|line| line.pack.as_ref()?.length()).unwrap();
            format!("{} of {length} m", packs(&answer, "deck-board"))
        },
    },
    Case {
        // 0.3 m of a seventh sheet on either slope: one sheet gives both.
        about: "sheets of 1 m cover for two slopes of 6.3 m",
        before: "14",
        expected: "13",
        now: || {
            packs(
                &taken_off(&roof_of(6.3, 6.0, eave(30.0), Role::Verge), &covering("profiled-sheet")),
                "profiled-sheet",
            )
            .to_string()
        },
    },
    Case {
        about: "metal, boards and soffit along the high edge of a lean-to 6 m wide, 3 m up the slope",
        before: "none",
        expected: "6 m of metal, 6 m of boards, 18 m of soffit in all",
        now: || {
            let answer = taken(&rectangle(6.0, 3.0 * 0.866_025_403_784, LEAN_TO, "")).order;
            let [metal, boards, soffit] = ["edge-strip-top", "top-board", "soffit"].map(|item| count(&answer, item));
            format!("{metal:.0} m of metal, {boards:.0} m of boards, {soffit:.0} m of soffit in all")
        },
    },
    Case {
        // One gutter all round drains 7 m² of plan: one outlet of 37 m².
        about: "outlets, corners and stop ends of an octagon of 1.2 m sides",
        before: "8, 0, 16",
        expected: "1, 8, 0",
        now: || {
            let corners: Vec<(f64, f64)> = (0..8)
                .scan((0.0, 0.0), |at, turn| {
                    let (here, angle) = (*at, f64::from(turn) * std::f64::consts::FRAC_PI_4);
                    *at = (here.0 + 1.2 * angle.cos(), here.1 + 1.2 * angle.sin());
                    Some(here)
                })
                .collect();
            let answer = taken_off(&solved(&corners, &vec![eave(30.0); 8]), &covering("strip-shingle"));
            let [outlets, turns, ends] =
                ["gutter-outlet", "gutter-corner", "stop-end"].map(|item| count(&answer, item));
            format!("{outlets:.0}, {turns:.0}, {ends:.0}")
        },
    },
    Case {
        // The house's own: two gutters of 8 m, an outlet each; those of the dormer drip on the roof below.
        about: "gutter and outlets of a gable roof with a dormer",
        before: "the dormer's eaves too",
        expected: "16 m, 2 outlets",
        now: || {
            let dormer = "[[dormer]]\nname = \"d\"\nface = \"shed/A\"\nat = [3, 0.6]\nwidth = 1.2\nfront_height = 0.5\n\
                          pitch = 20\nkind = \"gable\"\n";
            let answer = gable(dormer).order;
            format!("{:.0} m, {:.0} outlets", count(&answer, "gutter"), count(&answer, "gutter-outlet"))
        },
    },
    Case {
        // A ridge of 5.8 m in 0.45 m pieces showing 0.40 m: as many a centimetre longer or shorter.
        about: "ranges of ridge pieces and of packs that are just full",
        before: "16 to 17; 1 to 2",
        expected: "one number; one number",
        now: || {
            let roof = roof_of(5.8, 4.0, eave(40.0), Role::Verge);
            let open = |answer: &TakeOff| answer.lines.iter().filter(|line| line.packs_high().is_some()).count();
            let caps = unsure(&roof, "slate", 0.03).line("ridge-hip-cap").unwrap().packs_high().is_some();
            let word = |open: bool| if open { "a range" } else { "one number" };
            format!("{}; {}", word(caps), word(open(&unsure(&roof, "strip-shingle", 1e-4)) > 0))
        },
    },
    Case {
        // 0.3 degrees of a pitch of 35: tan 35 x 0.3 x pi / 180 x 1.96 = 0.72 % of 62.9 m².
        about: "the area of the boat store, its pitch not exact",
        before: "±0.06 m²",
        expected: "±0.45 m² or more",
        now: || {
            let within = example("boat_store", true).area.within_95().unwrap();
            if within >= 0.45 { "±0.45 m² or more".to_owned() } else { format!("±{within:.2} m²") }
        },
    },
    Case {
        about: "parts of the waste of a large gable below nothing; their sum against the whole",
        before: "1, no sum",
        expected: "0, the whole",
        now: || {
            let answer = taken_off(&roof_of(12.0, 8.0, eave(25.0), Role::Verge), &covering("strip-shingle"));
            let over = answer.line("strip-shingle").unwrap().over_area.unwrap();
            let parts = [over.for_cuts, over.for_starter, over.for_caps, over.for_packs];
            let whole = (parts.iter().sum::<f64>() - over.total).abs() < 1e-9;
            let below = parts.iter().filter(|part| **part < 0.0).count();
            format!("{below}, {}", if whole { "the whole" } else { "not the whole" })
        },
    },
    Case {
        // Two ridges of 5.008 and 10.016 m, whatever is done to the valleys; a hip of 8 mm has no cap.
        about: "caps on a ridge of 8 mm; lengths of a T's ridges by valley method",
        before: "4; three lengths",
        expected: "0; one length",
        now: || {
            let near = taken_off(&roof_of(4.008, 4.0, eave(50.0), eave(50.0)), &covering("strip-shingle"));
            let ridge: u32 = near.caps.iter().filter(|run| run.length < 1.0).map(|run| run.caps).sum();
            let lengths = |valley: ValleyMethod| -> i64 {
                let mut card = covering("strip-shingle");
                card.laying.valley = valley;
                #[allow(clippy::cast_possible_truncation)]
                let millimetres = (taken_off(&t_plan(), &card).caps.iter().map(|run| run.length).sum::<f64>() * 1000.0)
                    .round() as i64;
                millimetres
            };
            let same = [ValleyMethod::Closed, ValleyMethod::Woven].map(lengths) == [lengths(ValleyMethod::Open); 2];
            format!("{ridge}; {}", if same { "one length" } else { "several lengths" })
        },
    },
    Case {
        about: "a porch whose slope drains against a gable",
        before: "nothing said",
        expected: "warned",
        now: || {
            let text = "units = \"m\"\n[[block]]\nname = \"house\"\nheight = 3\nmeasured_at = \"eaves\"\nsides = [\n\
                        { from = \"A\", at = [0, 0], pitch = 40 },\n{ from = \"B\", at = [8, 0], verge = true },\n\
                        { from = \"C\", at = [8, 6], pitch = 40 },\n{ from = \"D\", at = [0, 6], verge = true },\n]\n\
                        [[block]]\nname = \"porch\"\nheight = 2.2\nmeasured_at = \"eaves\"\nsides = [\n\
                        { from = \"A\", at = [8, 2], verge = true },\n{ from = \"B\", at = [10, 2], pitch = 30 },\n\
                        { from = \"C\", at = [10, 4], verge = true },\n{ from = \"D\", at = [8, 4], pitch = 30 },\n]\n";
            let warned = codes(&taken(text).order).contains(&"drains-against-wall");
            if warned { "warned" } else { "nothing said" }.to_owned()
        },
    },
    Case {
        about: "saws by covering; fixings, vents, weights and trips as lines",
        before: "a slate cutter for all; none",
        expected: "slate cutter, shears, knife; 4 kinds of nails beside the covering's, vents, every weight, 4 trips",
        now: || {
            let has = |card: &str, tool: Tool| taken_off(&t_plan(), &covering(card)).tools.contains(&tool);
            let tools = has("slate", Tool::SlateCutter)
                && has("profiled-sheet", Tool::Shears)
                && !has("profiled-sheet", Tool::SlateCutter)
                && has("strip-shingle", Tool::Knife);
            let mut card = covering("strip-shingle");
            (card.laying.ceiling, card.laying.van_payload) = (Some(40.0), Some(500.0));
            let answer = taken_off(&roof_of(9.2, 5.6, eave(35.0), eave(35.0)), &card);
            let kinds = ordered(&answer, &["deck-nail", "underlay-nail", "metal-nail", "cap-nail"]).len();
            let vents = ordered(&answer, &["eave-vent", "high-vent"]).len() == 2;
            let weights = answer
                .lines
                .iter()
                .filter(|line| !line.comes_from_another())
                .all(|line| line.weight.value() > Some(0.0));
            format!(
                "{}; {kinds} kinds of nails beside the covering's, {}, {}, {} trips",
                if tools { "slate cutter, shears, knife" } else { "other tools" },
                if vents { "vents" } else { "no vents" },
                if weights { "every weight" } else { "no weight" },
                answer.van_trips().unwrap()
            )
        },
    },
];

#[test]
fn twenty_four_cases_say_now_what_they_should() {
    let mut wrong = Vec::new();
    for (number, case) in CASES.iter().enumerate() {
        let now = (case.now)();
        println!("| {} | {} | {} | {now} |", number + 1, case.about, case.before);
        if now != case.expected || now == case.before {
            wrong.push(format!("{}. {}: {now}, expected {}", number + 1, case.about, case.expected));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}
