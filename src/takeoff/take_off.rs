//! The take-off: the stages of this module run in order over one roof.

use super::answer::TakeOff;
use super::caps::{self, CapRun};
use super::card::{Card, CoveringKind};
use super::covering::{self, margins};
use super::lines::Lines;
use super::model::{Covering, Prices};
use super::offer::{Measures, offer};
use super::order::{deck_lines, flashing_lines, rain_lines, total, underlay_lines};
use super::order_covering::covering_lines;
use super::outline::{CoveredFace, Folds, cover};
use super::valleys::Valleys;
use super::{advice, at_edges, reroof};
use crate::base::diagnostic::Note;
use crate::base::words::Words;
use crate::roof::drainage::Drainage;
use crate::roof::opening::CutOpening;
use crate::roof::{EdgeKind, Roof};
use nalgebra::Vector2;

/// What the take-off needs.
#[derive(Clone, Copy, Debug)]
pub struct TakeoffInput<'a> {
    /// The solved roof.
    pub roof: &'a Roof,
    /// Where its water goes.
    pub drainage: &'a Drainage,
    /// Openings cut from its faces.
    pub openings: &'a [CutOpening],
    /// What it is covered with.
    pub covering: &'a Covering,
    /// Bearing the prevailing wind comes from, radians clockwise from north.
    pub wind_from: Option<f64>,
    /// Bearing of the drawing's +y axis, radians clockwise from north.
    pub north: f64,
    /// Standard deviation of the whole roof area, square metres, where the survey gives one.
    pub area_sd: Option<f64>,
    /// The units notes and names of goods are written in.
    pub words: Words,
}

/// 95 % of a normal distribution lie within this many standard deviations.
const NINETY_FIVE: f64 = 1.959_963_984_540_054;

/// Takes a roof off: lays every face, counts everything that goes with it, and says what to mind. Pure and deterministic.
/// Linear in pieces for a given number of tabs.
#[must_use]
pub fn take_off(input: &TakeoffInput) -> TakeOff {
    let (roof, covering) = (input.roof, input.covering);
    let card = &covering.card;
    let margins = margins(card);
    let valleys = Valleys::of(roof, card, &covering.laying, &margins, input.words);
    let folds = Folds { margins: &margins, hip: covering.laying.hip, valleys: &valleys };
    let faces: Vec<CoveredFace> =
        roof.roof_faces().filter_map(|(id, _)| cover(roof, id, input.openings, &folds)).collect();
    let mut laid = covering::lay_all(roof, &faces, card, covering.laying.valley, input.words);
    at_edges::tell(&faces, &mut laid.layouts, card, covering.laying.exposure, &margins);
    let area = net_area(input);
    let relative = input.area_sd.filter(|_| area > 0.0).map(|sd| NINETY_FIVE * sd / area);
    let mut lines = Lines::new(&covering.prices, relative);
    let caps = cap_runs(input, &faces);
    let deck = deck_lines(input, &faces, &laid, &mut lines);
    let underlay_plans = underlay_lines(input, &faces, area, &mut lines);
    covering_lines(input, &faces, &laid, &caps, area, &mut lines);
    flashing_lines(input, &faces, &laid, &mut lines);
    rain_lines(input, &mut lines);
    let (old_roof, mut notes) = match &covering.old_roof {
        Some(old) => {
            let (answer, notes) = reroof::strip_off(old, area);
            (Some(answer), notes)
        }
        None => (None, Vec::new()),
    };
    notes.splice(0..0, laid.notes.iter().chain(&valleys.notes).cloned());
    notes.extend(advice::advise(roof, &faces, covering, &laid, input.words));
    let mut answer = TakeOff {
        lines: lines.finish(),
        layouts: laid.layouts,
        faces: laid.counts,
        caps,
        deck_cuts: deck.cuts,
        deck_plans: deck.plans,
        underlay_plans,
        notes,
        valleys,
        tools: tools(card),
        area,
        area_sd: input.area_sd,
        ..TakeOff::default()
    };
    let waste = old_roof.as_ref().map_or(0.0, |old| old.weight / 1000.0);
    answer.notes.extend(unused_prices(&answer, &covering.prices));
    answer.offer = offer(&covering.prices, &ordered(&answer), &measures(input, &faces, waste));
    answer.old_roof = old_roof;
    answer
}

/// The item of the covering's own line: `strip-shingle` for strips of any name, else the card's name.
#[must_use]
pub fn covering_item(card: &Card) -> &str {
    match card.covering {
        CoveringKind::Strip(_) => "strip-shingle",
        _ => &card.name,
    }
}

/// Roof area less openings, square metres.
fn net_area(input: &TakeoffInput) -> f64 {
    input.roof.total_area().0 - input.openings.iter().map(|opening| opening.area).sum::<f64>()
}

fn ordered(answer: &TakeOff) -> Vec<(String, String, f64, &'static str)> {
    let priced = answer.lines.iter().filter(|line| line.packs.is_some() || line.pack.is_none());
    priced
        .filter_map(|line| {
            let (quantity, unit) = match (line.priced, line.packs) {
                (Some(priced), _) => priced,
                (None, Some(packs)) => (f64::from(packs), "pack"),
                (None, None) => (line.quantity?, line.unit),
            };
            Some((line.item.clone(), line.what.clone(), quantity, unit))
        })
        .collect()
}

/// Prices of what comes out of another line's packs: it is paid for there.
fn unused_prices(answer: &TakeOff, prices: &Prices) -> Option<Note> {
    let given = prices.items.iter().map(|(item, _)| item.as_str());
    let unused: Vec<&str> = given
        .filter(|item| answer.line(item).is_some_and(|line| line.packs.is_none() && line.pack.is_some()))
        .collect();
    (!unused.is_empty()).then(|| Note {
        code: "price-not-used",
        message: format!(
            "no price of its own is used for {}: it comes out of the covering's packs and is paid for with them",
            unused.join(", ")
        ),
        faces: Vec::new(),
    })
}

fn measures(input: &TakeoffInput, faces: &[CoveredFace], waste: f64) -> Measures {
    let roof = input.roof;
    let cut = |face: &CoveredFace| -> f64 {
        input.openings.iter().filter(|opening| opening.face == face.id).map(|opening| opening.area).sum()
    };
    Measures {
        areas: faces.iter().map(|face| (face.pitch, roof.area(&roof.faces[face.id.index()]).0 - cut(face))).collect(),
        hip: total(roof, EdgeKind::Hip),
        valley: total(roof, EdgeKind::Valley),
        verge: total(roof, EdgeKind::Verge),
        ridge: total(roof, EdgeKind::Ridge),
        eave: total(roof, EdgeKind::Eave),
        waste,
    }
}

fn cap_runs(input: &TakeoffInput, faces: &[CoveredFace]) -> Vec<CapRun> {
    let card = &input.covering.card;
    let Some(caps) = &card.caps else { return Vec::new() };
    // The last cap of those cut from strips shows its tab alone; one made as a cap shows all of it.
    let last = match (&card.covering, caps.per_strip) {
        (CoveringKind::Strip(strip), Some(_)) => strip.cutout,
        _ => caps.length,
    };
    let towards = input.wind_from.map(|bearing| {
        let from_y = bearing - input.north;
        Vector2::new(from_y.sin(), from_y.cos())
    });
    caps::lines(input.roof, faces, towards, last, caps.exposure)
}

fn tools(card: &Card) -> Vec<&'static str> {
    let mut tools = vec![
        "harness, anchor and rope or scaffold as local law says",
        "ladder tied at the top, roof ladder",
        "gloves, eye protection, shoes with soft soles",
        "tape, chalk line, square, pencil",
        "hammer or nailer, flat bar",
    ];
    match card.covering {
        CoveringKind::Strip(_) => tools.extend(["knife with hooked and straight blades", "straight edge 1 m"]),
        CoveringKind::Unit(_) => tools.extend(["slate cutter or tile saw with water", "dust mask"]),
        CoveringKind::Sheet(_) => {
            tools.extend(["shears or nibbler (no grinder: sparks burn the coating)", "screwdriver with stop"]);
        }
    }
    if card.adhesive.is_some() {
        tools.push("adhesive gun");
    }
    tools.extend(["tin snips for metal", "magnet and broom to clear gutters of nails"]);
    tools
}
