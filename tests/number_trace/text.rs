//! No orphan number: every number a person reads in text, tables, sheet and drawings is found in the answers' JSON, among
//! numbers that measure the same, within its printed digits, in metres and in feet.

use super::answers::Answers;
use super::case::{Case, cases};
use super::exceptions;
use super::printed;
use eavewright::base::units::Pitch;
use eavewright::cli::{compare, draw, repair, sheet, solve_text, takeoff};
use eavewright::drawing::job_sheet::{Audience, SheetInput, handover_sheet, job_sheet, offer_sheet};
use eavewright::drawing::{Context, Drawing};
use eavewright::job::order;
use eavewright::write::html;
use eavewright::write::page;
use eavewright::write::repair_json::RepairTwin;
use eavewright::write::takeoff_json::CompareTwin;
use exceptions::plain;
use printed::{Printed, numbers, numbers_of_page};
use std::collections::BTreeMap;

/// What was traced and what was not, by output.
#[derive(Default)]
struct Tally {
    traced: BTreeMap<&'static str, usize>,
    orphans: Vec<String>,
    unknown: Vec<String>,
}

impl Tally {
    fn count(&mut self, output: &'static str, case: &Case, answers: &Answers, read: &[Printed]) {
        for number in read {
            if answers.hold(number) {
                *self.traced.entry(output).or_default() += 1;
            } else {
                self.orphans.push(format!("{output}, {}: {:?} {}", case.name, number.class, number.context));
            }
        }
        self.unknown.extend(answers.unknown.iter().cloned());
    }

    fn judge(mut self) {
        println!("numbers traced: {:?}", self.traced);
        self.unknown.sort();
        self.unknown.dedup();
        let mut seen = std::collections::BTreeSet::new();
        // One of each kind is enough to mend it.
        self.orphans.retain(|orphan| seen.insert(orphan.clone()));
        if let Some(path) = std::env::var_os("ORPHANS") {
            std::fs::write(path, self.orphans.join("\n")).unwrap();
        }
        assert!(self.unknown.is_empty(), "keys whose meaning the test does not know: {:#?}", self.unknown);
        let first: Vec<&String> = self.orphans.iter().take(60).collect();
        assert!(self.orphans.is_empty(), "{} numbers stand in no answer: {first:#?}", self.orphans.len());
        assert!(self.traced.values().all(|count| *count > 100));
    }
}

#[test]
fn every_number_of_solve_is_in_its_answer() {
    let mut tally = Tally::default();
    for case in cases() {
        let answers = case.answers(&[case.solved()]);
        let text = solve_text::text(&case.job, &case.answer) + &solve_text::steps(&case.job, &case.answer);
        tally.count("solve", &case, &answers, &numbers_of_page(&plain(&text, &answers)));
    }
    tally.judge();
}

#[test]
fn every_number_of_take_off_and_comparison_is_in_their_answers() {
    let mut tally = Tally::default();
    for case in cases() {
        // What casts doubt on the roof stands first in its take-off too.
        let answers = case.answers(&[case.solved(), case.taken_off()]);
        for full in [false, true] {
            let text = takeoff::text(&case.job, &case.answer, &case.take_off, full);
            let output = if full { "takeoff --full" } else { "takeoff" };
            tally.count(output, &case, &answers, &numbers_of_page(&plain(&text, &answers)));
        }
        if !case.job.repairs.is_empty() {
            let (repairs, findings) = order::repairs(&case.job, &case.answer, &case.take_off);
            assert!(!repairs.is_empty() && findings.is_empty(), "{}: {findings:?}", case.name);
            let roof = &case.answer.roof;
            let told = serde_json::to_value(RepairTwin::new(&repairs, &findings, roof, case.format())).unwrap();
            let text = repair::text(&case.job, roof, (&repairs, &findings), case.format());
            let answers = case.answers(&[told]);
            tally.count("repair", &case, &answers, &numbers_of_page(&plain(&text, &answers)));
        }
        let pitches: Vec<Pitch> =
            [20.0, 30.0, 40.0, 50.0].map(|degrees| Pitch::from_degrees(degrees).unwrap()).to_vec();
        if let Ok(rows) = order::compare(&case.job, &[], &pitches) {
            let answers =
                case.answers(&[serde_json::to_value(CompareTwin::new(&rows, &case.job, case.format())).unwrap()]);
            let text = compare::text(&case.job, &rows, case.format());
            tally.count("compare", &case, &answers, &numbers_of_page(&plain(&text, &answers)));
        }
    }
    tally.judge();
}

/// The lettering of a drawing, each line by itself.
fn lettering(drawing: &Drawing, answers: &Answers) -> Vec<Printed> {
    let told = drawing.texts().map(|text| plain(&text.words, answers));
    let told = told.filter(|words| !exceptions::is_of_scale_bar(words.trim()));
    told.flat_map(|words| numbers(&words, None)).collect()
}

#[test]
fn every_number_of_drawings_is_in_the_answers() {
    let mut tally = Tally::default();
    for case in cases() {
        let answers = case.answers(&[case.solved(), case.taken_off()]);
        let context = Context::of(&case.job);
        for drawing in draw::drawings(&case.answer, Some(&case.take_off), &case.job, &context) {
            let read = if exceptions::is_numbered(&drawing.name) {
                exceptions::without_ordinals(&drawing, &answers)
            } else {
                lettering(&drawing, &answers)
            };
            tally.count("drawings", &case, &answers, &read);
        }
    }
    tally.judge();
}

#[test]
fn every_number_of_the_sheet_is_in_the_answers() {
    let mut tally = Tally::default();
    for case in cases() {
        let answers = case.answers(&[case.solved(), case.taken_off()]);
        let context = Context::of(&case.job);
        // All of it where it is soon drawn; drawings have a test of their own.
        let full = case.answer.roof.faces.len() <= 6;
        for audience in [Audience::Own, Audience::Client] {
            let input = SheetInput {
                job: &case.job,
                answer: &case.answer,
                take_off: &case.take_off,
                context: &context,
                audience,
                full,
            };
            let document = job_sheet(&input);
            let page = exceptions::of_html(&page::page(&document, &input), &answers);
            tally.count("sheet as HTML", &case, &answers, &page);
            if audience == Audience::Client {
                for document in [offer_sheet(&input), handover_sheet(&input)] {
                    let page = exceptions::of_html(&html::html(&document, input.paper()), &answers);
                    tally.count("offer and handover as HTML", &case, &answers, &page);
                }
            }
        }
    }
    tally.judge();
}

/// The words of a PDF as another program reads them out of its bytes; `None` where that program is missing.
fn words_of(pdf: &[u8]) -> Option<String> {
    let file = tempfile::Builder::new().suffix(".pdf").tempfile().unwrap();
    std::fs::write(file.path(), pdf).unwrap();
    let Ok(output) = std::process::Command::new("pdftotext").arg("-raw").arg(file.path()).arg("-").output() else {
        support::skipped("pdftotext", "a sheet as PDF is not read", ".ci/packages.txt");
        return None;
    };
    assert!(output.status.success());
    Some(String::from_utf8(output.stdout).unwrap())
}

/// The numbers of a page's words, line by line, without what a drawing says of itself and without numbers of courses, pieces
/// and steps that stand alone.
fn numbers_of_pdf(words: &str, head: &str, answers: &Answers) -> Vec<Printed> {
    // The heads of pages stand within paragraphs that go on over the page.
    let is_read = |line: &&str| !line.is_empty() && *line != head;
    let lines: Vec<&str> = words.lines().map(str::trim).filter(is_read).collect();
    let is_told = |at: &usize| {
        let line = lines[*at];
        let is_figure = line.parse::<u32>().is_ok() || exceptions::is_of_scale_bar(line);
        is_inches(&lines, *at)
            || !(is_figure || exceptions::is_scale_with_bar(line) || plain(line, answers).trim().is_empty())
    };
    let told: Vec<&str> = (0..lines.len()).filter(is_told).map(|at| lines[at]).collect();
    numbers(&plain(&told.join("\n"), answers).replace('\n', " "), None)
}

/// Whether a line is the inches of a length that is written upwards, a word a line: `14'`, `6`, `1/2"`.
fn is_inches(lines: &[&str], at: usize) -> bool {
    let before = at.checked_sub(1).map_or("", |before| lines[before]);
    lines[at].parse::<u32>().is_ok() && before.ends_with('\'')
}

#[test]
fn every_number_of_the_sheet_as_pdf_is_in_the_answers() {
    let mut tally = Tally::default();
    let chosen = ["gable", "lean-to", "stable_l", "felt "];
    for case in cases().iter().filter(|case| chosen.iter().any(|name| case.name.starts_with(name))) {
        let answers = case.answers(&[case.solved(), case.taken_off()]);
        let context = Context::of(&case.job);
        let input = SheetInput {
            job: &case.job,
            answer: &case.answer,
            take_off: &case.take_off,
            context: &context,
            audience: Audience::Own,
            full: false,
        };
        let pdf = sheet::sheet(&input, sheet::FileFormat::Pdf).unwrap();
        let Some(words) = words_of(&pdf) else { return };
        let head = format!("{} job sheet", case.job.title);
        tally.count("sheet as PDF", case, &answers, &numbers_of_pdf(&words, &head, &answers));
    }
    tally.judge();
}

/// A number that is changed is found out: of every number of a text shifted by a few of its last digits, few are those
/// of something else by chance.
#[test]
fn an_altered_number_is_an_orphan() {
    for case in cases().iter().filter(|case| case.name.starts_with("boat_store") || case.name.starts_with("gable")) {
        let answers = case.answers(&[case.solved()]);
        let text = solve_text::text(&case.job, &case.answer);
        let told = plain(&text, &answers);
        let read = numbers_of_page(&told);
        let measured = read.iter().filter(|number| {
            !matches!(number.class, printed::Class::Bare | printed::Class::Percent) && number.value > 60.0 * number.half
        });
        let (mut all, mut found) = (0, 0);
        for number in measured {
            for shift in [37.0, -29.0] {
                all += 1;
                let altered = Printed { value: number.value + shift * number.half, ..number.clone() };
                found += usize::from(!answers.hold(&altered));
            }
        }
        assert!(all > 60 && found * 10 >= all * 8, "{}: {found} of {all} altered numbers are noticed", case.name);
    }
}
