//! Matching the shelf: a large one takes seconds, and so do the sessions it is known from.

use std::num::NonZeroUsize;
use std::path::Path;

use record::{Matched, match_shelf_while};

use crate::jobs::Stop;

/// What the shelf of a shop comes to, unless it is stopped before.
///
/// # Errors
/// Why it cannot be worked out.
pub(crate) fn matched(folder: &Path, stop: &Stop) -> Result<Matched, record::Error> {
    let all = std::thread::available_parallelism().map_or(1, NonZeroUsize::get);
    // One is left for the window.
    let workers = NonZeroUsize::new(all.saturating_sub(1)).unwrap_or(NonZeroUsize::MIN);
    match_shelf_while(folder, workers, &|| !stop.is_asked())
}
