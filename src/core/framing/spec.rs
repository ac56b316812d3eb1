//! What the carpenter decides: sections, spacing, how rafters sit on the plate.

/// Default spacing of rafters, metres: 0.60 m (common practice, no source).
pub const SPACING: f64 = 0.60;

/// A timber's cross-section, metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    /// Level, across the timber.
    pub thickness: f64,
    /// Square to its length, in the plumb plane along it.
    pub depth: f64,
}

impl Section {
    /// Of a thickness and a depth, metres.
    #[must_use]
    pub const fn new(thickness: f64, depth: f64) -> Self {
        Self { thickness, depth }
    }
}

/// What timbers are cut to, metres. Nothing here is a structural design: sections are the engineer's.
#[derive(Clone, Debug, PartialEq)]
pub struct FramingSpec {
    /// Centre to centre of rafters, level along the eave.
    pub spacing: f64,
    /// Sections by kind.
    pub sections: Sections,
    /// Plumb height of the rafters' tops over the plate's outer upper edge; `None`: by the block's own height of the roof
    /// plane above the plate, and where that is 0 so that the steepest rafter is notched by a third.
    pub heel: Option<f64>,
    /// Level, from the plate's outer edge to the cut at the rafters' feet; `None`: up to the fascia.
    pub tail: Option<f64>,
    /// Level, from the fascia's front (the rafters' feet where there is no fascia) out to the drip edge.
    pub projection: f64,
    /// Whether rafters are notched over the plate.
    pub birdsmouth: bool,
    /// Whether hips are planed to both slopes; else they are lowered.
    pub backed: bool,
    /// Thickness of a level board from the fascia's lower edge back to the wall; `None`: none.
    pub soffit: Option<f64>,
    /// Thickness of the walls under the plates; `None`: not stated.
    pub wall: Option<f64>,
    /// Where purlins lie under the rafters, up the slope from the eave; lines alone, sizes are an engineer's.
    pub purlins: Vec<f64>,
    /// Where collars tie rafters that meet at a ridge, plumb above the higher of both eaves; lines alone.
    pub collar: Option<f64>,
    /// Lengths that timber comes in, shortest first; empty: any.
    pub stock: Vec<f64>,
    /// Faces whose rafters are set out otherwise.
    pub grids: Vec<GridSpec>,
}

/// Sections by kind. `None`: there is no such timber, but for the rafter, the hip and the valley, which are then as
/// [`Sections::ASSUMED`] says.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Sections {
    /// Rafters and jacks, and trimmers round openings.
    pub rafter: Option<Section>,
    /// Hip rafters; `None`: as rafters.
    pub hip: Option<Section>,
    /// Valley rafters; `None`: as rafters.
    pub valley: Option<Section>,
    /// The board between rafters at the ridge; `None`: none.
    pub ridge: Option<Section>,
    /// Wall plates; `None`: none listed.
    pub plate: Option<Section>,
    /// Boards over the rafters' feet and along verges; `None`: none.
    pub fascia: Option<Section>,
}

impl Sections {
    /// A rafter for which the file gives no section: 50 × 150 mm (common practice, no source), so that lengths and cuts are
    /// those of a real piece.
    pub const ASSUMED: Section = Section::new(0.050, 0.150);

    /// The rafters' section.
    #[must_use]
    pub fn rafter(&self) -> Section {
        self.rafter.unwrap_or(Self::ASSUMED)
    }

    /// The hips' section.
    #[must_use]
    pub fn hip(&self) -> Section {
        self.hip.unwrap_or_else(|| self.rafter())
    }

    /// The valleys' section.
    #[must_use]
    pub fn valley(&self) -> Section {
        self.valley.unwrap_or_else(|| self.rafter())
    }

    /// How thick what stands between rafters at the ridge is, metres.
    #[must_use]
    pub fn ridge_thickness(&self) -> f64 {
        self.ridge.map_or(0.0, |ridge| ridge.thickness)
    }

    /// How thick the fascia is, metres.
    #[must_use]
    pub fn fascia_thickness(&self) -> f64 {
        self.fascia.map_or(0.0, |fascia| fascia.thickness)
    }
}

impl Default for FramingSpec {
    fn default() -> Self {
        Self {
            spacing: SPACING,
            sections: Sections::default(),
            heel: None,
            tail: None,
            projection: 0.0,
            birdsmouth: true,
            backed: true,
            soffit: None,
            wall: None,
            purlins: Vec::new(),
            collar: None,
            stock: Vec::new(),
            grids: Vec::new(),
        }
    }
}

/// How the rafters of one face are set out; what is `None` is as for all.
#[derive(Clone, Debug, PartialEq)]
pub struct GridSpec {
    /// The face's name.
    pub face: String,
    /// Centre to centre, metres.
    pub spacing: Option<f64>,
    /// Which end of its eave counting starts from.
    pub from: Option<GridEnd>,
    /// The first centre, level metres along the eave from that end.
    pub first: Option<f64>,
}

/// An end of a face's eave, seen from outside.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GridEnd {
    /// The left one.
    Left,
    /// The right one.
    Right,
}
