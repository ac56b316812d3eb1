//! What the window asks of the program around it. The window knows the core; reading and writing files is the command
//! line's to give.

use super::background_task::Progress;
use crate::base::diagnostic::Diagnostic;
use crate::base::file_tree::{Edit, FileTable};
use crate::base::schema::Table;
use crate::job::Job;
use crate::job::answer::{Answer, PlaneSpread};
use crate::job::building;
use crate::job::marking::Marking;
use crate::job::order::Row;
use crate::roof::model::solid::Solid;
use crate::takeoff::TakeOff;
use nalgebra::Point3;
use std::path::{Path, PathBuf};

/// Everything the window shows of a solved job.
#[derive(Clone, Debug)]
pub struct Answered {
    /// What the file says.
    pub job: Job,
    /// What was found.
    pub answer: Answer,
    /// Its closed solid, walls under its edges.
    pub solid: Solid,
    /// The building as it stands: edges of the roof as deep as they are, walls where they are known to stand.
    pub building: Solid,
    /// What to order, how each face is covered, what is done, what to mind.
    pub take_off: TakeOff,
    /// Warnings about the file.
    pub warnings: Vec<Diagnostic>,
}

impl Answered {
    /// The building with its chimneys and the like, as far up as the file says, to be looked at. O(n).
    #[must_use]
    pub fn with_raised(&self) -> Solid {
        building::with_raised(&self.building, &self.answer.building)
    }

    /// How unsure areas, lengths and surveyed points are, where known.
    #[must_use]
    pub fn unsure(&self) -> Unsure {
        let points = self.answer.survey.points.iter().filter_map(|point| Some((point.at, point.sd?)));
        Unsure {
            lengths: self.answer.quantities.edges().iter().map(|edge| edge.length.sd()).collect(),
            planes: self.answer.spread.face_plane.clone(),
            points: points.filter(|(_, sd)| sd.iter().any(|sd| *sd > 0.0)).collect(),
        }
    }
}

/// How unsure a roof is; `None` where it is not known.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Unsure {
    /// Standard deviation of each edge's length, metres.
    pub lengths: Vec<Option<f64>>,
    /// How unsure each face's plane is all over the face.
    pub planes: Vec<Option<PlaneSpread>>,
    /// Surveyed points with the standard deviations of x, y and z, metres.
    pub points: Vec<(Point3<f64>, [f64; 3])>,
}

/// What can be written of a roof.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Output {
    /// A model; the kind by the path's ending.
    Model,
    /// Every drawing, into a folder.
    Drawings,
    /// The job sheet.
    Sheet,
    /// The order with its prices, as a spreadsheet.
    Order,
    /// The offer for the client.
    Offer,
    /// What is handed over at the end.
    Handover,
    /// The description for the client, with the offer where there is one.
    Client,
    /// A blank sheet to measure on, for a roof of this shape.
    Field,
    /// The order as a plain table.
    Table,
    /// A picture of the roof from its corner.
    Picture,
}

impl Output {
    /// All of them, in the order the window offers them.
    pub const ALL: [Self; 10] = [
        Self::Sheet,
        Self::Client,
        Self::Offer,
        Self::Handover,
        Self::Field,
        Self::Order,
        Self::Table,
        Self::Drawings,
        Self::Picture,
        Self::Model,
    ];

    /// What the window calls it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Model => "Write a model to",
            Self::Drawings => "Write all drawings into folder",
            Self::Sheet => "Write the job sheet to",
            Self::Order => "Write the order with prices to",
            Self::Offer => "Write the offer to",
            Self::Handover => "Write the handover to",
            Self::Client => "Write the description for the client to",
            Self::Field => "Write a blank field sheet to",
            Self::Table => "Write the order as a table to",
            Self::Picture => "Write a picture to",
        }
    }

    /// What may be typed.
    #[must_use]
    pub fn hint(self) -> &'static str {
        match self {
            Self::Model => "the ending says what: .glb .gltf .obj .stl .city.json",
            Self::Drawings => "a folder, made if it is not there",
            Self::Sheet | Self::Offer | Self::Handover | Self::Client | Self::Field => {
                "the ending says what: .pdf .html"
            }
            Self::Picture => "a name that ends in .png",
            Self::Order | Self::Table => "the ending says what: .xlsx .ods .csv",
        }
    }

    /// How a name for it ends.
    #[must_use]
    pub fn ending(self) -> &'static str {
        match self {
            Self::Model => ".glb",
            Self::Drawings => "-drawings",
            Self::Sheet => ".pdf",
            Self::Order => "-order.xlsx",
            Self::Offer => "-offer.pdf",
            Self::Handover => "-handover.pdf",
            Self::Client => "-for-client.pdf",
            Self::Field => "-field-sheet.pdf",
            Self::Table => "-order.csv",
            Self::Picture => ".png",
        }
    }

    /// Its line in the menu.
    #[must_use]
    pub(crate) fn in_menu(self) -> &'static str {
        match self {
            Self::Model => "Write a model",
            Self::Drawings => "Write all drawings",
            Self::Sheet => "Write the job sheet, to print",
            Self::Order => "Write the order with prices",
            Self::Offer => "Write the offer",
            Self::Handover => "Write the handover",
            Self::Client => "Write the description for the client",
            Self::Field => "Write a blank field sheet",
            Self::Table => "Write the order as a table (CSV)",
            Self::Picture => "Write a picture",
        }
    }
}

/// A photo, the right way up.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pixels {
    /// Width and height.
    pub size: [usize; 2],
    /// Red, green and blue of each pixel, rows from the top.
    pub rgb: Vec<u8>,
}

impl Pixels {
    /// A pixel's colour. Precondition: it lies in the photo.
    #[must_use]
    pub fn at(&self, x: usize, y: usize) -> [u8; 3] {
        let first = 3 * (y * self.size[0] + x);
        [self.rgb[first], self.rgb[first + 1], self.rgb[first + 2]]
    }
}

/// A job's text and where it is saved: what it is solved, compared and written from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Source<'a> {
    /// The file's text.
    pub text: &'a str,
    /// Where it is saved; files that it names lie beside it.
    pub path: Option<&'a Path>,
}

/// What is to be written of a job.
#[derive(Clone, Copy)]
pub struct Writing<'a> {
    /// The job.
    pub source: Source<'a>,
    /// What of it.
    pub output: Output,
    /// The file, or the folder for drawings.
    pub to: &'a Path,
    /// How far it is, and whether it is still wanted.
    pub progress: &'a Progress,
}

/// Where the unsaved text of one job waits for a successor.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct Slot {
    /// The roof file it belongs to; `None`: a roof that has none yet.
    pub path: Option<PathBuf>,
    /// Tells texts apart that belong to one file or to none: when the job was begun, milliseconds since 1970; 0 for a
    /// file's usual one.
    pub stamp: u64,
}

/// What the window asks of the program around it. Called from the window's thread, apart from [`Backend::answer`] and
/// [`Backend::compare`], which are called from a worker.
pub trait Backend: Send + Sync {
    /// Reads and solves a job, laid out and ordered for. `sure` asks for standard deviations too, which cost more.
    ///
    /// # Errors
    /// Everything that is wrong with it.
    fn answer(&self, source: Source, sure: bool) -> Result<Answered, Vec<Diagnostic>>;

    /// What a job's measurements tell of its points and photos by themselves; no roof need be described yet. Called from a
    /// thread of its own.
    ///
    /// # Errors
    /// Everything that is wrong with it.
    fn marking(&self, source: Source) -> Result<(Job, Marking), Vec<Diagnostic>>;

    /// The file as written; `None` while the text is no TOML.
    fn written(&self, text: &str) -> Option<FileTable>;

    /// What a roof file may hold.
    fn schema(&self) -> &'static Table;

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

    /// Writes a model, all drawings or the sheet of a job, telling how far it is; what was written, in words. Called from
    /// a thread of its own.
    ///
    /// # Errors
    /// Why not, in words; that it was called off is one of them.
    fn write_out(&self, writing: &Writing) -> Result<String, String>;

    /// Opens a file that was written in whatever the system opens it with: to look at it, to print it.
    ///
    /// # Errors
    /// Why not, in words.
    fn open_written(&self, path: &Path) -> Result<(), String>;

    /// Files used lately, newest first.
    fn recent(&self) -> Vec<PathBuf>;

    /// Notes that a file was used.
    fn used(&self, path: &Path);

    /// What the window was set to when it was last closed, by name: its theme, its units.
    fn setting(&self, name: &str) -> Option<String>;

    /// Notes a setting for the next window; `None` forgets it.
    fn set(&self, name: &str, value: Option<&str>);

    /// Texts to begin from, by the name of their shape.
    fn shapes(&self) -> Vec<(String, String)>;

    /// Whole jobs to look into, by what they are.
    fn examples(&self) -> Vec<(String, String)>;

    /// Keeps unsaved text where a killed window's successor finds it; `None` forgets it.
    ///
    /// # Errors
    /// Why not, in words.
    fn keep(&self, slot: &Slot, text: Option<&str>) -> Result<(), String>;

    /// Texts kept by windows that were killed: of a file, or of roofs that have none yet; newest first.
    fn kept(&self, path: Option<&Path>) -> Vec<(Slot, String)>;

    /// The time of day, for people: `14:02`.
    fn time_of_day(&self) -> String;

    /// The same job at other pitches, in degrees. Called from a thread of its own.
    ///
    /// # Errors
    /// Why nothing can be compared, in words.
    fn compare(&self, source: Source, degrees: &[f64]) -> Result<Vec<Row>, String>;

    /// A photo's pixels, turned as its EXIF orientation says. Called from a thread of its own.
    ///
    /// # Errors
    /// Why not, in words.
    fn photo(&self, path: Option<&Path>, file: &str) -> Result<Pixels, String>;
}
