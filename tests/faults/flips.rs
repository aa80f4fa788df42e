//! Any single bit flipped anywhere is detected, and located by line.
//!
//! The last line and the header are flipped bit by bit here, the lines between at a stride;
//! `cargo run --release -p record --example every_bit` flips every bit of all 200.

use std::path::Path;

use record::file::{End, check_chain, scan, write_all_lines};
use record::{Body, Damage, Error, Fact, Sealed};

use crate::support::{camera, facts_of, frame, in_format, long_session};

/// Facts as a whole file holds them.
pub(crate) fn lines_of(facts: &[Fact]) -> Vec<u8> {
    let mut bytes = Vec::new();
    write_all_lines(facts, &mut bytes).unwrap();
    bytes
}

/// A whole file of `count` facts in a format, format 2 with a word of its own every few lines.
pub(crate) fn file_of(count: usize, format: u32) -> Vec<u8> {
    let mut bodies = long_session(count);
    if format == 2 {
        for index in (8..count).step_by(9) {
            bodies[index] = [
                Body::Camera(camera()),
                Body::Frame(frame(8)),
                Body::Sealed(Sealed { seq: 8, sshsig: "a seal".to_owned() }),
            ][index % 3]
                .clone();
        }
    }
    lines_of(&facts_of(&in_format(format, bodies)))
}

/// How a file is looked at.
pub(crate) type Look = fn(&[u8]) -> Result<End, Error>;

/// The chain alone.
pub(crate) const CHAIN: Look = |bytes| check_chain(Path::new("flipped"), bytes).map(|(_, end)| end);

/// The chain and all that it says, as opening a session does.
pub(crate) const FACTS: Look = |bytes| scan(Path::new("flipped"), bytes).map(|scan| scan.end);

/// The damage found after flipping one bit; panics where none is.
pub(crate) fn damage_after_flip(bytes: &mut [u8], index: usize, bit: u32, look: Look) -> Damage {
    bytes[index] ^= 1 << bit;
    let seen = look(bytes);
    bytes[index] ^= 1 << bit;
    match seen {
        Ok(End::Damaged(damage)) | Err(Error::Damaged { damage, .. }) => damage,
        Ok(other) => panic!("byte {index} bit {bit}: {other:?}"),
        Err(other) => panic!("byte {index} bit {bit}: {other}"),
    }
}

/// Where each line of a file begins, and where the file ends.
pub(crate) fn line_starts(bytes: &[u8]) -> Vec<usize> {
    let ends = bytes.iter().enumerate().filter(|(_, byte)| **byte == b'\n');
    std::iter::once(0).chain(ends.map(|(at, _)| at + 1)).collect()
}

#[test]
fn any_single_bit_flip_is_found_and_located() {
    for format in [1, 2] {
        flip(file_of(200, format));
    }
}

#[cfg(test)]
fn flip(mut bytes: Vec<u8>) {
    let line_starts = line_starts(&bytes);
    assert_eq!(line_starts.len(), 201);
    let whole = |line: usize| line_starts[line - 1]..line_starts[line];
    let mut check = |index: usize, bit, look| {
        // A line's LF is its own.
        let line = line_starts.partition_point(|&start| start <= index) as u64;
        let damage = damage_after_flip(&mut bytes, index, bit, look);
        assert_eq!(damage.line, line, "byte {index} bit {bit}: {damage}");
        assert_eq!(damage.offset, line_starts[line as usize - 1] as u64);
    };
    for index in whole(1).chain(whole(200)) {
        (0..8).for_each(|bit| check(index, bit, CHAIN));
    }
    // A prime stride meets every place in a line sooner or later.
    for index in (line_starts[1]..line_starts[199]).step_by(307) {
        check(index, index as u32 % 8, CHAIN);
    }
    for index in (line_starts[0]..line_starts[200]).step_by(4001) {
        check(index, index as u32 % 8, FACTS);
    }
}

#[test]
fn a_session_stands_every_attack() {
    for format in [1, 2] {
        crate::attacks::stands_every_attack(
            &facts_of(&in_format(format, long_session(12))),
            &crate::support::real(),
        );
    }
}
