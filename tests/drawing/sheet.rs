//! The sheet: composed of the same drawings and tables, as PDF and as HTML; every drawing of a job at once.

use super::by_hand;
use by_hand::examples;
use eavewright::base::units::LengthUnit;
use eavewright::cli::sheet::FileFormat;
use eavewright::cli::{draw, sheet};
use eavewright::drawing::Context;
use eavewright::drawing::job_sheet::{Audience, Shape, SheetInput, field_sheet, job_sheet};
use eavewright::drawing::typeset::board::faults;
use eavewright::drawing::typeset::document::Block;
use eavewright::drawing::typeset::pages::pages;
use eavewright::drawing::typeset::paper::PaperSize;
use eavewright::drawing::views::rows;
use eavewright::input;
use eavewright::job::Job;
use eavewright::job::answer::{Answer, Spread};
use eavewright::roof::{EdgeKind, Roof};
use eavewright::survey::observation::{Listed, ObservationId, Unit};
use eavewright::survey::report::{Report, Suspect};
use eavewright::takeoff::answer::TakeOff;
use eavewright::takeoff::{TakeoffInput, take_off};
use eavewright::write::{html, pdf};
use std::path::PathBuf;
use std::process::Command;

/// A job around a roof solved elsewhere: title, units, wind, the default card.
fn job(title: &str, units: &str) -> Job {
    let text = format!(
        "title = \"{title}\"\nunits = \"{units}\"\ndate = 2026-05-01\n[site]\nwind_from = \"SW\"\nnorth = 20\n\
         [[block]]\nname = \"store\"\nheight = 2.4\nsides = [\n{{ from = \"A\", length = 9.2, turn = \"L\", pitch = 35 }},\n\
         {{ from = \"B\", length = 5.6, turn = \"L\", pitch = 35 }},\n{{ from = \"C\", length = 9.2, turn = \"L\", pitch = 35 }},\n\
         {{ from = \"D\", length = 5.6, turn = \"L\", pitch = 45 }},\n]\n\
         [[tape]]\nfrom = \"A\"\nto = \"C\"\nlength = 10.77\n"
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
            observation: ObservationId::Listed { what: Listed::Tape, index: 0, part: 0 },
            place: eavewright::base::place::Place::Observation(0),
            w: 4.2,
            redundancy: 0.31,
            smallest_detectable: 0.12,
            unit: Unit::Metre,
        }],
        ..Report::default()
    };
    let spread = Spread { face_area: vec![Some(0.08); count], total_area: Some(0.16), ..Spread::default() };
    let findings: Vec<_> = survey.findings().into_iter().map(eavewright::job::Finding::from).collect();
    let mut answer = Answer::of_roof(roof.clone()).measured_by(survey, spread);
    answer.findings.extend(findings);
    let take_off = take_off(&TakeoffInput {
        roof,
        drainage: &answer.drainage,
        openings: &[],
        covering: &job.covering,
        wind_from: job.site.wind_from,
        timbers: &[],
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
        let files = draw::draw_all(&drawings, &job.title, LengthUnit::Metre).unwrap();
        assert!(
            files
                == draw::draw_all(
                    &draw::drawings(&answer, Some(&take_off), &job, &context),
                    &job.title,
                    LengthUnit::Metre
                )
                .unwrap()
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
                let input = SheetInput {
                    job: &job,
                    answer: &answer,
                    take_off: &take_off,
                    context: &context,
                    audience,
                    full: false,
                };
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
                assert!(
                    write(FileFormat::Pdf) == write(FileFormat::Pdf)
                        && write(FileFormat::Html) == write(FileFormat::Html)
                );
            }
        }
    }
}

/// The tree of tags, as another program reads it.
#[test]
fn the_pdf_is_tagged_with_its_title_headings_tables_and_figures() {
    let (title, roof) = examples().swap_remove(1);
    let job = job(title, "m");
    let (answer, take_off) = answer(&job, &roof);
    let context = Context::of(&job);
    let audience = Audience::Own;
    let input =
        SheetInput { job: &job, answer: &answer, take_off: &take_off, context: &context, audience, full: false };
    let document = job_sheet(&input);
    let path = folder("sheets").join("tagged.pdf");
    std::fs::write(&path, sheet::sheet(&input, FileFormat::Pdf).unwrap()).unwrap();
    let path = path.to_str().unwrap();
    let (Ok(facts), Ok(tree)) =
        (Command::new("pdfinfo").arg(path).output(), Command::new("pdfinfo").args(["-struct-text", path]).output())
    else {
        missing("pdfinfo");
        return;
    };
    let facts = String::from_utf8_lossy(&facts.stdout).into_owned();
    let said = |name: &str| facts.lines().find_map(|line| line.strip_prefix(name)).unwrap_or("").trim().to_owned();
    assert_eq!((said("Title:").as_str(), said("Tagged:").as_str()), (title, "yes"), "{facts}");
    let tree = String::from_utf8_lossy(&tree.stdout).into_owned();
    let lines: Vec<&str> = tree.lines().map(str::trim).collect();
    let count = |tag: &str| lines.iter().filter(|line| line.split([' ', ':']).next() == Some(tag)).count();
    let parts = document.parts();
    let number = |wanted: fn(&Block) -> usize| parts.iter().map(|block| wanted(block)).sum::<usize>();
    assert_eq!(count("H1"), 1);
    assert_eq!(count("H2"), number(|block| usize::from(matches!(block, Block::Heading(1, _)))));
    assert_eq!(count("H3"), number(|block| usize::from(matches!(block, Block::Heading(2, _)))));
    assert_eq!(count("Table"), number(|block| usize::from(matches!(block, Block::Table(_)))));
    let figures = number(|block| match block {
        Block::Figure(..) => 1,
        Block::Figures(figures) => figures.len(),
        _ => 0,
    });
    assert_eq!(count("Figure"), figures);
    // A paragraph over two lines is read with its words apart, and page numbers are not read.
    assert!(tree.contains("Covering: Bitumen strip shingle"), "{tree}");
    assert!(!tree.contains("page 1 of"));
    let qpdf = Command::new("qpdf").args(["--check", path]).output();
    match qpdf {
        Ok(output) => assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stdout)),
        Err(_) => missing("qpdf"),
    }
}

#[test]
fn a_field_sheet_is_one_page_with_a_grid_and_the_cautions() {
    for (shape, units) in Shape::ALL.into_iter().flat_map(|shape| [(shape, "m"), (shape, "ft")]) {
        for paper in [PaperSize::A4, PaperSize::LETTER] {
            let context = Context { sheet: Some(paper), ..Context::of(&job("field", units)) };
            let pages = pages(&field_sheet(shape, &context), paper);
            assert_eq!(pages.len(), 1, "{} in {units} on {}", shape.word(), paper.name);
            let page = &pages[0];
            assert_eq!(faults(page), Vec::<String>::new(), "{} {}", shape.word(), page.title);
            let words: String = page.texts().map(|text| text.words.as_str()).collect::<Vec<_>>().join(" ");
            for told in ["Caution", "Ladder foot", "brittle", "asbestos", "photo", "again", "In ten minutes"] {
                assert!(words.contains(told), "{told} on the sheet of a {}", shape.word());
            }
            if shape != Shape::Points {
                for told in ["overhang", "pitch", "ground, eave", "chimney, window, pipe"] {
                    assert!(words.contains(told), "{told} on the sheet of a {}", shape.word());
                }
            }
            // A grid of squares, a dozen or more each way.
            let rules = page.strokes(|pen| pen == eavewright::drawing::Pen::Rule);
            let lines = |axis: usize| {
                let along = rules.iter().filter(|(_, from, to)| (to - from)[1 - axis].abs() < 1e-9);
                let long = along.filter(|(_, a, b)| (b - a).norm() > 20.0);
                let mut places: Vec<f64> = long.map(|(_, a, _)| a[1 - axis]).collect();
                places.sort_by(f64::total_cmp);
                places.dedup_by(|a, b| (*a - *b).abs() < 0.01);
                places.len()
            };
            assert!(lines(0) >= 12 && lines(1) >= 12, "{} by {} lines", lines(0), lines(1));
            let path = folder("field").join(format!("{}-{units}-{}.pdf", shape.word(), paper.name));
            std::fs::write(path, pdf::pdf(&pages, shape.word()).unwrap()).unwrap();
        }
    }
}

#[test]
fn a_client_sees_neither_purchase_prices_nor_cut_list() {
    let (_, roof) = examples().swap_remove(0);
    let job = job("store", "m");
    let (answer, take_off) = answer(&job, &roof);
    let context = Context::of(&job);
    let input = |audience| SheetInput {
        job: &job,
        answer: &answer,
        take_off: &take_off,
        context: &context,
        audience,
        full: false,
    };
    let own = html::html(&job_sheet(&input(Audience::Own)), PaperSize::A4);
    let client = html::html(&job_sheet(&input(Audience::Client)), PaperSize::A4);
    for words in
        ["What to order", "For the carpenter", "Common rafters", "ape store.A-store.C is in doubt", "plumb cut"]
    {
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
    let input = SheetInput {
        job: &job,
        answer: &answer,
        take_off: &take_off,
        context: &context,
        audience: Audience::Own,
        full: true,
    };
    let path = folder("sheets").join("printed.html");
    std::fs::write(&path, html::html(&job_sheet(&input), PaperSize::A4)).unwrap();
    match Command::new("xmllint").args(["--html", "--noout", path.to_str().unwrap()]).output() {
        // The tool knows HTML 4, not main, figure and SVG within: those tags alone may be complained about.
        Ok(output) => {
            let said = String::from_utf8_lossy(&output.stderr).into_owned();
            let real: Vec<&str> =
                said.lines().filter(|line| line.contains("error") && !line.contains("invalid")).collect();
            assert_eq!(real, Vec::<&str>::new());
        }
        Err(_) => missing("xmllint"),
    }
    let printed = folder("sheets").join("printed.pdf");
    let browser = tempfile::tempdir().unwrap();
    let print = Command::new("chromium")
        .args(["--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"])
        .arg("--no-pdf-header-footer")
        .arg(format!("--user-data-dir={}", browser.path().display()))
        .arg(format!("--print-to-pdf={}", printed.display()))
        .arg(&path)
        .output();
    match print {
        Ok(output) if output.status.success() => printed_whole(&printed, &std::fs::read_to_string(&path).unwrap()),
        _ => missing("chromium"),
    }
}

/// Says that a tool is not there and what it would check was not checked. CI must have it.
fn missing(tool: &str) {
    support::skipped(tool, "a sheet is not looked at by it", ".ci/packages.txt");
}

/// Every word of the page is in the print, as often, and lies on its sheet.
fn printed_whole(print: &std::path::Path, html: &str) {
    let Ok(text) = Command::new("pdftotext").args(["-bbox", print.to_str().unwrap(), "-"]).output() else {
        missing("pdftotext");
        return;
    };
    let said = String::from_utf8_lossy(&text.stdout).into_owned();
    let attribute = |line: &str, name: &str| -> Option<f64> {
        line.split(&format!("{name}=\"")).nth(1)?.split('"').next()?.parse().ok()
    };
    let mut printed: std::collections::BTreeMap<String, i32> = std::collections::BTreeMap::new();
    let mut page = [0.0; 2];
    for line in said.lines() {
        if line.contains("<page ") {
            page = ["width", "height"].map(|name| attribute(line, name).unwrap());
        } else if line.contains("<word ") {
            let word = line.split('>').nth(1).unwrap().split('<').next().unwrap();
            let [x, far_x, y, far_y] = ["xMin", "xMax", "yMin", "yMax"].map(|name| attribute(line, name).unwrap());
            assert!(x > 0.0 && far_x < page[0] && y > 0.0 && far_y < page[1], "\"{word}\" leaves the sheet: {line}");
            *printed.entry(word.to_owned()).or_default() += 1;
        }
    }
    // What stands between tags, style and titles aside.
    let body = html.split("<body>").nth(1).unwrap();
    let mut words = 0;
    let mut missing: Vec<String> = Vec::new();
    for piece in body.split('<').skip(1) {
        let (tag, text) = piece.split_once('>').unwrap();
        // Slanted lettering is read back letter by letter.
        if tag == "title" || tag.contains("rotate") {
            continue;
        }
        let text = text.replace("&#39;", "'").replace("&quot;", "\"").replace("&lt;", "<").replace("&amp;", "&");
        for word in text.split_whitespace() {
            words += 1;
            let count = printed.entry(word.to_owned()).or_default();
            *count -= 1;
            if *count < 0 {
                missing.push(word.to_owned());
            }
        }
    }
    assert!(words > 800, "only {words} words");
    // A reader of PDF may part or join a word here and there, where signs stand close; a cut line or cell loses many.
    assert!(missing.len() * 100 <= words, "{} of {words} words are not printed: {missing:?}", missing.len());
}

#[test]
fn the_example_files_draw_and_make_their_sheets() {
    files_draw_and_make_their_sheets("examples", 4);
}

/// Roofs of invention that are hard to draw: a courtyard, joined blocks with dormers, half-hips, overhangs, feet.
#[test]
fn hard_roofs_draw_and_make_their_sheets() {
    files_draw_and_make_their_sheets("tests/drawings", 5);
}

fn files_draw_and_make_their_sheets(of: &str, least: usize) {
    let folder_of = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(of);
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder_of).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.retain(|path| path.extension().is_some_and(|ending| ending == "toml"));
    files.sort();
    assert!(files.len() >= least);
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
        for (file, bytes) in draw::draw_all(&drawings, &job.title, LengthUnit::Metre).unwrap() {
            std::fs::write(to.join(file), bytes).unwrap();
        }
        for (audience, full) in [(Audience::Own, false), (Audience::Own, true), (Audience::Client, false)] {
            let input =
                SheetInput { job: &job, answer: &answer, take_off: &take_off, context: &context, audience, full };
            // No figure is lost in silence.
            let document = job_sheet(&input);
            let captions: Vec<&str> = document
                .parts()
                .into_iter()
                .flat_map(|block| match block {
                    Block::Figure(_, caption) => vec![caption.as_str()],
                    Block::Figures(figures) => figures.iter().map(|(_, caption)| caption.as_str()).collect(),
                    _ => Vec::new(),
                })
                .collect();
            assert!(captions.contains(&"Picture"), "{name}");
            let starting = |with: &str| captions.iter().filter(|caption| caption.starts_with(with)).count();
            assert_eq!(starting("Roof plan"), 1, "{name}");
            if audience == Audience::Own {
                let (roof, openings, layouts) = (&answer.roof, &answer.openings, &take_off.layouts);
                let shapes = eavewright::drawing::views::face::groups_as_coursed(roof, openings, layouts).len();
                // One drawing for those that differ by no more than the measurements leave open; each face is named by one.
                assert!((1..=shapes).contains(&starting("True shape")), "{name}");
                for (_, face) in roof.roof_faces() {
                    let named = |caption: &&str| caption.starts_with("True shape") && caption.contains(&face.name());
                    assert!(captions.iter().any(named), "{name} {}", face.name());
                }
                // Where timbers are worked out, their plan and their list stand in place of theoretical lines.
                let framed = !answer.framing.pieces.is_empty();
                let cuts = eavewright::drawing::views::cut::groups(&answer.framing.folds).len();
                assert_eq!(starting("Cutting of"), if framed || !full { 0 } else { cuts }, "{name}");
                assert_eq!(starting("Timbers in plan"), usize::from(framed), "{name}");
            }
            assert_eq!(starting("Elevations") == 1, full, "{name}");
            let pages = pages(&document, input.paper());
            for page in &pages {
                assert_eq!(faults(page), Vec::<String>::new(), "{name} {}", page.title);
            }
            // A small roof is told on a few pages; hard ones, with a step of work for each group of faces laid alike, on more.
            let few = match of {
                // A cutting list of every timber, set large, takes a page more.
                "examples" if job.survey.photos.is_empty() && answer.framing.pieces.is_empty() => 9,
                "examples" => 10,
                _ => 12,
            };
            assert!(full || pages.len() <= few, "{name}: {} pages", pages.len());
            let bytes = sheet::sheet(&input, FileFormat::Pdf).unwrap();
            let whole = if full { "-full" } else { "" };
            std::fs::write(to.join(format!("sheet-{audience:?}{whole}.pdf")), bytes).unwrap();
            std::fs::write(to.join(format!("sheet-{audience:?}{whole}.html")), html::html(&document, input.paper()))
                .unwrap();
        }
    }
}

#[test]
fn drawn_pieces_of_underlay_and_deck_are_those_counted() {
    for (title, roof) in examples() {
        let job = job(title, "m");
        let (answer, take_off) = answer(&job, &roof);
        let shapes = eavewright::drawing::views::face::groups(&roof, &answer.openings);
        let quantity = |item: &str| take_off.line(item).unwrap().quantity.value().unwrap();
        // Deck: as many pieces as the cut list has, each of a length it lists.
        let plans = &take_off.deck_plans;
        let drawn: usize =
            rows::groups(&roof, &shapes, plans).iter().map(|(plan, alike)| plan.pieces.len() * (alike.len() + 1)).sum();
        let listed: usize = take_off.deck_cuts.iter().map(|cut| cut.count).sum();
        assert_eq!(drawn, listed, "{title}");
        let length: f64 = plans.iter().flat_map(|plan| &plan.pieces).map(|piece| piece.u[1] - piece.u[0]).sum();
        let cut: f64 = take_off.deck_cuts.iter().map(|cut| cut.length * cut.count as f64).sum();
        assert!((length - cut).abs() <= 0.000_51 * listed as f64, "{title}: {length} m drawn, {cut} m listed");
        // Underlay: what the pieces cover, laps included, and the strips down valleys are the quantity laid.
        let card = job.covering.card.underlay.as_ref().unwrap();
        let plans = &take_off.underlay_plans;
        let pieces = plans.iter().flat_map(|plan| &plan.pieces);
        let on_faces: f64 = pieces.map(|piece| (piece.u[1] - piece.u[0]) * (piece.v[1] - piece.v[0])).sum();
        let valleys = eavewright::takeoff::runs::straight(&roof, EdgeKind::Valley);
        let down_valleys: f64 =
            valleys.iter().map(eavewright::takeoff::runs::SlopeRun::length).sum::<f64>() * card.width;
        let laid = quantity("underlay");
        // A strip down a valley that a roll's end falls in has an end lap besides.
        let laps = laid - on_faces - down_valleys;
        assert!(laps > -1e-9 && laps < card.end_lap * card.width * (1.0 + valleys.len() as f64), "{title}: {laps}");
        // Every piece is on a drawing: each row has one piece more than joints.
        for (plan, alike) in rows::groups(&roof, &shapes, plans) {
            let shown = rows::Rows::underlay(&roof, plan, Context::of(&job).words);
            let mut runs = 0;
            for (row, v) in plan.rows().iter().enumerate() {
                let top = plan.pieces.iter().find(|piece| piece.row == row).unwrap().v[1];
                runs += plan.region.runs(*v, top).len();
            }
            assert_eq!(shown.joints().len() + runs, plan.pieces.len(), "{title} {:?} {alike:?}", plan.face);
            assert!(shown.remark.starts_with(&format!("{} piece", plan.pieces.len())), "{}", shown.remark);
        }
    }
}
