//! What two sessions measured of one unit, position by position: how far apart, how well that is
//! known, and whether they agree.

use solver::decision::Judgement;
use solver::stats::agreement::{Agreement, Measurement, agreement};
use solver::{Direction, PerChannel};

use crate::conclusion::measured::reference;
use crate::conclusion::{Conclusion, Measured, Position};
use crate::figures::{arcmin_fine, direction, number};
use crate::station::Station;

/// What two sessions measured at one position of the pods.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Apart {
    /// Where the pods stood.
    pub position: Position,
    /// The first session's means.
    pub first: Measured,
    /// The second's.
    pub second: Measured,
    /// The misalignment, second less first; `None` where either scatter is not known.
    pub misalignment: Option<Agreement>,
    /// The shared direction (p_L + p_R)/2, second less first; `None` as above.
    pub shared: Option<Agreement>,
    /// Whether both were read on one station under one calibration: its reference is then left out
    /// of the uncertainties, since it cancels in a difference.
    pub same_reference: bool,
}

impl Apart {
    /// Whether both parts agree, |E_n| ≤ 1; `None` where no score is to be had.
    #[must_use]
    pub fn agrees(&self) -> Option<bool> {
        Some(self.misalignment?.agrees()? && self.shared?.agrees()?)
    }

    /// It in sentences.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        let [then, now] = [&self.first, &self.second].map(|at| {
            let PerChannel { left, right } = at.points;
            (right - left, left.midpoint(right))
        });
        let mut said = Vec::new();
        for (what, by, found) in [
            ("misalignment", now.0 - then.0, self.misalignment),
            ("middle of both crosshairs", now.1 - then.1, self.shared),
        ] {
            said.push(found.map_or_else(
                || {
                    let by = direction(by);
                    format!("The {what} differs by {by}; how well that is known cannot be told.")
                },
                |found| difference(what, found),
            ));
        }
        if self.same_reference {
            said.push(
                "Both were read on one station: what its reference may be off by is in both alike and \
                 is not counted."
                    .to_owned(),
            );
        }
        said
    }
}

/// `The misalignment differs by 0.3′, −0.1′ (± 0.4′, 0.4′); E_n 0.6, −0.2: they agree.`
pub(crate) fn difference(what: &str, found: Agreement) -> String {
    let [x, y] = found.difference;
    let by = format!("The {what} differs by {}", direction(Direction::new(x, y)));
    let half = found.u.map(|u| u.half_width_95().map_or_else(|| "–".to_owned(), arcmin_fine));
    let [half_x, half_y] = half;
    match (found.en, found.agrees()) {
        ([Some(en_x), Some(en_y)], Some(agrees)) => {
            let verdict = if agrees { "they agree" } else { "they do not agree" };
            let (en_x, en_y) = (number(en_x, 1), number(en_y, 1));
            format!("{by} (± {half_x}, {half_y}); E_n {en_x}, {en_y}: {verdict}.")
        }
        _ => format!("{by} (± {half_x}, {half_y})."),
    }
}

/// What is compared.
#[derive(Clone, Copy)]
pub(crate) struct ComparedSide<'a> {
    pub(crate) conclusion: &'a Conclusion,
    pub(crate) station: Option<&'a Station>,
}

/// Every position that both sessions judged, the set-up's first.
pub(crate) fn apart(first: ComparedSide<'_>, second: ComparedSide<'_>) -> Vec<Apart> {
    let same_reference = same_reference(first.station, second.station);
    let whole = first.conclusion.positions();
    whole
        .filter_map(|one| {
            let other = second.conclusion.positions().find(|at| at.position == one.position)?;
            let both = one.judgement.zip(other.judgement).map(|(one, other)| {
                let of = |judged, station| pair(judged, station, same_reference);
                (of(&one, first.station), of(&other, second.station))
            });
            let compare = |pick: fn(&BothQuantities) -> &Measurement| {
                both.and_then(|(a, b)| agreement(pick(&a), pick(&b)).ok())
            };
            Some(Apart {
                position: one.position,
                first: *one,
                second: *other,
                misalignment: compare(|pair| &pair.misalignment),
                shared: compare(|pair| &pair.shared),
                same_reference,
            })
        })
        .collect()
}

/// Both quantities of a result, as they are compared.
#[derive(Clone, Copy)]
pub(crate) struct BothQuantities {
    pub(crate) misalignment: Measurement,
    pub(crate) shared: Measurement,
}

/// What a judgement measured; `without_reference`: less what its station's reference may be off by.
pub(crate) fn pair(
    judged: &Judgement,
    station: Option<&Station>,
    without_reference: bool,
) -> BothQuantities {
    let (m, b) = if without_reference {
        judged.without_reference(&station.map(reference).unwrap_or_default())
    } else {
        (judged.misalignment_covariance, judged.shared_covariance)
    };
    let of = |value, covariance| Measurement { value, covariance, freedom: judged.freedom };
    BothQuantities {
        misalignment: of([judged.misalignment.x_arcmin, judged.misalignment.y_arcmin], m),
        shared: of([judged.shared.x_arcmin, judged.shared.y_arcmin], b),
    }
}

/// One station, reading alike, under one calibration.
pub(crate) fn same_reference(first: Option<&Station>, second: Option<&Station>) -> bool {
    match (first, second) {
        (Some(a), Some(b)) => a.name == b.name && a.reads_as(b) && a.calibration == b.calibration,
        _ => false,
    }
}
