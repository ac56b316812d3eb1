//! The sheet as a page for a phone: whole in itself, the same each time, its ticks kept under what it says.

use eavewright::drawing::Context;
use eavewright::drawing::job_sheet::{Audience, SheetInput, job_sheet};
use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Job, order};
use eavewright::write::html;
use eavewright::write::page::page;
use std::path::Path;

fn read(text: &str) -> Job {
    let (job, ..) = input::read("job.toml", text, &NoFiles).unwrap_or_else(|errors| panic!("{errors:?}"));
    job
}

fn example(name: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(name)).unwrap()
}

/// The page of a job, and the sheet as plain HTML.
fn pages(job: &Job, audience: Audience) -> (String, String) {
    let answer = job::solve(job, &job::Options::default()).unwrap();
    let take_off = order::take_off(job, &answer);
    let context = Context::of(job);
    let input = SheetInput { job, answer: &answer, take_off: &take_off, context: &context, audience, full: false };
    let document = job_sheet(&input);
    (page(&document, &input), html::html(&document, input.paper()))
}

/// An attribute of the page's root.
fn of_root<'a>(page: &'a str, name: &str) -> &'a str {
    let root = page.split_once("<html").unwrap().1;
    root.split_once(&format!("{name}=\"")).unwrap().1.split_once('"').unwrap().0
}

/// The page without what stands in its scripts.
fn without_scripts(page: &str) -> String {
    let mut parts = page.split("<script");
    let mut rest = parts.next().unwrap().to_owned();
    for part in parts {
        rest.push_str(part.split_once("</script>").unwrap().1);
    }
    rest
}

#[test]
fn a_page_is_whole_in_itself_and_the_same_each_time() {
    for name in ["stable_l.toml", "boat_store.toml", "lean_to.toml"] {
        let job = read(&example(name));
        let (page, plain) = pages(&job, Audience::Own);
        assert!(page == pages(&job, Audience::Own).0, "{name}");
        let said = without_scripts(&page);
        for words in ["src=", "url(", "@import", "<link", "<iframe", "href=\"http", "srcset"] {
            assert!(!said.contains(words), "{name}: {words}");
        }
        // Its own policy forbids what it does not need.
        assert!(said.contains("default-src 'none'") && !said.contains("connect-src"), "{name}");
        // Two scripts: what is drawn, and what draws it.
        assert_eq!(page.matches("<script").count(), 2, "{name}");
        assert_eq!(page.matches("</script>").count(), 2, "{name}");
        assert!(page.contains("Permission is hereby granted") && page.contains("three.js authors"), "{name}");
        // All that the sheet says stands on it, word for word.
        let body = |page: &str| page.split_once("<main>").unwrap().1.split_once("</main>").unwrap().0.to_owned();
        let on_page = body(&page);
        for line in body(&plain).lines().filter(|line| !line.is_empty()) {
            assert!(on_page.contains(line), "{name}: {line}");
        }
    }
}

#[test]
fn every_roof_face_has_a_card_with_all_its_edges() {
    let job = read(&example("stable_l.toml"));
    let answer = job::solve(&job, &job::Options::default()).unwrap();
    let (page, _) = pages(&job, Audience::Own);
    let cards: Vec<&str> = page.split("<section class=\"card\"").skip(1).collect();
    assert_eq!(cards.len(), answer.roof.roof_faces().count());
    for ((_, face), card) in answer.roof.roof_faces().zip(&cards) {
        let card = card.split_once("</section>").unwrap().0;
        assert!(card.contains(&format!("<h2>Face {}</h2>", face.name())), "{card}");
        assert_eq!(card.matches("data-edge=").count(), face.edges.len(), "{card}");
        for heading in ["<h3>Courses</h3>", "<h3>Cuts</h3>", "data-drawing=\"drawing-face-"] {
            assert!(card.contains(heading), "{heading}: {card}");
        }
        // The drawing it opens stands on the page.
        let drawing = card.split_once("data-drawing=\"").unwrap().1.split_once('"').unwrap().0;
        assert!(page.contains(&format!("<figure id=\"{drawing}\"")), "{drawing}");
    }
    let (client, _) = pages(&job, Audience::Client);
    assert!(client.contains("<section class=\"card\""));
    for words in ["<h3>Cuts</h3>", "<h3>Courses</h3>", "jack side cut", "data-drawing=\"drawing-face-"] {
        assert!(!without_scripts(&client).contains(words), "{words}");
    }
}

#[test]
fn ticks_are_kept_under_what_the_job_says() {
    let text = example("stable_l.toml");
    let (page, _) = pages(&read(&text), Audience::Own);
    let retitled = text.replacen("title = \"", "title = \"The other ", 1);
    let content = of_root(&page, "data-content").to_owned();
    assert_eq!(content.len(), 8);
    assert_eq!(of_root(&pages(&read(&text), Audience::Own).0, "data-content"), content);
    for (from, to) in [("pitch = 32", "pitch = 33"), ("length = 9.60", "length = 9.61")] {
        let changed = text.replace(from, to);
        assert_ne!(changed, text, "the example no longer holds what this changes");
        let (other, _) = pages(&read(&changed), Audience::Own);
        assert_ne!(of_root(&other, "data-content"), content);
        assert_eq!(of_root(&other, "data-job"), of_root(&page, "data-job"));
    }
    let (other, _) = pages(&read(&retitled), Audience::Own);
    assert_ne!(of_root(&other, "data-job"), of_root(&page, "data-job"));
}

#[test]
fn words_of_a_stranger_stay_words() {
    let told = "</script><script>alert(1)</script>\\\" onload=\\\"x";
    let text = example("boat_store.toml").replacen("title = \"", &format!("title = \"{told}"), 1);
    let (page, _) = pages(&read(&text), Audience::Own);
    assert_eq!(page.matches("<script").count(), 2);
    assert!(!page.contains("alert(1)</script>") && !page.contains("\" onload=\"x"));
    // A block's name reaches names of faces, in cards and labels.
    let text = example("boat_store.toml").replace("\"store\"", "\"a<b>&\\\"c\"");
    if let Ok((job, ..)) = input::read("job.toml", &text, &NoFiles) {
        let (page, _) = pages(&job, Audience::Own);
        assert!(!page.contains("<b>&") && page.matches("<script").count() == 2);
    }
}
