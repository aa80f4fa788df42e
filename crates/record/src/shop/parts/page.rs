//! Every part that a shop's list names, on the shelf or in use: what is known of it by itself, what only
//! together with others, from which sessions.

use std::collections::BTreeSet;

use solver::shelf::{Estimate, Offsets, Part, Radius, Seated};
use solver::{Channel, Uncertainty};

use super::gather::Gathered;
use super::known::{KnownParts, PartsAsked};
use super::seen::PodSeen;
use super::stock::Stock;
use crate::figures::{arcmin_fine, counted_s, degrees_short};
use crate::shown::one_line;

/// What kind of part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum PartKind {
    /// A housing, with its two bores.
    Housing,
    /// A tube.
    Tube,
    /// An eyepiece.
    Eyepiece,
}

impl PartKind {
    /// All of them, in the order of the page.
    pub const ALL: [Self; 3] = [Self::Housing, Self::Tube, Self::Eyepiece];

    /// Many of them.
    #[must_use]
    pub const fn plural(self) -> &'static str {
        match self {
            Self::Housing => "Housings",
            Self::Tube => "Tubes",
            Self::Eyepiece => "Eyepieces",
        }
    }
}

/// One part.
#[derive(Clone, Debug, PartialEq)]
pub struct PartKnown {
    /// What kind it is.
    pub kind: PartKind,
    /// Its serial number, or the unit's whose housing it is.
    pub name: String,
    /// The type of housing it is or fits.
    pub housing: String,
    /// Whether it is in use, and not on the shelf.
    pub in_use: bool,
    /// What is known of it, and what is not.
    pub lines: Vec<KnownLine>,
    /// Who states something of it; empty where nobody does.
    pub source: String,
    /// The sessions that read it, by file name.
    pub files: Vec<String>,
}

/// One thing about a part.
#[derive(Clone, Debug, PartialEq)]
pub struct KnownLine {
    /// In a sentence.
    pub words: String,
    /// Its own offset in arcminutes, or its radius and 0, where it is determined by itself.
    pub alone: Option<[f64; 2]>,
}

/// Every part of the list.
#[must_use]
pub(super) fn parts(stock: &Stock, gathered: &Gathered) -> Vec<PartKnown> {
    let key = |name: &String, housing: &String| (name.clone(), housing.clone());
    let asked = PartsAsked {
        housings: stock.housings.iter().map(|one| key(&one.unit, &one.housing)).collect(),
        tubes: stock.tubes.iter().map(|one| key(&one.serial, &one.housing)).collect(),
        eyepieces: stock.eyepieces.iter().map(|one| key(&one.serial, &one.housing)).collect(),
    };
    let known = KnownParts::of(&asked, &gathered.seen, stock, &gathered.types);
    let offsets = &known.offsets;
    let of_type = |housing: &String| {
        let housing = housing.clone();
        gathered.seen.iter().filter(move |one| one.housing == housing)
    };
    let mut all = Vec::new();
    for (number, one) in stock.housings.iter().enumerate() {
        let seen: Vec<&PodSeen> =
            of_type(&one.housing).filter(|seen| seen.unit == one.unit).collect();
        let mut lines = Vec::new();
        for channel in Channel::BOTH {
            let pod = Part::pod(number, channel);
            let name = format!("{} pod", channel.word());
            let own = seen.iter().filter(|seen| seen.channel == channel);
            lines.push(own_line(&name, pod, offsets, own.clone().count()));
            let beside = stock.tubes.iter().enumerate();
            lines.extend(together(&lines, own, offsets, |seen| {
                let mut held = beside.clone();
                let (tube, _) = held.find(|(_, tube)| is(seen, &tube.serial, &tube.housing))?;
                Some((number, tube, format!("{name} with tube {}", one_line(&seen.tube))))
            }));
        }
        all.push(PartKnown {
            kind: PartKind::Housing,
            name: one.unit.clone(),
            housing: one.housing.clone(),
            in_use: one.in_use,
            lines,
            source: one.source.clone(),
            files: files(&seen),
        });
    }
    for (number, one) in stock.tubes.iter().enumerate() {
        let seen: Vec<&PodSeen> =
            of_type(&one.housing).filter(|seen| seen.tube == one.serial).collect();
        let mut lines =
            vec![own_line("By itself, unturned", Part::Tube(number), offsets, seen.len())];
        let housings = stock.housings.iter().enumerate();
        lines.extend(together(&lines, seen.iter(), offsets, |seen| {
            let mut held = housings.clone();
            let (housing, _) =
                held.find(|(_, held)| held.unit == seen.unit && held.housing == seen.housing)?;
            let (unit, side) = (one_line(&seen.unit), seen.channel.word());
            Some((housing, number, format!("in the {side} pod of {unit}")))
        }));
        all.push(PartKnown {
            kind: PartKind::Tube,
            name: one.serial.clone(),
            housing: one.housing.clone(),
            in_use: one.in_use,
            lines,
            source: one.source.clone(),
            files: files(&seen),
        });
    }
    for (one, radius) in stock.eyepieces.iter().zip(&known.radii) {
        let seen: Vec<&PodSeen> =
            of_type(&one.housing).filter(|seen| seen.eyepiece == one.serial).collect();
        all.push(PartKnown {
            kind: PartKind::Eyepiece,
            name: one.serial.clone(),
            housing: one.housing.clone(),
            in_use: one.in_use,
            lines: vec![radius_line(radius.as_ref(), seen.len())],
            source: one.source.clone(),
            files: files(&seen),
        });
    }
    all
}

fn is(seen: &PodSeen, serial: &str, housing: &str) -> bool {
    seen.tube == serial && seen.housing == housing
}

fn files(seen: &[&PodSeen]) -> Vec<String> {
    let named: BTreeSet<&str> = seen.iter().map(|one| one.file.as_str()).collect();
    named.into_iter().map(str::to_owned).collect()
}

/// A part's own offset, or why it cannot be told.
fn own_line(name: &str, part: Part, offsets: &Offsets, read: usize) -> KnownLine {
    let name = crate::figures::capital(name);
    if let Some(known) = offsets.alone(part) {
        let alone = Some([known.value.x_arcmin, known.value.y_arcmin]);
        return KnownLine {
            words: format!("{name}: {}{}", place(&known), rank(part, offsets)),
            alone,
        };
    }
    let words = if read == 0 && !offsets.knows(part) {
        format!("{name}: nothing was read or stated.")
    } else {
        format!(
            "{name}: not determined; it was read only together with other parts, and its share cannot be told \
             from theirs. The same tube turned half way round, or read with a part that is known, would \
             tell.{}",
            rank(part, offsets)
        )
    };
    KnownLine { words, alone: None }
}

/// How much the readings determine of all parts that hang together with this one.
fn rank(part: Part, offsets: &Offsets) -> String {
    let Some(group) = offsets.groups().iter().find(|group| group.parts.contains(&part)) else {
        return String::new();
    };
    let (parts, numbers) = (group.parts.len(), 2 * group.parts.len());
    if parts < 2 {
        return String::new();
    }
    let said = format!(
        " Of the {numbers} numbers of {} that hang together {} are determined.",
        counted_s(parts, "part"),
        group.rank
    );
    if group.widened > 1.0 {
        format!(
            "{said} Their readings disagree; uncertainties are taken {:.1} times as large.",
            group.widened.sqrt()
        )
    } else {
        said
    }
}

/// Where a circle's centre lies with two parts together, each pair once; nothing where the part is known by
/// itself.
fn together<'a>(
    lines: &[KnownLine],
    seen: impl Iterator<Item = &'a &'a PodSeen>,
    offsets: &Offsets,
    with: impl Fn(&PodSeen) -> Option<(usize, usize, String)>,
) -> Vec<KnownLine> {
    if lines.last().is_some_and(|line| line.alone.is_some()) {
        return Vec::new();
    }
    let mut said: Vec<KnownLine> = Vec::new();
    for one in seen {
        let Some((housing, tube, name)) = with(one) else { continue };
        let seated = Seated { tube, turned_deg: one.turned_deg };
        let Ok(known) = offsets.centre(housing, one.channel, seated) else { continue };
        let turned = if one.turned_deg == 0.0 {
            String::new()
        } else {
            format!(" turned {}", degrees_short(one.turned_deg))
        };
        let words =
            format!("{}{turned}: together {}", crate::figures::capital(&name), place(&known));
        if !said.iter().any(|line| line.words == words) {
            said.push(KnownLine { words, alone: None });
        }
    }
    said
}

fn radius_line(radius: Option<&Radius>, read: usize) -> KnownLine {
    let Some(Radius { arcmin, u_arcmin }) = radius else {
        return KnownLine { words: "Radius: nothing was read or stated.".to_owned(), alone: None };
    };
    let words = format!(
        "Radius: {}, from {}",
        with_95(*arcmin, *u_arcmin),
        match read {
            0 => "what is stated".to_owned(),
            read => counted_s(read, "round"),
        }
    );
    KnownLine { words, alone: Some([*arcmin, 0.0]) }
}

fn place(known: &Estimate) -> String {
    let [[xx, _], [_, yy]] = known.covariance_arcmin2;
    let part = |value: f64, variance: f64| with_95(value, variance.max(0.0).sqrt());
    format!("{}, {}.", part(known.value.x_arcmin, xx), part(known.value.y_arcmin, yy))
}

fn with_95(value: f64, standard: f64) -> String {
    let half = Uncertainty { standard, freedom: f64::INFINITY }.half_width_95();
    let value = crate::figures::arcmin(value);
    half.map_or_else(|| value.clone(), |half| format!("{value} ± {}", arcmin_fine(half)))
}
