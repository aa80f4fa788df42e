//! Where words stand in a picture: beside what they are of, and over no mark and no other words as long as there is
//! room anywhere.

use std::collections::BTreeSet;

use crate::ink::PagePoint;

/// Words stand this far from their place, nearest first, where they cannot stand where they were wanted.
const FAR_PT: [f64; 7] = [5.0, 9.0, 14.0, 20.0, 28.0, 38.0, 50.0];
/// All round, above first: words run across, so that above and below they are nearest to what they are of.
const ROUND: [[f64; 2]; 8] = [
    [0.0, -1.0],
    [0.0, 1.0],
    [1.0, 0.0],
    [-1.0, 0.0],
    [1.0, -1.0],
    [-1.0, -1.0],
    [1.0, 1.0],
    [-1.0, 1.0],
];
/// Where nothing near is free, the whole picture is looked through in steps of this.
const STEP_PT: f64 = 2.0;
/// Beyond this many marks those whose middles lie in one cell of this size are looked at as one.
const FEW: usize = 1000;
const CELL_PT: f64 = 1.0;

/// A rectangle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Area {
    /// Its upper left corner.
    pub(crate) from: PagePoint,
    /// Its lower right corner.
    pub(crate) to: PagePoint,
}

impl Area {
    /// Of a size, from its upper left corner.
    pub(crate) const fn sized([left, top]: PagePoint, [wide_pt, high_pt]: [f64; 2]) -> Self {
        Self { from: [left, top], to: [left + wide_pt, top + high_pt] }
    }

    /// Whether two have a part in common.
    pub(crate) fn meets(&self, other: &Self) -> bool {
        (0..2).all(|axis| self.from[axis] < other.to[axis] && other.from[axis] < self.to[axis])
    }

    /// How far a place is from it, and where in it that is.
    pub(crate) fn nearest_to(&self, at: PagePoint) -> (f64, PagePoint) {
        let near = [0, 1].map(|axis| at[axis].max(self.from[axis]).min(self.to[axis]));
        ((near[0] - at[0]).hypot(near[1] - at[1]), near)
    }
}

/// What of a picture is taken.
pub(crate) struct TakenPlaces {
    /// Where words may stand.
    within: Area,
    /// Where words stand.
    words: Vec<Area>,
    /// What they may not cover.
    marks: Vec<Area>,
    /// Cells in which marks lie, each with their size.
    cells: BTreeSet<[i64; 3]>,
}

impl TakenPlaces {
    /// Nothing is taken yet.
    pub(crate) const fn within(within: Area) -> Self {
        Self { within, words: Vec::new(), marks: Vec::new(), cells: BTreeSet::new() }
    }

    /// A mark that reaches `half_pt` from its middle.
    pub(crate) fn mark(&mut self, [x, y]: PagePoint, half_pt: f64) {
        // Far outside saturates, and covers nothing here.
        let cell = [x, y, half_pt].map(|value| (value / CELL_PT).floor() as i64);
        let is_new = self.cells.insert(cell);
        let many = self.marks.len() >= FEW;
        if is_new || !many {
            let half_pt = if many { half_pt + CELL_PT } else { half_pt };
            self.marks.push(Area::sized([x - half_pt, y - half_pt], [2.0 * half_pt; 2]));
        }
    }

    /// Whether words stand there already.
    pub(crate) fn has_words(&self, area: &Area) -> bool {
        self.words.iter().any(|other| other.meets(area))
    }

    /// Words that stand where they stand.
    pub(crate) fn words(&mut self, area: Area) {
        self.words.push(area);
    }

    /// Takes the room for words of a place: where they are wanted, else as near to it as there is room; where there is
    /// none at all, where they cover least.
    pub(crate) fn take(&mut self, at: PagePoint, wanted: Area) -> Area {
        let (_, area) = self.best(at, wanted);
        self.words.push(area);
        area
    }

    /// The same, and nothing where they would cover anything.
    pub(crate) fn take_free(&mut self, at: PagePoint, wanted: Area) -> Option<Area> {
        let (bad, area) = self.best(at, wanted);
        if bad > 0 {
            return None;
        }
        self.words.push(area);
        Some(area)
    }

    fn best(&self, at: PagePoint, wanted: Area) -> (usize, Area) {
        let [left, top] = wanted.from;
        let size = [wanted.to[0] - left, wanted.to[1] - top];
        let near = FAR_PT.iter().flat_map(|far| ROUND.map(|way| beside(at, size, way, *far)));
        let all = core::iter::once(wanted.from).chain(near).chain(self.anywhere(at, size));
        let mut best: Option<(usize, Area)> = None;
        for from in all {
            let area = Area::sized(self.slid(from, size), size);
            let bad = self.badness(&area);
            if best.is_none_or(|(least, _)| bad < least) {
                best = Some((bad, area));
            }
            if bad == 0 {
                break;
            }
        }
        best.unwrap_or((usize::MAX, wanted))
    }

    /// How much is covered: no mark outweighs words.
    fn badness(&self, area: &Area) -> usize {
        let met = |all: &[Area]| all.iter().filter(|other| other.meets(area)).count();
        met(&self.words) * 1_000_000 + met(&self.marks)
    }

    /// Words never leave the picture: they slide along its edge instead.
    fn slid(&self, from: PagePoint, size: [f64; 2]) -> PagePoint {
        [0, 1].map(|axis| {
            let (low, high) = (self.within.from[axis], self.within.to[axis] - size[axis]);
            from[axis].min(high).max(low)
        })
    }

    /// Every place there is, the nearest first.
    fn anywhere(&self, at: PagePoint, size: [f64; 2]) -> impl Iterator<Item = PagePoint> {
        let Area { from, to } = self.within;
        let steps = [0, 1].map(|axis| {
            let room_pt = to[axis] - from[axis] - size[axis];
            // A page is some hundred steps across.
            (room_pt / STEP_PT).floor().clamp(0.0, 1000.0) as u32
        });
        core::iter::once_with(move || {
            let mut all: Vec<PagePoint> = (0..=steps[1])
                .flat_map(|down| (0..=steps[0]).map(move |across| [across, down]))
                .map(|step| [0, 1].map(|axis| from[axis] + STEP_PT * f64::from(step[axis])))
                .collect();
            let far = |corner: &PagePoint| Area::sized(*corner, size).nearest_to(at).0;
            all.sort_by(|a, b| far(a).total_cmp(&far(b)));
            all
        })
        .flatten()
    }
}

/// The upper left corner of words beside a place.
fn beside(at: PagePoint, size: [f64; 2], way: [f64; 2], far_pt: f64) -> PagePoint {
    [0, 1].map(|axis| {
        let (at, size) = (at[axis], size[axis]);
        match way[axis] {
            back if back < 0.0 => at - far_pt - size,
            ahead if ahead > 0.0 => at + far_pt,
            _ => at - size / 2.0,
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const FIELD: Area = Area { from: [0.0, 0.0], to: [200.0, 200.0] };

    fn above(at: PagePoint) -> Area {
        Area::sized([at[0] - 30.0, at[1] - 15.0], [60.0, 10.0])
    }

    #[test]
    fn words_stand_where_they_are_wanted_when_it_is_free() {
        let mut places = TakenPlaces::within(FIELD);
        let at = [100.0, 100.0];
        places.mark(at, 4.0);
        assert_eq!(places.take(at, above(at)), above(at));
    }

    /// Eighteen labels of one place, among marks: none over another, none over a mark, none outside. Nine
    /// lines have room within the ring of marks, nine more above it and nine below.
    #[test]
    fn words_of_one_place_stand_apart() {
        let mut places = TakenPlaces::within(FIELD);
        let at = [100.0, 100.0];
        for mark in 0..40 {
            let turn = f64::from(mark) * 0.157;
            places.mark([100.0 + 60.0 * turn.cos(), 100.0 + 60.0 * turn.sin()], 3.0);
        }
        let taken: Vec<Area> = (0..18).map(|_| places.take(at, above(at))).collect();
        for (index, area) in taken.iter().enumerate() {
            assert!(area.from.iter().chain(&area.to).all(|side| (0.0..=200.0).contains(side)));
            assert!(taken.iter().skip(index + 1).all(|other| !area.meets(other)), "{index}");
            assert!(places.marks.iter().all(|mark| !area.meets(mark)), "{index}");
        }
    }

    /// Where marks are everywhere words lie over marks, and still not over one another.
    #[test]
    fn marks_everywhere_part_no_words() {
        let mut places = TakenPlaces::within(FIELD);
        for x in 0..100 {
            for y in 0..100 {
                places.mark([f64::from(x) * 2.0, f64::from(y) * 2.0], 2.0);
            }
        }
        let at = [100.0, 100.0];
        let [one, other] = [(); 2].map(|()| places.take(at, above(at)));
        assert!(!one.meets(&other), "{one:?} {other:?}");
    }
}
