//! Why a station does not go with a camera map.

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
