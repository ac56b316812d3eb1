//! A document as one self-contained HTML page: no script, no link, its drawings inline. Prints on the same paper.

use super::svg::{self, Setting, escape};
use crate::drawing::Drawing;
use crate::drawing::typeset::document::{Align, Block, Document, Table};
use crate::drawing::typeset::paper::PaperSize;
use std::fmt::Write;

const STYLE: &str = "
:root { --ink: #1b1f24; --grey: #5a626b; --rule: #c9ced4; --head: #e9ecef; --caution: #fdf1dc; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 12mm 8mm 20mm; max-width: 196mm; color: var(--ink); background: #fff;
  font: 10.5pt/1.45 'Liberation Sans', Arimo, Arial, Helvetica, sans-serif; font-variant-numeric: tabular-nums; }
header { border-bottom: 0.7mm solid var(--ink); margin-bottom: 6mm; padding-bottom: 2mm; }
h1 { font-size: 20pt; line-height: 1.2; margin: 0 0 1mm; } header p { margin: 0; color: var(--grey); }
h2 { font-size: 14.5pt; margin: 8mm 0 2mm; } h3 { font-size: 11.5pt; margin: 5mm 0 1.5mm; }
h2, h3 { break-after: avoid; }
p { margin: 0 0 2mm; } ul, ol { margin: 0 0 3mm; padding-left: 6mm; } li { margin: 0 0 0.8mm; }
ul.checks { list-style: none; padding-left: 0; } ul.checks li { padding-left: 6mm; text-indent: -6mm; }
ul.checks li::before { content: '\\25A1'; display: inline-block; width: 6mm; text-indent: 0; }
.scroll { overflow-x: auto; }
table { border-collapse: collapse; margin: 1mm 0 4mm; } th, td { padding: 1mm 2.2mm; vertical-align: top; text-align: left;
  border-bottom: 0.18mm solid var(--rule); } th { background: var(--head); } .n { text-align: right; white-space: nowrap; }
table.form { width: 100%; } .form td { height: 6mm; border: 0.18mm solid var(--rule); }
tr { break-inside: avoid; } thead { display: table-header-group; } tr.total td { font-weight: bold; }
tr.section { break-after: avoid; } tr.section th { background: none; padding-top: 2.5mm; }
figure { margin: 2mm 0 5mm; break-inside: avoid; } figure svg { max-width: 100%; height: auto; display: block; margin: 0 auto; }
figcaption { font-weight: bold; margin-top: 1mm; }
.caution { background: var(--caution); border-left: 1.2mm solid var(--ink); padding: 2mm 4mm; margin: 2mm 0 4mm; break-inside: avoid; }
.columns { display: flex; flex-wrap: wrap; gap: 0 6mm; } .columns > div { flex: 1 1 auto; min-width: 0; break-inside: avoid; }
.figures { display: flex; flex-wrap: wrap; justify-content: center; gap: 2mm 6mm; } .figures figure { margin: 1mm 0; }
.caution p { margin: 0; }
";

/// Writes a document. Deterministic. O(text + ink).
#[must_use]
pub fn html(document: &Document, sheet: PaperSize) -> String {
    let mut out = String::new();
    let size = format!("{}mm {}mm", sheet.width, sheet.height);
    let (title, kind) = (escape(&document.title), escape(&document.kind));
    // Writing to a string cannot fail.
    let _ = write!(
        out,
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{title}: {kind}</title>\n<style>{STYLE}\
         @page {{ size: {size}; margin: 15mm 15mm 16mm; @bottom-right {{ content: 'page ' counter(page) ' of ' counter(pages); font: 9pt 'Liberation Sans', Arial, sans-serif; }} }}\n\
         @media print {{ body {{ padding: 0; max-width: none; }} .scroll {{ overflow: visible; }} }}\n</style>\n</head>\n<body>\n\
         <header>\n<h1>{title}</h1>\n<p>{kind}{}</p>\n</header>\n<main>\n",
        document.date.as_ref().map_or(String::new(), |date| format!(", {}", escape(date)))
    );
    blocks(&mut out, &document.blocks);
    out.push_str("</main>\n</body>\n</html>\n");
    out
}

fn blocks(out: &mut String, blocks_of: &[Block]) {
    for block in blocks_of {
        // Writing to a string cannot fail.
        match block {
            Block::Heading(level, words) => {
                let tag = if *level <= 1 { "h2" } else { "h3" };
                let _ = writeln!(out, "<{tag}>{}</{tag}>", escape(words));
            }
            Block::Text(words) => {
                let _ = writeln!(out, "<p>{}</p>", escape(words));
            }
            Block::Caution(words) => {
                let _ = writeln!(
                    out,
                    "<div class=\"caution\" role=\"note\"><p><strong>Caution</strong></p><p>{}</p></div>",
                    escape(words)
                );
            }
            Block::List(points) => list(out, "ul", "", points),
            Block::Steps(steps) => {
                out.push_str("<ol>\n");
                for step in steps {
                    let _ = writeln!(out, "<li><b>{}:</b> {}</li>", escape(&step.title), escape(&step.text));
                }
                out.push_str("</ol>\n");
            }
            Block::Checks(points) => list(out, "ul", " class=\"checks\"", points),
            Block::Table(table) => rows(out, table),
            Block::Figure(drawing, caption) => figure(out, drawing, caption),
            Block::Figures(figures) => {
                out.push_str("<div class=\"figures\">\n");
                for (drawing, caption) in figures {
                    figure(out, drawing, caption);
                }
                out.push_str("</div>\n");
            }
            Block::Columns(columns) => {
                out.push_str("<div class=\"columns\">\n");
                for column in columns {
                    out.push_str("<div>\n");
                    blocks(out, column);
                    out.push_str("</div>\n");
                }
                out.push_str("</div>\n");
            }
        }
    }
}

fn figure(out: &mut String, drawing: &Drawing, caption: &str) {
    let _ = writeln!(out, "<figure>\n{}", svg::svg(drawing, Setting::Inline));
    if !caption.is_empty() {
        let _ = writeln!(out, "<figcaption>{}</figcaption>", escape(caption));
    }
    out.push_str("</figure>\n");
}

fn list(out: &mut String, tag: &str, class: &str, points: &[String]) {
    let _ = writeln!(out, "<{tag}{class}>");
    for point in points {
        let _ = writeln!(out, "<li>{}</li>", escape(point));
    }
    let _ = writeln!(out, "</{tag}>");
}

fn rows(out: &mut String, table: &Table) {
    let class = |align: &Align| if *align == Align::Right { " class=\"n\"" } else { "" };
    let form = if table.form { " class=\"form\"" } else { "" };
    let _ = write!(out, "<div class=\"scroll\"><table{form}>\n<thead><tr>");
    for (head, align) in &table.heads {
        let _ = write!(out, "<th{} scope=\"col\">{}</th>", class(align), escape(head));
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for (index, row) in table.rows.iter().enumerate() {
        for (_, words) in table.sections.iter().filter(|(at, _)| *at == index) {
            let _ = writeln!(
                out,
                "<tr class=\"section\"><th colspan=\"{}\" scope=\"rowgroup\">{}</th></tr>",
                table.heads.len(),
                escape(words)
            );
        }
        let total = if table.total && index + 1 == table.rows.len() { " class=\"total\"" } else { "" };
        let _ = write!(out, "<tr{total}>");
        for (cell, (_, align)) in row.iter().zip(&table.heads) {
            let _ = write!(out, "<td{}>{}</td>", class(align), escape(cell));
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody>\n</table></div>\n");
}
