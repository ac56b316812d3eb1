//! See `checks/command.rs`.
#![no_main]

#[path = "../checks/command.rs"]
mod command;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| command::check(bytes));
