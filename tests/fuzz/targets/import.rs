//! See `checks/import.rs`.
#![no_main]

#[path = "../checks/import.rs"]
mod import;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| import::check(bytes));
