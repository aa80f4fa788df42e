//! What is known of parts: from everything that sessions read and somebody stated, the split of bores and
//! tubes, and the radii of eyepieces.

use std::collections::{BTreeMap, BTreeSet};

use solver::remedy::shim::ShimEffect;
use solver::shelf::{KnownValue, Offsets, Part, Radius, Seated, Subject};
use solver::{Channel, Direction};

use super::seen::PodSeen;
use super::stock::Stock;
use crate::housing::{Housing, TubeKind};

/// A part's name and the type of housing it goes into.
pub type PartKey = (String, String);

/// Housing types by name, and what a shim does in each.
#[derive(Clone, Debug, Default)]
pub struct Types {
    /// Each with what its shims do, where anything tells.
    pub known: BTreeMap<String, (Housing, Option<ShimEffect>)>,
}

impl Types {
    /// A millimetre at the eyepiece's focus, arcminutes; `None` where the optical model does not hold.
    fn arcmin_per_mm(&self, housing: &str) -> Option<f64> {
        let (housing, _) = self.known.get(housing)?;
        (housing.tube == TubeKind::Inverting).then_some(())?;
        housing.optics().ok().map(|optics| optics.arcmin_from_mm(1.0))
    }

    /// What a shim does in a type.
    #[must_use]
    pub fn effect(&self, housing: &str) -> Option<&ShimEffect> {
        self.known.get(housing)?.1.as_ref()
    }
}

/// What is known of the parts asked for.
#[derive(Clone, Debug, Default)]
pub struct KnownParts {
    /// The split: housings and tubes numbered as they were asked for.
    pub offsets: Offsets,
    /// The radius of each eyepiece asked for.
    pub radii: Vec<Option<Radius>>,
    /// Stated values that cannot be used, in sentences.
    pub unusable: Vec<String>,
    /// Sets of linked readings that disagree by more than their uncertainties explain, in sentences.
    pub widened: Vec<String>,
}

/// The parts asked for.
#[derive(Clone, Debug, Default)]
pub struct PartsAsked {
    /// Units whose housings they are.
    pub housings: Vec<PartKey>,
    /// Tubes.
    pub tubes: Vec<PartKey>,
    /// Eyepieces.
    pub eyepieces: Vec<PartKey>,
}

/// Numbers for parts, those asked for first.
struct Numbered {
    of: BTreeMap<PartKey, usize>,
    asked: usize,
}

impl Numbered {
    fn new(asked: &[PartKey]) -> Self {
        let mut of = BTreeMap::new();
        for (number, key) in asked.iter().enumerate() {
            of.entry(key.clone()).or_insert(number);
        }
        Self { of, asked: asked.len() }
    }

    fn number(&mut self, name: &str, housing: &str) -> usize {
        let next = self.asked + self.of.len();
        *self.of.entry((name.to_owned(), housing.to_owned())).or_insert(next)
    }

    fn name(&self, number: usize) -> &str {
        self.of.iter().find(|(_, held)| **held == number).map_or("", |((name, _), _)| name)
    }
}

impl KnownParts {
    /// From readings and from what is stated.
    #[must_use]
    pub fn of<'a>(
        asked: &PartsAsked,
        readings: impl IntoIterator<Item = &'a PodSeen>,
        stock: &Stock,
        types: &Types,
    ) -> Self {
        let mut housings = Numbered::new(&asked.housings);
        let mut tubes = Numbered::new(&asked.tubes);
        let mut known = Self::default();
        let mut seen = Vec::new();
        let mut radii: BTreeMap<PartKey, Vec<Radius>> = BTreeMap::new();
        for one in readings {
            if !one.eyepiece.is_empty() {
                let key = (one.eyepiece.clone(), one.housing.clone());
                radii.entry(key).or_default().push(one.radius);
            }
            let effect = types.effect(&one.housing);
            let Some((shift, relative_u)) = one.shimmed_by(effect) else { continue };
            if one.tube.is_empty() || one.unit.is_empty() {
                continue;
            }
            let off = shift * relative_u;
            let [[xx, xy], [_, yy]] = one.covariance_arcmin2;
            let (x, y) = (off.x_arcmin, off.y_arcmin);
            let xy = xy + x * y;
            seen.push(KnownValue {
                subject: Subject::Centre {
                    housing: housings.number(&one.unit, &one.housing),
                    channel: one.channel,
                    seated: Seated {
                        tube: tubes.number(&one.tube, &one.housing),
                        turned_deg: one.turned_deg,
                    },
                },
                value: one.circle.centre - shift,
                covariance_arcmin2: [[xx + x * x, xy], [xy, yy + y * y]],
            });
        }
        known.state(stock, types, &mut housings, &mut tubes, &mut seen, &mut radii);
        drop_loose_ends(&mut seen, asked);
        known.offsets = Offsets::of(&seen).unwrap_or_default();
        known.radii = asked.eyepieces.iter().map(|key| mean(radii.get(key)?)).collect();
        for group in known.offsets.groups().iter().filter(|group| group.widened > 1.0) {
            let names: BTreeSet<String> = group
                .parts
                .iter()
                .map(|part| match *part {
                    Part::Pod { housing, .. } => housings.name(housing).to_owned(),
                    Part::Tube(tube) => tubes.name(tube).to_owned(),
                })
                .collect();
            let names: Vec<String> = names.into_iter().collect();
            known.widened.push(format!(
                "The readings that link {} disagree by more than their uncertainties explain; what follows \
                 from them is taken to be {:.1} times as uncertain.",
                names.join(", "),
                group.widened.sqrt()
            ));
        }
        known
    }

    fn state(
        &mut self,
        stock: &Stock,
        types: &Types,
        housings: &mut Numbered,
        tubes: &mut Numbered,
        seen: &mut Vec<KnownValue>,
        radii: &mut BTreeMap<PartKey, Vec<Radius>>,
    ) {
        let mut unusable = |what: &str, name: &str, housing: &str| {
            self.unusable.push(format!(
                "What is stated of {what} {name} in millimetres cannot be used: the optical model of {housing} \
                 is not known, or does not cover it."
            ));
        };
        let mut put = |part: Part, per_mm: f64, [x, y]: [f64; 2], u_mm: f64| {
            let u_arcmin = (u_mm * per_mm).abs().max(1e-3);
            let variance = u_arcmin * u_arcmin;
            seen.push(KnownValue {
                subject: Subject::Stated(part),
                value: Direction::new(x * per_mm, y * per_mm),
                covariance_arcmin2: [[variance, 0.0], [0.0, variance]],
            });
        };
        for one in &stock.housings {
            let (Some(offset_mm), Some(u_mm)) = (&one.offset_mm, one.u_mm) else { continue };
            let Some(per_mm) = types.arcmin_per_mm(&one.housing) else {
                unusable("the bores of", &one.unit, &one.housing);
                continue;
            };
            let number = housings.number(&one.unit, &one.housing);
            for channel in Channel::BOTH {
                put(Part::pod(number, channel), per_mm, offset_mm[channel], u_mm);
            }
        }
        for one in &stock.tubes {
            let (Some(offset_mm), Some(u_mm)) = (one.offset_mm, one.u_mm) else { continue };
            let Some(per_mm) = types.arcmin_per_mm(&one.housing) else {
                unusable("tube", &one.serial, &one.housing);
                continue;
            };
            put(Part::Tube(tubes.number(&one.serial, &one.housing)), per_mm, offset_mm, u_mm);
        }
        for one in &stock.eyepieces {
            let (Some(decentre_mm), Some(u_mm)) = (one.decentre_mm, one.u_mm) else { continue };
            let Some(per_mm) = types.arcmin_per_mm(&one.housing) else {
                unusable("eyepiece", &one.serial, &one.housing);
                continue;
            };
            let key = (one.serial.clone(), one.housing.clone());
            radii
                .entry(key)
                .or_default()
                .push(Radius { arcmin: decentre_mm * per_mm, u_arcmin: (u_mm * per_mm).max(1e-3) });
        }
    }
}

/// Weighted mean; where values disagree by more than their uncertainties explain, widened by χ² over the
/// degrees of freedom (Birge's ratio, R. T. Birge, Physical Review 40, 1932, 207).
fn mean(values: &[Radius]) -> Option<Radius> {
    let weight = |one: &Radius| 1.0 / (one.u_arcmin * one.u_arcmin);
    let sum: f64 = values.iter().map(weight).sum();
    let arcmin = values.iter().map(|one| weight(one) * one.arcmin).sum::<f64>() / sum;
    let chi_squared: f64 =
        values.iter().map(|one| weight(one) * (one.arcmin - arcmin).powi(2)).sum();
    let freedom = values.len().saturating_sub(1).max(1) as f64;
    let u_arcmin = ((chi_squared / freedom).max(1.0) / sum).sqrt();
    (arcmin.is_finite() && u_arcmin.is_finite()).then_some(Radius { arcmin, u_arcmin })
}

/// Takes away what cannot tell anything of the parts asked for: a part that is not asked for, read with
/// one other part only and always the same way up. Time and again, until none is left.
fn drop_loose_ends(seen: &mut Vec<KnownValue>, asked: &PartsAsked) {
    loop {
        let mut beside: BTreeMap<Part, BTreeSet<(Option<Part>, u64)>> = BTreeMap::new();
        for one in seen.iter() {
            match one.subject {
                Subject::Centre { housing, channel, seated } => {
                    let (pod, tube) = (Part::pod(housing, channel), Part::Tube(seated.tube));
                    let way = seated.turned_deg.to_bits();
                    beside.entry(pod).or_default().insert((Some(tube), way));
                    beside.entry(tube).or_default().insert((Some(pod), way));
                }
                Subject::Stated(part) => {
                    beside.entry(part).or_default().insert((None, 0));
                }
            }
        }
        let loose = |part: Part| {
            let wanted = match part {
                Part::Pod { housing, .. } => housing < asked.housings.len(),
                Part::Tube(tube) => tube < asked.tubes.len(),
            };
            !wanted && beside.get(&part).is_none_or(|others| others.len() < 2)
        };
        let before = seen.len();
        seen.retain(|one| match one.subject {
            Subject::Centre { housing, channel, seated } => {
                !loose(Part::pod(housing, channel)) && !loose(Part::Tube(seated.tube))
            }
            Subject::Stated(part) => !loose(part),
        });
        if seen.len() == before {
            return;
        }
    }
}
