//! A document as one self-contained HTML page: no script, no link, its drawings inline. Prints on the same paper.

use super::palette;
use super::svg::{self, Setting, escape};
use crate::drawing::Drawing;
use crate::drawing::typeset::document::{Align, Block, Document, Table};
use crate::drawing::typeset::paper::PaperSize;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

/// How a document looks, on a screen and on paper; its colours come from the palette.
const STYLE: &str = include_str!("page/style.css");

/// Writes a document. Deterministic. O(text + ink).
#[must_use]
pub fn html(document: &Document, sheet: PaperSize) -> String {
    let mut out = String::new();
    head(&mut out, document, sheet, "", "");
    out.push_str("<body>\n");
    title(&mut out, document);
    out.push_str("<main>\n");
    Body::default().blocks(&mut out, &document.blocks);
    out.push_str("</main>\n</body>\n</html>\n");
    out
}

/// Everything before a page's body: `on_root` are attributes of its root, `more` further style.
pub(super) fn head(out: &mut String, document: &Document, sheet: PaperSize, on_root: &str, more: &str) {
    let size = format!("{}mm {}mm", sheet.width, sheet.height);
    let (title, kind) = (escape(&document.title), escape(&document.kind));
    let colours = palette::style();
    // Writing to a string cannot fail.
    let _ = write!(
        out,
        "<!DOCTYPE html>\n<html lang=\"en\"{on_root}>\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{title}: {kind}</title>\n<style>\n{colours}{STYLE}{more}\
         @page {{ size: {size}; margin: 15mm 15mm 16mm; @bottom-right {{ content: 'page ' counter(page) ' of ' counter(pages); font: 9pt 'Liberation Sans', Arial, sans-serif; }} }}\n\
         </style>\n</head>\n"
    );
}

/// The head of the document itself.
pub(super) fn title(out: &mut String, document: &Document) {
    let date = document.date.as_ref().map_or(String::new(), |date| format!(", {}", escape(date)));
    let _ = write!(
        out,
        "<header>\n<h1>{}</h1>\n<p>{}{date}</p>\n</header>\n",
        escape(&document.title),
        escape(&document.kind)
    );
}

/// The body of a page under way: what has been named on it, so that no two things have one name.
#[derive(Debug, Default)]
pub(super) struct Body {
    used: BTreeSet<String>,
    /// Headings of the first level, with the names they go by.
    pub(super) parts: Vec<(String, String)>,
    /// Drawings by their names, with the names they go by on the page.
    pub(super) drawings: BTreeMap<String, String>,
}

impl Body {
    /// A name of its own for a thing: letters, digits and hyphens.
    fn name(&mut self, kind: &str, words: &str) -> String {
        let letter = |letter: char| if letter.is_ascii_alphanumeric() { letter.to_ascii_lowercase() } else { '-' };
        let plain: String = words.chars().map(letter).collect();
        let first = format!("{kind}-{plain}");
        let names = std::iter::once(first.clone()).chain((2..).map(|number| format!("{first}-{number}")));
        let mut free = names.filter(|name| !self.used.contains(name));
        let name = free.next().unwrap_or(first);
        self.used.insert(name.clone());
        name
    }

    pub(super) fn blocks(&mut self, out: &mut String, blocks_of: &[Block]) {
        for block in blocks_of {
            // Writing to a string cannot fail.
            match block {
                Block::Heading(level, words) => {
                    if *level <= 1 {
                        let name = self.name("part", words);
                        let _ = writeln!(out, "<h2 id=\"{name}\">{}</h2>", escape(words));
                        self.parts.push((name, words.clone()));
                    } else if out.contains("<h2") {
                        let _ = writeln!(out, "<h3>{}</h3>", escape(words));
                    } else {
                        // Below the title nothing stands between: who hears the page goes down level by level.
                        let _ = writeln!(out, "<h2 class=\"minor\">{}</h2>", escape(words));
                    }
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
                Block::Stop(points) => {
                    out.push_str("<div class=\"stop\" role=\"note\"><p><strong>Stop</strong></p>\n");
                    list(out, "ul", "", points);
                    out.push_str("</div>\n");
                }
                Block::List(points) => list(out, "ul", "", points),
                Block::Steps(steps) => {
                    out.push_str("<ol class=\"steps\">\n");
                    for step in steps {
                        let _ = writeln!(out, "<li><b>{}:</b> {}</li>", escape(&step.title), escape(&step.text));
                    }
                    out.push_str("</ol>\n");
                }
                Block::Checks(points) => list(out, "ul", " class=\"checks\"", points),
                Block::Table(table) => rows(out, table),
                Block::Figure(drawing, caption) => self.figure(out, drawing, caption),
                Block::Figures(figures) => {
                    out.push_str("<div class=\"figures\">\n");
                    for (drawing, caption) in figures {
                        self.figure(out, drawing, caption);
                    }
                    out.push_str("</div>\n");
                }
                Block::OnSite(blocks) => {
                    out.push_str("<div class=\"on-site\">\n");
                    self.blocks(out, blocks);
                    out.push_str("</div>\n");
                }
                Block::Page => out.push_str("<div class=\"page-end\"></div>\n"),
                Block::Columns(columns) => {
                    out.push_str("<div class=\"columns\">\n");
                    for column in columns {
                        out.push_str("<div>\n");
                        self.blocks(out, column);
                        out.push_str("</div>\n");
                    }
                    out.push_str("</div>\n");
                }
            }
        }
    }

    fn figure(&mut self, out: &mut String, drawing: &Drawing, caption: &str) {
        // What has no caption, such as a bar of scale, belongs to others and is not opened by itself.
        let small = if caption.is_empty() { " data-small" } else { "" };
        let name = self.name("drawing", &drawing.name);
        self.drawings.entry(drawing.name.clone()).or_insert_with(|| name.clone());
        let _ = writeln!(out, "<figure id=\"{name}\"{small}>\n{}", svg::svg(drawing, Setting::Inline));
        if !caption.is_empty() {
            let _ = writeln!(out, "<figcaption>{}</figcaption>", escape(caption));
        }
        out.push_str("</figure>\n");
    }
}

fn list(out: &mut String, tag: &str, class: &str, points: &[String]) {
    let _ = writeln!(out, "<{tag}{class}>");
    for point in points {
        let _ = writeln!(out, "<li>{}</li>", escape(point));
    }
    let _ = writeln!(out, "</{tag}>");
}

/// So many letters of cells side by side a small screen has room for.
const NARROW: usize = 40;

/// Whether a table is wider than a small screen, by the letters of its widest cells.
fn is_wide(table: &Table) -> bool {
    let letters = |column: usize| {
        let cells = table.rows.iter().filter_map(|row| row.get(column));
        cells.map(|cell| cell.chars().count()).max().unwrap_or(0).max(table.heads[column].0.chars().count())
    };
    table.heads.len() > 2
        && !table.form
        && (0..table.heads.len()).map(|column| letters(column) + 2).sum::<usize>() > NARROW
}

/// A table. One that is wide has its roles written out, since a small screen lays its rows one under the other.
fn rows(out: &mut String, table: &Table) {
    let wide = is_wide(table);
    let role = |role: &str| if wide { format!(" role=\"{role}\"") } else { String::new() };
    let class = |align: &Align| if *align == Align::Right { " class=\"n\"" } else { "" };
    let of_table = if table.form { " class=\"form\"" } else { "" };
    let of_table = if wide { " class=\"wide\" role=\"table\"" } else { of_table };
    let (group, row_role) = (role("rowgroup"), role("row"));
    let _ = write!(out, "<div class=\"scroll\"><table{of_table}>\n<thead{group}><tr{row_role}>");
    for (head, align) in &table.heads {
        if head.is_empty() {
            let _ = write!(out, "<td{}{}></td>", class(align), role("cell"));
        } else {
            let _ = write!(out, "<th{} scope=\"col\"{}>{}</th>", class(align), role("columnheader"), escape(head));
        }
    }
    let _ = writeln!(out, "</tr></thead>\n<tbody{group}>");
    for (index, row) in table.rows.iter().enumerate() {
        for (_, words) in table.sections.iter().filter(|(at, _)| *at == index) {
            let _ = writeln!(
                out,
                "<tr class=\"section\"{row_role}><th colspan=\"{}\" scope=\"rowgroup\"{}>{}</th></tr>",
                table.heads.len(),
                role("rowheader"),
                escape(words)
            );
        }
        let total = if table.total && index + 1 == table.rows.len() { " class=\"total\"" } else { "" };
        let _ = write!(out, "<tr{total}{row_role}>");
        for (cell, (head, align)) in row.iter().zip(&table.heads) {
            let head = if wide { format!(" data-head=\"{}\"", escape(head)) } else { String::new() };
            let _ = write!(out, "<td{}{}{head}>{}</td>", class(align), role("cell"), escape(cell));
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody>\n</table></div>\n");
}
