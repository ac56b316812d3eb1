//! The commands, each from its arguments to what it prints.

use super::args::{Cli, Command, File, PlaceUnits};
use super::batch::Asked;
use super::diagnostics::Style;
use super::export::Print;
use super::load::{Loaded, Stop, load};
use super::outcome::{Done, Printed};
use super::{output, output_set, solve_text};
use crate::base::finding::Finding;
use crate::base::name::SideName;
use crate::base::units::{LengthUnit, Pitch};
use crate::drawing::Context;
use crate::drawing::job_sheet::{Audience, Shape, SheetInput};
use crate::drawing::typeset::format::Format;
use crate::drawing::typeset::paper::{PaperSize, Series};
use crate::job::answer::Answer;
use crate::job::fault::Failure;
use crate::job::order::{self, CompareError};
use crate::job::{self, Job, Options};
use crate::survey::model::FaceByPoints;
use crate::takeoff::TakeOff;
use crate::wording::{self, About};
use crate::write::dxf;
use crate::write::offer_json::{self, OfferTwin};
use crate::write::pdf::PdfError;
use crate::write::repair_json::RepairTwin;
use crate::write::roof_json::RoofTwin;
use crate::write::spreadsheet;
use crate::write::svg::{Setting, svg};
use crate::write::takeoff_json::{CompareTwin, TakeoffTwin};
use std::fmt::Write;
use std::path::Path;

/// Runs one command.
///
/// # Errors
/// [`Stop`]: the file's errors, no answer, or the system's word.
pub fn run(cli: &Cli, style: Option<Style>) -> Result<Done, Stop> {
    match &cli.command {
        Command::Check(file) => check(file, cli.json, style),
        Command::Solve { file, steps } => solve(file, *steps, cli.json, style),
        Command::Edges { file, write } => edges(file, *write, cli.json, style),
        Command::Keys { table } => keys(table.as_deref(), cli.json),
        Command::Cards { name } => cards(name.as_deref(), cli.json),
        Command::New { shape, out } => new(shape, out.as_deref()),
        Command::Takeoff { file, csv, out: Some(out), .. } if !csv => order_sheet(file, out, cli.json, style),
        Command::Takeoff { file, csv, rows, full, .. } => {
            takeoff(file, &Shown { csv: *csv, rows: *rows, full: *full, json: cli.json }, style)
        }
        Command::Compare { file, pitches, sides, ridge, svg } => {
            let wanted = Compared { pitches, sides, ridge: *ridge, svg: svg.as_deref() };
            compare(file, &wanted, cli.json, style)
        }
        Command::Draw { file, out, paper, dxf_unit } => draw(file, out, (*paper, *dxf_unit), cli.json, style),
        Command::Sheet { file, out, client, full, field, paper } => {
            let audience = if *client { Audience::Client } else { Audience::Own };
            let wanted = Sheeted { out, audience, full: *full, paper: *paper };
            match (file, field) {
                (Some(file), _) => sheet(file, &wanted, cli.json, style),
                (None, Some(shape)) => field_sheet(*shape, out, *paper, cli.json),
                (None, None) => Err(Stop::System("a roof file or --field SHAPE is needed".to_owned())),
            }
        }
        Command::Offer { file, out, paper } => offer(file, out.as_deref(), *paper, cli.json, style),
        Command::Repair { file, out, paper } => repair(&file.file, out.as_deref(), *paper, cli.json, style),
        Command::Handover { file, out, paper } => handover(&file.file, out, *paper, cli.json, style),
        Command::Export { file, out, scale, base } => {
            export(file, out, &Print { scale: *scale, base: *base }, cli.json, style)
        }
        Command::Batch { input, out, units, pitch, height, covering, prices, faces, report, jobs } => {
            let asked = Asked {
                input,
                out,
                is_degrees: units.map(|units| units == PlaceUnits::Degrees),
                pitch: *pitch,
                height: height.unwrap_or(0.0),
                covering: covering.as_deref(),
                prices: prices.as_deref(),
                faces: *faces,
                report: report.as_deref(),
                jobs: jobs.map(std::num::NonZeroUsize::get),
            };
            super::batch::run(&asked, cli.json)
        }
        Command::Import { input, out, pitch, height, units, unit } => {
            let asked = super::import::Asked {
                input,
                out,
                pitch: *pitch,
                height: height.unwrap_or(0.0),
                is_degrees: units.map(|units| units == PlaceUnits::Degrees),
                unit: *unit,
            };
            super::import::run(&asked, cli.json)
        }
        #[cfg(feature = "viewer")]
        Command::View { file, shot, camera, shade, theme, size } => {
            let asked = super::view::Asked {
                shot: shot.as_deref(),
                camera: camera.as_deref(),
                shade: shade.as_deref(),
                theme: theme.as_deref(),
                size: size.as_deref(),
            };
            Ok(Done::new(String::new(), super::view::run(file.as_deref(), &asked)?))
        }
        #[cfg(not(feature = "viewer"))]
        Command::View { .. } => Err(Stop::System(
            "this program was built without its window; `cargo build --release` builds it with one".to_owned(),
        )),
    }
}

/// A job and its answer, from a path; warnings are rendered for standard error.
fn answer(path: &Path, options: &Options, style: Option<Style>) -> Result<(Loaded, Answer, String), Stop> {
    let loaded = load(path)?;
    let aside = super::diagnostics::of_file(loaded.source.named_text(), &loaded.warnings, style);
    match job::solve(&loaded.job, options) {
        Ok(answer) => Ok((loaded, answer, aside)),
        Err(failure) if options.spread => Err(loaded.stopped(&failure)),
        // Where there is no answer, what may be to blame is worth its time.
        Err(failure) => {
            let looked_into = job::solve(&loaded.job, &Options { spread: true, ..*options }).err();
            Err(loaded.stopped(&looked_into.unwrap_or(failure)))
        }
    }
}

/// One JSON document with a line end.
fn document(value: &impl serde::Serialize) -> Result<String, Stop> {
    let mut text = serde_json::to_string_pretty(value).map_err(|error| Stop::System(error.to_string()))?;
    text.push('\n');
    Ok(text)
}

fn check(file: &File, json: bool, style: Option<Style>) -> Result<Done, Stop> {
    let (loaded, answer, aside) = answer(&file.file, &Options { steps: false, spread: false }, style)?;
    let faces = answer.roof.roof_faces().count();
    let about = About::of(&loaded.job, &answer.roof);
    let doubts = wording::finding::first(&about, &answer.findings);
    let text = if json {
        document(&serde_json::json!({
            "format": "eavewright-check/1",
            "file": loaded.source.name,
            "ok": true,
            "warnings": loaded.warnings.len(),
            "faces": faces,
            "doubts": doubts,
        }))?
    } else {
        let plural = if faces == 1 { "" } else { "s" };
        let text = format!("{}: no errors; the roof has {faces} face{plural}\n", loaded.source.name);
        // A file without an error may still contradict itself.
        if doubts.is_empty() {
            text
        } else {
            format!("{text}{}\n{}", wording::finding::FIRST, solve_text::listed(&doubts))
        }
    };
    Ok(Done::new(text, aside))
}

fn solve(file: &File, steps: bool, json: bool, style: Option<Style>) -> Result<Done, Stop> {
    let loaded = load(&file.file)?;
    let aside = super::diagnostics::of_file(loaded.source.named_text(), &loaded.warnings, style);
    let answer = match job::solve(&loaded.job, &Options { steps, spread: true }) {
        Ok(answer) => answer,
        Err(failure) => match told_without_roof(&loaded.job, &failure) {
            Some(answer) => answer,
            None => return Err(loaded.stopped(&failure)),
        },
    };
    if json {
        let job = loaded.job;
        // A roof of many sides has as many kilobytes: they are written as they are made.
        let write = move |out: &mut dyn std::io::Write| output::document(out, &RoofTwin::new(&job, &answer, steps));
        return Ok(Done { printed: Printed::Stream(Box::new(write)), aside });
    }
    let mut text = solve_text::text(&loaded.job, &answer);
    if steps {
        text.push_str(&solve_text::steps(&loaded.job, &answer));
    }
    Ok(Done::new(text, aside))
}

/// What the measurements tell where they place no face of the roof, such as pitches without a size.
fn told_without_roof(job: &Job, failure: &Failure) -> Option<Answer> {
    let answer = failure.is_for_want_of_measurements().then(|| job::measured(job).ok())??;
    let survey = &answer.survey;
    // Where all corners of a face have places but hang too loosely, the answer says what would hold them.
    let has_places = |face: &FaceByPoints| face.points.iter().all(|point| survey.points[point.index()].located);
    let tells = survey.faces.iter().any(|face| face.pitch.is_some() || face.area.is_some())
        || job.survey.faces.iter().any(has_places);
    tells.then_some(answer)
}

fn edges(file: &File, writes: bool, json: bool, style: Option<Style>) -> Result<Done, Stop> {
    let loaded = load(&file.file)?;
    let mut aside = super::diagnostics::of_file(loaded.source.named_text(), &loaded.warnings, style);
    let super::edges::Measured { text, aside: more } = super::edges::run(loaded, writes, json)?;
    aside.push_str(&more);
    Ok(Done::new(text, aside))
}

fn export(file: &File, out: &Path, print: &Print, json: bool, style: Option<Style>) -> Result<Done, Stop> {
    let (loaded, answer, mut aside) = answer(&file.file, &Options { steps: false, spread: true }, style)?;
    let files = super::export::model(&loaded.job, &answer, out, print)?;
    for (path, _) in &files {
        output::refuse_input(path, &loaded.inputs())?;
    }
    for (path, bytes) in &files {
        output::write_file(path, bytes)?;
    }
    let names: Vec<String> = files.iter().map(|(path, _)| path.display().to_string()).collect();
    if json {
        let written = serde_json::json!({ "format": "eavewright-written/1", "files": names });
        return Ok(Done::new(document(&written)?, aside));
    }
    for name in names {
        let _ = writeln!(aside, "wrote {name}");
    }
    Ok(Done::new(String::new(), aside))
}

fn keys(table: Option<&str>, json: bool) -> Result<Done, Stop> {
    let tables = super::keys::asked(table).map_err(Stop::System)?;
    let text = if json { document(&super::keys::document(&tables))? } else { super::keys::text(&tables) };
    Ok(Done::new(text, String::new()))
}

fn cards(name: Option<&str>, json: bool) -> Result<Done, Stop> {
    let text = match (name, json) {
        (None, false) => super::cards::text(),
        (None, true) => document(&super::cards::document())?,
        (Some(name), _) => {
            let card = super::cards::one(name).map_err(Stop::System)?;
            let twin = || serde_json::json!({ "format": "eavewright-card/1", "name": name, "text": card });
            if json { document(&twin())? } else { card.to_owned() }
        }
    };
    Ok(Done::new(text, String::new()))
}

fn new(shape: &str, out: Option<&Path>) -> Result<Done, Stop> {
    let template = super::new::template(shape).map_err(Stop::System)?;
    let Some(path) = out else { return Ok(Done::new(template.text, String::new())) };
    if path.exists() {
        return Err(Stop::System(format!("{}: is there already, and is left as it is", path.display())));
    }
    output::write_file(path, template.text.as_bytes())?;
    Ok(Done::new(String::new(), format!("wrote {}\n", path.display())))
}

/// How a take-off is to be shown.
#[allow(clippy::struct_excessive_bools)]
struct Shown {
    csv: bool,
    rows: bool,
    full: bool,
    json: bool,
}

fn takeoff(file: &File, shown: &Shown, style: Option<Style>) -> Result<Done, Stop> {
    let (loaded, answer, aside) = answer(&file.file, &Options { steps: false, spread: true }, style)?;
    let order = job::order::take_off(&loaded.job, &answer);
    let format = Format::of(loaded.job.units);
    let text = if shown.json {
        document(&TakeoffTwin::new(&order, &answer.roof, format, shown.rows).with_doubts(&loaded.job, &answer))?
    } else if shown.csv {
        super::takeoff::csv(&order, format).map_err(|error| Stop::System(error.to_string()))?
    } else {
        super::takeoff::text(&loaded.job, &answer, &order, shown.full)
    };
    Ok(Done::new(text, aside))
}

/// The order with its prices as a spreadsheet.
fn order_sheet(file: &File, out: &Path, json: bool, style: Option<Style>) -> Result<Done, Stop> {
    let Some(kind) = spreadsheet::Kind::of(out) else {
        return Err(Stop::System(format!("{}: expected a name that ends in .xlsx, .ods or .csv", out.display())));
    };
    let (loaded, answer, aside) = answer(&file.file, &Options { steps: false, spread: true }, style)?;
    let order = order::take_off(&loaded.job, &answer);
    let rows = spreadsheet::rows(&loaded.job.title, &order, Format::of(loaded.job.units));
    let bytes = spreadsheet::write(&rows, kind).map_err(|error| Stop::System(error.to_string()))?;
    output::refuse_input(out, &loaded.inputs())?;
    wrote_sheet(out, &bytes, aside, json)
}

/// What is to be compared.
struct Compared<'a> {
    pitches: &'a [Pitch],
    sides: &'a [SideName],
    ridge: Option<f64>,
    svg: Option<&'a Path>,
}

fn compare(file: &File, wanted: &Compared, json: bool, style: Option<Style>) -> Result<Done, Stop> {
    let loaded = load(&file.file)?;
    let mut aside = super::diagnostics::of_file(loaded.source.named_text(), &loaded.warnings, style);
    let job = &loaded.job;
    let at = |pitches: &[Pitch]| order::compare(job, wanted.sides, pitches);
    let rows = match wanted.ridge {
        Some(height) => order::pitch_for_ridge(job, wanted.sides, height).and_then(|pitch| at(&[pitch])),
        None => at(wanted.pitches),
    };
    let rows = match rows {
        Ok(rows) => rows,
        Err(CompareError::Job(failure)) => return Err(loaded.stopped(&failure)),
        Err(error) => {
            let message = wording::fault::not_comparable(&error, job);
            return Err(Stop::NoAnswer { code: error.code(), message });
        }
    };
    let format = Format::of(loaded.job.units);
    let text =
        if json { document(&CompareTwin::new(&rows, job, format))? } else { super::compare::text(job, &rows, format) };
    if let Some(path) = wanted.svg {
        output::refuse_input(path, &loaded.inputs())?;
        let curves = super::compare::curves(&loaded.job.title, &rows, format);
        output::write_file(path, svg(&curves, Setting::Document).as_bytes())?;
        let _ = writeln!(aside, "wrote {}", path.display());
    }
    Ok(Done::new(text, aside))
}

fn draw(
    file: &File,
    out: &Path,
    (paper, unit): (Option<PaperSize>, Option<LengthUnit>),
    json: bool,
    style: Option<Style>,
) -> Result<Done, Stop> {
    let (loaded, answer, mut aside) = answer(&file.file, &Options { steps: true, spread: true }, style)?;
    let order = order::take_off(&loaded.job, &answer);
    let context = Context { sheet: paper, ..Context::of(&loaded.job) };
    let (photos, without) = super::photo::taken(&loaded.job, &loaded.source.path, &answer);
    let drawings = super::draw::drawings_with_photos(&answer, Some(&order), &loaded.job, &context, &photos);
    let unit = unit.unwrap_or(dxf::unit_for(loaded.job.units));
    let mut files =
        super::draw::draw_all(&drawings, &loaded.job.title, unit).map_err(|error| Stop::System(error.to_string()))?;
    files.extend(super::draw::pieces(&answer, unit));
    for reason in without {
        let _ = writeln!(aside, "{reason}");
    }
    output_set::write_set(out, &files)?;
    let names: Vec<&str> = files.iter().map(|(name, _)| name.as_str()).collect();
    let text = if json {
        document(
            &serde_json::json!({ "format": "eavewright-draw/1", "folder": out.to_string_lossy(), "files": names }),
        )?
    } else {
        names.iter().map(|name| format!("{}\n", out.join(name).display())).collect()
    };
    if !json {
        let _ = writeln!(aside, "wrote {} files", names.len());
    }
    Ok(Done::new(text, aside))
}

/// Which sheet is wanted.
struct Sheeted<'a> {
    out: &'a Path,
    audience: Audience,
    full: bool,
    paper: Option<PaperSize>,
}

fn sheet(file: &Path, wanted: &Sheeted, json: bool, style: Option<Style>) -> Result<Done, Stop> {
    let Sheeted { out, audience, full, paper } = *wanted;
    let format = super::sheet::FileFormat::of(out).map_err(Stop::System)?;
    let (loaded, answer, mut aside) = answer(file, &Options { steps: true, spread: true }, style)?;
    let order = order::take_off(&loaded.job, &answer);
    let context = Context { sheet: paper, ..Context::of(&loaded.job) };
    let (photos, without) = super::photo::taken(&loaded.job, &loaded.source.path, &answer);
    for reason in without {
        let _ = writeln!(aside, "{reason}");
    }
    let input = SheetInput { job: &loaded.job, answer: &answer, take_off: &order, context: &context, audience, full };
    let bytes =
        super::sheet::sheet_with_photos(&input, &photos, format).map_err(|error| Stop::System(error.to_string()))?;
    output::refuse_input(out, &loaded.inputs())?;
    wrote_sheet(out, &bytes, aside, json)
}

fn offer(
    file: &File,
    out: Option<&Path>,
    paper: Option<PaperSize>,
    json: bool,
    style: Option<Style>,
) -> Result<Done, Stop> {
    let file_format = out.map(super::sheet::FileFormat::of).transpose().map_err(Stop::System)?;
    let (loaded, answer, aside) = answer(&file.file, &Options { steps: false, spread: true }, style)?;
    let order = order::take_off(&loaded.job, &answer);
    let format = Format::of(loaded.job.units);
    let Some((out, file_format)) = out.zip(file_format) else {
        let text = if json {
            let offer = order.offer.as_ref().map(|offer| OfferTwin::new(offer, format));
            document(&serde_json::json!({ "format": offer_json::FORMAT, "offer": offer }))?
        } else {
            super::offer::text(&loaded.job, &order, format)
        };
        return Ok(Done::new(text, aside));
    };
    write_papers(&loaded, (&answer, &order), (out, paper), (aside, json), |input| {
        super::sheet::offer(input, file_format)
    })
}

fn repair(
    file: &Path,
    out: Option<&Path>,
    paper: Option<PaperSize>,
    json: bool,
    style: Option<Style>,
) -> Result<Done, Stop> {
    let file_format = out.map(super::sheet::FileFormat::of).transpose().map_err(Stop::System)?;
    let (loaded, answer, aside) = answer(file, &Options { steps: false, spread: false }, style)?;
    if loaded.job.repairs.is_empty() {
        let message = "no [[repair]] is named in this file; `eavewright keys repair` says how".to_owned();
        return Err(Stop::NoAnswer { code: "no-repair", message });
    }
    let order = order::take_off(&loaded.job, &answer);
    let (repairs, findings) = order::repairs(&loaded.job, &answer, &order);
    let format = Format::of(loaded.job.units);
    let Some((out, file_format)) = out.zip(file_format) else {
        let text = if json {
            document(&RepairTwin::new(&repairs, &findings, &answer.roof, format))?
        } else {
            super::repair::text(&loaded.job, &answer.roof, (&repairs, &findings), format)
        };
        return Ok(Done::new(text, aside));
    };
    write_papers(&loaded, (&answer, &order), (out, paper), (aside, json), |input| {
        super::sheet::repair(input, (&repairs, &findings), file_format)
    })
}

fn handover(file: &Path, out: &Path, paper: Option<PaperSize>, json: bool, style: Option<Style>) -> Result<Done, Stop> {
    let format = super::sheet::FileFormat::of(out).map_err(Stop::System)?;
    let (loaded, answer, aside) = answer(file, &Options { steps: false, spread: true }, style)?;
    let order = order::take_off(&loaded.job, &answer);
    write_papers(&loaded, (&answer, &order), (out, paper), (aside, json), |input| super::sheet::handover(input, format))
}

/// Makes papers for a client from a job, its answer and its order, and writes them.
fn write_papers(
    loaded: &Loaded,
    (answer, take_off): (&Answer, &TakeOff),
    (out, paper): (&Path, Option<PaperSize>),
    (aside, json): (String, bool),
    made: impl FnOnce(&SheetInput<'_>) -> Result<Vec<u8>, PdfError>,
) -> Result<Done, Stop> {
    let (job, context) = (&loaded.job, Context { sheet: paper, ..Context::of(&loaded.job) });
    let input = SheetInput { job, answer, take_off, context: &context, audience: Audience::Client, full: false };
    let bytes = made(&input).map_err(|error| Stop::System(error.to_string()))?;
    output::refuse_input(out, &loaded.inputs())?;
    wrote_sheet(out, &bytes, aside, json)
}

fn field_sheet(shape: Shape, out: &Path, paper: Option<PaperSize>, json: bool) -> Result<Done, Stop> {
    let wanted = super::sheet::FileFormat::of(out).map_err(Stop::System)?;
    let imperial = paper.is_some_and(|paper| paper == PaperSize::LETTER || paper == PaperSize::TABLOID);
    let context = Context {
        title: String::new(),
        date: None,
        words: Format { imperial },
        north: 0.0,
        wind_from: None,
        series: if imperial { Series::American } else { Series::Iso },
        sheet: paper,
    };
    let bytes = super::sheet::field(shape, &context, wanted).map_err(|error| Stop::System(error.to_string()))?;
    wrote_sheet(out, &bytes, String::new(), json)
}

fn wrote_sheet(out: &Path, bytes: &[u8], mut aside: String, json: bool) -> Result<Done, Stop> {
    output::write_file(out, bytes)?;
    let text = if json {
        document(&serde_json::json!({ "format": "eavewright-sheet/1", "file": out.to_string_lossy() }))?
    } else {
        let _ = writeln!(aside, "wrote {}", out.display());
        String::new()
    };
    Ok(Done::new(text, aside))
}
