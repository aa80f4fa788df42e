//! The field plot with what it comes to beside it.

use record::{Account, Differences, RoundAccount, Session};
use solver::{Channel, Setting, SettingKind};

use super::block::{Block, TextLook, cut_paragraph, paragraph};
use super::figures::{limits, with_95};
use super::flow::Flow;
use super::plot::{plotted, setting, solution, uncaptioned};
use crate::glossary::Plainly;
use crate::layout::layout;
use crate::plane::{PLANE_KEY, plane, plane_alt, plane_words};
use crate::scene::Scene;
use crate::svg::described;
use crate::words::{
    arcmin, direction, equally_near, meeting_sentence, misalignment, percent, ring, sentence,
};

/// Between plot and words.
const BETWEEN_PT: f64 = 16.0;
/// The field plot's side, and what it may be where there is less room.
pub(super) const PLOT_PT: [f64; 4] = [218.0, 200.0, 182.0, 164.0];

/// The plot's room on a page, before it is drawn.
pub(super) struct PlotRoom {
    plot_pt: f64,
    /// The key under a plot of differences.
    under: Block,
    /// What stands beside it.
    side: Block,
    /// What of that is not whole.
    pub(super) cut: Vec<(String, String)>,
}

impl PlotRoom {
    /// With a plot of a side, and what is said of it in paragraphs of at most so many lines.
    pub(super) fn new(
        account: &Account,
        said: &[(String, Vec<String>)],
        plot_pt: f64,
        most_lines: usize,
        flow: &Flow<'_>,
    ) -> Self {
        let letters = flow.letters();
        let under = match differences_alone(account) {
            None => Block::default(),
            Some(_) => {
                let key = paragraph(letters, PLANE_KEY, plot_pt, TextLook::QUIET.sized(6.4));
                Block::gap(2.0).then(key)
            }
        };
        let side_pt = flow.width_pt() - plot_pt - BETWEEN_PT;
        let (mut side, mut cut) = (Block::default(), Vec::new());
        for (label, says) in said {
            side = side.then(paragraph(letters, label, side_pt, TextLook::BODY.bold()));
            for line in says {
                let (shown, whole) =
                    cut_paragraph(letters, line, side_pt, TextLook::BODY, most_lines);
                side = side.then(shown);
                if !whole {
                    cut.push((label.clone(), line.clone()));
                }
            }
            side = side.then(Block::gap(3.5));
        }
        Self { plot_pt, under, side, cut }
    }

    /// Whether words and plot stand side by side.
    fn beside(&self) -> bool {
        self.side.height_pt() <= PLOT_PT[0] * 1.3
    }

    pub(super) fn height_pt(&self) -> f64 {
        let plot_pt = self.plot_pt + self.under.height_pt();
        let side_pt = self.side.height_pt();
        if self.beside() { plot_pt.max(side_pt) } else { plot_pt + 4.0 + side_pt }
    }

    pub(super) fn drawn(self, account: &Account, flow: &Flow<'_>) -> Block {
        let (letters, plot_pt) = (flow.letters(), self.plot_pt);
        let (ink, alt) = if let Some((round, found)) = differences_alone(account) {
            let solution = found.answer.as_ref().and_then(|answer| answer.as_ref().ok());
            let left = found.set.map(|set| set.setting.misalignment);
            let told = plane_words(found.seqs.len(), solution, left);
            let numbers = reading_numbers(&account.session, round, found);
            let window = account.session.window().map(|window| window.limits);
            (plane(found, &numbers, window, plot_pt, letters), plane_alt(&told))
        } else {
            let scene = uncaptioned(account);
            (layout(&scene, [0.0, 0.0], [plot_pt, plot_pt], letters), plot_words(&scene))
        };
        let beside = self.beside();
        let plot = Block::picture(letters, plot_pt, ink, alt).then(self.under);
        if beside {
            plot.beside(self.side, plot_pt + BETWEEN_PT)
        } else {
            plot.then(Block::gap(4.0)).then(self.side)
        }
    }
}

/// The round to show where a station shows differences, and no direction was read.
fn differences_alone(account: &Account) -> Option<(&RoundAccount, &Differences)> {
    let round = plotted(account).filter(|round| round.solution.is_none())?;
    round.differences.as_ref().map(|found| (round, found))
}

/// What its readings are called by.
fn reading_numbers(session: &Session, round: &RoundAccount, found: &Differences) -> Vec<usize> {
    let round = session.round_of(round.id);
    let entry = |seq| round.and_then(|round| round.readings.iter().find(|entry| entry.seq == seq));
    let number = |seq| entry(seq).map_or(0, |entry| entry.number);
    found.seqs.iter().map(|&seq| number(seq)).collect()
}

/// The field plot in words.
fn plot_words(scene: &Scene) -> String {
    format!("Field plot. {}", described(scene))
}

/// What stands beside it: heads with their lines.
pub(super) fn beside_picture(
    account: &Account,
    plainly: &mut Plainly,
) -> Vec<(String, Vec<String>)> {
    let session = &account.session;
    let mut said = Vec::new();
    if let Some((_, found)) = differences_alone(account) {
        said.push((plainly.told("Setting, as predicted"), found.words()));
    } else if let Some(round) = plotted(account) {
        let solution = solution(round);
        let circles = Channel::BOTH.map(|channel| match solution.map(|s| &s.fits[channel]) {
            Some(Ok(fit)) => {
                format!(
                    "{channel}: centre {}; radius {}",
                    direction(fit.circle.centre),
                    with_95(fit.circle.radius_arcmin, fit.half_width_95(2), "′")
                )
            }
            Some(Err(why)) => sentence(&why.to_string()),
            None => format!("{channel}: not known"),
        });
        said.push((plainly.told("Offset circles"), circles.to_vec()));
        if let Some(meeting) = solution.and_then(|solution| solution.meeting.as_ref()) {
            let head = plainly.told("Crossing points");
            let mut lines: Vec<String> = meeting
                .crossings()
                .map(|place| {
                    let out = arcmin(place.boresight_arcmin);
                    format!("{}, {out} from boresight", direction(place.point))
                })
                .collect();
            if lines.is_empty() {
                lines.push(meeting_sentence(meeting));
            }
            lines.extend(equally_near(meeting));
            said.push((head, lines));
        }
        if let Some(setting) = setting(session, round) {
            let head = plainly.told("Setting, as predicted");
            let lines = setting_lines(session, &setting);
            said.push((head, lines.iter().map(|line| plainly.told(line)).collect()));
        }
    }
    if let Some(window) = session.window() {
        let lines = vec![
            format!("{}: {}.", window.name, limits(window)),
            format!("Source: {}.", window.source.trim_end_matches('.')),
        ];
        said.push((plainly.told("Tolerance window"), lines));
    }
    said
}

fn setting_lines(session: &Session, setting: &Setting) -> Vec<String> {
    let step_deg = session.housing().map_or(1.0, |housing| housing.ring_step_deg);
    let rings: Vec<String> = Channel::BOTH
        .into_iter()
        .map(|channel| match setting.ring_deg[channel] {
            Some(deg) => format!("{} ring at {}", channel.word(), ring(deg, step_deg)),
            None => format!(
                "{} ring where the crosshair is at {}",
                channel.word(),
                direction(setting.points[channel])
            ),
        })
        .collect();
    let kind = match setting.kind {
        SettingKind::Crossing => "at a crossing point",
        SettingKind::Compromise => "the best compromise",
        SettingKind::ByHand => "the hand's own choice",
    };
    let used = setting
        .window_use
        .map_or_else(String::new, |used| format!("; {} of the window", percent(used.worst())));
    vec![
        format!("{}: {kind}.", sentence(&rings.join(", ")).trim_end_matches('.')),
        format!("{}{used}.", sentence(&misalignment(setting.misalignment)).trim_end_matches('.')),
    ]
}
