#![no_main]

#[path = "../entries.rs"]
#[allow(dead_code, reason = "each target uses one entry")]
mod entries;

libfuzzer_sys::fuzz_target!(|data: &[u8]| entries::reading(data));
