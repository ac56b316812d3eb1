//! The job sheet as a page for a phone: the sheet, and over it the roof in 3D, steps that stay ticked and drawings that can
//! be enlarged, without a network. Without its script it reads as the sheet does, and it prints so.
//!
//! `page.js` is built from `src` beside it by `build.mjs`; `.ci/page` checks that it is.

mod model;
mod stage;

use super::html::{self, Body};
use super::svg::escape;
use crate::drawing::job_sheet::SheetInput;
use crate::drawing::job_sheet::face_cards::face_cards;
use crate::drawing::typeset::document::{Block, Document};
use crate::wording::page as words;
use flate2::Crc;
use std::fmt::Write;

/// The script, with what it holds of other people's work named at its head.
const SCRIPT: &str = include_str!("page.js");
/// How what the script adds looks.
const STYLE: &str = include_str!("page.css");
/// Nothing is fetched: all that the page uses stands in it.
const POLICY: &str = "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline'; img-src data: blob:";

/// Writes the sheet of a job as a page. The same job gives the same bytes. O(text + ink + triangles).
#[must_use]
pub fn page(document: &Document, input: &SheetInput<'_>) -> String {
    let (before, after) = document.blocks.split_at(first_part(document));
    let mut body = Body::default();
    let (mut doubts, mut sheet) = (String::new(), String::new());
    body.blocks(&mut doubts, before);
    body.blocks(&mut sheet, after);
    let cards = face_cards(input);
    let roof = stage::stage(&input.answer.roof, &cards, &body.drawings);
    let mut content = Crc::new();
    for part in [&doubts, &sheet, &roof] {
        content.update(part.as_bytes());
    }
    let mut out = String::new();
    let on_root = format!(" data-job=\"{}\" data-content=\"{:08x}\"", escape(&document.title), content.sum());
    html::head(&mut out, document, input.paper(), &on_root, STYLE);
    out.insert_str(
        out.find("<title>").unwrap_or(0),
        &format!("<meta http-equiv=\"Content-Security-Policy\" content=\"{POLICY}\">\n"),
    );
    out.push_str("<body>\n");
    html::title(&mut out, document);
    parts(&mut out, &body.parts);
    out.push_str("<main>\n");
    out.push_str(&doubts);
    out.push_str(&roof);
    out.push_str(&with_progress(&sheet));
    out.push_str("</main>\n");
    stage::enlarged(&mut out);
    // Writing to a string cannot fail.
    let _ = write!(
        out,
        "<script type=\"application/json\" id=\"roof\">{}</script>\n<script>{SCRIPT}</script>\n</body>\n</html>\n",
        model::model(input)
    );
    out
}

/// How many blocks say what stands before all else: a heading with its points, as far as the next part.
fn first_part(document: &Document) -> usize {
    match document.blocks.as_slice() {
        [Block::Heading(..), Block::Stop(_) | Block::List(_), after @ ..] => {
            after.iter().position(|block| matches!(block, Block::Heading(1, _))).map_or(0, |at| at + 2)
        }
        _ => 0,
    }
}

/// Links to the parts of the sheet.
fn parts(out: &mut String, parts: &[(String, String)]) {
    if parts.is_empty() {
        return;
    }
    let _ = writeln!(out, "<nav class=\"screen\" aria-label=\"{}\"><ul>", words::PARTS);
    for (name, told) in parts {
        let _ = writeln!(out, "<li><a href=\"#{name}\">{}</a></li>", escape(told));
    }
    out.push_str("</ul></nav>\n");
}

/// Puts how far the work is before its steps.
fn with_progress(sheet: &str) -> String {
    let progress = format!(
        "<div class=\"screen progress\" hidden>\n<p class=\"notice\" data-when=\"changed\" hidden>{}</p>\n\
         <p class=\"notice\" data-when=\"not-kept\" hidden>{}</p>\n\
         <p role=\"status\"><span data-count=\"done\"></span> / <span data-count=\"all\"></span> {}</p>\n\
         <button type=\"button\" class=\"tool\" data-do=\"clear\">{}</button>\n\
         <button type=\"button\" class=\"tool\" data-do=\"restore\" hidden>{}</button>\n<div class=\"bar\"></div>\n</div>\n",
        words::CHANGED,
        words::NOT_KEPT,
        words::DONE,
        words::CLEAR,
        words::RESTORE
    );
    sheet.replacen("<ol class=\"steps\">", &format!("{progress}<ol class=\"steps\">"), 1)
}
