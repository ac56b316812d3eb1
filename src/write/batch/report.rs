//! A page about a whole run: counts, the distribution of areas, failures by reason, a map picture.

use crate::wording::batch::{Tally, report as words};
use crate::write::palette::{ACCENT, GREY, INK};
use crate::write::svg::escape;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::fmt::Write;

/// How many dots a map has at most.
const DOTS: usize = 20_000;

/// What a run gathers for its page, in memory that does not grow with it. Deterministic.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Gathered {
    /// Roofs by area: of the number k from 2^(k/2) m² up to the next.
    areas: BTreeMap<i32, u64>,
    /// Why there was no roof: an example a code.
    examples: BTreeMap<String, String>,
    /// Places, and whether there was a roof: every `stride`-th.
    dots: Vec<([f64; 2], bool)>,
    stride: u64,
    seen: u64,
}

impl Default for Gathered {
    fn default() -> Self {
        Self { areas: BTreeMap::new(), examples: BTreeMap::new(), dots: Vec::new(), stride: 1, seen: 0 }
    }
}

impl Gathered {
    /// Takes a roof of an area at a place.
    #[allow(clippy::cast_possible_truncation)]
    pub fn roof(&mut self, area: f64, place: [f64; 2]) {
        *self.areas.entry((2.0 * area.max(1e-3).log2()).floor() as i32).or_default() += 1;
        self.dot(place, true);
    }

    /// Takes an outline without a roof.
    pub fn failure(&mut self, code: &str, reason: &str, line: u64, place: Option<[f64; 2]>) {
        if !self.examples.contains_key(code) {
            self.examples.insert(code.to_owned(), format!("{line}: {reason}"));
        }
        if let Some(place) = place {
            self.dot(place, false);
        }
    }

    fn dot(&mut self, place: [f64; 2], is_solved: bool) {
        if self.seen.is_multiple_of(self.stride) {
            self.dots.push((place, is_solved));
        }
        self.seen += 1;
        if self.dots.len() > DOTS {
            // Every second one stays.
            let mut at = 0;
            self.dots.retain(|_| {
                at += 1;
                at % 2 == 1
            });
            self.stride *= 2;
        }
    }
}

/// The page. `shown` is what its title says of the run: the input's name.
#[must_use]
pub fn html(shown: &str, tally: &Tally, gathered: &Gathered) -> String {
    let hex = |[r, g, b]: [u8; 3]| format!("#{r:02x}{g:02x}{b:02x}");
    let mut text = format!(
        "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>{0}: {1}</title><style>\
         body{{font:15px/1.45 sans-serif;color:{2};max-width:60rem;margin:2rem auto;padding:0 1rem}}\
         table{{border-collapse:collapse}}th,td{{text-align:left;padding:.2rem 1.2rem .2rem 0;border-bottom:1px solid #d5d9dd;\
         vertical-align:top}}td.n,th.n{{text-align:right}}h2{{margin-top:2rem}}svg{{max-width:100%;height:auto}}\
         .caution{{background:#fdf1dc;padding:.6rem .9rem}}</style></head><body>\n<h1>{0}</h1>\n<p>{1}</p>\n\
         <p class=\"caution\">{3}</p>\n",
        words::TITLE,
        escape(shown),
        hex(INK),
        words::CAUTION
    );
    let counts =
        [tally.read.to_string(), tally.solved.to_string(), tally.without().to_string(), format!("{:.1}", tally.area)];
    let _ = write!(text, "<h2>{}</h2>\n<table><tr>", words::COUNTS);
    for head in words::HEADS {
        text.push_str(&format!("<th class=\"n\">{head}</th>"));
    }
    text.push_str("</tr><tr>");
    for count in counts {
        text.push_str(&format!("<td class=\"n\">{count}</td>"));
    }
    let _ = write!(text, "</tr></table>\n<h2>{}</h2>\n<p>{}</p>\n", words::AREAS, words::AREAS_SAY);
    text.push_str(&bars(&gathered.areas, &hex(ACCENT), &hex(GREY)));
    let _ = writeln!(text, "<h2>{}</h2>", words::FAILURES);
    if tally.failed.is_empty() {
        let _ = writeln!(text, "<p>{}</p>", words::NONE);
    } else {
        let [code, count, example] = words::REASON_HEADS;
        let _ = write!(text, "<table><tr><th>{code}</th><th class=\"n\">{count}</th><th>{example}</th></tr>");
        for (code, count) in &tally.failed {
            let example = gathered.examples.get(code).map_or("", String::as_str);
            let _ = write!(
                text,
                "<tr><td>{}</td><td class=\"n\">{count}</td><td>{}</td></tr>",
                escape(code),
                escape(example)
            );
        }
        text.push_str("</table>\n");
    }
    let _ =
        write!(text, "<h2>{}</h2>\n<p>{}</p>\n{}</body></html>\n", words::MAP, words::MAP_SAYS, map(&gathered.dots));
    text
}

/// Bars from the smallest area to the largest, each with its count.
fn bars(areas: &BTreeMap<i32, u64>, bar: &str, letters: &str) -> String {
    let (Some((&first, _)), Some((&last, _))) = (areas.first_key_value(), areas.last_key_value()) else {
        return String::new();
    };
    let most = areas.values().copied().max().unwrap_or(1) as f64;
    let row = 20;
    let height = row * (last - first + 1);
    let mut text =
        format!("<svg viewBox=\"0 0 700 {height}\" width=\"700\" height=\"{height}\" role=\"img\" font-size=\"13\">");
    for number in first..=last {
        let count = areas.get(&number).copied().unwrap_or(0);
        let y = (number - first) * row;
        let from = 2_f64.powf(f64::from(number) / 2.0);
        let from = if from < 10.0 { format!("{from:.1}") } else { format!("{from:.0}") };
        let width = 480.0 * count as f64 / most;
        let _ = write!(
            text,
            "<text x=\"90\" y=\"{}\" text-anchor=\"end\" fill=\"{letters}\">{from} m²</text>\
             <rect x=\"100\" y=\"{}\" width=\"{width:.1}\" height=\"14\" fill=\"{bar}\"/>\
             <text x=\"{:.1}\" y=\"{}\" fill=\"{letters}\">{count}</text>",
            y + 14,
            y + 3,
            108.0 + width,
            y + 14
        );
    }
    text.push_str("</svg>\n");
    text
}

/// The places as dots, those without a roof on top.
fn map(dots: &[([f64; 2], bool)]) -> String {
    let bound = |axis: usize, pick: fn(f64, f64) -> f64| dots.iter().map(|(place, _)| place[axis]).reduce(pick);
    let (Some(left), Some(right), Some(low), Some(high)) =
        (bound(0, f64::min), bound(0, f64::max), bound(1, f64::min), bound(1, f64::max))
    else {
        return String::new();
    };
    // Degrees of longitude are shorter than those of latitude by the cosine of it.
    let is_degrees = left >= -360.0 && right <= 360.0 && low > -90.0 && high < 90.0;
    let squeeze = if is_degrees { f64::midpoint(low, high).to_radians().cos() } else { 1.0 };
    let (across, up) = (((right - left) * squeeze).max(1e-9), (high - low).max(1e-9));
    let scale = (680.0 / across).min(680.0 / up);
    let (width, height) = (across * scale + 20.0, up * scale + 20.0);
    let mut text = format!(
        "<svg viewBox=\"0 0 {width:.0} {height:.0}\" width=\"{width:.0}\" height=\"{height:.0}\" role=\"img\" \
         style=\"background:#f4f1ea\">"
    );
    for (wanted, colour, size) in [(true, "#005a8c", 1.3), (false, "#c25a00", 2.2)] {
        let _ = write!(text, "<path stroke=\"{colour}\" stroke-width=\"{size}\" stroke-linecap=\"round\" d=\"");
        for ([x, y], _) in dots.iter().filter(|(_, is_solved)| *is_solved == wanted) {
            let (x, y) = (10.0 + (x - left) * squeeze * scale, 10.0 + (high - y) * scale);
            let _ = write!(text, "M{x:.1} {y:.1}h0");
        }
        text.push_str("\"/>");
    }
    text.push_str("</svg>\n");
    text
}
