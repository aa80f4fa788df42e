//! Flips every single bit of a session file of 200 facts, one after the other, and demands that
//! each is found and located by line.
//!
//! `cargo run --release -p record --example every_bit`

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a check that fails by panicking and reports on the terminal"
)]

#[path = "../../../tests/faults/flips.rs"]
#[expect(dead_code, reason = "shared with the tests, which use all of it")]
mod flips;
#[path = "../../../tests/faults/support.rs"]
#[expect(dead_code, reason = "shared with the tests, which use all of it")]
mod support;

use std::time::Instant;

const FACTS: usize = 200;

fn main() {
    for format in [1, 2] {
        flip_every_bit(format);
    }
}

fn flip_every_bit(format: u32) {
    let bytes = flips::file_of(FACTS, format);
    let starts = flips::line_starts(&bytes);
    let began = Instant::now();
    let half = bytes.len() / 2;
    let found: u64 = std::thread::scope(|scope| {
        let workers = [0..half, half..bytes.len()].map(|range| {
            let (mut bytes, starts) = (bytes.clone(), &starts);
            scope.spawn(move || {
                let mut found = 0;
                for index in range {
                    let line = starts.partition_point(|&start| start <= index) as u64;
                    for bit in 0..8 {
                        let look = flips::FACTS;
                        let damage = flips::damage_after_flip(&mut bytes, index, bit, look);
                        assert_eq!(damage.line, line, "byte {index} bit {bit}: {damage}");
                        found += 1;
                    }
                }
                found
            })
        });
        workers.map(|worker| worker.join().unwrap()).iter().sum()
    });
    let (bits, seconds) = (bytes.len() * 8, began.elapsed().as_secs());
    println!(
        "format {format}, {FACTS} facts, {bits} bits: {found} flips found and located, {seconds} s"
    );
}
