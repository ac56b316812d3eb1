//! What a roof asks for and its card has no goods for: the reason why there is no such step.

use super::site::Site;
use crate::roof::EdgeKind;
use crate::takeoff::finding::{Finding, Goods};

pub(super) fn findings(site: &Site<'_>) -> Vec<Finding> {
    let card = site.card();
    // Roll felt goes over ridges itself, and its base layer lies where others have underlay.
    let is_felt = site.is_felt();
    let at = |goods: Goods, is_missing: bool, kinds: &[EdgeKind]| {
        let edges: Vec<_> = kinds.iter().flat_map(|kind| site.edges(*kind)).collect();
        (is_missing && !edges.is_empty()).then(|| Finding::NotOnCard { goods, faces: site.faces_at(&edges) })
    };
    let openings: Vec<_> = site.input.openings.iter().map(|opening| opening.face).collect();
    let no_flashing = card.abutment_flashing.is_none();
    let flashing = at(Goods::Flashing, no_flashing, &[EdgeKind::Abutment]).or_else(|| {
        let mut faces = openings.clone();
        faces.dedup();
        (no_flashing && !is_felt && !faces.is_empty()).then_some(Finding::NotOnCard { goods: Goods::Flashing, faces })
    });
    let everywhere =
        |goods: Goods, is_missing: bool| is_missing.then(|| Finding::NotOnCard { goods, faces: site.all_faces() });
    [
        at(Goods::ValleyLining, card.valley_lining.is_none() && !is_felt, &[EdgeKind::Valley]),
        at(Goods::Caps, card.caps.is_none() && !is_felt, &[EdgeKind::Ridge, EdgeKind::Hip]),
        flashing,
        at(Goods::EaveMetal, card.eave_strip.is_none(), &[EdgeKind::Eave]),
        // Pieces of their own close verges without metal.
        at(Goods::VergeMetal, card.verge_strip.is_none() && card.verge_units.is_none(), &[EdgeKind::Verge]),
        at(Goods::VergeMetal, card.verge_strip.is_none(), &[EdgeKind::Top]),
        everywhere(Goods::Fixings, card.nails.is_none()),
        everywhere(Goods::Underlay, card.underlay.is_none() && !is_felt),
    ]
    .into_iter()
    .flatten()
    .collect()
}
