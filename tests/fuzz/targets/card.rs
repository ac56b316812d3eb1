//! Any text as a material card: read whole, or refused with a reason.
#![no_main]

use eavewright::base::diagnostic::Severity;
use eavewright::input::card;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let (read, found) = card::read("card.toml", text);
    let wrong = found.iter().any(|diagnostic| diagnostic.severity == Severity::Error);
    assert!(read.is_some() || wrong, "refused without a reason");
});
