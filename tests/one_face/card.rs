//! The default card, written out so that tests of the take-off need no card reader.
#![allow(dead_code)]

use eavewright::takeoff::card::*;
use eavewright::takeoff::goods::*;
use eavewright::takeoff::model::{Covering, Laying, Prices, Waste};

/// The invented default strip with all its goods.
pub fn strip_card() -> Card {
    let cp = || "common practice".to_owned();
    Card {
        name: "strip-shingle".into(),
        title: "Bitumen strip shingle, three rectangular tabs".into(),
        covering: CoveringKind::Strip(Strip {
            width: 1.0,
            height: 0.333,
            tabs: 3,
            tab: TabShape::Rectangular,
            cutout: 0.143,
            gauge: 0.143,
            head_lap: 0.045,
            gauge_shrink: 0.005,
            eave_projection: 0.008,
            verge_projection: 0.008,
            pack: 14,
            pack_name: "bundle".into(),
            weight: 1.35,
            verge_starter: false,
            peel: false,
            bend_above: Some(10.0),
        }),
        min_pitch: vec![
            MinPitch { pitch: 15_f64.to_radians(), rafter_to: Some(10.0), source: "German guidance, quoted".into() },
            MinPitch { pitch: 20_f64.to_radians(), rafter_to: None, source: "German guidance, quoted".into() },
        ],
        max_run: vec![MaxRun { run: 16.5, source: "DTU 40.14 art. 4.1".into() }],
        deck_min: vec![DeckMin { thickness: 0.018, spacing_to: 0.6, source: cp() }],
        other_fixing: Some(PitchLimit { pitch: 21_f64.atan2(12.0), source: "IRC R905.2".into() }),
        caps: Some(Caps {
            length: 0.333,
            exposure: 0.143,
            half_cover: 0.141,
            per_strip: Some(3),
            pack: None,
            weight: None,
            source: cp(),
        }),
        nails: Some(Nails {
            rules: vec![
                NailRule { pitch_from: 0.0, exposure: None, per_piece: 4.0, source: "IRC R905.2".into() },
                NailRule { pitch_from: 0.0, exposure: Some(Exposure::Exposed), per_piece: 6.0, source: cp() },
                NailRule { pitch_from: 60_f64.to_radians(), exposure: None, per_piece: 6.0, source: cp() },
            ],
            per_cap: 2,
            per_starter_metre: 4.0,
            least: 2,
            spare: 0.05,
            pack: 2000,
            pack_name: "box".into(),
            weight: 0.0018,
        }),
        underlay: Some(Underlay {
            width: 1.0,
            length: 7.5,
            laps: vec![
                LapByPitch { pitch_from: 0.0, lap: 0.5, source: cp() },
                LapByPitch { pitch_from: 20_f64.to_radians(), lap: 0.1, source: cp() },
            ],
            double_below: Some(4_f64.atan2(12.0)),
            end_lap: 0.1,
            over: 0.15,
            upstand: 0.1,
            ice_inside: None,
            weight: 1.2,
        }),
        eave_strip: Some(EdgeStrip { piece: 2.0, lap: 0.05, weight: 0.55 }),
        verge_strip: Some(EdgeStrip { piece: 2.0, lap: 0.05, weight: 0.55 }),
        adhesive: Some(Adhesive {
            tube: 3e-4,
            dab: 2.4e-6,
            per_tab: 1.0,
            per_cap: 2.0,
            per_starter_metre: 3.0,
            per_bedded_metre: 10.0,
            weight: 0.4,
            source: cp(),
        }),
        valley_lining: Some(ValleyLining {
            width: 0.61,
            piece: 2.0,
            lap: 0.15,
            clear: 0.075,
            widen: 0.005,
            weight: 2.5,
            source: "IRC R905.2".into(),
        }),
        abutment_flashing: Some(AbutmentFlashing {
            piece: 2.0,
            lap: 0.1,
            upstand: 0.15,
            cover: 0.15,
            weight: 1.1,
            source: cp(),
        }),
        deck: Some(Deck {
            kind: DeckKind::Boards,
            width: 0.12,
            length: 4.0,
            thickness: 0.02,
            spacing: 0.6,
            weight: 9.0,
        }),
        rain_goods: Some(RainGoods {
            gutter_piece: 3.0,
            outlet_drains: 37.0,
            source: "printed table".into(),
            board: 4.0,
        }),
    }
}

/// A covering of a card, from the layout, without prices.
pub fn covering(card: Card) -> Covering {
    Covering { card, waste: Waste::Layout, laying: Laying::default(), prices: Prices::default(), old_roof: None }
}
