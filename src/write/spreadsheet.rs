//! The order with its prices as a spreadsheet: CSV (RFC 4180), XLSX (ECMA-376) and ODS (`OpenDocument` 1.3). Cells hold values,
//! never formulas: what a user wrote is text and stays text, whatever it begins with.

use super::cells::{Cell, Row};
use super::{ods, xlsx};
use crate::takeoff::answer::{Stage, TakeOff};
use crate::takeoff::offer::{Offer, OfferLine, Priced};
use crate::takeoff::order_line::OrderLine;
use crate::takeoff::work::Kind as Covered;
use crate::wording::units::Format;
use crate::wording::{offer as words_of, order};

/// What a spreadsheet is written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Commas between cells.
    Csv,
    /// An Office Open XML workbook.
    Xlsx,
    /// An `OpenDocument` spreadsheet.
    Ods,
}

impl Kind {
    /// By the ending of a file's name.
    #[must_use]
    pub fn of(path: &std::path::Path) -> Option<Self> {
        let ending = path.extension()?.to_string_lossy().to_lowercase();
        match ending.as_str() {
            "csv" => Some(Self::Csv),
            "xlsx" => Some(Self::Xlsx),
            "ods" => Some(Self::Ods),
            _ => None,
        }
    }
}

/// Why a spreadsheet could not be put together.
#[derive(Debug, thiserror::Error)]
pub enum SpreadsheetError {
    /// By the writer of packages.
    #[error("the workbook could not be written: {0}")]
    Package(#[from] std::io::Error),
    /// By the writer of CSV.
    #[error("the table could not be written: {0}")]
    Csv(#[from] csv::Error),
}

/// Heads of the columns.
const HEADS: [&str; 13] = [
    "what",
    "item",
    "laid",
    "unit",
    "order",
    "pack",
    "priced",
    "of",
    "unit price",
    "sum",
    "weight kg",
    "left over",
    "detail",
];

/// Widths of the columns, characters.
const WIDTHS: [f64; 13] = [44.0, 20.0, 11.0, 8.0, 8.0, 22.0, 11.0, 8.0, 11.0, 13.0, 11.0, 11.0, 60.0];

/// Columns of the sums.
const SUM: usize = 9;

/// The order and its prices as rows: heads, what has no price, lines by stage of work, work, sums.
#[must_use]
pub fn rows(title: &str, answer: &TakeOff, format: Format) -> Vec<Row> {
    let mut rows = vec![Row::strong(vec![Cell::words(title)])];
    if let Some(open) = answer.offer.as_ref().and_then(words_of::not_whole) {
        rows.push(Row::strong(vec![Cell::words(open)]));
    }
    for note in answer.offer.iter().flat_map(|offer| [words_of::dated(offer), words_of::usual_hours(offer)]).flatten() {
        rows.push(Row::of(vec![Cell::words(note)]));
    }
    rows.push(Row::strong(HEADS.iter().map(|head| Cell::words(*head)).collect()));
    // Buildings first, without sums: those are of all together.
    for part in &answer.parts {
        rows.push(Row::strong(vec![Cell::words(order::part(part, format))]));
        rows.extend(by_stage(&part.lines, None, format));
    }
    if !answer.parts.is_empty() {
        rows.push(Row::strong(vec![Cell::words(order::IN_ALL)]));
    }
    rows.extend(by_stage(&answer.lines, answer.offer.as_ref(), format));
    if let Some(offer) = &answer.offer {
        rows.extend(work(offer, format));
        rows.extend(sums(offer));
    }
    rows
}

fn by_stage(all: &[OrderLine], offer: Option<&Offer>, format: Format) -> Vec<Row> {
    let kind = order::kind(all.iter().map(|line| &line.item));
    let mut rows = Vec::new();
    for stage in Stage::ALL {
        let lines: Vec<&OrderLine> = all.iter().filter(|line| line.stage() == stage).collect();
        if lines.is_empty() {
            continue;
        }
        rows.push(Row::strong(vec![Cell::words(order::heading(stage))]));
        rows.extend(lines.into_iter().map(|line| of_line(line, (offer, kind), format)));
    }
    rows
}

fn of_line(line: &OrderLine, (offer, kind): (Option<&Offer>, Covered), format: Format) -> Row {
    let is_of = |priced: &&OfferLine| priced.what == Priced::Goods(line.item.clone());
    let priced = offer.and_then(|offer| offer.material.iter().find(is_of));
    let mut cells = vec![
        Cell::words(order::what(&line.item, kind)),
        Cell::words(line.item.key()),
        Cell::number(line.quantity.value(), 2),
        Cell::words(line.unit.word()),
        Cell::count(line.packs_high().or(line.packs)),
        Cell::words(order::pack(line, format)),
    ];
    cells.extend(price(priced));
    cells.extend([
        Cell::number(line.weight.value(), 1),
        Cell::number(line.left_over, 2),
        Cell::words(order::detail(line, format).unwrap_or_default()),
    ]);
    Row::of(cells)
}

/// Quantity, unit, unit price and sum of what has a price.
fn price(line: Option<&OfferLine>) -> [Cell; 4] {
    line.map_or([Cell::Blank, Cell::Blank, Cell::Blank, Cell::Blank], |line| {
        [
            Cell::Number(line.quantity, 2),
            Cell::words(line.unit.word()),
            Cell::Number(line.price, 2),
            Cell::Number(line.sum, 2),
        ]
    })
}

fn work(offer: &Offer, format: Format) -> Vec<Row> {
    let of = |line: &OfferLine| {
        let blanks = std::iter::repeat_n(Cell::Blank, 5);
        let cells =
            std::iter::once(Cell::words(words_of::priced(line, offer, format))).chain(blanks).chain(price(Some(line)));
        Row::of(cells.collect())
    };
    let head = (!offer.work.is_empty()).then(|| Row::strong(vec![Cell::words("Labour, access, disposal")]));
    head.into_iter().chain(offer.work.iter().map(of)).collect()
}

/// The sums at the foot: those of a whole offer, or of what has a price, which says that it is no more.
fn sums(offer: &Offer) -> Vec<Row> {
    let currency = offer.currency.as_deref().map_or_else(String::new, |currency| format!(", {currency}"));
    let row = |what: String, sum: f64| {
        let mut cells = vec![Cell::Blank; SUM + 1];
        cells[0] = Cell::words(what);
        cells[SUM] = Cell::Number(sum, 2);
        Row::strong(cells)
    };
    words_of::sums(offer).into_iter().map(|(what, sum)| row(format!("{what}{currency}"), sum)).collect()
}

/// Writes rows. Deterministic.
///
/// # Errors
/// [`SpreadsheetError`]: what the writer of the format says.
pub fn write(rows: &[Row], kind: Kind) -> Result<Vec<u8>, SpreadsheetError> {
    match kind {
        Kind::Csv => Ok(csv_text(rows)?.into_bytes()),
        Kind::Xlsx => Ok(xlsx::write(rows, &WIDTHS)?),
        Kind::Ods => Ok(ods::write(rows, &WIDTHS)?),
    }
}

/// A cell of words that no spreadsheet takes for a formula.
#[must_use]
pub(crate) fn harmless(cell: &str) -> String {
    if cell.starts_with(['=', '+', '-', '@', '\t', '\r']) { format!("'{cell}") } else { cell.to_owned() }
}

/// Records as CSV: cells quoted where they must be, lines ended as RFC 4180 has it.
///
/// # Errors
/// What the writer says.
pub(crate) fn csv_records<'a>(
    records: impl IntoIterator<Item = Vec<std::borrow::Cow<'a, str>>>,
) -> Result<String, csv::Error> {
    let mut writer = csv::WriterBuilder::new().flexible(true).terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    for record in records {
        writer.write_record(record.iter().map(|cell| cell.as_bytes()))?;
    }
    let bytes = writer.into_inner().map_err(|error| csv::Error::from(error.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn csv_text(rows: &[Row]) -> Result<String, csv::Error> {
    let cell = |cell: &Cell| -> std::borrow::Cow<'static, str> {
        match cell {
            Cell::Blank => "".into(),
            Cell::Words(words) => harmless(words).into(),
            Cell::Number(value, _) => format!("{value}").into(),
        }
    };
    csv_records(rows.iter().map(|row| {
        let blanks = HEADS.len().saturating_sub(row.cells.len());
        row.cells.iter().map(cell).chain(std::iter::repeat_n("".into(), blanks)).collect()
    }))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn cells_are_quoted_where_they_must_be_and_are_no_formulas() {
        let record = ["a, b", "3\" pipe", "plain", "=HYPERLINK(\"a\")", "-1+2"].map(|cell| harmless(cell).into());
        let text = csv_records([record.to_vec()]).unwrap();
        assert_eq!(text, "\"a, b\",\"3\"\" pipe\",plain,\"'=HYPERLINK(\"\"a\"\")\",'-1+2\r\n");
    }
}
