//! The order with its prices as a spreadsheet, read back from its package.

use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Options, order};
use eavewright::takeoff::TakeOff;
use eavewright::wording::units::Format;
use eavewright::write::spreadsheet::{Kind, rows, write};
use std::io::Read;

/// A gable with prices of nearly everything, called what a spreadsheet would take for a formula.
const SHED: &str = r#"
title = "=1+2"
units = "m"
[[block]]
name = "shed"
height = 2.4
sides = [
  { from = "A", length = 8, turn = "L", pitch = 30 },
  { from = "B", length = 6, turn = "L", verge = true },
  { from = "C", length = 8, turn = "L", pitch = 30 },
  { from = "D", length = 6, turn = "L", verge = true },
]
[prices]
currency = "groats"
strip-shingle = 20.50
underlay = { each = 1.25, per = "m²" }
labour-m2 = 10
tax = "20 %"
[offer]
left_out = ["nail", "adhesive", "deck-board", "fascia-board", "verge-board", "soffit", "edge-strip-eave", "edge-strip-verge",
  "gutter", "downpipe", "deck-nail", "underlay-nail", "metal-nail", "cap-nail", "gutter-bracket", "stop-end", "gutter-outlet",
  "pipe-bend", "pipe-clip"]
"#;

fn taken(text: &str) -> (String, TakeOff) {
    let (job, ..) = input::read("roof.toml", text, &NoFiles).unwrap_or_else(|errors| panic!("{errors:?}"));
    let answer = job::solve(&job, &Options { steps: false, spread: true }).unwrap();
    let taken = order::take_off(&job, &answer);
    (job.title, taken)
}

/// Little-endian numbers of a package.
fn number_at(bytes: &[u8], at: usize, size: usize) -> usize {
    bytes[at..at + size].iter().rev().fold(0, |number, byte| number << 8 | usize::from(*byte))
}

/// The parts of a package, found by its directory, their check sums held against their content (APPNOTE 6.3, 4.3).
fn parts(bytes: &[u8]) -> Vec<(String, String)> {
    let end = bytes.windows(4).rposition(|window| window == [0x50, 0x4b, 5, 6]).unwrap();
    let (count, mut at) = (number_at(bytes, end + 10, 2), number_at(bytes, end + 16, 4));
    let mut found = Vec::new();
    for _ in 0..count {
        assert_eq!(bytes[at..at + 4], [0x50, 0x4b, 1, 2]);
        let [method, check, packed, plain] =
            [(10, 2), (16, 4), (20, 4), (24, 4)].map(|(from, size)| number_at(bytes, at + from, size));
        let (length, local) = (number_at(bytes, at + 28, 2), number_at(bytes, at + 42, 4));
        let name = String::from_utf8(bytes[at + 46..at + 46 + length].to_vec()).unwrap();
        let start = local + 30 + number_at(bytes, local + 26, 2) + number_at(bytes, local + 28, 2);
        let content = &bytes[start..start + packed];
        let mut text = Vec::new();
        match method {
            0 => text.extend(content),
            _ => flate2::read::DeflateDecoder::new(content).read_to_end(&mut text).map(|_| ()).unwrap(),
        }
        let mut crc = flate2::Crc::new();
        crc.update(&text);
        assert_eq!((usize::try_from(crc.sum()).unwrap(), text.len()), (check, plain), "{name}");
        found.push((name, String::from_utf8(text).unwrap()));
        at += 46 + length;
    }
    found
}

/// A cell as it is read back.
#[derive(Clone, Debug, PartialEq)]
enum Data {
    Empty,
    Float(f64),
    String(String),
}

fn unescaped(words: &str) -> String {
    words.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&amp;", "&")
}

fn between<'a>(text: &'a str, open: &str, close: &str) -> Option<&'a str> {
    let from = text.find(open)? + open.len();
    Some(&text[from..from + text[from..].find(close)?])
}

/// The cells of a workbook, read from its XML by their places.
fn read_back(bytes: &[u8], kind: Kind) -> Vec<Vec<Data>> {
    let parts = parts(bytes);
    let part = |name: &str| &parts.iter().find(|(part, _)| part == name).unwrap().1;
    let ods = kind == Kind::Ods;
    if ods {
        assert_eq!(parts[0], ("mimetype".to_owned(), "application/vnd.oasis.opendocument.spreadsheet".to_owned()));
    }
    let xml = if ods { part("content.xml") } else { part("xl/worksheets/sheet1.xml") };
    assert!(!xml.contains("<f>") && !xml.contains("table:formula"), "no cell is a formula");
    let (row, cell) = if ods { ("<table:table-row", "<table:table-cell") } else { ("<row ", "<c ") };
    let of_row = |row: &str| -> Vec<Data> {
        let mut cells = vec![Data::Empty; 13];
        for (index, text) in row.split(cell).skip(1).enumerate() {
            let column =
                if ods { index } else { usize::from(between(text, "r=\"", "\"").unwrap().as_bytes()[0] - b'A') };
            let value = if ods { between(text, "office:value=\"", "\"") } else { between(text, "<v>", "</v>") };
            let words = if ods { between(text, "<text:p>", "</text:p>") } else { between(text, "preserve\">", "</t>") };
            cells[column] = match (value, words) {
                (Some(value), _) => Data::Float(value.parse().unwrap()),
                (None, Some(words)) => Data::String(unescaped(words)),
                (None, None) => Data::Empty,
            };
        }
        cells
    };
    xml.split(row).skip(1).map(of_row).collect()
}

fn words(cell: &Data) -> &str {
    if let Data::String(words) = cell { words } else { "" }
}

#[test]
fn both_workbooks_hold_the_order_its_prices_and_its_sums() {
    let (title, taken) = taken(SHED);
    let offer = taken.offer.as_ref().unwrap();
    let sums = offer.whole().expect("all the rest is left to others");
    let rows = rows(&title, &taken, Format::default());
    for kind in [Kind::Xlsx, Kind::Ods] {
        let cells = read_back(&write(&rows, kind).unwrap(), kind);
        assert_eq!(words(&cells[0][0]), "=1+2");
        let heads = cells.iter().position(|row| words(&row[0]) == "what").unwrap();
        let column = |name: &str| cells[heads].iter().position(|cell| words(cell) == name).unwrap();
        let row = |item: &str| cells.iter().find(|row| words(&row[column("item")]) == item).unwrap();
        let number = |row: &[Data], name: &str| match row[column(name)] {
            Data::Float(value) => value,
            ref other => panic!("{name}: {other:?}"),
        };
        let strips = taken.line("strip-shingle").unwrap();
        let upper = f64::from(strips.packs_high().or(strips.packs).unwrap());
        let strips = row("strip-shingle");
        assert_eq!((number(strips, "order"), number(strips, "unit price")), (upper, 20.5));
        assert_eq!(number(strips, "sum"), upper * 20.5);
        // By the square metre: quantity times price, to the hundredth, and in words what one is.
        let underlay = row("underlay");
        assert_eq!(words(&underlay[column("of")]), "m²");
        let product = number(underlay, "priced") * number(underlay, "unit price");
        assert!((number(underlay, "sum") - product).abs() <= 0.005);
        assert_eq!(row("nail")[column("sum")], Data::Empty);
        let sum = |what: &str| {
            let row = cells.iter().find(|row| words(&row[0]).starts_with(what)).unwrap();
            number(row, "sum")
        };
        assert_eq!(sum("material and work, groats"), sums.net);
        assert_eq!(sum("tax, 20 %"), sums.tax);
        assert_eq!(sum("total"), sums.total);
        // What is printed adds up.
        let printed: f64 = cells[heads + 1..]
            .iter()
            .take_while(|row| !words(&row[0]).starts_with("material and work"))
            .filter_map(|row| if let Data::Float(sum) = row[column("sum")] { Some(sum) } else { None })
            .sum();
        assert!((printed - sums.net).abs() < 1e-6, "{printed} {}", sums.net);
    }
}

#[test]
fn a_sheet_that_lacks_a_price_says_so_first_and_has_no_total() {
    let (title, taken) = taken(&SHED.replace("\"gutter\", ", ""));
    let rows = rows(&title, &taken, Format::default());
    let cells = read_back(&write(&rows, Kind::Ods).unwrap(), Kind::Ods);
    assert!(words(&cells[1][0]).contains("no price for gutters along eaves"), "{:?}", cells[1]);
    assert!(!cells.iter().any(|row| words(&row[0]).starts_with("total")));
}

#[test]
fn the_same_order_gives_the_same_bytes_and_csv_is_harmless() {
    let (title, taken) = taken(SHED);
    let rows = rows(&title, &taken, Format::default());
    for kind in [Kind::Csv, Kind::Xlsx, Kind::Ods] {
        assert!(write(&rows, kind).unwrap() == write(&rows, kind).unwrap(), "{kind:?}");
    }
    let text = String::from_utf8(write(&rows, Kind::Csv).unwrap()).unwrap();
    assert!(text.starts_with("'=1+2,"), "{text}");
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    let records: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert!(records.iter().all(|record| record.len() == 13));
}

/// Reads a workbook with libraries of other hands, openpyxl (MIT) or odfpy (Apache 2.0), and prints its rows as JSON; a cell
/// that is a formula fails.
const READ: &str = "
import json, sys
path = sys.argv[1]
rows = []
if path.endswith('.xlsx'):
    import openpyxl
    for row in openpyxl.load_workbook(path).active.iter_rows():
        assert all(cell.data_type != 'f' for cell in row)
        rows.append([cell.value for cell in row])
else:
    from odf import teletype
    from odf.namespaces import OFFICENS, TABLENS
    from odf.opendocument import load
    from odf.table import TableCell, TableRow
    for row in load(path).spreadsheet.getElementsByType(TableRow):
        cells = []
        for cell in row.getElementsByType(TableCell):
            assert cell.getAttrNS(TABLENS, 'formula') is None
            value, words = cell.getAttrNS(OFFICENS, 'value'), teletype.extractText(cell)
            times = int(cell.getAttrNS(TABLENS, 'number-columns-repeated') or 1)
            cells += [float(value) if value is not None else words or None] * times
        rows.append(cells)
print(json.dumps(rows))
";

/// A Python with both libraries; `None`, and a line that says so, where there is none. CI must have it.
fn python() -> Option<String> {
    let own = concat!(env!("CARGO_MANIFEST_DIR"), "/target/validators/venv/bin/python");
    let known = std::env::var("EAVEWRIGHT_PYTHON").into_iter().chain([own.to_owned(), "python3".to_owned()]);
    let has_both = |python: &String| {
        let import = std::process::Command::new(python).args(["-c", "import openpyxl, odf"]).output();
        import.is_ok_and(|output| output.status.success())
    };
    let found = known.into_iter().find(has_both);
    if found.is_none() {
        support::skipped("openpyxl or odfpy", "two workbooks are not read by others", ".ci/validators");
    }
    found
}

#[test]
fn readers_of_other_hands_see_the_same_cells() {
    let Some(python) = python() else { return };
    let (title, taken) = taken(SHED);
    let rows = rows(&title, &taken, Format::default());
    for (kind, ending) in [(Kind::Xlsx, ".xlsx"), (Kind::Ods, ".ods")] {
        let bytes = write(&rows, kind).unwrap();
        let file = tempfile::Builder::new().suffix(ending).tempfile().unwrap();
        std::fs::write(file.path(), &bytes).unwrap();
        let output = std::process::Command::new(&python).args(["-c", READ]).arg(file.path()).output().unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        let read: Vec<Vec<serde_json::Value>> = serde_json::from_slice(&output.stdout).unwrap();
        let own = read_back(&bytes, kind);
        assert_eq!(read.len(), own.len(), "{kind:?}");
        let mut numbers = 0;
        for (read, own) in read.iter().zip(&own) {
            for (column, own) in own.iter().enumerate() {
                let read = read.get(column).unwrap_or(&serde_json::Value::Null);
                match own {
                    Data::Empty => assert!(read.is_null(), "{kind:?} {read}"),
                    Data::Float(value) => {
                        numbers += 1;
                        assert_eq!(read.as_f64(), Some(*value), "{kind:?} {read}");
                    }
                    Data::String(words) => assert_eq!(read.as_str().unwrap_or_default(), words, "{kind:?}"),
                }
            }
        }
        assert!(numbers > 50, "{kind:?}: {numbers} numbers");
    }
}
