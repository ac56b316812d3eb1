//! What the take-off found, as data: rules of the card that are met or not, what was done for the user, what is missing.
//! `wording` makes sentences of it. Lengths are metres, angles radians; [`crate::base::finding::Finding::values`] gives degrees.

use super::card::OwnValue;
pub use super::lacking::Goods;
use super::model::ValleyMethod;
use super::work::Kind;
use crate::base::ids::FaceId;

/// A finding of the take-off.
#[derive(Clone, Debug, PartialEq)]
pub enum Finding {
    /// Faces whose area the measurements do not determine: nothing is ordered before it is.
    AreaNotDetermined {
        /// The faces, by their numbers in the roof.
        faces: Vec<FaceId>,
    },
    /// Flatter than the card allows.
    PitchBelowMinimum {
        /// The faces, all of one pitch and rafter.
        faces: Vec<FaceId>,
        /// Their pitch.
        pitch: f64,
        /// Their length up the slope.
        rafter: f64,
        /// The least pitch for a rafter of this length.
        least: f64,
        /// Where the rule comes from.
        source: String,
    },
    /// Longer than the card allows.
    RunTooLong {
        /// The faces, all of one run.
        faces: Vec<FaceId>,
        /// Their level run.
        run: f64,
        /// The longest run.
        most: f64,
        /// Where the rule comes from.
        source: String,
    },
    /// Steeper than the usual nails hold.
    SteepFixing {
        /// The faces, all of one pitch.
        faces: Vec<FaceId>,
        /// Their pitch.
        pitch: f64,
        /// The steepest for usual fixing.
        limit: f64,
        /// What is fixed.
        kind: Kind,
        /// Where the rule comes from.
        source: String,
    },
    /// Underlay in two layers.
    UnderlayDoubled {
        /// The faces, all of one pitch.
        faces: Vec<FaceId>,
        /// Their pitch.
        pitch: f64,
        /// Below this pitch every point lies under two layers.
        limit: f64,
    },
    /// The head lap of the underlay.
    UnderlayLap {
        /// The faces, by their numbers in the roof.
        faces: Vec<FaceId>,
        /// Their pitches, each once.
        pitches: Vec<f64>,
        /// The lap, metres.
        lap: f64,
        /// Where the rule comes from.
        source: String,
    },
    /// The deck is thinner than its bearers ask for.
    DeckTooThin {
        /// Its thickness, metres.
        thickness: f64,
        /// Of its bearers, centre to centre.
        spacing: f64,
        /// The least thickness.
        least: f64,
        /// That holds for bearers up to this far apart.
        spacing_to: f64,
        /// Where the rule comes from.
        source: String,
    },
    /// Bearers further apart than any rule of the card reaches.
    BearersTooFar {
        /// Centre to centre.
        spacing: f64,
    },
    /// Free area of vents over a ceiling.
    Ventilation {
        /// Area of the ceiling, square metres.
        ceiling: f64,
        /// Free area, square metres.
        full: f64,
        /// Free area where half to four fifths of it is high up, square metres.
        shared: f64,
        /// Least air gap.
        gap: f64,
    },
    /// No ceiling is given, so no vents are worked out.
    VentilationNotAsked,
    /// The card's gauge is larger than its own piece allows.
    GaugeTooLarge {
        /// As the card states it.
        gauge: f64,
        /// Depth of its cutouts.
        cutout: f64,
        /// Its head lap, metres.
        head_lap: f64,
        /// What these allow, which is used.
        used: f64,
    },
    /// The gauge was closed up so that whole courses reach the ridge.
    GaugeClosedUp {
        /// The faces, by their numbers in the roof.
        faces: Vec<FaceId>,
        /// From what the card and pitch allow.
        from: f64,
        /// To what is laid.
        to: f64,
    },
    /// Courses of two faces do not meet at the hip between them.
    CoursesDoNotMeet {
        /// The faces of each such hip.
        pairs: Vec<[FaceId; 2]>,
    },
    /// Upright ends narrower than the least that no bond avoids.
    NarrowEnds {
        /// The faces, each with as many.
        faces: Vec<FaceId>,
        /// How many on each.
        count: usize,
        /// The least width.
        least: f64,
    },
    /// The last course stands over the ridge and is folded down.
    FoldOverRidge {
        /// Each face and by how much.
        over: Vec<(FaceId, f64)>,
    },
    /// The material does not bend: valleys are open whatever was asked for.
    ValleyStaysOpen {
        /// The card's title.
        material: String,
        /// What was asked for.
        asked: ValleyMethod,
    },
    /// Strips too short to run through valleys, whose joints would come too near each other: valleys are open.
    StripsShortForValley {
        /// Of a strip.
        width: f64,
        /// The least that runs through.
        least: f64,
        /// What was asked for.
        asked: ValleyMethod,
    },
    /// Pitches differ at valleys that should be woven: they are closed-cut.
    ValleyNotWoven {
        /// The faces of each such valley.
        pairs: Vec<[FaceId; 2]>,
    },
    /// Valleys, or parts of them, that had no room for the way asked for.
    ValleyNoRoom {
        /// What was asked for.
        asked: ValleyMethod,
        /// How far a strip runs past the centre.
        room: f64,
        /// What is made otherwise.
        parts: Vec<ValleyPart>,
    },
    /// An edge of the roof that the card has no goods for: nothing is ordered and nothing laid there.
    NotOnCard {
        /// What is missing.
        goods: Goods,
        /// The faces it would be laid on.
        faces: Vec<FaceId>,
    },
    /// What lies there may hold asbestos.
    AsbestosTestFirst,
    /// Several layers lie there.
    LayersComeOff {
        /// How many.
        layers: u32,
    },
    /// Eaves that leave the level by a few millimetres, each laid as one level line.
    EavesLaidLevel {
        /// Each of them.
        eaves: Vec<UnevenEave>,
    },
    /// Slopes that run down against a wall.
    DrainsAgainstWall {
        /// The faces, by their numbers in the roof.
        faces: Vec<FaceId>,
        /// Plan area whose water comes to the wall, square metres.
        area: f64,
    },
    /// What is said to stay and is no line of the order.
    StaysNotOnOrder {
        /// In the user's words.
        said: Vec<String>,
    },
    /// Values of the roof file that hold in place of the card's.
    OwnValues {
        /// Each of them.
        values: Vec<OwnValue>,
    },
    /// A repair of what is not laid in courses.
    RepairNotInCourses {
        /// The face.
        faces: Vec<FaceId>,
    },
    /// A repair of a face that the roof does not have.
    RepairNoFace {
        /// The name it was given.
        face: String,
    },
    /// A repair that lies beside its face.
    RepairOutside {
        /// The face.
        faces: Vec<FaceId>,
        /// Courses it has.
        courses: usize,
        /// The course asked for; 0 where a place was.
        asked: f64,
    },
    /// In a comparison: the highest point lies above what planning allows.
    OverPlanningHeight {
        /// Of the highest point above datum.
        height: f64,
        /// The most.
        most: f64,
    },
    /// In a comparison: the roof has no answer at this pitch, for the reasons beside it.
    PitchNotSolved,
    /// Prices of what is paid for with another line.
    PriceNotUsed {
        /// Items of the take-off.
        items: Vec<String>,
    },
    /// Prices by the piece of what comes in several lengths, of which one was chosen.
    PriceByPiece {
        /// Items of the take-off, each with the length chosen.
        pieces: Vec<(String, f64)>,
    },
}

/// A part of a valley that is made in another way than asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct ValleyPart {
    /// How it is made.
    pub made: ValleyMethod,
    /// Its faces; of a closed-cut valley the one that runs through first.
    pub faces: Vec<FaceId>,
    /// From where to where up the valley, metres; `None`: all along.
    pub stretch: Option<[f64; 2]>,
}

impl Finding {
    /// Whether a step of the work tells it where it is done, with all its numbers: a list beside the steps may leave it out.
    #[must_use]
    pub fn stands_in_a_step(&self) -> bool {
        matches!(self, Self::FoldOverRidge { .. } | Self::UnderlayLap { .. })
    }

    /// Whether it makes the roof unsuitable for its covering.
    #[must_use]
    pub fn is_unsuitable(&self) -> bool {
        matches!(self, Self::PitchBelowMinimum { .. } | Self::RunTooLong { .. })
    }

    /// The faces, where it is about one list of them, to which more can be added.
    pub(crate) fn faces_mut(&mut self) -> Option<&mut Vec<FaceId>> {
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
            | Self::NotOnCard { faces, .. } => Some(faces),
            _ => None,
        }
    }

    /// Adds a finding about a face; faces of which the same is found share one. `finding` has one face or none.
    pub fn add(findings: &mut Vec<Self>, mut finding: Self) {
        let faces = finding.faces_mut().map(std::mem::take).unwrap_or_default();
        let without = finding.clone();
        let same = findings.iter_mut().find(|other| {
            let mut bare = (*other).clone();
            bare.faces_mut().map(std::mem::take).is_some() && bare == without
        });
        match same.and_then(Self::faces_mut) {
            Some(known) => known.extend(faces),
            None => {
                if let Some(own) = finding.faces_mut() {
                    *own = faces;
                }
                findings.push(finding);
            }
        }
    }
}

/// An eave that leaves the level and is laid as one level line, metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UnevenEave {
    /// The face it is the eave of.
    pub face: FaceId,
    /// How much one end lies lower.
    pub by: f64,
    /// How far the covering stands over the deck where it does least.
    pub least: f64,
    /// Where it does most.
    pub most: f64,
}
