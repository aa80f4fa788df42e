//! Makes the man page anew: `cargo run -p samepoint --example make_man_page`.

mod page;

fn main() -> std::io::Result<()> {
    std::fs::write(page::path(), page::page()?)
}
