//! Pens: what a line means decides its weight, its pattern and its layer. Colour is the writers' business, and never the
//! only thing that tells one line from another.

use crate::roof::EdgeKind;

/// What a line stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Pen {
    /// Blank paper beside a line over a photo, so that it stands out on any ground; laid under all other lines.
    Casing,
    /// An edge of the roof.
    Edge(EdgeKind),
    /// An edge that another part hides.
    Hidden,
    /// A wall's visible edge below the roof.
    Wall,
    /// Material cut by the plane of a section.
    Section,
    /// The ground, or another datum.
    Ground,
    /// An opening's outline.
    Opening,
    /// The butt line of a course.
    Course,
    /// The end of a strip within a course.
    Joint,
    /// The edge of an underlay row or of a deck board.
    Row,
    /// A mark to cut at, or one set in a photo.
    Mark,
    /// Round a measurement to doubt.
    Doubt,
    /// A timber's outline.
    Timber,
    /// A timber's outline among others, in plan.
    Member,
    /// A fold of the net, bent away from the reader.
    Fold,
    /// A fold of the net, bent towards the reader.
    FoldTowards,
    /// A cut of the net.
    Snip,
    /// A glue tab of the net.
    Tab,
    /// The outline shrunk to a level.
    Level,
    /// Where the outline was before.
    Trace,
    /// A dimension line with its ticks and extension lines.
    Dimension,
    /// From a label to what it names.
    Leader,
    /// An arrow downslope, north, wind.
    Arrow,
    /// The page's frame and title block.
    Frame,
    /// Rules of tables.
    Rule,
}

impl Pen {
    /// Line weight, millimetres: the steps of ISO 128-2 (0.13, 0.18, 0.25, 0.35, 0.5, 0.7).
    #[must_use]
    pub fn weight(self) -> f64 {
        match self {
            Self::Casing => 1.4,
            Self::Edge(EdgeKind::Ridge) | Self::Section | Self::Frame | Self::Level => 0.7,
            Self::Edge(EdgeKind::Eave | EdgeKind::Verge | EdgeKind::Top | EdgeKind::Abutment)
            | Self::Snip
            | Self::Doubt => 0.5,
            Self::Edge(EdgeKind::Hip | EdgeKind::Valley | EdgeKind::Step)
            | Self::Ground
            | Self::Timber
            | Self::Mark => 0.35,
            Self::Edge(EdgeKind::PitchBreak | EdgeKind::Base | EdgeKind::Corner)
            | Self::Wall
            | Self::Opening
            | Self::Fold
            | Self::FoldTowards
            | Self::Tab
            | Self::Arrow => 0.25,
            Self::Hidden
            | Self::Course
            | Self::Row
            | Self::Member
            | Self::Dimension
            | Self::Leader
            | Self::Trace
            | Self::Rule => 0.18,
            Self::Joint => 0.13,
        }
    }

    /// Lengths of dash and gap in turn, millimetres; empty for a continuous line. No two kinds of roof edge share both
    /// weight and pattern.
    #[must_use]
    pub(crate) fn pattern(self) -> &'static [f64] {
        match self {
            Self::Edge(EdgeKind::Verge) => &[9.0, 1.2],
            Self::Edge(EdgeKind::Top) => &[9.0, 1.2, 1.2, 1.2],
            Self::Edge(EdgeKind::Abutment) => &[6.0, 1.0, 0.8, 1.0, 0.8, 1.0],
            Self::Edge(EdgeKind::Valley) => &[3.0, 1.2],
            Self::Edge(EdgeKind::Step) => &[1.4, 1.0],
            Self::Edge(EdgeKind::PitchBreak) => &[5.0, 1.0, 0.6, 1.0],
            Self::Hidden => &[1.6, 1.0],
            Self::Fold => &[4.0, 1.5],
            Self::FoldTowards => &[4.0, 1.0, 0.6, 1.0],
            Self::Trace => &[2.5, 1.2, 0.5, 1.2],
            _ => &[],
        }
    }

    /// The layer it is drawn on, in the trade's words.
    #[must_use]
    pub fn layer(self) -> &'static str {
        match self {
            Self::Casing => "casing",
            Self::Doubt => "doubt",
            Self::Edge(kind) => kind.word(),
            Self::Hidden => "hidden",
            Self::Wall => "wall",
            Self::Section => "section",
            Self::Ground => "ground",
            Self::Opening => "opening",
            Self::Course => "course",
            Self::Joint => "joint",
            Self::Row => "row",
            Self::Mark => "mark",
            Self::Timber => "timber",
            Self::Member => "member",
            Self::Fold => "fold",
            Self::FoldTowards => "fold-towards",
            Self::Snip => "cut",
            Self::Tab => "tab",
            Self::Level => "level",
            Self::Trace => "trace",
            Self::Dimension => "dimension",
            Self::Leader => "leader",
            Self::Arrow => "arrow",
            Self::Frame | Self::Rule => "frame",
        }
    }
}

/// What an area is filled for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Tone {
    /// A face's exact outline, blank on paper, for writers of real units.
    Shape,
    /// A roof face.
    Face,
    /// A roof face turned from the light.
    FaceShade,
    /// A wall.
    Wall,
    /// A wall turned from the light.
    WallShade,
    /// An opening.
    Opening,
    /// A glue tab.
    Tab,
    /// A caution's ground.
    Caution,
    /// A table's head.
    Head,
    /// Solid ink: arrow heads, the dark fields of a scale bar.
    Ink,
    /// The paper itself, under lettering.
    Paper,
}
