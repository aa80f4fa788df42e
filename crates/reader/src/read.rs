//! From a picture to its crosshairs.

use crate::coarse::{BIN, Field, binned};
use crate::cross::{self, Crosshair};
use crate::dyadic;
use crate::looking::Looking;
use crate::path::Path;
use crate::picture::{Picture, View, Way};
use crate::refusal::{PictureError, Refusal};
use crate::trace::{Line, NoLine, traced};

/// A piece that stands out by less is noise, standard deviations.
const PIECE_Z: f64 = 6.0;

/// One that stands out by this much, and is no line that can be followed, may be a faint one.
const FAINT_Z: f64 = 8.0;

/// No more lines are followed each way: more than these are a graticule.
const MOST_LINES: usize = 4;

/// No more pieces are tried each way.
const MOST_PIECES: usize = 9;

/// Reads a picture: one or two crosshairs, the strongest first, or why not.
///
/// # Method
/// Lines are looked for in bins of 4 × 4 pixels by sums along all straight pieces, followed at full
/// resolution, and measured every 6 pixels by the profile's shape on a free level and slope; a robust line
/// weighted by the covariance of its places; where two of them cross, with the covariance that follows.
///
/// # Units
/// Pixels; (0, 0) is the centre of the top left one, x right, y down.
///
/// # Errors
/// [`PictureError::OtherBackground`] where the background is of another size; the inner [`Refusal`] where
/// the picture cannot be read.
///
/// # Source
/// C. Steger, *An unbiased detector of curvilinear structures*, IEEE PAMI 20 (1998) 113; the bound for a
/// line's place, 1.062 √σ / (SNR √length), is Cramér's and Rao's for a normal profile.
pub fn read(
    picture: &Picture<'_>,
    background: Option<&Picture<'_>>,
    looking: &Looking,
) -> Result<Result<Vec<Crosshair>, Refusal>, PictureError> {
    if let Some(background) = background
        && background.size() != picture.size()
    {
        let [[width, height], [background_width, background_height]] =
            [picture.size(), background.size()];
        return Err(PictureError::OtherBackground {
            width,
            height,
            background_width,
            background_height,
        });
    }
    Ok(read_alike(picture, background, looking))
}

fn read_alike(
    picture: &Picture<'_>,
    background: Option<&Picture<'_>>,
    looking: &Looking,
) -> Result<Vec<Crosshair>, Refusal> {
    let bins = binned(picture, background, looking.dark).ok_or(Refusal::NotNumbers)?;
    let flattened = bins.clone().flattened();
    let views = Way::BOTH.map(|way| View::new(picture, background, looking.dark, way));
    let [flat, upright] = &views;
    let mut room = dyadic::Room::default();
    let field = Field::of(bins.turned(), flattened.turned());
    let (flat, may_be_flat) = lines_of(field, flat, Way::Flat, &mut room);
    let field = Field::of(bins, flattened);
    let (upright, may_be_upright) = lines_of(field, upright, Way::Upright, &mut room);
    let faint = may_be_flat || may_be_upright;
    cross::crosshairs(picture, &views, [flat, upright], looking, faint)
}

/// The lines of one way, and whether there may be one that is too faint to follow.
fn lines_of(
    mut field: Field,
    view: &View<'_>,
    way: Way,
    room: &mut dyadic::Room,
) -> (Vec<Line>, bool) {
    let mut lines = Vec::new();
    let mut faint = false;
    for _ in 0..MOST_PIECES {
        let strongest = dyadic::strongest(&field.clear, room);
        let Some(piece) = strongest.filter(|piece| piece.z >= PIECE_Z) else {
            break;
        };
        let placed = dyadic::placed(&field.clear, piece);
        let row_px = |row: f64| (row + 0.5) * BIN as f64 - 0.5;
        let (first, last) = (placed.from as f64, (placed.from + placed.rows - 1) as f64);
        let end = |row: f64| [row_px(row), row_px(placed.across(row))];
        let path = Path::through(end(first), end(last));
        let span = [end(first)[0] - 1.5, end(last)[0] + 2.5];
        match traced(view, way, path, span, placed.z, &lines) {
            Ok(line) => {
                field.take(line.path(), line.ends(), line.width_px() / BIN as f64);
                lines.push(line);
            }
            Err(why) => {
                faint |= why == NoLine::Nothing && placed.z >= FAINT_Z;
                field.hide(&path, [end(first)[0], end(last)[0]], 2.0);
            }
        }
        if lines.len() == MOST_LINES {
            break;
        }
    }
    (lines, faint)
}
