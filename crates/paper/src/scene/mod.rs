//! A picture as a display list: items with stable ids, roles instead of colours, places in
//! arcminutes, sizes in points. The screen, SVG and PDF all draw this.
//!
//! - [`ids`]: what an item is and what it stands for; [`extent`]: what a picture should show;
//! - [`marks`]: the readings, of which there may be many.

pub mod extent;
pub mod ids;
pub mod marks;

use std::borrow::Cow;

use solver::Direction;

pub use extent::Extent;
pub use ids::{ItemId, MeasureEnd, Role, SwingEnd};
pub use marks::{MarkKind, Marked, Marks, ReadingMark};

/// A picture, in drawing order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Scene {
    /// All but the readings, first drawn first.
    plain: Vec<Item>,
    /// How many of them lie beneath the readings.
    beneath: usize,
    /// The readings and what they leave over.
    marks: Marks,
    /// What the picture should show.
    pub extent: Extent,
    /// What it is of, where it leaves what tells that: a unit and a day. Empty where all is beside it.
    pub caption: String,
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
    /// What it is, and its numbers.
    pub told: ItemTold,
}

/// What is told of an item: nothing of words that stand beside one.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ItemTold {
    /// What it is, without its numbers.
    pub name: String,
    /// Its numbers with their units; empty where the name says all.
    pub numbers: String,
}

impl ItemTold {
    /// What an item is, and its numbers.
    #[must_use]
    pub const fn new(name: String, numbers: String) -> Self {
        Self { name, numbers }
    }

    /// All of it: `centre of the left circle: 10.0′, 4.0′`.
    #[must_use]
    pub fn words(&self) -> Cow<'_, str> {
        match self.numbers.as_str() {
            "" => Cow::Borrowed(&self.name),
            numbers => Cow::Owned(format!("{}: {numbers}", self.name)),
        }
    }
}

impl From<String> for ItemTold {
    /// Where the name says all.
    fn from(name: String) -> Self {
        Self::new(name, String::new())
    }
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
    /// What lies between two closed lines of as many points, each joined to its counterpart.
    Band {
        /// The outer edge, in order.
        outer: Vec<Direction>,
        /// The inner edge, in the same order.
        inner: Vec<Direction>,
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

impl Item {
    /// Where the item is, when it is at one place: a marker's.
    #[must_use]
    pub const fn place(&self) -> Option<Direction> {
        match self.shape {
            Shape::Marker { at } => Some(at),
            _ => None,
        }
    }
}

impl Scene {
    /// What lies beneath the readings, first drawn first.
    #[must_use]
    pub fn beneath(&self) -> &[Item] {
        self.plain.get(..self.beneath).unwrap_or(&self.plain)
    }

    /// The readings and what they leave over.
    #[must_use]
    pub const fn marks(&self) -> &Marks {
        &self.marks
    }

    /// What lies above the readings, first drawn first.
    #[must_use]
    pub fn above(&self) -> &[Item] {
        self.plain.get(self.beneath..).unwrap_or_default()
    }

    /// All but the readings, first drawn first.
    #[must_use]
    pub fn plain(&self) -> &[Item] {
        &self.plain
    }

    /// Everything, first drawn first; readings are made ready on the way.
    pub fn items(&self) -> impl DoubleEndedIterator<Item = Cow<'_, Item>> {
        let marks = self.marks.iter().map(|marked| Cow::Owned(marked.item()));
        let of = |items| <[Item]>::iter(items).map(Cow::Borrowed);
        of(self.beneath()).chain(marks).chain(of(self.above()))
    }

    /// The item with an id.
    #[must_use]
    pub fn find(&self, id: ItemId) -> Option<Cow<'_, Item>> {
        if matches!(id, ItemId::Reading(..) | ItemId::Residual(..)) {
            let found = self.marks.iter().find(|marked| marked.id() == id);
            return found.map(|marked| Cow::Owned(marked.item()));
        }
        self.plain.iter().find(|item| item.id == id).map(Cow::Borrowed)
    }

    /// Lays another picture over this one, which keeps what it should show.
    pub fn lay_over(&mut self, over: &Self) {
        self.plain.extend(over.items().map(Cow::into_owned));
    }

    /// Puts the readings on top of what is there.
    pub(crate) fn put_marks(&mut self, marks: Marks) {
        (self.beneath, self.marks) = (self.plain.len(), marks);
    }

    /// Adds an item on top of the others.
    pub(crate) fn push(&mut self, id: ItemId, role: Role, shape: Shape, told: impl Into<ItemTold>) {
        self.plain.push(Item { id, role, shape, told: told.into() });
    }

    /// Adds words that stand beside an item.
    pub(crate) fn label(
        &mut self,
        id: ItemId,
        role: Role,
        at: Direction,
        text: String,
        anchor: Anchor,
    ) {
        self.push(id, role, Shape::Text { at, text, anchor }, String::new());
    }
}
