//! A picture as a display list: items with stable ids, roles instead of colours, places in
//! arcminutes, sizes in points. The screen, SVG and PDF all draw this.

use solver::{Channel, Direction};

/// A picture, in drawing order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Scene {
    /// First drawn first.
    pub items: Vec<Item>,
    /// What the picture should show.
    pub extent: Extent,
    /// How many times residuals are drawn larger than they are, when any are drawn.
    pub residuals_times: Option<f64>,
}

/// One thing in a picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// The same thing keeps its id from one picture to the next.
    pub id: ItemId,
    /// What it stands for; decides colour, line and marker.
    pub role: Role,
    /// Where it is.
    pub shape: Shape,
}

/// What an item is, whichever picture it stands in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ItemId {
    /// The origin.
    Boresight,
    /// The circle a window's boresight limit draws.
    BoresightLimit,
    /// Words beside the boresight limit.
    BoresightLimitLabel,
    /// A channel's offset circle.
    Circle(Channel),
    /// Its centre.
    Centre(Channel),
    /// A reading, by the number its maker gave it.
    Reading(Channel, u64),
    /// What that reading leaves over, magnified.
    Residual(Channel, u64),
    /// A crossing point; 0 is the one nearest boresight.
    Crossing(u8),
    /// Words beside it.
    CrossingLabel(u8),
    /// Where a channel's crosshair goes at a compromise.
    Setting(Channel),
    /// Words beside it.
    SettingLabel(Channel),
    /// The tolerance window round the left crosshair at the setting.
    Window,
    /// Where a channel's crosshair is now.
    Now(Channel),
    /// The path it takes to the setting.
    Path(Channel),
    /// The head of the arrow on that path.
    PathHead(Channel),
}

/// What an item stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Role {
    /// An offset circle.
    Circle(Channel),
    /// An offset circle from too short an arc to trust.
    DoubtfulCircle(Channel),
    /// A circle's centre.
    Centre(Channel),
    /// A logged reading.
    Reading(Channel),
    /// A reading taken before anything was touched.
    AsFound(Channel),
    /// The reading that is selected in the log.
    Selected(Channel),
    /// A magnified residual.
    Residual(Channel),
    /// Where the crosshair is now.
    Now(Channel),
    /// The way it should go.
    Path(Channel),
    /// The recommended crossing point and its words: *here*.
    Here,
    /// The other crossing point and its words.
    Elsewhere,
    /// The tolerance window.
    Window,
    /// The boresight limit and its words.
    Limit,
    /// The boresight.
    Boresight,
}

/// The geometry of an item; places in arcminutes from boresight.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A circle.
    Circle {
        /// Its centre.
        centre: Direction,
        /// Its radius, arcminutes.
        radius_arcmin: f64,
    },
    /// A line through points.
    Line {
        /// In order.
        points: Vec<Direction>,
        /// Whether the last joins the first.
        closed: bool,
    },
    /// The role's marker at a place.
    Marker {
        /// Where.
        at: Direction,
    },
    /// An arrow head, pointing along a direction of travel.
    Head {
        /// Its tip.
        tip: Direction,
        /// Direction of travel, radians counter-clockwise from +x.
        heading_rad: f64,
    },
    /// Words.
    Text {
        /// The place they belong to.
        at: Direction,
        /// The words.
        text: String,
        /// Which side of the place they stand on.
        anchor: Anchor,
    },
}

/// Which side of its place a text stands on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Above, centred.
    Above,
    /// Below, centred.
    Below,
    /// To the right, upper edge of the text level with the place.
    Right,
}

/// A square field: centre and half width, arcminutes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extent {
    /// Middle.
    pub centre: Direction,
    /// Half the width and height.
    pub half_arcmin: f64,
}

/// An empty field is ±40′: what a first reading usually needs.
const EMPTY_HALF_ARCMIN: f64 = 40.0;

impl Default for Extent {
    fn default() -> Self {
        Self { centre: Direction::BORESIGHT, half_arcmin: EMPTY_HALF_ARCMIN }
    }
}

impl Extent {
    /// The smallest square with a margin around boxes given as (lower left, upper right).
    #[must_use]
    pub fn around(boxes: impl IntoIterator<Item = (Direction, Direction)>) -> Self {
        let mut low = Direction::new(f64::INFINITY, f64::INFINITY);
        let mut high = Direction::new(f64::NEG_INFINITY, f64::NEG_INFINITY);
        for (from, to) in boxes {
            if from.is_finite() && to.is_finite() {
                low = Direction::new(
                    low.x_arcmin.min(from.x_arcmin),
                    low.y_arcmin.min(from.y_arcmin),
                );
                high =
                    Direction::new(high.x_arcmin.max(to.x_arcmin), high.y_arcmin.max(to.y_arcmin));
            }
        }
        if !(low.is_finite() && high.is_finite()) {
            return Self::default();
        }
        let span = high - low;
        let half = span.x_arcmin.max(span.y_arcmin) / 2.0;
        Self { centre: low.midpoint(high), half_arcmin: (half * 1.12).max(5.0) }
    }
}

impl Scene {
    /// The item with an id.
    #[must_use]
    pub fn find(&self, id: ItemId) -> Option<&Item> {
        self.items.iter().find(|item| item.id == id)
    }

    pub(crate) fn push(&mut self, id: ItemId, role: Role, shape: Shape) {
        self.items.push(Item { id, role, shape });
    }
}
