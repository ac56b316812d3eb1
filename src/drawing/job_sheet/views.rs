//! What the full sheet shows besides: elevations, section, construction, deck and underlay piece by piece, the net.

use super::SheetInput;
use super::what::sentence;
use crate::base::ids::FaceId;
use crate::drawing::typeset::document::Document;
use crate::drawing::typeset::figure::{Figure, Key, inset};
use crate::drawing::views::body::Body;
use crate::drawing::views::construction::Construction;
use crate::drawing::views::elevation::Elevations;
use crate::drawing::views::net_sheets::NetSheets;
use crate::drawing::views::section::Section;
use crate::drawing::views::{face, rows};

fn add(input: &SheetInput<'_>, document: &mut Document, figure: &dyn Figure, share: f64) {
    document.figure(inset(figure, input.context, input.room(share), Key::With), sentence(&figure.title()));
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
