//! wip
#![allow(clippy::unwrap_used, clippy::expect_used)]
use eavewright::{cli::diagnostics, input};
#[test]
fn examples_read() {
    let mut texts: Vec<(String, String)> = std::fs::read_dir("examples")
        .unwrap()
        .map(|f| {
            let p = f.unwrap().path();
            (p.display().to_string(), std::fs::read_to_string(p).unwrap())
        })
        .collect();
    for t in eavewright::cli::new::TEMPLATES {
        texts.push((t.shape.to_owned(), t.text.to_owned()));
    }
    for (name, text) in texts {
        match input::read(&name, &text, &input::NoFiles) {
            Ok((_, _, d)) => {
                assert!(d.is_empty(), "{}", diagnostics::render(&name, &text, &d, diagnostics::Style::Plain))
            }
            Err(d) => panic!("{}", diagnostics::render(&name, &text, &d, diagnostics::Style::Plain)),
        }
    }
}
