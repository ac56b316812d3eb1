//! What may stand in an output without being in an answer, each narrowly: citations, fixed figures of law and practice,
//! what explains a table, scales, pages and dates, names from the job, ordinals on drawings.

use super::answers::Answers;
use super::printed::{Printed, numbers};
use eavewright::drawing::Drawing;
use eavewright::job::{Answer, Job};

/// Exact words with figures that belong to no roof.
const PHRASES: &[&str] = &[
    // What ± means.
    "holds in 95 of 100 cases",
    "covers 95 of a hundred cases",
    "covers 95 of 100 cases",
    // Standards and laws.
    "EN 12056-3",
    "EN 1991-1-3",
    "table 5.2",
    "29 CFR 1926.501(b)(13)",
    "40 CFR 61 subpart M, appendix A",
    "29 CFR 1926.1053",
    // How tables are meant.
    "for each 100 mm of the piece's thickness",
    "for each 1\" of the piece's thickness",
    // Where a material card says its figures come from.
    "IRC R905.2: double underlay from 2:12 to 4:12",
    "common practice: 50 cm from 15 to 20 degrees",
    "100 mm half-round gutter: 37 m2 (printed table)",
    // What the window's shades draw, at fixed steps.
    "a line every 5 mm",
    "30 mm and more",
    "60° and steeper",
    "a line every 0.25 m of height, a heavy one every metre",
    "crosses: surveyed points, 50 times",
    // Figures of law and common practice in cautions.
    "from 1.8 m (6 ft) at the latest",
    "0.9 m (3 ft) above the landing",
];

/// Names with digits in them: they are the job's.
pub fn names(job: &Job, answer: &Answer) -> Vec<String> {
    let faces = answer.roof.faces.iter().map(|face| face.name().clone());
    let points = job.survey.points.iter().map(|point| point.name.clone());
    let photos = job.survey.photos.iter().filter_map(|photo| photo.file.clone());
    let own_cards = job.block_coverings.iter().map(|(_, covering)| &covering.card);
    let cards: Vec<_> = own_cards.chain([&job.covering.card]).collect();
    let titles = cards.iter().flat_map(|card| [card.title.clone(), card.name.clone()]);
    let own: Vec<String> = titles.chain([job.title.clone()]).collect();
    let all = faces.chain(points).chain(photos).chain(own).chain(job.date.clone());
    all.filter(|name| name.contains(|letter: char| letter.is_ascii_digit())).collect()
}

/// Whether a line is what a drawing says of itself and nothing else: `scale 1:50 on A4`, `scale 1:48 (1/4" = 1') on letter`,
/// `page 2 of 7`.
fn is_of_sheet(words: &str) -> bool {
    let is_number = |text: &str| !text.is_empty() && text.chars().all(|letter| letter.is_ascii_digit());
    let parts: Vec<&str> = words.split_whitespace().collect();
    match parts.as_slice() {
        ["page", page, "of", pages] => is_number(page) && is_number(pages),
        ["scale", scale, rest @ ..] => {
            let foot = rest.iter().position(|part| *part == "1')").map_or(0, |at| at + 1);
            let inches = |rest: &[&str]| {
                matches!(rest, [first, .., last, "=", "1')"] if first.starts_with('(') && last.ends_with('"'))
                    || matches!(rest, [only, "=", "1')"] if only.starts_with('(') && only.ends_with('"'))
            };
            let paper = |rest: &[&str]| matches!(rest, [] | ["on", "A4" | "A3" | "letter" | "tabloid"]);
            let scaled = scale.strip_prefix("1:").is_some_and(is_number);
            scaled && (paper(rest) || inches(&rest[..foot]) && paper(&rest[foot..]))
        }
        _ => false,
    }
}

/// Whether a line is a drawing's scale and the figures of the bar beside it, as a PDF has them in one line:
/// `scale 1:75 0 1 2 3 4 m`.
pub fn is_scale_with_bar(line: &str) -> bool {
    let words: Vec<&str> = line.split_whitespace().collect();
    (2..words.len()).any(|at| {
        let (scale, bar) = words.split_at(at);
        let figures = bar.strip_suffix(&["m"]).or_else(|| bar.strip_suffix(&["ft"])).unwrap_or_default();
        is_of_sheet(&scale.join(" ")) && !figures.is_empty() && figures.iter().all(|figure| is_of_scale_bar(figure))
    })
}

/// The figures of a scale bar: one to four fields of 1, 2, 2.5 or 5 times a power of ten, the last with its unit, written
/// without the decimals a measure has.
pub fn is_of_scale_bar(words: &str) -> bool {
    let (figure, unit) = words.split_once(' ').unwrap_or((words, ""));
    let Ok(value) = figure.parse::<f64>() else { return false };
    let fields = [1.0, 2.0, 2.5, 5.0].into_iter().flat_map(|field| [1.0, 2.0, 3.0, 4.0].map(|count| field * count));
    let mut powers = (-2..4).map(|power| 10_f64.powi(power));
    let even = value == 0.0 || powers.any(|power| fields.clone().any(|field| (value / power - field).abs() < 1e-9));
    even && value.to_string() == figure && matches!(unit, "" | "m" | "ft")
}

/// A text without names and exceptions; ends of lines stay.
pub fn plain(text: &str, answers: &Answers) -> String {
    let mut names: Vec<&String> = answers.names.iter().collect();
    names.sort_by_key(|name| std::cmp::Reverse(name.len()));
    let mut text = text.to_owned();
    for words in PHRASES.iter().copied().chain(names.into_iter().map(String::as_str)) {
        text = without(&text, words);
    }
    if is_of_sheet(&text) { String::new() } else { text.lines().map(without_ordinal).collect::<Vec<_>>().join("\n") }
}

/// A line without the number of a step of work that it begins with: `16. Starter`.
fn without_ordinal(line: &str) -> String {
    let words = line.trim_start();
    let digits = words.len() - words.trim_start_matches(|letter: char| letter.is_ascii_digit()).len();
    let is_step = (1..=2).contains(&digits) && words[digits..].starts_with(". ");
    if is_step { format!("{}{}", " ".repeat(digits + 1), &words[digits + 1..]) } else { line.to_owned() }
}

/// A text with every occurrence of some words blanked, also where a line ends within them.
fn without(text: &str, words: &str) -> String {
    let wanted: Vec<&str> = words.split_whitespace().collect();
    let Some(first) = wanted.first() else { return text.to_owned() };
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(first) {
        let (before, from) = rest.split_at(at);
        out.push_str(before);
        // A name that goes on is another: R8 is none in R806.2.
        let ends = |length: &usize| {
            let goes_on = from[*length..].starts_with(|next: char| next.is_alphanumeric());
            !goes_on || !from[..*length].ends_with(|last: char| last.is_ascii_alphanumeric())
        };
        match length_of(from, &wanted).filter(ends) {
            Some(length) => {
                out.extend(from[..length].chars().map(|letter| if letter == '\n' { '\n' } else { ' ' }));
                rest = &from[length..];
            }
            None => {
                let step = from.chars().next().map_or(1, char::len_utf8);
                out.push_str(&from[..step]);
                rest = &from[step..];
            }
        }
    }
    out.push_str(rest);
    out
}

/// How far the words reach from the beginning of a text, whatever blanks stand between them.
fn length_of(text: &str, words: &[&str]) -> Option<usize> {
    let mut at = 0;
    for (index, word) in words.iter().enumerate() {
        if index > 0 {
            let blanks = text[at..].len() - text[at..].trim_start().len();
            if blanks == 0 {
                return None;
            }
            at += blanks;
        }
        if !text[at..].starts_with(word) {
            return None;
        }
        at += word.len();
    }
    Some(at)
}

/// Drawings that number what they show: sheets of the net, courses and pieces of a face, steps of the construction.
pub fn is_numbered(name: &str) -> bool {
    ["net", "face-", "deck-", "underlay-", "base-layer-", "cap-sheet-", "construction"]
        .iter()
        .any(|start| name.starts_with(start))
}

/// The lettering of such a drawing without lines that are a whole number alone, and without the number a step begins with.
pub fn without_ordinals(drawing: &Drawing, answers: &Answers) -> Vec<Printed> {
    let words = drawing.texts().map(|text| plain(&text.words, answers));
    words
        .filter(|words| words.trim().parse::<u32>().is_err() && !is_of_scale_bar(words.trim()))
        .map(|words| {
            let step = words.split_once("  ").filter(|(first, _)| first.parse::<u32>().is_ok());
            step.map_or(words.clone(), |(_, rest)| rest.to_owned())
        })
        .flat_map(|words| numbers(&words, None))
        .collect()
}

/// The numbers of a page of HTML: of what is read, element by element, without styles, scripts, drawings and their
/// lettering; what is lettered over the roof in 3D stands in an attribute.
pub fn of_html(page: &str, answers: &Answers) -> Vec<Printed> {
    let body = page.split_once("<body").map_or(page, |(_, body)| body);
    let mut read = Vec::new();
    let mut rest = body;
    let mut words = String::new();
    while let Some(at) = rest.find('<') {
        words.push_str(&rest[..at]);
        rest = &rest[at..];
        let apart = [("<svg", "</svg>"), ("<style", "</style>"), ("<script", "</script>")];
        let skipped = apart.into_iter().find(|(open, _)| rest.starts_with(open));
        let end = match skipped {
            Some((_, close)) => rest.find(close).map_or(rest.len(), |end| end + close.len()),
            None => rest.find('>').map_or(rest.len(), |end| end + 1),
        };
        let inline = ["<b>", "</b>", "<i>", "</i>", "<strong>", "</strong>", "<em>", "</em>"];
        if !inline.contains(&&rest[..end]) {
            read.extend(numbers(&plain(&unescaped(&words), answers), None));
            words.clear();
        }
        if let Some((_, label)) = rest[..end].split_once("data-label=\"") {
            let label = label.split('"').next().unwrap_or_default();
            read.extend(numbers(&plain(&unescaped(label), answers), None));
        }
        rest = &rest[end..];
    }
    read
}

fn unescaped(words: &str) -> String {
    words.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&#39;", "'").replace("&amp;", "&")
}
