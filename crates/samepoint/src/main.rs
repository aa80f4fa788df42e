//! samepoint: from readings to rings, at the bench or on the command line.

use std::io::Write as _;
use std::process::ExitCode;

use samepoint::cli::{Invocation, run};

fn main() -> ExitCode {
    samepoint::signals::outlive_the_file_size_limit();
    samepoint::launch::put_on_paper();
    let (mut out, mut err) = (std::io::stdout().lock(), std::io::stderr().lock());
    let path = match run(std::env::args_os(), &mut out, &mut err) {
        Invocation::Done(code) => return code,
        Invocation::Bench { path } => path,
    };
    drop((out, err));
    match samepoint::launch::open(path) {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            // Where even standard error is closed, the exit code has to say it.
            let _ = writeln!(std::io::stderr(), "samepoint: {why}");
            #[cfg(windows)]
            samepoint::launch::say_on_desktop(&why);
            ExitCode::from(2)
        }
    }
}
