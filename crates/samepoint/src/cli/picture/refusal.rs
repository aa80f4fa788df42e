//! Why a picture cannot be used, and why a station does not go with a camera map.

/// Why a picture cannot be used, and what to do.
#[derive(Debug, thiserror::Error)]
pub(in crate::cli) enum NoGrey {
    /// Not a file, or not readable.
    #[error("{0}")]
    System(#[from] std::io::Error),
    /// Larger than any picture of a station.
    #[error("it is larger than {most_mib} MiB, the most a picture may be")]
    TooLarge {
        /// What one may be.
        most_mib: u64,
    },
    /// Nothing in it.
    #[error("it is empty")]
    Empty,
    /// Another kind of file.
    #[error("it is no PNG, PNM, JPEG or TIFF picture")]
    NoPicture,
    /// One of these, and broken.
    #[error("it cannot be read as {format}: {why}")]
    Broken {
        /// Which.
        format: &'static str,
        /// Where it breaks.
        why: image::ImageError,
    },
    /// Colours by number.
    #[error("its values are places in a palette, not brightness; save it as plain grey")]
    Palette,
    /// Colours of a press.
    #[error("its colours are four inks (CMYK), not brightness; save it as plain grey")]
    Inks,
    /// What is behind a pixel shows through.
    #[error("it has transparency; save it as plain grey")]
    Transparent,
    /// Other depths.
    #[error("its values are not of 8 or 16 bits; save it as plain grey")]
    Depth,
    /// More pixels than memory is taken for.
    #[error(
        "it has {} × {} pixels, more than {most_millions} million, the most a picture may have",
        found[0],
        found[1]
    )]
    TooManyPixels {
        /// Its own, pixels.
        found: [u32; 2],
        /// What one may have.
        most_millions: u64,
    },
    /// Another size than the camera's.
    #[error(
        "it has {} × {} pixels, and the camera map is for {} × {}",
        found[0],
        found[1],
        wanted[0],
        wanted[1]
    )]
    OtherSize {
        /// Its own, pixels.
        found: [u32; 2],
        /// The camera's, pixels.
        wanted: [u64; 2],
    },
    /// Cut off.
    #[error("its end is missing")]
    Cut,
}

/// Why a station does not go with a camera map.
#[derive(Debug, thiserror::Error)]
pub(in crate::cli) enum NotThrough {
    /// The map was made at another.
    #[error("this is station “{here}”, and the camera map is of station “{camera}”")]
    OtherStation {
        /// The station's name.
        here: String,
        /// The name in the map.
        camera: String,
    },
    /// Its channels differ, and nothing says which one the camera sees.
    #[error(
        "its channels are mapped differently; say which one the camera sees: `--channel left` or \
         `--channel right`"
    )]
    WhichChannel,
}
