//! Any single bit flipped anywhere is detected, and located by line.
//!
//! The last two lines and the header are flipped bit by bit here, the lines between at a stride;
//! `cargo run --release -p record --example every_bit` flips every bit of all 200.

use std::path::Path;

use record::file::{End, scan};
use record::{Damage, Error};

use crate::support::{facts_of, long_session};

/// A whole file of `count` facts.
pub(crate) fn file_of(count: usize) -> Vec<u8> {
    let mut bytes = Vec::new();
    record::file::write_all_lines(&facts_of(&long_session(count)), &mut bytes).unwrap();
    bytes
}

/// The damage found after flipping one bit; panics where none is.
pub(crate) fn damage_after_flip(bytes: &mut [u8], index: usize, bit: u32) -> Damage {
    bytes[index] ^= 1 << bit;
    let scanned = scan(Path::new("flipped"), &bytes[..]);
    bytes[index] ^= 1 << bit;
    match scanned {
        Ok(scan) => match scan.end {
            End::Damaged(damage) => damage,
            other => panic!("byte {index} bit {bit}: {other:?}"),
        },
        Err(Error::Damaged { damage, .. }) => damage,
        Err(other) => panic!("byte {index} bit {bit}: {other}"),
    }
}

/// The line a byte belongs to, from 1; a line's LF is its own.
pub(crate) fn line_of_byte(bytes: &[u8], index: usize) -> u64 {
    1 + bytes[..index].iter().filter(|&&byte| byte == b'\n').count() as u64
}

#[test]
fn any_single_bit_flip_is_found_and_located() {
    let mut bytes = file_of(200);
    let line_starts: Vec<usize> = std::iter::once(0)
        .chain(bytes.iter().enumerate().filter(|(_, byte)| **byte == b'\n').map(|(at, _)| at + 1))
        .collect();
    assert_eq!(line_starts.len(), 201);
    let whole = |line: usize| line_starts[line - 1]..line_starts[line];
    // A prime stride meets every place in a line sooner or later.
    let between = (line_starts[1]..line_starts[198]).step_by(211);
    for index in whole(1).chain(between).chain(whole(199)).chain(whole(200)) {
        let line = line_of_byte(&bytes, index);
        // Flips before the last lines fail early, so only the last lines cost a full read.
        for bit in 0..8 {
            let damage = damage_after_flip(&mut bytes, index, bit);
            assert_eq!(damage.line, line, "byte {index} bit {bit}: {damage}");
            assert_eq!(damage.offset, line_starts[line as usize - 1] as u64);
        }
    }
}
