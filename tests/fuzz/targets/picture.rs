//! See `checks/picture.rs`.
#![no_main]

#[path = "../checks/picture.rs"]
mod picture;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| picture::check(bytes));
