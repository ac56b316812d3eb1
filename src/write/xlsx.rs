//! Rows as an Office Open XML workbook (ECMA-376 part 1, SpreadsheetML): one sheet of words and numbers, no formulas.

use super::cells::{Cell, Row};
use super::package::Package;
use super::svg::escape;
use std::io;

const XML: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\" standalone=\"yes\"?>\n";

const TYPES: &str = "<Types xmlns=\"http://schemas.openxmlformats.org/package/2006/content-types\">\
<Default Extension=\"rels\" ContentType=\"application/vnd.openxmlformats-package.relationships+xml\"/>\
<Default Extension=\"xml\" ContentType=\"application/xml\"/>\
<Override PartName=\"/xl/workbook.xml\" ContentType=\"application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml\"/>\
<Override PartName=\"/xl/worksheets/sheet1.xml\" ContentType=\"application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml\"/>\
<Override PartName=\"/xl/styles.xml\" ContentType=\"application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml\"/>\
</Types>";

const RELATIONS: &str = "<Relationships xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\">\
<Relationship Id=\"rId1\" Type=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument\" \
Target=\"xl/workbook.xml\"/></Relationships>";

const WORKBOOK: &str = "<workbook xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\" \
xmlns:r=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships\">\
<sheets><sheet name=\"order\" sheetId=\"1\" r:id=\"rId1\"/></sheets></workbook>";

const WORKBOOK_RELATIONS: &str = "<Relationships xmlns=\"http://schemas.openxmlformats.org/package/2006/relationships\">\
<Relationship Id=\"rId1\" Type=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet\" \
Target=\"worksheets/sheet1.xml\"/>\
<Relationship Id=\"rId2\" Type=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships/styles\" \
Target=\"styles.xml\"/></Relationships>";

/// Styles by number: 0 words, then numbers of 0, 1 and 2 decimals; the same in bold from 4 on. Formats 1 and 4 are of the
/// standard, 164 is the first of one's own.
const STYLES: &str = "<styleSheet xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\">\
<numFmts count=\"1\"><numFmt numFmtId=\"164\" formatCode=\"#,##0.0\"/></numFmts>\
<fonts count=\"2\"><font><sz val=\"10\"/><name val=\"Liberation Sans\"/></font>\
<font><b/><sz val=\"10\"/><name val=\"Liberation Sans\"/></font></fonts>\
<fills count=\"2\"><fill><patternFill patternType=\"none\"/></fill><fill><patternFill patternType=\"gray125\"/></fill></fills>\
<borders count=\"1\"><border><left/><right/><top/><bottom/><diagonal/></border></borders>\
<cellStyleXfs count=\"1\"><xf numFmtId=\"0\" fontId=\"0\" fillId=\"0\" borderId=\"0\"/></cellStyleXfs>\
<cellXfs count=\"8\">\
<xf numFmtId=\"0\" fontId=\"0\" fillId=\"0\" borderId=\"0\" xfId=\"0\"/>\
<xf numFmtId=\"1\" fontId=\"0\" fillId=\"0\" borderId=\"0\" xfId=\"0\" applyNumberFormat=\"1\"/>\
<xf numFmtId=\"164\" fontId=\"0\" fillId=\"0\" borderId=\"0\" xfId=\"0\" applyNumberFormat=\"1\"/>\
<xf numFmtId=\"4\" fontId=\"0\" fillId=\"0\" borderId=\"0\" xfId=\"0\" applyNumberFormat=\"1\"/>\
<xf numFmtId=\"0\" fontId=\"1\" fillId=\"0\" borderId=\"0\" xfId=\"0\" applyFont=\"1\"/>\
<xf numFmtId=\"1\" fontId=\"1\" fillId=\"0\" borderId=\"0\" xfId=\"0\" applyNumberFormat=\"1\" applyFont=\"1\"/>\
<xf numFmtId=\"164\" fontId=\"1\" fillId=\"0\" borderId=\"0\" xfId=\"0\" applyNumberFormat=\"1\" applyFont=\"1\"/>\
<xf numFmtId=\"4\" fontId=\"1\" fillId=\"0\" borderId=\"0\" xfId=\"0\" applyNumberFormat=\"1\" applyFont=\"1\"/>\
</cellXfs></styleSheet>";

/// Writes rows as one sheet, its columns so many characters wide. Deterministic.
///
/// # Errors
/// What the compressor says.
pub fn write(rows: &[Row], widths: &[f64]) -> io::Result<Vec<u8>> {
    let mut package = Package::default();
    let sheet = sheet(rows, widths);
    let parts = [
        ("[Content_Types].xml", TYPES),
        ("_rels/.rels", RELATIONS),
        ("xl/workbook.xml", WORKBOOK),
        ("xl/_rels/workbook.xml.rels", WORKBOOK_RELATIONS),
        ("xl/styles.xml", STYLES),
        ("xl/worksheets/sheet1.xml", sheet.as_str()),
    ];
    for (name, content) in parts {
        package.add(name, format!("{XML}{content}").as_bytes(), true)?;
    }
    Ok(package.finish())
}

fn sheet(rows: &[Row], widths: &[f64]) -> String {
    let mut out = String::from(
        "<worksheet xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\">\
         <sheetPr><pageSetUpPr fitToPage=\"1\"/></sheetPr><cols>",
    );
    for (index, width) in widths.iter().enumerate() {
        let number = index + 1;
        out.push_str(&format!("<col min=\"{number}\" max=\"{number}\" width=\"{width}\" customWidth=\"1\"/>"));
    }
    out.push_str("</cols><sheetData>");
    for (index, row) in rows.iter().enumerate() {
        let number = index + 1;
        out.push_str(&format!("<row r=\"{number}\">"));
        for (cell, column) in row.cells.iter().zip('A'..='Z') {
            out.push_str(&of_cell(cell, &format!("{column}{number}"), row.is_strong));
        }
        out.push_str("</row>");
    }
    out.push_str("</sheetData><pageSetup orientation=\"landscape\" fitToWidth=\"1\" fitToHeight=\"0\"/></worksheet>");
    out
}

fn of_cell(cell: &Cell, place: &str, is_strong: bool) -> String {
    let bold = if is_strong { 4 } else { 0 };
    match cell {
        Cell::Blank => String::new(),
        Cell::Words(words) => format!(
            "<c r=\"{place}\" s=\"{bold}\" t=\"inlineStr\"><is><t xml:space=\"preserve\">{}</t></is></c>",
            escape(words)
        ),
        Cell::Number(value, decimals) => {
            format!("<c r=\"{place}\" s=\"{}\"><v>{value}</v></c>", bold + 1 + (*decimals).min(2))
        }
    }
}
