//! Re-roofing: what comes off, what of the deck is renewed, what stays.

use super::model::OldRoof;
use crate::base::diagnostic::Note;

/// What comes off.
#[derive(Clone, Debug, PartialEq)]
pub struct OldRoofAnswer {
    /// What it is, in the user's words.
    pub kind: String,
    /// Layers to strip.
    pub layers: u32,
    /// Square metres of roof.
    pub area: f64,
    /// Kilograms, all layers.
    pub weight: f64,
    /// Cubic metres, loose in a skip.
    pub skip_volume: f64,
    /// Deck to renew, square metres.
    pub deck_to_renew: f64,
    /// What stays.
    pub stays: Vec<String>,
}

/// What comes off a roof of this area, and what to mind about it.
#[must_use]
pub fn strip_off(old: &OldRoof, area: f64) -> (OldRoofAnswer, Vec<Note>) {
    let layers = f64::from(old.layers);
    let answer = OldRoofAnswer {
        kind: old.kind.clone(),
        layers: old.layers,
        area,
        weight: area * layers * old.weight,
        skip_volume: area * layers * old.loose_thickness,
        deck_to_renew: area * old.deck_share,
        stays: old.stays.clone(),
    };
    let note = |code: &'static str, message: String| Note { code, message, faces: Vec::new() };
    let mut notes = vec![note(
        "strip-what-you-can-dry-in",
        "strip no more than can be covered again the same day, and renew old flashings (common practice, no source); \
         spread packs along the ridge, never in one place"
            .to_owned(),
    )];
    if old.asbestos_possible {
        notes.push(note(
            "asbestos-test-first",
            "old sheets, shingles and felts may hold asbestos: have them tested before anything is stripped, cut or broken; \
             where they do, the work belongs to a licensed firm (40 CFR 61 subpart M, appendix A, for its classes; local law \
             comes first)"
                .to_owned(),
        ));
    }
    if old.layers >= 2 {
        notes.push(note(
            "two-layers-come-off",
            format!(
                "{} layers lie there: nothing is laid over two layers, over tiles or slates, or on a soaked or sagging deck \
                 (common practice, no source): strip to the deck",
                old.layers
            ),
        ));
    }
    (answer, notes)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_layers_weigh_twice_and_bring_their_cautions() {
        let old = OldRoof {
            kind: "bitumen shingles".into(),
            layers: 2,
            weight: 10.0,
            loose_thickness: 0.02,
            deck_share: 0.25,
            asbestos_possible: true,
            stays: vec!["gutters".into()],
        };
        let (answer, notes) = strip_off(&old, 40.0);
        assert_eq!((answer.weight, answer.deck_to_renew), (800.0, 10.0));
        assert!((answer.skip_volume - 1.6).abs() < 1e-12);
        let codes: Vec<_> = notes.iter().map(|note| note.code).collect();
        assert_eq!(codes, ["strip-what-you-can-dry-in", "asbestos-test-first", "two-layers-come-off"]);
    }
}
