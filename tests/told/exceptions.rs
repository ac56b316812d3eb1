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
    // Standards and laws.
    "EN 12056-3",
    "EN 1991-1-3",
    "table 5.2",
    "29 CFR 1926.501(b)(13)",
    "29 CFR 1926.1053",
    // How tables are meant.
    "for each 100 mm (1\") of the",
    // Figures of law and common practice in cautions.
    "from 1.8 m (6 ft) at the latest",
    "0.9 m (3 ft) above the landing",
];

/// Names with digits in them: they are the job's.
pub fn names(job: &Job, answer: &Answer) -> Vec<String> {
    let faces = answer.roof.faces.iter().map(|face| face.name.clone());
    let points = job.survey.points.iter().map(|point| point.name.clone());
    let photos = job.survey.photos.iter().filter_map(|photo| photo.file.clone());
    let card = &job.covering.card;
    let own = [job.title.clone(), card.title.clone(), card.name.clone()];
    let all = faces.chain(points).chain(photos).chain(own).chain(job.date.clone());
    all.filter(|name| name.contains(|letter: char| letter.is_ascii_digit())).collect()
}

/// A text without names and exceptions; ends of lines stay.
pub fn plain(text: &str, answers: &Answers) -> String {
    let mut names: Vec<&String> = answers.names.iter().collect();
    names.sort_by_key(|name| std::cmp::Reverse(name.len()));
    let mut text = text.to_owned();
    for words in names.into_iter().map(String::as_str).chain(PHRASES.iter().copied()) {
        text = without(&text, words);
    }
    text
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
        match length_of(from, &wanted) {
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
    ["net", "face-", "deck-", "underlay-", "construction"].iter().any(|start| name.starts_with(start))
}

/// The lettering of such a drawing without lines that are a whole number alone, and without the number a step begins with.
pub fn without_ordinals(drawing: &Drawing, answers: &Answers) -> Vec<Printed> {
    let words = drawing.texts().map(|text| plain(&text.words, answers));
    words
        .filter(|words| words.trim().parse::<u32>().is_err())
        .map(|words| {
            let step = words.split_once("  ").filter(|(first, _)| first.parse::<u32>().is_ok());
            step.map_or(words.clone(), |(_, rest)| rest.to_owned())
        })
        .flat_map(|words| numbers(&words, None))
        .collect()
}

/// The numbers of a page of HTML: of what is read, element by element, without styles, drawings and their lettering.
pub fn of_html(page: &str, answers: &Answers) -> Vec<Printed> {
    let body = page.split_once("<body").map_or(page, |(_, body)| body);
    let mut read = Vec::new();
    let mut rest = body;
    let mut words = String::new();
    while let Some(at) = rest.find('<') {
        words.push_str(&rest[..at]);
        rest = &rest[at..];
        let skipped = [("<svg", "</svg>"), ("<style", "</style>")].into_iter().find(|(open, _)| rest.starts_with(open));
        let end = match skipped {
            Some((_, close)) => rest.find(close).map_or(rest.len(), |end| end + close.len()),
            None => rest.find('>').map_or(rest.len(), |end| end + 1),
        };
        let inline = ["<b>", "</b>", "<i>", "</i>", "<strong>", "</strong>", "<em>", "</em>"];
        if !inline.contains(&&rest[..end]) {
            read.extend(numbers(&plain(&unescaped(&words), answers), None));
            words.clear();
        }
        rest = &rest[end..];
    }
    read
}

fn unescaped(words: &str) -> String {
    words.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&#39;", "'").replace("&amp;", "&")
}
