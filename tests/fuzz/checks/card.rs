//! Any text as a material card: read whole, or refused with a reason.

use eavewright::base::diagnostic::Severity;
use eavewright::input::card;

pub fn check(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let (read, found) = card::read("card.toml", text);
    let wrong = found.iter().any(|diagnostic| diagnostic.severity == Severity::Error);
    assert!(read.is_some() || wrong, "refused without a reason");
}
