//! `samepoint tables`: what shops hold, for other programs.

use std::process::ExitCode;

fn main() -> ExitCode {
    outlive_the_file_size_limit();
    let (mut out, mut err) = (std::io::stdout().lock(), std::io::stderr().lock());
    ExitCode::from(tables::run(std::env::args_os(), &mut out, &mut err))
}

/// A write beyond the system's limit on a file's size fails like any other, instead of ending the program.
fn outlive_the_file_size_limit() {
    #[cfg(unix)]
    {
        let taken = std::sync::Arc::default();
        // Should the system refuse, all stays as it was.
        let _ = signal_hook::flag::register(signal_hook::consts::SIGXFSZ, taken);
    }
}
