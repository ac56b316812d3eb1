//! Sixty-odd roofs, each on A4 and on letter, in metres and in feet, looked at as a draughtsman would.

use super::{of_pages, of_sheet};
use eavewright::base::units::LengthUnit;
use eavewright::cli::draw;
use eavewright::drawing::Context;
use eavewright::drawing::job_sheet::{Audience, SheetInput, job_sheet};
use eavewright::drawing::typeset::pages::pages;
use eavewright::drawing::typeset::paper::{PaperSize, Series};
use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Job, order};
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::atomic::{AtomicUsize, Ordering};
use support::roofs;

/// Every roof by name.
fn all() -> Vec<(String, Job)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut found = Vec::new();
    for folder in ["examples", "tests/drawings", "tests/roofs"] {
        let mut files: Vec<_> =
            std::fs::read_dir(root.join(folder)).unwrap().map(|entry| entry.unwrap().path()).collect();
        files.retain(|path| path.extension().is_some_and(|ending| ending == "toml"));
        files.sort();
        for path in files {
            let name = path.file_stem().unwrap().to_string_lossy().into_owned();
            let text = std::fs::read_to_string(&path).unwrap();
            if let Ok((job, ..)) = input::read(&name, &text, &input::Beside::of(&path)) {
                found.push((name, job));
            }
        }
    }
    let written = roofs::jobs().into_iter().map(|(number, text)| (format!("form-{number}"), text));
    let random = (0..30).map(|seed| (format!("random-{seed}"), roofs::random(seed)));
    for (name, text) in written.chain(random) {
        if let Ok((job, ..)) = input::read(&name, &text, &NoFiles) {
            found.push((name, job));
        }
    }
    found
}

/// What is looked at, and what is wrong with it, by roof and paper.
#[derive(Default)]
struct Looked {
    roofs: usize,
    drawings: usize,
    pages: usize,
    wrong: BTreeMap<String, Vec<String>>,
}

impl Looked {
    fn with(mut self, other: Self) -> Self {
        self.roofs += other.roofs;
        self.drawings += other.drawings;
        self.pages += other.pages;
        self.wrong.extend(other.wrong);
        self
    }
}

/// Every drawing and both sheets of a roof on both papers in both units; nothing where it cannot be solved.
fn look_at(name: &str, job: &Job) -> Looked {
    let mut looked = Looked::default();
    let Ok(answer) = job::solve(job, &job::Options::default()) else { return looked };
    looked.roofs = 1;
    let take_off = order::take_off(job, &answer);
    for (series, units, paper) in [
        (Series::Iso, LengthUnit::Metre, PaperSize::A4),
        (Series::American, LengthUnit::Foot, PaperSize::LETTER),
        (Series::Iso, LengthUnit::Foot, PaperSize::A4),
        (Series::American, LengthUnit::Metre, PaperSize::LETTER),
    ] {
        let job = Job { units, ..job.clone() };
        let context = Context { series, ..Context::of(&job) };
        let mut found = Vec::new();
        for drawing in draw::drawings(&answer, Some(&take_off), &job, &context) {
            looked.drawings += 1;
            let of_sheet = of_sheet(&drawing, units.is_imperial());
            found.extend(of_sheet.into_iter().map(|one| format!("{}: {one}", drawing.name)));
        }
        for audience in [Audience::Own, Audience::Client] {
            let context = Context { sheet: Some(paper), ..context.clone() };
            let (answer, take_off, context) = (&answer, &take_off, &context);
            let input = SheetInput { job: &job, answer, take_off, context, audience, full: false };
            let set = pages(&job_sheet(&input), paper);
            looked.pages += set.len();
            found.extend(of_pages(&set).into_iter().map(|one| format!("{audience:?} {one}")));
        }
        if !found.is_empty() {
            let units = if units.is_imperial() { "feet" } else { "metres" };
            looked.wrong.insert(format!("{name}, {} in {units}", paper.name), found);
        }
    }
    looked
}

/// `CRITIC=stable` looks at roofs whose name begins so; `CRITIC_OUT=FILE` keeps all that is found.
#[test]
fn sixty_roofs_are_drawn_as_a_draughtsman_would() {
    let wanted = std::env::var("CRITIC").unwrap_or_default();
    let roofs: Vec<(String, Job)> = all().into_iter().filter(|(name, _)| name.starts_with(&wanted)).collect();
    let next = AtomicUsize::new(0);
    let work = || {
        let mut looked = Looked::default();
        while let Some((name, job)) = roofs.get(next.fetch_add(1, Ordering::Relaxed)) {
            looked = looked.with(look_at(name, job));
        }
        looked
    };
    let workers = std::thread::available_parallelism().map_or(1, std::num::NonZero::get).min(8);
    let looked = std::thread::scope(|scope| {
        let threads: Vec<_> = (0..workers).map(|_| scope.spawn(work)).collect();
        threads.into_iter().map(|thread| thread.join().unwrap()).fold(Looked::default(), Looked::with)
    });
    let told: Vec<String> =
        looked.wrong.iter().flat_map(|(on, found)| found.iter().map(move |one| format!("{on}: {one}"))).collect();
    println!("{} roofs, {} drawings and {} pages: {} faults", looked.roofs, looked.drawings, looked.pages, told.len());
    if let Some(path) = std::env::var_os("CRITIC_OUT") {
        std::fs::write(path, told.join("\n")).unwrap();
    }
    assert!(looked.roofs >= 60 || !wanted.is_empty(), "only {} roofs", looked.roofs);
    assert!(told.is_empty(), "{} faults, the first of them:\n{}", told.len(), told[..told.len().min(40)].join("\n"));
}
