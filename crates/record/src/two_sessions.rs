//! Two sessions of one unit side by side: circles to lay over each other, what moved between them
//! and how well that is known.

use solver::decision::{Confirmation, ReadingSpread, Rule, judge};
use solver::stats::agreement::{Agreement, Measurement, agreement};
use solver::uncertainty::Uncertainty;
use solver::{Channel, CircleFit, PerChannel};

use crate::apart::{Apart, ComparedSide, apart, difference, pair, same_reference};
use crate::as_found::as_found_readings;
use crate::conclusion::measured::{each_axis, reference};
use crate::conclusion::{Conclusion, Measured, NoConclusion, conclude};
use crate::figures::capital;
use crate::fold::Session;
use crate::remedies;
use crate::review::RoundAccount;
use crate::station::{ReferenceUncertainty, Station};

/// Two sessions side by side. Differences are second less first, so give the earlier one first.
#[derive(Clone, Debug)]
pub struct TwoSessions {
    /// The unit's name in each.
    pub units: [String; 2],
    /// The rounds of each: circles, crossing points, settings.
    pub rounds: [Vec<RoundAccount>; 2],
    /// Both verdicts, as the facts give them now.
    pub conclusions: [Result<Conclusion, NoConclusion>; 2],
    /// As left in both, at every position read in both.
    pub as_left: Vec<Apart>,
    /// How it stayed in between: found by the second less left by the first; `None` where either was
    /// not read, or nothing tells how far readings scatter.
    pub kept: Option<VisitChange>,
    /// Each circle's centre: the second's first round less the first's last round with that circle.
    pub centres: PerChannel<Option<Agreement>>,
    /// Parts that sit otherwise in the second session's first build than in the first's last, in
    /// words.
    pub rebuilt: Vec<String>,
    /// The station each was read on, and whether it states how far its reference may be off.
    pub stations: [SessionStation; 2],
    /// Whether both were read on one station under one calibration, so that its reference cancels.
    pub same_reference: bool,
}

/// The station that a session was read on.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SessionStation {
    /// Its name; empty where none is known.
    pub name: String,
    /// Whether it states how far its reference may be off.
    pub states_reference: bool,
}

impl SessionStation {
    fn of(session: &Session) -> Self {
        let Some(station) = session.station() else { return Self::default() };
        let states_reference = station.reference != ReferenceUncertainty::default();
        Self { name: station.name.clone(), states_reference }
    }

    fn named(&self) -> &str {
        if self.name.is_empty() { "a station without a name" } else { &self.name }
    }
}

/// What a unit came back with, less what it left with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VisitChange {
    /// The misalignment.
    pub misalignment: Agreement,
    /// The shared direction.
    pub shared: Agreement,
}

impl TwoSessions {
    /// Whether both name one unit.
    #[must_use]
    pub fn same_unit(&self) -> bool {
        let [first, second] = &self.units;
        !first.is_empty() && first == second
    }

    /// All of it in sentences: what a plot of both shows.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        let mut said = Vec::new();
        if !self.same_unit() {
            let [first, second] = self.units.each_ref().map(|name| named(name));
            said.push(format!("These are two units, {first} and {second}."));
        }
        for part in &self.rebuilt {
            said.push(format!("Built otherwise: {part}."));
        }
        if let Some(kept) = &self.kept {
            said.push("As found the second time, less as left the first time:".to_owned());
            said.push(difference("misalignment", kept.misalignment));
            said.push(difference("middle of both crosshairs", kept.shared));
        }
        for at in &self.as_left {
            said.push(format!("As left, {}, second less first:", at.position));
            said.extend(at.words());
        }
        if !said.is_empty() || self.centres != PerChannel::default() {
            said.extend(self.stations_words());
        }
        for (channel, centre) in self.centres.iter() {
            if let Some(centre) = centre {
                said.push(difference(&format!("{} circle’s centre", channel.word()), *centre));
            }
        }
        if said.is_empty() {
            said.push("Nothing was measured in both that can be compared.".to_owned());
        }
        said
    }
}

impl TwoSessions {
    /// Which stations were read on, and what that does to the comparison.
    fn stations_words(&self) -> Vec<String> {
        let [first, second] = &self.stations;
        if self.same_reference {
            return vec![format!(
                "Both were read on {}, under one calibration: what its reference may be off by is in \
                 both alike and is not counted.",
                first.named()
            )];
        }
        let mut said = vec![format!(
            "The first was read on {}, the second on {}: what their references may be off by is counted \
             in what follows, and in the middle of both crosshairs; what both channels of a station share \
             cancels in the misalignment.",
            first.named(),
            second.named()
        )];
        for station in self.stations.iter().filter(|station| !station.states_reference) {
            said.push(format!(
                "{} does not state how far its reference may be off: sound stations may then seem to \
                 disagree.",
                capital(station.named())
            ));
        }
        said
    }
}

fn named(name: &str) -> &str {
    if name.is_empty() { "one without a name" } else { name }
}

/// Lays two sessions side by side.
#[must_use]
pub fn two_sessions(first: &Session, second: &Session) -> TwoSessions {
    let sessions = [first, second];
    let name =
        |session: &Session| session.unit().map_or_else(String::new, |unit| unit.name.clone());
    let conclusions = sessions.map(conclude);
    let as_left = match &conclusions {
        [Ok(left), Ok(right)] => apart(
            ComparedSide { conclusion: left, station: first.station() },
            ComparedSide { conclusion: right, station: second.station() },
        ),
        _ => Vec::new(),
    };
    let same_reference = same_reference(first.station(), second.station());
    let rounds = sessions.map(RoundAccount::all);
    let centres = PerChannel::from_fn(|channel| {
        let [before, after] = &rounds;
        let last = before.iter().rev().find_map(|round| circle(round, channel))?;
        let next = after.iter().find_map(|round| circle(round, channel))?;
        let of = |fit, session: &Session| centre(fit, channel, session.station(), same_reference);
        agreement(&of(last, first)?, &of(next, second)?).ok()
    });
    let measured = conclusions[0].as_ref().ok().and_then(|conclusion| conclusion.measured);
    TwoSessions {
        units: sessions.map(name),
        kept: measured.and_then(|left| kept(&left, first, second, same_reference)),
        rounds,
        conclusions,
        as_left,
        centres,
        rebuilt: rebuilt(first, second),
        stations: sessions.map(SessionStation::of),
        same_reference,
    }
}

fn circle(round: &RoundAccount, channel: Channel) -> Option<&CircleFit> {
    let solution = round.solution.as_ref()?.as_ref().ok()?;
    solution.fits[channel].as_ref().ok().filter(|fit| !fit.arc_too_short())
}

/// A centre is one channel's: what its station's reference may be off by is its own part and the part
/// that both channels share. Stated, so with Welch–Satterthwaite it adds degrees of freedom, those of
/// the axis that has fewer.
fn centre(
    fit: &CircleFit,
    channel: Channel,
    station: Option<&Station>,
    without_reference: bool,
) -> Option<Measurement> {
    let covariance = fit.covariance?;
    let fitted = |i, j| covariance.get(i, j);
    let off = station.filter(|_| !without_reference).map(|station| &station.reference);
    let variance = |axis: usize| {
        let of = |off: &ReferenceUncertainty| {
            let part = |u: Option<&f64>| u.map_or(0.0, |u| u * u);
            part(off.own_u_arcmin[channel].get(axis)) + part(off.common_u_arcmin.get(axis))
        };
        off.map_or(0.0, of)
    };
    let freedom = fit.freedom()?;
    let of_axis = |axis: usize| {
        let whole = Uncertainty::combined(&[
            (fitted(axis, axis).max(0.0).sqrt(), freedom),
            (variance(axis).sqrt(), f64::INFINITY),
        ]);
        whole.map_or(freedom, |whole| whole.freedom)
    };
    let [x, y] = [variance(0), variance(1)];
    Some(Measurement {
        value: [fit.circle.centre.x_arcmin, fit.circle.centre.y_arcmin],
        covariance: [[fitted(0, 0) + x, fitted(0, 1)], [fitted(1, 0), fitted(1, 1) + y]],
        freedom: of_axis(0).min(of_axis(1)),
    })
}

/// As-found readings are few: their scatter is known only where their station states it.
fn kept(
    left: &Measured,
    first: &Session,
    second: &Session,
    without_reference: bool,
) -> Option<VisitChange> {
    let (_, readings) = as_found_readings(second)?;
    let sigma_arcmin = second.station()?.spread.sigma_arcmin?;
    let confirmation = Confirmation {
        readings,
        spread: ReadingSpread::Stated(each_axis([sigma_arcmin; 2])),
        reference: second.station().map(reference).unwrap_or_default(),
    };
    // Chances are not looked at, only means and covariances: any window will do.
    let window = second.window().or_else(|| first.window())?;
    let came = judge(&confirmation, &window.limits, Rule::Simple).ok()??;
    let went = pair(&left.judgement?, first.station(), without_reference);
    let came = pair(&came, second.station(), without_reference);
    Some(VisitChange {
        misalignment: agreement(&went.misalignment, &came.misalignment).ok()?,
        shared: agreement(&went.shared, &came.shared).ok()?,
    })
}

/// Parts that sit otherwise, in words.
pub(crate) fn rebuilt(first: &Session, second: &Session) -> Vec<String> {
    let (Some(then), Some(now)) = (first.unit(), second.units.first().map(|said| &said.body))
    else {
        return Vec::new();
    };
    let mut said = Vec::new();
    let mut changed = |what: &str, before: &str, after: &str| {
        if before != after && !before.is_empty() && !after.is_empty() {
            said.push(format!("{what} {after}, before {before}"));
        }
    };
    changed("housing", &then.housing, &now.housing);
    for channel in Channel::BOTH {
        let side = channel.word();
        changed(&format!("{side} tube"), &then.tubes[channel].serial, &now.tubes[channel].serial);
        changed(
            &format!("{side} eyepiece"),
            &then.eyepieces[channel].serial,
            &now.eyepieces[channel].serial,
        );
        let shims = |unit: &crate::unit::Unit| match &unit.shims[channel][..] {
            [] => "none".to_owned(),
            held => held.iter().map(remedies::shim).collect::<Vec<_>>().join("; "),
        };
        changed(&format!("{side} shims"), &shims(then), &shims(now));
        let turned = |unit: &crate::unit::Unit| {
            format!("turned by {}", crate::figures::degrees_short(unit.tubes[channel].turned_deg))
        };
        changed(&format!("{side} tube"), &turned(then), &turned(now));
    }
    said
}
