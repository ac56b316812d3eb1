//! The first page of the sheet runs the job: what forbids it, its measures, six lines of the order and the checks stand on it,
//! whatever the paper and the units.

use eavewright::base::finding::{Finding as _, Severity};
use eavewright::base::units::LengthUnit;
use eavewright::drawing::job_sheet::{Audience, SheetInput, job_sheet};
use eavewright::drawing::typeset::document::{Block, Document};
use eavewright::drawing::typeset::pages::pages;
use eavewright::drawing::typeset::paper::{PaperSize, Series};
use eavewright::drawing::{Context, Drawing};
use eavewright::input;
use eavewright::job::answer::Answer;
use eavewright::job::{self, Job, order};
use eavewright::takeoff::answer::TakeOff;
use eavewright::wording::{self, About, summary};
use std::path::Path;

/// A job of a roof file.
fn of_file(name: &str) -> Job {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(name);
    let text = std::fs::read_to_string(&path).unwrap();
    input::read(name, &text, &input::Beside::of(&path)).unwrap_or_else(|errors| panic!("{errors:?}")).0
}

/// Papers with units as they come together and crossed.
const PAPERS: [(Series, PaperSize, LengthUnit); 4] = [
    (Series::Iso, PaperSize::A4, LengthUnit::Metre),
    (Series::American, PaperSize::LETTER, LengthUnit::Foot),
    (Series::Iso, PaperSize::A4, LengthUnit::Foot),
    (Series::American, PaperSize::LETTER, LengthUnit::Metre),
];

/// The sheet of a job on a paper, as parts and as pages.
fn sheet(job: &Job, (series, paper, units): (Series, PaperSize, LengthUnit)) -> Sheet {
    let job = Job { units, ..job.clone() };
    let answer = job::solve(&job, &job::Options::default()).unwrap();
    let take_off = order::take_off(&job, &answer);
    let context = Context { series, sheet: Some(paper), ..Context::of(&job) };
    let input = SheetInput {
        job: &job,
        answer: &answer,
        take_off: &take_off,
        context: &context,
        audience: Audience::Own,
        full: false,
    };
    let document = job_sheet(&input);
    let pages = pages(&document, paper);
    Sheet { job, answer, take_off, document, pages }
}

struct Sheet {
    job: Job,
    answer: Answer,
    take_off: TakeOff,
    document: Document,
    pages: Vec<Drawing>,
}

/// The words of a page with all their blanks taken for one.
fn words(page: &Drawing) -> String {
    let told = page.texts().map(|text| text.words.as_str()).collect::<Vec<_>>().join(" ");
    told.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Every word of a sentence stands on a page in its order, whatever lines it is broken into.
fn holds(page: &str, sentence: &str) -> bool {
    page.contains(&sentence.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// What is wrong with a first page.
fn faults(sheet: &Sheet) -> Vec<String> {
    let page = words(&sheet.pages[0]);
    let about = About::of(&sheet.job, &sheet.answer.roof);
    let mut wrong = Vec::new();
    let stops = sheet.answer.findings.iter().filter(|one| one.severity() == Severity::Stop);
    let of_roof = stops.map(|one| wording::finding::sentence(&about, one));
    let of_order = sheet.take_off.findings.iter().filter(|one| one.severity() == Severity::Stop);
    let of_order = of_order.map(|one| wording::takeoff::finding(one, about.roof, about.units));
    for told in of_roof.chain(of_order) {
        // Its first letter is a capital on the page, its faces and full stop follow.
        let told: String = told.chars().skip(1).collect();
        let at = page.find(&told.split_whitespace().collect::<Vec<_>>().join(" "));
        match (at, page.find("the roof measure")) {
            (Some(at), Some(table)) if at < table => {}
            (at, table) => wrong.push(format!("stop at {at:?}, measures at {table:?}: {told}")),
        }
    }
    for line in sheet.take_off.foremost(summary::LINES) {
        let told = summary::bought(line, about.units);
        if !holds(&page, &told) {
            wrong.push(format!("not on the first page: {told}"));
        }
    }
    for words in ["to cover", "pitch", "The order in short", "Check on site"] {
        if !page.contains(words) {
            wrong.push(format!("not on the first page: {words}"));
        }
    }
    let checks = sheet.document.parts().into_iter().find_map(|block| match block {
        Block::Checks(points) => Some(points.clone()),
        _ => None,
    });
    for check in checks.unwrap_or_default() {
        if !holds(&page, &check) {
            wrong.push(format!("not on the first page: {check}"));
        }
    }
    wrong
}

/// Where a covering needs 15°, 12° stands on the first page and before all else.
const FLAT: &str = "title = \"Flat shed\"\nunits = \"m\"\n[[block]]\nname = \"shed\"\nheight = 2.1\nsides = [\n\
    { from = \"A\", at = [0, 0], pitch = 12 },\n{ from = \"B\", at = [6, 0], verge = true },\n\
    { from = \"C\", at = [6, 3], abutment = true },\n{ from = \"D\", at = [0, 3], verge = true },\n]\n";

#[test]
fn the_first_page_holds_what_forbids_the_order_and_the_checks() {
    let (flat, ..) = input::read("flat.toml", FLAT, &input::NoFiles).unwrap();
    let files = [
        "examples/boat_store.toml",
        "examples/hipped_store.toml",
        "examples/stable_l.toml",
        "examples/field_shed.toml",
        "examples/lean_to.toml",
        "tests/drawings/dormered_barn.toml",
        "tests/drawings/feet_and_gablets.toml",
        "tests/drawings/half_hips.toml",
    ];
    let jobs = files.map(|file| (file, of_file(file))).into_iter().chain([("flat", flat)]);
    for (name, job) in jobs {
        for paper in PAPERS {
            let sheet = sheet(&job, paper);
            assert_eq!(faults(&sheet), Vec::<String>::new(), "{name} on {} in {:?}", paper.1.name, paper.2);
        }
    }
}

#[test]
fn a_pitch_that_forbids_the_covering_stands_first() {
    let (flat, ..) = input::read("flat.toml", FLAT, &input::NoFiles).unwrap();
    for paper in PAPERS {
        let sheet = sheet(&flat, paper);
        let page = words(&sheet.pages[0]);
        let (stop, needs) = (page.find("Stop").unwrap(), page.find("needs at least 15.0°").unwrap());
        assert!(stop < needs && needs < page.find("to cover").unwrap(), "{page}");
    }
}

/// Measures are told with how far they may be off, and are those of the answer.
#[test]
fn the_measures_are_those_of_the_answer() {
    let sheet = sheet(&of_file("examples/boat_store.toml"), PAPERS[0]);
    let page = words(&sheet.pages[0]);
    // Hip 9.20 by 5.60 at 35 degrees: 51.52 / cos 35 = 62.89 m², hips 4.42 m, 1.96 m over its eaves at 2.40 m (closed forms).
    for told in ["62.87 ± 0.47 m²", "35.0 ± 0.6°", "4 hips", "4.41 to 4.42 ± 0.02 m", "4.36 ± 0.04 m"] {
        assert!(page.contains(told), "{told}: {page}");
    }
}

/// What is read on site is lettered large.
#[test]
fn what_is_read_on_site_is_lettered_large() {
    let sheet = sheet(&of_file("examples/boat_store.toml"), PAPERS[0]);
    let large = |words: &str| {
        let found = sheet.pages.iter().flat_map(Drawing::texts).find(|text| text.words.trim() == words);
        found.unwrap_or_else(|| panic!("\"{words}\" is nowhere")).height
    };
    for words in ["4 hips", "deck boards", "plumb cut", "gauge"] {
        assert!(large(words) >= 3.5, "{words}: {}", large(words));
    }
}

/// A simple hip takes five pages of A4 in metres; shorter paper and longer lengths take more. On five pages each trade begins its own.
#[test]
fn a_simple_hip_takes_five_pages() {
    for paper in PAPERS {
        let sheet = sheet(&of_file("examples/boat_store.toml"), paper);
        let begins: Vec<String> = sheet.pages.iter().map(words).collect();
        let most = if paper.1 == PaperSize::A4 && paper.2 == LengthUnit::Metre { 5 } else { 7 };
        assert!(sheet.pages.len() <= most, "{} pages on {} in {:?}", sheet.pages.len(), paper.1.name, paper.2);
        if most > 5 {
            continue;
        }
        for trade in ["What to order", "For the carpenter", "For the coverer"] {
            // The head of a page that goes on is the job's title and what the sheet is.
            let at = begins.iter().find_map(|page| page.find(trade)).unwrap();
            assert!(at < 40, "{trade} begins at {at} on {}", paper.1.name);
        }
    }
}
