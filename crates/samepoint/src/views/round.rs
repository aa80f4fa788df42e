//! The open session made ready to look at: fold → solve → scene and sentences, once per change
//! of the facts, never per frame.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use paper::{Field, Scene, field_scene, words};
use record::ApproachUsed;
use record::practice::WITHHELD;
use solver::decision::{ENOUGH, expected_inside};
use solver::pointing::{setting_uncertainty, step_u_deg};
use solver::setting::RingPlace;
use solver::{
    Channel, NoSetting, PerChannel, Relation, Sense, SenseBasis, Setting, SettingKind, Solution,
    Turn,
};

use super::log::Log;
use super::overlay::Overlay;
pub(crate) use super::source::{ReadingsFrom, TonedSentence};
use super::targets::ring_guidance;
pub(crate) use super::targets::{RingGuidance, Target, TurnWords};
use super::use_words::{outside, outside_at_best, slack_words, swing_safe_words, swing_words};
use crate::plot::Handle;
use crate::widgets::Tone;

/// Pictures made since the program began.
static DRAWINGS: AtomicU64 = AtomicU64::new(1);

/// Everything the panels show of a session.
#[derive(Clone, Debug)]
pub struct RoundView {
    /// Which drawing it is: another for every picture that is made.
    pub drawing: u64,
    /// What they say; `None` when the problem as a whole makes no sense, and while an examination is sat.
    pub solution: Option<Solution>,
    /// What was solved, told or not, to draw again from.
    solved: Option<Solution>,
    /// Why the problem as a whole makes no sense.
    pub refused: Option<String>,
    /// The setting as a hand can set it: the one that is tried, else the one that was chosen, else
    /// the recommended one.
    pub setting: Option<Setting>,
    /// Whether that is only being tried.
    pub trying: bool,
    /// Where each ring and crosshair was read last in this round.
    pub place: PerChannel<Option<solver::Reading>>,
    /// What can be dragged to try a setting.
    pub handles: Vec<Handle>,
    /// Where to turn each ring.
    pub rings: PerChannel<RingGuidance>,
    /// Whether anything is judged: not where readings do not fit what they are said to scatter by.
    pub judged: bool,
    /// Whether nothing may be called good before somebody says that nothing was touched.
    pub unanswered: bool,
    /// How far the rings may slip from there, in words.
    pub slack: Option<String>,
    /// How far out both channels may point and stay inside over the whole swing, in words.
    pub swing_safe: Option<String>,
    /// What a swing of the pods does to it, in words.
    pub swing: Option<TonedSentence>,
    /// The answer in one sentence.
    pub verdict: TonedSentence,
    /// Where the circles meet, in words.
    pub meeting_words: Vec<String>,
    /// What else must be known.
    pub remarks: Vec<TonedSentence>,
    /// The field plot.
    pub scene: Arc<Scene>,
    /// The field plot in words.
    pub telling: String,
}

impl RoundView {
    /// What is shown where no session is open.
    #[must_use]
    pub fn empty() -> Self {
        Self::new(ReadingsFrom {
            log: &Log::default(),
            problem: &solver::Problem::default(),
            place: PerChannel::default(),
            approach: PerChannel { left: ApproachUsed::NotNoted, right: ApproachUsed::NotNoted },
            station: None,
            ring_step_deg: 1.0,
            unit: record::ReadingUnit::Arcmin,
            selected: None,
            aside: &Overlay::default(),
        })
    }

    /// The trial, begun at the setting on screen where there is none yet.
    #[must_use]
    pub fn begun(&self, aside: &Overlay, ring_step_deg: f64) -> Option<PerChannel<RingPlace>> {
        if let Some(trial) = aside.trial {
            return Some(trial);
        }
        let fits = self.solution.as_ref()?.both_fits()?;
        let setting = self.setting.as_ref()?;
        Some(PerChannel::from_fn(|channel| {
            let circle = &fits[channel].circle;
            RingPlace::nearest(circle, setting.points[channel], ring_step_deg)
        }))
    }

    /// The round was left alone, and nobody has said yet that nothing was touched: it calls nothing good.
    pub fn leave_unanswered(&mut self) {
        self.unanswered = true;
        if self.verdict.tone == Tone::Good {
            self.verdict = TonedSentence::look(format!("{} {UNANSWERED}", self.verdict.text));
            self.telling = format!("{} {UNANSWERED}", self.telling);
        }
    }

    /// Solves and draws.
    #[must_use]
    pub fn new(source: ReadingsFrom<'_>) -> Self {
        match solver::solve(source.problem) {
            Ok(solution) => Self::of(Some(solution), None, source),
            Err(error) => Self::of(None, Some(error.to_string()), source),
        }
    }

    /// Draws again what was solved before: the readings are the same, what is asked of them is not.
    #[must_use]
    pub fn again(&self, source: ReadingsFrom<'_>) -> Self {
        Self::of(self.solved.clone(), self.refused.clone(), source)
    }

    fn of(solved: Option<Solution>, refused: Option<String>, source: ReadingsFrom<'_>) -> Self {
        let withheld = source.aside.withheld;
        // Withheld, nothing below knows more than where the circles lie.
        let circles = PerChannel::from_fn(|channel| {
            let fit = solved.as_ref().filter(|_| withheld)?.fits[channel].as_ref().ok()?;
            Some(fit.circle)
        });
        let solution = solved.clone().filter(|_| !withheld);
        let by_hand = solution.as_ref().and_then(|solution| setting_by_hand(solution, &source));
        let trying = by_hand.is_some() && source.aside.trial.is_some();
        let setting = by_hand
            .or_else(|| solution.as_ref().and_then(|solution| rounded_setting(solution, &source)));
        let now = source.place;
        let turns = PerChannel::from_fn(|channel| {
            turn(channel, solution.as_ref(), setting.as_ref(), now[channel])
        });
        let rings = PerChannel::from_fn(|channel| {
            ring_guidance(channel, solution.as_ref(), setting.as_ref(), turns[channel], &source)
        });
        let marks = source.log.marks(source.selected);
        let ghosts = source.aside.ghosts();
        let scene = field_scene(&Field {
            solution: solution.as_ref(),
            circles,
            marks: &marks,
            window: source.problem.window,
            setting: setting.as_ref(),
            now: now.map(|reading| reading.map(|reading| reading.direction)),
            turns,
            trying,
            swing: source.problem.swing,
            ghosts: &ghosts,
            confirmed: source.aside.confirmed,
        });
        let judged = solution.as_ref().is_none_or(|solution| solution.misfits().next().is_none());
        let verdict = if withheld {
            TonedSentence::plain(WITHHELD)
        } else {
            verdict(solution.as_ref(), setting.as_ref(), refused.clone(), trying, &source)
        };
        let slack = slack_words(solution.as_ref(), setting.as_ref(), source.problem);
        let slack = slack.filter(|_| judged);
        let swing = setting.as_ref().and_then(|setting| swing_words(setting, source.problem));
        let swing = swing.filter(|_| judged);
        let swing_safe = swing_safe_words(source.problem).filter(|_| !withheld);
        let handles = handles(solution.as_ref(), setting.as_ref());
        let meeting_words = solution.as_ref().map(meeting_words).unwrap_or_default();
        let remarks = remarks(solution.as_ref(), &source);
        let telling = telling(&scene, &verdict, &meeting_words);
        Self {
            drawing: DRAWINGS.fetch_add(1, Ordering::Relaxed),
            solution,
            solved,
            refused,
            setting,
            trying,
            place: source.place,
            handles,
            rings,
            judged,
            unanswered: false,
            slack,
            swing_safe,
            swing,
            verdict,
            meeting_words,
            remarks,
            scene: Arc::new(scene),
            telling,
        }
    }
}

fn rounded_setting(solution: &Solution, source: &ReadingsFrom<'_>) -> Option<Setting> {
    let fits = solution.both_fits()?;
    let setting = solution.setting.as_ref().ok()?;
    let circles = fits.map(|fit| &fit.circle);
    Some(setting.rounded_to(circles, source.ring_step_deg, source.problem.window))
}

/// The setting that is tried, else the one that was chosen in this round.
fn setting_by_hand(solution: &Solution, source: &ReadingsFrom<'_>) -> Option<Setting> {
    let circles = solution.both_fits()?.map(|fit| &fit.circle);
    source.aside.by_hand(circles, source.problem.window)
}

fn handles(solution: Option<&Solution>, setting: Option<&Setting>) -> Vec<Handle> {
    let Some((fits, setting)) = solution.and_then(Solution::both_fits).zip(setting) else {
        return Vec::new();
    };
    Channel::BOTH
        .into_iter()
        .map(|channel| Handle {
            channel,
            at: setting.points[channel],
            centre: fits[channel].circle.centre,
        })
        .collect()
}

fn turn(
    channel: Channel,
    solution: Option<&Solution>,
    setting: Option<&Setting>,
    now: Option<solver::Reading>,
) -> Option<Turn> {
    let fit = solution?.fits[channel].as_ref().ok()?;
    let (setting, now) = (setting?, now?);
    Turn::between(
        &fit.circle,
        now.direction,
        now.ring_deg,
        setting.points[channel],
        setting.ring_deg[channel],
    )
}

/// Said of what would be good of a round that rested, before anybody says that nothing was touched.
pub(crate) const UNANSWERED: &str =
    "So it was when the round was last read: say first whether anything was touched since.";

fn verdict(
    solution: Option<&Solution>,
    setting: Option<&Setting>,
    refused: Option<String>,
    trying: bool,
    source: &ReadingsFrom<'_>,
) -> TonedSentence {
    if let Some(refused) = refused {
        return TonedSentence::look(refused);
    }
    let no_setting = match solution.map(|solution| &solution.setting) {
        Some(Err(NoSetting::ArcTooShort(channel))) => Some(TonedSentence::look(format!(
            "The {channel} readings cover too short an arc to recommend a crossing. \
             Read farther round that ring."
        ))),
        _ => None,
    };
    if let Some(remark) = no_setting {
        return remark;
    }
    let Some(setting) = setting else {
        return TonedSentence::plain("Not known yet: log both channels.");
    };
    // What rests on readings that do not fit is neither inside nor outside.
    if let Some(channel) = solution.and_then(|solution| solution.misfits().next()) {
        return TonedSentence::look(format!(
            "The {channel} readings do not fit what the station says they scatter by: nothing is judged. \
             Look for one misread, of a wrong sign or of the other channel."
        ));
    }
    let apart = words::arcmin(setting.misalignment.length_arcmin());
    let how = if trying { "Trying" } else { "As chosen by hand" };
    if let Some(unsure) = unsure(solution, setting, source) {
        let how = match setting.kind {
            SettingKind::ByHand => format!("{how}: inside if set here, {apart} apart"),
            SettingKind::Compromise => {
                format!("Best compromise: inside if set here, {apart} apart")
            }
            SettingKind::Crossing => "Inside if set here".to_owned(),
        };
        return TonedSentence::look(format!("{how}, {unsure}"));
    }
    match (setting.kind, setting.window_use) {
        (SettingKind::Crossing, None) => TonedSentence::plain("No window: nothing is judged."),
        (SettingKind::Compromise, None) => TonedSentence::look(format!(
            "Best compromise: the crosshairs stay {apart} apart. No window: nothing is judged."
        )),
        (SettingKind::ByHand, None) => {
            TonedSentence::plain(format!("{how}: {apart} apart. No window: nothing is judged."))
        }
        (SettingKind::ByHand, Some(used)) if used.is_inside() => TonedSentence {
            tone: Tone::Good,
            text: format!("{how}: inside if set here, {apart} apart."),
        },
        (SettingKind::ByHand, Some(used)) => TonedSentence::look(format!(
            "{how}: outside if set here, {} of the window used.",
            words::percent(used.worst())
        )),
        (SettingKind::Crossing, Some(used)) if used.is_inside() => {
            TonedSentence { tone: Tone::Good, text: "Inside if set here.".to_owned() }
        }
        (SettingKind::Compromise, Some(used)) if used.is_inside() => TonedSentence {
            tone: Tone::Good,
            text: format!("Best compromise: inside if set here, {apart} apart."),
        },
        (SettingKind::Crossing, Some(used)) => TonedSentence::look(outside(used)),
        (SettingKind::Compromise, Some(used)) => TonedSentence::look(outside_at_best(used)),
    }
}

/// Why a setting that is inside by the circles is not called so: the chance of it is below what a pass needs,
/// or nothing tells it. `None` where it is sure, not inside, or set by what the graticule shows.
fn unsure(
    solution: Option<&Solution>,
    setting: &Setting,
    source: &ReadingsFrom<'_>,
) -> Option<String> {
    let window = source.problem.window?;
    if !setting.window_use?.is_inside() {
        return None;
    }
    let fits = solution?.both_fits()?;
    let PerChannel { left: Some(left), right: Some(right) } = setting.ring_deg else {
        return None;
    };
    let rings = PerChannel { left, right };
    let known = setting_uncertainty(fits, rings, step_u_deg(source.ring_step_deg)).ok().flatten();
    let Some(known) = known else {
        return Some(
            "but how sure that is cannot be told: no σ is stated and no reading is to spare."
                .to_owned(),
        );
    };
    let shared = setting.points.left.midpoint(setting.points.right);
    let inside = expected_inside(&window, &known, shared).ok()?;
    (inside < ENOUGH).then(|| {
        format!("but not surely: the chance of it is {} or more.", words::at_least(inside))
    })
}

fn meeting_words(solution: &Solution) -> Vec<String> {
    let Some(meeting) = solution.meeting else { return Vec::new() };
    let gap = words::arcmin(meeting.gap_arcmin);
    if let (Ok(setting), Some(near)) = (&solution.setting, meeting.nearest())
        && setting.kind == SettingKind::Compromise
    {
        return vec![
            format!("Best compromise, {} from boresight", words::arcmin(setting.boresight_arcmin)),
            format!(
                "the nearer crossing, {} out, is not inside the window",
                words::arcmin(near.boresight_arcmin)
            ),
        ];
    }
    let mut places = meeting.crossings();
    match (meeting.relation, places.next(), places.next()) {
        (Relation::Crossing, Some(near), Some(far)) => vec![
            format!("Meet {} from boresight", words::arcmin(near.boresight_arcmin)),
            words::equally_near(&meeting).unwrap_or_else(|| {
                format!(
                    "the nearer of two crossings; the other is at {}",
                    words::arcmin(far.boresight_arcmin)
                )
            }),
        ],
        (Relation::Tangent, Some(only), _) => vec![
            format!("Meet {} from boresight", words::arcmin(only.boresight_arcmin)),
            "the circles only touch".to_owned(),
        ],
        (Relation::Coincident, Some(only), _) => vec![
            format!("Meet {} from boresight", words::arcmin(only.boresight_arcmin)),
            "the circles are one: they meet everywhere, nearest boresight here".to_owned(),
        ],
        (Relation::Separate, ..) => {
            vec!["No crossing".to_owned(), format!("the circles lie {gap} apart")]
        }
        (Relation::Contained, ..) => {
            vec!["No crossing".to_owned(), format!("one circle lies inside the other, {gap} clear")]
        }
        (Relation::Concentric, ..) => vec![
            "No crossing".to_owned(),
            format!("the circles share a centre and lie {gap} apart"),
        ],
        _ => vec![meeting.relation.word().to_owned()],
    }
}

fn remarks(solution: Option<&Solution>, source: &ReadingsFrom<'_>) -> Vec<TonedSentence> {
    let mut remarks = Vec::new();
    let Some(solution) = solution else { return remarks };
    if solution.senses_differ() {
        remarks.push(TonedSentence::look(
            "The two crosshairs run opposite ways round. One station flip is wrong, or one ring \
             is numbered backwards.",
        ));
    }
    for channel in Channel::BOTH {
        let Ok(fit) = &solution.fits[channel] else { continue };
        let against = fit.circle.phase.is_some_and(|phase| phase.sense == Sense::Against);
        match fit.sense_basis {
            Some(SenseBasis::Found { .. }) if against && !solution.senses_differ() => {
                remarks.push(TonedSentence::look(format!(
                    "The {channel} crosshair runs against its ring: a flip in the station map is \
                     wrong, or the ring is numbered backwards.",
                )));
            }
            Some(SenseBasis::Doubted) => remarks.push(TonedSentence::look(format!(
                "{}: which way round is not settled. All readings but one fit well with the ring; look \
                 at the one that stands out.",
                words::capital(channel.word())
            ))),
            Some(SenseBasis::Assumed) => remarks.push(TonedSentence::plain(format!(
                "{} ring: the readings cannot tell which way the crosshair runs; it is assumed to run \
                 with the ring. A third ring angle tells.",
                words::capital(channel.word())
            ))),
            _ => {}
        }
        if fit.arc_too_short() {
            remarks.push(TonedSentence::look(format!(
                "{} circle: radius {}, standard uncertainty {}; too short an arc to trust.",
                words::capital(channel.word()),
                words::arcmin(fit.circle.radius_arcmin),
                words::arcmin(fit.radius_u_arcmin().unwrap_or(0.0)),
            )));
        }
        if source.approach[channel] == ApproachUsed::Mixed {
            remarks.push(TonedSentence::look(format!(
                "{} ring was approached from both sides; play may show as off angle.",
                words::capital(channel.word())
            )));
        }
    }
    if solution.meeting.is_some() && source.problem.window.is_none() {
        remarks.push(TonedSentence::plain("No tolerance window is chosen for this session."));
    }
    remarks
}

/// The plot in words: what it shows, then what that means.
fn telling(scene: &Scene, verdict: &TonedSentence, meeting: &[String]) -> String {
    let mut telling = format!("Field plot. {} ", paper::description::description(scene));
    for sentence in meeting {
        telling.push_str(sentence);
        telling.push_str(". ");
    }
    telling.push_str(&verdict.text);
    telling
}
