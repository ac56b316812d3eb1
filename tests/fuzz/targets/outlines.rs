//! See `checks/outlines.rs`.
#![no_main]

#[path = "../checks/outlines.rs"]
mod outlines;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| outlines::check(bytes));
