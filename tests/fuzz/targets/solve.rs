#![no_main]

#[path = "../inputs.rs"]
mod inputs;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| inputs::solve(bytes));
