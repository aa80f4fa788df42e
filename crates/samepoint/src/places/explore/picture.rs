//! What a model shows: the field plot as a bench would log it, both crosshairs where the rings are
//! set, and what follows in numbers and words.

use paper::{Ghost, words};
use record::practice::explore::{DerivationLine, ExploreAnswer, Model, Plane, Preset, Section};
use record::{ApproachUsed, ReadingUnit};
use solver::swing::worst_over;
use solver::{
    Channel, Direction, Misalignment, OffsetCircle, PerChannel, Reading, Relation, WindowUse,
};

use super::explored::Explored;
use crate::views::log::Log;
use crate::views::overlay::Overlay;
use crate::views::round::{ReadingsFrom, RoundView, TonedSentence};
use crate::widgets::Tone;

/// Everything the place shows of a model.
#[derive(Clone, Debug)]
pub struct ExploreView {
    /// The field plot and its words, as a bench would log it.
    pub bench: RoundView,
    /// How the circles as they are meet.
    pub relation: String,
    /// Both crosshairs with the rings at their targets, in sentences.
    pub set: Vec<String>,
    /// How much of the window that uses.
    pub used: WindowUse,
    /// The same at other interpupillary distances, and at worst.
    pub swing: Vec<TonedSentence>,
    /// What the bench sees that is not so.
    pub seen: Vec<TonedSentence>,
    /// Each channel cut open, across and up.
    pub sections: PerChannel<[Section; 2]>,
    /// Focal lengths and centres: what the millimetres are worked out with.
    pub optics: String,
    /// The answer to the preset's question.
    pub answer: ExploreAnswer,
    /// How its numbers come about.
    pub derivation: Vec<DerivationLine>,
}

/// Circles less apart than this are drawn as one, arcminutes: the exact tangent against the
/// small-angle circle.
const ALIKE_ARCMIN: f64 = 0.1;

impl ExploreView {
    /// Of what became of a preset.
    ///
    /// # Errors
    /// Why it cannot be shown, without its full stop.
    pub fn of(explored: &Explored, preset: Preset) -> Result<Self, record::Error> {
        let Explored { model, counter } = explored;
        let rings = model.rings_as_logged()?;
        let clockwise = counter.map(|counter| !counter);
        let points = PerChannel::from_fn(|of| model.point(of, rings[of], clockwise[of]));
        let shown = PerChannel::from_fn(|of| model.shown(of, rings[of], clockwise[of]));
        let bench = bench_picture(model, rings, shown)?;
        let range = model.swing_range()?;
        let used = model.used(points);
        let worst = worst_over(points, &model.window, range);
        Ok(Self {
            relation: relation_words(model)?,
            set: set_words(points, rings),
            used,
            swing: swing_words(model, points, worst.used.worst())?,
            seen: seen_words(model, &bench),
            optics: optics_words(model),
            derivation: preset.derivation(model)?,
            sections: PerChannel::from_fn(|of| {
                [Plane::Across, Plane::Up]
                    .map(|plane| model.section(of, plane, rings[of], clockwise[of]))
            }),
            answer: preset.answer(model)?,
            bench,
        })
    }
}

fn bench_picture(
    model: &Model,
    rings: PerChannel<f64>,
    shown: PerChannel<Direction>,
) -> Result<RoundView, record::Error> {
    let problem = model.as_logged()?;
    let truth = model.circles();
    let aside = |considered| Overlay { considered, ..Overlay::default() };
    let picture = |aside: &Overlay| {
        RoundView::new(ReadingsFrom {
            log: &Log::default(),
            problem: &problem,
            place: PerChannel::from_fn(|of| {
                Some(Reading { direction: shown[of], ring_deg: Some(rings[of]) })
            }),
            approach: PerChannel { left: ApproachUsed::NotNoted, right: ApproachUsed::NotNoted },
            station: None,
            ring_step_deg: 1.0,
            unit: ReadingUnit::Arcmin,
            selected: None,
            aside,
        })
    };
    let plain = picture(&aside(None));
    let circles = PerChannel::from_fn(|of| seen_circle(&plain, of));
    let apart = |of: Channel| circles[of].is_some_and(|seen| differ(seen, truth[of]));
    if !Channel::BOTH.iter().any(|of| apart(*of)) {
        return Ok(plain);
    }
    let ghost = Ghost {
        label: "as it is".to_owned(),
        circles: truth.map(Some),
        crossing: model.meeting()?.nearest().map(|near| near.point),
    };
    Ok(picture(&aside(Some(ghost))))
}

fn seen_circle(picture: &RoundView, channel: Channel) -> Option<OffsetCircle> {
    let fit = picture.solution.as_ref()?.fits[channel].as_ref().ok()?;
    Some(fit.circle)
}

fn differ(seen: OffsetCircle, truth: OffsetCircle) -> bool {
    seen.centre.distance_arcmin(truth.centre) > ALIKE_ARCMIN
        || (seen.radius_arcmin - truth.radius_arcmin).abs() > ALIKE_ARCMIN
}

fn relation_words(model: &Model) -> Result<String, record::Error> {
    let meeting = model.meeting()?;
    let circles = model.circles();
    let apart = words::arcmin(circles.left.centre.distance_arcmin(circles.right.centre));
    let radii = circles.map(|circle| words::arcmin(circle.radius_arcmin));
    let places: Vec<String> = meeting
        .crossings()
        .map(|one| {
            format!(
                "{} from boresight, at {}",
                words::arcmin(one.boresight_arcmin),
                words::direction(one.point)
            )
        })
        .collect();
    let meet = match (meeting.relation, places.len()) {
        (_, 0) => "They meet nowhere.".to_owned(),
        (Relation::Coincident, _) => {
            format!("They meet all round, nearest {}.", places.join("; and "))
        }
        _ => format!("They meet {}.", places.join("; and ")),
    };
    Ok(format!(
        "The circles are {}: centres {apart} apart, radii {} and {}. {meet}",
        meeting.relation.word(),
        radii.left,
        radii.right
    ))
}

/// What 2t/f_e takes: f_e, and where each centre lies.
fn optics_words(model: &Model) -> String {
    let circles = model.circles();
    format!(
        "Focal lengths: objective {} mm, eyepiece {} mm. Centres: left {}, right {}.",
        words::number(model.optics.objective_mm(), 1),
        words::number(model.optics.eyepiece_mm(), 1),
        words::direction(circles.left.centre),
        words::direction(circles.right.centre)
    )
}

fn set_words(points: PerChannel<Direction>, rings: PerChannel<f64>) -> Vec<String> {
    let apart = Misalignment::between(points.left, points.right);
    let middle = points.left.midpoint(points.right).boresight_arcmin();
    vec![
        format!(
            "With the rings at their targets, left {} and right {}, {}.",
            words::ring(rings.left, 1.0),
            words::ring(rings.right, 1.0),
            words::misalignment(apart)
        ),
        format!("Both together point {} from boresight.", words::arcmin(middle)),
    ]
}

fn swing_words(
    model: &Model,
    points: PerChannel<Direction>,
    worst: f64,
) -> Result<Vec<TonedSentence>, record::Error> {
    let tone = |used: f64| if used > 1.0 { Tone::Look } else { Tone::Plain };
    let mut told = Vec::new();
    for ipd_mm in model.ipd_range_mm {
        let used = model.used_at(points, ipd_mm)?.worst();
        let (distance, share) = (words::number(ipd_mm, 0), words::percent(used));
        told.push(TonedSentence {
            tone: tone(used),
            text: format!(
                "At an interpupillary distance of {distance} mm it uses {share} of the window."
            ),
        });
    }
    let share = words::percent(worst);
    told.push(TonedSentence {
        tone: tone(worst),
        text: format!("At worst over the swing {share} of the window."),
    });
    Ok(told)
}

/// What the station shows otherwise than it is, and what the fit remarks on.
fn seen_words(model: &Model, bench: &RoundView) -> Vec<TonedSentence> {
    let truth = model.circles();
    let mut told: Vec<TonedSentence> = Vec::new();
    for channel in Channel::BOTH {
        let Some(seen) = seen_circle(bench, channel).filter(|seen| differ(*seen, truth[channel]))
        else {
            continue;
        };
        told.push(TonedSentence {
            tone: Tone::Look,
            text: format!(
                "The bench sees the {channel} centre at {}; it is at {}.",
                words::direction(seen.centre),
                words::direction(truth[channel].centre)
            ),
        });
    }
    if !told.is_empty() {
        told.extend(misled(model, bench));
    }
    told.extend(bench.remarks.iter().cloned());
    told
}

/// Why plot and panel do not say the same: the plot recommends from what the bench sees.
fn misled(model: &Model, bench: &RoundView) -> Option<TonedSentence> {
    let rings = bench.setting?.ring_deg;
    let PerChannel { left: Some(left), right: Some(right) } = rings else { return None };
    let rings = PerChannel { left, right };
    let mut zeroed = model.clone();
    for channel in Channel::BOTH {
        zeroed.channels[channel].dioptre = 0.0;
    }
    let points = PerChannel::from_fn(|of| zeroed.point(of, rings[of], true));
    Some(TonedSentence {
        tone: Tone::Look,
        text: format!(
            "The plot shows what the bench sees and recommends from that: left {}, right {}. The numbers above \
             are of the unit as it is. Set where the plot says, with the dioptres at zero, it would use {} of \
             the window.",
            words::ring(left, 1.0),
            words::ring(right, 1.0),
            words::percent(zeroed.used(points).worst())
        ),
    })
}

/// A section in words: where its parts stand and where the eye sees the target.
#[must_use]
pub(crate) fn section_words(section: &Section, plane: Plane) -> String {
    let (seen_from, way) = match plane {
        Plane::Across => ("from above", "right"),
        Plane::Up => ("from the side", "up"),
    };
    let mm = |value: f64| format!("{} mm", words::number(value, 3));
    let [tube_in, tube_out] = section.tube;
    format!(
        "Seen {seen_from}, {way} positive: objective {}, tube {} at the front and {} at the rear, lens \
         cell {}. With the dioptre at zero the eye sees the target at {}.",
        mm(section.objective),
        mm(tube_in),
        mm(tube_out),
        mm(section.lens),
        words::arcmin(section.seen_arcmin)
    )
}
