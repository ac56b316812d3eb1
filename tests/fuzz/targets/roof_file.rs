//! See `checks/roof_file.rs`.
#![no_main]

#[path = "../checks/roof_file.rs"]
mod roof_file;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| roof_file::check(bytes));
