//! `edges FILE`: every edge that the photos show, measured in them, and what it gains.

use super::load::{Loaded, Stop};
use super::output;
use super::table::{Align, Table};
use crate::base::file_tree::{Edit, Kind};
use crate::input::edit;
use crate::input::picture::grey;
use crate::input::{Beside, Files, unread};
use crate::job::{self, Options};
use crate::picture::EdgeInPhoto;
use crate::picture::Grey;
use crate::picture::join::Joined;
use crate::survey::model::Survey;
use crate::wording;
use crate::wording::survey::Names;
use crate::wording::units::Format;
use serde_json::{Value, json};
use std::path::Path;

/// What the command came to.
pub struct Measured {
    /// The answer.
    pub text: String,
    /// Photos that were not measured, what was written.
    pub aside: String,
}

/// Runs the command on a job; `writes` puts what was found into the roof file.
///
/// # Errors
/// [`Stop`]: the job can't be solved, no photo whose picture is there, or what the system says.
pub fn run(loaded: Loaded, writes: bool, json: bool) -> Result<Measured, Stop> {
    if writes && loaded.source.path.as_os_str().is_empty() {
        return Err(Stop::System("--write needs a roof file, found standard input".to_owned()));
    }
    let answer = match job::solve(&loaded.job, &Options { steps: false, spread: false }) {
        Ok(answer) => answer,
        Err(failure) => return Err(loaded.stopped(&failure)),
    };
    let (pictures, without) = pictures(&loaded.job.survey, &loaded.source.path);
    let mut aside: String = without.iter().map(|line| format!("{line}\n")).collect();
    if pictures.iter().all(Option::is_none) {
        let mut message = "no photo of the job has a picture that can be read".to_owned();
        for line in &without {
            message.push_str(&format!("; {line}"));
        }
        return Err(Stop::NoAnswer { code: "no-picture", message });
    }
    let joined = match job::measure_edges(&loaded.job, &answer, &pictures) {
        Ok(joined) => joined,
        Err(failure) => return Err(loaded.stopped(&failure)),
    };
    if writes {
        let text = written(&loaded.source.text, &joined, &loaded.job.survey).map_err(Stop::System)?;
        output::write_file(&loaded.source.path, text.as_bytes())?;
        aside.push_str(&format!("wrote {}\n", loaded.source.name));
    }
    let text = if json { document(&loaded, &joined) } else { describe(&loaded, &joined) };
    Ok(Measured { text, aside })
}

/// The picture of each photo, and why others are left out, a line each.
#[must_use]
pub fn pictures(survey: &Survey, path: &Path) -> (Vec<Option<Grey>>, Vec<String>) {
    let files = Beside::of(path);
    let mut without = Vec::new();
    let pictures = survey.photos.iter().map(|photo| {
        let file = photo.file.as_ref()?;
        if photo.sheet.is_some() {
            without.push(format!("{file}: not measured, its lines were drawn: it is a plan"));
            return None;
        }
        let read = files.read(file).map_err(|error| format!("the file {}", wording::reading::unread(&unread(&error))));
        match read.and_then(|bytes| grey(&bytes).map_err(|error| wording::reading::picture(&error))) {
            Ok(grey) => Some(grey),
            Err(why) => {
                without.push(format!("{file}: not measured, {why}"));
                None
            }
        }
    });
    (pictures.collect(), without)
}

/// The roof file with the edges that count in their photos' `edges`, instead of those before.
///
/// # Errors
/// Why the text can't be changed.
pub fn written(text: &str, joined: &Joined, survey: &Survey) -> Result<String, String> {
    let name = |point: crate::base::ids::PointId| &survey.points[point.index()].name;
    let mut text = text.to_owned();
    for (index, photo) in joined.survey.photos.iter().enumerate() {
        let edges: Vec<String> = photo
            .lines
            .iter()
            .filter(|line| line.is_measured)
            .map(|line| {
                let place = |(at, sigma): (&[f64; 2], &f64)| format!("[{:.2}, {:.2}, {sigma:.2}]", at[0], at[1]);
                let places: Vec<String> = line.at.iter().zip(&line.sigmas).map(place).collect();
                let ends = format!("{}-{}", name(line.ends[0]), name(line.ends[1]));
                format!("{} = [{}]", json!(ends), places.join(", "))
            })
            .collect();
        let value = (!edges.is_empty()).then(|| format!("{{ {} }}", edges.join(", ")));
        let edit = Edit::Set { at: vec!["photo".into(), index.into(), "edges".into()], value, kind: Kind::Raw };
        text = edit::apply(&text, &edit).map_err(|error| wording::reading::edit(&error))?;
    }
    Ok(text)
}

fn describe(loaded: &Loaded, joined: &Joined) -> String {
    let names = Names::of(&loaded.job);
    let mut table = Table::new(&[
        ("photo", Align::Left),
        ("edge", Align::Left),
        ("places", Align::Right),
        ("sigma px", Align::Right),
        ("", Align::Left),
    ]);
    for edge in &joined.edges {
        let (photo, ends) = (names.photo(edge.photo), names.points(&edge.ends));
        match &edge.found {
            Ok(found) => {
                let why = left_out(joined, edge).map(wording::edges::left_out).unwrap_or_default();
                table.row([photo, ends, found.at.len().to_string(), format!("{:.2}", found.sigma), why]);
            }
            Err(why) => {
                let why = wording::edges::refusal(*why).to_owned();
                table.row([photo, ends, String::new(), String::new(), why]);
            }
        }
    }
    let mut text = table.render();
    text.push('\n');
    for line in wording::edges::gain(joined, &names, Format::of(loaded.job.units)).into_iter().take(2) {
        text.push_str(&format!("{line}\n"));
    }
    text
}

fn left_out<'a>(joined: &'a Joined, edge: &EdgeInPhoto) -> Option<&'a crate::picture::join::LeftOut> {
    joined.left_out.iter().find(|out| out.photo == edge.photo && out.ends == edge.ends)
}

fn document(loaded: &Loaded, joined: &Joined) -> String {
    let survey = &loaded.job.survey;
    let name = |point: crate::base::ids::PointId| survey.points[point.index()].name.clone();
    let edge = |edge: &EdgeInPhoto| -> Value {
        let out = left_out(joined, edge).map(|out| out.by);
        let mut value = json!({
            "photo": edge.photo,
            "file": survey.photos[edge.photo].file,
            "ends": edge.ends.map(name),
            "counts": edge.found.is_ok() && out.is_none(),
        });
        match &edge.found {
            Ok(found) => {
                value["at"] = json!(found.at);
                value["sigma"] = json!(found.sigma);
                value["sigma_in_picture"] = json!(found.in_picture);
                value["share"] = json!(found.share);
                value["misses_by"] = json!(out);
            }
            Err(why) => value["refused"] = json!(why.code()),
        }
        value
    };
    let value = json!({
        "format": "eavewright-edges/1",
        "edges": joined.edges.iter().map(edge).collect::<Vec<_>>(),
        "area_95_without": joined.before.area_95(),
        "area_95_with": joined.adjusted.report.area_95(),
    });
    format!("{value:#}\n")
}
