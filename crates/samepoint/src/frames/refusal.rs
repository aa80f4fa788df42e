//! Why there are no frames, and what to do.

use std::io;
use std::path::PathBuf;

use record::shown;

/// Why a program was not started.
#[derive(Debug, thiserror::Error)]
pub(crate) enum NoProgram {
    /// A quote has no end.
    #[error("a straight double quote in the command has no end")]
    OpenQuote,
    /// It is not there.
    #[error(
        "{} is not found on this computer: install it, or name another program",
        shown::one_line(name)
    )]
    NotFound {
        /// As typed.
        name: String,
    },
    /// The system does not start it.
    #[error("{} cannot be run: {}", shown::path(program), shown::system(why))]
    NotRun {
        /// Which.
        program: PathBuf,
        /// What the system says.
        why: io::Error,
    },
}

/// What is wrong with what a program writes.
#[derive(Debug, thiserror::Error)]
pub(crate) enum NoFrames {
    /// The system.
    #[error("its output cannot be read: {}", shown::system(.0))]
    System(#[from] io::Error),
    /// Another stream.
    #[error(
        "what it writes is no YUV4MPEG2 stream (it begins with “{}”); have it write one to its standard output, as \
         ffmpeg does with -f yuv4mpegpipe -",
        shown::one_line(begins)
    )]
    OtherStream {
        /// Its first letters.
        begins: String,
    },
    /// A line that does not end.
    #[error("a line of its stream does not end within {most} bytes")]
    LongLine {
        /// The most, bytes.
        most: usize,
    },
    /// Something its header says.
    #[error("its header says “{}”, which is no {what}", shown::one_line(said))]
    BadParameter {
        /// As it stands there.
        said: String,
        /// What it should be.
        what: &'static str,
    },
    /// Something its header does not say.
    #[error("its header does not say how {missing} a frame is")]
    NoSize {
        /// Wide or high.
        missing: &'static str,
    },
    /// Too large for a camera's.
    #[error(
        "its frames have {width} × {height} pixels, more than {most_millions} million, the most that is taken"
    )]
    TooLarge {
        /// Pixels across.
        width: usize,
        /// Pixels down.
        height: usize,
        /// The most, millions of pixels.
        most_millions: usize,
    },
    /// Lines of two moments.
    #[error("its frames are interlaced: their lines are of two moments; have it write whole ones")]
    Interlaced,
    /// A layout that is not known.
    #[error(
        "its pixels are laid out as “{}”, which is not known here; have it write grey ones",
        shown::one_line(said)
    )]
    Layout {
        /// As it stands there.
        said: String,
    },
    /// Something else where a frame should begin.
    #[error("where a frame should begin there is “{}”", shown::one_line(found))]
    NoFrame {
        /// Its first letters.
        found: String,
    },
    /// It ends within a frame or its header.
    #[error("its stream breaks off within {0}")]
    Cut(&'static str),
}
