//! What the script shows the roof in: room for it, what moves it, a card for each face; and room for a drawing.

use crate::drawing::job_sheet::face_cards::{FaceCard, Fact};
use crate::roof::Roof;
use crate::wording::page as words;
use crate::write::svg::escape;
use std::collections::BTreeMap;
use std::fmt::Write;

/// Signs of what moves the view, on a field of 24 by 24: what is asked, its word, its lines.
const TOOLS: [(&str, &str, &str); 5] = [
    ("nearer", words::NEARER, "M12 5v14M5 12h14"),
    ("farther", words::FARTHER, "M5 12h14"),
    ("above", words::ABOVE, "M12 3v11M8 10l4 4 4-4M4 20h16"),
    ("start", words::START, "M5 5v5h5M5.5 10a8 8 0 1 1-.6 5"),
    ("large", words::WHOLE, WHOLE),
];
/// The corners of a screen.
const WHOLE: &str = "M4 9V4h5M15 4h5v5M20 15v5h-5M9 20H4v-5";

/// A sign of lines.
fn sign(lines: &str) -> String {
    format!("<svg viewBox=\"0 0 24 24\" aria-hidden=\"true\"><path d=\"{lines}\"/></svg>")
}

/// The roof in 3D with its faces; hidden until the script has drawn it. `drawings` are the page's, by their names.
pub(super) fn stage(roof: &Roof, cards: &[FaceCard], drawings: &BTreeMap<String, String>) -> String {
    let mut out = format!(
        "<section id=\"model\" class=\"screen\" aria-label=\"{}\" hidden>\n<div class=\"stage\">\n\
         <canvas tabindex=\"0\" role=\"application\" aria-label=\"{}\"></canvas>\n\
         <div class=\"labels\" aria-hidden=\"true\" data-north=\"{}\"></div>\n<div class=\"tools\">\n",
        words::ROOF,
        words::KEYS,
        words::NORTH
    );
    // Writing to a string cannot fail.
    for (asked, word, lines) in TOOLS {
        let pressed = if asked == "large" { " aria-pressed=\"false\"" } else { "" };
        let _ = writeln!(
            out,
            "<button type=\"button\" class=\"tool\" data-do=\"{asked}\" aria-label=\"{word}\" title=\"{word}\"{pressed}>{}</button>",
            sign(lines)
        );
    }
    let _ = write!(
        out,
        "</div>\n</div>\n<p class=\"hint\">{}</p>\n<div class=\"faces\" role=\"group\" aria-label=\"{}\">\n",
        words::HINT,
        words::FACES
    );
    for (number, card) in cards.iter().enumerate() {
        let _ = writeln!(
            out,
            "<button type=\"button\" class=\"tool\" data-face=\"{number}\" aria-pressed=\"false\">{}</button>",
            escape(&card.name)
        );
    }
    out.push_str("</div>\n<div class=\"cards\" aria-live=\"polite\">\n");
    for (number, card) in cards.iter().enumerate() {
        add_card(&mut out, roof, number, card, drawings);
    }
    out.push_str("</div>\n</section>\n");
    out
}

fn add_card(out: &mut String, roof: &Roof, number: usize, card: &FaceCard, drawings: &BTreeMap<String, String>) {
    let name = escape(&words::of_face(&card.name));
    let _ =
        writeln!(out, "<section class=\"card\" data-card=\"{number}\" aria-label=\"{name}\" hidden>\n<h2>{name}</h2>");
    facts(out, "", &card.measures);
    let _ = writeln!(out, "<h3>{}</h3>\n<dl>", words::EDGES);
    for edge in &card.edges {
        let of = &roof.edges[edge.edge.index()];
        let _ = writeln!(
            out,
            "<dt>{}</dt><dd data-edge=\"{} {}\" data-label=\"{}\">{}</dd>",
            escape(&edge.told.0),
            of.from.index(),
            of.to.index(),
            escape(&edge.label),
            escape(&edge.told.1)
        );
    }
    out.push_str("</dl>\n");
    facts(out, words::COURSES, &card.courses);
    facts(out, words::CUTS, &card.cuts);
    if let Some(drawing) = card.drawing.as_ref().and_then(|name| drawings.get(name)) {
        let _ = writeln!(
            out,
            "<button type=\"button\" class=\"tool\" data-drawing=\"{drawing}\">{}</button>",
            words::TRUE_SHAPE
        );
    }
    let _ = writeln!(
        out,
        "<button type=\"button\" class=\"tool\" data-do=\"leave\" aria-label=\"{}: {name}\">\u{d7}</button>\n</section>",
        words::LEAVE
    );
}

/// What is told, under its heading; nothing where there is nothing.
fn facts(out: &mut String, heading: &str, facts: &[Fact]) {
    if facts.is_empty() {
        return;
    }
    if !heading.is_empty() {
        let _ = writeln!(out, "<h3>{heading}</h3>");
    }
    out.push_str("<dl>\n");
    for (what, told) in facts {
        let _ = writeln!(out, "<dt>{}</dt><dd>{}</dd>", escape(what), escape(told));
    }
    out.push_str("</dl>\n");
}

/// Room for a drawing over the whole screen, and the button that a drawing gets.
pub(super) fn enlarged(out: &mut String) {
    let _ = write!(
        out,
        "<template id=\"enlarge\"><button type=\"button\" class=\"tool screen\" aria-label=\"{0}\" title=\"{0}\">{1}</button></template>\n\
         <dialog id=\"enlarged\" class=\"screen\" aria-labelledby=\"enlarged-title\">\n<header><h2 id=\"enlarged-title\"></h2>\n",
        words::ENLARGE,
        sign(WHOLE)
    );
    for (asked, word, shown) in
        [("nearer", words::NEARER, "+"), ("farther", words::FARTHER, "\u{2212}"), ("close", words::CLOSE, "\u{d7}")]
    {
        let _ = writeln!(
            out,
            "<button type=\"button\" class=\"tool\" data-do=\"{asked}\" aria-label=\"{word}\">{shown}</button>"
        );
    }
    out.push_str("</header>\n<div class=\"paper\"></div>\n</dialog>\n");
}
