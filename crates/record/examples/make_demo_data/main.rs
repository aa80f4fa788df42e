//! Makes `demo-data` and `assets/windows` again, byte for byte:
//! `cargo run -p record --example make_demo_data [FOLDER]`.

mod bench;
mod chosen;
mod hands;
mod pictures;
mod readings;
mod readme;
mod sessions;
mod shop;
mod stock;
mod workshop;
mod year;

use std::error::Error;
use std::path::{Path, PathBuf};
use std::{env, fs};

fn main() -> Result<(), Box<dyn Error>> {
    let root = env::args_os()
        .nth(1)
        .map_or_else(|| Path::new(env!("CARGO_MANIFEST_DIR")).join("../.."), PathBuf::from);
    for (name, bytes) in workshop::files()? {
        let path = root.join(name);
        if let Some(parent) = path.parent() {
            fs::create_dir_all(parent)?;
        }
        fs::write(path, bytes)?;
    }
    Ok(())
}
