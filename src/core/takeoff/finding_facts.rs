//! Codes, weights, faces and numbers of the take-off's findings.

use super::finding::{Finding, Goods, UnevenEave};
use crate::base::finding::{self, Severity};
use crate::base::ids::FaceId;
use std::collections::BTreeSet;

impl finding::Finding for Finding {
    fn code(&self) -> &'static str {
        match self {
            Self::AreaNotDetermined { .. } => "area-not-determined",
            Self::PitchBelowMinimum { .. } => "pitch-below-minimum",
            Self::RunTooLong { .. } => "run-too-long",
            Self::SteepFixing { .. } => "steep-fixing",
            Self::UnderlayDoubled { .. } | Self::UnderlayLap { .. } => "underlay-lap",
            Self::DeckTooThin { .. } => "deck-too-thin",
            Self::BearersTooFar { .. } => "deck-bearers-too-far",
            Self::Ventilation { .. } | Self::VentilationNotAsked => "ventilation",
            Self::GaugeTooLarge { .. } => "gauge-too-large",
            Self::GaugeClosedUp { .. } => "gauge-closed-up",
            Self::CoursesDoNotMeet { .. } => "courses-do-not-meet",
            Self::NarrowEnds { .. } => "narrow-ends",
            Self::FoldOverRidge { .. } => "fold-over-ridge",
            Self::ValleyStaysOpen { .. } | Self::StripsShortForValley { .. } => "valley-open",
            Self::ValleyNotWoven { .. } => "valley-not-woven",
            Self::ValleyNoRoom { .. } => "valley-no-room",
            Self::NotOnCard { .. } => "not-on-card",
            Self::AsbestosTestFirst => "asbestos-test-first",
            Self::LayersComeOff { .. } => "two-layers-come-off",
            Self::EavesLaidLevel { .. } => "eave-laid-level",
            Self::DrainsAgainstWall { .. } => "drains-against-wall",
            Self::StaysNotOnOrder { .. } => "stays-not-on-order",
            Self::PitchNotSolved => "pitch-not-solved",
            Self::PriceNotUsed { .. } => "price-not-used",
            Self::PriceByPiece { .. } => "price-by-piece",
            Self::RepairNotInCourses { .. } => "repair-not-in-courses",
            Self::RepairOutside { .. } => "repair-outside",
            Self::RepairNoFace { .. } => "repair-no-face",
            Self::OwnValues { .. } => "your-values",
            Self::OverPlanningHeight { .. } => "over-planning-height",
        }
    }

    fn severity(&self) -> Severity {
        match self {
            Self::AreaNotDetermined { .. }
            | Self::PitchBelowMinimum { .. }
            | Self::RunTooLong { .. }
            | Self::PitchNotSolved
            | Self::RepairNotInCourses { .. }
            | Self::RepairOutside { .. }
            | Self::RepairNoFace { .. }
            | Self::AsbestosTestFirst => Severity::Stop,
            Self::DeckTooThin { .. }
            | Self::BearersTooFar { .. }
            | Self::DrainsAgainstWall { .. }
            | Self::OverPlanningHeight { .. } => Severity::Doubt,
            Self::SteepFixing { .. }
            | Self::GaugeTooLarge { .. }
            | Self::GaugeClosedUp { .. }
            | Self::CoursesDoNotMeet { .. }
            | Self::NarrowEnds { .. }
            | Self::ValleyStaysOpen { .. }
            | Self::StripsShortForValley { .. }
            | Self::ValleyNotWoven { .. }
            | Self::ValleyNoRoom { .. }
            | Self::LayersComeOff { .. }
            | Self::EavesLaidLevel { .. }
            | Self::StaysNotOnOrder { .. }
            | Self::OwnValues { .. }
            | Self::PriceNotUsed { .. }
            | Self::PriceByPiece { .. } => Severity::Mind,
            Self::NotOnCard { goods, .. } => match goods {
                Goods::ValleyLining | Goods::Caps | Goods::Flashing | Goods::Fixings => Severity::Mind,
                Goods::EaveMetal | Goods::VergeMetal | Goods::Underlay => Severity::Note,
            },
            Self::UnderlayDoubled { .. }
            | Self::UnderlayLap { .. }
            | Self::Ventilation { .. }
            | Self::VentilationNotAsked
            | Self::FoldOverRidge { .. } => Severity::Note,
        }
    }

    fn faces(&self) -> Vec<FaceId> {
        let once = |faces: Vec<FaceId>| {
            let mut seen = BTreeSet::new();
            faces.into_iter().filter(|face| seen.insert(*face)).collect()
        };
        match self {
            Self::AreaNotDetermined { faces }
            | Self::PitchBelowMinimum { faces, .. }
            | Self::RunTooLong { faces, .. }
            | Self::SteepFixing { faces, .. }
            | Self::UnderlayDoubled { faces, .. }
            | Self::UnderlayLap { faces, .. }
            | Self::GaugeClosedUp { faces, .. }
            | Self::NarrowEnds { faces, .. }
            | Self::DrainsAgainstWall { faces, .. }
            | Self::RepairNotInCourses { faces }
            | Self::RepairOutside { faces, .. }
            | Self::NotOnCard { faces, .. } => faces.clone(),
            Self::EavesLaidLevel { eaves } => eaves.iter().map(|eave| eave.face).collect(),
            Self::CoursesDoNotMeet { pairs } | Self::ValleyNotWoven { pairs } => once(pairs.concat()),
            Self::FoldOverRidge { over } => over.iter().map(|(face, _)| *face).collect(),
            Self::ValleyNoRoom { parts, .. } => once(parts.iter().flat_map(|part| part.faces.clone()).collect()),
            Self::DeckTooThin { .. }
            | Self::BearersTooFar { .. }
            | Self::Ventilation { .. }
            | Self::VentilationNotAsked
            | Self::GaugeTooLarge { .. }
            | Self::ValleyStaysOpen { .. }
            | Self::StripsShortForValley { .. }
            | Self::AsbestosTestFirst
            | Self::LayersComeOff { .. }
            | Self::StaysNotOnOrder { .. }
            | Self::PitchNotSolved
            | Self::OwnValues { .. }
            | Self::OverPlanningHeight { .. }
            | Self::RepairNoFace { .. }
            | Self::PriceNotUsed { .. }
            | Self::PriceByPiece { .. } => Vec::new(),
        }
    }

    fn values(&self) -> Vec<(&'static str, f64)> {
        match self {
            Self::PitchBelowMinimum { pitch, rafter, least, .. } => {
                vec![("pitch", pitch.to_degrees()), ("rafter", *rafter), ("least", least.to_degrees())]
            }
            Self::RunTooLong { run, most, .. } => vec![("run", *run), ("most", *most)],
            Self::SteepFixing { pitch, limit, .. } | Self::UnderlayDoubled { pitch, limit, .. } => {
                vec![("pitch", pitch.to_degrees()), ("limit", limit.to_degrees())]
            }
            Self::UnderlayLap { pitches, lap, .. } => {
                let each = pitches.iter().map(|pitch| ("pitch", pitch.to_degrees()));
                std::iter::once(("lap", *lap)).chain(each).collect()
            }
            Self::DeckTooThin { thickness, spacing, least, spacing_to, .. } => {
                vec![("thickness", *thickness), ("spacing", *spacing), ("least", *least), ("spacing_to", *spacing_to)]
            }
            Self::BearersTooFar { spacing } => vec![("spacing", *spacing)],
            Self::Ventilation { ceiling, full, shared, gap } => {
                vec![("ceiling", *ceiling), ("full", *full), ("shared", *shared), ("gap", *gap)]
            }
            Self::GaugeTooLarge { gauge, cutout, head_lap, used } => {
                vec![("gauge", *gauge), ("cutout", *cutout), ("head_lap", *head_lap), ("used", *used)]
            }
            Self::GaugeClosedUp { from, to, .. } => vec![("from", *from), ("to", *to)],
            Self::NarrowEnds { count, least, .. } => vec![("count", *count as f64), ("least", *least)],
            Self::FoldOverRidge { over } => over.iter().map(|(_, by)| ("over", *by)).collect(),
            Self::ValleyNoRoom { room, parts, .. } => {
                let stretches = parts.iter().filter_map(|part| part.stretch);
                let each = stretches.flat_map(|[from, to]| [("from", from), ("to", to)]);
                std::iter::once(("room", *room)).chain(each).collect()
            }
            Self::EavesLaidLevel { eaves } => {
                let of = |eave: &UnevenEave| [("by", eave.by), ("over", eave.least), ("over", eave.most)];
                eaves.iter().flat_map(of).collect()
            }
            Self::DrainsAgainstWall { area, .. } => vec![("area", *area)],
            Self::LayersComeOff { layers } => vec![("layers", f64::from(*layers))],
            Self::OwnValues { values } => values
                .iter()
                .flat_map(|value| {
                    value.own.named("your").into_iter().chain(value.card.as_ref().and_then(|card| card.named("card")))
                })
                .collect(),
            Self::StripsShortForValley { width, least, .. } => vec![("width", *width), ("least_length", *least)],
            Self::PriceByPiece { pieces } => pieces.iter().map(|(_, length)| ("length", *length)).collect(),
            Self::RepairOutside { courses, asked, .. } => vec![("courses", *courses as f64), ("course", *asked)],
            Self::OverPlanningHeight { height, most } => vec![("height", *height), ("most_height", *most)],
            Self::AreaNotDetermined { .. }
            | Self::VentilationNotAsked
            | Self::RepairNotInCourses { .. }
            | Self::RepairNoFace { .. }
            | Self::CoursesDoNotMeet { .. }
            | Self::ValleyStaysOpen { .. }
            | Self::ValleyNotWoven { .. }
            | Self::NotOnCard { .. }
            | Self::AsbestosTestFirst
            | Self::StaysNotOnOrder { .. }
            | Self::PitchNotSolved
            | Self::PriceNotUsed { .. } => Vec::new(),
        }
    }
}
