//! Pages that would be left nearly blank take some of the page before.

use super::model::{Drawing, Item, Role};
use super::paper::PaperSize;

/// So much of a page is filled at least, where there is anything to fill it with.
const LEAST: f64 = 1.0 / 3.0;
/// Blank at the head and the foot of every page, millimetres.
const BLANK: f64 = 38.0;
/// Head of a page that goes on, millimetres from its upper edge.
const HEAD: f64 = 22.0;
/// So often pages are set anew at most.
const TRIES: usize = 60;

/// Sets pages, with breaks before the things of some numbers, until none is under a third full; where no breaks do that, the
/// ones that come nearest. `set` is given the numbers that begin a page.
pub(super) fn filled(sheet: PaperSize, set: impl Fn(&[usize]) -> Vec<Drawing>) -> Vec<Drawing> {
    let mut breaks: Vec<usize> = Vec::new();
    let mut pages = set(&breaks);
    let mut left = TRIES;
    while let Some(blank) = (1..pages.len()).find(|&page| share(&pages[page], sheet) < LEAST) {
        // A break on the page before, the last of those that leave both pages filled.
        let mut found = None;
        for start in starts(&pages[blank - 1]).into_iter().rev() {
            if left == 0 {
                break;
            }
            left -= 1;
            let with: Vec<usize> = breaks.iter().copied().chain([start]).collect();
            let other = set(&with);
            let ok = |page: usize| other.get(page).is_some_and(|page| share(page, sheet) >= LEAST);
            if other.len() == pages.len() && (0..=blank).all(ok) {
                found = Some((with, other));
                break;
            }
        }
        let Some((with, other)) = found else { break };
        (breaks, pages) = (with, other);
    }
    pages
}

/// How much of a page is filled: down to its lowest ink.
fn share(page: &Drawing, sheet: PaperSize) -> f64 {
    let lowest = |item: &Item| match item {
        Item::Text(text) => Some(text.at.y),
        Item::Line { points, .. } => points.iter().map(|point| point.y).reduce(f64::min),
        Item::Area { rings, .. } => rings.iter().flatten().map(|point| point.y).reduce(f64::min),
        Item::Photo(photo) => Some(photo.low.y),
    };
    let items = page.stretches.iter().flat_map(|stretch| &page.items[stretch.items.clone()]);
    let lowest = items.filter_map(lowest).reduce(f64::min);
    lowest.map_or(0.0, |lowest| (sheet.height - HEAD - lowest) / (sheet.height - BLANK))
}

/// Numbers of things on a page that may begin another, the better ones last: rows of tables, then headings, and paragraphs and
/// figures that follow no heading. What began on the page before stays there.
fn starts(page: &Drawing) -> Vec<usize> {
    let (mut rows, mut starts) = (Vec::new(), Vec::new());
    for pair in page.stretches.windows(2) {
        let [before, this] = pair else { continue };
        let follows_heading = matches!(before.role, Role::Heading(_));
        match (&before.role, &this.role) {
            // A row's number is taken before those of its cells.
            (Role::Cell { row: last, head: false, .. }, Role::Cell { row, head: false, .. }) if last != row => {
                rows.push(*row);
            }
            (_, Role::Heading(level)) if *level > 1 && !follows_heading => starts.push(this.number),
            (_, Role::Paragraph | Role::Figure(_)) if !follows_heading && before.number != this.number => {
                starts.push(this.number);
            }
            _ => {}
        }
    }
    rows.extend(starts);
    rows
}
