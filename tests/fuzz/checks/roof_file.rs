//! Any text as a roof file: it is read or refused with messages that have a place in it and a word; nothing panics.

use eavewright::input::{self, NoFiles};

pub fn check(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let _ = input::edit::outline(text);
    if let Err(found) = input::read("roof.toml", text, &NoFiles) {
        assert!(!found.is_empty(), "refused without a reason");
        for diagnostic in found {
            assert!(!diagnostic.message.is_empty() && !diagnostic.code.is_empty());
            if let Some(span) = diagnostic.span.filter(|_| diagnostic.file.is_none()) {
                assert!(span.start <= span.end && span.end <= text.len(), "{span:?} lies outside the text");
                assert!(text.is_char_boundary(span.start) && text.is_char_boundary(span.end), "{span:?}");
            }
        }
    }
}
