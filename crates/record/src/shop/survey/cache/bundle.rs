//! Summaries that stand together in the database, in the order of their keys: a page of it would hold two.

use core::ops::Range;

use redb::AccessGuard;

/// So many stand together at most.
const MOST: usize = 64;

/// A key and what stands under it.
pub(super) type Kept = (Vec<u8>, Vec<u8>);

/// Where in a bundle a key and what stands under it are.
struct Place {
    key: Range<usize>,
    value: Range<usize>,
}

/// Those of a bundle's bytes: of each the lengths of key and value, then both. `None`: they are no bundle.
fn places(bytes: &[u8]) -> Option<Vec<Place>> {
    let (mut places, mut at) = (Vec::new(), 0_usize);
    let length = |at: usize| {
        let bytes = bytes.get(at..at.checked_add(4)?)?.try_into().ok()?;
        usize::try_from(u32::from_le_bytes(bytes)).ok()
    };
    while at < bytes.len() {
        let from = at.checked_add(8)?;
        let middle = from.checked_add(length(at)?)?;
        let end = middle.checked_add(length(at + 4)?)?;
        bytes.get(from..end)?;
        places.push(Place { key: from..middle, value: middle..end });
        at = end;
    }
    Some(places)
}

/// A bundle as it stands in the database.
pub(super) struct Bundle {
    held: AccessGuard<'static, &'static [u8]>,
    places: Vec<Place>,
    /// The place behind the one that was read last: what is asked for next, as a rule.
    next: usize,
}

impl Bundle {
    pub(super) fn of(held: AccessGuard<'static, &'static [u8]>) -> Option<Self> {
        let places = places(held.value())?;
        Some(Self { held, places, next: 0 })
    }

    /// Whether a key stands between its first and its last.
    pub(super) fn spans(&self, key: &[u8]) -> bool {
        let at = |place: &Place| self.held.value().get(place.key.clone());
        let (first, last) = (self.places.first().and_then(at), self.places.last().and_then(at));
        first.is_some_and(|first| first <= key) && last.is_some_and(|last| key <= last)
    }

    /// What stands under a key.
    pub(super) fn get(&mut self, key: &[u8]) -> Option<&[u8]> {
        let bytes = self.held.value();
        let of = |place: &Place| bytes.get(place.key.clone()).unwrap_or_default();
        let found = match self.places.get(self.next) {
            Some(next) if of(next) == key => self.next,
            _ => self.places.binary_search_by(|place| of(place).cmp(key)).ok()?,
        };
        self.next = found + 1;
        bytes.get(self.places.get(found)?.value.clone())
    }
}

/// How many stand in a bundle's bytes, and whether all of their keys stay.
pub(super) fn count_staying(bytes: &[u8], stays: impl Fn(&[u8]) -> bool) -> (usize, bool) {
    let places = places(bytes).unwrap_or_default();
    let all = places.iter().all(|place| bytes.get(place.key.clone()).is_some_and(&stays));
    (places.len(), all)
}

/// Those of a bundle's bytes whose keys stay, with these beside them or in their stead.
pub(super) fn with(bytes: &[u8], new: Vec<Kept>, stays: impl Fn(&[u8]) -> bool) -> Vec<Kept> {
    let cut = |range: &Range<usize>| bytes.get(range.clone()).unwrap_or_default();
    let replaced = |key: &[u8]| new.iter().any(|(new, _)| new == key);
    let old: Vec<Kept> = places(bytes)
        .unwrap_or_default()
        .iter()
        .map(|place| (cut(&place.key), cut(&place.value)))
        .filter(|(key, _)| stays(key) && !replaced(key))
        .map(|(key, value)| (key.to_vec(), value.to_vec()))
        .collect();
    let mut all = old;
    all.extend(new);
    all.sort_unstable();
    all
}

/// Bundles of these, which are in the order of their keys, each with its first key.
pub(super) fn bundles(all: &[Kept]) -> impl Iterator<Item = (&[u8], Vec<u8>)> {
    let each = all.len().div_ceil(all.len().div_ceil(MOST).max(1)).max(1);
    all.chunks(each).filter_map(|some| {
        let mut bytes = Vec::new();
        for (key, value) in some {
            for length in [key.len(), value.len()] {
                bytes.extend(u32::try_from(length).ok()?.to_le_bytes());
            }
            bytes.extend([key.as_slice(), value.as_slice()].concat());
        }
        some.first().map(|(key, _)| (key.as_slice(), bytes))
    })
}
