//! The readings in a picture. There may be many thousand of them, so what one looks like and what it says in
//! words is made when it is asked for.

use solver::{Channel, CircleFit, Direction, PerChannel, Reading};

use super::ids::{ItemId, Role};
use super::{Item, ItemTold, Shape};
use crate::words;

/// A reading to draw.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReadingMark {
    /// The number its maker knows it by.
    pub key: u64,
    /// Its place among its like, from 1, as the log counts.
    pub number: usize,
    /// Whose.
    pub channel: Channel,
    /// What was read.
    pub reading: Reading,
    /// What it was taken for.
    pub kind: MarkKind,
    /// Selected in the log.
    pub selected: bool,
}

/// What a reading was taken for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum MarkKind {
    /// Before anything was touched.
    AsFound,
    /// To learn the circles.
    #[default]
    Log,
    /// With the rings set, to see whether they are.
    Confirm,
}

/// All readings of a picture and what they leave over, in drawing order: what they leave over lies beneath.
///
/// Items are counted from 0 to [`Marks::len`]; where a reading leaves nothing over there is none.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Marks {
    all: Vec<ReadingMark>,
    /// What each leaves over.
    pulls: Vec<Option<Direction>>,
    fits: PerChannel<Option<CircleFit>>,
    /// How many times larger than they are residuals are drawn; `None` draws none.
    times: Option<f64>,
}

impl Marks {
    /// Readings with what [each leaves over](pull) and the circles fitted to them.
    pub(crate) const fn new(
        all: Vec<ReadingMark>,
        pulls: Vec<Option<Direction>>,
        fits: PerChannel<Option<CircleFit>>,
        times: Option<f64>,
    ) -> Self {
        Self { all, pulls, fits, times }
    }

    /// How many times larger than they are residuals are drawn, when any are.
    #[must_use]
    pub const fn residuals_times(&self) -> Option<f64> {
        self.times
    }

    /// The readings.
    #[must_use]
    pub fn all(&self) -> &[ReadingMark] {
        &self.all
    }

    /// How many items there may be: two a reading.
    #[must_use]
    pub const fn len(&self) -> usize {
        2 * self.all.len()
    }

    /// Whether nothing was read.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.all.is_empty()
    }

    /// An item by its place in drawing order.
    #[must_use]
    pub fn get(&self, place: usize) -> Option<Marked<'_>> {
        let many = self.all.len();
        if place >= many {
            let mark = self.all.get(place - many)?;
            return Some(Marked { mark, fit: self.fit_of(mark), residual: None });
        }
        let mark = self.all.get(place)?;
        let residual = Some(((*self.pulls.get(place)?)?, self.times?));
        Some(Marked { mark, fit: self.fit_of(mark), residual })
    }

    /// The items, in drawing order.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = Marked<'_>> {
        let from = if self.times.is_some() { 0 } else { self.all.len() };
        (from..self.len()).filter_map(|place| self.get(place))
    }

    fn fit_of(&self, mark: &ReadingMark) -> Option<&CircleFit> {
        self.fits[mark.channel].as_ref().filter(|_| mark.kind == MarkKind::Log)
    }
}

/// How far a logged reading lies from where the fit puts it. Readings that were not fitted leave nothing over:
/// they have other reasons to lie elsewhere.
pub(crate) fn pull(mark: &ReadingMark, fit: &CircleFit) -> Option<Direction> {
    let ReadingMark { reading, kind, .. } = mark;
    let at_ring = || reading.ring_deg.and_then(|ring_deg| fit.circle.at_ring(ring_deg));
    (*kind == MarkKind::Log).then(|| {
        reading.direction - at_ring().unwrap_or_else(|| fit.circle.nearest_to(reading.direction))
    })
}

/// A reading in a picture, or what it leaves over.
#[derive(Clone, Copy, Debug)]
pub struct Marked<'a> {
    mark: &'a ReadingMark,
    fit: Option<&'a CircleFit>,
    /// What it leaves over, and how many times larger than it is that is drawn: that is meant, not the reading.
    residual: Option<(Direction, f64)>,
}

impl Marked<'_> {
    /// What it is.
    #[must_use]
    pub const fn id(&self) -> ItemId {
        let ReadingMark { channel, key, .. } = *self.mark;
        match self.residual {
            Some(_) => ItemId::Residual(channel, key),
            None => ItemId::Reading(channel, key),
        }
    }

    /// What it stands for.
    #[must_use]
    pub const fn role(&self) -> Role {
        let ReadingMark { channel, kind, selected, .. } = *self.mark;
        match (self.residual, selected, kind) {
            (Some(_), ..) => Role::Residual(channel),
            (None, true, _) => Role::Selected(channel),
            (None, false, MarkKind::AsFound) => Role::AsFound(channel),
            (None, false, MarkKind::Log) => Role::Reading(channel),
            (None, false, MarkKind::Confirm) => Role::Confirm(channel),
        }
    }

    /// Where it was read, and for what it leaves over where that is drawn to.
    #[must_use]
    pub fn span(&self) -> (Direction, Option<Direction>) {
        let at = self.mark.reading.direction;
        (at, self.residual.map(|(pull, times)| at + pull * times))
    }

    /// Where it is.
    #[must_use]
    pub fn shape(&self) -> Shape {
        match self.span() {
            (at, None) => Shape::Marker { at },
            (from, Some(to)) => Shape::Line { points: vec![from, to], closed: false },
        }
    }

    /// What it is, and its numbers.
    #[must_use]
    pub fn told(&self) -> ItemTold {
        let ReadingMark { channel, number, reading, kind, .. } = *self.mark;
        if let Some((pull, times)) = self.residual {
            return format!(
                "{channel} reading {number} lies {} from where the fit puts it, drawn {} times as long",
                words::arcmin_fine(pull.boresight_arcmin()),
                words::number(times, 0)
            )
            .into();
        }
        let kind = match kind {
            MarkKind::AsFound => " as found",
            MarkKind::Log => "",
            MarkKind::Confirm => " to confirm",
        };
        let ring = reading
            .ring_deg
            .map_or_else(String::new, |deg| format!("ring {}, ", words::degrees_short(deg)));
        let left_over = self.fit.map_or_else(String::new, |fit| {
            let residual = fit.residual(&reading);
            let angle = residual.off_angle_deg.map_or_else(String::new, |deg| {
                format!(", off angle {}", words::degrees(deg, 0.1))
            });
            format!("; off circle {}{angle}", words::arcmin(residual.off_circle_arcmin))
        });
        let at = words::direction(reading.direction);
        let name = format!("{channel} reading {number}{kind}");
        ItemTold::new(name, format!("{ring}{at}{left_over}"))
    }

    /// All of it.
    #[must_use]
    pub fn item(&self) -> Item {
        Item { id: self.id(), role: self.role(), shape: self.shape(), told: self.told() }
    }
}
