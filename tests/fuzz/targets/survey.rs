//! See `checks/survey.rs`.
#![no_main]

#[path = "../checks/survey.rs"]
mod survey;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| survey::check(bytes));
