//! The sheet: composed of the same drawings and tables, as PDF and as HTML; every drawing of a job at once.
#![allow(clippy::unwrap_used, clippy::expect_used)]

#[path = "drawings/support.rs"]
mod support;

use eavewright::cli::sheet::Format;
use eavewright::cli::{draw, sheet};
use eavewright::drawing::Context;
use eavewright::drawing::board::faults;
use eavewright::drawing::document::Block;
use eavewright::drawing::pages::pages;
use eavewright::drawing::paper::Sheet;
use eavewright::drawing::sheet::{Audience, Shape, SheetInput, field_sheet, job_sheet};
use eavewright::framing;
use eavewright::input;
use eavewright::job::Job;
use eavewright::job::answer::{Answer, Spread};
use eavewright::roof::Roof;
use eavewright::survey::report::{Report, Suspect};
use eavewright::takeoff::answer::TakeOff;
use eavewright::takeoff::{TakeoffInput, take_off};
use eavewright::write::{html, pdf};
use std::path::PathBuf;
use std::process::Command;
use support::examples;

/// A job around a roof solved elsewhere: title, units, wind, the default card.
fn job(title: &str, units: &str) -> Job {
    let text = format!(
        "title = \"{title}\"\nunits = \"{units}\"\ndate = 2026-05-01\n[site]\nwind_from = \"SW\"\nnorth = 20\n\
         [[block]]\nname = \"store\"\nheight = 2.4\nsides = [\n{{ from = \"A\", length = 9.2, turn = \"L\", pitch = 35 }},\n\
         {{ from = \"B\", length = 5.6, turn = \"L\", pitch = 35 }},\n{{ from = \"C\", length = 9.2, turn = \"L\", pitch = 35 }},\n\
         {{ from = \"D\", length = 5.6, turn = \"L\", pitch = 45 }},\n]\n"
    );
    let (job, ..) = input::read("job.toml", &text, &input::NoFiles).unwrap_or_else(|errors| panic!("{errors:?}"));
    job
}

fn answer(job: &Job, roof: &Roof) -> (Answer, TakeOff) {
    let count = roof.faces.len();
    let survey = Report {
        misclosures: vec![("store".to_owned(), 0.012)],
        chi2: Some(7.4),
        chi2_bounds: Some([2.7, 19.0]),
        dof: 9,
        suspects: vec![Suspect {
            observation: "tape A-C".to_owned(),
            place: eavewright::base::place::Place::Observation(0),
            w: 4.2,
            redundancy: 0.31,
            smallest_detectable: 0.12,
            unit: "m",
        }],
        ..Report::default()
    };
    let answer = Answer {
        corners: Vec::new(),
        drainage: eavewright::roof::drainage::drain(roof),
        roof: roof.clone(),
        openings: Vec::new(),
        moves: Vec::new(),
        framing: framing::cutting_data(roof),
        survey,
        spread: Spread { face_area: vec![Some(0.08); count], total_area: Some(0.16), ..Spread::default() },
        notes: roof.notes.clone(),
    };
    let take_off = take_off(&TakeoffInput {
        roof,
        openings: &[],
        covering: &job.covering,
        wind_from: job.site.wind_from,
        north: job.site.north,
        area_sd: Some(0.16),
    });
    (answer, take_off)
}

fn folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

#[test]
fn every_drawing_of_every_example_is_clean_and_the_same_each_time() {
    for (title, roof) in examples() {
        let job = job(title, "m");
        let (answer, take_off) = answer(&job, &roof);
        let context = Context::of(&job);
        let drawings = draw::drawings(&answer, Some(&take_off), &job, &context);
        for drawing in &drawings {
            assert_eq!(faults(drawing), Vec::<String>::new(), "{title} {}", drawing.name);
        }
        let files = draw::draw_all(&drawings, &job.title).unwrap();
        assert!(
            files == draw::draw_all(&draw::drawings(&answer, Some(&take_off), &job, &context), &job.title).unwrap()
        );
        let folder = folder(&format!("all-{title}"));
        for (name, bytes) in files {
            std::fs::write(folder.join(name), bytes).unwrap();
        }
    }
}

#[test]
fn sheets_of_every_example_are_clean_in_both_units() {
    for (title, roof) in examples() {
        for units in ["m", "ft"] {
            let job = job(title, units);
            let (answer, take_off) = answer(&job, &roof);
            let context = Context::of(&job);
            for audience in [Audience::Own, Audience::Client] {
                let input = SheetInput { job: &job, answer: &answer, take_off: &take_off, context: &context, audience };
                let document = job_sheet(&input);
                let pages = pages(&document, input.paper());
                for page in &pages {
                    assert_eq!(faults(page), Vec::<String>::new(), "{title} {units} {}", page.title);
                }
                let name = format!("{title}-{units}-{audience:?}");
                let folder = folder("sheets");
                std::fs::write(folder.join(format!("{name}.pdf")), pdf::pdf(&pages, title).unwrap()).unwrap();
                std::fs::write(folder.join(format!("{name}.html")), html::html(&document, input.paper())).unwrap();
                let write = |format| sheet::sheet(&input, format).unwrap();
                assert!(write(Format::Pdf) == write(Format::Pdf) && write(Format::Html) == write(Format::Html));
            }
        }
    }
}

#[test]
fn field_sheets_are_clean() {
    for shape in Shape::ALL {
        let context = Context::of(&job("field", "m"));
        for paper in [Sheet::A4, Sheet::LETTER] {
            let pages = pages(&field_sheet(shape, &context), paper);
            assert!(pages.len() <= 2, "{} takes {} pages", shape.word(), pages.len());
            for page in &pages {
                assert_eq!(faults(page), Vec::<String>::new(), "{} {}", shape.word(), page.title);
            }
            if paper == Sheet::A4 {
                let path = folder("field").join(format!("{}.pdf", shape.word()));
                std::fs::write(path, pdf::pdf(&pages, shape.word()).unwrap()).unwrap();
            }
        }
    }
}

#[test]
fn a_client_sees_neither_purchase_prices_nor_cut_list() {
    let (_, roof) = examples().swap_remove(0);
    let job = job("store", "m");
    let (answer, take_off) = answer(&job, &roof);
    let context = Context::of(&job);
    let input = |audience| SheetInput { job: &job, answer: &answer, take_off: &take_off, context: &context, audience };
    let own = html::html(&job_sheet(&input(Audience::Own)), Sheet::A4);
    let client = html::html(&job_sheet(&input(Audience::Client)), Sheet::A4);
    for words in ["What to order", "What to cut", "Common rafters", "tape A-C", "plumb cut"] {
        assert!(own.contains(words), "{words}");
        assert!(!client.contains(words), "{words}");
    }
    // Self-contained: nothing is fetched.
    for words in ["src=", "href=", "url(", "<script", "@import"] {
        assert!(!own.contains(words), "{words}");
    }
}

#[test]
fn html_is_well_formed_and_prints() {
    let (title, roof) = examples().swap_remove(1);
    let job = job(title, "m");
    let (answer, take_off) = answer(&job, &roof);
    let context = Context::of(&job);
    let input =
        SheetInput { job: &job, answer: &answer, take_off: &take_off, context: &context, audience: Audience::Own };
    let path = folder("sheets").join("printed.html");
    std::fs::write(&path, html::html(&job_sheet(&input), Sheet::A4)).unwrap();
    match Command::new("xmllint").args(["--html", "--noout", path.to_str().unwrap()]).output() {
        // The tool knows HTML 4, not main, figure and SVG within: those tags alone may be complained about.
        Ok(output) => {
            let said = String::from_utf8_lossy(&output.stderr).into_owned();
            let real: Vec<&str> =
                said.lines().filter(|line| line.contains("error") && !line.contains("invalid")).collect();
            assert_eq!(real, Vec::<&str>::new());
        }
        Err(_) => eprintln!("xmllint is not installed: the HTML was not checked"),
    }
    let printed = folder("sheets").join("printed.pdf");
    let print = Command::new("chromium")
        .args(["--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer"])
        .arg(format!("--print-to-pdf={}", printed.display()))
        .arg(&path)
        .output();
    match print {
        Ok(output) if output.status.success() => {
            let text = Command::new("pdftotext").args(["-raw", printed.to_str().unwrap(), "-"]).output();
            let Ok(text) = text else {
                eprintln!("pdftotext is not installed: the print was not read back");
                return;
            };
            let said = String::from_utf8_lossy(&text.stdout).into_owned();
            for words in ["Common rafters", "Chalk lines", "What to mind", "page 1 of", "valley"] {
                assert!(said.contains(words), "{words} not printed");
            }
        }
        _ => eprintln!("chromium is not installed: the HTML was not printed"),
    }
}

#[test]
fn the_example_files_draw_and_make_their_sheets() {
    let folder_of = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder_of).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.retain(|path| path.extension().is_some_and(|ending| ending == "toml"));
    files.sort();
    assert!(files.len() >= 4);
    for path in files {
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let text = std::fs::read_to_string(&path).unwrap();
        let (job, ..) = input::read(&name, &text, &input::Beside::of(&path)).unwrap();
        let answer = eavewright::job::solve(&job, &eavewright::job::Options::default()).unwrap();
        let take_off = eavewright::job::order::take_off(&job, &answer);
        let context = Context::of(&job);
        let drawings = draw::drawings(&answer, Some(&take_off), &job, &context);
        let mut names: Vec<&str> = drawings.iter().map(|drawing| drawing.name.as_str()).collect();
        names.sort_unstable();
        let count = names.len();
        names.dedup();
        assert_eq!(names.len(), count, "{name}: two drawings of one name");
        for drawing in &drawings {
            assert_eq!(faults(drawing), Vec::<String>::new(), "{name} {}", drawing.name);
        }
        let to = folder(&format!("example-{name}"));
        for (file, bytes) in draw::draw_all(&drawings, &job.title).unwrap() {
            std::fs::write(to.join(file), bytes).unwrap();
        }
        for audience in [Audience::Own, Audience::Client] {
            let input = SheetInput { job: &job, answer: &answer, take_off: &take_off, context: &context, audience };
            // No figure is lost in silence.
            let captions: Vec<String> = job_sheet(&input)
                .blocks
                .into_iter()
                .filter_map(|block| if let Block::Figure(_, caption) = block { Some(caption) } else { None })
                .collect();
            assert!(captions.contains(&"Picture".to_owned()) && captions.contains(&"Roof plan".to_owned()), "{name}");
            if audience == Audience::Own {
                let shapes = eavewright::drawing::face::groups(&answer.roof, &answer.openings).len();
                assert_eq!(
                    captions.iter().filter(|caption| caption.starts_with("True shape")).count(),
                    shapes,
                    "{name}"
                );
            }
            for page in pages(&job_sheet(&input), input.paper()) {
                assert_eq!(faults(&page), Vec::<String>::new(), "{name} {}", page.title);
            }
            let bytes = sheet::sheet(&input, Format::Pdf).unwrap();
            std::fs::write(to.join(format!("sheet-{audience:?}.pdf")), bytes).unwrap();
        }
    }
}
