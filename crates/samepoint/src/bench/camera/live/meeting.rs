//! Turn until they meet: how far the crosshair that is seen now has to go, in both axes, without a ring scale.
//!
//! Where both circles are known it goes to the setting's point; before, where two crosshairs are in view, to the other
//! one. Nothing here is green: what is inside is said by the readings alone.

use paper::words::{self, capital};
use record::figures::arcmin_fine;
use solver::ellipse::Ellipse;
use solver::{Channel, Direction, SettingKind};

use super::eyes::LiveFrame;
use super::following::Says;
use crate::app::App;
use crate::bench::camera::filling::Filled;
use crate::bench::glance::{Aim, Glance, misfit};
use crate::bench::session::OpenSession;
use crate::pictures::Placed;
use crate::views::round::Target;
use crate::widgets::Tone;

/// The probability of what is said to be there.
const SURE: f64 = 0.95;

/// Where it should go.
struct Goal {
    at: Direction,
    /// What it is, behind *to go to*.
    name: String,
    /// xx, xy, yy, square arcminutes, and degrees of freedom; `None` where that is not known.
    known: Option<([f64; 3], f64)>,
}

impl App {
    /// Begins or ends turning until they meet.
    pub(crate) fn turn_meeting(&mut self) {
        if self.is_meeting() {
            self.bench_mode = false;
            self.camera.meeting = false;
            return;
        }
        if !self.camera.live.is_running() {
            self.start_camera();
            if !self.camera.live.is_running() {
                return;
            }
        }
        self.camera.meeting = true;
        self.bench_mode = true;
    }

    /// Whether bench mode shows how far to go until they meet.
    pub(crate) const fn is_meeting(&self) -> bool {
        self.bench_mode && self.camera.meeting
    }

    /// What is seen from two metres of it.
    pub(crate) fn meeting_glance(&self, session: &OpenSession) -> Glance {
        let channel = self.entry.channel;
        let live = &self.camera.live;
        let none = |aim: &str, next: String| Glance {
            channel,
            head: "crosshair, to go",
            aim: Aim::None(aim.to_owned()),
            other: None,
            off: None,
            state: Vec::new(),
            next,
        };
        if live.frozen {
            return none("The picture is frozen", "Ctrl+F goes on.".to_owned());
        }
        let Some(now) = live.current() else {
            let told = self.live_told();
            let aim = if live.is_running() { "No new picture" } else { "The camera is off" };
            let next = told
                .first()
                .map_or_else(|| "Alt+F starts the camera.".to_owned(), |(_, said)| said.clone());
            return none(aim, next);
        };
        let Ok(found) = &now.found else {
            let next = self.live_told().into_iter().next_back();
            return none(
                "The crosshair is not read",
                next.map_or_else(String::new, |(_, said)| said),
            );
        };
        match self.frame_says(now) {
            Says::Doubted => none(
                "Only one crosshair is in view",
                format!("Whose it is cannot be told where it stands: turn the {channel} ring."),
            ),
            Says::Nothing => none("Nothing is read", String::new()),
            Says::Either(_) => none(
                &format!("Which is the {channel} one is not known"),
                format!("Turn the {channel} ring a little: the crosshair that moves is its."),
            ),
            Says::Reads(filled) => match goal(session, channel, found, filled.place) {
                Ok(goal) => self.to_go(session, now, &filled, &goal),
                Err(why) => none(
                    &capital(&why.to_string()),
                    "Sweep each ring first (Alt+T), or have both crosshairs in view.".to_owned(),
                ),
            },
        }
    }

    /// How far to go.
    fn to_go(
        &self,
        session: &OpenSession,
        now: &LiveFrame,
        filled: &Filled,
        goal: &Goal,
    ) -> Glance {
        let channel = filled.channel;
        let read = now.found.as_ref().ok().and_then(|found| found.get(filled.place));
        let placed = read.zip(session.state().station());
        let (at, covariance) = placed
            .map_or(([f64::NAN; 2], [f64::NAN; 3]), |(placed, station)| {
                placed.arcmin(&station.map[channel])
            });
        let at = Direction::new(at[0], at[1]);
        let go = goal.at - at;
        let arrow = |value: f64, [back, on]: [&'static str; 2]| if value < 0.0 { back } else { on };
        let line = |axis: &str, value: f64, arrows| {
            format!("{axis} {} {}", words::arcmin(value.abs()), arrow(value, arrows))
        };
        let lines = vec![line("x", go.x_arcmin, ["←", "→"]), line("y", go.y_arcmin, ["↓", "↑"])];
        let half = |variance: f64| arcmin_fine(1.96 * variance.max(0.0).sqrt());
        let seen = format!("seen to ±{}, ±{}", half(covariance[0]), half(covariance[2]));
        let (known, there) = match goal.known {
            None => ("how well the target is known cannot be told".to_owned(), false),
            Some((of_goal, freedom)) => {
                let [xx, xy, yy] = [0, 1, 2].map(|part| covariance[part] + of_goal[part]);
                let within = Ellipse::covering(goal.at, [[xx, xy], [xy, yy]], SURE, freedom);
                let known = format!("target known to ±{}, ±{}", half(of_goal[0]), half(of_goal[2]));
                (known, within.is_ok_and(|within| within.contains(at)))
            }
        };
        let name = &goal.name;
        let next = if there {
            format!(
                "It is at {name}, as far as that is known. Lock it and confirm (Ctrl+6): only readings say what is \
                 inside."
            )
        } else {
            format!("Turn the {channel} ring until both are 0, to {name}.")
        };
        let other = channel.other();
        Glance {
            channel,
            head: "crosshair, to go",
            aim: Aim::Place { lines, turn: None, beside: format!("{seen} · {known} (95 %)") },
            other: self.other_to_go(session, now, filled.place, other),
            off: None,
            state: vec![(
                Tone::Plain,
                format!("As the camera sees it now, frame {}.", now.frame.number),
            )],
            next,
        }
    }

    /// How far the other crosshair in view has to go to its own point.
    fn other_to_go(
        &self,
        session: &OpenSession,
        now: &LiveFrame,
        mine: usize,
        other: Channel,
    ) -> Option<String> {
        let found = now.found.as_ref().ok()?;
        let placed = found.iter().enumerate().find(|(place, _)| *place != mine)?.1;
        let setting = session.picture().setting.filter(|_| !session.picture().trying)?;
        let go = setting.points[other] - direction(session, other, placed)?;
        let [x, y] = [go.x_arcmin, go.y_arcmin].map(words::arcmin);
        Some(format!("{} crosshair to go x {x}, y {y}", capital(other.word())))
    }
}

fn direction(session: &OpenSession, channel: Channel, placed: &Placed) -> Option<Direction> {
    let station = session.state().station()?;
    let ([x, y], _) = placed.arcmin(&station.map[channel]);
    Some(Direction::new(x, y))
}

/// Where a channel's crosshair should go.
fn goal(
    session: &OpenSession,
    channel: Channel,
    found: &[Placed],
    mine: usize,
) -> Result<Goal, Untold> {
    if let Some(why) = misfit(session) {
        return Err(Untold(why));
    }
    let picture = session.picture();
    if let Some(setting) = picture.setting.filter(|_| !picture.trying) {
        let crossing = picture.solution.as_ref().and_then(|solution| {
            let crossing = *solution.meeting.as_ref()?.nearest()?;
            (setting.kind == SettingKind::Crossing && crossing.is_linear()).then_some(crossing)
        });
        let known = crossing.and_then(|crossing| {
            let uncertainty = crossing.uncertainty?;
            let [[xx, xy], [_, yy]] = uncertainty.covariance_arcmin2();
            let freedom = uncertainty.freedom_of;
            Some(([xx, xy, yy], freedom.left.min(freedom.right)))
        });
        let name = match setting.kind {
            SettingKind::Crossing => "where they meet",
            SettingKind::Compromise => "its place of the best compromise",
            SettingKind::ByHand => "its place as chosen by hand",
        };
        return Ok(Goal { at: setting.points[channel], name: name.to_owned(), known });
    }
    let other = channel.other();
    let place = found.iter().enumerate().find(|(place, _)| *place != mine);
    if let (Some((_, placed)), Some(station)) = (place, session.state().station()) {
        let ([x, y], covariance) = placed.arcmin(&station.map[other]);
        let name = format!("the {other} crosshair, wherever that is");
        return Ok(Goal {
            at: Direction::new(x, y),
            name,
            known: Some((covariance, f64::INFINITY)),
        });
    }
    let why = match &picture.rings[channel].target {
        Target::Missing(why) => format!("no target yet: {why}"),
        Target::Ring(_) | Target::Reads(_) => "no target yet".to_owned(),
    };
    Err(Untold(why))
}

/// Why there is nowhere to go.
#[derive(Debug, thiserror::Error)]
#[error("{0}")]
struct Untold(String);
