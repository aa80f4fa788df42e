//! Signals that would end the program where an error can be told.

/// From here on a write beyond the system's limit on a file's size fails with an error like any other,
/// instead of ending the program (SIGXFSZ).
///
/// Where there are no signals there is nothing to do. Should the system refuse, all stays as it was.
pub fn outlive_the_file_size_limit() {
    #[cfg(unix)]
    {
        // Taking the signal is all that is wanted of it: nobody looks at the flag.
        let taken = std::sync::Arc::default();
        if let Err(why) = signal_hook::flag::register(signal_hook::consts::SIGXFSZ, taken) {
            log::warn!("the file-size limit cannot be outlived: {why}");
        }
    }
}
