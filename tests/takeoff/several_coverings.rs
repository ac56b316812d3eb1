//! Several buildings and coverings in one job: each building's order is what it would be by itself, the order in all is
//! theirs together, and what lies between two coverings is bought once.

use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Options, order};
use eavewright::roof::Roof;
use eavewright::takeoff::TakeOff;
use eavewright::takeoff::item::{Pack, Unit};
use eavewright::takeoff::order_line::OrderLine;
use eavewright::wording::offer;
use eavewright::wording::units::Format;
use eavewright::write::spreadsheet;
use eavewright::write::takeoff_json::TakeoffTwin;

fn block(name: &str, at: [f64; 2], size: [f64; 2], roles: [&str; 4], more: &str) -> String {
    let corners = [[0.0, 0.0], [size[0], 0.0], size, [0.0, size[1]]];
    let side = |(index, role): (usize, &&str)| {
        let [x, y] = [at[0] + corners[index][0], at[1] + corners[index][1]];
        format!("  {{ from = \"{}\", at = [{x}, {y}], {role} }},\n", ["A", "B", "C", "D"][index])
    };
    let sides: String = roles.iter().enumerate().map(side).collect();
    format!("[[block]]\nname = \"{name}\"\nheight = 2.4\n{more}sides = [\n{sides}]\n")
}

const P35: &str = "pitch = 35";
const VERGE: &str = "verge = true";
const GABLE: [&str; 4] = [P35, VERGE, P35, VERGE];

fn taken(text: &str) -> (Roof, TakeOff) {
    let (job, ..) = input::read("roof.toml", text, &NoFiles).unwrap_or_else(|told| panic!("{told:#?}"));
    let answer = job::solve(&job, &Options { steps: false, spread: false }).unwrap();
    let order = order::take_off(&job, &answer);
    (answer.roof, order)
}

fn same(one: &OrderLine, other: &OrderLine) -> bool {
    let near = |a: Option<f64>, b: Option<f64>| (a.unwrap_or(-1.0) - b.unwrap_or(-1.0)).abs() < 1e-9;
    one.item == other.item
        && one.pack == other.pack
        && one.packs == other.packs
        && near(one.quantity.value(), other.quantity.value())
        && near(one.weight.value(), other.weight.value())
        && near(one.cost.value(), other.cost.value())
}

/// What the file of two buildings says of each is what a file of that building alone says.
#[test]
fn each_building_is_ordered_as_it_would_be_alone() {
    let priced = |own: &str| format!("[prices]\ncurrency = \"EUR\"\n{own}underlay = 31\nnail = 8\n");
    let prices = priced("strip-shingle = 17.5\nslate = 240\n");
    let shed = |more: &str| block("shed", [0.0, 0.0], [6.0, 5.0], GABLE, more);
    let stable = |more: &str| block("stable", [20.0, 0.0], [9.2, 5.6], [P35; 4], more);
    let text = format!("units = \"m\"\n{}{}{prices}", shed(""), stable("covering = \"slate\"\n"));
    let (roof, all) = taken(&text);
    let (_, alone) = taken(&format!("units = \"m\"\n{}{}", shed(""), priced("strip-shingle = 17.5\n")));
    let (_, other) =
        taken(&format!("units = \"m\"\n{}[covering]\ncard = \"slate\"\n{}", stable(""), priced("slate = 240\n")));
    assert_eq!(all.parts.len(), 2);
    for (part, (name, card, alone)) in
        all.parts.iter().zip([("shed", "strip-shingle", &alone), ("stable", "slate", &other)])
    {
        assert_eq!((part.names.as_slice(), part.card.as_str()), (&[name.to_owned()][..], card));
        assert_eq!(part.lines.len(), alone.lines.len());
        for (one, by_itself) in part.lines.iter().zip(&alone.lines) {
            assert!(same(one, by_itself), "{name}: {one:#?} by itself {by_itself:#?}");
        }
        assert!((part.area.value().unwrap() - alone.area.value().unwrap()).abs() < 1e-9);
    }
    // In all: quantities add up; faces are laid once each; what is laid is used by a step.
    let total = |lines: &[OrderLine], key: &str| -> f64 {
        lines.iter().filter(|line| line.item.key() == key).filter_map(|line| line.quantity.value()).sum()
    };
    for key in ["underlay", "nail", "gutter", "deck-board", "strip-shingle", "slate", "soffit", "abutment-flashing"] {
        let each: f64 = all.parts.iter().map(|part| total(&part.lines, key)).sum();
        assert!((total(&all.lines, key) - each).abs() < 1e-9, "{key}");
    }
    assert_eq!(all.layouts.len(), roof.roof_faces().count());
    assert!(all.layouts.windows(2).all(|pair| pair[0].face < pair[1].face));
    for line in &all.lines {
        assert!(all.work.iter().any(|step| step.uses.contains(&line.item)), "{:?}", line.item);
    }
    // Costs are of the packs ordered in all.
    let cost: f64 = all.lines.iter().filter_map(|line| line.cost.value()).sum();
    let packs = |key: &str| {
        all.lines.iter().filter(|line| line.item.key() == key).filter_map(|line| line.packs).map(f64::from).sum::<f64>()
    };
    let expected =
        17.5 * packs("strip-shingle") + 240.0 * packs("slate") + 31.0 * packs("underlay") + 8.0 * packs("nail");
    assert!((cost - expected).abs() < 1e-6, "{cost} {expected}");
    assert!((all.offer.as_ref().unwrap().priced.net - expected).abs() < 1e-6);
}

/// Two sheds alike in slates and a third in shingles: slates come in crates of 100, of which each shed by itself leaves some.
#[test]
fn what_is_counted_in_pieces_is_bought_once_for_all() {
    let shed = |name: &str, at: f64, more: &str| block(name, [at, 0.0], [3.0, 2.5], GABLE, more);
    let text = format!(
        "units = \"m\"\n{}{}{}",
        shed("one", 0.0, "covering = \"slate\"\n"),
        shed("two", 10.0, "covering = \"slate\"\n"),
        shed("three", 20.0, "")
    );
    let (_, all) = taken(&text);
    assert_eq!(all.parts.iter().map(|part| part.names.join(" ")).collect::<Vec<_>>(), ["one", "two", "three"]);
    let slates: Vec<&OrderLine> = all.lines.iter().filter(|line| line.item.key() == "slate").collect();
    assert_eq!(slates.len(), 1);
    let line = slates[0];
    let quantity = line.quantity.value().unwrap();
    let packs = f64::from(line.packs.unwrap());
    assert!((packs - (quantity / 100.0).ceil()).abs() < 1e-9, "{packs} crates for {quantity}");
    assert!((line.left_over.unwrap() - (100.0 * packs - quantity)).abs() < 1e-9);
    assert!((line.weight.value().unwrap() - 160.0 * packs).abs() < 1e-6);
    let each: u32 = all
        .parts
        .iter()
        .flat_map(|part| &part.lines)
        .filter(|line| line.item.key() == "slate")
        .filter_map(|line| line.packs)
        .sum();
    assert!(f64::from(each) > packs, "{each} by themselves, {packs} in all");
    // Boards and rolls are bought for each building.
    for line in all.lines.iter().filter(|line| matches!(line.pack, Some(Pack::Roll(_) | Pack::Board { .. }))) {
        let each: u32 = all
            .parts
            .iter()
            .flat_map(|part| &part.lines)
            .filter(|other| other.item == line.item && other.pack == line.pack)
            .filter_map(|line| line.packs)
            .sum();
        assert_eq!(line.packs, Some(each), "{:?}", line.item);
    }
}

/// A wing in slates runs against a barn in shingles: both valleys lie between them and are lined once, with the barn.
#[test]
fn what_lies_between_two_coverings_is_bought_once() {
    let barn = |more: &str| block("barn", [0.0, 0.0], [12.0, 6.0], GABLE, more);
    let wing = |more: &str| block("wing", [4.0, -4.0], [4.0, 7.0], [VERGE, P35, "abutment = true", P35], more);
    let whole = taken(&format!("units = \"m\"\n{}{}", barn(""), wing("")));
    let (roof, all) = taken(&format!("units = \"m\"\n{}{}", barn(""), wing("covering = \"slate\"\n")));
    assert_eq!(all.parts.iter().map(|part| part.card.as_str()).collect::<Vec<_>>(), ["strip-shingle", "slate"]);
    let lines = |key: &str| -> f64 {
        all.lines.iter().filter(|line| line.item.key() == key).filter_map(|line| line.quantity.value()).sum()
    };
    let valley = whole.1.line("valley-lining").unwrap().quantity.value().unwrap();
    assert!(valley > 5.0 && (lines("valley-lining") - valley).abs() < 1e-9, "{valley}");
    assert_eq!(all.parts[1].lines.iter().filter(|line| line.item.key() == "valley-lining").count(), 0);
    for key in ["gutter", "fascia-board", "verge-board"] {
        let one = whole.1.line(key).unwrap().quantity.value().unwrap();
        assert!((lines(key) - one).abs() < 1e-9, "{key}: {} and {one}", lines(key));
    }
    let area: f64 = all.parts.iter().map(|part| part.area.value().unwrap()).sum();
    assert!((area - roof.total_area().0).abs() < 1e-9);
    // The courses of both keep clear of the valley.
    for layout in &all.layouts {
        assert!(!layout.courses.is_empty());
    }
}

/// The building's own order stands in the text, the JSON and the spreadsheet, before all of them together.
#[test]
fn text_json_and_sheet_tell_each_building() {
    let text = format!(
        "title = \"Yard\"\nunits = \"m\"\n{}{}",
        block("shed", [0.0, 0.0], [6.0, 5.0], GABLE, ""),
        block("stable", [20.0, 0.0], [9.2, 5.6], GABLE, "covering = \"interlocking-tile\"\n")
    );
    let (job, ..) = input::read("roof.toml", &text, &NoFiles).unwrap();
    let answer = job::solve(&job, &Options { steps: false, spread: false }).unwrap();
    let order = order::take_off(&job, &answer);
    let format = Format::of(job.units);
    let told = eavewright::cli::takeoff::text(&job, &answer, &order, true);
    let place = |words: &str| told.find(words).unwrap_or_else(|| panic!("no {words:?} in {told}"));
    assert!(place("shed: Bitumen strip shingle") < place("stable: Interlocking tiles"));
    assert!(place("stable: Interlocking tiles") < place("All buildings together"));
    let json = serde_json::to_value(TakeoffTwin::new(&order, &answer.roof, format, false)).unwrap();
    assert_eq!(json["parts"][1]["names"][0], "stable");
    assert_eq!(json["parts"][1]["card"], "interlocking-tile");
    let rows = spreadsheet::rows("Yard", &order, format);
    let sheet = String::from_utf8(spreadsheet::write(&rows, spreadsheet::Kind::Csv).unwrap()).unwrap();
    let row = |words: &str| sheet.lines().position(|line| line.trim_start_matches('"').starts_with(words)).unwrap();
    assert!(row("shed: ") < row("stable: ") && row("stable: ") < row("All buildings"), "{sheet}");
    // Metres stay metres: no line lost its unit on the way.
    assert!(order.lines.iter().any(|line| line.item.key() == "counter-batten" && line.unit == Unit::Metre));
}

/// A client reads of each kind of goods once, of underlay where it lies, and looks over every covering.
#[test]
fn a_client_reads_each_kind_of_goods_once_and_underlay_where_it_lies() {
    let shed = block("shed", [0.0, 0.0], [6.0, 5.0], GABLE, "");
    let stable = block("stable", [20.0, 0.0], [9.2, 5.6], GABLE, "covering = \"profiled-sheet\"\n");
    let (_, order) = taken(&format!("units = \"m\"\n{shed}{stable}"));
    let format = Format::of(eavewright::base::units::LengthUnit::Metre);
    let scope = offer::scope(&order, "Bitumen strip shingle", format);
    for kind in ["Fascia", "Soffit", "Boards up the verges", "Gutters", "Downpipes", "Underlay"] {
        assert_eq!(scope.iter().filter(|told| told.starts_with(kind)).count(), 1, "{kind}: {scope:#?}");
    }
    // Eaves of both: 2 × 6.0 + 2 × 9.2.
    assert!(scope.contains(&"Fascia boards along eaves, 30.40 m.".to_owned()), "{scope:#?}");
    assert!(scope.contains(&"Underlay over shed.".to_owned()), "{scope:#?}");
    let looked = offer::inspection(&order);
    assert!(
        looked.iter().any(|told| told.starts_with("Courses")) && looked.iter().any(|told| told.starts_with("Sheets"))
    );
}

#[test]
fn a_blocks_card_that_is_not_there_is_refused_where_it_is_written() {
    let text = format!("units = \"m\"\n{}", block("shed", [0.0, 0.0], [6.0, 5.0], GABLE, "covering = \"slat\"\n"));
    let told = input::read("roof.toml", &text, &NoFiles).unwrap_err();
    let wrong = told.iter().find(|told| told.code == "unknown-card").unwrap_or_else(|| panic!("{told:#?}"));
    assert_eq!(&text[wrong.span.clone().unwrap()], "\"slat\"");
    assert!(wrong.hints.iter().any(|hint| hint.contains("slate")), "{:?}", wrong.hints);
}
