//! What the full sheet shows besides: elevations, section, construction, deck and underlay piece by piece, the net.

use super::SheetInput;
use super::what::sentence;
use crate::base::ids::FaceId;
use crate::drawing::typeset::canvas::Canvas;
use crate::drawing::typeset::dimension::LANE;
use crate::drawing::typeset::document::Document;
use crate::drawing::typeset::figure::{Figure, Key, inset, inset_led};
use crate::drawing::typeset::frame::Furniture;
use crate::drawing::typeset::pen::Pen;
use crate::drawing::views::body::Body;
use crate::drawing::views::construction::Construction;
use crate::drawing::views::elevation::{Elevations, Isometric};
use crate::drawing::views::net_sheets::NetSheets;
use crate::drawing::views::plan::Plan;
use crate::drawing::views::section::Section;
use crate::drawing::views::{face, rows};
use nalgebra::Point2;

fn add(input: &SheetInput<'_>, document: &mut Document, figure: &dyn Figure, share: f64) {
    document.figure(inset(figure, input.context, input.room(share), Key::With), sentence(&figure.title()));
}

/// The roof as it looks, so high at most.
pub(super) fn picture(input: &SheetInput<'_>, body: &Body, height: f64, document: &mut Document) {
    let view = Isometric::new(&input.answer.roof, body, input.context);
    let [width, most] = input.room(0.62);
    document.figure(inset(&view, input.context, [width, height.min(most)], Key::With), "Picture");
}

/// So long a plan is drawn at least, millimetres, where a larger part of the page makes that possible.
const LEAST_PLAN: f64 = 70.0;
/// Up to so many lines of leaders are no reason to draw it larger.
const FEW_LEADERS: usize = 3;

/// The plan with its faces and lengths, on so much of a page's height, or on more where it would be too small to read. Edges
/// are named on it in words.
pub(super) fn plan(input: &SheetInput<'_>, share: f64, document: &mut Document) {
    let plan = Named { plan: Plan::of(input.answer), is_simple: input.answer.roof.roof_faces().count() <= SIMPLE };
    let is_large = |factor: f64| plan.bounds().is_some_and(|(low, high)| (high - low).max() * factor >= LEAST_PLAN);
    let at = |share: f64| inset(&plan, input.context, input.room(share), Key::Without);
    let drawn = [share, 0.62].into_iter().find_map(|share| {
        let drawn = inset_led(&plan, input.context, input.room(share), Key::Without, FEW_LEADERS)?;
        let is_calm = drawn.strokes(|pen| pen == Pen::Leader).len() <= FEW_LEADERS;
        (is_calm && drawn.view.is_some_and(|view| is_large(view.factor))).then_some(drawn)
    });
    // A heading and a caution find room above it.
    let drawn = drawn.or_else(|| at(0.82)).or_else(|| at(0.95));
    document.figure(drawn, "Roof plan: lengths along an edge are true, dimension lines level, arrows point downslope");
}

/// So many faces a simple roof has at most.
const SIMPLE: usize = 4;

/// The plan where its caption says how it is meant.
struct Named<'a> {
    plan: Plan<'a>,
    /// Each side of a simple roof has one dimension, so that one lane holds them.
    is_simple: bool,
}

impl Figure for Named<'_> {
    fn name(&self) -> String {
        self.plan.name()
    }

    fn title(&self) -> String {
        self.plan.title()
    }

    fn bounds(&self) -> Option<(Point2<f64>, Point2<f64>)> {
        self.plan.bounds()
    }

    fn furniture(&self) -> Furniture {
        Furniture { remarks: Vec::new(), ..self.plan.furniture() }
    }

    fn surround(&self) -> [f64; 3] {
        if self.is_simple { [LANE + 7.0; 3] } else { self.plan.surround() }
    }

    fn draw(&self, canvas: &mut Canvas<'_>) {
        self.plan.draw(canvas);
    }
}

/// Elevations, section, construction.
pub(super) fn views(input: &SheetInput<'_>, body: &Body, document: &mut Document) {
    let roof = &input.answer.roof;
    document.heading(1, "Elevations and section");
    add(input, document, &Elevations::new(input.answer, body, input.context), 0.7);
    if let Some(section) = Section::new(input.answer, body, input.context) {
        add(input, document, &section, 0.5);
    }
    if let Some(construction) = Construction::new(roof, input.context) {
        add(input, document, &construction, 0.6);
    }
}

/// Deck and underlay of every face, piece by piece.
pub(super) fn rows(input: &SheetInput<'_>, document: &mut Document) {
    let (roof, format) = (&input.answer.roof, input.context.words);
    let shapes = face::groups(roof, &input.answer.openings);
    let mut all: Vec<(rows::Rows<'_>, Vec<String>)> = Vec::new();
    let kind = |face: FaceId| {
        let card = &input.job.covering_of(&roof.faces[face.index()]).card;
        card.deck.as_ref().map(|deck| deck.kind)
    };
    let decks = rows::groups(roof, &shapes, &input.take_off.deck_plans).into_iter();
    all.extend(decks.filter_map(|(plan, alike)| Some((rows::Rows::deck(plan, kind(plan.face)?, format), alike))));
    let underlays = rows::groups(roof, &shapes, &input.take_off.underlay_plans).into_iter();
    all.extend(underlays.map(|(plan, alike)| (rows::Rows::underlay(roof, plan, format), alike)));
    for (layer, laid) in input.take_off.felt.layers() {
        let groups = rows::groups(roof, &shapes, &laid.plans);
        all.extend(groups.into_iter().map(|(plan, alike)| (rows::Rows::felt(layer, plan, format), alike)));
    }
    if !all.is_empty() {
        document.heading(1, "Deck and underlay, piece by piece");
    }
    for (rows, alike) in &all {
        let laid = face::Laid::Rows(rows);
        if let Some(shape) = face::FaceShape::new(input.answer, rows.plan.face, laid, alike, format) {
            document.figure(inset(&shape, input.context, input.room(0.4), Key::Without), sentence(&shape.title()));
        }
    }
}

/// The fold-up net, where the body is closed.
pub(super) fn net(input: &SheetInput<'_>, body: &Body, document: &mut Document) {
    if body.closed {
        document.heading(1, "The roof to cut out and fold");
        let net = NetSheets::inset(&input.answer.roof, body, input.room(0.9));
        for sheet in net.iter().flat_map(NetSheets::figures) {
            add(input, document, &sheet, 0.9);
        }
    }
}
