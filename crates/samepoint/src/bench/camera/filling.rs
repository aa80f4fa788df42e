//! What stands in the entry row of a picture.

use paper::words::capital;
use record::fact::DirectionReading;
use record::{ReadingUnit, StationMap, Typed, figures};
use solver::Channel;

use crate::bench::entry::EntryRow;
use crate::pictures::Placed;

/// Standard uncertainties in a ± of 95 %.
const COVERAGE: f64 = 1.96;

/// What the row was filled with.
#[derive(Clone, Debug)]
pub(crate) struct Filled {
    /// The place of the crosshair among those of the picture.
    pub(crate) place: usize,
    pub(crate) channel: Channel,
    pub(crate) unit: ReadingUnit,
    /// x and y as they stand in the row.
    pub(crate) text: [String; 2],
    /// The same with ± of 95 %, in words.
    pub(crate) words: String,
}

impl Filled {
    /// A crosshair as a reading of a channel in a unit, through the station's map: as many decimals as its
    /// uncertainty has one digit of.
    pub(crate) fn of(
        place: usize,
        placed: &Placed,
        channel: Channel,
        unit: ReadingUnit,
        map: &StationMap,
    ) -> Self {
        let there = placed.there;
        let (at, u) = map.typed_from_divisions(unit, there.divisions, there.covariance_divisions2);
        let decimals = u.map(|u| (-u.max(1e-9).log10().floor()).clamp(0.0, 4.0) as usize);
        let text = [0, 1].map(|axis| plain(at[axis], decimals[axis]));
        let space = if unit == ReadingUnit::Arcmin { "" } else { " " };
        let sign = unit.sign();
        let each = |axis: usize| {
            let (value, decimals) = (at[axis], decimals[axis]);
            let spread = figures::number(COVERAGE * u[axis], decimals);
            format!("{}{space}{sign} ±{spread}{space}{sign}", figures::number(value, decimals))
        };
        let words = format!("{} crosshair at {}, {}", capital(channel.word()), each(0), each(1));
        Self { place, channel, unit, text, words }
    }

    /// Whether it was read for the channel and in the unit that the row is set to.
    pub(crate) fn is_for(&self, row: &EntryRow) -> bool {
        (self.channel, self.unit) == (row.channel, row.unit)
    }

    /// Whether it stands in the row as it was put there.
    pub(crate) fn stands_in(&self, row: &EntryRow) -> bool {
        self.text == [row.x.as_str(), row.y.as_str()]
    }

    /// Whether a reading is what the row was filled with.
    pub(crate) fn is(&self, read: &DirectionReading) -> bool {
        let same = |typed: &Typed, text: &str| {
            Typed::by_hand(text).is_ok_and(|filled| filled.value() == typed.value())
        };
        let [x, y] = &self.text;
        read.channel == self.channel
            && read.unit == self.unit
            && same(&read.x, x)
            && same(&read.y, y)
    }
}

/// A number as a hand types it.
fn plain(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(size) if size.bytes().all(|byte| matches!(byte, b'0' | b'.')) => size.to_owned(),
        _ => text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_has_no_minus_before_nothing() {
        assert_eq!([plain(-0.001, 2), plain(-6.523, 2), plain(12.0, 1)], ["0.00", "-6.52", "12.0"]);
    }
}
