//! The answer to a preset's question, from the numbers as they stand: sliders may have moved since.

use solver::fit::fit_circle;
use solver::optics::ShimEnds;
use solver::setting::best_compromise;
use solver::swing::{safe_radius_arcmin, swung};
use solver::{Channel, Misalignment, PerChannel, Relation, Sense, SenseChoice};

use super::model::Model;
use super::preset::Preset;
use crate::error::Error;
use crate::figures::{form_for, misalignment, percent};
use crate::number::with_true_minus;
use crate::practice::look_through::LooksLike;

/// An answer and the numbers it rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct ExploreAnswer {
    /// The numbers, named, with their units in the name.
    pub figures: Vec<AnswerFigure>,
    /// The answer.
    pub words: String,
}

/// A number of an answer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AnswerFigure {
    /// What it is, with unit: `gap_arcmin`.
    pub name: &'static str,
    /// Its value.
    pub value: f64,
}

impl ExploreAnswer {
    fn new(words: String, figures: &[(&'static str, f64)]) -> Self {
        let figures = figures.iter().map(|&(name, value)| AnswerFigure { name, value }).collect();
        Self { figures, words: with_true_minus(&words) }
    }

    /// A number by its name.
    #[must_use]
    pub fn figure(&self, name: &str) -> Option<f64> {
        self.figures.iter().find(|figure| figure.name == name).map(|figure| figure.value)
    }
}

impl Preset {
    /// The answer for a model, whatever was made of it.
    ///
    /// # Errors
    /// [`Error::Solver`] where the numbers make no circles, or the bridge cannot be set as asked.
    pub fn answer(self, model: &Model) -> Result<ExploreAnswer, Error> {
        match self {
            Self::MatchedBores => matched(model),
            Self::BarelyMeeting => barely(model),
            Self::Nested => nested(model),
            Self::OneGoodCrossing => one_good(model),
            Self::OneDistanceOnly => one_distance(model),
            Self::DioptreError => dioptre(model),
            Self::RingPlay => play(model),
            Self::WrongFlip => flip(model),
        }
    }
}

fn matched(model: &Model) -> Result<ExploreAnswer, Error> {
    let meeting = model.meeting()?;
    let circles = model.circles();
    let apart = circles.left.centre.distance_arcmin(circles.right.centre);
    let places = if meeting.relation == Relation::Coincident {
        "at every place of the circle".to_owned()
    } else {
        match meeting.crossings().count() {
            0 => "nowhere".to_owned(),
            count => form_for(count, "at one place".to_owned(), format!("at {count} places")),
        }
    };
    let best = model.place()?;
    let away = best.left.midpoint(best.right).boresight_arcmin();
    let used = model.used(best).worst();
    let [narrow_mm, wide_mm] = model.ipd_range_mm;
    let narrow = model.used_at(best, narrow_mm)?.worst();
    let wide = model.used_at(best, wide_mm)?.worst();
    Ok(ExploreAnswer::new(
        format!(
            "The centres lie {apart:.1}′ apart and the circles are {}: the channels can be brought \
             together {places}. The best is {away:.1}′ from boresight and uses {} of the window at {:.0} mm, \
             where it was set. An error both bores share never keeps the channels apart there, but it moves \
             the place out, and the pods' swing splits what lies out: {} at {narrow_mm:.0} mm, {} at \
             {wide_mm:.0} mm.",
            meeting.relation.word(),
            percent(used),
            model.set_at_ipd_mm,
            percent(narrow),
            percent(wide)
        ),
        &[
            ("centres_apart_arcmin", apart),
            ("boresight_arcmin", away),
            ("window_use", used),
            ("use_at_narrow", narrow),
            ("use_at_wide", wide),
        ],
    ))
}

fn barely(model: &Model) -> Result<ExploreAnswer, Error> {
    let meeting = model.meeting()?;
    let circles = model.circles();
    let apart = circles.left.centre.distance_arcmin(circles.right.centre);
    let room = circles.left.radius_arcmin + circles.right.radius_arcmin - apart;
    // An error at one end of the tube moves its centre by e/f, at both ends alike by 2 e/f.
    let room_mm = model.optics.mm_from_arcmin(room.abs());
    let bore_mm = room_mm / 2.0;
    let chord = match (meeting.crossings().next(), meeting.crossings().nth(1)) {
        (Some(near), Some(far)) => near.point.distance_arcmin(far.point),
        _ => 0.0,
    };
    let words = if room > 0.0 {
        format!(
            "{bore_mm:.4} mm more bore error, at both ends alike, would part them, or {room_mm:.4} mm at one \
             end: the radii together reach {room:.1}′ farther than the centres lie apart. The crossings are {chord:.1}′ from each other, and where \
             circles graze, a little noise moves a crossing far."
        )
    } else {
        format!(
            "They do not meet: the bores are {bore_mm:.4} mm too far apart at both ends, or {room_mm:.4} mm at \
             one, for these eyepieces."
        )
    };
    Ok(ExploreAnswer::new(
        words,
        &[
            ("room_arcmin", room),
            ("room_mm", room_mm),
            ("bore_mm", bore_mm),
            ("crossings_apart_arcmin", chord),
        ],
    ))
}

fn nested(model: &Model) -> Result<ExploreAnswer, Error> {
    let meeting = model.meeting()?;
    let gap = meeting.gap_arcmin.abs();
    let PerChannel { left, right } = model.circles();
    let used = best_compromise(&left, &right, Some(&model.window))?.value;
    // A full-length shim moves the line of sight by twice its thickness over the focal length.
    let shim_mm = model.optics.mm_from_arcmin(gap) / ShimEnds::Both.count() as f64;
    let separate = meeting.relation == Relation::Separate;
    let words = if meeting.crossings().next().is_some() {
        format!("They meet now; the best setting uses {} of the window.", percent(used))
    } else {
        format!(
            "{} and {gap:.1}′ away at the nearest; the best the rings can do uses \
             {} of the window. A full-length shim of {shim_mm:.3} mm that pushes the centres \
             {} would make them touch, a thicker one cross; so would an eyepiece with another decentre.",
            if separate { "The circles stand apart" } else { "One circle lies inside the other" },
            percent(used),
            if separate { "together" } else { "apart" },
        )
    };
    Ok(ExploreAnswer::new(
        words,
        &[("gap_arcmin", gap), ("window_use", used), ("shim_mm", shim_mm)],
    ))
}

fn one_good(model: &Model) -> Result<ExploreAnswer, Error> {
    let meeting = model.meeting()?;
    let used = |point| model.used(PerChannel { left: point, right: point }).worst();
    let (Some(near), Some(far)) = (meeting.crossings().next(), meeting.crossings().nth(1)) else {
        return Ok(ExploreAnswer::new("There are not two crossings.".to_owned(), &[]));
    };
    let (near_away, far_away) = (near.boresight_arcmin, far.boresight_arcmin);
    let (near_use, far_use) = (used(near.point), used(far.point));
    Ok(ExploreAnswer::new(
        format!(
            "The nearer crossing lies {near_away:.1}′ from boresight and uses {} of the window; the farther \
             {far_away:.1}′ and {}. Both eyes agree at either, but what they agree \
             on is not where the unit points, and the pods' swing pulls the farther one apart.",
            percent(near_use),
            percent(far_use)
        ),
        &[
            ("nearer_arcmin", near_away),
            ("nearer_use", near_use),
            ("farther_arcmin", far_away),
            ("farther_use", far_use),
        ],
    ))
}

fn one_distance(model: &Model) -> Result<ExploreAnswer, Error> {
    let place = model.place()?;
    let here = model.used(place).worst();
    let [narrow_mm, wide_mm] = model.ipd_range_mm;
    let narrow = model.used_at(place, narrow_mm)?.worst();
    let wide = model.used_at(place, wide_mm)?.worst();
    let range = model.swing_range()?;
    let away = place.left.midpoint(place.right).boresight_arcmin();
    let safe = safe_radius_arcmin(&model.window, range);
    let safe_words = safe.map_or_else(String::new, |safe| {
        format!(" A crossing within {safe:.1}′ of boresight would be safe at every distance.")
    });
    let set_mm = model.set_at_ipd_mm;
    let mut figures = vec![
        ("boresight_arcmin", away),
        ("use_as_set", here),
        ("use_at_narrow", narrow),
        ("use_at_wide", wide),
    ];
    figures.extend(safe.map(|safe| ("swing_safe_arcmin", safe)));
    let seen = |ipd_mm: f64| -> Result<String, Error> {
        let rolled = swung(place, model.bridge.swing_deg(set_mm, ipd_mm)?);
        let apart = Misalignment::between(rolled.left, rolled.right);
        let looks = LooksLike::within(&model.window, rolled).words();
        Ok(format!("At {ipd_mm:.0} mm {}: {looks}", misalignment(apart)))
    };
    Ok(ExploreAnswer::new(
        format!(
            "At {set_mm:.0} mm, where it was set, it uses {} of the window: one image. {} {} That is {} and {} \
             of the window. The pods roll as they swing and carry their {away:.1}′ round in opposite \
             ways.{safe_words}",
            percent(here),
            seen(narrow_mm)?,
            seen(wide_mm)?,
            percent(narrow),
            percent(wide)
        ),
        &figures,
    ))
}

fn dioptre(model: &Model) -> Result<ExploreAnswer, Error> {
    let rings = model.rings_for(model.place()?);
    let at = |model: &Model| {
        let points = PerChannel::from_fn(|channel| model.point(channel, rings[channel], true));
        (points.right - points.left, model.used(points).worst())
    };
    let mut zeroed = model.clone();
    for channel in Channel::BOTH {
        zeroed.channels[channel].dioptre = 0.0;
    }
    let ((apart, used), (rest, zeroed_use)) = (at(model), at(&zeroed));
    let (apart, rest) = (apart.boresight_arcmin(), rest.boresight_arcmin());
    let shifts = Channel::BOTH.map(|channel| {
        let made = &model.channels[channel];
        format!(
            "the {channel} eyepiece stands at {:.1} D with the eye {:.1} mm off its axis, which makes {:.1}′",
            made.dioptre,
            made.eye_off.length_mm(),
            made.dioptre_shift().boresight_arcmin()
        )
    });
    let of = |channel: Channel| model.channels[channel].dioptre_shift().boresight_arcmin();
    Ok(ExploreAnswer::new(
        format!(
            "The crosshairs stand {apart:.1}′ apart and use {} of the window. With both dioptres at \
             zero it is {rest:.1}′ and {}. Each dioptre shifts what an eye sees by 3.4′ for each millimetre it \
             is off the axis: {}; {}. Set the dioptres to zero and centre the pods before touching a ring.",
            percent(used),
            percent(zeroed_use),
            shifts[0],
            shifts[1],
        ),
        &[
            ("apart_arcmin", apart),
            ("window_use", used),
            ("apart_at_zero_arcmin", rest),
            ("window_use_at_zero", zeroed_use),
            ("left_shift_arcmin", of(Channel::Left)),
            ("right_shift_arcmin", of(Channel::Right)),
        ],
    ))
}

fn play(model: &Model) -> Result<ExploreAnswer, Error> {
    // Targets from readings taken clockwise: the cell lags, and the lag is in the targets.
    let rings = model.rings_as_logged()?;
    let points = |clockwise: PerChannel<bool>| {
        PerChannel::from_fn(|channel| model.point(channel, rings[channel], clockwise[channel]))
    };
    let same = points(PerChannel { left: true, right: true });
    let other = points(PerChannel { left: true, right: false });
    let off = same.right.distance_arcmin(other.right);
    let (same_use, other_use) = (model.used(same).worst(), model.used(other).worst());
    let play_deg = model.channels.right.ring_play_deg;
    Ok(ExploreAnswer::new(
        format!(
            "The right ring's {play_deg:.0}° of play moves its crosshair {off:.1}′ when the target is reached \
             from the other side: {} of the window becomes {}. End every turn the way \
             the readings were taken; read one ring angle from both sides to see the play.",
            percent(same_use),
            percent(other_use)
        ),
        &[("off_arcmin", off), ("use_same_side", same_use), ("use_other_side", other_use)],
    ))
}

fn flip(model: &Model) -> Result<ExploreAnswer, Error> {
    let true_x = model.circles().left.centre.x_arcmin;
    let logged = model.as_logged()?;
    let fit = fit_circle(Channel::Left, &logged.readings.left, logged.spread, SenseChoice::Auto)?;
    let shown_x = fit.circle.centre.x_arcmin;
    let against = fit.circle.phase.is_some_and(|phase| phase.sense == Sense::Against);
    // The shim that would bring the centre seen to the middle, on the centre that is there.
    let after_x = true_x - shown_x;
    let words = if against {
        format!(
            "The crosshair runs against its ring, which no eyepiece does: the map has a flip wrong, or the \
             ring is numbered backwards. The left centre seems to lie at x = {shown_x:.1}′ and lies at \
             {true_x:.1}′; a shim for what is seen would leave it at {after_x:.1}′. Settle the flip before any \
             remedy."
        )
    } else {
        format!(
            "The crosshair runs with its ring: nothing speaks against the map. The left centre lies at x \
             = {shown_x:.1}′."
        )
    };
    Ok(ExploreAnswer::new(
        words,
        &[
            ("runs_against", f64::from(u8::from(against))),
            ("shown_x_arcmin", shown_x),
            ("true_x_arcmin", true_x),
            ("after_shim_x_arcmin", after_x),
        ],
    ))
}
