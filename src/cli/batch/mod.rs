//! `batch`: a roof over every outline of a file, one line out for each in.

mod asked;
mod journal;
mod laid;
mod pipeline;
mod source;

use super::load::Stop;
use super::outcome::Done;
use super::output;
use crate::base::finding::Finding as _;
use crate::input::outlines::{Defaults, Piece, read};
use crate::job::features::{Feature, FeatureFault};
use crate::job::outlines::{self, RoofSums};
use crate::takeoff::prices::Prices;
use crate::wording::batch::{self as words, Tally};
use crate::write::batch::report::{self, Gathered};
#[cfg(feature = "geoparquet")]
use crate::write::batch::table::{Table, TableRow};
use crate::write::batch::{Answered, SolvedOutline, city, line};
pub use asked::{Asked, degrees_of};
use indicatif::{ProgressBar, ProgressStyle};
use journal::Journal;
pub use source::ends_with;
use std::fs::{File, OpenOptions};
use std::io::{self, BufWriter, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// How answers are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Lines,
    City,
    Table,
}

const KINDS: [(&str, Kind); 3] = [(".city.jsonl", Kind::City), (".jsonl", Kind::Lines), (".parquet", Kind::Table)];

/// A reader of a file of outlines, from its beginning.
///
/// # Errors
/// [`Stop::System`] for a file that cannot be read, or an ending that is no such file.
pub fn reader(input: &Path) -> Result<Box<dyn crate::input::outlines::Pieces>, Stop> {
    source::reader(input, &Journal::default())
}

/// Runs it.
///
/// # Errors
/// [`Stop::System`]: wrong usage, or a file that cannot be read or written. What single features say is no error.
pub fn run(asked: &Asked, json: bool) -> Result<Done, Stop> {
    let is_printed = asked.out == Path::new("-");
    let name = asked.out.to_string_lossy().to_lowercase();
    let kind = if is_printed {
        Some(Kind::Lines)
    } else {
        KINDS.into_iter().find(|(end, _)| name.ends_with(end)).map(|(_, kind)| kind)
    };
    let kind = kind.ok_or_else(|| Stop::System(words::no_output_kind(&name, &KINDS.map(|(ending, _)| ending))))?;
    if !is_printed {
        output::refuse_input(asked.out, &[asked.input.to_path_buf()])?;
    }
    if kind == Kind::Table && !cfg!(feature = "geoparquet") {
        return Err(Stop::System(words::built_without(&name, ".parquet")));
    }
    let prices = asked.prices.map(prices).transpose()?;
    let of = source::fingerprint(asked)?;
    // A table has its foot at its end, so that one that was stopped begins anew.
    let left = (!is_printed && kind != Kind::Table).then(|| Journal::left(asked.out, &of)).flatten();
    let mut aside = String::new();
    if let Some(left) = &left {
        aside = words::goes_on(left.done);
        let _ = io::stderr().lock().write_all(aside.as_bytes());
        aside.clear();
    }
    let journal = left.clone().unwrap_or_else(|| Journal::new(of));
    let (mut pieces, first) = source::open(asked.input, &journal)?;
    let is_degrees = source::is_degrees(asked, &pieces.system())?;
    let defaults =
        Defaults { pitch: asked.pitch, height: asked.height, covering: asked.covering.map(str::to_owned), is_degrees };
    let out = Output::begin(asked.out, kind, left.as_ref(), is_degrees)?;
    let mut run = Run::new(journal, out, asked, pieces.size());
    let workers = asked.jobs.unwrap_or_else(|| std::thread::available_parallelism().map_or(1, usize::from));
    let work = |piece: Piece| {
        let answers: Vec<Answered> =
            read(&piece, &defaults).into_iter().map(|feature| answer(feature, is_degrees, prices.as_ref())).collect();
        done(&piece, &answers, kind, asked)
    };
    pipeline::run(pieces.as_mut(), first, workers, work, |done| run.take(done?))?;
    let tally = run.finish(asked)?;
    aside.push_str(&words::summary(&tally));
    let text = if json {
        let failed: u64 = tally.without();
        format!(
            "{}\n",
            serde_json::json!({
                "format": "eavewright-batch/1",
                "read": tally.read, "solved": tally.solved, "failed": failed, "by_code": tally.failed,
                "area": tally.area, "seconds": tally.seconds,
            })
        )
    } else {
        String::new()
    };
    Ok(Done::new(text, aside))
}

/// A price file.
fn prices(path: &Path) -> Result<Prices, Stop> {
    let text = std::fs::read_to_string(path).map_err(|error| output::named(path, &error))?;
    let name = path.display().to_string();
    match crate::input::prices::read(&name, &text) {
        (Some(prices), _) => Ok(prices),
        (None, diagnostics) => {
            let source = super::load::Source { name, path: path.to_path_buf(), text };
            Err(Stop::File { source, diagnostics })
        }
    }
}

/// The roof of a feature.
fn answer(feature: Feature, is_degrees: bool, prices: Option<&Prices>) -> Answered {
    let at = feature.outline.as_ref().ok().map(|placed| placed.frame.origin);
    let roof = feature.outline.and_then(|placed| {
        let roof = outlines::solve(&placed.outline)?;
        let laid = match &placed.covering {
            Some(card) => Some(laid::laid(&placed, card, prices)?),
            None => None,
        };
        Ok(SolvedOutline {
            sums: RoofSums::of(&roof),
            laid,
            roof,
            frame: placed.frame,
            polygons: placed.outline.polygons,
            is_degrees,
        })
    });
    Answered { line: feature.line, id: feature.id, at, roof }
}

/// What comes of a piece.
struct PieceDone {
    bytes: Vec<u8>,
    #[cfg(feature = "geoparquet")]
    rows: Vec<TableRow>,
    /// Of the input.
    end: u64,
    marks: Vec<Mark>,
}

/// What is counted of an answer.
enum Mark {
    Roof { area: f64, place: [f64; 2] },
    Failure { code: &'static str, line: u64, reason: Option<String>, place: Option<[f64; 2]> },
}

fn done(piece: &Piece, answers: &[Answered], kind: Kind, asked: &Asked) -> io::Result<PieceDone> {
    let mut bytes = Vec::with_capacity(answers.len() * 256);
    #[cfg(feature = "geoparquet")]
    let mut rows = Vec::new();
    let mut marks = Vec::with_capacity(answers.len());
    for answered in answers {
        match kind {
            Kind::Lines => line::write(&mut bytes, answered, asked.faces)?,
            Kind::City => city::write(&mut bytes, answered)?,
            #[cfg(feature = "geoparquet")]
            Kind::Table => rows.push(TableRow::of(answered)),
            #[cfg(not(feature = "geoparquet"))]
            Kind::Table => {}
        }
        marks.push(match &answered.roof {
            Ok(solved) => Mark::Roof { area: solved.sums.area, place: solved.frame.origin },
            Err(fault) => {
                let reason = asked.report.map(|_| words::reason(fault));
                Mark::Failure { code: FeatureFault::code(fault), line: answered.line, reason, place: answered.at }
            }
        });
    }
    Ok(PieceDone {
        bytes,
        #[cfg(feature = "geoparquet")]
        rows,
        end: piece.end,
        marks,
    })
}

/// Where answers go.
enum Output {
    Printed(BufWriter<io::Stdout>),
    File(BufWriter<File>, PathBuf),
    #[cfg(feature = "geoparquet")]
    Table(Box<Table<File>>, PathBuf),
}

impl Output {
    /// A new one, or one that a stopped run has left, cut back to what its journal knows.
    #[cfg_attr(not(feature = "geoparquet"), allow(unused_variables))]
    fn begin(out: &Path, kind: Kind, left: Option<&Journal>, is_degrees: bool) -> Result<Self, Stop> {
        if out == Path::new("-") {
            return Ok(Self::Printed(BufWriter::with_capacity(1 << 16, io::stdout())));
        }
        let path = journal::part_of(out);
        let named = |error: io::Error| output::named(&path, &error);
        let mut file =
            OpenOptions::new().write(true).create(true).truncate(left.is_none()).open(&path).map_err(named)?;
        if let Some(left) = left {
            file.set_len(left.written).map_err(named)?;
            file.seek(SeekFrom::End(0)).map_err(named)?;
        } else if kind == Kind::City {
            file.write_all(&city::head()).map_err(named)?;
        }
        #[cfg(feature = "geoparquet")]
        if kind == Kind::Table {
            let table =
                Table::begin(file, is_degrees).map_err(|error| Stop::System(format!("{}: {error}", path.display())))?;
            return Ok(Self::Table(Box::new(table), path));
        }
        Ok(Self::File(BufWriter::with_capacity(1 << 16, file), path))
    }

    fn write(&mut self, done: &mut PieceDone) -> io::Result<()> {
        match self {
            Self::Printed(out) => out.write_all(&done.bytes),
            Self::File(out, path) => out.write_all(&done.bytes).map_err(|error| output::named(path, &error)),
            #[cfg(feature = "geoparquet")]
            Self::Table(table, path) => {
                let rows = std::mem::take(&mut done.rows);
                table.add(rows).map_err(|error| io::Error::other(format!("{}: {error}", path.display())))
            }
        }
    }

    /// Ends it, whole on the disk, and gives its path; `None` for what was printed.
    fn end(self) -> io::Result<Option<PathBuf>> {
        match self {
            Self::Printed(mut out) => {
                out.flush()?;
                Ok(None)
            }
            Self::File(out, part) => {
                let file = out.into_inner().map_err(|error| output::named(&part, &error.into_error()))?;
                file.sync_all().map_err(|error| output::named(&part, &error))?;
                Ok(Some(part))
            }
            #[cfg(feature = "geoparquet")]
            Self::Table(table, part) => {
                let file = table.finish().map_err(|error| io::Error::other(format!("{}: {error}", part.display())))?;
                file.sync_all().map_err(|error| output::named(&part, &error))?;
                Ok(Some(part))
            }
        }
    }
}

/// A run under way.
struct Run<'a> {
    out: Output,
    path: &'a Path,
    journal: Journal,
    tally: Tally,
    gathered: Gathered,
    reports: bool,
    progress: ProgressBar,
    started: Instant,
    kept: Instant,
}

/// How often the journal is kept.
const KEPT_EVERY: Duration = Duration::from_millis(250);

impl<'a> Run<'a> {
    fn new(journal: Journal, out: Output, asked: &Asked<'a>, size: Option<u64>) -> Self {
        let progress = match size {
            Some(size) => ProgressBar::new(size),
            None => ProgressBar::new_spinner(),
        };
        if let Ok(style) = ProgressStyle::with_template("{wide_bar} {percent} %  {msg}  {eta} left") {
            progress.set_style(style);
        }
        let (tally, gathered) = journal.counted();
        let now = Instant::now();
        let reports = asked.report.is_some();
        Self { out, path: asked.out, journal, tally, gathered, reports, progress, started: now, kept: now }
    }

    /// Takes what came of the next piece.
    fn take(&mut self, mut done: PieceDone) -> io::Result<()> {
        self.out.write(&mut done)?;
        for mark in done.marks {
            self.tally.read += 1;
            match mark {
                Mark::Roof { area, place } => {
                    self.tally.solved += 1;
                    self.tally.area += area;
                    if self.reports {
                        self.gathered.roof(area, place);
                    }
                }
                Mark::Failure { code, line, reason, place } => {
                    *self.tally.failed.entry(code.to_owned()).or_default() += 1;
                    if let Some(reason) = reason {
                        self.gathered.failure(code, &reason, line, place);
                    }
                }
            }
        }
        self.journal.done = self.tally.read;
        self.journal.read = done.end;
        let seconds = self.started.elapsed().as_secs_f64();
        let rate = (self.tally.read - self.tally.before) as f64 / seconds.max(1e-3);
        self.progress.set_position(done.end);
        self.progress.set_message(format!("{} features, {rate:.0} a second", self.tally.read));
        if self.kept.elapsed() >= KEPT_EVERY {
            self.keep()?;
        }
        Ok(())
    }

    /// Flushes the answers, then says in the journal that they are there.
    fn keep(&mut self) -> io::Result<()> {
        let Output::File(out, _) = &mut self.out else { return Ok(()) };
        out.flush()?;
        self.journal.written = out.stream_position()?;
        out.get_ref().sync_data()?;
        self.journal.keep(self.path, &self.tally, &self.gathered)?;
        self.kept = Instant::now();
        Ok(())
    }

    /// Puts the whole output in its place and writes the page.
    fn finish(mut self, asked: &Asked) -> Result<Tally, Stop> {
        self.progress.finish_and_clear();
        if let Some(part) = self.out.end()? {
            std::fs::rename(&part, self.path).map_err(|error| output::named(self.path, &error))?;
            let _ = std::fs::remove_file(journal::journal_of(self.path));
        }
        self.tally.seconds = self.started.elapsed().as_secs_f64();
        if let Some(path) = asked.report {
            let shown = asked.input.display().to_string();
            output::write_file(path, report::html(&shown, &self.tally, &self.gathered).as_bytes())?;
        }
        Ok(self.tally)
    }
}
