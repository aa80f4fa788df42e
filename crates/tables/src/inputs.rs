//! What lies in a shop, by hash: when nothing of it changed, neither do its tables.

use std::fs;
use std::io::{self, Read as _};
use std::path::{Path, PathBuf};

use record::file::plain;
use sha2::{Digest as _, Sha256};

use crate::buffer::Buffers;
use crate::session::SessionItem;

/// The hash of a shop's files: those in its folder and one folder below, by name, with their contents. A file that
/// cannot be read counts by the reason.
#[must_use]
pub fn hash_of(folder: &Path) -> String {
    let mut all = Sha256::new();
    for path in files(folder) {
        let name = path.strip_prefix(folder).unwrap_or(&path).as_os_str().as_encoded_bytes();
        all.update((name.len() as u64).to_le_bytes());
        all.update(name);
        match hash_of_file(&path) {
            Ok(hash) => all.update(hash),
            Err(why) => all.update(format!("not read: {:?}", why.kind())),
        }
    }
    hex(&all.finalize())
}

/// The hash of all that a month's rows follow from: its session files with their contents, what is known of each, and
/// the rows of what lies beside them.
#[must_use]
pub fn hash_of_month(shop: &str, items: &[&SessionItem], beside: Option<&Buffers>) -> String {
    let mut all = Sha256::new();
    let mut add = |part: &str| {
        all.update((part.len() as u64).to_le_bytes());
        all.update(part);
    };
    add(shop);
    add(&format!("{beside:?}"));
    for item in items {
        add(&format!("{item:?}"));
        match hash_of_file(&item.path) {
            Ok(hash) => add(&hex(&hash)),
            Err(why) => add(&format!("{:?}", why.kind())),
        }
    }
    hex(&all.finalize())
}

/// A hash's hex digits.
#[must_use]
pub fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

fn hash_of_file(path: &Path) -> io::Result<[u8; 32]> {
    let mut file = plain::open(path)?;
    let (mut hash, mut part) = (Sha256::new(), vec![0; 1 << 16]);
    loop {
        match file.read(&mut part) {
            Ok(0) => return Ok(hash.finalize().into()),
            Ok(read) => hash.update(part.get(..read).unwrap_or_default()),
            Err(why) if why.kind() == io::ErrorKind::Interrupted => {}
            Err(why) => return Err(why),
        }
    }
}

/// Files in a folder and in those directly in it, by name; hidden ones, locks among them, are passed over.
fn files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for path in entries(folder) {
        if path.is_dir() {
            found.extend(entries(&path).into_iter().filter(|path| !path.is_dir()));
        } else {
            found.push(path);
        }
    }
    found.sort();
    found
}

fn entries(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let visible = entries.filter(|entry| !entry.file_name().as_encoded_bytes().starts_with(b"."));
    visible.map(|entry| entry.path()).collect()
}
