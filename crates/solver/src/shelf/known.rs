//! Where each pod's circle would lie with each tube and eyepiece, and what is not known.

use crate::channel::Channel;
use crate::circle::OffsetCircle;
use crate::direction::Direction;
use crate::shelf::model::{Shelf, Unknown};
use crate::shelf::offsets::{Estimate, Missing, Part, Seated};
use crate::shelf::worth::WindowJudge;

/// One pod's half of a unit.
#[derive(Clone, Copy)]
pub(super) struct Half {
    pub(super) tube: u16,
    pub(super) turned: bool,
    pub(super) eyepiece: u16,
    pub(super) circle: OffsetCircle,
    pub(super) least_use: f64,
}

/// One pod's halves, by tube and eyepiece: either way up.
pub(super) type Halves = Vec<Vec<Half>>;

/// Where each pod's centre would lie with each tube, and what is not known.
pub(super) struct Known {
    /// By housing, left and right: tube, turned, centre.
    pub(super) ways: Vec<[Vec<(u16, bool, Estimate)>; 2]>,
    /// Eyepieces that stay in no housing and whose radius is known.
    pub(super) free: Vec<usize>,
    pub(super) unknown: Vec<Unknown>,
}

impl Known {
    pub(super) fn of(shelf: &Shelf) -> Self {
        let mut unknown = Vec::new();
        let mut seen_as: Vec<[Option<Result<(), Missing>>; 2]> = vec![[None; 2]; shelf.tubes.len()];
        let mut ways = Vec::with_capacity(shelf.housings.len());
        for (index, housing) in shelf.housings.iter().enumerate() {
            ways.push(Channel::BOTH.map(|channel| {
                let mut told = Vec::new();
                let mut why: Option<Missing> = None;
                for (number, tube) in shelf.tubes.iter().enumerate() {
                    if tube.kind != housing.kind {
                        continue;
                    }
                    for turned in [false, true] {
                        if turned && !tube.may_turn {
                            continue;
                        }
                        let turned_deg = if turned { 180.0 } else { 0.0 };
                        let seated = Seated { tube: number, turned_deg };
                        let centre = shelf.offsets.centre(index, channel, seated);
                        let as_seen = &mut seen_as[number][usize::from(turned)];
                        match centre {
                            Ok(centre) => {
                                told.push((number as u16, turned, centre));
                                *as_seen = Some(Ok(()));
                            }
                            Err(missing) => {
                                let own = missing == Missing::NotRead(Part::pod(index, channel));
                                if !turned && (own || why.is_none()) {
                                    why = Some(missing);
                                }
                                let of_tube = matches!(
                                    missing,
                                    Missing::NotRead(Part::Tube(_)) | Missing::NotTurned { .. }
                                );
                                if as_seen.is_none() || (of_tube && matches!(as_seen, Some(Err(_))))
                                {
                                    *as_seen = Some(Err(missing));
                                }
                            }
                        }
                    }
                }
                if let Some(why) = why.filter(|_| told.is_empty()) {
                    let left = channel == Channel::Left;
                    unknown.push(Unknown::Pod { housing: index, left, why });
                }
                told
            }));
        }
        for (tube, [plain, turned]) in seen_as.into_iter().enumerate() {
            match (plain, turned) {
                (Some(Err(why)), _) => unknown.push(Unknown::Tube { tube, why }),
                (Some(Ok(())), Some(Err(_))) => unknown.push(Unknown::Turned { tube }),
                _ => {}
            }
        }
        let mut free = vec![true; shelf.eyepieces.len()];
        for pair in shelf.housings.iter().filter_map(|housing| housing.eyepieces) {
            for (_, &number) in pair.iter() {
                if let Some(free) = free.get_mut(number) {
                    *free = false;
                }
            }
        }
        let mut offered = Vec::new();
        for (number, eyepiece) in shelf.eyepieces.iter().enumerate() {
            if eyepiece.radius.is_none() {
                unknown.push(Unknown::Eyepiece(number));
            } else if free[number] {
                offered.push(number);
            }
        }
        Self { ways, free: offered, unknown }
    }

    /// One pod's halves.
    pub(super) fn halves(
        &self,
        shelf: &Shelf,
        index: usize,
        channel: Channel,
        judge: &WindowJudge,
    ) -> Halves {
        let Some(housing) = shelf.housings.get(index) else { return Vec::new() };
        let own: Vec<usize>;
        let eyepieces: &[usize] = match housing.eyepieces {
            Some(pair) => {
                own = vec![pair[channel]];
                &own
            }
            None => &self.free,
        };
        let ways = self.ways.get(index).map(|ways| match channel {
            Channel::Left => &ways[0],
            Channel::Right => &ways[1],
        });
        let mut halves: Halves = Vec::new();
        for of_tube in ways.into_iter().flat_map(|ways| ways.chunk_by(|a, b| a.0 == b.0)) {
            for &number in eyepieces {
                let Some(eyepiece) = shelf.eyepieces.get(number) else { continue };
                let Some(radius) = eyepiece.radius.filter(|_| eyepiece.kind == housing.kind) else {
                    continue;
                };
                let half = |&(tube, turned, centre): &(u16, bool, Estimate)| {
                    let at: Direction = centre.value + eyepiece.centre.value;
                    let circle = OffsetCircle::unphased(at, radius.arcmin);
                    let least_use = judge.least_use(&circle);
                    Half { tube, turned, eyepiece: number as u16, circle, least_use }
                };
                halves.push(of_tube.iter().map(half).collect());
            }
        }
        halves
    }
}
