//! Why a picture cannot be used.

/// Why a picture cannot be used, and what to do.
#[derive(Debug, thiserror::Error)]
pub(crate) enum NoGrey {
    /// Not a file, or not readable.
    #[error("{}", record::shown::system(.0))]
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
    /// The same of what a shop has on its papers.
    #[error("{}", record::shop::NEITHER_PNG_NOR_JPEG)]
    NeitherPngNorJpeg,
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

/// Why a picture gives no crosshair.
#[derive(Debug, thiserror::Error)]
pub(crate) enum NotPlaced {
    /// The reader refuses it.
    #[error(transparent)]
    Refused(#[from] reader::Refusal),
    /// It is found, and means nothing there.
    #[error("the crosshair lies where the camera map has no divisions")]
    Beyond,
}

/// Why a picture is not read.
#[derive(Debug, thiserror::Error)]
pub(crate) enum NotSeen {
    /// Its bytes are none.
    #[error(transparent)]
    Grey(#[from] NoGrey),
    /// Its pixels are none.
    #[error(transparent)]
    Picture(#[from] reader::PictureError),
    /// The camera's marks make no map.
    #[error("the camera map: {0}")]
    Map(#[from] reader::MapError),
    /// No crosshair is in it that can be told.
    #[error(transparent)]
    NotPlaced(#[from] NotPlaced),
}
