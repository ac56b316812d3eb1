//! Text and JSON of one job agree digit for digit: every cell of the tables of `solve`, `takeoff`, `compare` and `offer`
//! holds the number that the JSON has for the same thing, rounded to the digits printed, and its uncertainty; over the
//! examples and random roofs, every covering, in metres and in feet.

use super::case::{Case, cases};
use super::printed::{self, Printed};
use super::tables::{Table, tables};
use eavewright::base::units::{LengthUnit, Pitch};
use eavewright::cli::{compare, offer, solve_text, takeoff};
use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Job, Options, order};
use eavewright::write::takeoff_json::CompareTwin;
use serde_json::Value;
use support::roofs;

/// Random roofs that have an answer, the coverings in turn, priced.
const RANDOM: usize = 20;

const CARDS: [&str; 5] = ["strip-shingle", "single-tab", "slate", "profiled-sheet", "felt"];

/// What the comparison of cells found, and how many it looked at.
#[derive(Default)]
struct Compared {
    cells: usize,
    wrong: Vec<String>,
}

/// Where a cell stands.
struct Cell<'a> {
    table: &'a Table,
    row: &'a [String],
    column: usize,
    name: &'a str,
}

impl<'a> Cell<'a> {
    fn of(name: &'a str, table: &'a Table, row: &'a [String], head: &str) -> Option<Self> {
        let column = table.heads.iter().position(|other| other == head)?;
        Some(Self { table, row, column, name })
    }

    fn numbers(&self) -> Vec<Printed> {
        self.table.numbers(self.row, self.column)
    }

    fn text(&self) -> &str {
        &self.row[self.column]
    }
}

/// Whether a printed number is a value rounded to its digits.
fn is(printed: &Printed, value: f64) -> bool {
    (printed.value - value.abs()).abs() <= printed.half * (1.0 + 1e-6)
}

/// Whether a cell holds a value, and how far it may be off: what would be printed as ± 0 is left out. Without a value it
/// holds no number.
fn agrees(read: &[Printed], value: Option<f64>, within_95: Option<f64>) -> bool {
    match (read, value) {
        ([], None) => true,
        ([only], Some(value)) => is(only, value) && within_95.is_none_or(|within| within <= only.half * (1.0 + 1e-6)),
        ([first, second], Some(value)) => is(first, value) && within_95.is_some_and(|within| is(second, within)),
        _ => false,
    }
}

impl Compared {
    fn cell(&mut self, cell: Option<Cell<'_>>, value: Option<f64>, within_95: Option<f64>) {
        let Some(cell) = cell else { return };
        self.cells += 1;
        if !agrees(&cell.numbers(), value, within_95) {
            let said = format!("{}: {:?} under {:?}", cell.name, cell.row, cell.table.heads[cell.column]);
            self.wrong.push(format!("{said}, answered {value:?} ± {within_95:?}"));
        }
    }

    fn words(&mut self, cell: Option<Cell<'_>>, wanted: &str) {
        let Some(cell) = cell else { return };
        self.cells += 1;
        if cell.text() != wanted {
            self.wrong.push(format!("{}: {:?}, answered {wanted:?}", cell.name, cell.row));
        }
    }

    fn holds(&mut self, holds: bool, what: impl FnOnce() -> String) {
        if !holds {
            self.wrong.push(what());
        }
    }
}

fn number(value: &Value, key: &str) -> Option<f64> {
    value[key].as_f64()
}

/// A number and `KEY_95` beside it.
fn with_95(value: &Value, key: &str) -> (Option<f64>, Option<f64>) {
    (number(value, key), number(value, &format!("{key}_95")))
}

fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

fn table<'a>(tables: &'a [Table], first: &str) -> Option<&'a Table> {
    tables.iter().find(|table| table.heads[0] == first)
}

/// The tables of `solve`.
fn solve(case: &Case, compared: &mut Compared) {
    let text = solve_text::text(&case.job, &case.answer);
    let (json, tables, name) = (case.solved(), tables(&text), case.name.as_str());
    let Some(faces) = tables.iter().find(|table| table.heads.get(1).is_some_and(|head| head == "true area")) else {
        return compared.holds(false, || format!("{name}: no table of faces"));
    };
    let of_roof: Vec<&Value> = list(&json["faces"]).iter().filter(|face| face["kind"] == "roof").collect();
    compared.holds(faces.rows.len() == of_roof.len(), || format!("{name}: {} rows of faces", faces.rows.len()));
    for row in &faces.rows {
        let Some(face) = of_roof.iter().find(|face| face["name"] == row[0].trim()) else {
            compared.holds(false, || format!("{name}: no face {}", row[0]));
            continue;
        };
        for (head, key) in [("true area", "area"), ("plan area", "plan_area"), ("pitch", "pitch")] {
            let (value, within) = with_95(face, key);
            compared.cell(Cell::of(name, faces, row, head), value, within);
        }
        let openings = number(face, "openings_area").filter(|area| *area > 0.0);
        compared.cell(Cell::of(name, faces, row, "openings"), openings, None);
    }
    edges(name, &json, &tables, compared);
    totals(name, &json, &tables, compared);
}

/// Edges of one kind between the same faces are told apart by nothing but their numbers: each row is one of them, and each
/// of them has a row.
fn edges(name: &str, json: &Value, tables: &[Table], compared: &mut Compared) {
    let Some(edges) = table(tables, "edge").filter(|table| table.heads[1] == "length") else {
        return compared.holds(false, || format!("{name}: no table of edges"));
    };
    let is_told = |edge: &&Value| edge["kind"] != "base" && edge["kind"] != "corner";
    let mut left: Vec<&Value> = list(&json["edges"]).iter().filter(is_told).collect();
    for row in &edges.rows {
        let cell = |head: &str| Cell::of(name, edges, row, head).map(|cell| cell.numbers()).unwrap_or_default();
        let fits = |edge: &&Value| {
            let told: Vec<&str> = list(&edge["faces"]).iter().filter_map(Value::as_str).collect();
            let same = |head: &str, key: &str| {
                let (value, within) = with_95(edge, key);
                agrees(&cell(head), value, within)
            };
            edge["kind"] == row[0].trim()
                && row[5] == told.join(", ")
                && same("length", "length")
                && same("in plan", "plan_length")
                && same("slope", "slope")
                && same("between faces", "dihedral")
        };
        compared.cells += 4;
        match left.iter().position(fits) {
            Some(at) => drop(left.remove(at)),
            None => compared.holds(false, || format!("{name}: no edge as in {row:?}")),
        }
    }
    compared.holds(left.is_empty(), || format!("{name}: edges without a row: {left:?}"));
}

fn totals(name: &str, json: &Value, tables: &[Table], compared: &mut Compared) {
    let Some(table) = table(tables, "total") else {
        return compared.holds(false, || format!("{name}: no table of totals"));
    };
    let totals = &json["totals"];
    for row in &table.rows {
        let what = row[0].trim();
        let key = match what {
            "roof area" => "area",
            "plan area" => "plan_area",
            "less openings" => "net_area",
            "walls above the outline" => "walls_area",
            "highest point above datum" => "ridge_height",
            "volume from datum to roof" => "volume",
            _ => "",
        };
        let (value, within) = if key.is_empty() {
            let (kind, count) =
                what.split_once(" (").map_or((what, "1"), |(kind, count)| (kind, count.trim_end_matches(')')));
            let of_kind = &totals["by_kind"][kind];
            let same = of_kind["count"].as_u64() == count.parse().ok();
            compared.holds(same, || format!("{name}: {what} of {}", of_kind["count"]));
            with_95(of_kind, "length")
        } else {
            with_95(totals, key)
        };
        let cell = Cell { table, row, column: 1, name };
        compared.cell(Some(cell), value, within);
    }
}

/// A quantity of the JSON in SI units; `None` for what has no number in words.
fn quantity(line: &Value, key: &str) -> Option<f64> {
    let unit = line["unit"].as_str().unwrap_or_default();
    let size = printed::unit(unit).map_or(1.0, |(_, size)| size);
    number(line, key).filter(|_| unit != "once").map(|value| value * size)
}

/// The order of `takeoff`.
fn take_off(case: &Case, json: &Value, compared: &mut Compared) {
    let text = takeoff::text(&case.job, &case.answer, &case.take_off, true);
    let (tables, name) = (tables(&text), case.name.as_str());
    // Orders of single buildings stand before that of all.
    let Some(order) = tables.iter().rev().find(|table| table.heads.get(1).is_some_and(|head| head == "laid")) else {
        return compared.holds(json["lines"] == serde_json::json!([]), || format!("{name}: no order"));
    };
    let rows: Vec<&Vec<String>> = order.rows.iter().filter(|row| row[0].starts_with("    ")).collect();
    let lines = list(&json["lines"]);
    compared.holds(rows.len() == lines.len(), || format!("{name}: {} rows, {} lines", rows.len(), lines.len()));
    let weight = if case.job.units.is_imperial() { "lb" } else { "kg" };
    for (row, line) in rows.iter().zip(lines) {
        compared.cell(Cell::of(name, order, row, "laid"), quantity(line, "quantity"), None);
        compared.cell(Cell::of(name, order, row, weight), number(line, "weight"), None);
        compared.cell(Cell::of(name, order, row, "cost"), number(line, "cost"), None);
        compared.cell(Cell::of(name, order, row, "left over"), quantity(line, "left_over"), None);
        let count = |key: &str| line[key].as_u64();
        let ordered = match (count("packs"), count("packs_high")) {
            _ if line["already_there"] == true => "there".to_owned(),
            (Some(packs), Some(high)) if high > packs => format!("{packs} to {high}"),
            (Some(packs), _) => packs.to_string(),
            (None, _) => String::new(),
        };
        compared.words(Cell::of(name, order, row, "order"), &ordered);
    }
    if let Some(laying) = table(&tables, "face").filter(|table| table.heads[1] == "courses") {
        for (row, face) in laying.rows.iter().zip(list(&json["layout"])) {
            compared.holds(face["face"] == row[0].trim(), || format!("{name}: {row:?} is {}", face["face"]));
            let keys = ["courses", "gauge", "pieces_whole", "pieces_cut", "pieces_from_offcuts"];
            for (head, key) in ["courses", "gauge", "whole", "cut", "from offcuts"].into_iter().zip(keys) {
                compared.cell(Cell::of(name, laying, row, head), number(face, key), None);
            }
            compared.cell(Cell::of(name, laying, row, "waste"), number(face, "waste").map(|share| share * 100.0), None);
        }
        compared.holds(laying.rows.len() == list(&json["layout"]).len(), || format!("{name}: rows of faces"));
    }
}

/// `offer`: lines without a price first, then every line, then sums.
fn offered(case: &Case, json: &Value, compared: &mut Compared) {
    let offer_json = &json["offer"];
    if offer_json.is_null() {
        return;
    }
    let text = offer::text(&case.job, &case.take_off, case.format());
    let (tables, name) = (tables(&text), case.name.as_str());
    let Some(offer) = table(&tables, "offer") else {
        return compared.holds(false, || format!("{name}: no offer"));
    };
    let (open, priced) = offer.rows.split_at(list(&offer_json["unpriced"]).len());
    compared.holds(open.iter().all(|row| row[1] == "no price"), || format!("{name}: {open:?}"));
    let lines: Vec<&Value> = list(&offer_json["material"]).iter().chain(list(&offer_json["work"])).collect();
    for (row, line) in priced.iter().zip(&lines) {
        let keys = [(1, quantity(line, "quantity")), (2, number(line, "price")), (3, number(line, "sum"))];
        for (column, value) in keys {
            compared.cell(Some(Cell { table: offer, row, column, name }), value, None);
        }
    }
    let sums = if offer_json["whole"] == true { offer_json } else { &offer_json["priced"] };
    let told = ["net", "on_top", "before_tax", "tax", "total"].map(|key| number(sums, key));
    compared.holds(priced.len() > lines.len(), || format!("{name}: no sum"));
    for row in &priced[lines.len().min(priced.len())..] {
        let read = offer.numbers(row, 3);
        let held = told.iter().flatten().any(|sum| agrees(&read, Some(*sum), None));
        compared.holds(held, || format!("{name}: {row:?} is none of {told:?}"));
        compared.cells += 1;
    }
}

/// What heads of a comparison begin with, and what answers them.
const COMPARED: [(&str, &str); 15] = [
    ("pitch", "pitch"),
    ("area", "area"),
    ("ridge", "ridge_height"),
    ("rafter", "rafter"),
    ("packs", "packs"),
    ("kg", "weight"),
    ("lb", "weight"),
    ("snow", "snow_mu1"),
    ("rain", "rain_area"),
    ("underlay", "underlay_packs"),
    ("room", "headroom_area"),
    ("material", "cost"),
    ("work", "work"),
    ("price", "price"),
    ("suits", "suitable"),
];

fn pitches(case: &Case, compared: &mut Compared) {
    let pitches: Vec<Pitch> = [17.5, 30.0, 42.0].map(|degrees| Pitch::from_degrees(degrees).unwrap()).to_vec();
    let Ok(rows) = order::compare(&case.job, &[], &pitches) else { return };
    let json = serde_json::to_value(CompareTwin::new(&rows, &case.job, case.format())).unwrap();
    let text = compare::text(&case.job, &rows, case.format());
    let (tables, name) = (tables(&text), case.name.as_str());
    let Some(table) = table(&tables, "pitch") else {
        return compared.holds(false, || format!("{name}: no comparison"));
    };
    let answered = list(&json["rows"]);
    compared.holds(table.rows.len() == answered.len(), || format!("{name}: rows of pitches"));
    for (row, json) in table.rows.iter().zip(answered) {
        for (column, head) in table.heads.iter().enumerate() {
            let cell = Cell { table, row, column, name };
            let Some((_, key)) = COMPARED.iter().find(|(begins, _)| head.starts_with(begins)) else {
                compared.holds(false, || format!("{name}: nothing answers {head:?}"));
                continue;
            };
            if *key == "suitable" {
                let wanted = json[key].as_bool().map_or("no answer", |suits| if suits { "yes" } else { "no" });
                compared.holds(cell.text().starts_with(wanted), || format!("{name}: {row:?}, answered {wanted:?}"));
            } else if !cell.text().contains(":12") {
                compared.cell(Some(cell), number(json, key), None);
            }
        }
    }
}

/// Random roofs with coverings in turn and prices, each in metres and in feet.
fn random_cases() -> Vec<Case> {
    let mut found = Vec::new();
    for seed in 0.. {
        let card = CARDS[found.len() / 2 % CARDS.len()];
        let text = format!(
            "{}[covering]\ncard = \"{card}\"\n[prices]\ncurrency = \"EUR\"\n{card} = 17.35\nunderlay = {{ each = 3.15, per = \
             \"m²\" }}\nmarkup = \"13 %\"\ntax = \"19 %\"\naccess-m = 7.3\n[prices.hours]\neach = 47.5\ncover = 0.41\n",
            roofs::random(seed)
        );
        let (job, ..) = input::read("roof.toml", &text, &NoFiles).unwrap_or_else(|errors| panic!("{seed}: {errors:?}"));
        // Some are refused; others take their place.
        if job::solve(&job, &Options { steps: false, spread: false }).is_err() {
            assert!(seed < 2 * RANDOM as u64, "too few random roofs have an answer");
            continue;
        }
        for units in [LengthUnit::Metre, LengthUnit::Foot] {
            found.push(Case::of(format!("seed {seed}, {card}, {units:?}"), Job { units, ..job.clone() }));
        }
        if found.len() == 2 * RANDOM {
            return found;
        }
    }
    found
}

#[test]
fn text_and_json_of_one_job_agree_digit_for_digit() {
    let mut compared = Compared::default();
    for case in cases().into_iter().chain(random_cases()) {
        let json = case.taken_off();
        solve(&case, &mut compared);
        take_off(&case, &json, &mut compared);
        offered(&case, &json, &mut compared);
        pitches(&case, &mut compared);
    }
    println!("cells compared: {}", compared.cells);
    assert!(compared.cells > 20_000, "{} cells", compared.cells);
    let first: Vec<&String> = compared.wrong.iter().take(40).collect();
    assert!(compared.wrong.is_empty(), "{} cells differ: {first:#?}", compared.wrong.len());
}

/// A cell that is off by one in its last digit, or stands beside another's number, is found out.
#[test]
fn a_cell_that_differs_is_found() {
    let read = |text: &str| printed::numbers(text, None);
    assert!(agrees(&read("62.89 ± 0.30 m²"), Some(62.894), Some(0.3001)));
    assert!(!agrees(&read("62.90 ± 0.30 m²"), Some(62.894), Some(0.3001)));
    assert!(!agrees(&read("62.89 ± 0.31 m²"), Some(62.894), Some(0.3001)));
    assert!(!agrees(&read("62.89 m²"), Some(62.894), Some(0.3001)), "an uncertainty that is left out");
    assert!(agrees(&read("62.89 m²"), Some(62.894), Some(0.003)));
    assert!(!agrees(&read("62.89 ± 0.30 m²"), Some(62.894), None) && !agrees(&read(""), Some(62.894), None));
    assert!(agrees(&read("14' 6\" ± 1/2\""), Some(4.4196), Some(0.0127)));
    assert!(!agrees(&read("14' 6 1/8\" ± 1/2\""), Some(4.4196), Some(0.0127)));
}
