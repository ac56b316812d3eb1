//! What the window asks of the program around it. The window knows the core; reading and writing files is the command
//! line's to give.

use crate::base::diagnostic::{Diagnostic, Note};
use crate::base::ids::FaceId;
use crate::job::Job;
use crate::roof::Roof;
use crate::roof::solid::Solid;
use crate::survey::report::Report;
use crate::takeoff::compare::Row;
use crate::takeoff::layout::FaceLayout;
use std::ops::Range;
use std::path::Path;

/// Everything the window shows of a solved job.
#[derive(Clone, Debug)]
pub struct Answered {
    /// What the file says.
    pub job: Job,
    /// The verified roof.
    pub roof: Roof,
    /// Its closed solid, for pictures.
    pub solid: Solid,
    /// What was done or noticed.
    pub notes: Vec<Note>,
    /// The adjustment's account of itself.
    pub survey: Report,
    /// Standard deviation of each face's area, m²; empty where not asked for.
    pub area_sd: Vec<Option<f64>>,
    /// Standard deviation of each edge's length, m; empty where not asked for.
    pub length_sd: Vec<Option<f64>>,
    /// Standard deviation of the whole roof area, m².
    pub total_sd: Option<f64>,
    /// What to order.
    pub order: Vec<OrderLine>,
    /// How each face is covered, where laid out.
    pub layout: Vec<FaceLayout>,
    /// Warnings about the file.
    pub warnings: Vec<Diagnostic>,
}

impl Answered {
    /// The standard deviation of a face's area, m².
    #[must_use]
    pub fn sd_of(&self, face: FaceId) -> Option<f64> {
        self.area_sd.get(face.index()).copied().flatten()
    }

    /// Each face's relative standard deviation, where known.
    #[must_use]
    pub fn unsure(&self) -> Vec<Option<f64>> {
        let relative = |(face, sd): (&crate::roof::Face, &Option<f64>)| sd.map(|sd| sd / self.roof.area(face).0);
        self.roof.faces.iter().zip(&self.area_sd).map(relative).collect()
    }
}

/// A line of the order, for people.
#[derive(Clone, Debug, PartialEq)]
pub struct OrderLine {
    /// What.
    pub item: String,
    /// How much: "412 pieces".
    pub quantity: String,
    /// In packs, where it comes in packs: "20 bundles".
    pub packs: Option<String>,
}

/// A step into the file's document.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Step {
    /// A key of a table.
    Key(String),
    /// A place in a list, from 0.
    At(usize),
}

/// A change to the file. Comments, order and spelling of everything else stay as they are.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Edit {
    /// Sets a value as typed (a number stays a number, all else is text), or removes the key.
    Set {
        /// Where.
        at: Vec<Step>,
        /// What, or nothing.
        value: Option<String>,
    },
    /// Puts a copy of a list's entry after it.
    Repeat {
        /// The list.
        list: Vec<Step>,
        /// Which entry.
        index: usize,
    },
    /// Removes an entry of a list.
    Remove {
        /// The list.
        list: Vec<Step>,
        /// Which entry.
        index: usize,
    },
}

/// A value as it stands in the file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Field {
    /// As a person would type it: text without its quotes, numbers as written. Empty where the key is absent.
    pub text: String,
    /// Where it stands.
    pub span: Option<Range<usize>>,
}

/// What a side is, as the file writes it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum RoleWord {
    /// `pitch`.
    #[default]
    Eave,
    /// `verge = true`.
    Verge,
    /// `verge = true` with `hip_from`.
    HalfHip,
    /// `pitch` with `verge_from`.
    Gablet,
    /// `abutment = true`.
    Abutment,
}

impl RoleWord {
    /// All roles, in the order the window offers them.
    pub const ALL: [Self; 5] = [Self::Eave, Self::Verge, Self::HalfHip, Self::Gablet, Self::Abutment];

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Eave => "eave",
            Self::Verge => "verge",
            Self::HalfHip => "half-hip",
            Self::Gablet => "gablet",
            Self::Abutment => "abutment",
        }
    }
}

/// A side as it stands in the file.
#[derive(Clone, Debug, PartialEq)]
pub struct SideRow {
    /// Its place in the document.
    pub at: Vec<Step>,
    /// The whole of it.
    pub span: Option<Range<usize>>,
    /// `from`.
    pub name: String,
    /// `length`, or nothing where corners are given by place.
    pub length: Field,
    /// `turn`.
    pub turn: Field,
    /// `pitch`.
    pub pitch: Field,
    /// `at`, where corners are given by place.
    pub place: Option<String>,
    /// `hip_from` or `verge_from`.
    pub rise: Field,
    /// What it is.
    pub role: RoleWord,
}

/// A block as it stands in the file.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockRow {
    /// Its place in the document.
    pub at: Vec<Step>,
    /// Its name.
    pub name: String,
    /// `height`.
    pub height: Field,
    /// The list its sides stand in and the sides, ring by ring.
    pub rings: Vec<(Vec<Step>, Vec<SideRow>)>,
}

/// What the window asks of the program around it. Called from the window's thread, apart from [`Backend::answer`] and
/// [`Backend::compare`], which are called from a worker.
pub trait Backend: Send + Sync {
    /// Reads and solves a job, laid out and ordered for. `sure` asks for standard deviations too, which cost more.
    ///
    /// # Errors
    /// Everything that is wrong with it.
    fn answer(&self, text: &str, path: Option<&Path>, sure: bool) -> Result<Answered, Vec<Diagnostic>>;

    /// The blocks and sides as written; `None` while the text is no TOML.
    fn rows(&self, text: &str) -> Option<Vec<BlockRow>>;

    /// The text with one change made.
    ///
    /// # Errors
    /// Why not, in words.
    fn edit(&self, text: &str, edit: &Edit) -> Result<String, String>;

    /// A file's text.
    ///
    /// # Errors
    /// Why not, in words.
    fn read(&self, path: &Path) -> Result<String, String>;

    /// Writes a file whole.
    ///
    /// # Errors
    /// Why not, in words.
    fn write(&self, path: &Path, text: &str) -> Result<(), String>;

    /// Writes the roof as a model, a drawing or a sheet; the kind by the path's ending.
    ///
    /// # Errors
    /// Why not, in words.
    fn export(&self, answered: &Answered, path: &Path) -> Result<(), String>;

    /// Texts to begin from, by the name of their shape.
    fn shapes(&self) -> Vec<(String, String)>;

    /// Keeps unsaved text where a killed window's successor finds it; `None` forgets it.
    fn keep(&self, path: Option<&Path>, text: Option<&str>);

    /// Text kept by a window that was killed.
    fn kept(&self, path: Option<&Path>) -> Option<String>;

    /// The same job at other pitches, in degrees. Called from a thread of its own.
    ///
    /// # Errors
    /// Why nothing can be compared, in words.
    fn compare(&self, text: &str, path: Option<&Path>, degrees: &[f64]) -> Result<Vec<Row>, String>;
}
