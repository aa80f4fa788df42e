//! Makes `demo-data` again, byte for byte: `cargo run -p record --example make_demo_data [FOLDER]`.

mod bench;
mod readings;
mod readme;
mod workshop;

use std::path::{Path, PathBuf};
use std::{env, fs, io};

fn main() -> io::Result<()> {
    let folder = env::args_os().nth(1).map_or_else(
        || Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-data"),
        PathBuf::from,
    );
    for (name, bytes) in workshop::files() {
        let path = folder.join(name);
        if let Some(parent) = path.parent() {
            fs::create_dir_all(parent)?;
        }
        fs::write(path, bytes)?;
    }
    Ok(())
}
