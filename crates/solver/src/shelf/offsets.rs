//! What readings of many units tell of bores and tubes: where the centre of a channel's circle would
//! come to lie with any tube in any pod, and what they leave open.
//!
//! With shims and eyepieces taken off, the centre of a circle is c = b + R(−τ) t: b the pod's bore, t
//! the tube's own offset, τ how far the tube is turned (degrees clockwise). Every circle measured is one
//! such equation, weighted by its covariance; what was stated of a part alone is another. Parts that
//! equations link are solved together by least squares, the smallest solution, with the space that the
//! equations determine: b and t are often known only but for one shift that both share and no match sees
//! (no tube was ever turned), and then b + t is known well while neither is known at all. So nothing is
//! asked here of a part, only of a tube in a pod.
//!
//! Where the equations of linked parts disagree by more than their covariances explain (χ², p < 0.01),
//! covariances are widened by χ² over the degrees of freedom (Birge's ratio).
//!
//! # Source
//! R. T. Birge, "The calculation of errors by the method of least squares", Physical Review 40, 1932, 207.

use std::collections::BTreeMap;

use nalgebra::{DMatrix, DVector};

use crate::angle::rad_from_deg;
use crate::channel::{Channel, PerChannel};
use crate::direction::Direction;
use crate::error::Error;
use crate::stats::quantile::chi_squared_above;

/// A part whose offset moves the centre of a circle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Part {
    /// A pod's bore.
    Pod {
        /// Which housing.
        housing: usize,
        /// Whether the left pod; else the right.
        left: bool,
    },
    /// A tube's own image offset, unturned.
    Tube(usize),
}

impl Part {
    /// A housing's pod.
    #[must_use]
    pub const fn pod(housing: usize, channel: Channel) -> Self {
        Self::Pod { housing, left: matches!(channel, Channel::Left) }
    }
}

/// A tube and how far it is turned in its seat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seated {
    /// Which tube.
    pub tube: usize,
    /// Degrees clockwise, seen from the eye side.
    pub turned_deg: f64,
}

/// What a value is of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Subject {
    /// The centre of a pod's circle with a tube in it.
    Centre {
        /// Which housing.
        housing: usize,
        /// Which pod.
        channel: Channel,
        /// The tube in it.
        seated: Seated,
    },
    /// One part's own offset, as somebody states it.
    Stated(Part),
}

/// A value that was measured or stated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KnownValue {
    /// Of what.
    pub subject: Subject,
    /// The value.
    pub value: Direction,
    /// Its covariance, square arcminutes.
    pub covariance_arcmin2: [[f64; 2]; 2],
}

/// A place with its covariance.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Estimate {
    /// Where.
    pub value: Direction,
    /// Covariance, square arcminutes.
    pub covariance_arcmin2: [[f64; 2]; 2],
}

/// Both centres of a unit, with the covariance that they share.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Centres {
    /// Where each lies.
    pub at: PerChannel<Direction>,
    /// Covariance of left x, left y, right x, right y, square arcminutes.
    pub covariance_arcmin2: [[f64; 4]; 4],
}

/// Why it cannot be told where a centre would lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Missing {
    /// Nothing was read of this part.
    NotRead(Part),
    /// Both were read, but with nothing in common: the pod by one set of parts, the tube by another.
    NotLinked {
        /// Which tube.
        tube: usize,
    },
    /// Pod and tube are known together with the tube as it sat, not turned.
    NotTurned {
        /// Which tube.
        tube: usize,
    },
    /// More parts hang together than are solved at once.
    TooMany,
}

/// Parts that equations link, and how well the equations agree.
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    /// The parts.
    pub parts: Vec<Part>,
    /// Equations to spare.
    pub degrees_of_freedom: usize,
    /// Weighted sum of squares left, χ² of the covariances as given.
    pub chi_squared: f64,
    /// By how much covariances were widened: 1 where the equations agree.
    pub widened: f64,
    /// Independent combinations determined, of two for each part.
    pub rank: usize,
    solved: Option<Solved>,
}

#[derive(Clone, Debug, PartialEq)]
struct Solved {
    solution: DVector<f64>,
    covariance: DMatrix<f64>,
    row_space: DMatrix<f64>,
}

/// What all readings tell of all parts.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Offsets {
    groups: Vec<Group>,
    places: PartPlaces,
}

/// Each part's group, and its place in it.
type PartPlaces = BTreeMap<Part, (usize, usize)>;

/// Most parts that are solved at once; a singular value decomposition grows with their cube.
pub const MOST_LINKED: usize = 200;
/// Singular values below this share of the largest count as none.
const NO_SINGULAR_VALUE: f64 = 1e-9;
/// Equations that differ by more than this chance explains widen what they give.
const DISAGREES: f64 = 0.01;

/// A weight of one component of one part.
#[derive(Clone, Copy)]
struct OffsetTerm {
    group: usize,
    column: usize,
    weight: f64,
}

impl Offsets {
    /// By weighted least squares, group by group.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for what is no number; [`Error::NotACovariance`] for a covariance that is none,
    /// or has no extent (what is known exactly has no weight: give it 0.001′).
    pub fn of(seen: &[KnownValue]) -> Result<Self, Error> {
        let mut joined = Joined::default();
        let mut whitened = Vec::with_capacity(seen.len());
        for one in seen {
            let Direction { x_arcmin, y_arcmin } = one.value;
            for value in [x_arcmin, y_arcmin] {
                Error::check(value.is_finite(), "a centre", value, "a number")?;
            }
            if let Subject::Centre { seated, .. } = one.subject {
                let turned_deg = seated.turned_deg;
                Error::check(turned_deg.is_finite(), "a turn of a tube", turned_deg, "a number")?;
            }
            whitened.push(whitening(one.covariance_arcmin2)?);
            joined.link(&parts_of(one.subject));
        }
        let (places, members) = joined.groups();
        let mut of_group: Vec<Vec<usize>> = vec![Vec::new(); members.len()];
        for (index, one) in seen.iter().enumerate() {
            let first = parts_of(one.subject).into_iter().flatten().next();
            if let Some(&(group, _)) = first.and_then(|part| places.get(&part)) {
                of_group[group].push(index);
            }
        }
        let bare = Self { groups: Vec::new(), places };
        let groups = members
            .into_iter()
            .zip(of_group)
            .map(|(parts, rows)| bare.solve(parts, &rows, seen, &whitened))
            .collect();
        Ok(Self { groups, places: bare.places })
    }

    /// The groups of linked parts.
    #[must_use]
    pub fn groups(&self) -> &[Group] {
        &self.groups
    }

    /// Whether anything was read or stated of a part.
    #[must_use]
    pub fn knows(&self, part: Part) -> bool {
        self.places.contains_key(&part)
    }

    /// Where the centre of a pod's circle lies with a tube in it.
    ///
    /// # Errors
    /// [`Missing`] says what is not known.
    pub fn centre(
        &self,
        housing: usize,
        channel: Channel,
        seated: Seated,
    ) -> Result<Estimate, Missing> {
        let rows = self.rows(housing, channel, seated)?;
        let value = Direction::new(self.value(&rows[0]), self.value(&rows[1]));
        let covariance_arcmin2 =
            [0, 1].map(|i| [0, 1].map(|j| self.covariance(&rows[i], &rows[j])));
        Ok(Estimate { value, covariance_arcmin2 })
    }

    /// Both centres of a unit.
    ///
    /// # Errors
    /// [`Missing`] says what is not known.
    pub fn centres(&self, housing: usize, seated: PerChannel<Seated>) -> Result<Centres, Missing> {
        let [left_x, left_y] = self.rows(housing, Channel::Left, seated.left)?;
        let [right_x, right_y] = self.rows(housing, Channel::Right, seated.right)?;
        let rows = [left_x, left_y, right_x, right_y];
        let value = |row: usize| self.value(&rows[row]);
        let at = PerChannel {
            left: Direction::new(value(0), value(1)),
            right: Direction::new(value(2), value(3)),
        };
        let covariance_arcmin2 =
            [0, 1, 2, 3].map(|i| [0, 1, 2, 3].map(|j| self.covariance(&rows[i], &rows[j])));
        Ok(Centres { at, covariance_arcmin2 })
    }

    /// A part's own offset, where the equations determine it alone.
    #[must_use]
    pub fn alone(&self, part: Part) -> Option<Estimate> {
        let &(group, place) = self.places.get(&part)?;
        let rows =
            [0, 1].map(|axis| vec![OffsetTerm { group, column: 2 * place + axis, weight: 1.0 }]);
        if !rows.iter().all(|row| self.is_determined(row)) {
            return None;
        }
        let value = Direction::new(self.value(&rows[0]), self.value(&rows[1]));
        let covariance_arcmin2 =
            [0, 1].map(|i| [0, 1].map(|j| self.covariance(&rows[i], &rows[j])));
        Some(Estimate { value, covariance_arcmin2 })
    }

    fn rows(
        &self,
        housing: usize,
        channel: Channel,
        seated: Seated,
    ) -> Result<[Vec<OffsetTerm>; 2], Missing> {
        let (pod, tube) = (Part::pod(housing, channel), Part::Tube(seated.tube));
        let place = |part: Part| self.places.get(&part).copied().ok_or(Missing::NotRead(part));
        let ((pod_group, pod_place), (tube_group, tube_place)) = (place(pod)?, place(tube)?);
        let solved = |group: usize| self.groups.get(group).is_some_and(|g| g.solved.is_some());
        if !solved(pod_group) || !solved(tube_group) {
            return Err(Missing::TooMany);
        }
        let (sin, cos) = rad_from_deg(-seated.turned_deg).sin_cos();
        let turned = [[cos, -sin], [sin, cos]];
        let rows = [0, 1].map(|axis| {
            let mut row =
                vec![OffsetTerm { group: pod_group, column: 2 * pod_place + axis, weight: 1.0 }];
            row.extend([0, 1].map(|other| OffsetTerm {
                group: tube_group,
                column: 2 * tube_place + other,
                weight: turned[axis][other],
            }));
            row
        });
        if rows.iter().all(|row| self.is_determined(row)) {
            Ok(rows)
        } else if pod_group == tube_group {
            Err(Missing::NotTurned { tube: seated.tube })
        } else {
            Err(Missing::NotLinked { tube: seated.tube })
        }
    }

    /// Whether each group's share of a row lies in the space that its equations determine.
    fn is_determined(&self, row: &[OffsetTerm]) -> bool {
        self.groups.iter().enumerate().all(|(index, group)| {
            let terms: Vec<&OffsetTerm> = row.iter().filter(|term| term.group == index).collect();
            let Some(solved) = group.solved.as_ref().filter(|_| !terms.is_empty()) else {
                return terms.is_empty();
            };
            let mut missing: f64 = 0.0;
            for at in 0..solved.solution.len() {
                let own: f64 =
                    terms.iter().filter(|term| term.column == at).map(|term| term.weight).sum();
                let held: f64 = terms
                    .iter()
                    .map(|term| solved.row_space[(at, term.column)] * term.weight)
                    .sum();
                missing += (own - held) * (own - held);
            }
            missing.sqrt() <= 1e-6
        })
    }

    fn value(&self, row: &[OffsetTerm]) -> f64 {
        let of = |term: &OffsetTerm| {
            let solved = self.groups.get(term.group)?.solved.as_ref()?;
            Some(term.weight * solved.solution[term.column])
        };
        row.iter().filter_map(of).sum()
    }

    fn covariance(&self, a: &[OffsetTerm], b: &[OffsetTerm]) -> f64 {
        let mut sum = 0.0;
        for one in a {
            for other in b.iter().filter(|other| other.group == one.group) {
                if let Some(solved) = self.groups.get(one.group).and_then(|g| g.solved.as_ref()) {
                    sum +=
                        one.weight * other.weight * solved.covariance[(one.column, other.column)];
                }
            }
        }
        sum
    }

    fn solve(
        &self,
        parts: Vec<Part>,
        rows: &[usize],
        seen: &[KnownValue],
        whitened: &[[[f64; 2]; 2]],
    ) -> Group {
        let unsolved = |parts| Group {
            parts,
            degrees_of_freedom: 0,
            chi_squared: 0.0,
            widened: 1.0,
            rank: 0,
            solved: None,
        };
        if parts.len() > MOST_LINKED {
            return unsolved(parts);
        }
        let (count, unknowns) = (2 * rows.len(), 2 * parts.len());
        let mut design = DMatrix::zeros(count, unknowns);
        let mut values = DVector::zeros(count);
        for (k, &index) in rows.iter().enumerate() {
            let (Some(one), Some(whiten)) = (seen.get(index), whitened.get(index)) else {
                continue;
            };
            let turned_deg = match one.subject {
                Subject::Centre { seated, .. } => seated.turned_deg,
                Subject::Stated(_) => 0.0,
            };
            for part in parts_of(one.subject).into_iter().flatten() {
                let Some(&(_, place)) = self.places.get(&part) else { continue };
                let turned_deg = if matches!(part, Part::Tube(_)) { turned_deg } else { 0.0 };
                let (sin, cos) = rad_from_deg(-turned_deg).sin_cos();
                let plain = [[cos, -sin], [sin, cos]];
                for axis in 0..2 {
                    for column in 0..2 {
                        design[(2 * k + axis, 2 * place + column)] +=
                            whiten[axis][0] * plain[0][column] + whiten[axis][1] * plain[1][column];
                    }
                }
            }
            let [x, y] = [one.value.x_arcmin, one.value.y_arcmin];
            for axis in 0..2 {
                values[2 * k + axis] = whiten[axis][0] * x + whiten[axis][1] * y;
            }
        }
        // All entries are finite and iterations are capped: the decomposition cannot hang.
        let Some(svd) = design.clone().try_svd(true, true, f64::EPSILON, 10_000) else {
            return unsolved(parts);
        };
        let (Some(u), Some(v_t)) = (svd.u, svd.v_t) else { return unsolved(parts) };
        let largest = svd.singular_values.iter().copied().fold(0.0, f64::max);
        let mut solution = DVector::zeros(unknowns);
        let kept: Vec<usize> = (0..svd.singular_values.len())
            .filter(|&k| svd.singular_values[k] > NO_SINGULAR_VALUE * largest)
            .collect();
        let basis = DMatrix::from_fn(unknowns, kept.len(), |row, k| v_t[(kept[k], row)]);
        let scaled = DMatrix::from_fn(unknowns, kept.len(), |row, k| {
            v_t[(kept[k], row)] / svd.singular_values[kept[k]]
        });
        for (k, &place) in kept.iter().enumerate() {
            solution += scaled.column(k) * u.column(place).dot(&values);
        }
        let chi_squared = (design * &solution - values).norm_squared();
        let degrees_of_freedom = count - kept.len();
        let freedom = degrees_of_freedom as f64;
        let chance = chi_squared_above(chi_squared, freedom).ok();
        let disagrees = degrees_of_freedom > 0 && chance.is_some_and(|chance| chance < DISAGREES);
        let widened = if disagrees { (chi_squared / freedom).max(1.0) } else { 1.0 };
        let covariance = &scaled * scaled.transpose() * widened;
        let row_space = &basis * basis.transpose();
        let solved = Solved { solution, covariance, row_space };
        Group {
            parts,
            degrees_of_freedom,
            chi_squared,
            widened,
            rank: kept.len(),
            solved: Some(solved),
        }
    }
}

const fn parts_of(subject: Subject) -> [Option<Part>; 2] {
    match subject {
        Subject::Centre { housing, channel, seated } => {
            [Some(Part::pod(housing, channel)), Some(Part::Tube(seated.tube))]
        }
        Subject::Stated(part) => [Some(part), None],
    }
}

/// W with Wᵀ W the inverse of a covariance: what makes a pair of values independent and of unit variance.
fn whitening(covariance: [[f64; 2]; 2]) -> Result<[[f64; 2]; 2], Error> {
    let [[xx, xy], [yx, yy]] = covariance;
    let refused = Error::NotACovariance { what: "the covariance of a centre" };
    let determinant = xx * yy - xy * xy;
    let extended = xx >= 1e-12 && yy >= 1e-12 && determinant > 1e-9 * xx * yy;
    if !(extended && xx.is_finite() && yy.is_finite() && (xy - yx).abs() <= 1e-6 * (xx + yy)) {
        return Err(refused);
    }
    // The lower factor of the covariance, inverted.
    let a = xx.sqrt();
    let b = xy / a;
    let c = (yy - b * b).sqrt();
    Ok([[1.0 / a, 0.0], [-b / (a * c), 1.0 / c]])
}

/// Which parts hang together.
#[derive(Default)]
struct Joined {
    index: BTreeMap<Part, usize>,
    above: Vec<usize>,
}

impl Joined {
    fn root(&self, mut at: usize) -> usize {
        while self.above[at] != at {
            at = self.above[at];
        }
        at
    }

    fn number(&mut self, part: Part) -> usize {
        if let Some(&at) = self.index.get(&part) {
            return at;
        }
        let at = self.above.len();
        self.index.insert(part, at);
        self.above.push(at);
        at
    }

    fn link(&mut self, parts: &[Option<Part>; 2]) {
        let numbers: Vec<usize> = parts.iter().flatten().map(|&part| self.number(part)).collect();
        for pair in numbers.windows(2) {
            let roots = [self.root(pair[0]), self.root(pair[1])];
            let (low, high) = (roots[0].min(roots[1]), roots[0].max(roots[1]));
            self.above[high] = low;
            // Shorter ways to the root, or a long chain would take its square.
            self.above[pair[0]] = low;
            self.above[pair[1]] = low;
        }
    }

    fn groups(&self) -> (PartPlaces, Vec<Vec<Part>>) {
        let mut places = BTreeMap::new();
        let mut members: Vec<Vec<Part>> = Vec::new();
        let mut group_of_root: BTreeMap<usize, usize> = BTreeMap::new();
        for (&part, &at) in &self.index {
            let next = members.len();
            let group = *group_of_root.entry(self.root(at)).or_insert(next);
            if group == next {
                members.push(Vec::new());
            }
            places.insert(part, (group, members[group].len()));
            members[group].push(part);
        }
        (places, members)
    }
}
