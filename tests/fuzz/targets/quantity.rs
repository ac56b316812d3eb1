//! See `checks/quantity.rs`.
#![no_main]

#[path = "../checks/quantity.rs"]
mod quantity;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| quantity::check(bytes));
