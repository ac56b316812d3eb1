//! Rows as an `OpenDocument` spreadsheet (ISO/IEC 26300, `OpenDocument` 1.3): a ZIP package of a type, a manifest and the content.

use super::cells::{Cell, Row};
use super::package::Package;
use super::svg::escape;
use std::io;

const TYPE: &str = "application/vnd.oasis.opendocument.spreadsheet";

/// A character is this wide, millimetres: columns are told in characters.
const CHARACTER: f64 = 2.0;

/// Writes rows as one table, its columns so many characters wide. Deterministic.
///
/// # Errors
/// What the compressor says.
pub fn write(rows: &[Row], widths: &[f64]) -> io::Result<Vec<u8>> {
    let mut package = Package::default();
    // `OpenDocument` 1.3 part 2, 3.3: the type comes first, and is not compressed.
    package.add("mimetype", TYPE.as_bytes(), false)?;
    package.add("META-INF/manifest.xml", manifest().as_bytes(), true)?;
    package.add("content.xml", content(rows, widths).as_bytes(), true)?;
    Ok(package.finish())
}

fn manifest() -> String {
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
         <manifest:manifest xmlns:manifest=\"urn:oasis:names:tc:opendocument:xmlns:manifest:1.0\" manifest:version=\"1.3\">\n\
         <manifest:file-entry manifest:full-path=\"/\" manifest:version=\"1.3\" manifest:media-type=\"{TYPE}\"/>\n\
         <manifest:file-entry manifest:full-path=\"content.xml\" manifest:media-type=\"text/xml\"/>\n\
         </manifest:manifest>\n"
    )
}

const OPEN: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
    <office:document-content xmlns:office=\"urn:oasis:names:tc:opendocument:xmlns:office:1.0\" \
    xmlns:style=\"urn:oasis:names:tc:opendocument:xmlns:style:1.0\" \
    xmlns:text=\"urn:oasis:names:tc:opendocument:xmlns:text:1.0\" \
    xmlns:table=\"urn:oasis:names:tc:opendocument:xmlns:table:1.0\" \
    xmlns:number=\"urn:oasis:names:tc:opendocument:xmlns:datastyle:1.0\" \
    xmlns:fo=\"urn:oasis:names:tc:opendocument:xmlns:xsl-fo-compatible:1.0\" office:version=\"1.3\">\n\
    <office:automatic-styles>\n";

fn content(rows: &[Row], widths: &[f64]) -> String {
    let mut out = String::from(OPEN);
    for (index, width) in widths.iter().enumerate() {
        out.push_str(&format!(
            "<style:style style:name=\"w{index}\" style:family=\"table-column\">\
             <style:table-column-properties style:column-width=\"{:.1}mm\"/></style:style>\n",
            width * CHARACTER
        ));
    }
    for decimals in 0..=2_u8 {
        out.push_str(&format!(
            "<number:number-style style:name=\"n{decimals}\"><number:number number:decimal-places=\"{decimals}\" \
             number:min-decimal-places=\"{decimals}\" number:min-integer-digits=\"1\" number:grouping=\"true\"/>\
             </number:number-style>\n"
        ));
        for (name, bold) in [("c", ""), ("b", "<style:text-properties fo:font-weight=\"bold\"/>")] {
            out.push_str(&format!(
                "<style:style style:name=\"{name}{decimals}\" style:family=\"table-cell\" \
                 style:data-style-name=\"n{decimals}\">{bold}</style:style>\n"
            ));
        }
    }
    out.push_str(
        "<style:style style:name=\"strong\" style:family=\"table-cell\"><style:text-properties fo:font-weight=\"bold\"/>\
         </style:style>\n</office:automatic-styles>\n<office:body><office:spreadsheet><table:table table:name=\"order\">\n",
    );
    for index in 0..widths.len() {
        out.push_str(&format!("<table:table-column table:style-name=\"w{index}\"/>\n"));
    }
    for row in rows {
        out.push_str("<table:table-row>");
        for cell in &row.cells {
            out.push_str(&of_cell(cell, row.is_strong));
        }
        out.push_str("</table:table-row>\n");
    }
    out.push_str("</table:table></office:spreadsheet></office:body></office:document-content>\n");
    out
}

fn of_cell(cell: &Cell, is_strong: bool) -> String {
    match cell {
        Cell::Blank => "<table:table-cell/>".to_owned(),
        Cell::Words(words) => {
            let style = if is_strong { " table:style-name=\"strong\"" } else { "" };
            format!(
                "<table:table-cell{style} office:value-type=\"string\"><text:p>{}</text:p></table:table-cell>",
                escape(words)
            )
        }
        Cell::Number(value, decimals) => {
            let style = if is_strong { 'b' } else { 'c' };
            let decimals = (*decimals).min(2);
            format!(
                "<table:table-cell table:style-name=\"{style}{decimals}\" office:value-type=\"float\" \
                 office:value=\"{value}\"><text:p>{value:.*}</text:p></table:table-cell>",
                usize::from(decimals)
            )
        }
    }
}
