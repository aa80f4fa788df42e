//! A session of which two folders have a file: it counts once.
//!
//! By the one rule of [`record::shop::survey::doubles`]; what lies in one folder was told by its own survey. Files
//! that hold other lines than each other are named all the louder.

use record::RealDisk;
use record::ledger::{Copied, Copy};
use record::shop::survey::SessionSummary;
use record::shop::survey::doubles::{Doubled, doubled_among};
use record::shop::survey::troubles::Trouble;
use record::shown;

use crate::session::SessionItem;

/// Which item of which shop.
#[derive(Clone, Copy, PartialEq, Eq)]
struct ItemPlace {
    shop: usize,
    index: usize,
}

/// What was found of a session that two folders have.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Twice {
    /// Sentences about it.
    pub notes: Vec<String>,
    /// Sentences about sessions that went on in two files.
    pub forked: Vec<String>,
}

/// Finds the sessions that several shops have, and says of each item which counts.
pub fn find(shops: &mut [Vec<SessionItem>]) -> Twice {
    let real = |item: &SessionItem| item.summary.as_ref().is_some_and(|one| !one.practice);
    let places: Vec<ItemPlace> = shops
        .iter()
        .enumerate()
        .flat_map(|(shop, items)| {
            let items = items.iter().enumerate().filter(|(_, item)| real(item));
            items.map(move |(index, _)| ItemPlace { shop, index })
        })
        .collect();
    let files: Vec<_> = places
        .iter()
        .filter_map(|place| {
            let item = item(shops, *place)?;
            Some((item.path.clone(), item.summary.as_ref()?))
        })
        .collect();
    let summaries: Vec<&SessionSummary> = files.iter().map(|(_, one)| *one).collect();
    let path_of = |index: usize| files.get(index).map(|(path, _)| path.clone());
    let doubled = doubled_among(&summaries, path_of, &RealDisk);
    let paths: Vec<String> = files.iter().map(|(path, _)| shown::path(path)).collect();
    let mut twice = Twice::default();
    for (index, found) in doubled {
        let Some(own) = places.get(index) else { continue };
        let Some(item) = shops.get_mut(own.shop).and_then(|items| items.get_mut(own.index)) else {
            continue;
        };
        // The file at a place of the list, where that is of another shop.
        let elsewhere = |other: usize| {
            places.get(other).filter(|place| place.shop != own.shop)?;
            paths.get(other).cloned()
        };
        tell(&mut twice, item, found, elsewhere);
    }
    twice
}

/// Says of an item what its files in other shops are to it.
fn tell(
    twice: &mut Twice,
    item: &mut SessionItem,
    found: Doubled,
    elsewhere: impl Fn(usize) -> Option<String>,
) {
    let Doubled { copies, counts_instead, continued_in } = found;
    for (other, how) in copies {
        let Some(file) = elsewhere(other) else { continue };
        let words = Trouble::Double(Copy { file, how }).words();
        if counts_instead.is_some() {
            let said = format!("{}: {words}", shown::path(&item.path));
            let to =
                if matches!(how, Copied::Forked(_)) { &mut twice.forked } else { &mut twice.notes };
            to.push(said);
        }
        item.in_two_folders.push(words);
    }
    let copied = item.summary.as_ref().is_some_and(|one| one.copy_of.is_some());
    item.elsewhere = counts_instead.filter(|_| !copied).and_then(&elsewhere);
    let goes_on = continued_in.and_then(elsewhere).filter(|_| item.elsewhere.is_none());
    if let Some(path) = goes_on {
        item.in_two_folders.push(Trouble::ContinuedIn(path.clone()).words());
        item.elsewhere = Some(path);
    }
}

fn item(shops: &[Vec<SessionItem>], place: ItemPlace) -> Option<&SessionItem> {
    shops.get(place.shop)?.get(place.index)
}
