//! Re-roofing: what comes off, what of the deck is renewed, what stays.

use super::finding::Finding;
use super::model::{OldRoof, WeightFrom};

/// What comes off.
#[derive(Clone, Debug, PartialEq)]
pub struct OldRoofAnswer {
    /// What it is, in the user's words.
    pub kind: String,
    /// Layers to strip; 0: it is stripped already.
    pub layers: u32,
    /// Square metres of roof.
    pub area: f64,
    /// Kilograms, all layers.
    pub weight: f64,
    /// Where the weight of a layer comes from.
    pub weight_from: WeightFrom,
    /// Cubic metres, loose in a skip.
    pub skip_volume: f64,
    /// Deck to renew, square metres.
    pub deck_to_renew: f64,
    /// What stays, in the user's words or as it usually does.
    pub stays: Vec<String>,
    /// Whether what stays was stated.
    pub stays_stated: bool,
    /// Whether it may hold asbestos.
    pub asbestos_possible: bool,
}

/// What comes off a roof of this area, and what that asks for first.
#[must_use]
pub(crate) fn strip_off(old: &OldRoof, area: f64) -> (OldRoofAnswer, Vec<Finding>) {
    let layers = f64::from(old.layers);
    let answer = OldRoofAnswer {
        kind: old.kind.clone(),
        layers: old.layers,
        area,
        weight: area * layers * old.weight,
        weight_from: old.weight_from,
        skip_volume: area * layers * old.loose_thickness,
        deck_to_renew: area * old.deck_share,
        stays: old.stays.iter().map(|stay| stay.said.clone()).collect(),
        stays_stated: old.stays_stated,
        asbestos_possible: old.asbestos_possible && old.layers > 0,
    };
    let asbestos = answer.asbestos_possible.then_some(Finding::AsbestosTestFirst);
    let several = (old.layers >= 2).then_some(Finding::LayersComeOff { layers: old.layers });
    let unknown: Vec<String> =
        old.stays.iter().filter(|stay| stay.items.is_empty()).map(|stay| stay.said.clone()).collect();
    let unknown = (!unknown.is_empty()).then_some(Finding::StaysNotOnOrder { said: unknown });
    (answer, asbestos.into_iter().chain(several).chain(unknown).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::takeoff::model::Stay;

    #[test]
    fn two_layers_weigh_twice_and_are_found() {
        let old = OldRoof {
            kind: "bitumen shingles".into(),
            layers: 2,
            weight: 10.0,
            weight_from: WeightFrom::Stated,
            loose_thickness: 0.02,
            deck_share: 0.25,
            asbestos_possible: true,
            stays: vec![Stay { said: "gutters".into(), items: vec!["gutter".into()] }],
            stays_stated: true,
        };
        let (answer, findings) = strip_off(&old, 40.0);
        assert_eq!((answer.weight, answer.deck_to_renew), (800.0, 10.0));
        assert!((answer.skip_volume - 1.6).abs() < 1e-12);
        assert_eq!(findings, [Finding::AsbestosTestFirst, Finding::LayersComeOff { layers: 2 }]);
        let one = OldRoof { layers: 1, asbestos_possible: false, ..old };
        assert!(strip_off(&one, 40.0).1.is_empty());
    }
}
