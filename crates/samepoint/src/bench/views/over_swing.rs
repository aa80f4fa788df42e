//! Window use over the pods' swing: both crossings and the setting, and why the nearer one is kept.

use paper::words;
use solver::swing::{SwingRange, safe_radius_arcmin, swung, worst_over};
use solver::{Direction, PerChannel, Window};

use super::missing::NothingToShow;
use crate::bench::session::OpenSession;

/// Places along the swing at which use is drawn.
const STEPS: u16 = 120;

/// One curve.
#[derive(Clone, Debug, PartialEq)]
pub struct SwingCurve {
    /// What swings.
    pub what: Swings,
    /// Across, and the share of the window used.
    pub points: Vec<[f64; 2]>,
}

/// What swings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Swings {
    /// The setting on screen.
    Setting,
    /// The crossing nearest boresight.
    Nearer,
    /// The other one.
    Farther,
}

/// Use over the swing.
#[derive(Clone, Debug, PartialEq)]
pub struct SwingView {
    /// What runs across: interpupillary distance in mm, or ψ in degrees where it is not known.
    pub across: &'static str,
    /// Where the readings were taken.
    pub read_at: f64,
    /// The curves.
    pub curves: Vec<SwingCurve>,
    /// In words.
    pub told: Vec<String>,
}

impl SwingView {
    /// For the open round.
    ///
    /// # Errors
    /// [`NothingToShow`].
    pub fn of(session: &OpenSession) -> Result<Self, NothingToShow> {
        let (state, picture) = (session.state(), session.picture());
        let window = state.window().ok_or(NothingToShow::SwingWindow)?.limits;
        let range = state.swing().ok_or(NothingToShow::Swing)?;
        if range.low_deg() == range.high_deg() {
            return Err(NothingToShow::Slides);
        }
        if !picture.judged {
            return Err(NothingToShow::Fit);
        }
        let meeting = picture.solution.as_ref().and_then(|solution| solution.meeting.as_ref());
        let mut crossings =
            meeting.into_iter().flat_map(solver::Meeting::crossings).map(|crossing| crossing.point);
        let mut swinging: Vec<(Swings, PerChannel<Direction>)> = Vec::new();
        for what in [Swings::Nearer, Swings::Farther] {
            let shared = crossings.next();
            swinging.extend(shared.map(|at| (what, PerChannel { left: at, right: at })));
        }
        swinging.extend(picture.setting.map(|setting| (Swings::Setting, setting.points)));
        if swinging.is_empty() {
            return Err(NothingToShow::Circles);
        }
        let axis = SwingAxis::of(session);
        let curves = swinging
            .iter()
            .map(|&(what, points)| SwingCurve {
                what,
                points: curve(points, &window, range, &axis),
            })
            .collect();
        let told = swinging
            .iter()
            .map(|&(what, points)| told(what, points, &window, range, &axis))
            .chain(why_nearer(&swinging, &window, range))
            .chain(safe_radius_arcmin(&window, range).map(|radius| {
                format!(
                    "Whatever both channels share within {} of boresight stays inside over the \
                     whole swing.",
                    words::arcmin(radius)
                )
            }))
            .collect();
        Ok(Self { across: axis.name(), read_at: axis.at(0.0), curves, told })
    }
}

/// What runs across.
struct SwingAxis {
    /// The bridge and the distance at which the readings were taken.
    bridge: Option<(solver::swing::Bridge, f64)>,
}

impl SwingAxis {
    fn of(session: &OpenSession) -> Self {
        let state = session.state();
        let ipd_mm = state
            .setup
            .as_ref()
            .and_then(|setup| setup.body.ipd_mm.as_ref())
            .map(record::Typed::value);
        Self { bridge: state.housing().and_then(record::Housing::bridge).zip(ipd_mm) }
    }

    const fn name(&self) -> &'static str {
        if self.bridge.is_some() { "interpupillary distance, mm" } else { "swing ψ, degrees" }
    }

    fn at(&self, swing_deg: f64) -> f64 {
        self.bridge
            .and_then(|(bridge, read_at)| bridge.ipd_mm(read_at, swing_deg).ok())
            .unwrap_or(swing_deg)
    }

    fn words(&self, swing_deg: f64) -> String {
        let at = words::number(self.at(swing_deg), 0);
        if self.bridge.is_some() { format!("{at} mm") } else { format!("ψ = {at}°") }
    }
}

fn curve(
    points: PerChannel<Direction>,
    window: &Window,
    range: SwingRange,
    axis: &SwingAxis,
) -> Vec<[f64; 2]> {
    let span = range.high_deg() - range.low_deg();
    (0..=STEPS)
        .map(|k| {
            let swing_deg = range.low_deg() + span * f64::from(k) / f64::from(STEPS);
            let at = swung(points, swing_deg);
            [axis.at(swing_deg), window.used_by(at.left, at.right).worst()]
        })
        .collect()
}

fn told(
    what: Swings,
    points: PerChannel<Direction>,
    window: &Window,
    range: SwingRange,
    axis: &SwingAxis,
) -> String {
    let name = match what {
        Swings::Nearer => "The nearer crossing",
        Swings::Farther => "The farther crossing",
        Swings::Setting => "The setting on screen",
    };
    let worst = worst_over(points, window, range);
    let used = words::percent(worst.used.worst());
    let inside = if worst.used.worst() <= 1.0 { "inside all over" } else { "outside there" };
    format!("{name} uses at most {used} of the window, at {}: {inside}.", axis.words(worst.at_deg))
}

/// Why the nearer crossing is kept: a direction that both share is split as the pods swing, the more
/// the farther out it lies.
fn why_nearer(
    swinging: &[(Swings, PerChannel<Direction>)],
    window: &Window,
    range: SwingRange,
) -> Option<String> {
    let worst = |wanted: Swings| {
        let (_, points) = swinging.iter().find(|(what, _)| *what == wanted)?;
        Some(worst_over(*points, window, range).used.worst())
    };
    let split = |wanted: Swings| {
        let (_, points) = swinging.iter().find(|(what, _)| *what == wanted)?;
        let at = |swing_deg| {
            let ends = swung(*points, swing_deg);
            (ends.right - ends.left).boresight_arcmin()
        };
        Some((points.left.boresight_arcmin(), at(range.low_deg()).max(at(range.high_deg()))))
    };
    let (near, near_split) = split(Swings::Nearer)?;
    let (far, far_split) = split(Swings::Farther)?;
    // The sides of a window are unequal, so the split alone does not decide.
    let so = if worst(Swings::Farther)? < worst(Swings::Nearer)? {
        "So the nearer crossing is kept, though by this window the farther uses less at worst."
    } else {
        "So the nearer crossing is kept."
    };
    Some(format!(
        "Swinging splits what both channels share, the more the farther out it lies: {} out by up to \
         {}, {} out by up to {}. {so}",
        words::arcmin(near),
        words::arcmin(near_split),
        words::arcmin(far),
        words::arcmin(far_split)
    ))
}
