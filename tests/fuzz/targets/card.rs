//! See `checks/card.rs`.
#![no_main]

#[path = "../checks/card.rs"]
mod card;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| card::check(bytes));
