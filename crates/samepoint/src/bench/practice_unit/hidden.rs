//! What was hidden, told once the session is signed: the score part by part, the truth beside what
//! was found, and the millimetres it came from.

use paper::words::capital;
use paper::{Ghost, words};
use record::practice::{Truth, score};
use record::remedies::said;
use record::{Derived, Session};
use solver::optics::Lateral;
use solver::{Channel, Direction, PerChannel, meet};

use crate::views::course::percent;

/// Everything the sheet tells.
#[derive(Clone, Debug, PartialEq)]
pub struct HiddenView {
    /// Which unit.
    pub unit: String,
    /// The total, per cent.
    pub total: String,
    /// Why it was halved, if it was.
    pub halved: Option<String>,
    /// The parts of the score.
    pub parts: Vec<PartLine>,
    /// What could be reached, and what was.
    pub reach: Vec<String>,
    /// Truth beside what was found.
    pub rows: Vec<TruthRow>,
    /// Where each channel's parts stand as it was left.
    pub millimetres: PerChannel<Vec<(&'static str, String)>>,
    /// Play and locks.
    pub hands: Vec<String>,
    /// The true circles as it was left, to be laid over the plot.
    pub ghost: Ghost,
}

/// A part of the score.
#[derive(Clone, Debug, PartialEq)]
pub struct PartLine {
    /// What it is called.
    pub name: String,
    /// `27 of 30`.
    pub points: String,
    /// Why.
    pub why: String,
    /// How it is worked out.
    pub rule: &'static str,
    /// Whether it earned all it could.
    pub full: bool,
}

/// A number of the unit as it was left.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TruthRow {
    /// What.
    pub name: String,
    /// As it truly is.
    pub truth: String,
    /// As it was found from the readings.
    pub found: String,
}

impl HiddenView {
    /// Of a session that is signed.
    ///
    /// # Errors
    /// Why the truth is not told, in a sentence.
    pub fn of(session: &Session) -> Result<Self, String> {
        let sentence = |why: record::practice::Hidden| format!("{}.", capital(&why.to_string()));
        let truth = Truth::of(session).map_err(sentence)?;
        let scored = score(session).map_err(sentence)?;
        let halved = scored
            .passed_failing
            .then(|| "A failing unit was passed: the total is halved.".to_owned());
        let parts = scored.parts.iter().map(|one| {
            let weight = one.weight;
            PartLine {
                name: capital(one.part.word()),
                points: format!(
                    "{} of {}",
                    words::number(weight * one.earned, 0),
                    words::number(weight, 0)
                ),
                why: one.words.clone(),
                rule: scored.formula.rule(one.part),
                full: one.earned >= 1.0,
            }
        });
        Ok(Self {
            unit: capital(&truth.unit.exercise().name),
            total: percent(scored.total_percent()),
            halved,
            parts: parts.collect(),
            reach: reach_words(&truth),
            rows: rows(&truth, &Derived::of(session)),
            millimetres: PerChannel::from_fn(|channel| millimetres(&truth, channel)),
            hands: hands_words(&truth),
            ghost: ghost(&truth),
        })
    }
}

fn ghost(truth: &Truth) -> Ghost {
    let circles = truth.left.circles();
    let met = meet::meet(&circles.left, &circles.right, meet::RELATION_TOLERANCE).ok();
    Ghost {
        label: "truth".to_owned(),
        circles: circles.map(Some),
        crossing: met.and_then(|met| met.nearest().map(|near| near.point)),
    }
}

fn reach_words(truth: &Truth) -> Vec<String> {
    let reach = &truth.reach;
    let share = |used: f64| words::percent(used);
    let mut told = Vec::new();
    if let Some(exam) = truth.unit.exam {
        let limit = exam.minutes.map_or_else(
            || "no time limit".to_owned(),
            |minutes| format!("a limit of {minutes} min"),
        );
        let took = words::number(truth.minutes, 0);
        let late = if truth.is_in_time() { "" } else { ": too late, it does not count as passed" };
        told.push(format!("An examination with {limit}; signed after {took} min{late}."));
    }
    told.push(format!(
        "As it came the rings alone could reach {} of the window, at left {} and right {}.",
        share(reach.alone.used),
        words::ring(reach.alone.ring_deg.left, 1.0),
        words::ring(reach.alone.ring_deg.right, 1.0),
    ));
    match (&reach.remedy, reach.needs_remedy()) {
        (Some(remedy), _) => told.push(format!(
            "It needed a remedy. The cheapest on the shelf: {}. After it {} could be reached.",
            said(remedy),
            share(reach.least_use)
        )),
        (None, true) => told.push("Nothing on the shelf gets it inside.".to_owned()),
        (None, false) => told.push("It needed no remedy.".to_owned()),
    }
    if !truth.remedies.is_empty() {
        let done: Vec<String> = truth.remedies.iter().map(said).collect();
        told.push(format!("Done to it: {}.", done.join("; then ")));
    }
    told.push(match truth.used {
        Some(used) => {
            let place = if used.is_inside() { "inside" } else { "outside" };
            format!("It was left at {} of the window: {place}.", share(used.worst()))
        }
        None => "Where its rings were left was not noted.".to_owned(),
    });
    told
}

fn rows(truth: &Truth, account: &Derived<'_>) -> Vec<TruthRow> {
    let signed = account.session().signatures.first().map(|signature| signature.signed.round);
    let found = signed.and_then(|round| account.circles(round));
    let circles = truth.left.circles();
    let not_found = || "–".to_owned();
    let mut rows = Vec::new();
    for channel in Channel::BOTH {
        let circle = circles[channel];
        let fit = found.and_then(|found| found.fit(channel));
        let name = capital(channel.word());
        rows.push(TruthRow {
            name: format!("{name} centre"),
            truth: words::direction(circle.centre),
            found: fit.map_or_else(not_found, |fit| words::direction(fit.circle.centre)),
        });
        rows.push(TruthRow {
            name: format!("{name} radius"),
            truth: words::arcmin(circle.radius_arcmin),
            found: fit.map_or_else(not_found, |fit| words::arcmin(fit.circle.radius_arcmin)),
        });
    }
    let met = meet::meet(&circles.left, &circles.right, meet::RELATION_TOLERANCE).ok();
    let found_met = found.and_then(|found| found.meeting.as_ref());
    let place = |at: Option<Direction>| at.map_or_else(|| "none".to_owned(), words::direction);
    let crossing = |met: Option<&meet::Meeting>, nth: usize| {
        met.map_or_else(not_found, |met| place(met.crossings().nth(nth).map(|one| one.point)))
    };
    for (nth, name) in ["Nearer crossing", "Farther crossing"].into_iter().enumerate() {
        rows.push(TruthRow {
            name: name.to_owned(),
            truth: crossing(met.as_ref(), nth),
            found: crossing(found_met, nth),
        });
    }
    rows.push(as_left(truth, account));
    rows
}

/// Misalignment as it was left, and as it was confirmed.
fn as_left(truth: &Truth, account: &Derived<'_>) -> TruthRow {
    let points = truth.rings.and_then(|rings| truth.left.points(rings).ok());
    let apart = |left: Direction, right: Direction| words::direction(right - left);
    let measured = account.conclusion().ok().and_then(|concluded| concluded.measured.as_ref());
    let none = || "–".to_owned();
    TruthRow {
        name: "Misalignment as left".to_owned(),
        truth: points.map_or_else(none, |points| apart(points.left, points.right)),
        found: measured.map_or_else(none, |it| apart(it.points.left, it.points.right)),
    }
}

fn millimetres(truth: &Truth, channel: Channel) -> Vec<(&'static str, String)> {
    let made = truth.left.channel(channel);
    let place =
        |at: Lateral| format!("{}, {} mm", words::number(at.x_mm, 3), words::number(at.y_mm, 3));
    vec![
        ("objective axis", place(made.placed.objective)),
        ("tube, front end", place(made.placed.tube_in)),
        ("tube, rear end", place(made.placed.tube_out)),
        ("tube image offset", place(made.placed.tube_image)),
        ("eyepiece axis", place(made.placed.eyepiece)),
        (
            "lens decentre",
            format!(
                "{} mm toward {}",
                words::number(made.decentre.length_mm(), 3),
                words::ring(made.decentre.clock_deg(), 1.0)
            ),
        ),
    ]
}

fn hands_words(truth: &Truth) -> Vec<String> {
    let hand = truth.unit.hand();
    let mut told = vec![format!(
        "A reading scattered by {} each way (standard deviation).",
        words::arcmin_fine(hand.noise_arcmin)
    )];
    if hand.ring_play_deg > 0.0 {
        told.push(format!(
            "The rings had {} of play: the cell lags behind by half of it.",
            words::degrees(hand.ring_play_deg, 1.0)
        ));
    }
    let turned = truth.left.lock_turn_deg();
    if turned.iter().any(|(_, deg)| *deg != 0.0) {
        told.push(format!(
            "Tightening turned the left ring {}, the right {}.",
            words::turn(turned.left),
            words::turn(turned.right)
        ));
    }
    told
}
