//! A session of which two folders have a file: it counts once.
//!
//! The rule is that of one folder: of several files that one counts whose end is not missing, then the one with
//! most facts, which is the longer chain that holds the other; then the first by path. Files that hold other
//! lines than each other are named all the louder.

use std::collections::BTreeMap;
use std::path::PathBuf;

use record::file::{line_hashes, plain};
use record::ledger::{Copied, Copy};
use record::shop::survey::troubles::Trouble;
use record::shown;

use crate::session::Item;

/// Which item of which shop.
type Place = (usize, usize);

/// What was found of a session that two folders have.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Twice {
    /// Sentences about it.
    pub notes: Vec<String>,
    /// Sentences about sessions that went on in two files.
    pub forked: Vec<String>,
}

/// Finds the sessions that several shops have, and says of each item which counts.
pub fn find(shops: &mut [Vec<Item>]) -> Twice {
    let mut twice = Twice::default();
    for places in of_one_session(shops) {
        let members: Vec<(Place, PathBuf)> = places
            .into_iter()
            .filter_map(|place| Some((place, item(shops, place)?.path.clone())))
            .collect();
        let hashes: Vec<Vec<_>> = members
            .iter()
            .map(|(_, path)| {
                let opened = plain::open(path).ok();
                opened.and_then(|bytes| line_hashes(path, bytes).ok()).unwrap_or_default()
            })
            .collect();
        // The last of equals is the largest: the first by path is to win.
        let rank = |place: &Place| {
            let one = item(shops, *place).and_then(|item| item.summary.as_ref());
            one.map(|one| (one.copy_of.is_none(), one.end_missing.is_none(), one.facts))
        };
        let best = members.iter().rev().max_by_key(|(place, _)| rank(place)).cloned();
        let Some((best, best_path)) = best else { continue };
        for (index, (place, _)) in members.iter().enumerate() {
            let others = members.iter().zip(&hashes).filter(|((other, _), _)| other.0 != place.0);
            let own = hashes.get(index).map(Vec::as_slice).unwrap_or_default();
            let copies: Vec<Copy> = others
                .map(|((_, path), other)| Copy {
                    file: shown::path(path),
                    how: Copied::of(own, other),
                })
                .collect();
            if *place != best {
                for copy in &copies {
                    note(&mut twice, shops, *place, copy);
                }
            }
            let Some(held) = item_mut(shops, *place) else { continue };
            held.in_two_folders
                .extend(copies.into_iter().map(|copy| Trouble::Double(copy).words()));
            let copied = held.summary.as_ref().is_some_and(|one| one.copy_of.is_some());
            held.elsewhere = (*place != best && !copied).then(|| shown::path(&best_path));
        }
    }
    continued(shops);
    twice
}

fn note(twice: &mut Twice, shops: &[Vec<Item>], place: Place, copy: &Copy) {
    let Some(held) = item(shops, place) else { return };
    let said = format!("{}: {}", shown::path(&held.path), Trouble::Double(copy.clone()).words());
    let to =
        if matches!(copy.how, Copied::Forked(_)) { &mut twice.forked } else { &mut twice.notes };
    to.push(said);
}

fn item(shops: &[Vec<Item>], (shop, index): Place) -> Option<&Item> {
    shops.get(shop)?.get(index)
}

fn item_mut(shops: &mut [Vec<Item>], (shop, index): Place) -> Option<&mut Item> {
    shops.get_mut(shop)?.get_mut(index)
}

/// The items of each real session that more than one shop has.
fn of_one_session(shops: &[Vec<Item>]) -> Vec<Vec<Place>> {
    let mut named: BTreeMap<&str, Vec<Place>> = BTreeMap::new();
    for (shop, items) in shops.iter().enumerate() {
        for (index, item) in items.iter().enumerate() {
            let real = item.summary.as_ref().filter(|one| !one.practice && !one.session.is_empty());
            if let Some(one) = real {
                named.entry(&one.session).or_default().push((shop, index));
            }
        }
    }
    let several =
        |places: &Vec<Place>| places.first().map(|one| one.0) != places.last().map(|one| one.0);
    named.into_values().filter(several).collect()
}

/// Sessions that another shop's file goes on from.
fn continued(shops: &mut [Vec<Item>]) {
    let mut goes_on: BTreeMap<String, (usize, String)> = BTreeMap::new();
    for (shop, items) in shops.iter().enumerate() {
        for item in items {
            if let Some(from) = item.summary.as_ref().and_then(|one| one.continues.clone()) {
                goes_on.entry(from).or_insert_with(|| (shop, shown::path(&item.path)));
            }
        }
    }
    for (shop, items) in shops.iter_mut().enumerate() {
        for item in items.iter_mut().filter(|item| item.elsewhere.is_none()) {
            let session = item.summary.as_ref().map(|one| one.session.as_str()).unwrap_or_default();
            let next =
                goes_on.get(session).filter(|(other, _)| *other != shop && !session.is_empty());
            if let Some((_, path)) = next.cloned() {
                item.in_two_folders.push(Trouble::ContinuedIn(path.clone()).words());
                item.elsewhere = Some(path);
            }
        }
    }
}
