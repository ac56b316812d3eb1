//! See `checks/kernel.rs`.
#![no_main]

#[path = "../checks/kernel.rs"]
mod kernel;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| kernel::check(bytes));
