//! `draw`: every drawing of a job, as files.

use crate::base::units::LengthUnit;
use crate::drawing::typeset::figure;
use crate::drawing::views::body::Body;
use crate::drawing::views::building;
use crate::drawing::views::construction::Construction;
use crate::drawing::views::detail::DetailFigure;
use crate::drawing::views::elevation::{Elevations, Isometric};
use crate::drawing::views::net_sheets::NetSheets;
use crate::drawing::views::photo_page;
use crate::drawing::views::photo_page::Taken;
use crate::drawing::views::plan::plan;
use crate::drawing::views::section::Section;
use crate::drawing::views::timber_piece::TimberPiece;
use crate::drawing::views::timber_plan::TimberPlan;
use crate::drawing::views::{cut, face, rows};
use crate::drawing::{Context, Drawing, Item, number_pages};
use crate::job::Job;
use crate::job::answer::Answer;
use crate::takeoff::answer::TakeOff;
use crate::takeoff::pieces::PiecePlan;
use crate::write::svg::{Setting, svg};
use crate::write::{dxf, dxf_pieces, pdf};

/// Every drawing of a job, numbered as one set: plan, elevations, section, isometric view, construction, faces in true
/// shape with their courses, deck and underlay plans, hips and valleys, net.
#[must_use]
pub fn drawings(answer: &Answer, take_off: Option<&TakeOff>, job: &Job, context: &Context) -> Vec<Drawing> {
    drawings_with_photos(answer, take_off, job, context, &[])
}

/// The same with pages of the photos the roof was measured from, last of the set.
#[must_use]
pub(crate) fn drawings_with_photos(
    answer: &Answer,
    take_off: Option<&TakeOff>,
    job: &Job,
    context: &Context,
    photos: &[Taken],
) -> Vec<Drawing> {
    let roof = &answer.roof;
    let (body, standing) = (Body::of(roof, 0.0), building::body(answer, 0.0));
    let mut set = plan(answer, context);
    set.extend(figure::pages(&Elevations::new(answer, &standing, context), context));
    if let Some(section) = Section::new(answer, &standing, context) {
        set.extend(figure::pages(&section, context));
    }
    set.extend(figure::pages(&Isometric::new(roof, &standing, context), context));
    if let Some(construction) = Construction::new(roof, context) {
        set.extend(figure::pages(&construction, context));
    }
    for detail in DetailFigure::all(answer, context.words) {
        set.extend(figure::pages(&detail, context));
    }
    let groups = face::groups(roof, &answer.openings);
    let layouts = take_off.map_or(&[][..], |take_off| &take_off.layouts);
    for (id, alike) in &face::groups_as_laid(roof, &answer.openings, layouts) {
        let layout = take_off.and_then(|take_off| take_off.layouts.iter().find(|layout| layout.face == *id));
        let laid = layout.map_or(face::Laid::Bare, |layout| {
            face::Laid::of(layout, &job.covering_of(&roof.faces[id.index()]).card.covering)
        });
        if let Some(shape) = face::FaceShape::new(answer, *id, laid, alike, context.words) {
            set.extend(figure::pages(&shape, context));
        }
    }
    let card = |plan: &PiecePlan| &job.covering_of(&roof.faces[plan.face.index()]).card;
    let plans = |plans: fn(&TakeOff) -> &[PiecePlan]| rows::groups(roof, &groups, take_off.map_or(&[], plans));
    let deck: Vec<_> = plans(|take_off| &take_off.deck_plans)
        .into_iter()
        .filter_map(|(plan, alike)| {
            Some((rows::Rows::deck(plan, card(plan).deck.as_ref()?.kind, context.words), alike))
        })
        .collect();
    let underlay: Vec<_> = plans(|take_off| &take_off.underlay_plans)
        .into_iter()
        .map(|(plan, alike)| (rows::Rows::underlay(roof, plan, context.words), alike))
        .collect();
    let layers = take_off.iter().flat_map(|take_off| take_off.felt.layers());
    let felt: Vec<_> = layers
        .flat_map(|(layer, laid)| {
            let plans = rows::groups(roof, &groups, &laid.plans).into_iter();
            plans.map(move |(plan, alike)| (rows::Rows::felt(layer, plan, context.words), alike))
        })
        .collect();
    for (rows, alike) in deck.iter().chain(&underlay).chain(&felt) {
        let laid = face::Laid::Rows(rows);
        if let Some(shape) = face::FaceShape::new(answer, rows.plan.face, laid, alike, context.words) {
            set.extend(figure::pages(&shape, context));
        }
    }
    if let Some(timbers) = TimberPlan::of(answer) {
        set.extend(figure::pages(&timbers, context));
    }
    let pieces = TimberPiece::all(&answer.framing).into_iter().chain(TimberPiece::templates(&answer.framing));
    set.extend(pieces.flat_map(|piece| figure::pages(&piece, context)));
    for group in cut::groups(&answer.framing.folds) {
        set.extend(figure::pages(&group, context));
    }
    if body.closed {
        let net = NetSheets::of(roof, &body, context);
        for sheet in net.iter().flat_map(NetSheets::figures) {
            set.extend(figure::pages(&sheet, context));
        }
    }
    set.extend(photos.iter().map(|photo| photo_page::page(photo, answer, context)));
    number_pages(&mut set);
    set
}

/// A file to write: its name and its bytes.
pub type File = (String, Vec<u8>);

/// The files of one drawing: an SVG, and a DXF in this unit unless it shows a photo, which has no place in a drawing to scale.
#[must_use]
pub(crate) fn draw_one(drawing: &Drawing, unit: LengthUnit) -> Vec<File> {
    let mut files = vec![(format!("{}.svg", drawing.name), svg(drawing, Setting::Document).into_bytes())];
    if !drawing.items.iter().any(|item| matches!(item, Item::Photo(_))) {
        files.push((format!("{}.dxf", drawing.name), dxf::drawing(drawing, unit).into_bytes()));
    }
    files
}

/// The timbers of a roof for a saw, in millimetres or inches; `None` where none are worked out.
#[must_use]
pub(crate) fn pieces(answer: &Answer, unit: LengthUnit) -> Option<File> {
    let unit = if unit.is_imperial() { LengthUnit::Inch } else { LengthUnit::Millimetre };
    Some(("pieces.dxf".to_owned(), dxf_pieces::pieces(&answer.framing, unit)?.into_bytes()))
}

/// A set of drawings as files: those of each, and one PDF of all.
///
/// # Errors
/// [`pdf::PdfError`] when the PDF cannot be put together.
pub fn draw_all(drawings: &[Drawing], title: &str, unit: LengthUnit) -> Result<Vec<File>, pdf::PdfError> {
    let mut files: Vec<File> = drawings.iter().flat_map(|drawing| draw_one(drawing, unit)).collect();
    files.push(("drawings.pdf".to_owned(), pdf::pdf(drawings, title)?));
    Ok(files)
}
